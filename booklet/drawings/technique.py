"""Comes in: the panels of a technique as they are written. Goes out: drawings of hands' work: yarn, hook, arrows; no words."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

from booklet.drawings.drawing import Drawing


def panels(name: str, written: Sequence[Mapping[str, Any]], left_handed: bool) -> tuple[tuple[int, Drawing], ...]:
    """The drawings of a technique with the numbers of their steps; mirrored for the left hand."""
    return ()
