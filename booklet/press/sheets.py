"""Comes in: a number of pages, their size, a sheet. Goes out: which page lies where on which side of which sheet; no PDF is touched.

Lengths in mm, x to the right and y upwards from the lower left corner of a sheet as it lies in front of the printer.
"""

from __future__ import annotations

from typing import NamedTuple

MARK_OFF, MARK_LONG = 1.5, 4.0  # from the trim to a cut mark, and its length: common practice, no source
MOST_ACROSS = 40  # copies of a page across or down a sheet


class Slot(NamedTuple):
    """One page on a side."""

    page: int | None  # from 0; None for an empty page
    x: float  # lower left corner of the trimmed page
    y: float
    turned: bool = False  # upside down
    spine: str = ""  # "left" or "right": the side at which it meets its neighbour in a fold
    shift: float = 0.0  # towards the spine, for the thickness of the paper


class Side(NamedTuple):
    """One side of a sheet."""

    sheet: int  # from 1
    back: bool
    slots: tuple[Slot, ...]


class Plan(NamedTuple):
    """All sides, fronts and backs by turns."""

    way: str  # saddle, cards, repeat
    paper: tuple[float, float]  # width, height
    trim: tuple[float, float]
    sides: tuple[Side, ...]
    folds: tuple[float, ...] = ()  # x of the folds
    blank: int = 0  # pages that were added to fill the last sheet
    room: float = 0.0  # that is left for bleed between and around the pages
    flip: str = "short"


class DoesNotFit(ValueError):
    """The sheet is too small; says what it would need."""


def saddle(count: int, trim: tuple[float, float], paper: tuple[float, float], creep: float = 0.0, flip: str = "short") -> Plan:
    """A booklet of folded sheets, one inside the other, sewn or stapled through the fold.

    Blank pages go before the last page, which stays outside. `creep` is how far the content of the innermost sheet moves towards
    the fold, in mm; the others by their share. `flip` is the edge about which the printer turns a lying sheet.
    """
    wide, high = trim
    width, height = max(paper), min(paper)
    if 2 * wide > width + 0.01 or high > height + 0.01:
        raise DoesNotFit(f"two pages of {wide:g} x {high:g} mm side by side need a sheet of {2 * wide:g} x {high:g} mm")
    if not 0 <= creep < wide / 4:
        raise DoesNotFit(f"a creep of {creep:g} mm is no creep: it is a few tenths of a millimetre a sheet")
    blank = -count % 4
    total = count + blank
    numbers: list[int | None] = list(range(count))
    at = max(count - 1, 1)
    numbers[at:at] = [None] * blank  # the last page stays the last one
    fold, low = width / 2, (height - high) / 2
    sides: list[Side] = []
    sheets = total // 4
    for s in range(sheets):
        shift = creep * s / (sheets - 1) if sheets > 1 else 0.0
        front = _spread(numbers[total - 1 - 2 * s], numbers[2 * s], fold, low, wide, shift)
        back = _spread(numbers[2 * s + 1], numbers[total - 2 - 2 * s], fold, low, wide, shift)
        if flip == "long":
            back = _upside_down(back, width, height, wide, high)
        sides += [Side(s + 1, False, front), Side(s + 1, True, back)]
    room = min(fold - wide, low)
    return Plan("saddle", (width, height), trim, tuple(sides), (fold,), blank, room, flip)


def _spread(left: int | None, right: int | None, fold: float, low: float, wide: float, shift: float) -> tuple[Slot, ...]:
    return (Slot(left, fold - wide, low, False, "right", shift), Slot(right, fold, low, False, "left", shift))


def _upside_down(slots: tuple[Slot, ...], width: float, height: float, wide: float, high: float) -> tuple[Slot, ...]:
    other = {"left": "right", "right": "left", "": ""}
    return tuple(
        slot._replace(x=width - slot.x - wide, y=height - slot.y - high, turned=not slot.turned, spine=other[slot.spine]) for slot in slots
    )


def cards(
    count: int,
    trim: tuple[float, float],
    paper: tuple[float, float],
    bleed: float = 0.0,
    flip: str = "long",
    repeat: bool = False,
    margin: float = 5.0,
    up: tuple[int, int] | None = None,
) -> Plan:
    """Cards side by side: pages 1 and 2 are front and back of the first one, 3 and 4 of the second.

    With `repeat` every sheet is full of one card. Between two cards there is room for the bleed of both. `margin` is what a printer
    cannot print at the edges. `up` is how many lie across and down; as many as the sheet holds if not given. A single page has an
    empty back.
    """
    across, down, (width, height) = _most(trim, paper, bleed, margin, up)
    gap = 2 * bleed
    left = (width - across * trim[0] - (across - 1) * gap) / 2
    low = (height - down * trim[1] - (down - 1) * gap) / 2
    blank = count % 2
    pairs: list[tuple[int | None, int | None]] = [(k, k + 1 if k + 1 < count else None) for k in range(0, count, 2)]
    each = across * down
    filled = [[pair] * each for pair in pairs] if repeat else [pairs[k : k + each] for k in range(0, len(pairs), each)]
    # A sheet that is turned about its upright edge meets its columns the other way round, about a lying edge its rows.
    upright = (flip == "long") == (height >= width)
    sides: list[Side] = []
    for number, group in enumerate(filled, 1):
        front, back = [], []
        for k, (face, rear) in enumerate(group):
            column, row = k % across, down - 1 - k // across
            x, y = left + column * (trim[0] + gap), low + row * (trim[1] + gap)
            front.append(Slot(face, x, y))
            if upright:
                back.append(Slot(rear, width - x - trim[0], y))
            else:
                back.append(Slot(rear, x, height - y - trim[1], True))
        sides.append(Side(number, False, tuple(front)))
        if any(slot.page is not None for slot in back):
            sides.append(Side(number, True, tuple(back)))
    room = min(bleed, left, low) if each > 1 else min(left, low)
    return Plan("repeat" if repeat else "cards", (width, height), trim, tuple(sides), (), blank, room, flip)


