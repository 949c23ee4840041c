"""Lines a second through reading and counting, against a plain regular-expression split of the same lines in the same run.

Run: python -m tests.bench.bench_reader
"""

from __future__ import annotations

import re
import time
from collections.abc import Callable

from booklet.diagnostics.span import START, Span
from booklet.graph.settle import settle
from booklet.notation.read import read_line, words_of
from booklet.pattern.model import Pattern, Section, Step
from booklet.source.tree import Piece
from booklet.tables.language import load
from tests.notation.cases import cases

SPLIT = re.compile(r"\d+|[^\W\d_]+|[^\s\w]")
ROUNDS = 5
TOY = (
    "Rnd 1: 6 sc in MR (6)",
    "Rnd 2: inc x 6 (12)",
    "Rnd 3: (sc, inc) x 6 (18)",
    "Rnd 4: *2 sc, inc; rep from * around (24)",
    "Rnds 5-9: sc in each st around (24)",
    "Rnd 10: sc in next 3 sts, dec, sc in next 19 sts (23 sts)",
    "Rnd 11: BLO, sc around",
    "Rnd 12: 3 sc, (3 sc, dec) x 4 [19]",
    "Rnd 13: 2 sc in next st, sc in next 18 = 20",
    "Rnd 14: ch 1, sc in same st, sc in each st around, join (20)",
)


def parts() -> list[tuple[str, ...]]:
    """The lines of the cases that need no part before them, and a plain toy over and over."""
    return [case.lines for case in cases("en-US") if case.have == "-"] + [
        (f"Rnd 1: {case.have} sc in MR", *case.lines) for case in cases("en-US") if case.have.isdecimal()
    ] + [TOY] * 60


def best(work: Callable[[], object]) -> float:
    """The shortest of several runs, in seconds of this process: other work on the machine does not count."""
    times = []
    for _ in range(ROUNDS):
        begin = time.process_time()
        work()
        times.append(time.process_time() - begin)
    return min(times)


def main() -> None:
    """Print the measured numbers."""
    sections, texts = [], []
    for lines in parts():
        steps = tuple(Step("line", Span(i, 1, i, len(text) + 1), (Piece(text, i, 1),), i) for i, text in enumerate(lines, 1))
        sections.append(Section("part", "Body", START, steps))
        texts += lines
    language = load("en-US")
    pattern = Pattern("bench.md", "", "en-US", "US", {}, (), (), None, None, tuple(sections))
    words = words_of(pattern, language)

    def read() -> dict:
        return {(p, s): read_line(step.pieces, words) for p, part in enumerate(sections) for s, step in enumerate(part.steps)}

    candidates = read()
    reading = best(read)
    counting = best(lambda: settle(pattern, candidates))
    split = best(lambda: [SPLIT.findall(text) for text in texts])
    whole = reading + counting
    each = [round(seconds / len(texts) * 1e6) for seconds in (reading, counting)]
    print(f"{len(texts)} lines: {len(texts) / whole:.0f} lines/s ({each[0]} us reading, {each[1]} us counting a line)")
    print(f"{whole / split:.0f} times a plain split of the same lines")


if __name__ == "__main__":
    main()
