"""A pattern's sections and a graph in, the sentences that are really followed, and where they stand, out; nothing is measured.

A file may hold very many parts and sentences: names are looked up in dictionaries, never by walking through all of them.
"""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Iterator
from functools import lru_cache
from typing import NamedTuple

from booklet.graph.graph import Graph, PartGraph
from booklet.pattern.model import Choice, Pattern, Section, Step
from booklet.tables.language import fold


class Told(NamedTuple):
    """A standard sentence that is followed. Parts are indices in Graph.parts."""

    step: Step
    section: Section
    part: int | None  # that it stands in, None outside parts
    done: int  # rounds of that part above the sentence
    what: int | None  # the part that its slot `what` names
    onto: int | None  # the part that its slot `onto` or `on` names

    @property
    def host(self) -> int | None:
        """The part that something is put on: the named one, else the one that the sentence stands in."""
        return self.onto if self.step.value("onto") or self.step.value("on") else self.part

    @property
    def about(self) -> int | None:
        """The part that is meant: `Stuff the Head` may stand anywhere."""
        return self.what if self.step.name == "stuff" and self.step.value("what") else self.part


def taken(pattern: Pattern, graph: Graph) -> dict[str, str]:
    """The value of every choice: the graph's, else the pattern's first."""
    return {**{key: options[0] for key, options in pattern.choices if options}, **dict(graph.choices)}


def chosen(choices: tuple[Choice, ...], values: dict[str, str]) -> bool:
    """Is something with these choices made?"""
    return all(values.get(key, value) == value for key, value in choices)


def sentences(pattern: Pattern, graph: Graph) -> tuple[Told, ...]:
    """Every followed standard sentence, in the order of the file."""
    return tuple(_sentences(pattern, graph))


def by_part(told: tuple[Told, ...]) -> dict[int, tuple[Told, ...]]:
    """The sentences about each part, in the order of the file."""
    found: dict[int, list[Told]] = {}
    for one in told:
        if one.about is not None:
            found.setdefault(one.about, []).append(one)
    return {part: tuple(ones) for part, ones in found.items()}


def by_sewn(told: tuple[Told, ...]) -> dict[int, tuple[Told, ...]]:
    """The sentences that sew a part on, by that part."""
    found: dict[int, list[Told]] = {}
    for one in told:
        if one.step.name in ("sew", "sew.stitches") and one.what is not None:
            found.setdefault(one.what, []).append(one)
    return {part: tuple(ones) for part, ones in found.items()}


def _sentences(pattern: Pattern, graph: Graph) -> Iterator[Told]:
    values = taken(pattern, graph)
    named: dict[str, int] = {}
    for index, one in enumerate(graph.parts):
        named.setdefault(bare(one.name), index)
    part = -1
    for section in pattern.sections:
        is_part = section.role == "part"
        part += is_part
        here = part if is_part and part < len(graph.parts) else None
        lines = _lines(graph, part) if is_part else []
        for index, step in enumerate(section.steps):
            if step.kind == "sentence" and chosen(step.choices, values):
                what, onto = (_named(step.value(slot), named) for slot in ("what", "onto"))
                onto = _named(step.value("on"), named) if onto is None else onto
                yield Told(step, section, here, bisect_left(lines, index), what, onto)


def _named(words: object, named: dict[str, int]) -> int | None:
    return named.get(bare(words)) if isinstance(words, str) and words else None


def _lines(graph: Graph, part: int) -> list[int]:
    """The step of each round of a part, in order."""
    if part >= len(graph.parts):
        return []
    found = graph.parts[part]
    lines = list(found.round_line)[1 : found.rounds + 1]
    return sorted(graph.settled[line].step for line in lines if 0 <= line < len(graph.settled))


def places(part: PartGraph) -> dict[str, int]:
    """Printed number of a round -> its place in the part, from 1; the last one where a number is repeated."""
    return {part.round_label[r]: r for r in range(1, part.rounds + 1)}


def number(value: object) -> int | None:
    """A slot as a whole number, None if it is missing or something else."""
    if isinstance(value, bool) or not isinstance(value, int | float):
        return None
    return int(value)


@lru_cache(maxsize=4096)
def bare(name: str) -> str:
    """A name for comparing: no case, no counts ("2 Paws"), no article, no plural s."""
    words = [word for word in fold(name).split() if not word.isdecimal()]
    if words and words[0] in ("the", "both", "all"):
        words = words[1:]
    text = " ".join(words)
    return text[:-1] if len(text) > 3 and text.endswith("s") and not text.endswith("ss") else text