def creep_of(pages: int, thickness: float) -> float:
    """How far the innermost sheet of a booklet stands out of the outermost, in mm: by one thickness of paper for each sheet round it.

    Common practice, no source: the fold is taken as sharp.
    """
    return thickness * max(-(-pages // 4) - 1, 0)


def _most(
    trim: tuple[float, float], paper: tuple[float, float], bleed: float, margin: float, up: tuple[int, int] | None
) -> tuple[int, int, tuple[float, float]]:
    """How many fit across and down, and how the sheet lies: as it holds most, upright where that is the same."""
    best: tuple[int, int, tuple[float, float]] = (0, 0, paper)
    for sheet in ((min(paper), max(paper)), (max(paper), min(paper))):
        edge = max(margin, bleed)
        across = int((sheet[0] - 2 * edge + 2 * bleed + 0.01) // (trim[0] + 2 * bleed))
        down = int((sheet[1] - 2 * edge + 2 * bleed + 0.01) // (trim[1] + 2 * bleed))
        if up and across >= up[0] and down >= up[1]:
            return up[0], up[1], sheet
        if min(across, MOST_ACROSS) * min(down, MOST_ACROSS) > best[0] * best[1]:
            best = min(across, MOST_ACROSS), min(down, MOST_ACROSS), sheet
    if up and best[0] * best[1]:
        raise DoesNotFit(f"{up[0]} across and {up[1]} down do not fit; the sheet holds {best[0]} across and {best[1]} down")
    if not best[0] * best[1]:
        raise DoesNotFit(f"a card of {trim[0]:g} x {trim[1]:g} mm with {margin:g} mm round it does not fit on the sheet")
    return best


def cut_marks(plan: Plan, side: Side) -> tuple[tuple[float, float, float, float], ...]:
    """Lines x0, y0, x1, y1 where the sheet is cut: outside all pages, in line with their edges, within the sheet."""
    wide, high = plan.trim
    xs = sorted({round(x, 3) for slot in side.slots for x in (slot.x, slot.x + wide)} - {round(fold, 3) for fold in plan.folds})
    ys = sorted({round(y, 3) for slot in side.slots for y in (slot.y, slot.y + high)})
    left, right = min(slot.x for slot in side.slots), max(slot.x + wide for slot in side.slots)
    low, top = min(slot.y for slot in side.slots), max(slot.y + high for slot in side.slots)
    off = MARK_OFF + max(0.0, min(plan.room, 3.0))
    found = []
    for x in xs:
        found += _inside(plan, (x, low - off - MARK_LONG, x, low - off), (x, top + off, x, top + off + MARK_LONG))
    for y in ys:
        found += _inside(plan, (left - off - MARK_LONG, y, left - off, y), (right + off, y, right + off + MARK_LONG, y))
    return tuple(found)


def fold_marks(plan: Plan, side: Side) -> tuple[tuple[float, float, float, float], ...]:
    """Short strokes above and below the pages where the sheet is folded; like cut marks they begin outside the bleed."""
    high = plan.trim[1]
    off = MARK_OFF + max(0.0, min(plan.room, 3.0))
    low, top = min(slot.y for slot in side.slots), max(slot.y + high for slot in side.slots)
    found = []
    for x in plan.folds:
        for k in range(3):
            step = off + 1.6 * k
            found += _inside(plan, (x, low - step - 0.9, x, low - step), (x, top + step, x, top + step + 0.9))
    return tuple(found)


def register_marks(plan: Plan) -> tuple[tuple[float, float], ...]:
    """Middles of the crosses by which the inks are laid on one another: at the middle of each edge where there is room."""
    size = 4.0
    width, height = plan.paper
    wide, high = plan.trim
    slots = plan.sides[0].slots
    left, right = min(slot.x for slot in slots), width - max(slot.x + wide for slot in slots)
    low, top = min(slot.y for slot in slots), height - max(slot.y + high for slot in slots)
    places = ((left, left / 2, height / 2), (right, width - right / 2, height / 2))
    if not plan.folds:
        places = (*places, (low, width / 2, low / 2), (top, width / 2, height - top / 2))
    return tuple((x, y) for room, x, y in places if room >= size + 2 * MARK_OFF + plan.room)


def _inside(plan: Plan, *lines: tuple[float, float, float, float]) -> list[tuple[float, float, float, float]]:
    width, height = plan.paper
    return [
        line
        for line in lines
        if all(0 <= x <= width for x in (line[0], line[2])) and all(0 <= y <= height for y in (line[1], line[3]))
    ]
