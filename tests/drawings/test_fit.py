"""From symbol widths to paper: never too small, never thinner than a printer holds, the same picture for either hand."""

import json

import pytest

from booklet.drawings.as_json import chart_as_json, charts_as_json
from booklet.drawings.fit import Style, fit
from booklet.drawings.inks import luminance, pale, readable
from booklet.drawings.laps import symbol_name
from booklet.drawings.place import place
from booklet.drawings.sample import sample
from booklet.drawings.strokes import strokes
from booklet.tables.stitches import stitches
from booklet.tables.symbols import symbols
from tests.drawings import charts

A5 = Style(116, 178)


def drawings(maker, style=A5):
    return [fit(panel, style, stitches(), symbols()) for panel in place(maker.graph(), stitches(), symbols())]


def heights(drawing):
    for mark in drawing.marks:
        if mark.kind != "single_crochet" or mark.shape:
            continue
        symbol = symbols()[symbol_name(mark.kind, stitches(), symbols())]
        ys = [n for stroke in strokes(mark._replace(x=0, y=-10, feet=((0, 0),), heads=((0, -10),)), symbol) for _, n in stroke.ops]
        yield max(y for _, y in ys) - min(y for _, y in ys)


@pytest.mark.parametrize("maker", [charts.disc, charts.ball, charts.oval, charts.rows, lambda: charts.disc(60, joined=True)])
def test_a_symbol_is_at_least_3_mm_high_in_print(maker):
    for drawing in drawings(maker()):
        line = max(path.width for path in drawing.paths if path.role == "marks")
        assert all(height + line >= 3.0 for height in heights(drawing))


def test_what_does_not_fit_says_so_instead_of_shrinking():
    (small,) = drawings(charts.disc(36), Style(20, 20))
    assert not small.fits and small.width_mm > 20
    assert small.symbol_mm == Style(20, 20).least_mm
    (large,) = drawings(charts.disc(36), Style(400, 400))
    assert large.fits and large.symbol_mm == Style(1, 1).most_mm


def test_a_ball_of_36_stitches_fits_a_small_page():
    assert all(drawing.fits for drawing in drawings(charts.ball()))


def test_lines_are_a_quarter_point_at_least():
    """0.25 pt = 0.088 mm is the thinnest line that printers ask for (common practice, no source)."""
    for drawing in drawings(charts.ball()):
        assert all(path.width == 0 or path.width >= 0.088 for path in drawing.paths)


def test_one_path_for_each_ink_and_weight():
    maker = charts.disc(30).round("s" * 30, yarn="B").round("s" * 30, yarn="A")
    style = A5._replace(inks=(("A", "#7a4a2b"), ("B", "#2f5d7c")))
    (drawing,) = drawings(maker, style)
    keys = [(path.ink, path.width, path.role) for path in drawing.paths]
    assert len(keys) == len(set(keys))
    assert {path.ink for path in drawing.paths if path.role == "marks"} == {"#7a4a2b", "#2f5d7c"}


def test_pale_yarn_gets_a_contour_and_weak_ink_is_darkened():
    assert pale("#ecdfc6") and not pale("#d69b2d") and not pale("#2f5d7c")
    assert readable("#ecdfc6") == "#ecdfc6" and readable("#2f5d7c") == "#2f5d7c"
    assert luminance(readable("#d69b2d")) <= 0.28 < luminance("#d69b2d")
    (drawing,) = drawings(charts.disc(12), A5._replace(inks=(("A", "#ecdfc6"),)))
    roles = [path.role for path in drawing.paths]
    assert roles.index("contour") < roles.index("marks")
    contour, line = (next(path for path in drawing.paths if path.role == role) for role in ("contour", "marks"))
    assert contour.d == line.d and contour.width > line.width
    assert luminance(contour.ink) < 0.05


# WCAG 2.2, relative luminance: white 1, black 0, the contrast of pure red on white is 4.0 (published examples).
def test_luminance_by_the_published_formula():
    assert luminance("#ffffff") == pytest.approx(1)
    assert luminance("#000000") == 0
    assert 1.05 / (luminance("#ff0000") + 0.05) == pytest.approx(4.0, abs=0.01)


def test_the_tint_shows_in_greyscale_and_leaves_the_symbols_readable():
    tint = luminance(Style(1, 1).tint)
    assert tint < 0.85  # a visible step to white paper
    assert (tint + 0.05) / (luminance(Style(1, 1).ink) + 0.05) > 7


def test_left_handed_charts_are_mirrored_but_their_numbers_are_not():
    """Published: left-handers work the same symbols clockwise."""
    (right,), (left,) = drawings(charts.disc(24)), drawings(charts.disc(24), A5._replace(left_handed=True))
    for a, b in zip(right.marks, left.marks, strict=True):
        assert (b.x, b.y) == pytest.approx((-a.x, a.y))
        assert b.rotation == pytest.approx(-a.rotation)
    assert left.frame == pytest.approx((-right.frame[2], right.frame[1], -right.frame[0], right.frame[3]))
    assert [label.text for label in left.labels] == [label.text for label in right.labels]


def test_the_legend_names_every_symbol_once():
    maker = charts.Maker("Mix").ring().round("s" * 6, ring=True).round("i" * 6).round("shdb" * 3).round("sv" * 4, loop=1)
    entries = {entry for drawing in drawings(maker) for entry in drawing.legend}
    names = {entry.stitch for entry in entries}
    assert {"single_crochet", "increase", "half_double_crochet", "double_crochet", "bobble", "sc2tog", "front_loop"} <= names
    for entry in entries:
        drawing = sample(entry, A5, stitches(), symbols())
        assert drawing.paths and 0 < drawing.width_mm < 16 and 0 < drawing.height_mm < 16


def test_json_has_the_published_fields():
    found = charts_as_json(tuple(drawings(charts.ball())))
    assert json.loads(json.dumps(found)) == found
    chart = found["charts"][0]
    assert {"part", "form", "centre", "frame_mm", "symbol_mm", "marks", "labels"} <= set(chart)
    assert chart["form"] == "round" and chart["centre"] == [0, 0]
    mark = next(mark for mark in chart["marks"] if mark["round"] == 7)
    assert set(mark) == {"stitch", "kind", "round", "x", "y", "rotation", "size", "feet", "heads", "stands_for"}
    assert mark["stands_for"] == [7, 11] and [mark["x"], mark["y"]] == mark["heads"][0]
    assert all(type(m["round"]) is int and m["round"] >= 1 for c in found["charts"] for m in c["marks"])


def test_an_increase_is_two_marks_with_one_foot():
    chart = chart_as_json(drawings(charts.disc(12))[0])
    second = [mark for mark in chart["marks"] if mark["round"] == 2]
    assert len(second) == 12
    for a, b in zip(second[::2], second[1::2], strict=True):
        assert a["feet"] == b["feet"] and a["heads"] != b["heads"]
