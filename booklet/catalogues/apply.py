"""A pattern with its graph and figures and a catalogue in, all of it in the words of the translation out; nothing is printed here."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import fields, is_dataclass, replace
from typing import Any, NamedTuple

from booklet.catalogues.message import OPTIONAL, Catalogue, Message, clean
from booklet.catalogues.protect import restore
from booklet.catalogues.visit import Say, Visit
from booklet.notation.tree import Target
from booklet.pattern.model import Pattern, Step
from booklet.tables.language import Language

NAMES = frozenset(("part", "heading", "notion", "notion in a sentence", "choice"))
LEFT_OUT = frozenset(("finished size", "difference"))  # not printed in another language than their own
NAME_FIELDS = frozenset(("name", "names", "words", "basis", "placed", "what"))
SLOTS = ("what", "onto", "on", "part", "under")


class Marks(NamedTuple):
    """What is printed beside the words: in a proof what is missing, on request the number of each message."""

    missing: str = ""  # "not translated"; "" for no mark
    numbers: bool = False


NO_MARKS = Marks()


class Applied(NamedTuple):
    """A pattern in another language."""

    pattern: Pattern
    names: Mapping[str, str]  # of parts, notions and choices: the pattern's word -> the translation's
    missing: int  # messages without translation
    fuzzy: int  # with one that nobody has looked at
    total: int


Known = Callable[[str, str], str]  # kind and words of a message -> what the tables of the edition's language call it; "" if nothing


def nothing_known(_kind: str, _text: str) -> str:
    """For a language without tables of materials."""
    return ""


class _Words:
    """Turns messages into what is printed."""

    def __init__(
        self, catalogue: Catalogue, source: Language, edition: Language, marks: Marks, needed: bool, known: Known = nothing_known
    ) -> None:
        self.known = known
        self.entries = {entry.key: entry for entry in catalogue.entries if not entry.obsolete}
        self.source, self.edition, self.marks, self.needed = source, edition, marks, needed
        self.numbers: dict[tuple[str, str], int] = {}
        self.names: dict[str, str] = {}
        self.missing = self.fuzzy = self.told = 0

    def turn(self, message: Message) -> str:
        """The translation; else the pattern's own words, marked in a proof."""
        entry = self.entries.get(message.key)
        first = message.key not in self.numbers
        number = self.numbers.setdefault(message.key, len(self.numbers) + 1)
        done = entry is not None and entry.done
        usual = "" if done or not self.needed else self.known(message.kind, message.text)
        if usual:
            if message.kind in NAMES:
                self.names.setdefault(message.text, usual)
            return usual
        if not done and first and message.kind not in OPTIONAL:
            self.fuzzy += entry is not None and bool(entry.target.strip())
            self.missing += entry is None or not entry.target.strip()
        if done and entry is not None:
            self.told += 1
            words = restore(entry.target, self.source, self.edition)
            if not message.markdown:
                words = " ".join(words.split())
            if message.kind in NAMES:
                self.names.setdefault(message.text, words)
            return self._numbered(words, number, message)
        if message.kind in OPTIONAL:
            return "" if message.kind in ("translated by", "translator's note") else message.text
        if message.kind in LEFT_OUT and self.needed:
            return ""
        words = restore(message.text, self.source, self.edition)
        if self.marks.missing and self.needed and message.kind not in NAMES:
            words = f"[{self.marks.missing}] {words}" if not message.markdown else f"\\[{self.marks.missing}\\] {words}"
        return self._numbered(words, number, message)

    def _numbered(self, words: str, number: int, message: Message) -> str:
        if not self.marks.numbers or message.kind in OPTIONAL or message.kind in NAMES - {"heading"} or message.kind == "table":
            return words
        return f"`{number}` {words}" if message.markdown else f"[{number}] {words}"  # no number of a step or a size


