"""Comes in: a tagged PDF of ours, a page for each panel in the order of reading. Goes out: the sheets that are folded, tags and all.

Unlike the sheets of a press job (`impose.py`) these stay readable aloud: the panels' drawings are put on one page as they are, and
what points to them (structure, links, destinations) is moved along. Files of others are not handled: how our engine writes is relied on.
"""

from __future__ import annotations

import io
import re
from typing import Any

from booklet.editions.leaflet import Leaflet, Panel
from booklet.press.marks import MM

MARKED = re.compile(rb"<</MCID (\d+)>>")


def on_sheets(data: bytes, leaflet: Leaflet) -> tuple[bytes, int]:
    """The panels on both sides of as many sheets as they fill, and the number of sides. The same input gives the same bytes."""
    import pikepdf

    with pikepdf.open(io.BytesIO(data)) as document:
        old = list(document.pages)
        bleed = -float(old[0].mediabox[0])
        tree = _Tree(document)
        moved: dict[tuple[int, int], tuple[Any, Panel, list[float]]] = {}  # old page -> new one, its panel, its trimmed box
        count = 0
        for sheet in range(-(-len(old) // len(leaflet.panels))):
            for outside in (True, False):
                panels = [one for one in leaflet.panels if one.outside == outside]
                pages = [(one, old[at]) for one in panels if (at := sheet * len(leaflet.panels) + one.number) < len(old)]
                made = _side(document, leaflet, pages, bleed, tree)
                count += 1
                for panel, page in pages:
                    moved[page.obj.objgen] = made, panel, [float(value) for value in page.trimbox]
        _point_there(document, moved)
        tree.point_to({key: made for key, (made, _, _) in moved.items()})
        del document.pages[: len(old)]
        out = io.BytesIO()
        document.remove_unreferenced_resources()
        document.save(out, deterministic_id=True, compress_streams=True, object_stream_mode=pikepdf.ObjectStreamMode.generate)
        return out.getvalue(), count


def _side(document: Any, leaflet: Leaflet, pages: list[tuple[Panel, Any]], bleed: float, tree: _Tree) -> Any:  # noqa: ANN401
    """One side as a new page at the end of the document."""
    import pikepdf
    from pikepdf import Array, Dictionary, Name

    wide, high = leaflet.width * MM, leaflet.height * MM
    content = b"\n".join(_placed(panel, page, leaflet, bleed, tree) for panel, page in pages)
    first = pages[0][1].obj if pages else document.pages[0].obj
    made = Dictionary(
        Type=Name.Page,
        MediaBox=Array([-bleed, -bleed, wide + bleed, high + bleed]),
        BleedBox=Array([-bleed, -bleed, wide + bleed, high + bleed]),
        TrimBox=Array([0, 0, wide, high]),
        CropBox=Array([0, 0, wide, high]),
        Resources=first.Resources,  # our engine has one for all pages
        Contents=document.make_stream(content),
        Tabs=Name.S,
        StructParents=tree.next_key(),
    )
    links = [link for panel, page in pages for link in _moved_links(panel, page)]
    if links:
        made.Annots = Array(links)
    page = pikepdf.Page(document.make_indirect(made))
    document.pages.append(page)
    return document.pages[-1].obj


def _matrix(panel: Panel, trim: list[float]) -> tuple[float, float, float]:
    """The scale (1, or -1 for upside down) and the way that a panel moves, in points."""
    x, y = panel.x * MM, panel.y * MM
    return (-1, x + trim[2], y + trim[3]) if panel.turned else (1, x - trim[0], y - trim[1])


def _placed(panel: Panel, page: Any, leaflet: Leaflet, bleed: float, tree: _Tree) -> bytes:  # noqa: ANN401
    """The drawing of a panel, cut at the folds and bled at the edges of the sheet; its marks numbered anew."""
    left, low = panel.x * MM, panel.y * MM
    right, top = left + panel.width * MM, low + panel.height * MM
    left, low = (edge - bleed if edge < 0.01 else edge for edge in (left, low))
    right = right + bleed if right > leaflet.width * MM - 0.01 else right
    top = top + bleed if top > leaflet.height * MM - 0.01 else top
    scale, dx, dy = _matrix(panel, [float(value) for value in page.trimbox])
    start = tree.add(page.obj)
    drawn = MARKED.sub(lambda found: b"<</MCID %d>>" % (int(found[1]) + start), page.obj.Contents.read_bytes())
    clip = f"q {left:.4f} {low:.4f} {right - left:.4f} {top - low:.4f} re W n {scale} 0 0 {scale} {dx:.4f} {dy:.4f} cm\n"
    return clip.encode() + drawn + b"\nQ"


class _Tree:
    """The structure of a document: which marks of which page belong to which element (ISO 32000-1, 14.7.4)."""

    def __init__(self, document: Any) -> None:  # noqa: ANN401
        self.document = document
        numbers = document.Root.StructTreeRoot.ParentTree.Nums
        self.elements = {int(numbers[k]): numbers[k + 1] for k in range(0, len(numbers), 2)}
        self.next = max(self.elements, default=-1) + 1
        self.starts: dict[tuple[int, int], int] = {}  # page -> number of its first mark on the new page
        self.gathered: list[Any] = []

    def next_key(self) -> int:
        """Close the side that was gathered: its key in the tree."""
        from pikepdf import Array

        self.elements[self.next] = self.document.make_indirect(Array(self.gathered))
        self.gathered = []
        self.next += 1
        return self.next - 1

    def add(self, page: Any) -> int:  # noqa: ANN401
        """Take the marks of a page over; the number that its first one gets."""
        start = len(self.gathered)
        self.gathered += list(self.elements.pop(int(page.StructParents), []))
        self.starts[page.objgen] = start
        return start

    def point_to(self, moved: dict[tuple[int, int], Any]) -> None:
        """Elements name the new pages and the new numbers of their marks."""
        from pikepdf import Array, Dictionary

        waiting, seen = [self.document.Root.StructTreeRoot.K], set()
        while waiting:
            one = waiting.pop()
            if isinstance(one, Array):
                waiting += list(one)
            elif isinstance(one, Dictionary) and (not one.is_indirect or one.objgen not in seen):
                seen.add(one.objgen)
                page = one.get("/Pg")
                kids = one.get("/K")
                if page is not None and page.objgen in moved:
                    start = self.starts[page.objgen]
                    if isinstance(kids, Array):
                        one.K = kids = Array([kid + start if isinstance(kid, int) else kid for kid in kids])
                    elif isinstance(kids, int):
                        one.K = kids + start
                    one.Pg = moved[page.objgen]
                if isinstance(kids, Array | Dictionary):
                    waiting.append(kids)
        numbers: list[Any] = [value for key in sorted(self.elements) for value in (key, self.elements[key])]
        self.document.Root.StructTreeRoot.ParentTree.Nums = Array(numbers)


def _moved_links(panel: Panel, page: Any) -> list[Any]:  # noqa: ANN401
    """The links of a panel, lying where it lies."""
    from pikepdf import Array

    scale, dx, dy = _matrix(panel, [float(value) for value in page.trimbox])
    links = list(page.obj.get("/Annots", []))
    for link in links:
        left, low, right, top = (float(value) for value in link.Rect)
        xs, ys = sorted((scale * left + dx, scale * right + dx)), sorted((scale * low + dy, scale * top + dy))
        link.Rect = Array([xs[0], ys[0], xs[1], ys[1]])
    return links


def _point_there(document: Any, moved: dict[tuple[int, int], tuple[Any, Panel, list[float]]]) -> None:  # noqa: ANN401
    """Bookmarks and named places lead to where their panel has gone."""
    places = []
    if "/Names" in document.Root and "/Dests" in document.Root.Names:
        places += list(document.Root.Names.Dests.Names)[1::2]
    waiting = [document.Root.Outlines] if "/Outlines" in document.Root else []
    while waiting:
        item = waiting.pop()
        waiting += [item[key] for key in ("/First", "/Next") if key in item]
        places += [item.Dest] if "/Dest" in item else []
    for place in places:
        found = moved.get(place[0].objgen)
        if found is not None:
            page, panel, trim = found
            scale, dx, dy = _matrix(panel, trim)
            place[0], place[2], place[3] = page, scale * float(place[2]) + dx, scale * float(place[3]) + dy
