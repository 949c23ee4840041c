"""Comes in: a sheet and a way to fold it. Goes out: which panel lies where on which side, and where it is folded. Nothing is printed.

Panels are numbered in the order of reading, which is that of the pages of text. Lengths in mm, x to the right and y upwards from the
lower left corner of a side as one looks at it; the outside is the side that bears the first panel.
"""

from __future__ import annotations

from typing import NamedTuple

FOLDS = ("roll", "cross")


class Panel(NamedTuple):
    """One panel of a side."""

    number: int  # from 0, in the order of reading
    outside: bool
    x: float  # lower left corner
    y: float
    width: float
    height: float
    turned: bool = False  # upside down on the sheet


class Leaflet(NamedTuple):
    """A sheet that is folded."""

    fold: str  # one of FOLDS
    width: float
    height: float
    panels: tuple[Panel, ...]  # in the order of reading
    upright: tuple[float, ...]  # x of the folds that run from top to bottom, seen from outside
    lying: tuple[float, ...] = ()  # y of the folds that run across


def leaflet(fold: str, width: float, height: float, narrower: float = 0.0) -> Leaflet:
    """The panels of a sheet. `narrower`: by how much the panel that is folded in is less wide. ValueError for another fold."""
    if fold == "roll":
        return _roll(width, height, narrower)
    if fold == "cross":
        return _cross(width, height)
    raise ValueError(f"{fold!r} is no fold: {', '.join(FOLDS)}")


def _roll(width: float, height: float, narrower: float) -> Leaflet:
    """Three panels side by side: the right one of the inside is folded in first, the left one, whose back is the front, over it.

    Read: the front; what one sees when it is opened, the back of the panel that is folded in; the three of the inside; the back.
    """
    wide = (width + narrower) / 3
    slim = wide - narrower
    outside = (Panel(0, True, slim + wide, 0, wide, height), Panel(1, True, 0, 0, slim, height))
    inside = tuple(Panel(2 + k, False, k * wide, 0, slim if k == 2 else wide, height) for k in range(3))
    return Leaflet("roll", width, height, (*outside, *inside, Panel(5, True, slim, 0, wide, height)), (slim, slim + wide))


def _cross(width: float, height: float) -> Leaflet:
    """Folded across the middle, the insides together, then from side to side: front, a spread of two, the inside of four, back.

    The upper half of the outside hangs behind the lower one when it is folded: it is printed upside down.
    """
    wide, high = width / 2, height / 2
    front, back = Panel(0, True, 0, high, wide, high, True), Panel(7, True, wide, high, wide, high, True)
    spread = (Panel(1, True, 0, 0, wide, high), Panel(2, True, wide, 0, wide, high))
    inside = tuple(Panel(3 + k, False, k % 2 * wide, high * (1 - k // 2), wide, high) for k in range(4))
    return Leaflet("cross", width, height, (front, *spread, *inside, back), (wide,), (high,))
