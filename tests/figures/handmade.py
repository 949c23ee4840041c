"""Small patterns and graphs made by hand, so that figures are tested without reading a file."""

from __future__ import annotations

from array import array

from booklet.diagnostics.span import START, Span
from booklet.graph.graph import FOREIGN, Graph, PartGraph, Place, Settled
from booklet.pattern.model import Gauge, Notion, Pattern, Section, Step, Yarn
from booklet.source.tree import Piece, Value


def part(
    totals,
    *,
    name="Ball",
    make=1,
    worked="spiral",
    stitch="single_crochet",
    colours=None,
    chains=0,
    first=1,
    foreign=(),
    tail_rounds=(),
):
    """A part from its round totals. `colours`: a yarn index per round; `foreign`: (part, instance, stitches) below round 1;
    `tail_rounds`: stitch id by round index (from 0) where it is another stitch. Decreases are made where a round shrinks.
    """
    kinds = [stitch, "chain", "sc2tog", "ring", *dict(tail_rounds).values()]
    kind, yarn, loop, counts = array("i"), array("i"), array("i"), array("i")
    round_start, parents, parent_start = array("i", [0]), array("L"), array("i")

    def put(what, colour, counted, below=()):
        parent_start.append(len(parents))
        parents.extend(below)
        kind.append(what)
        yarn.append(colour)
        loop.append(0)
        counts.append(counted)

    places = [Place(p, i, s) for p, i, n in foreign for s in range(n)]
    for _ in range(chains):
        put(1, 0, 0)
    if not chains and not places:
        put(3, 0, 0)
    below = len(places)
    for at, total in enumerate(totals):
        round_start.append(len(kind))
        colour = colours[at] if colours else 0
        own = dict(tail_rounds).get(at)
        plain = kinds.index(own) if own else 0
        decreases = max(0, below - total) if at else 0
        for i in range(total):
            feet = [FOREIGN | i] if at == 0 and i < len(places) else []
            put(2 if i < decreases else plain, colour, 1, feet)
        below = total
    round_start.append(len(kind))
    parent_start.append(len(parents))
    codes = tuple("ABCD"[: max(colours, default=0) + 1]) if colours else ("A",)
    labels = ("", *(str(first + i) for i in range(len(totals))))
    way = ("start", *("row" if worked == "rows" else "joined" if "joined" in worked else "spiral" for _ in totals))
    return PartGraph(
        name, make, worked, tuple(kinds), codes, kind, yarn, loop, counts, round_start, labels,
        array("i", range(len(totals) + 1)), way, parent_start, parents, tuple(places),
    )  # fmt: skip


def graph(*parts, steps=(), choices=()):
    """A graph of parts; `steps[p][k]` is the step of line k of part p (0 = the start); by default lines are steps 0, 1, 2 …"""
    settled, moved = [], []
    for p, one in enumerate(parts):
        offset = len(settled)
        for k in range(one.rounds + 1):
            step = steps[p][k] if p < len(steps) else k
            settled.append(Settled(p, step, 1, "round", None, "", (), None, None, None, None, None, None, ()))
        moved.append(_replace(one, round_line=array("i", range(offset, offset + one.rounds + 1))))
    return Graph(tuple(settled), tuple(moved), "", tuple(choices))


def _replace(one, **changes):
    fields = {name: getattr(one, name) for name in one.__slots__}
    return PartGraph(**{**fields, **changes})


def line(text="", at=1):
    return Step("line", Span(at, 1, at, 1 + len(text)), (Piece(text, at, 1),), at)


def said(name, *, choices=(), text="", at=1, **values):
    """A standard sentence."""
    return Step("sentence", Span(at, 1, at, 1 + len(text)), (Piece(text, at, 1),), at, name, tuple(values.items()), choices)


def section(title, steps=(), role="part", make=1):
    return Section(role, title, START, tuple(steps), make)


def gauge(width, height, text="24 sc x 26 rnds = 10 cm"):
    """A gauge of stitches `width` mm wide and rounds `height` mm high."""
    return Gauge(100 / width, 100 / height, 100.0, 100.0, "single_crochet", text, START)


def notion(name, count=None, size=None, **more):
    return Notion(name, START, name, count, size, **more)


def yarn(code="A", **more):
    return Yarn(code, START, **more)


def text_value(text):
    return Value("text", text, START)


def pattern(*sections, **fields):
    values = {
        "file": "test.md", "title": "Test", "language": "en-US", "terms": "US", "fields": {}, "yarns": (), "notions": (),
        "gauge": None, "hook_mm": None, "sections": tuple(sections),
    }  # fmt: skip
    return Pattern(**{**values, **fields})


def standard_ball(top, even):
    """Rounds 6, 12, … 6 top, `even` rounds at the maximum, and down to 6."""
    up = [6 * k for k in range(1, top + 1)]
    return up + [6 * top] * (even - 1) + up[-2::-1]
