"""Labels in, a pattern that writes them in several ways out; the booklet prints one.

Noted:   Rnd 1: …      3rd rnd: …      R4 …
Good:    Rnd 1: …      Rnd 3: …        Rnd 4: …
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from typing import NamedTuple

from booklet.diagnostics.diagnostic import Diagnostic, Edit, diagnostic
from booklet.diagnostics.span import Span
from booklet.graph.checks._styles import commonest
from booklet.graph.checks._subject import Line, Subject

CODES = ("label-styles-mixed",)

_NUMBERS = re.compile(r"\d+(?:\W+(?:[^\W\d_]+\W+)?\d+)*")
_BESIDE = " -–—•·→*"  # bullets and dashes around a label


class Label(NamedTuple):
    """A label as it stands in the file."""

    line: Line
    style: str  # its words and marks in small letters, 0 for its numbers
    text: str  # from its first word to the first word of the instruction
    numbers: str  # as typed: "4-7"
    span: Span  # of the text

    @property
    def several(self) -> bool:
        """Is it the label of several rounds?"""
        return len(self.line.settled.numbers) > 1


def check(subject: Subject) -> Iterator[Diagnostic]:
    """One note a pattern, at the first label that is written otherwise than the first of its kind; the mend is at all that are fewer."""
    seen: dict[str, list[Label]] = {}
    for line in subject.lines():
        label = _label(subject, line)
        if label is not None:
            seen.setdefault(line.settled.kind, []).append(label)
    mixed = [(other, labels) for labels in seen.values() if (other := _other(labels)) is not None]
    if not mixed:
        return
    other, labels = min(mixed, key=lambda found: found[0].span)
    yield diagnostic(
        "label-styles-mixed",
        other.line.span,
        edits=tuple(_edits(subject, labels)),
        part=other.line.section.title,
        round=other.line.number,
        label=other.line.label,
        first=labels[0].line.label,
    )


def _other(labels: list[Label]) -> Label | None:
    return next((label for label in labels if label.style != labels[0].style), None)


def _label(subject: Subject, line: Line) -> Label | None:
    """The label of a line; None where it has none, or where more than a label stands before the instruction."""
    instruction = line.settled.instruction
    if not line.settled.numbers or instruction is None or instruction.span.line != instruction.body.line:
        return None
    span = instruction.span._replace(end_line=instruction.body.line, end_column=instruction.body.column)
    text = subject.text(span)
    numbers = _NUMBERS.search(text)
    if numbers is None or any(sign in text for sign in "([{"):
        return None
    begin = len(text) - len(text.lstrip(_BESIDE))
    return Label(line, _style(text), text[begin:], numbers.group(), span._replace(column=span.column + begin))


def _style(text: str) -> str:
    """The label with its numbers, its plural and its range taken out; `1st`, `2nd` and `3rd` are one style."""
    shape = _NUMBERS.sub("0", text.casefold().strip(_BESIDE), count=1)
    shape = re.sub(r"^([^\W\d_]{2,}?)s?(?=\W*0)", r"\1", shape)
    shape = re.sub(r"(?<=0)[^\W\d_]+", "'", shape)
    return " ".join(shape.split())


def _edits(subject: Subject, labels: list[Label]) -> Iterator[Edit]:
    """Every label of another style than the house's, with its own numbers in the words of one that has the style."""
    style = _house(subject, labels)
    alike = [label for label in labels if label.style == style]
    if "'" in style or not alike:
        return  # "3rd" cannot be made of "4th" without knowing the language
    forms: dict[bool, str] = {}
    for several in (False, True):
        form = commonest(one.text.replace(one.numbers, "{n}", 1) for one in alike if one.several == several)
        forms[several] = form or _other_number(subject, alike[0], several)
    for label in labels:
        if label.style != style:
            yield Edit(label.span, forms[label.several].replace("{n}", label.numbers))


def _house(subject: Subject, labels: list[Label]) -> str:
    """The style to follow: the one with the word of the house file, else the commonest."""
    word = " ".join(subject.pattern.field("labels").casefold().split())
    named = [label.style for label in labels if word and re.fullmatch(rf"{re.escape(word)}\W*0\W*", label.style)]
    return commonest(named) or commonest(label.style for label in labels) or ""


def _other_number(subject: Subject, example: Label, several: bool) -> str:
    """The example with its word in the other grammatical number, where it is the word that the language's table prints."""
    forms = subject.language.writing
    kind = "row" if example.line.settled.kind == "row" else "round"
    one, more = forms[f"label_{kind}"], forms[f"label_{kind}s"]
    now, wanted = (one, more) if several else (more, one)
    text = example.text.replace(example.numbers, "{n}", 1)
    return wanted + text[len(now) :] if text.startswith(now) else text
