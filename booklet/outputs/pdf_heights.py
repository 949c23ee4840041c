"""Comes in: a face of fonts/ and a height in mm. Goes out: the type size in points that gives its capitals that height.

The height of capitals stands in the face itself (table OS/2, sCapHeight; ISO/IEC 14496-22), as a part of the em.
"""

from __future__ import annotations

from functools import cache
from math import ceil
from struct import unpack_from

from booklet.outputs.pdf_fonts import face_bytes, faces
from booklet.tables.type_sizes import heights

POINTS = 72 / 25.4  # in a millimetre
FAMILY, WEIGHT = "Alegreya Sans", 700  # of the statement: sans serif, as the rule asks


@cache
def cap_height(family: str, weight: int) -> float:
    """Height of capital letters, in parts of the em. KeyError for a face that fonts/ does not have."""
    for face in faces():
        if face.family == family and face.weight == weight and face.style == "normal" and face.file:
            data = face_bytes(face.file)
            entries = range(12, 12 + 16 * unpack_from(">H", data, 4)[0], 16)
            tables = {data[at : at + 4]: unpack_from(">I", data, at + 8)[0] for at in entries}
            return unpack_from(">h", data, tables[b"OS/2"] + 88)[0] / unpack_from(">H", data, tables[b"head"] + 18)[0]
    raise KeyError(f"{family} {weight}")


def size_pt(height_mm: float, family: str = FAMILY, weight: int = WEIGHT) -> float:
    """The size for capitals of that height, rounded up to a tenth of a point."""
    return ceil(height_mm * POINTS / cap_height(family, weight) * 10 - 1e-9) / 10


def statement_sizes(width_mm: float, height_mm: float) -> tuple[float, float, float, float]:
    """Points for the signal word, the hazard and the rest of a United States statement on a page, and mm for its triangle."""
    least = heights(width_mm, height_mm)
    return size_pt(least.signal), size_pt(least.hazard), size_pt(least.other), round(least.signal * 1.15, 2)
