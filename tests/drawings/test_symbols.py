"""The symbol table: every stitch has a symbol, wrong rows are told with their line, the drawings are what the table says."""

import math

import pytest

from booklet.drawings.laps import symbol_name
from booklet.tables.reader import TableFault
from booklet.tables.stitches import stitches
from booklet.tables.symbols import figures, symbol_sets, symbols


def test_every_stitch_of_the_table_has_a_symbol_of_its_own_or_of_its_plain_stitch():
    for stitch in stitches().values():
        if stitch.family != "skip":
            assert symbol_name(stitch.id, stitches(), symbols()) != "unknown", stitch.id


def test_a_composed_stitch_is_drawn_with_its_plain_stitch():
    assert symbol_name("increase", stitches(), symbols()) == "single_crochet"
    assert symbol_name("dc2tog", stitches(), symbols()) == "double_crochet"
    assert symbol_name("no such stitch", stitches(), symbols()) == "unknown"


# Slashes: one for double crochet, two for treble, three for double treble, none for half double; the reading rule
# "as many slashes as yarn overs before inserting the hook, half double excepted" of published lessons on crochet diagrams.
@pytest.mark.parametrize(
    ("name", "slashes"),
    [("half_double_crochet", 0), ("double_crochet", 1), ("treble_crochet", 2), ("double_treble_crochet", 3), ("triple_treble_crochet", 4)],
)
def test_slashes_of_tall_stitches(name, slashes):
    assert len(symbols()[name].leg) == 1 + slashes


def test_a_chain_is_a_hollow_oval_and_a_slip_stitch_a_filled_one():
    """Published in both chart traditions: the slip stitch is the small filled form of the chain's oval."""
    chain, slip = symbols()["chain"].alone[0], symbols()["slip_stitch"].alone[0]
    assert chain.closed and not chain.filled
    assert slip.closed and slip.filled
    assert max(abs(n[-2]) for _, n in slip.ops) < max(abs(n[-2]) for _, n in chain.ops)


def test_front_and_back_post_are_mirror_images():
    front, back = symbols()["front_post_double"], symbols()["back_post_double"]
    for (_, a), (_, b) in zip(front.foot[0].ops, back.foot[0].ops, strict=True):
        assert a[::2] == pytest.approx(tuple(-x for x in b[::2]), abs=1e-9)
        assert a[1::2] == pytest.approx(b[1::2], abs=1e-9)


def test_ovals_are_round_within_a_thousandth():
    (oval,) = figures("oval 0 0 1 1")
    x0, y0 = oval.ops[0][1]
    for _, (x1, y1, x2, y2, x3, y3) in oval.ops[1:]:
        for t in (0.1, 0.25, 0.5, 0.75):
            a, b, c, d = (1 - t) ** 3, 3 * t * (1 - t) ** 2, 3 * t * t * (1 - t), t**3
            assert math.hypot(a * x0 + b * x1 + c * x2 + d * x3, a * y0 + b * y1 + c * y2 + d * y3) == pytest.approx(1, abs=1e-3)
        x0, y0 = x3, y3


@pytest.mark.parametrize(
    "cell", ["line 0 0", "line 0 0 1", "oval 1 2 3", "star 0 0 1 1", "line 0 0 x 1", "line 0 0 nan 1", "line 0 0 inf 1"]
)
def test_wrong_drawings_are_refused(cell):
    with pytest.raises(ValueError):
        figures(cell)


def test_a_wrong_row_names_file_and_line(tmp_path, monkeypatch):
    (tmp_path / "symbols").mkdir()
    (tmp_path / "symbols" / "mine.tsv").write_text("symbol\theight\talone\tleg\ttop\tfoot\tlegs\tnote\nknot\t1\tlien 0 0 1 1\n", "utf-8")
    monkeypatch.setattr("booklet.tables.symbols.folder", lambda _: tmp_path)
    monkeypatch.setattr("booklet.tables.reader.folder", lambda _: tmp_path)
    symbols.cache_clear()
    symbol_sets.cache_clear()
    try:
        with pytest.raises(TableFault) as fault:
            symbols("mine")
        assert (fault.value.file, fault.value.line) == ("symbols/mine.tsv", 2)
        with pytest.raises(KeyError):
            symbols("us")
    finally:
        symbols.cache_clear()
        symbol_sets.cache_clear()
