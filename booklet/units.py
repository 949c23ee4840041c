"""Numbers with units: text in, millimetres, grams, metres or counts out; no printing for a reader here."""

from __future__ import annotations

import re
from typing import NamedTuple

# One inch is 25.4 mm, one yard 0.9144 m, one pound 453.59237 g exactly
# (international yard and pound agreement of 1959; NIST Handbook 44, appendix C).
MM_PER = {
    "mm": 1.0,
    "cm": 10.0,
    "m": 1000.0,
    "in": 25.4,
    "inch": 25.4,
    "inches": 25.4,
    '"': 25.4,
    "″": 25.4,
    "ft": 304.8,
    "yd": 914.4,
    "yds": 914.4,
    "yard": 914.4,
    "yards": 914.4,
}
G_PER = {"g": 1.0, "gram": 1.0, "grams": 1.0, "kg": 1000.0, "oz": 28.349523125, "lb": 453.59237}

_FRACTIONS = {"½": 0.5, "¼": 0.25, "¾": 0.75, "⅓": 1 / 3, "⅔": 2 / 3, "⅛": 0.125, "⅜": 0.375, "⅝": 0.625, "⅞": 0.875}
_MEASURE = re.compile(
    r"(?P<number>\d{1,9}(?:[.,]\d{1,4})?)?\s*(?P<fraction>[½¼¾⅓⅔⅛⅜⅝⅞]|\b\d{1,2}/\d{1,2}\b)?\s*"
    r"(?P<unit>mm|cm|kg|oz|lb|ft|yds?|yards?|inch(?:es)?|in|grams?|g|m|\"|″)(?![^\W\d_])",
    re.IGNORECASE,
)


class Measure(NamedTuple):
    """One length or mass found in a text."""

    amount: float  # mm for a length, g for a mass
    dimension: str  # "length" or "mass"
    start: int  # offset of the first character in the text
    end: int  # offset after the last one


def number(text: str) -> float | None:
    """Read a plain number; a comma or a point may mark the decimals. None if the text is something else."""
    found = re.fullmatch(r"\s*(\d{1,9})(?:[.,](\d{1,6}))?\s*", text)
    if found is None:
        return None
    return float(f"{found[1]}.{found[2] or 0}")


def measures(text: str) -> tuple[Measure, ...]:
    """Every length and mass of a text, in order: `125 m / 50 g` gives 125000 mm and 50 g."""
    found = []
    for match in _MEASURE.finditer(text):
        if match["number"] is None and match["fraction"] is None:
            continue
        amount = number(match["number"]) if match["number"] else 0.0
        amount = (amount or 0.0) + _fraction(match["fraction"])
        unit = match["unit"].lower()
        if unit in G_PER:
            found.append(Measure(amount * G_PER[unit], "mass", match.start(), match.end()))
        else:
            found.append(Measure(amount * MM_PER[unit], "length", match.start(), match.end()))
    return tuple(found)


def length_mm(text: str) -> float | None:
    """The first length of a text in mm, or None."""
    return next((found.amount for found in measures(text) if found.dimension == "length"), None)


def mass_g(text: str) -> float | None:
    """The first mass of a text in grams, or None."""
    return next((found.amount for found in measures(text) if found.dimension == "mass"), None)


def _fraction(text: str | None) -> float:
    if not text:
        return 0.0
    if text in _FRACTIONS:
        return _FRACTIONS[text]
    upper, lower = text.split("/")
    return int(upper) / int(lower) if int(lower) else 0.0
