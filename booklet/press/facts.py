"""The noun of this room: what is in a PDF, page by page, and what a print shop would object to; nothing is read here."""

from __future__ import annotations

from dataclasses import dataclass

Box = tuple[float, float, float, float]  # left, bottom, right, top in mm, y upward (ISO 32000-1, 14.11.2)


class Unreadable(Exception):
    """The file is no PDF that can be looked into; the sentence says why, in words for a person."""


@dataclass(frozen=True, slots=True)
class Image:
    """A picture as it is placed on a page."""

    width: int  # pixels
    height: int
    width_mm: float  # as placed
    height_mm: float
    space: str  # colour space: DeviceRGB, DeviceCMYK, ICCBased/3 …; "mask" is painted in the fill colour

    @property
    def dpi(self) -> float:
        """Dots an inch in the coarser direction."""
        return min(self.width / max(self.width_mm, 0.001), self.height / max(self.height_mm, 0.001)) * 25.4


@dataclass(frozen=True, slots=True)
class Page:
    """One page."""

    number: int  # from 1
    media: Box
    bleed: Box
    trim: Box
    spaces: tuple[str, ...]  # colour spaces painted with, in alphabetical order
    images: tuple[Image, ...]
    thinnest_pt: float | None  # the thinnest line that is stroked; 0 is a device's own hairline
    ink: float  # the most ink of one colour, in % of one plate: 300 = three full plates; device CMYK and grey only
    rich_text: bool  # black letters made of more inks than K
    transparent: bool
    words_outside: tuple[float, ...]  # mm from the nearest trimmed edge of lines that come too near; below 0 = cut off
    edges_short: tuple[str, ...]  # edges that ink reaches without going on to the end of the bleed
    blank: bool
    rotated: bool
    marks_in_bleed: int  # annotations (links, notes) inside the bleed box
    whole: bool  # False: the page is larger than the limits, and only its beginning was looked at


@dataclass(frozen=True, slots=True)
class Facts:
    """What is in a PDF."""

    version: str
    encrypted: bool
    pages: tuple[Page, ...]
    page_count: int  # of the file; `pages` may hold fewer where there are more than the limit
    fonts_missing: tuple[str, ...]  # named, not embedded
    fonts: int
    links: int
    outlines: bool
    tagged: bool
    language: str
    title: str
    dated: bool  # it says when it was made and changed
    intent: str  # of a print condition: GTS_PDFX, GTS_PDFA1; "" without one
    condition: str  # the output condition's name
    scripts: bool
    attachments: int


@dataclass(frozen=True, slots=True)
class Finding:
    """One objection."""

    code: str
    severity: str  # error, warning, note
    message: str
    help: str
    pages: tuple[int, ...]  # empty: the whole file
