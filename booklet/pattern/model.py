"""The noun of this room: a pattern as head values, parts and steps; instruction lines keep their words."""

from __future__ import annotations

from dataclasses import dataclass
from typing import NamedTuple

from booklet.diagnostics.span import Span
from booklet.source.tree import Piece, Value

Choice = tuple[str, str]  # ("eyes", "safety"); an `Optional (mouth):` step is ("mouth", "with")


class Gauge(NamedTuple):
    """A stated gauge."""

    stitches: float  # over `width_mm`
    rounds: float | None  # over `height_mm`
    width_mm: float
    height_mm: float
    stitch: str  # stitch id, "single_crochet" unless told
    text: str  # as typed
    span: Span
    form: str = "swatch"  # "tube": laid flat; "disc", "square": rounds `first` to `last` are `width_mm` across, `stitches` is 0
    first: int = 0
    last: int = 0


@dataclass(frozen=True, slots=True)
class Yarn:
    """A yarn of the head, by its code."""

    code: str  # "A", "MC"
    span: Span
    colour: str = ""  # words, "chestnut"
    name: str = ""
    maker: str = ""
    shade: str = ""
    fibre: str = ""
    weight: int | None = None  # category 0-7
    weight_name: str = ""  # "light", as typed
    ball_m: float | None = None
    ball_g: float | None = None
    used_g: float | None = None  # weighed by the designer
    used_m: float | None = None
    drawn: str = ""  # "#7a4a2b" for charts, "" where none is given
    only_for: tuple[Choice, ...] = ()


@dataclass(frozen=True, slots=True)
class Notion:
    """Something besides yarn and hook."""

    text: str  # as typed
    span: Span
    name: str  # without count and size: "safety eyes"
    count: int | None = None
    size_mm: float | None = None  # the one size of a plain line: "6 mm"
    shape: str = ""
    dimensions: tuple[tuple[str, float], ...] = ()  # ("diameter", 30.0), in mm
    attached: str = ""  # loose, locked, sewn, glued, enclosed
    on: str = ""  # part
    only_for: tuple[Choice, ...] = ()


@dataclass(frozen=True, slots=True)
class Step:
    """One thing in a body, in the order of work."""

    kind: str  # "line" (an instruction), "sentence" (standard), "prose", "heading", "picture", "table", "quote", "code"
    span: Span
    pieces: tuple[Piece, ...]  # its words, line by line
    block: int  # which source block it stands in: steps of one paragraph share it
    name: str = ""  # of a sentence: its id in sentences.tsv
    values: tuple[tuple[str, str | int | float], ...] = ()  # slots of a sentence; alt, path, width, caption of a picture
    choices: tuple[Choice, ...] = ()  # made only where all of these are chosen
    level: int = 0  # of a heading
    marker: str = ""  # of a list item

    @property
    def text(self) -> str:
        """The words in one line."""
        return " ".join(piece.text for piece in self.pieces)

    def value(self, name: str, default: str | int | float | None = None) -> str | int | float | None:
        """A slot by name."""
        return next((value for key, value in self.values if key == name), default)


@dataclass(frozen=True, slots=True)
class Section:
    """What stands below one heading."""

    role: str  # "part", "intro" (before the first heading), "assembly", "stitches", "notes", "other"
    title: str  # the heading without its bracket; "" for the intro
    span: Span  # of the heading
    steps: tuple[Step, ...]
    make: int = 1
    bracket: str = ""  # words in the heading's bracket, as typed
    differs: tuple[str, ...] = ()  # "second not fastened off", "mirrored", "2 in A and B" …


@dataclass(frozen=True, slots=True)
class Pattern:
    """A whole pattern, before its rounds are read."""

    file: str
    title: str
    language: str  # BCP 47 tag of the source
    terms: str  # "US", "UK" or ""
    fields: dict[str, Value]  # head entries by canonical key (translations resolved)
    yarns: tuple[Yarn, ...]
    notions: tuple[Notion, ...]
    gauge: Gauge | None
    hook_mm: float | None
    sections: tuple[Section, ...]  # in order, parts among them
    choices: tuple[tuple[str, tuple[str, ...]], ...] = ()  # ("eyes", ("embroidered", "safety")), first is the default
    sizes: tuple[str, ...] = ()
    made_as: str = ""  # cuddly toy | toy | decoration | household | wearable; "" where not told
    toy_age_months: int | None = None
    maker_age_years: int | None = None
    markets: tuple[str, ...] = ()
    own_stitches: tuple[tuple[str, str, str, Span], ...] = ()  # name, abbreviation, definition, place
    gauges: tuple[tuple[str, Gauge], ...] = ()  # by name: a part or size (folded), "by rounds", "before blocking", "after blocking"
    hooks: tuple[tuple[str, float], ...] = ()  # mm, by folded name of a part or a size
    unravelled_mm: float | None = None  # yarn of one single crochet, measured

    @property
    def parts(self) -> tuple[Section, ...]:
        """The pieces worked on their own, in the order of work."""
        return tuple(section for section in self.sections if section.role == "part")

    def field(self, key: str) -> str:
        """A head entry as text, "" where it is missing or is no scalar."""
        found = self.fields.get(key)
        return found.text if found is not None else ""
