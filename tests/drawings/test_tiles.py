"""Charts that are larger than a page: divided, never shrunk; every stitch on some sheet, sheets that can be joined."""

import math
from itertools import pairwise

import pytest

from booklet.drawings.drawing import LEAST_MM
from booklet.drawings.fit import Style
from booklet.drawings.place import place
from booklet.drawings.tiles import OVERLAP, sheets
from booklet.tables.stitches import stitches
from booklet.tables.symbols import symbols
from tests.drawings import charts

PAGE = (116.0, 158.0)


def divided(maker, page=PAGE, **more):
    (panel,) = place(maker.graph(), stitches(), symbols())
    return panel, sheets(panel, Style(116, 64, **more), page, stitches(), symbols())


def test_a_chart_that_fits_stays_whole():
    _, (one,) = divided(charts.disc(48))
    assert one.tile is None and one.symbol_mm >= LEAST_MM


@pytest.mark.parametrize("left_handed", [False, True])
def test_every_stitch_is_whole_on_a_sheet_with_symbols_of_3_mm(left_handed):
    panel, found = divided(charts.disc(120), left_handed=left_handed)
    assert len(found) == 4
    whole = set()
    for sheet in found:
        assert sheet.symbol_mm == pytest.approx(LEAST_MM)
        assert sheet.width_mm <= PAGE[0] + 0.01 and sheet.height_mm <= PAGE[1] + 0.01
        left, top, right, bottom = sheet.frame
        for mark in sheet.marks:
            if all(left <= x <= right and top <= y <= bottom for x, y in (*mark.heads, *mark.feet)):
                whole.add(mark.stitch)
    assert whole == {mark.stitch for mark in panel.marks}


def test_sheets_are_in_reading_order_and_overlap():
    _, found = divided(charts.disc(120))
    assert [(one.tile.name, one.tile.columns, one.tile.rows) for one in found] == [("A1", 2, 2), ("B1", 2, 2), ("A2", 2, 2), ("B2", 2, 2)]
    a, b, c, _ = found
    assert a.frame[2] - b.frame[0] == pytest.approx(OVERLAP * LEAST_MM)
    assert a.frame[3] - c.frame[1] == pytest.approx(OVERLAP * LEAST_MM)
    for one, other in pairwise(found[:2]):
        shared = {m.stitch for m in one.marks} & {m.stitch for m in other.marks}
        assert shared


def test_register_marks_lie_at_the_same_place_on_both_sheets():
    _, (a, b, *_) = divided(charts.disc(120))
    crosses = [next(path.d for path in sheet.paths if path.role == "register") for sheet in (a, b)]
    assert crosses[0] == crosses[1]
    middle = (a.frame[2] + b.frame[0]) / 2
    xs = [float(part.split(" ")[0]) for part in crosses[0].replace("L", "M").split("M") if part]
    assert any(math.isclose(x, middle, abs_tol=0.02) for x in xs)


def test_a_left_handed_chart_counts_its_sheets_from_the_left_too():
    _, found = divided(charts.disc(120), left_handed=True)
    assert found[0].tile.name == "A1" and found[0].frame[0] < found[1].frame[0]


def test_a_page_that_holds_nothing_is_refused():
    with pytest.raises(ValueError):
        divided(charts.disc(48), page=(12.0, 12.0))