def apply(
    pattern: Pattern,
    catalogue: Catalogue,
    source: Language,
    edition: Language,
    say: Say,
    marks: Marks = NO_MARKS,
    known: Known = nothing_known,
) -> Applied:
    """Put the translations into a pattern. What has none is called by its usual name where the tables know it.

    A pattern in its own language, or in another English, needs no translation: only its stitch words are printed by their identity.
    """
    needed = source.tag.split("-")[0] != edition.tag.split("-")[0]
    words = _Words(catalogue, source, edition, marks, needed, known)
    turned = Visit(source, words.turn, say).pattern(pattern)
    opening, _, closing = edition.settings.get("quotes", " ").partition(" ")
    quotes = (opening, closing) if words.told and needed else ("", "")  # else the pages put them
    sections = []
    for section, before in _pairs(turned, pattern):
        own = len(before.steps)  # behind these stands the translator's note
        steps = (_named(step, old, words.names, quotes) for step, old in zip(section.steps[:own], before.steps, strict=True))
        sections.append(replace(section, steps=(*steps, *section.steps[own:])))
    # Where nothing at all is translated the words are still the pattern's, and the pages say of which language they are.
    tag = edition.tag if needed and words.told else pattern.language
    turned = replace(turned, sections=tuple(sections), language=tag)
    count = sum(kind not in OPTIONAL for kind in (context.rpartition(": ")[2] for context, _ in words.numbers))
    if not needed:
        return Applied(turned, words.names, 0, 0, count)
    return Applied(turned, words.names, words.missing, words.fuzzy, count)


def _pairs(turned: Pattern, pattern: Pattern) -> list[tuple[Any, Any]]:
    """Sections with what they were; an intro that holds only the translator's note was nothing."""
    if len(turned.sections) > len(pattern.sections):
        return [(turned.sections[0], replace(turned.sections[0], steps=())), *zip(turned.sections[1:], pattern.sections, strict=True)]
    return list(zip(turned.sections, pattern.sections, strict=True))


def _named(step: Step, old: Step, names: Mapping[str, str], quotes: tuple[str, str]) -> Step:
    """Parts and things by their new names.

    Where a catalogue has the name and not the form that a sentence asks for (`the Cap`), the name stands in quotes, its number
    before it: a label needs no article and no case.
    """
    if step.kind != "sentence":
        return step
    before, values = dict(old.values), dict(step.values)
    for slot in SLOTS:
        bare = before.get(slot)
        name = names.get(clean(bare).strip()) if isinstance(bare, str) else None
        if name is None:
            continue
        values[slot] = name
        words = f"{slot}_words"
        if words in values and values[words] == before[words]:
            number = f"{before['count']} × " if slot == "what" and "count" in before and quotes[0] else ""
            values[words] = f"{number}{quotes[0]}{name}{quotes[1]}"
    return replace(step, values=tuple(values.items()))


def renamed(value: Any, names: Mapping[str, str], field: str = "") -> Any:  # noqa: ANN401 - any value of the graph or the figures
    """The same value with the names of parts and things translated; only whole names in the fields that hold names are touched.

    `leg` of the part `Legs`, in a round, is the pattern's own word: a translated part is called by its name.
    """
    if isinstance(value, str):
        return names.get(value, value) if field in NAME_FIELDS else value
    if isinstance(value, Target) and value.words and value.name in names:
        return value._replace(name=names[value.name], words="")
    if isinstance(value, tuple):
        if len(value) == 2 and value[0] == "names" and isinstance(value[1], str):
            # What fills a sentence on safety: ("names", "safety eyes, bell").
            return "names", ", ".join(names.get(one, one) for one in value[1].split(", "))
        made = [renamed(one, names, name) for one, name in zip(value, getattr(value, "_fields", (field,) * len(value)), strict=True)]
        if all(new is old for new, old in zip(made, value, strict=True)):
            return value
        return type(value)(*made) if hasattr(value, "_fields") else tuple(made)
    if is_dataclass(value) and not isinstance(value, type):
        changed = {}
        for one in fields(value):
            old = getattr(value, one.name)
            new = renamed(old, names, one.name)
            if new is not old:
                changed[one.name] = new
        return replace(value, **changed) if changed else value
    return value
