"""Reads a finished PDF as a typesetter would: every line of type with its face, size, ink and place. For tests only."""

from __future__ import annotations

import ctypes
from dataclasses import dataclass
from itertools import groupby

import pypdfium2
import pypdfium2.raw as raw

MM = 25.4 / 72


@dataclass(frozen=True)
class Line:
    """Letters of one face and size that stand on one baseline without a wide gap; a single one while the page is read.

    Lengths in mm from the top left corner of the trimmed page, size in points.
    """

    text: str
    face: str
    size: float
    ink: tuple[int, int, int]
    left: float
    right: float
    base: float


def pages(data: bytes) -> list[list[Line]]:
    """The lines of every page."""
    document = pypdfium2.PdfDocument(data)
    return [_lines(_letters(page)) for page in document]


def _letters(page: pypdfium2.PdfPage) -> list[Line]:
    trim_left, _, _, trim_top = page.get_trimbox()
    text = page.get_textpage()
    found = []
    for k in range(text.count_chars()):
        code = raw.FPDFText_GetUnicode(text, k)
        if code in (0, 10, 13, 0xFFFE) or raw.FPDFText_IsGenerated(text, k):
            continue
        x, y = ctypes.c_double(), ctypes.c_double()
        raw.FPDFText_GetCharOrigin(text, k, x, y)
        left, _, right, _ = text.get_charbox(k, loose=True)
        size = raw.FPDFText_GetFontSize(text, k)
        matrix = raw.FS_MATRIX()
        raw.FPDFText_GetMatrix(text, k, matrix)
        size *= abs(matrix.d) or abs(matrix.b)
        name = ctypes.create_string_buffer(200)
        flags = ctypes.c_int()
        raw.FPDFText_GetFontInfo(text, k, name, 200, flags)
        ink = [ctypes.c_uint() for _ in range(4)]
        raw.FPDFText_GetFillColor(text, k, *ink)
        face = name.value.decode("latin-1").split("+")[-1]
        found.append(
            Line(chr(code), face, size, tuple(c.value for c in ink[:3]), (left - trim_left) * MM, (right - trim_left) * MM, (trim_top - y.value) * MM)
        )
    return found


def _lines(letters: list[Line]) -> list[Line]:
    lines: list[list[Line]] = []
    for letter in letters:
        last = lines[-1][-1] if lines else None
        # A step of an em to the right is a word space; more is another column.
        joins = (
            last is not None
            and abs(letter.base - last.base) < 0.2
            and (letter.face, round(letter.size, 1)) == (last.face, round(last.size, 1))
            and -0.5 < letter.left - last.right < letter.size * MM
        )
        if joins:
            lines[-1].append(letter)
        else:
            lines.append([letter])
    found = []
    for one in lines:
        text = "".join(letter.text for letter in one)
        if text.strip():
            first, last = one[0], one[-1]
            found.append(Line(text, first.face, round(first.size, 2), first.ink, first.left, last.right, first.base))
    return found


def by_face(lines: list[Line]) -> dict[tuple[str, float], int]:
    """How many letters there are of each face and size."""
    key = lambda line: (line.face, round(line.size, 1))  # noqa: E731
    return {pair: sum(len(line.text) for line in some) for pair, some in groupby(sorted(lines, key=key), key=key)}
