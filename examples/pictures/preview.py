"""A finished PDF in, one picture of some of its pages side by side out, for the README; pages are drawn as they are printed."""

from __future__ import annotations

import sys
from pathlib import Path

import pypdfium2
from PIL import Image, ImageFilter

GAP, EDGE, SCALE = 28, 36, 1.25  # in pixels; pixels per point
GROUND = (226, 223, 217)


def preview(pdf: Path, pages: list[int], out: Path) -> None:
    """Put pages (counted from 1) in a row on a quiet ground, each with a soft shadow."""
    document = pypdfium2.PdfDocument(pdf)
    pictures = [document[number - 1].render(scale=SCALE).to_pil() for number in pages]
    width = sum(picture.width for picture in pictures) + GAP * (len(pictures) - 1) + 2 * EDGE
    height = max(picture.height for picture in pictures) + 2 * EDGE
    sheet = Image.new("RGB", (width, height), GROUND)
    shadow = Image.new("L", (width, height), 0)
    left = EDGE
    for picture in pictures:
        shadow.paste(110, (left + 2, EDGE + 6, left + picture.width - 2, EDGE + picture.height + 8))
        left += picture.width + GAP
    sheet.paste((120, 114, 104), (0, 0), shadow.filter(ImageFilter.GaussianBlur(9)))
    left = EDGE
    for picture in pictures:
        sheet.paste(picture, (left, EDGE))
        left += picture.width + GAP
    sheet.quantize(255, method=Image.Quantize.MEDIANCUT, dither=Image.Dither.NONE).save(out, optimize=True)


if __name__ == "__main__":
    preview(Path(sys.argv[1]), [int(number) for number in sys.argv[2].split(",")], Path(sys.argv[3]))
