"""The noun of this room: one booklet as plain values, in the words of its edition; no HTML, no paper, no files.

This is all that a layout can print, and the contract of those who design layouts: `page.html` sees it as `book`, beside
`words` (shared/languages/<tag>/page.tsv) and `layout` (layout.toml). Every text is ready to be printed. Texts marked
*Markdown* go through the filter `prose` (blocks) or `line` (inside a line); all others are plain. A field that is
missing in a pattern holds "", (), None or 0, never a made-up word. Lengths are in mm.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import NamedTuple

from booklet.diagnostics.span import START, Span
from booklet.drawings.drawing import Drawing


class Colour(NamedTuple):
    """A yarn's colour on paper."""

    code: str  # "A", as in the rounds
    name: str  # "chestnut"; "" where the pattern gives none
    fill: str  # "#7a4a2b", as drawn in charts


class Band(NamedTuple):
    """A yarn's share of the whole, for ornaments."""

    fill: str  # "#7a4a2b"
    share: float  # 0 to 1; all bands together make 1


class Accent(NamedTuple):
    """The one accent colour of a booklet, made from its yarns (pages/colour.py)."""

    ink: str  # for letters and rules: contrast of at least 4.5 : 1 on white paper
    tint: str  # for grounds: so light that black text on it keeps 7 : 1
    bands: tuple[Band, ...]  # every yarn by its share of the metres


class Fact(NamedTuple):
    """A label and what belongs to it."""

    label: str
    value: str
    note: str = ""  # a second, quieter line


class Picture(NamedTuple):
    """A photo or drawing of the designer's."""

    path: str  # as written in the pattern, relative to its folder
    alt: str
    caption: str = ""  # Markdown, one line
    width_mm: float = 0.0  # asked for by the designer; 0 = the layout decides
    actual_size: bool = False  # must be printed exactly `width_mm` wide
    span: Span = START  # where the pattern asks for it, for findings


class LegendRow(NamedTuple):
    """What one symbol of a chart means."""

    name: str  # of the sample's file, without ending: "symbol-single_crochet"
    drawing: Drawing | None  # the sample; None for an entry in words only
    abbr: str  # "sc"; ""
    term: str  # "single crochet"


class Chart(NamedTuple):
    """A diagram of stitches, or the outline of a part."""

    name: str  # of its file, without ending: "chart-1-1"
    drawing: Drawing
    width_mm: float  # of the drawing at its own scale
    height_mm: float
    alt: str
    caption: str
    table: tuple[tuple[str, str, str], ...] = ()  # round, stitches, change: ("3", "18", "+6")


class Ring(NamedTuple):
    """The stitches of one round as an ornament: as many dots as the round has stitches."""

    fill: str  # "#7a4a2b"
    radius: float  # of the circle of dots, in dot spacings: the radius of the round itself
    stitches: int


# ---- blocks: what the body of a part or section consists of, in the order of work ----


class Heading(NamedTuple):
    """The heading of a stretch of a part."""

    text: str
    kind: str = "heading"


class Prose(NamedTuple):
    """The designer's own words."""

    text: str  # Markdown: a paragraph, list, quote or table
    kind: str = "prose"
    language: str = ""  # BCP 47, where it is not the edition's: the designer's words are not translated


class Direction(NamedTuple):
    """One or more standard sentences that stand together, printed by the tool."""

    text: str
    sign: str = ""  # of shared/signs.tsv: what the hands do next; "" where none fits
    kind: str = "direction"


class Film(NamedTuple):
    """A place in a film, beside the words of its step: a code to be scanned, a link, an address to be read."""

    label: str  # "Video at 3:20"
    address: str  # "https://example.org/acorn#t=200"
    shown: str  # "example.org/acorn"
    own: bool = False  # another film than the pattern's
    blocks: tuple[Direction | Prose, ...] = ()  # what stands in the same paragraph
    kind: str = "film"


class Round(NamedTuple):
    """One instruction line."""

    label: str  # "Rnds 4–7"; "" where the line has none
    boxes: tuple[str, ...]  # one to tick for each round that the line stands for: ("4", "5", "6", "7")
    text: str  # "(sc, inc) x 6"
    total: str  # "(18)", "" where nothing is counted
    fill: str = ""  # colour of the yarn that most of its stitches have, "#7a4a2b"; "" in a part of one yarn
    marked: str = ""  # in a proof: the total that the pattern states, where it differs; else ""
    choice: str = ""  # "eyes: safety", where the line belongs to an alternative; else ""
    now: str = ""  # "now about 5 cm wide", after a few key rounds; else ""
    plain: str = ""  # the line in plain words, for first-timers in the first rounds; else ""
    checks: tuple[str, ...] = ()  # what to look at when it is done: "18 stitches, 6 more than before"


class Rounds(NamedTuple):
    """Instruction lines that follow one another."""

    rows: tuple[Round, ...]
    kind: str = "rounds"


class Photo(NamedTuple):
    """A picture near its step."""

    picture: Picture
    kind: str = "photo"


