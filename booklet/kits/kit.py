"""The noun of this room: a kit as its file tells it, and the answer, what to order and to pack; nothing is computed here."""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal
from typing import NamedTuple

from booklet.diagnostics.span import START, Span

ZERO = Decimal(0)


class Amount(NamedTuple):
    """A number with its unit."""

    value: Decimal
    unit: str  # "g", "m", "pc"
    word: str = ""  # "cone", as typed behind it


class Supply(NamedTuple):
    """Where an item comes from."""

    item: str  # as the kit file names it
    span: Span
    supplier: str = ""
    article: str = ""
    pack: Amount | None = None
    minimum: Amount | None = None  # "pc" counts packs
    price: Decimal | None = None  # of one pack
    spare: Decimal | None = None  # percent, of the amount in every kit
    waste: Decimal | None = None  # percent, of the amount that is ordered
    stock: Amount | None = None
    weight_g: Decimal | None = None  # of one piece


class PatternOf(NamedTuple):
    """A pattern that every kit holds the materials of."""

    file: str
    span: Span
    choices: tuple[tuple[str, str], ...] = ()
    size: str = ""


class Colourway(NamedTuple):
    """Kits that differ in the colours of their yarns."""

    name: str  # "" where there is only one
    kits: int
    colours: tuple[tuple[str, str], ...] = ()  # code or colour of the pattern -> colour in the kit
    span: Span = START
    codes: tuple[Span, ...] = ()  # where each of `colours` is named


class Extra(NamedTuple):
    """A card, a box, a bag, a sticker."""

    kind: str  # "card", "item"
    name: str
    each: Decimal  # in one kit
    kits: int | None  # in how many; None: in all
    weight_g: Decimal | None
    span: Span


@dataclass(frozen=True, slots=True)
class Kit:
    """What a kit file says."""

    title: str
    kits: int
    patterns: tuple[PatternOf, ...]
    colourways: tuple[Colourway, ...]
    extras: tuple[Extra, ...] = ()
    supplies: tuple[Supply, ...] = ()
    leave_out: tuple[str, ...] = ()  # notions that no kit holds
    spare: Decimal | None = None  # percent, of yarn
    tolerance: Decimal | None = None  # percent, of the packed weight
    currency: str = ""
    maker: str = ""
    address: str = ""
    batch: str = ""
    code: str = ""  # EAN-13 or UPC-A, as typed
    link: str = ""
    languages: tuple[str, ...] = ()
    market: str = ""


class Content(NamedTuple):
    """One thing in the kits of one colourway."""

    colourway: str
    kits: int
    kind: str  # yarn, stuffing, thread, notion, card, item
    item: str
    code: str  # "A" of a yarn
    net: Decimal  # needed for one piece
    spare: Decimal  # percent
    step: Decimal  # the amount in a kit is rounded up to it
    each: Decimal  # in one kit
    unit: str  # "g", "m", "pc"
    metres: Decimal | None  # of a yarn in g: the same in metres, in one kit
    basis: str  # "weighed", "estimate", "told"
    weight_g: Decimal | None  # of all of it in one kit; None where nothing tells
    tolerance_g: Decimal

    @property
    def total(self) -> Decimal:
        """In all kits of the colourway."""
        return self.each * self.kits


class Label(NamedTuple):
    """What the label of a bag says, in finished words."""

    title: str
    language: str  # of the words
    count: int  # labels of this kind
    lines: tuple[str, ...]  # the first stands before the warnings; empty ones are left out
    warnings: tuple[tuple[str, tuple[str, ...]], ...]  # language, parts of a prescribed text
    code: str = ""  # EAN-13 or UPC-A, as typed
    link: str = ""


class OrderLine(NamedTuple):
    """One thing to order."""

    number: int  # from 1; the sheets refer to it
    kind: str
    item: str
    unit: str
    packed: Decimal  # in all kits
    waste: Decimal  # percent
    need: Decimal  # with waste
    metres: Decimal | None
    stock: Decimal  # in `unit`
    short: Decimal
    pack: Decimal  # in `unit`
    pack_word: str  # "cone", "ball", "pack"; "" for single pieces
    minimum: int  # packs
    packs: int
    price: Decimal | None  # of one pack
    cost: Decimal | None
    supplier: str = ""
    article: str = ""
    balls: Decimal = ZERO  # that the yarn of all kits is cut from without a knot; 0 where it does not come in balls


class Packed(NamedTuple):
    """The kits of one colourway, ready."""

    colourway: str
    kits: int
    weight_g: Decimal
    tolerance_g: Decimal
    unweighed: tuple[str, ...]  # things whose weight nothing tells
    unnoticed: tuple[str, ...] = ()  # lighter than the tolerance: the scale does not miss them


@dataclass(frozen=True, slots=True)
class Answer:
    """What to order and to pack."""

    title: str
    kits: int
    currency: str
    contents: tuple[Content, ...]
    order: tuple[OrderLine, ...]
    packed: tuple[Packed, ...]
    cost: Decimal | None  # of all that has a price; None where nothing has one
    unpriced: tuple[str, ...]  # to be ordered, without a price
