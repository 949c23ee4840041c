"""Lengths as typed in, millimetres out, or a refusal; what they measure is asked elsewhere."""

from __future__ import annotations

from booklet.cli.files import Refused
from booklet.units import length_mm, number


def length(option: str, typed: str, least: float, most: float) -> float:
    """`4 mm`, `6cm`, `2½ in`, or a bare number of millimetres; refused (exit status 2) outside `least` to `most` mm."""
    found = length_mm(typed) if number(typed) is None else number(typed)
    if found is None:
        raise Refused(f"{option} takes a length such as 6 cm, not {typed!r}.")
    if not least <= found <= most:
        raise Refused(f"{option} takes {least:g} to {most:g} mm, not {typed!r}.")
    return found
