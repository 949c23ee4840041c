"""The nouns of this room: marks in symbol widths or mm, and drawings as plain paths per ink; nothing is computed here."""

from __future__ import annotations

from dataclasses import dataclass
from typing import NamedTuple

Point = tuple[float, float]  # x to the right, y down the page
Ops = tuple[tuple[str, tuple[float, ...]], ...]  # "M", "L", "C", "Z" with absolute coordinates


# A single crochet's x is 0.80 of a symbol width high, 0.88 with its line: 3.42 mm of width make it 3 mm high in print.
LEAST_MM = 3.42


class Mark(NamedTuple):
    """One stitch of a chart. In a Placed the unit is the symbol width, in a Drawing the millimetre."""

    stitch: int  # index of the place in its PartGraph
    kind: str  # stitch id
    round: int  # position in the part, from 1; 0 for the chains of a start
    x: float  # heads[0]
    y: float
    rotation: float  # degrees, clockwise on the page; 0 grows up the page
    size: float  # width of a single crochet
    feet: tuple[Point, ...]  # where it stands: the heads of its parents
    heads: tuple[Point, ...]  # where the next round may stand
    stands_for: tuple[int, int] | None = None  # first and last round of a collapsed range
    yarn: str = ""  # code
    loop: str = ""  # "front", "back" or ""
    shape: str = ""  # "" alone, "leg" shares its foot with a neighbour, "chain" lies along the round, "upright" a standing chain
    turned: bool = False  # worked on the wrong side: front and back are the other way round on the chart


class Label(NamedTuple):
    """A number or range beside a mark, upright, centred at x, y."""

    text: str
    x: float
    y: float
    size: float  # height of the type
    role: str = "round"  # "round", "row", "chains", "count"


class Guide(NamedTuple):
    """A drawn help: not a stitch."""

    role: str  # "tint" (filled), "start" (filled), "arrow", "ring", "base", "dots", "register", "outline", "shade", "line"
    ops: Ops


class RoundLine(NamedTuple):
    """What one drawn round or row says in numbers: a line of the table beside a chart and of its text alternative."""

    label: str  # as printed: "4" or "4–7"
    first: int  # position in the part
    last: int
    total: int  # counted stitches
    change: int  # against the round before
    way: str  # "spiral", "joined", "row"
    counts: tuple[tuple[str, int], ...]  # stitch id -> how many marks of it


class Tile(NamedTuple):
    """Where one sheet of a divided chart belongs."""

    column: int  # from 1, at the left
    row: int  # from 1, at the top
    columns: int
    rows: int

    @property
    def name(self) -> str:
        """Letters across, numbers down: "B2"."""
        return f"{chr(64 + self.column)}{self.row}"


@dataclass(frozen=True, slots=True)
class Placed:
    """One panel of a part's chart, in symbol widths."""

    part: str  # name
    form: str  # "round", "closing", "oval", "strip" or "rows"
    marks: tuple[Mark, ...]
    labels: tuple[Label, ...]
    guides: tuple[Guide, ...]
    frame: tuple[float, float, float, float]  # left, top, right, bottom
    rounds: tuple[int, int]  # first and last round of the panel
    way: str = ""  # "spiral", "joined", "row": how these rounds are worked
    lines: tuple[RoundLine, ...] = ()  # its rounds in numbers


class LegendEntry(NamedTuple):
    """One symbol that a drawing uses; its words are found by the pages."""

    stitch: str  # stitch id, such as "single_crochet_increase"
    symbol: str  # name in the symbol set
    kind: str  # the plain stitch that it is composed of
    feet: int = 1  # stitches below that it stands in
    heads: int = 1  # stitches that leave the same foot
    loop: str = ""
    role: str = "stitch"  # "stitch", "loop", "standing_chain", "start" (first stitch of a round), "turned" (words only)


class Said(NamedTuple):
    """A sentence of the pattern that puts something on a part."""

    name: str  # of the standard sentence: "place.between", "sew", "embroider" …
    values: tuple[tuple[str, str | int | float], ...]  # its slots
    what: int | None  # part that is put on, index in Graph.parts; None for notions and embroidery
    host: int  # part that it is put on
    number: str  # of the step of the assembly; "" in the part itself
    size_mm: float = 0.0  # of a notion
    count: int = 1  # how many of a notion


class Put(NamedTuple):
    """Where something sits on a part. Angles in degrees from the centre front, to the piece's own left."""

    what: str  # words, as typed
    number: str  # of the step of the assembly; "" for none
    first: int  # rounds of the host, positions: it covers them, or lies between `first` and `last` where `between`
    last: int
    between: bool
    angles: tuple[float, ...]  # one for each piece; () where the pattern tells the rounds only
    wide_mm: float = 0.0  # of what is put on; 0 for a point
    kind: str = "part"  # "part", "eye" (filled), "line" (embroidery)
    line: tuple[tuple[float, float], ...] = ()  # of embroidery: (round, angle) of its points
    apart: int | None = None  # stitches between two pieces, as the pattern tells


class Path(NamedTuple):
    """Everything of one ink and weight, as SVG path data in mm."""

    ink: str  # "#rrggbb"
    width: float  # of the line in mm; 0 is a filled shape
    d: str
    role: str = "marks"  # "marks", "contour", or a guide's role


@dataclass(frozen=True, slots=True)
class Drawing:
    """A panel ready to be written: mm, paths in the order of painting."""

    part: str
    form: str  # as of Placed; "outline", "overview", "progress", "placement", "bar" or "symbol" for the other drawings
    frame: tuple[float, float, float, float]  # left, top, right, bottom in mm
    symbol_mm: float  # width of a single crochet
    fits: bool  # False: larger than the room that the style gave; wants a page of its own
    marks: tuple[Mark, ...]
    paths: tuple[Path, ...]
    labels: tuple[Label, ...]
    legend: tuple[LegendEntry, ...] = ()
    rounds: tuple[int, int] = (0, 0)
    way: str = ""
    lines: tuple[RoundLine, ...] = ()
    tile: Tile | None = None  # of a chart that is divided over several sheets

    @property
    def width_mm(self) -> float:
        """Width of the frame."""
        return self.frame[2] - self.frame[0]

    @property
    def height_mm(self) -> float:
        """Height of the frame."""
        return self.frame[3] - self.frame[1]

    @property
    def clear_mm(self) -> float:
        """Width at which its symbols are 3 mm high; the drawing's own where they are."""
        return self.width_mm * max(1.0, LEAST_MM / self.symbol_mm)
