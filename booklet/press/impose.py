"""Comes in: a finished PDF and a plan of sheets. Goes out: the PDF of the sheets; every page is placed whole, as the drawing it is.

A sheet is a form for a press: tags, links and bookmarks do not come along.
"""

from __future__ import annotations

import io
from collections.abc import Iterator
from contextlib import contextmanager
from typing import Any, NamedTuple

from booklet.press.boxes import NoBox, bleed_box, media_box, trim_box
from booklet.press.facts import Unreadable
from booklet.press.marks import MM, every_plate
from booklet.press.opened import faults, opened
from booklet.press.sheets import Plan, Side, Slot, cut_marks, fold_marks, register_marks

SLACK = 0.5  # points by which the pages of a file may differ in size


class NotImposable(Exception):
    """Why a file cannot be laid on sheets."""


class Source(NamedTuple):
    """What a plan needs to know of a file."""

    pages: int
    trim: tuple[float, float]  # mm
    bleed: float  # mm round the trimmed page, the least of all sides and pages


def source_of(data: bytes) -> Source:
    """Look at the boxes. Raises NotImposable."""
    with _opened(data) as document:
        count = len(document.pages)
        if not count:
            raise NotImposable("it has no pages")
        first = _boxes(document)[0][0]
        size = (first[2] - first[0], first[3] - first[1])
        if min(size) < 10:
            raise NotImposable("its pages are too small")
        bleed = 1000.0
        for number, (page, (trim, outer)) in enumerate(zip(document.pages, _boxes(document), strict=True), 1):
            if page.obj.get("/UserUnit", 1) != 1:  # a form does not keep it: the page would come out smaller than it is
                raise NotImposable(f"page {number} is measured in units of its own; save the file as ordinary pages")
            if page.obj.get("/Rotate", 0) % 360:
                raise NotImposable(f"page {number} is stored turned; save the file with upright pages")
            if abs(trim[2] - trim[0] - size[0]) > SLACK or abs(trim[3] - trim[1] - size[1]) > SLACK:
                raise NotImposable(f"page {number} has another size than page 1; all pages of a job are alike")
            edges = (trim[0] - outer[0], trim[1] - outer[1], outer[2] - trim[2], outer[3] - trim[3])
            bleed = min(bleed, *edges)
        return Source(count, (size[0] / MM, size[1] / MM), max(0.0, bleed / MM))


def impose(data: bytes, plan: Plan, bleed: float) -> bytes:
    """Lay the pages out. `bleed` is what the file has, in mm. The same input gives the same bytes. Raises NotImposable."""
    import pikepdf
    from pikepdf import Array, Dictionary, Name

    with _opened(data) as document:
        made = pikepdf.new()
        forms: list[Any] = []
        trims = []
        for page in document.pages:
            form = made.copy_foreign(document.make_indirect(page.as_form_xobject(handle_transformations=False)))
            form.BBox = Array(media_box(page))  # else the bleed is cut
            forms.append(form)
            trims.append(trim_box(page))
        if "/OutputIntents" in document.Root:
            made.Root.OutputIntents = made.copy_foreign(document.make_indirect(document.Root.OutputIntents))
        every = every_plate(made)
        paper = [0, 0, plan.paper[0] * MM, plan.paper[1] * MM]
        for side in plan.sides:
            used = sorted({slot.page for slot in side.slots if slot.page is not None})
            resources = Dictionary(
                XObject=Dictionary({f"/P{number}": forms[number] for number in used}), ColorSpace=Dictionary(PressAll=every)
            )
            content = "\n".join([_placed(slot, plan, trims, bleed) for slot in side.slots] + [_marks(plan, side)])
            sheet = Dictionary(
                Type=Name.Page, MediaBox=Array(paper), TrimBox=Array(paper), Resources=resources,
                Contents=made.make_stream(content.encode()),
            )  # fmt: skip
            made.pages.append(pikepdf.Page(made.make_indirect(sheet)))
        for key in ("/Title", "/CreationDate", "/ModDate"):
            if key in document.docinfo:
                made.docinfo[key] = str(document.docinfo[key])
        out = io.BytesIO()
        made.save(out, deterministic_id=True, compress_streams=True, object_stream_mode=pikepdf.ObjectStreamMode.generate)
        return out.getvalue()


