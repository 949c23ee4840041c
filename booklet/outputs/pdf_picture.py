"""An SVG text in, a PNG of it out, at a given width and density: drawn by the PDF engine, read back as pixels. Pages of a PDF too."""

from __future__ import annotations

import re
import struct
import zlib
from collections.abc import Iterator
from typing import NamedTuple
from xml.sax.saxutils import escape

from booklet.outputs.pdf import OutputFault, write_pdf

DENSITY = 300  # dots per inch: what print shops ask of pictures (common practice, no source)
MOST_PIXELS = 60_000_000  # of one picture: 180 MB while it is drawn
INCH_MM = 25.4


def png(svg: str, title: str, description: str, dpi: int = DENSITY) -> bytes:
    """The picture at the size that the SVG has in mm, on white. Same text, same bytes.

    Raises OutputFault where it cannot be drawn or would have more than MOST_PIXELS, MissingGlyphs for a sign no font has.
    """
    import pypdfium2

    wide, high = _size(svg)
    if wide * high * (dpi / INCH_MM) ** 2 > MOST_PIXELS:
        raise OutputFault((f"a picture of {wide:.0f} x {high:.0f} mm at {dpi} dots per inch is too large; use SVG, or a smaller width",))
    page = (
        f"<html lang=en><title>{escape(title)}</title><style>@page{{size:{wide}mm {high}mm;margin:0}}"
        f"body{{margin:0}}img{{display:block;width:{wide}mm;height:{high}mm}}</style><img src=chart.svg alt=chart>"
    )
    document = pypdfium2.PdfDocument(write_pdf(page, {"chart.svg": svg.encode("utf-8")}).data)
    try:
        bitmap = document[0].render(scale=dpi / 72, rev_byteorder=True, fill_color=(255, 255, 255, 255))
        rows = bytes(bitmap.buffer)
        return _written(rows, bitmap.width, bitmap.height, bitmap.stride, bitmap.n_channels, dpi, (title, description))
    finally:
        document.close()


class Pixels(NamedTuple):
    """A page as pixels."""

    data: bytes  # red, green and blue of every pixel, row by row
    width: int
    height: int


def page_pixels(pdf: bytes, wide: int) -> Iterator[Pixels]:
    """Every page of a PDF, `wide` pixels wide, on white. Same bytes, same pixels."""
    import pypdfium2

    document = pypdfium2.PdfDocument(pdf)
    try:
        for page in document:
            scale = wide / page.get_width()
            bitmap = page.render(scale=scale, rev_byteorder=True, fill_color=(255, 255, 255, 255))
            # The library rounds up: a hair more than 2000 would be 2001.
            width, height = min(wide, bitmap.width), min(round(page.get_height() * scale), bitmap.height)
            yield Pixels(b"".join(_rows(bytes(bitmap.buffer), width, height, bitmap.stride, bitmap.n_channels)), width, height)
    finally:
        document.close()


def _size(svg: str) -> tuple[float, float]:
    """Width and height in mm."""
    found = re.search(r'<svg\b[^>]*>', svg)
    sides = [re.search(rf'\b{side}="([0-9.]+)mm"', found[0]) if found else None for side in ("width", "height")]
    if not all(sides):
        raise OutputFault(("the drawing does not say how large it is",))
    return float(sides[0][1]), float(sides[1][1])  # type: ignore[index]


def _written(data: bytes, width: int, height: int, stride: int, channels: int, dpi: int, words: tuple[str, str]) -> bytes:
    """The chunks of a PNG of eight bits a channel (ISO/IEC 15948): header, density, texts, pixels."""
    kind = {1: 0, 3: 2, 4: 2}[channels]
    lines = [b"\0" + line for line in _rows(data, width, height, stride, channels)]
    per_metre = round(dpi / INCH_MM * 1000)
    texts = b"".join(
        _chunk(b"iTXt", key.encode("ascii") + b"\0\0\0\0\0" + text.encode("utf-8"))
        for key, text in zip(("Title", "Description"), words, strict=True)
        if text
    )
    return (
        b"\x89PNG\r\n\x1a\n"
        + _chunk(b"IHDR", struct.pack(">IIBBBBB", width, height, 8, kind, 0, 0, 0))
        + _chunk(b"pHYs", struct.pack(">IIB", per_metre, per_metre, 1))
        + texts
        + _chunk(b"IDAT", zlib.compress(b"".join(lines), 9))
        + _chunk(b"IEND", b"")
    )


def _rows(data: bytes, width: int, height: int, stride: int, channels: int) -> Iterator[bytes]:
    """The rows of a bitmap without what fills them up, and without alpha."""
    for row in range(height):
        line = data[row * stride : row * stride + width * channels]
        if channels == 4:  # white was painted first, so the alpha of every pixel is full
            kept = bytearray(width * 3)
            kept[0::3], kept[1::3], kept[2::3] = line[0::4], line[1::4], line[2::4]
            line = bytes(kept)
        yield line


def _chunk(name: bytes, data: bytes) -> bytes:
    return struct.pack(">I", len(data)) + name + data + struct.pack(">I", zlib.crc32(name + data))
