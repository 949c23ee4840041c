"""Comes in: a page of anybody's PDF. Goes out: its trimmed and its bled box in points, or why it has none; nothing is changed."""

from __future__ import annotations

import math
from typing import Any

FARTHEST = 14_400.0 * 10  # points; a page is at most 14,400 wide in most readers (ISO 32000-1, annex C): anything farther is damage


class NoBox(ValueError):
    """A box that is no rectangle."""


def trim_box(page: Any) -> list[float]:  # noqa: ANN401
    """Left, low, right, top of the trimmed page. Raises NoBox."""
    return _box(page, "trimbox")


def bleed_box(page: Any) -> list[float]:  # noqa: ANN401
    """Left, low, right, top of the page with its bleed. Raises NoBox."""
    return _box(page, "bleedbox")


def media_box(page: Any) -> list[float]:  # noqa: ANN401
    """Left, low, right, top of everything that a page shows. Raises NoBox."""
    return _box(page, "mediabox")


def user_unit(page: Any) -> float:  # noqa: ANN401
    """How many points a unit of this page is: 1, unless the page says otherwise (ISO 32000-1, 14.11.1). Raises NoBox."""
    try:
        value = float(page.obj.get("/UserUnit", 1))
    except (TypeError, ValueError) as fault:
        raise NoBox("has a unit that is no number") from fault
    if not 0.001 <= value <= 1000:
        raise NoBox("has a unit that is no number")
    return value


def _box(page: Any, name: str) -> list[float]:  # noqa: ANN401
    try:
        values = [float(value) for value in getattr(page, name)]
    except (TypeError, ValueError, AttributeError, KeyError) as fault:
        raise NoBox("has a box that is no rectangle") from fault
    if len(values) != 4 or not all(math.isfinite(value) and abs(value) < FARTHEST for value in values):
        raise NoBox("has a box that is no rectangle")
    return [min(values[0], values[2]), min(values[1], values[3]), max(values[0], values[2]), max(values[1], values[3])]
