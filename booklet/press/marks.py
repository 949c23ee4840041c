"""Comes in: an opened PDF with trimmed pages. Goes out: boxes and crop marks for a press, or cut for a screen. Colours stay."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import Any

MM = 72 / 25.4
OFF_MM, LONG_MM, EDGE_MM = 1.0, 5.0, 1.0  # mark to bleed, its length, and white around it: common practice, no source
WIDE_PT = 0.25
DASH_PT = 2.5  # of a broken line


def every_plate(document: Any) -> Any:  # noqa: ANN401
    """The colour that prints on every plate at once (All, ISO 32000-1, 8.6.6.4), as an object of the document."""
    from pikepdf import Array, Dictionary, Name

    tint = Dictionary(FunctionType=2, Domain=[0, 1], C0=[0, 0, 0, 0], C1=[1, 1, 1, 1], N=1)
    return document.make_indirect(Array([Name.Separation, Name.All, Name.DeviceCMYK, tint]))


def crop_marks(document: Any, upright: Sequence[float] = (), lying: Sequence[float] = ()) -> None:  # noqa: ANN401
    """Make room round the bleed and draw the marks in it, on every plate; folds are in mm, as `fold_marks` has them."""
    from pikepdf import Array

    every = every_plate(document)
    for page in document.pages:
        trim, bleed = ([float(value) for value in box] for box in (page.trimbox, page.bleedbox))
        room = (OFF_MM + LONG_MM + EDGE_MM) * MM
        page.obj.MediaBox = Array([bleed[0] - room, bleed[1] - room, bleed[2] + room, bleed[3] + room])
        page.obj.BleedBox, page.obj.TrimBox = Array(bleed), Array(trim)
        if "/CropBox" in page.obj:
            del page.obj.CropBox
        _on_every_plate(page, every)
        clip = f"q {bleed[0]:.3f} {bleed[1]:.3f} {bleed[2] - bleed[0]:.3f} {bleed[3] - bleed[1]:.3f} re W n "
        page.contents_add(document.make_stream(clip.encode()), prepend=True)
        page.contents_add(document.make_stream(_drawn(trim, bleed).encode()))
    fold_marks(document, upright, lying)


def fold_marks(document: Any, upright: Sequence[float], lying: Sequence[float]) -> None:  # noqa: ANN401
    """Broken lines beyond the bleed where the sheet is folded, on every plate; the room for them has to be there.

    Folds are measured in mm from the lower left corner of the first page, the outside; the pages after it are insides and outsides
    by turns. The sheet is turned about its upright edge.
    """
    if not upright and not lying:
        return
    every = every_plate(document)
    for number, page in enumerate(document.pages):
        trim, bleed = ([float(value) for value in box] for box in (page.trimbox, page.bleedbox))
        xs = [trim[0] + x * MM if number % 2 == 0 else trim[2] - x * MM for x in upright]
        ys = [trim[1] + y * MM for y in lying]
        _on_every_plate(page, every)
        look = f"/Artifact BMC q /PressAll CS 1 SCN {WIDE_PT} w [{DASH_PT} {DASH_PT}] 0 d"
        drawn = "\n".join([look, *_outward(bleed, xs, ys), "S Q EMC"])
        page.contents_add(document.make_stream(drawn.encode()))


def _drawn(trim: list[float], bleed: list[float]) -> str:
    """Two lines at each corner, in line with the trim."""
    lines = _outward(bleed, (trim[0], trim[2]), (trim[1], trim[3]))
    return "\n".join([f" Q /Artifact BMC q /PressAll CS 1 SCN {WIDE_PT} w", *lines, "S Q EMC"])


def _outward(bleed: Sequence[float], xs: Iterable[float], ys: Iterable[float]) -> list[str]:
    """Short lines beyond all four edges of the bleed: at these heights left and right, at these x below and above."""
    ends = [[bleed[side] + (1 if side > 1 else -1) * MM * one for one in (OFF_MM, OFF_MM + LONG_MM)] for side in range(4)]
    found = [f"{ends[side][0]:.3f} {y:.3f} m {ends[side][1]:.3f} {y:.3f} l" for side in (0, 2) for y in ys]
    return found + [f"{x:.3f} {ends[side][0]:.3f} m {x:.3f} {ends[side][1]:.3f} l" for side in (1, 3) for x in xs]


def _on_every_plate(page: Any, every: Any) -> None:  # noqa: ANN401
    """Give a page the colour /PressAll. The engine shares one dictionary among all pages: each gets its own."""
    from pikepdf import Dictionary

    resources = page.obj.Resources = Dictionary(dict(page.obj.Resources.items()))
    resources.ColorSpace = Dictionary({**dict(resources.get("/ColorSpace", {}).items()), "/PressAll": every})


def cut_bleed(document: Any) -> None:  # noqa: ANN401
    """For a screen: the page ends at the trim."""
    from pikepdf import Array

    for page in document.pages:
        trim = [float(value) for value in page.trimbox]
        for name in ("/MediaBox", "/BleedBox", "/TrimBox", "/CropBox"):
            page.obj[name] = Array(trim)
