"""Files of tests/cases/lines in, cases and what comes out of them out; no language is known here."""

from __future__ import annotations

from itertools import pairwise
from pathlib import Path
from typing import NamedTuple

from booklet.diagnostics.span import START, Span
from booklet.graph.graph import Settled
from booklet.graph.settle import settle
from booklet.notation.read import read_line, words_of
from booklet.notation.tree import Candidates, Instruction, Target, Work
from booklet.pattern.labels import further_labels
from booklet.pattern.model import Pattern, Section, Step, Yarn
from booklet.source.tree import Piece
from booklet.tables.language import Language

FOLDER = Path(__file__).resolve().parent.parent / "cases" / "lines"


class Case(NamedTuple):
    """One case: what lies below, one or more lines, what the last of them uses, and what each or the last makes."""

    row: str  # of the survey of notation: "4.4 N st"
    have: str
    lines: tuple[str, ...]
    used: int | None
    made: tuple[int | None, ...]
    line: int  # in the file
    mend: str = ""  # of a mistake: "times 7", "plain 2", "total 21", "left", "missing"


def cases(tag: str) -> list[Case]:
    """The cases of a file; how they are written stands at its top."""
    found: list[Case] = []
    row = ""
    for number, raw in enumerate((FOLDER / f"{tag}.txt").read_text("utf-8").split("\n"), 1):
        if not raw.strip() or raw.startswith("#"):
            continue
        if raw.startswith("["):
            row = raw.strip("[] ")
            continue
        cells = [cell.strip() for cell in raw.split("\t")]
        have, words, used, made = cells[:4]
        totals = tuple(None if item == "?" else int(item) for item in made.split())
        found.append(
            Case(
                row,
                have,
                tuple(words.split(" // ")),
                None if used == "-" else int(used),
                totals,
                number,
                cells[4] if len(cells) > 4 else "",
            )
        )
    return found


def run(case: Case, language: Language) -> tuple[Settled, ...]:
    """Settle the lines of a case."""
    sections: list[Section] = []
    made: dict[tuple[int, int], Candidates] = {}
    name, _, number = case.have.rpartition(" ")
    if "=" in name:  # "legs=Leg 14": a part that is made twice
        sections.append(_section(name.partition("=")[2], (), 1, 2))
        made[0, 0] = Candidates((_start(int(number), "ring"),))
    before = 1 if case.have != "-" and "=" not in name else 0
    sections.append(_section("Body", tuple(cut for text in case.lines for cut in by_label(text, language)), before))
    pattern = _pattern(tuple(sections), language.tag)
    words = words_of(pattern, language)
    part = len(sections) - 1
    if before:
        made[part, 0] = Candidates((_start(int(number or case.have), name or "ring"),))
    for s, step in enumerate(sections[-1].steps):
        if (part, s) not in made:
            made[part, s] = read_line(step.pieces, words)
    settled = [line for line in settle(pattern, made) if line.part == part]
    return tuple(settled[before:])


def by_label(text: str, language: Language) -> list[str]:
    """A line that holds several labels is several lines, as it is in a file."""
    edges = [0, *further_labels(text, language), len(text)]
    return [text[one:two].strip() for one, two in pairwise(edges)]


def _start(number: int, name: str) -> Instruction:
    """A round that makes so many stitches, or a chain."""
    chain = name == "ch"
    node = Work("chain" if chain else "single_crochet", number, START, Target("next" if chain else "ring"))
    return Instruction("start" if chain else "round", "", () if chain else (0,), (node,), None, None, START, START)


def _section(title: str, lines: tuple[str, ...], before: int, make: int = 1) -> Section:
    steps = [Step("line", START, (), 0) for _ in range(before)]
    for at, text in enumerate(lines, before + 1):
        steps.append(Step("line", Span(at, 1, at, len(text) + 1), (Piece(text, at, 1),), at))
    return Section("part", title, START, tuple(steps), make)


def _pattern(parts: tuple[Section, ...], tag: str) -> Pattern:
    return Pattern(
        "test.md", "Test", tag, "", {}, tuple(Yarn(code, START) for code in ("A", "B")), (), None, None, parts
    )


def failure(case: Case, settled: tuple[Settled, ...]) -> str:
    """What is wrong with the result of a right line; "" where all is as it should be."""
    wanted = case.made if len(case.made) == len(settled) else (None,) * (len(settled) - 1) + case.made
    for line, made in zip(settled, wanted, strict=True):
        if made is not None and line.total != made and not (line.kind == "start" and line.carried == made):
            return f"makes {line.total}, not {made}"
        if line.fault:
            return f"false alarm: {line.fault}, uses {line.consumed} of {line.available}, makes {line.total}, stated {line.stated}"
    if case.used is not None and settled[-1].consumed != case.used:
        return f"uses {settled[-1].consumed}, not {case.used}"
    return ""
