"""Comes in: the folder layouts/. Goes out: the names of the layouts and their settings; nothing is printed with them here."""

from __future__ import annotations

import tomllib
from dataclasses import dataclass
from functools import cache
from typing import NamedTuple

from booklet.editions.leaflet import Leaflet, leaflet
from booklet.resources import folder
from booklet.tables.reader import TableFault

MM_PER_POINT = 25.4 / 72
FORMS = ("pdf", "html", "txt", "png")  # formats of a booklet; png: pictures and a text for a shop

# What a card may do without. "charts" are all charts but the first, "chart" is the first; "room" is no block but the white.
BLOCKS = (
    "room", "lessons", "overview", "photos", "placements", "outlines", "charts", "chart",
    "credits", "sizes", "advice", "notes", "glance", "care", "cover",
)  # fmt: skip


class Margins(NamedTuple):
    """The white around the text, in mm. On two-sided paper `inner` is at the fold."""

    top: float
    bottom: float
    inner: float
    outer: float


@dataclass(frozen=True, slots=True)
class Layout:
    """The settings of one layout: layouts/<name>/layout.toml. Lengths in mm, type in points."""

    name: str
    width_mm: float  # of the trimmed page
    height_mm: float
    bleed_mm: float
    margins: Margins
    two_sided: bool  # inner and outer margins change sides from page to page
    multiple: int  # the number of pages is made a multiple of this; 1 leaves it
    body_pt: float  # size of the text
    line_pt: float  # distance of its lines: the baseline grid
    chart_mm: tuple[float, float]  # the room a chart should take: width, height
    outline_mm: tuple[float, float]  # the same for a part's outline
    photo_mm: tuple[float, float]  # the same for a picture beside its step
    step_mm: tuple[float, float]  # the same inside a list of steps
    cover_mm: tuple[float, float]  # of the cover picture, bleed included; it is cropped to this shape
    progress_mm: tuple[float, float] = (58.0, 27.0)  # the same for a part that grows in a few steps
    symbol_mm: float = 4.6  # width of a chart's symbol where there is room; never less than 3 mm high in print
    card_sides: int = 0  # a card has so many sides and leaves out what does not fit; 0 = a booklet, as long as it needs
    drop: tuple[str, ...] = ()  # what a card gives up, first to last: some of BLOCKS
    page: str = "page.html"
    style: str = "print.css"
    lettering_mm: float = 2.4  # least size of the words in drawings
    black: bool = False  # charts in black instead of the colours of the yarns
    tints: bool = True  # grey grounds in charts and outlines
    forms: tuple[str, ...] = FORMS  # the formats that it is for, the usual one first

    pixels: int = 0  # width of the pictures that its pages become; 0 = it is no layout for pictures
    sheet: Leaflet | None = None  # the panels of a leaflet are pages of text, put on a sheet that is folded

    @property
    def folds(self) -> tuple[tuple[float, ...], tuple[float, ...]]:
        """Where the finished sheet is folded: x of upright and y of lying folds, in mm, seen from outside."""
        return (self.sheet.upright, self.sheet.lying) if self.sheet is not None else ((), ())

    @property
    def file_multiple(self) -> int:
        """The number of pages of the finished file is a multiple of this: a sheet of a leaflet has two sides."""
        return 2 if self.sheet is not None else self.multiple

    @property
    def other_pages(self) -> tuple[tuple[str, float], ...]:
        """Pages of another width, as CSS counts them, and that width: `6n+2`."""
        panels = self.sheet.panels if self.sheet is not None else ()
        return tuple((f"{len(panels)}n+{one.number + 1}", one.width) for one in panels if abs(one.width - self.width_mm) > 0.01)

    @property
    def screen(self) -> bool:
        """Is it read on a screen, with boxes that can be ticked there?"""
        return self.forms[:1] == ("html",)

    @property
    def text_mm(self) -> tuple[float, float]:
        """Width and height between the margins, three lines left for a caption."""
        width = self.width_mm - self.margins.inner - self.margins.outer
        return width, self.height_mm - self.margins.top - self.margins.bottom - 3 * self.line_pt * MM_PER_POINT


@cache
def layouts() -> tuple[str, ...]:
    """The layouts that are there, in alphabetical order."""
    return tuple(sorted(path.name for path in folder("layouts").iterdir() if (path / "layout.toml").is_file()))


@cache
def listings() -> tuple[str, ...]:
    """The layouts of the pictures for a shop, each a folder of layouts/listing/: listing/square."""
    return tuple(sorted(f"listing/{path.parent.name}" for path in (folder("layouts") / "listing").glob("*/layout.toml")))


