"""Comes in: settled lines, standard sentences and the library. Goes out: which techniques are new at which step, as lessons to print.

What a pattern uses is found, never listed: stitches, places and loops from the instruction trees, the rest from the
sentences. A technique that the edition's language has no text for is left out. Drawings are made elsewhere.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence

from booklet.drawings.drawing import Drawing, Said
from booklet.figures.figures import Figures
from booklet.graph.graph import Graph, Settled
from booklet.notation.tree import Act, Group, Instruction, Node, Work
from booklet.pages import measures
from booklet.pages.book import Chart, LessonStep, Mistake, Technique
from booklet.pages.wording import Words, capital
from booklet.pattern.model import Pattern, Section, Step
from booklet.tables.safety import notion_kind
from booklet.tables.techniques import technique, techniques, uses

Draw = Callable[[str], Sequence[tuple[int, Drawing]]]  # technique -> (number of its step, drawing)
Place = tuple[int, int]  # index of the section, index of the step

SLOT = re.compile(r"\{(\w+?)(\+?)\}")
LENGTH = re.compile(r"(\d+)mm")
PLACING = "place"


def first_uses(
    pattern: Pattern,
    lines: Mapping[int, Mapping[int, Settled]],
    graph: Graph,
    figures: Figures,
    said: Iterable[Said],
    left_handed: bool,
    chosen: Mapping[str, str],
) -> dict[Place, tuple[str, ...]]:
    """Where each technique is needed first, in the order of the file; several at one place in teaching order."""
    known, order = uses(), {name: at for at, name in enumerate(techniques())}
    sewn = _sewn(pattern, graph, said)
    seen: set[str] = set()
    found: dict[Place, tuple[str, ...]] = {}
    part = -1
    for at, section in enumerate(pattern.sections):
        part += section.role == "part"
        settled = lines.get(part, {}) if section.role == "part" else {}
        for number, step in enumerate(section.steps):
            asked: list[tuple[str, str]] = []
            if any(chosen.get(key, value) != value for key, value in step.choices):
                continue
            if step.kind == "line" and number in settled:
                asked = [*_line(settled[number]), *_setting(section, settled, number, graph, part, figures, left_handed and not seen)]
            elif step.kind == "sentence":
                asked = list(_sentence(step, sewn))
            names = {name for key in asked for name in known.get(key, ())} - seen
            if names:
                found[(at, number)] = tuple(sorted(names, key=order.__getitem__))
                seen |= names
    return found


def lessons(names: Iterable[str], words: Words, draw: Draw | None = None) -> tuple[Technique, ...]:
    """Techniques as they are printed; those without a text in the edition's language are left out."""
    found = []
    for name in names:
        text = technique(name, words.language.tag)
        if text is None:
            continue
        drawn = dict(draw(name)) if draw is not None else {}
        steps = tuple(
            LessonStep(
                _spoken(step.text, words),
                words.text("technique_loops", n=step.loops) if step.loops else "",
                _chart(name, number, drawn[number], _spoken(step.text, words), words) if number in drawn else None,
            )
            for number, step in enumerate(text.steps, 1)
        )
        mistakes = tuple(Mistake(*(_spoken(part, words) for part in mistake)) for mistake in text.mistakes)
        title, purpose, looks = (_spoken(part, words) for part in (text.name, text.purpose, text.looks))
        found.append(Technique(f"technique-{name}", title, purpose, steps, looks, mistakes))
    return tuple(found)


def _chart(name: str, number: int, drawing: Drawing, text: str, words: Words) -> Chart:
    alt = words.text("technique_drawn", step=text)
    return Chart(f"technique-{name}-{number}", drawing, drawing.width_mm, drawing.height_mm, alt, "")


def _spoken(text: str, words: Words) -> str:
    """Stitches by their names in the edition's terms, lengths in its units."""

    def value(found: re.Match[str]) -> str:
        slot = found[1]
        if mm := LENGTH.fullmatch(slot):
            return measures.length(float(mm[1]), words.style)
        name = words.language.names.get(slot.lower())
        if name is None:
            return slot
        said = name.plural if found[2] else name.term
        return capital(said) if slot[0].isupper() else said

    return SLOT.sub(value, text)


def _line(settled: Settled) -> Iterator[tuple[str, str]]:
    """What one line calls for."""
    if settled.kind == "start":
        yield "start", "chain"
    for tree in (settled.instruction, *settled.trees):
        if tree is not None:
            yield from _items(tree.items, tree)


