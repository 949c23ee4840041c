"""Comes in: the digits of an article number, or an address. Goes out: its bars or squares as SVG, with their size in mm and quiet zones.

A door to the libraries of codes. Measures are those of the GS1 General Specifications, section 5.2 (EAN/UPC): narrowest bar 0.330 mm,
0.264 to 0.660 allowed; bars 22.85 mm high at 0.330; quiet zones EAN-13 11 and 7, UPC-A 9 and 9 bars wide (read in the size guide of
GS1 Sweden, gs1.se); guard bars 5 bars longer (from memory).
"""

from __future__ import annotations

from typing import NamedTuple

from booklet.digits import article_number
from booklet.outputs.codes import modules, qr

X_MM, LEAST_X, MOST_X = 0.330, 0.264, 0.660
HEIGHT_X = 22.85 / 0.330  # of the bars, in narrowest bars: never cut lower at any size
GUARD_X = 5
QUIET = {13: (11, 7), 12: (9, 9)}  # narrowest bars, left and right, by number of digits
MODULE_MM = 0.5  # of a printed QR code; telephones read .4 and more (common practice, no source)


class Code(NamedTuple):
    """A code, ready to be placed. Its quiet zones are part of it."""

    svg: bytes
    width_mm: float
    height_mm: float
    text: str


def bars(typed: str, x_mm: float = X_MM) -> Code:
    """EAN-13 or UPC-A. ValueError for a wrong number, or for bars that are finer or wider than allowed."""
    from barcode import get

    digits = article_number(typed)
    if not LEAST_X <= x_mm <= MOST_X:
        raise ValueError(f"bars are {LEAST_X} to {MOST_X} mm wide")
    made = get("upca" if len(digits) == 12 else "ean13", digits)
    (pattern,) = made.build()
    left, right = QUIET[len(digits)]
    wide, tall = left + len(pattern) + right, HEIGHT_X + GUARD_X + 5
    guards = {*range(3), *range(45, 50), *range(92, 95)}
    if len(digits) == 12:  # the outer digits of a UPC-A have long bars
        guards |= {*range(10), *range(85, 95)}
    shapes = [
        f'<rect x="{left + at}" y="0" width="1" height="{HEIGHT_X + (GUARD_X if at in guards else 0):.2f}"/>'
        for at, module in enumerate(pattern)
        if module == "1"
    ]
    width, height = wide * x_mm, tall * x_mm
    svg = (
        f'<svg xmlns="http://www.w3.org/2000/svg" width="{width:.3f}mm" height="{height:.3f}mm" viewBox="0 0 {wide} {tall:.2f}">'
        f'<rect width="{wide}" height="{tall:.2f}" fill="#fff"/><g fill="#000">{"".join(shapes)}</g></svg>'
    )
    return Code(svg.encode(), width, height, digits)


def squares(address: str) -> Code:
    """A QR code of an address, as large as a label needs it. ValueError for one that is too long."""
    side = modules(address) * MODULE_MM
    return Code(qr(address), side, side, address)