class Plate(NamedTuple):
    """Charts that belong together, after the last round that they show."""

    charts: tuple[Chart, ...]
    reading: str  # how to read them, in a sentence; ""
    legend: tuple[LegendRow, ...]  # of all of them together
    kind: str = "plate"


class Steps(NamedTuple):
    """A list; each item holds blocks (words first, then its pictures)."""

    items: tuple[tuple[Block, ...], ...]
    numbered: bool
    kind: str = "steps"


class Alternative(NamedTuple):
    """One way to go on."""

    title: str  # "Either: safety eyes"
    blocks: tuple[Block, ...]


class Choice(NamedTuple):
    """Alternatives to choose from; a single one is something that may be left out."""

    alternatives: tuple[Alternative, ...]
    kind: str = "choice"


class LessonStep(NamedTuple):
    """One step of a technique."""

    text: str
    loops: str  # "2 loops on the hook"; "" where it is not told
    drawing: Chart | None  # stands beside this step


class Mistake(NamedTuple):
    """A usual mistake of a technique."""

    what: str
    seen: str
    undone: str


class Technique(NamedTuple):
    """A lesson, where the pattern needs it first; in booklets for first-timers only."""

    anchor: str
    title: str
    purpose: str
    steps: tuple[LessonStep, ...]
    looks: str
    mistakes: tuple[Mistake, ...]
    kind: str = "technique"


Block = Heading | Prose | Direction | Film | Rounds | Photo | Plate | Steps | Choice | Technique

# ---- the sections of a booklet, in the usual order ----


class Cover(NamedTuple):
    """The front."""

    picture: Picture | None
    rings: tuple[Ring, ...]  # of the most colourful part, from the middle outwards; () where no part is round
    facts: tuple[str, ...]  # short: level, size, terms
    plate: Chart | None = None  # every part in its yarns, for a cover without a picture; None where there are fewer than two


class Entry(NamedTuple):
    """A line of the table of contents."""

    anchor: str  # id of the section
    title: str
    note: str = ""  # "make 2"
    language: str = ""  # BCP 47 of the title, where it is not the edition's


class YarnRow(NamedTuple):
    """A yarn to be bought."""

    colour: Colour
    name: str  # maker and name
    details: str  # fibre, weight, ball
    amount: str  # "about 41 m · 17 g"
    balls: str  # "1 ball"
    only_for: str = ""  # "eyes: safety"


class Item(NamedTuple):
    """A thing besides yarn."""

    text: str
    note: str = ""


class Materials(NamedTuple):
    """What is needed."""

    yarns: tuple[YarnRow, ...]
    items: tuple[Item, ...]  # hook first, then notions
    note: str  # how the amounts were found; "" where no amount is printed


class Abbreviation(NamedTuple):
    """A short form and its full one."""

    abbr: str
    term: str
    sign: bool = False  # a stitch with a chart symbol: the symbol face shows it for `abbr`


class Abbreviations(NamedTuple):
    """Terms and short forms, only those that are used."""

    declaration: str  # "Written in US terms."
    rows: tuple[Abbreviation, ...]
    notes: tuple[str, ...] = ()  # how repeats and totals are written
    face: str = ""  # family of the symbol face for these abbreviations; "" where there is none
    feature: str = ""  # that shows another symbol set than the usual one


@dataclass(frozen=True, slots=True)
class Section:
    """A stretch of the booklet with a heading of its own that is not a part."""

    anchor: str
    role: str  # "intro", "notes", "stitches", "assembly", "other"
    title: str
    blocks: tuple[Block, ...]
    language: str = ""  # BCP 47 of the title, where it is not the edition's


@dataclass(frozen=True, slots=True)
class Part:
    """A piece that is worked on its own."""

    anchor: str
    number: int  # its place among the parts, from 1
    title: str
    make: str  # "make 2"; "" for a single piece
    differs: tuple[str, ...]  # what differs between the pieces, in the designer's words
    size: str  # "about 2.4 × 3.1 cm"; "" where it is not known
    stitches: str  # "126 stitches"
    colours: tuple[Colour, ...]  # in order of use
    outline: Chart | None
    blocks: tuple[Block, ...]
    progress: Chart | None = None  # the outline growing in a few steps


class Caution(NamedTuple):
    """Something that must be printed about safety."""

    text: str
    prescribed: bool  # the wording is fixed by a rule: nothing may be changed in it
    markets: tuple[str, ...] = ()  # "US", "EU" …; () for all
    only_for: str = ""  # "eyes: safety", where it belongs to an alternative; "" for all
    statement: tuple[str, ...] = ()  # of the United States' text, its parts for their sizes: signal word, hazard, rest, last line
    language: str = ""  # tag of `text` where it is not the edition's; ""
    others: tuple[Translation, ...] = ()  # the same text in the other languages that have to be, or may be, printed
    more: tuple[str, ...] = ()  # what a maker can do, in our own words
    symbol: str = ""  # what the age symbol beside it means; "" where none may be printed
    where: str = ""  # its markets, where the booklet is for several; ""