def _placed(slot: Slot, plan: Plan, trims: list[list[float]], bleed: float) -> str:
    """The drawing of one page: clipped to its bleed, but never over a fold."""
    if slot.page is None:
        return ""
    wide, high = plan.trim
    out = max(0.0, min(bleed, plan.room))
    left, right = slot.x - (0 if slot.spine == "left" else out), slot.x + wide + (0 if slot.spine == "right" else out)
    shift = {"left": -slot.shift, "right": slot.shift, "": 0.0}[slot.spine]
    clip = f"{left * MM:.4f} {(slot.y - out) * MM:.4f} {(right - left) * MM:.4f} {(high + 2 * out) * MM:.4f} re W n"
    trim = trims[slot.page]
    x, y = (slot.x + shift) * MM, slot.y * MM
    if slot.turned:
        move = f"-1 0 0 -1 {x + trim[2]:.4f} {y + trim[3]:.4f} cm"
    else:
        move = f"1 0 0 1 {x - trim[0]:.4f} {y - trim[1]:.4f} cm"
    return f"q {clip} {move} /P{slot.page} Do Q"


def _marks(plan: Plan, side: Side) -> str:
    """Cut, fold and register marks, on every plate."""
    said = ["q /PressAll CS 1 SCN 0.25 w"]
    for x0, y0, x1, y1 in (*cut_marks(plan, side), *fold_marks(plan, side)):
        said.append(f"{x0 * MM:.4f} {y0 * MM:.4f} m {x1 * MM:.4f} {y1 * MM:.4f} l S")
    for x, y in register_marks(plan):
        arm, round_ = 2.0 * MM, 1.1 * MM
        cx, cy = x * MM, y * MM
        k = round_ * 0.5523
        said.append(f"{cx - arm:.4f} {cy:.4f} m {cx + arm:.4f} {cy:.4f} l {cx:.4f} {cy - arm:.4f} m {cx:.4f} {cy + arm:.4f} l S")
        said.append(
            f"{cx + round_:.4f} {cy:.4f} m {cx + round_:.4f} {cy + k:.4f} {cx + k:.4f} {cy + round_:.4f} {cx:.4f} {cy + round_:.4f} c "
            f"{cx - k:.4f} {cy + round_:.4f} {cx - round_:.4f} {cy + k:.4f} {cx - round_:.4f} {cy:.4f} c "
            f"{cx - round_:.4f} {cy - k:.4f} {cx - k:.4f} {cy - round_:.4f} {cx:.4f} {cy - round_:.4f} c "
            f"{cx + k:.4f} {cy - round_:.4f} {cx + round_:.4f} {cy - k:.4f} {cx + round_:.4f} {cy:.4f} c S"
        )
    return "\n".join([*said, "Q"])


@contextmanager
def _opened(data: bytes) -> Iterator[Any]:
    """A file of anybody's; whatever is wrong inside it is said, not raised as it comes."""
    from booklet.tables.limits import limits

    try:
        with opened(data) as document:
            if len(document.pages) > limits()["press_pages"]:
                raise NotImposable(f"it has more than {limits()['press_pages']} pages")
            yield document
    except Unreadable as fault:
        raise NotImposable(str(fault)) from fault
    except faults() as fault:
        raise NotImposable("it is damaged") from fault


def _boxes(document: Any) -> list[tuple[list[float], list[float]]]:  # noqa: ANN401
    """The trimmed and the bled box of each page."""
    found = []
    for number, page in enumerate(document.pages, 1):
        try:
            found.append((trim_box(page), bleed_box(page)))
        except NoBox as fault:
            raise NotImposable(f"page {number} {fault}") from fault
    return found
