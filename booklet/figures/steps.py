"""A pattern's sections and a graph in, the sentences that are really followed, and where they stand, out; nothing is measured."""

from __future__ import annotations

from collections.abc import Iterator
from functools import lru_cache
from typing import NamedTuple

from booklet.graph.graph import Graph, PartGraph
from booklet.pattern.model import Choice, Pattern, Section, Step
from booklet.tables.language import fold


class Told(NamedTuple):
    """A standard sentence that is followed."""

    step: Step
    section: Section
    part: int | None  # index in Pattern.parts, None outside parts
    done: int  # rounds of the part that stand above the sentence


def chosen(choices: tuple[Choice, ...], pattern: Pattern, graph: Graph) -> bool:
    """Is something with these choices made? A choice that the graph does not name takes the pattern's first."""
    if not choices:
        return True
    taken = {key: options[0] for key, options in pattern.choices if options}
    taken.update(graph.choices)
    return all(taken.get(key, value) == value for key, value in choices)


def sentences(pattern: Pattern, graph: Graph) -> tuple[Told, ...]:
    """Every followed standard sentence, in the order of the file."""
    return tuple(_sentences(pattern, graph))


def _sentences(pattern: Pattern, graph: Graph) -> Iterator[Told]:
    part = -1
    for section in pattern.sections:
        is_part = section.role == "part"
        part += is_part
        lines = _lines(graph, part) if is_part else []
        for index, step in enumerate(section.steps):
            if step.kind == "sentence" and chosen(step.choices, pattern, graph):
                done = sum(1 for line in lines if line < index)
                yield Told(step, section, part if is_part else None, done)


def _lines(graph: Graph, part: int) -> list[int]:
    """The step of each round of a part, in order."""
    if part >= len(graph.parts):
        return []
    found = graph.parts[part]
    lines = list(found.round_line)[1 : found.rounds + 1]
    return [graph.settled[line].step for line in lines if 0 <= line < len(graph.settled)]


def of_part(told: tuple[Told, ...], part: int, name: str) -> tuple[Told, ...]:
    """The sentences of one name that stand in one part."""
    return tuple(one for one in told if one.part == part and one.step.name == name)


def same_name(one: str, other: str) -> bool:
    """Do two names mean the same thing? Case, articles of count ("2 Paws") and a plural s do not matter."""
    return _bare(one) == _bare(other) != ""


def part_named(name: object, graph: Graph) -> int | None:
    """The index of the part with that name, None if there is none."""
    if not isinstance(name, str):
        return None
    return next((i for i, part in enumerate(graph.parts) if same_name(name, part.name)), None)


def place_of(label: object, part: PartGraph) -> int | None:
    """The place in the part (from 1) of the round with that printed number, None if there is none."""
    text = str(label)
    return next((r for r in range(part.rounds, 0, -1) if part.round_label[r] == text), None)


def number(value: object) -> int | None:
    """A slot as a whole number, None if it is missing or something else."""
    if isinstance(value, bool) or not isinstance(value, int | float):
        return None
    return int(value)


@lru_cache(maxsize=1024)
def _bare(name: str) -> str:
    words = [word for word in fold(name).split() if not word.isdecimal()]
    if words and words[0] in ("the", "both", "all"):
        words = words[1:]
    text = " ".join(words)
    return text[:-1] if len(text) > 3 and text.endswith("s") and not text.endswith("ss") else text
