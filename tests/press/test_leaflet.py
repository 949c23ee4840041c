"""Leaflets, folded by coordinates: what a reader meets when the sheet is unfolded has to be the panels in order."""

from __future__ import annotations

import io
from functools import cache

import pikepdf
import pytest

from booklet.editions.discover import layout
from booklet.editions.leaflet import leaflet
from booklet.outputs.pdf import write_pdf
from booklet.press.finish import finish
from booklet.press.leaflet import on_sheets
from booklet.press.marks import MM
from tests.press.test_impose import Found, read_sides

LEAFLETS = ("leaflet-dl", "leaflet-a6")
SHEETS = {"leaflet-dl": (297, 210), "leaflet-a6": (210, 297)}  # ISO 216: A4, lying and upright


@cache
def made(name: str, count: int = 0) -> tuple[bytes, int]:
    """Panels whose number stands in their upper left part, a place with a link to it on each, on their sheets."""
    setting = layout(name)
    count = count or len(setting.sheet.panels)
    sizes = "".join(f"@page :nth({which}) {{ size: {width:.3f}mm {setting.height_mm}mm }}" for which, width in setting.other_pages)
    pages = "".join(
        f'<h2 id="p{n}" style="break-before: page">P{n}</h2><p><a href="https://example.org/{n}">Z</a></p>' for n in range(1, count + 1)
    )
    html = (
        f"<!doctype html><html lang=en><title>Panels</title><style>@page {{ size: {setting.width_mm}mm {setting.height_mm}mm; "
        f"bleed: 3mm; margin: 20mm }} {sizes} body {{ margin: 0 }} h2 {{ margin: 0; font-size: 20pt }}</style><body>{pages}"
    )
    return on_sheets(write_pdf(html, {}).data, setting.sheet)


def panel_at(side: list[Found], x: float, y: float, width: float, height: float, up: float) -> int:
    """The one number in a rectangle of a side, which stands as it has to."""
    here = [one for one in side if x < one.x < x + width and y < one.y < y + height]
    assert len(here) == 1
    assert here[0].up == pytest.approx(up)
    return here[0].page


def test_a_rolled_sheet_is_read_in_order() -> None:
    """The sheet lies with its inside up. Its right panel is turned in, then its left one over it."""
    sheet = layout("leaflet-dl").sheet
    outside, inside = read_sides(made("leaflet-dl")[0])
    a, b = sheet.width - sheet.upright[1], sheet.width - sheet.upright[0]  # the folds as they lie from the left of the inside
    assert sheet.width - b < a and sheet.width - b < b - a  # what is turned in is shorter than the room for it

    def behind(x0: float, x1: float) -> int:  # what the outside bears behind a stretch of the inside, seen through the paper
        return panel_at(outside, sheet.width - x1, 0, x1 - x0, sheet.height, 1)

    front, turned_in, back = behind(0, a), behind(b, sheet.width), behind(a, b)
    opened = [panel_at(inside, x0, 0, x1 - x0, sheet.height, 1) for x0, x1 in ((0, a), (a, b), (b, sheet.width))]
    assert [front, turned_in, *opened, back] == [1, 2, 3, 4, 5, 6]


def test_a_sheet_folded_crosswise_is_read_in_order() -> None:
    """The sheet lies with its outside up. Its upper half goes behind the lower one, then its left half behind the right one."""
    sheet = layout("leaflet-a6").sheet
    outside, inside = read_sides(made("leaflet-a6")[0])
    (x,), (y,) = sheet.upright, sheet.lying

    # The upper half hangs behind: seen from there, what was upside down stands upright, and left is right only if it was on the right.
    def hanging(left: bool) -> int:
        # From behind, left and right change once; the half is turned about a lying edge, so they do not change again.
        x0 = x if left else 0
        return panel_at(outside, x0, y, x, sheet.height - y, -1)

    spread = [panel_at(outside, 0, 0, x, y, 1), panel_at(outside, x, 0, x, y, 1)]
    # Folded about x with the spread inside, the hanging half is outside: the right one seen from there is the front of a book.
    front, back = hanging(left=False), hanging(left=True)
    unfolded = [panel_at(inside, x0, y0, x, y, 1) for y0 in (y, 0) for x0 in (0, x)]
    assert [front, *spread, *unfolded, back] == [1, 2, 3, 4, 5, 6, 7, 8]


