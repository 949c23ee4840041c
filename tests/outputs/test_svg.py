"""The SVG is read again as a reader would: every mark's lines lie where its mark says, and nothing else is drawn."""

import math
import re
import xml.etree.ElementTree as ET

import pytest

from booklet.drawings.fit import Style, fit
from booklet.drawings.outline import OutlineStyle, outline
from booklet.drawings.place import place
from booklet.outputs.svg import svg
from booklet.tables.stitches import stitches
from booklet.tables.symbols import symbols
from tests.drawings import charts

SVG = "{http://www.w3.org/2000/svg}"
GAP = 0.15  # of a symbol width, left free below a top


def mixed():
    maker = charts.Maker("Mix", "joined").ring().round("s" * 6, ring=True, way="joined", chains=1)
    maker.round("i" * 6, way="joined", chains=1).round("si" * 6, way="joined", chains=1)
    return maker.round("dD" * 9, way="joined", chains=3).round("V" * 13 + "s", way="joined", chains=1)


MAKERS = {"ball": charts.ball, "joined": lambda: charts.disc(48, joined=True), "oval": charts.oval, "rows": charts.rows,
          "legs": charts.legs, "mixed": mixed}  # fmt: skip


def written(maker, style=None, **more):
    style = style or Style(170, 240, most_mm=4.0)
    for panel in place(maker.graph(), stitches(), symbols()):
        drawing = fit(panel, style, stitches(), symbols())
        yield drawing, svg(drawing, "Nut & cap <3", "Rounds 1 to 5", "nut", font="Alegreya Sans", **more)


def subpaths(text):
    """(points, closed) of every subpath."""
    found = []
    for part in re.findall(r"M[^M]*", text):
        numbers = [float(n) for n in re.findall(r"-?\d*\.?\d+", part)]
        assert len(numbers) % 2 == 0
        found.append((list(zip(numbers[::2], numbers[1::2], strict=True)), part.rstrip().endswith("Z")))
    return found


def middle(points):
    xs, ys = [x for x, _ in points], [y for _, y in points]
    return (min(xs) + max(xs)) / 2, (min(ys) + max(ys)) / 2


def wanted(mark, size):
    """Where the middles of a mark's main lines must lie, worked out here from feet and head alone, and how many lines it has."""
    head = mark.heads[0]
    if mark.shape == "chain":
        up = math.radians(mark.rotation)
        return [(head[0] - 0.23 * size * math.sin(up), head[1] + 0.23 * size * math.cos(up))], 1
    foot = tuple(sum(f[k] for f in mark.feet) / len(mark.feet) for k in (0, 1))
    length = math.dist(foot, head)
    half = ((foot[0] + head[0]) / 2, (foot[1] + head[1]) / 2)
    if mark.shape == "upright" or mark.kind == "slip_stitch":
        return [half], 1
    if mark.kind == "single_crochet" and not mark.shape:
        return [half, half], 2
    top = tuple(head[k] - (head[k] - foot[k]) / length * GAP * size for k in (0, 1))
    stems = [((f[0] + top[0]) / 2, (f[1] + top[1]) / 2) for f in mark.feet]
    # single crochet: a stem and its cross; double crochet: a stem, a slash, one bar at the top
    return stems, 2 * len(stems) + (0 if mark.kind in ("single_crochet", "sc2tog") else 1)


@pytest.mark.parametrize("name", MAKERS)
def test_every_mark_is_found_in_the_svg_and_nothing_else(name):
    for drawing, text in written(MAKERS[name]()):
        root = ET.fromstring(text)
        paths = [e for e in root.iter(f"{SVG}path") if "-marks-" in e.get("id")]
        free = [middle(points) for path in paths for points, _ in subpaths(path.get("d"))]
        total = len(free)
        expected = 0
        for mark in drawing.marks:
            places, lines = wanted(mark, drawing.symbol_mm)
            expected += lines
            for place_ in places:
                nearest = min(free, key=lambda point: math.dist(point, place_))
                assert math.dist(nearest, place_) <= 0.05 * drawing.symbol_mm, (mark.kind, mark.shape, mark.round)
                free.remove(nearest)
        assert expected == total


@pytest.mark.parametrize("name", MAKERS)
def test_nothing_is_drawn_outside_the_view_box(name):
    for _, text in written(MAKERS[name]()):
        root = ET.fromstring(text)
        left, top, width, height = (float(n) for n in re.split("[ ,]+", root.get("viewBox")))
        for path in root.iter(f"{SVG}path"):
            for points, _ in subpaths(path.get("d")):
                for x, y in points:
                    assert left - 0.01 <= x <= left + width + 0.01 and top - 0.01 <= y <= top + height + 0.01


def test_the_file_is_plain_svg_with_title_and_numbers():
    (drawing, text), _ = written(charts.ball())
    root = ET.fromstring(text)
    assert root.tag == f"{SVG}svg" and root.get("version") == "1.1"
    assert root.get("width") == f"{drawing.width_mm:.2f}".rstrip("0").rstrip(".") + "mm"
    assert root.find(f"{SVG}title").text == "Nut & cap <3" and root.find(f"{SVG}desc").text == "Rounds 1 to 5"
    assert [e.text for e in root.iter(f"{SVG}text")] == ["1", "2", "3", "4", "5", "6", "7–11"]
    assert {e.get("font-family") for e in root.iter(f"{SVG}text")} == {"Alegreya Sans"}


def test_nothing_is_used_that_the_pdf_engine_draws_wrongly():
    """Measured: shared symbols, outside style sheets, gradients and text on paths are not drawn alike by all readers."""
    for _, text in written(charts.ball()):
        assert not re.search(r"<use|<style|class=|Gradient|<image|href|url\(|transform|textPath|filter|<script|currentColor", text)
        assert not re.search(r"\d\.\d{3}", re.sub(r'stroke-width="[^"]*"', "", text)), "more than two decimals"
        assert "  " not in text and "\n" not in text.strip().partition("?>")[2].strip()


def test_ids_are_clean_and_unique():
    (drawing, _), _ = written(charts.ball())
    text = svg(drawing, "", "", 'Löffel "x" 3/4')
    ids = [e.get("id") for e in ET.fromstring(text).iter() if e.get("id")]
    assert len(ids) == len(set(ids)) == len(drawing.paths)
    assert all(re.fullmatch(r"[A-Za-z][A-Za-z0-9-]*", i) for i in ids)


def test_the_same_drawing_gives_the_same_bytes():
    assert [t for _, t in written(charts.ball())] == [t for _, t in written(charts.ball())]


def test_an_outline_is_written_too():
    drawing = outline([(4, 1), (8, 3), (8, 9)], OutlineStyle(20, 20), closed=False, rounds=(1, 2, 3), worked=(2, 3))
    root = ET.fromstring(svg(drawing, "", ""))
    assert root.find(f"{SVG}title") is None
    assert len(list(root.iter(f"{SVG}path"))) == 4