@cache
def papers() -> tuple[str, ...]:
    """The layouts that are printed: all but those for a screen."""
    return tuple(name for name in layouts() if "pdf" in layout(name).forms)


@cache
def layout(name: str) -> Layout:
    """Read one layout's settings. KeyError for an unknown name, TableFault for a setting that cannot be used."""
    if name not in layouts() and name not in listings():
        raise KeyError(name)
    file = folder("layouts") / name / "layout.toml"
    try:
        raw = tomllib.loads(file.read_text("utf-8"))
    except tomllib.TOMLDecodeError as fault:
        raise _fault(name, str(fault)) from fault
    raw_forms, pixels = raw.pop("formats", list(FORMS)), raw.pop("pixels", 0)
    known = {"paper", "margins", "type", "charts", "pictures", "card", "sheet"}
    if surplus := set(raw) - known:
        raise _fault(name, f"unknown table {min(surplus)!r}; there are {', '.join(sorted(known))}")
    try:
        paper, margins, text, charts, pictures = (dict(raw[key]) for key in ("paper", "margins", "type", "charts", "pictures"))
        card = dict(raw.get("card", {}))
        paper_size = _length(paper["width"]), _length(paper["height"])
        made = Layout(
            name,
            _length(paper.pop("width")),
            _length(paper.pop("height")),
            _length(paper.pop("bleed")),
            Margins(*(_length(margins.pop(side)) for side in Margins._fields)),
            bool(paper.pop("two_sided")),
            int(paper.pop("multiple")),
            _length(text.pop("size")),
            _length(text.pop("line")),
            _box(charts.pop("chart")),
            _box(charts.pop("outline")),
            _box(pictures.pop("photo")),
            _box(pictures.pop("step")),
            _box(pictures.pop("cover")),
            _box(charts.pop("progress", [58, 27])),
            _length(charts.pop("symbol")),
            _sides(card),
            _names(card.pop("drop", []), BLOCKS, "blocks"),
            lettering_mm=_length(charts.pop("lettering", 2.4)),
            black=bool(charts.pop("black", False)),
            tints=bool(charts.pop("tints", True)),
            forms=_names(raw_forms, FORMS, "formats"),
            pixels=_pixels(pixels),
            sheet=_sheet(dict(raw["sheet"]), paper_size) if "sheet" in raw else None,
        )
    except (KeyError, TypeError, ValueError) as fault:
        raise _fault(name, f"a setting is missing or is no number: {fault}") from fault
    for table in (paper, margins, text, charts, pictures, card):
        if table:
            raise _fault(name, f"unknown setting {min(table)!r}")
    return made


def _sides(card: dict[str, object]) -> int:
    """A card says how many sides it has; a layout without the table is none."""
    if not card:
        return 0
    sides = card.pop("sides")
    if isinstance(sides, bool) or not isinstance(sides, int) or not 1 <= sides <= 64:
        raise ValueError(f"{sides!r} is no number of sides")
    return sides


def _sheet(told: dict[str, object], panel: tuple[float, float]) -> Leaflet:
    """The sheet of a leaflet; the pages have to be its panels."""
    made = leaflet(str(told.pop("fold")), _length(told.pop("width")), _length(told.pop("height")), _length(told.pop("narrower", 0)))
    if told:
        raise ValueError(f"unknown setting {min(told)!r}")
    front = made.panels[0]
    if abs(front.width - panel[0]) > 0.01 or abs(front.height - panel[1]) > 0.01:
        raise ValueError(f"the panels of this sheet are {front.width:.3f} x {front.height:.3f} mm, not {panel[0]:g} x {panel[1]:g}")
    return made


MOST_PIXELS = 6_000  # wide; larger pictures no shop takes (common practice, no source)


def _pixels(value: object) -> int:
    if isinstance(value, bool) or not isinstance(value, int) or not 0 <= value <= MOST_PIXELS:
        raise ValueError(f"{value!r} is no width of a picture")
    return value


def _names(value: object, known: tuple[str, ...], what: str) -> tuple[str, ...]:
    if not isinstance(value, list) or len(set(value)) < len(value) or not set(value) <= set(known):
        raise ValueError(f"{value!r} is no list of different {what}: {', '.join(known)}")
    return tuple(value)


def _length(value: object) -> float:
    if isinstance(value, bool) or not isinstance(value, int | float) or not 0 <= value < 2000:
        raise ValueError(f"{value!r} is no length")
    return float(value)


def _box(value: list[object]) -> tuple[float, float]:
    width, height = value
    return _length(width), _length(height)


def _fault(name: str, what: str) -> TableFault:
    return TableFault(f"../layouts/{name}/layout.toml", 1, what)