@pytest.mark.parametrize("name", LEAFLETS)
def test_sheets_have_their_sizes_and_panels_fill_them(name: str) -> None:
    sheet = layout(name).sheet
    data, sides = made(name)
    with pikepdf.open(io.BytesIO(data)) as document:
        assert sides == len(document.pages) == 2
        for page in document.pages:
            trim, bleed = ([float(value) / MM for value in box] for box in (page.trimbox, page.bleedbox))
            assert trim == pytest.approx([0, 0, *SHEETS[name]], abs=0.01)
            assert bleed == pytest.approx([-3, -3, SHEETS[name][0] + 3, SHEETS[name][1] + 3], abs=0.01)
    for outside in (True, False):
        panels = [one for one in sheet.panels if one.outside == outside]
        assert sum(one.width * one.height for one in panels) == pytest.approx(sheet.width * sheet.height)
        assert not any(
            a.x + 0.01 < b.x + b.width and b.x + 0.01 < a.x + a.width and a.y + 0.01 < b.y + b.height and b.y + 0.01 < a.y + a.height
            for k, a in enumerate(panels)
            for b in panels[:k]
        )
    if name == "leaflet-dl":
        widths = sorted({round(one.width, 3) for one in sheet.panels})
        assert widths[1] - widths[0] == pytest.approx(2, abs=0.01)  # the panel that is folded in; common practice, no source
        assert 99 <= widths[1] < 110 and sheet.height < 220  # DL, a third of A4, and the envelope for it: ISO 269


@pytest.mark.parametrize("name", LEAFLETS)
def test_tags_links_and_places_go_with_their_panels(name: str) -> None:
    sheet = layout(name).sheet
    with pikepdf.open(io.BytesIO(made(name)[0])) as document:
        numbers = document.Root.StructTreeRoot.ParentTree.Nums
        tree = {int(numbers[k]): numbers[k + 1] for k in range(0, len(numbers), 2)}
        for number, page in enumerate(document.pages):
            marks = sorted(int(found) for found in marked(page))
            parents = tree[int(page.obj.StructParents)]
            assert marks == list(range(len(parents)))
            for mark in marks:
                element = parents[mark]
                assert mark in [kid for kid in element.K if isinstance(kid, int)]
                assert element.Pg.objgen == page.obj.objgen
            for link in page.obj.Annots:
                panel = sheet.panels[int(str(link.A.URI).rsplit("/", 1)[1]) - 1]
                left, low, right, top = (float(value) / MM for value in link.Rect)
                assert panel.outside == (number == 0)
                assert panel.x < left <= right < panel.x + panel.width and panel.y < min(low, top) and max(low, top) < panel.y + panel.height
        item, titles = document.Root.Outlines.First, []
        while item is not None:
            panel = sheet.panels[int(str(item.Title)[1:]) - 1]
            assert item.Dest[0].objgen == document.pages[0 if panel.outside else 1].obj.objgen
            assert panel.y <= float(item.Dest[3]) / MM <= panel.y + panel.height
            titles.append(str(item.Title))
            item = item.get("/Next")
        assert titles == [f"P{n}" for n in range(1, len(sheet.panels) + 1)]


def marked(page: pikepdf.Page) -> list[int]:
    return [
        int(operands[1]["/MCID"])
        for operands, operator in pikepdf.parse_content_stream(page)
        if str(operator) == "BDC" and isinstance(operands[1], pikepdf.Dictionary) and "/MCID" in operands[1]
    ]


@pytest.mark.parametrize("name", LEAFLETS)
def test_folds_are_marked_beyond_the_bleed(name: str) -> None:
    setting = layout(name)
    sheet = setting.sheet
    data = finish(made(name)[0], "press", setting.folds).data
    with pikepdf.open(io.BytesIO(data)) as document:
        for number, page in enumerate(document.pages):
            bleed, media = ([float(value) / MM for value in box] for box in (page.bleedbox, page.mediabox))
            lines = strokes(page)
            upright = {round(x if number == 0 else sheet.width - x, 2) for x in sheet.upright}
            assert upright == {round(x0, 2) for x0, y0, x1, y1 in lines if x0 == x1}
            assert {round(y, 2) for y in sheet.lying} == {round(y0, 2) for x0, y0, x1, y1 in lines if y0 == y1}
            for x0, y0, x1, y1 in lines:
                beyond = max(y0, y1) < bleed[1] or min(y0, y1) > bleed[3] or max(x0, x1) < bleed[0] or min(x0, x1) > bleed[2]
                assert beyond
                assert media[0] <= min(x0, x1) and max(x0, x1) <= media[2] and media[1] <= min(y0, y1) and max(y0, y1) <= media[3]


def strokes(page: pikepdf.Page) -> list[tuple[float, float, float, float]]:
    """The broken lines of the last thing that is drawn on a page, in mm."""
    found, at = [], (0.0, 0.0)
    last = page.obj.Contents[len(page.obj.Contents) - 1].read_bytes()
    for line in last.decode("latin-1").splitlines():
        words = line.split()
        if words[-1:] == ["l"] and "m" in words:
            at = float(words[0]) / MM, float(words[1]) / MM
            found.append((*at, float(words[3]) / MM, float(words[4]) / MM))
    return found


def test_more_panels_than_a_sheet_has_take_another_sheet() -> None:
    data, sides = made("leaflet-dl", 12)
    assert sides == 4
    numbers = [sorted(one.page for one in side) for side in read_sides(data)]
    assert numbers == [[1, 2, 6], [3, 4, 5], [7, 8, 12], [9, 10, 11]]
    assert made.__wrapped__("leaflet-dl", 12)[0] == data  # the same bytes


def test_an_unknown_fold_is_refused() -> None:
    with pytest.raises(ValueError, match="no fold"):
        leaflet("zigzag", 297, 210)
