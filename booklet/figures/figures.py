"""The noun of this room: what a piece measures, weighs and asks for, for one size and one set of choices; nothing is computed here."""

from __future__ import annotations

from dataclasses import dataclass
from typing import NamedTuple

from booklet.tables.markets import Limit

PATH = 3.5  # see GaugeUsed.path


class GaugeUsed(NamedTuple):
    """The stitch and round that everything here is computed with."""

    stitch_mm: float  # width of one single crochet
    round_mm: float  # height of one round of single crochet, worked in the round
    row_mm: float  # height of one turned row of single crochet
    basis: str  # "gauge" (stated), "hook" (estimated from it), "default" (nothing was stated)
    path_mm: float = 0.0  # yarn of one single crochet; 0: estimated from its width and height
    path_range: float = 0.15  # of the yarn: from the gauge alone ± 15 %, ± 7 % from a measured stitch
    form: str = ""  # what was measured: "swatch", "rows", "tube", "disc", "square"; "" where nothing was

    @property
    def path(self) -> float:
        """Yarn of one single crochet in mm: measured, else 3.5 (width + height).

        Its path is a chain loop on top and a loop through the round below; that fits ten published measurements with a ratio of
        1.03 ± .085 (sources: shared/sizes/README.md).
        """
        return self.path_mm or PATH * (self.stitch_mm + self.round_mm)


class Round(NamedTuple):
    """One round or row of a part's profile."""

    n: int  # place in the part, from 1
    total: int  # counted stitches
    radius_mm: float | None  # of the middle of the fabric; None where the part is not round
    height_mm: float | None  # of the round's top above the part's start


class Growth(NamedTuple):
    """A stretch of rounds that grow alike. Growth 1 lies flat: the circumference grows by 2 pi times the round's height."""

    first: int  # place of the round in the part
    last: int
    kappa: float  # running growth, weighted by stitches; below 0 where the part closes
    verdict: str  # "closing", "tube", "deep cup", "bowl", "slightly cupped", "flat", "slight wave", "ruffle", "frill"


class KeySize(NamedTuple):
    """How large a part is when a round is done, as it lies in the hand; for notes such as "now about 5 cm wide"."""

    n: int  # place of the round in the part
    width_mm: float | None  # None where it has not changed since the last one
    height_mm: float | None  # along the axis; None while the piece is flat


class Relaxed(NamedTuple):
    """A part on its springs in three dimensions, with what it grows out of; outside sizes. Only made when asked for."""

    width_mm: float
    depth_mm: float
    height_mm: float
    strain: float  # root mean square of all springs; .01 to .06 is usual
    strain_most: float
    embeds: bool  # False: the counts ask for a surface that does not fit into space without force
    widths_mm: tuple[float, ...]  # the longer way across of every round


@dataclass(frozen=True, slots=True)
class PartFigures:
    """One part. Sizes are outside sizes, fabric included; None where they cannot be told."""

    name: str
    make: int
    stitches: int  # counted, one piece
    shape: str  # "closed", "open", "flat", "flattened", "rows", "oval closed", "oval open", "oval flat", "" where nothing was worked
    width_mm: float | None
    height_mm: float | None  # along the axis; the fabric's thickness where the part lies flat
    length_mm: float | None  # the longer way across of an oval, the way of the rows of a piece in rows
    rounds: tuple[Round, ...]
    volume_cm3: float | None  # inside the middle of the fabric; None where it lies flat
    area_cm2: float | None  # of the fabric
    stuffing_g: float | None  # of one piece; 0 where it is not stuffed, None where nothing tells
    yarn_m: tuple[tuple[str, float], ...]  # by yarn code, metres for one piece, tails included
    uncertain: bool = False  # some line was not understood: the figures rest on printed totals
    gauge: GaugeUsed | None = None  # that this part was computed with
    growth: tuple[Growth, ...] = ()
    stacked: tuple[int, int] | None = None  # rounds whose increases stand on one another, so that the piece gets corners
    key_sizes: tuple[KeySize, ...] = ()
    tail_mm: float | None = None  # advised for sewing this part on; None where it is not sewn on
    tail_stated_mm: float | None = None
    relaxed: Relaxed | None = None


class YarnLine(NamedTuple):
    """The yarn of one code for the whole piece."""

    code: str
    length_m: float  # to be printed: the declared use where the pattern gives one
    low_m: float  # likely range
    high_m: float
    mass_g: float | None  # None without a put-up
    balls: int | None  # to buy, with a reserve; None without a put-up
    computed_m: float  # what the stitches ask for
    basis: str  # "computed" or "declared"
    cut_m: float | None = None  # length to cut for a kit: with the reserve, rounded up to half a metre


