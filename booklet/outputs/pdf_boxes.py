"""Comes in: the bytes of a PDF. Goes out: the sizes of its pages. Nothing is changed here."""

from __future__ import annotations

import io
from typing import NamedTuple

POINTS_PER_MM = 72 / 25.4  # a PDF unit is 1/72 inch (ISO 32000-1, 8.3.2.3)


class PageBoxes(NamedTuple):
    """The boxes of a page: left, bottom, right, top in mm; y grows upward (ISO 32000-1, 14.11.2)."""

    media: tuple[float, float, float, float]
    bleed: tuple[float, float, float, float]
    trim: tuple[float, float, float, float]  # the page after cutting
    crop: tuple[float, float, float, float]  # what a viewer shows and a home printer prints


def page_boxes(pdf: bytes) -> tuple[PageBoxes, ...]:
    """The boxes of every page of `pdf`, rounded to 0.01 mm."""
    import pikepdf

    with pikepdf.open(io.BytesIO(pdf)) as document:
        return tuple(
            PageBoxes(*(_mm(box) for box in (page.mediabox, page.bleedbox, page.trimbox, page.cropbox)))
            for page in document.pages
        )


def _mm(box: object) -> tuple[float, float, float, float]:
    left, bottom, right, top = (round(float(value) / POINTS_PER_MM, 2) for value in box)  # type: ignore[attr-defined]
    return left, bottom, right, top
