"""Rounds from totals, read by our own reader: for tests that need real parents, not only counts."""

from booklet.diagnostics.span import START
from booklet.figures.figures import GaugeUsed
from booklet.figures.wished import spread
from booklet.graph.build import build
from booklet.graph.settle import settle
from booklet.notation.read import read_pattern
from booklet.notation.tree import Instruction
from booklet.notation.write import body
from booklet.pattern.resolve import resolve
from booklet.source.read import read
from booklet.tables.language import load

ENGLISH = load("en-US")


def graph_of(text):
    pattern, _ = resolve(read(text.encode(), "test.md")[0])
    return build(pattern, settle(pattern, read_pattern(pattern, ENGLISH)), 0, ()).graph


def rounds(totals, first=1, stacked=False):
    """Instruction lines of these totals, increases shifted in every second round unless `stacked`."""
    lines, before = [], 0
    for at, total in enumerate(totals):
        if at == 0 and first == 1:
            words = f"{total} sc in MR"
        else:
            items = spread(before, total, shifted=bool(not stacked and at % 2))
            words = body(Instruction("round", "", (), items, None, None, START, START), ENGLISH)
        lines.append(f"Rnd {first + at}: {words} ({total})")
        before = total
    return "\n".join(lines) + "\n"


def part_of(totals, **more):
    graph = graph_of(f"## Part\nWorked in a spiral.\n{rounds(totals, **more)}")
    part = graph.parts[0]
    assert [part.total(r) for r in range(1, part.rounds + 1)] == list(totals)
    return graph


def gauge(width, height):
    return GaugeUsed(width, height, 0.92 * height, "gauge")
