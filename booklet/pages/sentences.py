"""Comes in: a standard sentence with its slots. Goes out: the sentence in an edition's words; none is recognised here."""

from __future__ import annotations

import re
from collections.abc import Mapping

from booklet.pages import measures
from booklet.pages.wording import Words
from booklet.pattern.model import Step
from booklet.tables.language import Template

SLOT = re.compile(r"\{(\.?\w+)\}")
GRAMMAR = re.compile(r"[\[\]()|]")  # such a wording is for reading; what is printed has no alternatives
TOOLS = ("hook_mm",)  # given as shops give them, in mm in every edition
READ_ONLY = ("apart_as",)  # how something was said, not what
DEEPEST = 4  # of wordings within wordings

Values = Mapping[str, str | int | float]


def say(step: Step, words: Words) -> str:
    """Print a standard sentence. The designer's own words where the language has no wording that says all of it."""
    values = _to_say(step)
    best: str | None = None
    most = -1
    for template in words.language.sentences:
        if template.id != step.name or GRAMMAR.search(template.text):
            continue
        text = _expanded(template.text, values, words)
        said = _said(template, text, values)
        if said > most:
            best, most = text, said
    if best is None:
        return step.text
    return _sentence(SLOT.sub(lambda found: _value(found[1], values, words), best), words)


def _to_say(step: Step) -> Values:
    """The slots as they are printed: `what_words` says what, with its article and number."""
    values = {name: value for name, value in step.values if name not in READ_ONLY}
    for name in [name for name in values if name.endswith("_words")]:
        values[name.removesuffix("_words")] = values.pop(name)
        if name == "what_words":
            values.pop("count", None)
    values.setdefault("unit", "round")
    return values


def _expanded(text: str, values: Values, words: Words, depth: int = 0) -> str:
    """`{.pair}` becomes the first wording of that id which says nothing false."""

    def wording(found: re.Match[str]) -> str:
        name = found[1]
        if not name.startswith("."):
            return found[0]
        for template in words.language.sentences:
            if template.id == name and all(str(values.get(key)) == value for key, value in template.fixed):
                return _expanded(template.text, values, words, depth + 1)
        return ""

    return SLOT.sub(wording, text) if depth < DEEPEST else text


def _said(template: Template, text: str, values: Values) -> int:
    """How many values the wording says; -1 if it lacks one, or says something else."""
    fixed = dict(template.fixed)
    if any(str(values.get(name)) != value for name, value in fixed.items()):
        return -1
    slots = {_name(slot, values) for slot in SLOT.findall(text)}
    if not slots <= values.keys() or not values.keys() <= slots | fixed.keys() | {"unit"}:
        return -1
    return len(slots) + len(fixed)


def _name(slot: str, values: Values) -> str:
    """`{thing}` stands for what is worked on, too."""
    return "what" if slot == "thing" and "thing" not in values else slot


def _value(slot: str, values: Values, words: Words) -> str:
    name = _name(slot, values)
    value = values[name]
    if isinstance(value, str):
        return value
    if name in TOOLS:
        return measures.tool(float(value), words.style)
    if name.endswith("_mm"):
        return measures.length(float(value), words.style)
    if isinstance(value, int):
        return measures.count(value, words.style)
    return measures.decimal(value, 2, words.style)


def _sentence(text: str, words: Words) -> str:
    text = " ".join(text.split(" "))
    stop = words.page["stop"]
    return text if text.endswith((stop, "!", "?")) else text + stop