class Translation(NamedTuple):
    """A prescribed text in one more language."""

    language: str  # tag
    text: str
    to_check: str  # "Translation to be checked"; "" for an official text


class CareSymbol(NamedTuple):
    """A care symbol with its words."""

    name: str  # "wash-40-mild"; its drawing is made by outputs
    text: str  # "Wash at 40 °C at most, gentle cycle."


class Care(NamedTuple):
    """How the finished piece is washed."""

    title: str
    symbols: tuple[CareSymbol, ...]
    note: str  # what it was worked out from
    licence: str  # who may print the symbols


@dataclass(frozen=True, slots=True)
class Safety:
    """The safety page."""

    age: str  # "3+"; "" where none was found
    age_text: str  # what the mark means, in a sentence
    cautions: tuple[Caution, ...]
    standing: str  # the caution that is always printed, last
    care: Care | None = None  # None where the pattern does not say what the yarns are made of
    fields: tuple[str, ...] = ()  # of a kit: what its maker writes in


@dataclass(frozen=True, slots=True)
class Colophon:
    """Who made this, what was computed, what may be done with it."""

    facts: tuple[Fact, ...]
    statement: str  # "Stitch counts recomputed …"
    licence: str  # Markdown


class Finding(NamedTuple):
    """A finding listed in a proof."""

    severity: str  # "error", "warning", "note"
    title: str  # the severity in the edition's words
    place: str  # "line 36, Nut, Rnd 4"
    message: str
    help: str


class TrialPart(NamedTuple):
    """The lines of a part, each to be ticked or written beside."""

    title: str
    make: str  # "make 2"; ""
    rows: tuple[str, ...]  # "Rnd 1", "Rnds 4–7"


class Trial(NamedTuple):
    """The form of a test copy; what the tester writes is empty."""

    stamp: str  # on every page: "Test copy for Anna · version 1.0 · 2026-11-24"
    heads: tuple[Fact, ...]  # tester, version, date
    yarns: tuple[YarnRow, ...]  # with the amounts that were computed
    facts: tuple[Fact, ...]  # hook, gauge, finished size as the pattern says them
    sizes: tuple[Fact, ...]  # of each part; () for a single one
    parts: tuple[TrialPart, ...]


class Listing(NamedTuple):
    """What a shop may say and show of a booklet: its figures, and nothing that can be worked from."""

    kind: str  # "Crochet pattern"
    counts: tuple[str, ...]  # what is inside: "5 parts", "66 rounds", "24 pages"
    languages: Fact  # "Languages", "Deutsch · français"
    file: str  # that a file is sold, and no finished piece


@dataclass(frozen=True, slots=True)
class Book:
    """A whole booklet."""

    language: str  # BCP 47
    title: str
    subtitle: str
    designer: str
    keywords: tuple[str, ...]  # for the file's properties
    date: str  # ISO 8601, as the pattern gives it; ""
    words: dict[str, str]  # fixed texts of the page, by key
    accent: Accent
    cover: Cover
    contents: tuple[Entry, ...]
    glance: tuple[Fact, ...]
    materials: Materials
    abbreviations: Abbreviations
    notes: tuple[Section, ...]  # what stands before the first part, special stitches too
    overview: Chart | None  # all parts at one scale
    parts: tuple[Part, ...]
    finishing: tuple[Section, ...]  # assembly and what follows it
    safety: Safety
    colophon: Colophon
    proof: tuple[Finding, ...] | None  # None: no proof
    placements: tuple[Chart, ...] = ()  # where things sit, one for each part that something is put on
    check_bar: Chart | None = None  # for below a picture at actual size: exactly 5 cm
    direction: str = "ltr"  # of the language's script: ltr or rtl
    reader: str = "some"  # how much is explained: first-timer, some, none
    lessons: tuple[Entry, ...] = ()  # the techniques that are taught, in the order of the alphabet of their titles
    lessons_note: str = ""  # said where the edition's language lacks texts
    video: str = ""  # address of the pattern's film, https only; for a code to be scanned
    source: str = ""  # BCP 47 of the designer's words, where the edition speaks another language; else ""
    quotes: tuple[str, str] = ("“", "”")  # of the language of the designer's words
    tight: bool = False  # a card that has no room for white: its lines stand close
    film: Film | None = None  # of the whole pattern
    trial: Trial | None = None  # of a test copy; None: it is none
    listing: Listing | None = None  # for the pictures and the text of a shop; rounds are withheld then
    long: bool = False  # it has so many pages that contents are wanted also where the layout has no place of its own for them
    tongue: str = ""  # "DE", beside the headings of a card in several languages; "" where there is one
    others: tuple[Book, ...] = ()  # of such a card: what it says in its further languages; only parts and sections that are printed
    apart: bool = False  # safety begins a side of its own, so that it is not parted and a spare side is no empty back
    lines: int = 0  # to write on, where the side before it is hardly filled
    spare: int = 0  # sides without words before it, where a card has more of them than it fills
