"""Comes in: a pattern's graph, figures and sentences, and how much its reader is told. Goes out: lessons, plain words and checks by step.

Nothing is printed here: flow puts these beside their lines. Plain words and drawings are made by what `Teach` brings.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field, replace
from math import pi
from typing import NamedTuple

from booklet.drawings.drawing import Said
from booklet.figures.figures import Figures
from booklet.graph.graph import Graph, PartGraph, Settled
from booklet.notation.tree import Instruction
from booklet.notation.write import inside
from booklet.pages import measures
from booklet.pages.book import Entry, Technique
from booklet.pages.techniques import Draw, Place, first_uses, lessons
from booklet.pages.wording import Words, typeset
from booklet.pattern.model import Pattern, Section, Step
from booklet.tables.collation import in_alphabet
from booklet.tables.safety import notion_kind
from booklet.tables.stitches import stitches
from booklet.tables.techniques import technique

FIRST_LINES = 4  # of the first part: a beginner reads the notation by herself after so many. Chosen by eye
# Stitches that a finger still reaches through (editors' checklist: eyes and stuffing before the round falls under 12 to 18).
ROOM = 12


class Teach(NamedTuple):
    """What a booklet for first-timers needs beside the pattern."""

    plain: Callable[[Instruction], str]  # the words of a line for a beginner
    draw: Draw
    said: tuple[Said, ...]  # the sentences that put something on a part
    every_line: bool = False  # plain words for all lines, not only the first: for those who listen


@dataclass(frozen=True, slots=True)
class Guide:
    """Everything that is told beside the lines, by the index of a section and of its step."""

    lessons: Mapping[Place, tuple[Technique, ...]] = field(default_factory=dict)
    plain: Mapping[Place, str] = field(default_factory=dict)
    checks: Mapping[Place, tuple[str, ...]] = field(default_factory=dict)
    note: str = ""  # where the edition's language has not all texts
    alphabet: str = ""  # of the edition's language, where it is not a to z

    def of(self, section: int) -> dict[str, dict[int, object]]:
        """The same for one section, as Context takes it."""
        return {
            name: {step: told for (at, step), told in getattr(self, name).items() if at == section}
            for name in ("lessons", "plain", "checks")
        }

    def entries(self) -> tuple[Entry, ...]:
        """The list of techniques by their titles."""
        found = [Entry(one.anchor, one.title) for some in self.lessons.values() for one in some]
        return tuple(sorted(found, key=lambda entry: (in_alphabet(entry.title, self.alphabet), entry.title)))


def guide(
    pattern: Pattern,
    graph: Graph,
    figures: Figures,
    lines: Mapping[int, Mapping[int, Settled]],
    chosen: Mapping[str, str],
    reader: str,
    teach: Teach | None,
    words: Words,
) -> Guide:
    """What this reader is told: everything for a first-timer, the checks that save a piece for others, nothing for `none`."""
    if reader == "none":
        return Guide(plain=_plain(pattern, lines, {}, teach, words)) if teach is not None and teach.every_line else Guide()
    first = reader == "first-timer"
    checks: dict[Place, tuple[str, ...]] = {}
    for part, (at, section) in enumerate((at, one) for at, one in enumerate(pattern.sections) if one.role == "part"):
        for step, told in _checks(pattern, graph, figures, part, section, first, words).items():
            checks[(at, step)] = told
    if not first or teach is None:
        plain = _plain(pattern, lines, {}, teach, words) if teach is not None and teach.every_line else {}
        return Guide(plain=plain, checks=checks)
    uses = first_uses(pattern, lines, graph, figures, teach.said, words.left_handed, chosen)
    made = {place: found for place, names in uses.items() if (found := lessons(names, words, teach.draw))}
    wanted = [name for names in uses.values() for name in names]
    alphabet = words.language.settings.get("alphabet", "")
    return Guide(made, _plain(pattern, lines, made, teach, words), checks, _note(wanted, words), alphabet)


def _note(wanted: list[str], words: Words) -> str:
    """What has to be said of the texts: some are missing in this language, some are drafts."""
    texts = [technique(name, words.language.tag) for name in wanted]
    missing = sum(text is None for text in texts)
    said = [words.text("techniques_missing", n=missing)] if missing else []
    if any(text is not None and text.draft for text in texts):
        said.append(words.text("techniques_draft"))
    return " ".join(said)


def _plain(
    pattern: Pattern,
    lines: Mapping[int, Mapping[int, Settled]],
    made: Mapping[Place, tuple[Technique, ...]],
    teach: Teach,
    words: Words,
) -> dict[Place, str]:
    """The first lines of the first part, and every later line that brings a new technique."""
    found: dict[Place, str] = {}
    part = -1
    for at, section in enumerate(pattern.sections):
        if section.role != "part":
            continue
        part += 1
        for place, (number, settled) in enumerate(sorted(lines.get(part, {}).items())):
            first = teach.every_line or (part == 0 and place < FIRST_LINES) or (at, number) in made
            if settled.instruction is None or not first:
                continue
            total = settled.total if settled.kind != "start" else None
            said = teach.plain(replace(settled.instruction, stated=total, stated_unit=None))
            if said:
                found[(at, number)] = typeset(said)
    return found


def _checks(
    pattern: Pattern, graph: Graph, figures: Figures, part: int, section: Section, first: bool, words: Words
) -> dict[int, tuple[str, ...]]:
    """Step of a part -> what to look at when that line is done."""
    one = graph.parts[part]
    mine = [line for line in graph.settled if line.part == part and line.kind != "start"]
    if not mine or one.worked == "rows":
        return {}
    found: dict[int, list[str]] = {}
    if first:
        _for_first_timers(one, mine, part == 0, found, words)
    for step, told in _last_chances(figures, part, section, one, graph, words).items():
        found.setdefault(step, []).extend(told)
    return {step: tuple(told) for step, told in found.items() if told}


def _for_first_timers(one: PartGraph, mine: list[Settled], first: bool, found: dict[int, list[str]], words: Words) -> None:
    """Where the round begins, which side is out (in the first part only), how many increases there are."""
    known = stitches()
    way = one.round_way[1] if one.rounds else ""
    start = words.text("check_marker") if way == "spiral" else words.text("check_join") if way == "joined" else ""
    if start:
        found.setdefault(mine[0].step, []).append(start)
    if first and len(mine) > SIDE_LINE:
        found.setdefault(mine[SIDE_LINE].step, []).append(words.text("check_side"))
    so_far = 0
    growing: tuple[int, int] | None = None
    for line in mine:
        grown = sum(n for stitch, n in line.counts if stitch in known and known[stitch].family == "increase") * line.rounds
        so_far += grown
        if grown and line.total:
            growing = (line.step, so_far)
        elif growing is not None:
            break
    if growing is not None and growing[1] > 0:
        found.setdefault(growing[0], []).append(words.text("check_increases", n=measures.count(growing[1], words.style)))


SIDE_LINE = 2  # index of the line after which the edge begins to stand up and shows its sides; chosen by eye


def _last_chances(
    figures: Figures, part: int, section: Section, one: PartGraph, graph: Graph, words: Words
) -> dict[int, tuple[str, ...]]:
    """What is to be done now, in a part that closes: the last line before the eyes or the stuffing, and the opening to come."""
    totals = [one.total(r) for r in range(1, one.rounds + 1)]
    if not totals or max(totals) < ROOM or not figures.parts[part].shape.endswith("closed"):
        return {}
    widest = max(r for r, n in enumerate(totals) if n == max(totals))
    small = next((r for r in range(widest, len(totals)) if totals[r] < ROOM), None)
    if not small or one.round_line[small + 1] < 0:
        return {}
    narrow = graph.settled[one.round_line[small + 1]].step
    size = measures.length(HALF_CM * max(1, round(figures.gauge.stitch_mm * totals[small] / pi / HALF_CM)), words.style)
    round_words = inside(words.text("proof_round", round=one.round_label[small + 1]), words.language)
    opening = words.text("check_opening", round=round_words, n=totals[small], size=size)
    found: dict[int, tuple[str, ...]] = {}
    lines = [line.step for line in graph.settled if line.part == part and line.kind != "start"]
    for number, step in enumerate(section.steps):
        text = _urgent(step, words)
        before = max((one for one in lines if one < number), default=None)
        if text and before is not None and before < narrow:
            told = found.get(before, (opening,))
            found[before] = told if text in told else (*told, text)
    return found


HALF_CM = 5.0  # makers measure a soft piece to half a centimetre; common practice, no source


def _urgent(step: Step, words: Words) -> str:
    """What is said of a sentence that cannot wait; "" for the others."""
    if step.name == "stuff":
        return "" if step.value("amount") == "none" else words.text("check_stuff")
    kind = notion_kind(str(step.value("what", ""))) if step.name.split(".")[0] == "place" else None
    return words.text("check_eyes") if kind is not None and kind.attached == "locked" else ""
