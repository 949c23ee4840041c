"""Comes in: the bytes of a font file. Goes out: which characters it has. Nothing else of the font is read here.

Read by hand from the table "cmap", since a font library would cost more time than the whole table (OpenType 1.9, "cmap").
"""

from __future__ import annotations

import struct
from struct import unpack_from

UNICODE_TABLES = ((3, 10), (0, 6), (0, 4), (3, 1), (0, 3))  # platform and encoding, the fullest first


class NotAFont(ValueError):
    """The bytes are no TrueType font with a Unicode table."""


def covered(font: bytes) -> frozenset[int]:
    """The code points that `font` has a glyph for. Raises NotAFont."""
    try:
        return _covered(font)
    except (StopIteration, KeyError, struct.error) as fault:
        raise NotAFont("not a TrueType font with a Unicode table, or a cut-off one") from fault


def _covered(font: bytes) -> frozenset[int]:
    count = unpack_from(">H", font, 4)[0]
    places = {font[12 + 16 * i : 16 + 16 * i]: unpack_from(">I", font, 20 + 16 * i)[0] for i in range(count)}
    cmap = places[b"cmap"]
    tables = {}
    for i in range(unpack_from(">H", font, cmap + 2)[0]):
        platform, encoding, offset = unpack_from(">HHI", font, cmap + 4 + 8 * i)
        tables[platform, encoding] = cmap + offset
    best = next(tables[key] for key in UNICODE_TABLES if key in tables)
    form = unpack_from(">H", font, best)[0]
    if form == 4:
        return _segments(font, best)
    if form == 12:
        groups = unpack_from(">I", font, best + 12)[0]
        spans = (unpack_from(">III", font, best + 16 + 12 * i) for i in range(groups))
        return frozenset(code for first, last, glyph in spans for code in range(first, last + 1) if glyph + code - first)
    raise NotAFont(f"a character table of format {form}, which no face of ours has")


def _segments(font: bytes, table: int) -> frozenset[int]:
    """Format 4: segments of code points, each with a shift or a list of glyphs."""
    count = unpack_from(">H", font, table + 6)[0] // 2
    ends = unpack_from(f">{count}H", font, table + 14)
    starts = unpack_from(f">{count}H", font, table + 16 + 2 * count)
    shifts = unpack_from(f">{count}H", font, table + 16 + 4 * count)
    at = table + 16 + 6 * count
    found = set()
    for i, (first, last, shift) in enumerate(zip(starts, ends, shifts, strict=True)):
        where = unpack_from(">H", font, at + 2 * i)[0]
        for code in range(first, last + 1):
            if where:
                glyph = unpack_from(">H", font, at + 2 * i + where + 2 * (code - first))[0]
                glyph = glyph and (glyph + shift) & 0xFFFF
            else:
                glyph = (code + shift) & 0xFFFF
            if glyph and code != 0xFFFF:
                found.add(code)
    return frozenset(found)
