"""Sentences and lines that speak of rounds and pieces of a part in, those that do not exist out; names of parts are read in pattern.

Bad, where the Nut has 9 rounds:   Sew the Cap to the Nut, over Rnds 8 to 12.
Good:                              Sew the Cap to the Nut, over Rnds 1 to 3.
"""

from __future__ import annotations

import re
from collections.abc import Iterator

from booklet.diagnostics.diagnostic import Diagnostic, diagnostic
from booklet.diagnostics.span import Span
from booklet.graph.checks._subject import Subject, nodes
from booklet.notation.tree import Work
from booklet.pattern.model import Section, Step

CODES = ("reference-unknown",)

ROUND_SLOTS = ("a", "b", "round")
HOSTS = ("onto", "on", "part")  # the slot whose part the rounds belong to


def check(subject: Subject) -> Iterator[Diagnostic]:
    """An error for a round or a piece that does not exist."""
    for section, step in subject.steps():
        if step.kind != "sentence":
            continue
        yield from _rounds(subject, section, step)
    yield from _pieces(subject)


def _rounds(subject: Subject, section: Section, step: Step) -> Iterator[Diagnostic]:
    host = next((str(step.value(slot)) for slot in HOSTS if step.value(slot)), "")
    index = _find(subject, host) if host else None
    if index is None and section.role == "part" and not host:
        index = subject.pattern.parts.index(section)
    if index is None:
        return
    wanted_ones = [step.value(slot) for slot in ROUND_SLOTS]
    if not any(isinstance(wanted, int) for wanted in wanted_ones):
        return
    lines = subject.read[index]
    numbers = [n for line in lines for n in line.settled.numbers]
    if not numbers or any(not line.settled.numbers for line in lines if line.settled.kind != "start"):
        return  # lines without numbers are counted by their order: nothing can be said here
    for wanted in wanted_ones:
        if isinstance(wanted, int) and wanted not in numbers and not min(numbers) <= wanted <= max(numbers):
            yield diagnostic(
                "reference-unknown",
                _word(subject, step.span, str(wanted)),
                part=section.title if section.role == "part" else None,
                help="",
                name=f"{subject.language.roles.get('header:round', '')} {wanted}".strip(),
                near=f"{min(numbers)} to {max(numbers)}",
                parts=subject.pattern.parts[index].title,
            )
            return


def _pieces(subject: Subject) -> Iterator[Diagnostic]:
    """`on second leg` where the leg is made once."""
    for line in subject.lines():
        for node, _ in nodes(line.settled.instruction) if line.settled.instruction else ():
            if not isinstance(node, Work) or node.target.kind != "part" or not node.target.name:
                continue
            index = _find(subject, node.target.name)
            if index is not None and node.target.instance > subject.pattern.parts[index].make:
                part = subject.pattern.parts[index]
                yield diagnostic(
                    "reference-unknown",
                    node.span,
                    part=line.section.title,
                    round=line.number,
                    help="piece",
                    name=f"{part.title} {node.target.instance}",
                    near=part.make,
                    parts=part.title,
                )


def _find(subject: Subject, name: str) -> int | None:
    """The part that a name means: its whole title, or any word in common, singular or plural, in any case."""
    wanted = _words(name)
    titles = [_words(part.title) for part in subject.pattern.parts]
    for index, title in enumerate(titles):
        if title == wanted:
            return index
    return next((index for index, title in enumerate(titles) if title & wanted), None)


def _words(text: str) -> set[str]:
    # A plural loses its last letter, whatever it is in a language (`Ohren` and `Ohr` need two): a loose comparison is
    # right here, because a wrong alarm costs more than a miss.
    return {word[:-1] if len(word) > 3 and word.endswith("s") else word for word in re.findall(r"[^\W\d_]+", text.casefold())}


def _word(subject: Subject, span: Span, word: str) -> Span:
    """The place of a word inside a span of one line, the span itself where it is not found."""
    found = re.search(rf"(?<!\w){re.escape(word)}", subject.text(span)) if span.line == span.end_line else None
    if found is None:
        return span
    return Span(span.line, span.column + found.start(), span.line, span.column + found.end())
