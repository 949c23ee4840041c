"""The examples, drawn: what holds for hand-made parts holds for patterns as people write them."""

from itertools import pairwise
from pathlib import Path

import pytest

from booklet.drawings.fit import Style, fit
from booklet.drawings.place import place
from booklet.pipeline import understand
from booklet.tables.stitches import stitches
from booklet.tables.symbols import symbols
from tests.drawings.test_place import check_gaps, check_labels, check_slants

FILES = sorted((Path(__file__).parents[2] / "examples").glob("*/*.md"))


@pytest.mark.parametrize("file", FILES, ids=lambda file: file.stem)
def test_every_part_of_an_example_has_a_chart_that_can_be_worked_from(file):
    graph = understand(file.read_bytes(), file.name).graph
    assert graph.parts
    for part in graph.parts:
        panels = place(part, stitches(), symbols())
        assert panels
        assert panels[0].rounds[0] == 1 and panels[-1].rounds[1] == part.rounds
        for before, after in pairwise(panels):
            assert after.rounds[0] == before.rounds[1] + 1
        for panel in panels:
            check_gaps(part, panel)
            check_labels(panel)
            if panel.form != "oval":
                check_slants(part, panel)
            drawing = fit(panel, Style(116, 170), stitches(), symbols())
            assert drawing.fits, (part.name, panel.form, drawing.width_mm)
            assert all(entry.symbol != "unknown" for entry in drawing.legend)