def _items(items: tuple[Node, ...], tree: Instruction) -> Iterator[tuple[str, str]]:
    for item in items:
        if isinstance(item, Group):
            if item.target is not None:
                yield "target", item.target.kind
            yield from _items(item.items, tree)
        elif isinstance(item, Act):
            way = ".row" if tree.kind == "row" else ".round"
            yield ("loop", item.value) if item.kind == "loop" else ("act", item.kind + (way if item.kind == "start_chain" else ""))
        else:
            yield from _work(item)


def _work(work: Work) -> Iterator[tuple[str, str]]:
    kind = work.target.kind
    yield ("own", "stitch") if work.stitch.startswith("own:") else ("stitch", work.stitch)
    if kind == "chain" and work.each != 1:
        kind = "chain.many"
    elif kind == "around" and work.target.name == "chain":
        kind = "around.chain"
    yield "target", kind
    if work.loop:
        yield "loop", work.loop


def _setting(
    section: Section, settled: Mapping[int, Settled], number: int, graph: Graph, part: int, figures: Figures, left_handed: bool
) -> Iterator[tuple[str, str]]:
    """What lies in the place of a line: the first one of all, the first of a round part, a yarn that comes back."""
    if left_handed:
        yield "edition", "left-handed"
    one = graph.parts[part] if part < len(graph.parts) else None
    if one is None:
        return
    # After the first line there is something to count and to mark; by the third a hand can see which side is which.
    place = [n for n in sorted(settled) if settled[n].kind != "start"].index(number) if settled[number].kind != "start" else -1
    if place in (SECOND, THIRD):
        name = "second" if place == SECOND else "third"
        yield "part", name
        if one.worked in ("spiral", "joined"):
            yield "part", f"{name} {one.worked}"
    codes: list[str] = []
    for r in range(1, one.rounds + 1):
        inside = [one.yarns[one.yarn[place]] for place in range(one.round_start[r], one.round_start[r + 1])]
        changes = [code for at, code in enumerate(inside) if at == 0 or inside[at - 1] != code]
        here = one.round_line[r] >= 0 and graph.settled[one.round_line[r]].step == number
        if here and len(changes) > len(set(changes)):
            yield "yarn", "twice in a round"
        if here and any(code in codes[:-1] and code != codes[-1] for code in changes if codes):
            yield "yarn", "returns"
        codes += [code for at, code in enumerate(changes) if at or not codes or codes[-1] != code]
    if any((line.balls or 0) > 1 and line.code in one.yarns for line in figures.yarn):
        yield "yarn", "several balls"


SECOND, THIRD = 1, 2  # index of a line of a part


def _sentence(step: Step, sewn: Mapping[int, str]) -> Iterator[tuple[str, str]]:
    yield "sentence", step.name
    for key, value in step.values:
        yield "sentence", f"{step.name} {key}={value}"
    if step.name.split(".")[0] == PLACING:
        kind = notion_kind(str(step.value("what", "")))
        if kind is not None:
            yield "notion", kind.attached
    if step.span.line in sewn:
        yield "sewn", sewn[step.span.line]


def _sewn(pattern: Pattern, graph: Graph, said: Iterable[Said]) -> dict[int, str]:
    """How the edge looks that a sentence sews on, by the sentence's line."""
    parts = pattern.parts
    by_values = {(one.name, one.values): one for one in said if one.name.startswith("sew")}
    found: dict[int, str] = {}
    for section in pattern.sections:
        for step in section.steps:
            one = by_values.get((step.name, step.values)) if step.name.startswith("sew") else None
            if one is None:
                continue
            what = one.what
            if what is None:
                found[step.span.line] = "open"
            elif graph.parts[what].worked == "rows":
                found[step.span.line] = "rows"
            elif _ends(parts[what], "close_flat") or _ends(parts[what], "close"):
                found[step.span.line] = "closed"
            elif not step.value("a") and not step.value("round") and _ends(parts[one.host], "leave_open") and _alike(graph, what, one.host):
                found[step.span.line] = "edges"
            else:
                found[step.span.line] = "open"
    return found


def _ends(section: Section, name: str) -> bool:
    return any(step.name == name for step in section.steps)


def _alike(graph: Graph, one: int, other: int) -> bool:
    """Do two open edges have the same number of stitches?"""
    first, second = graph.parts[one], graph.parts[other]
    return first.total(first.rounds) == second.total(second.rounds)