class Placement(NamedTuple):
    """Where something sits on a part, counted and measured. Stitches count from 1 at the start of the round, in the order of work."""

    what: str
    host: int  # index in Figures.parts
    line: int  # of the sentence, in the file
    n: int  # place of the round below it
    total: int  # stitches of that round
    apart: int | None  # stitches between the two; None where it is one thing, or not told
    after: tuple[int, ...]  # each sits after this stitch: (15, 20) = after st 15 and after st 20
    centred: bool  # False: half a stitch beside the middle, since one of apart and total is odd
    arc_mm: float | None  # along the fabric from one to the other
    straight_mm: float | None  # through the air
    degrees: float | None  # seen from the axis
    height_mm: float | None  # of the round's top above the part's start
    fits: str  # "", "round" (more stitches than there are), "eye" (larger than its room), "part" (its edge does not fit)
    lean_sts: float  # how far a spiral has carried the middle to the working side since the part's first round; ± a quarter


class Size(NamedTuple):
    """Outside size of the finished piece."""

    height_mm: float | None
    width_mm: float | None
    length_mm: float | None
    basis: tuple[str, ...]  # names of the parts that were put on one another; one name: that part alone
    placed: tuple[tuple[str, float, float], ...] = ()  # part, from and to which height it reaches, mm above the lowest point


class Component(NamedTuple):
    """Something fixed to the piece that is not yarn."""

    name: str  # as the file names it, without count and size
    kind: str  # row of shared/safety/notions.tsv, "" where it is not known
    count: int | None
    small_part: bool  # False only where it cannot fit the cylinder in any direction
    verdict: str  # "small", "limit" (within measuring doubt), "clear", "unknown" (treated as small)
    dimensions_mm: tuple[tuple[str, float], ...]
    attached: str  # loose, locked, sewn, glued, enclosed
    basis: str  # where the measures come from, such as "stated measures", "computed size", "no size given"
    shape: str = ""  # that was tested, of figures/cylinder.py; "unknown" where it is not known
    made: str = ""  # "" bought, "crochet" (a part of the pattern), "piece" (the whole, put together)
    material: str = "hard"  # hard, soft (yields, measured with more doubt), textile
    hazard: str = ""  # what else it brings, of shared/safety/notions.tsv


class Cord(NamedTuple):
    """A cord, tail or loop of the finished piece."""

    name: str
    way: str  # noose (may form one), free (one end hangs), loop
    length_mm: float  # of a loop: all the way round
    thick_mm: float | None  # None where it is not told, or for ribbons
    basis: str  # "stated measures", "computed size", "chains"


class MarketAge(NamedTuple):
    """What a market makes of a stated age."""

    market: str
    declared: int | None  # months
    counts_as: int | None  # months, where the market does not take the stated age; else None
    mark: str | None  # to be printed there; None: nothing can be printed


class SafetyNote(NamedTuple):
    """One caution, for one market."""

    code: str  # also a page of shared/diagnostics
    market: str  # US, EU, UK, CA, AU, NZ; "" for all
    severity: str  # error, warning, note
    wording: str | None  # id of the prescribed text in shared/safety/wordings.tsv
    text: str  # that text, else our reason, in English; pages ask the tables for other languages
    names: tuple[str, ...] = ()  # components it is about
    rule: str = ""  # row of shared/safety/rules.tsv
    level: str = ""  # block, warn, note, info: how grave the matter is, whoever has to act
    limit: Limit | None = None  # of the market, with its source and edition
    source: str = ""  # of the rule
    variant: str = ""  # which of the code's sentences
    values: tuple[tuple[str, str], ...] = ()  # fill the sentence, besides {names}
    more: tuple[tuple[str, tuple[tuple[str, str], ...]], ...] = ()  # sentences of notes.tsv below it, with their values
    mark: int = 0  # least age to be printed, months; -1: none may be printed


@dataclass(frozen=True, slots=True)
class Safety:
    """What has to be said about a piece. It never says that a piece is free of hazards."""

    made_as: str  # cuddly toy, toy, decoration, household, wearable; "" where nothing tells
    age: str | None  # mark to be printed, such as "3+"; None: nothing can be printed
    markets: tuple[str, ...]  # that were assessed
    components: tuple[Component, ...]
    notes: tuple[SafetyNote, ...]  # what would be wrong to print first
    ages: tuple[MarketAge, ...] = ()
    cords: tuple[Cord, ...] = ()
    kit: bool = False  # sold with its materials (the head says `maker-age`)


@dataclass(frozen=True, slots=True)
class Figures:
    """All figures of a pattern."""

    gauge: GaugeUsed
    parts: tuple[PartFigures, ...]  # in the order of Graph.parts
    yarn: tuple[YarnLine, ...]  # in the order of the head, others after them
    size: Size
    safety: Safety
    stuffing_g: float | None  # all pieces together
    choices: tuple[tuple[str, str], ...] = ()
    placements: tuple[Placement, ...] = ()  # in the order of the file
