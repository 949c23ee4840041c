"""A pattern in, its messages turned by a function, the pattern with what came back out; the one walk for reading and for applying.

What a reader sees and a designer has written is a message. Rounds, totals and standard sentences are none.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import replace

from booklet.catalogues.message import HEAD, Message, clean
from booklet.catalogues.protect import protect
from booklet.diagnostics.span import START as _START
from booklet.pattern.model import Notion, Pattern, Section, Step, Yarn
from booklet.source.tree import Piece, Value
from booklet.tables.language import Language

Turn = Callable[[Message], str]  # a message -> the words to print; "" leaves out what may be left out
Say = Callable[[Step], str]  # a standard sentence in the other language; "" where that has no wording for it

ADDRESSES = ("contact", "video")
FIELDS = (("subtitle", "subtitle", True), ("finished size", "finished size", True), ("licence", "licence", True))
NOTE = "A note of the translator's to the readers: printed before the first part."
CREDIT = "The translator's name: printed on the last page."
KINDS = {"prose": "paragraph", "quote": "quote", "table": "table", "code": "code", "heading": "heading", "sentence": "sentence"}
AS_LINES = frozenset(("quote", "table", "code"))  # their line ends mean something
AS_TYPED = frozenset(("address", "picture file", "yarn colour", "fibre", "title", "part", "notion", "notion in a sentence", "choice"))
OWN_WORDS = frozenset(("words", "rest", "motif", "thread", "under_words", "what_words", "onto_words", "on_words", "part_words", "thing"))


class Visit:
    """One walk. Numbers count the messages in the order of the file."""

    def __init__(self, language: Language, turn: Turn, say: Say) -> None:
        self.language, self.turn, self.say = language, turn, say
        self.number = 0

    def text(self, path: Sequence[str], kind: str, text: str, *, plain: bool = True, before: str = "", after: str = "") -> str:
        """Turn one text; empty ones are no messages. Plain texts are no Markdown."""
        if not clean(text).strip():
            return text
        self.number += 1
        context = f"{' > '.join(path) or HEAD}: {kind}"
        words = clean(text) if kind in AS_TYPED else protect(clean(text), self.language)
        return self.turn(Message(context, words.strip(), kind, self.number, before, after, not plain))

    # ---- the head ----

    def pattern(self, pattern: Pattern) -> Pattern:
        """The whole pattern."""
        title = self.text((), "title", pattern.title)
        fields = dict(pattern.fields)
        for key, kind, plain in FIELDS:
            self._field(fields, key, kind, plain)
        for key in ADDRESSES:
            self._field(fields, key, "address", True)
        for key, ways in pattern.choices:  # how they are printed is asked by the turner: their own words choose
            for word in (key, *(way for way in ways if way not in ("with", "without"))):
                self.text((), "choice", word)
        credit = self.text((), "translated by", CREDIT)
        if credit not in ("", CREDIT):
            fields["translated by"] = Value("text", credit, _START)
        note = self.text((), "translator's note", NOTE, plain=False)
        return replace(
            pattern,
            title=title,
            fields=fields,
            yarns=tuple(self._yarn(yarn) for yarn in pattern.yarns),
            notions=tuple(self._notion(notion) for notion in pattern.notions),
            sections=_with_note(tuple(self.section(section) for section in pattern.sections), "" if note == NOTE else note),
        )

    def _field(self, fields: dict[str, Value], key: str, kind: str, plain: bool) -> None:
        value = fields.get(key)
        if value is None or value.kind != "text" or not value.text.strip():
            return
        text = self.text((), kind, value.text, plain=plain)
        if text:
            fields[key] = replace(value, text=text)
        else:
            del fields[key]

    def _yarn(self, yarn: Yarn) -> Yarn:
        path = (HEAD, f"yarn {yarn.code}")
        return replace(yarn, colour=self.text(path, "yarn colour", yarn.colour), fibre=self.text(path, "fibre", yarn.fibre))

    def _notion(self, notion: Notion) -> Notion:
        if notion.count is None and not notion.dimensions:
            return replace(notion, text=self.text((), "notion", notion.text), name=self._name(notion))
        return replace(notion, name=self.text((), "notion", notion.name))

    def _name(self, notion: Notion) -> str:
        """A thing that is listed by its whole line is called by its name elsewhere."""
        kind = "notion" if notion.name == notion.text else "notion in a sentence"
        return self.text((), kind, notion.name)

    # ---- the body ----

    def section(self, section: Section) -> Section:
        """What stands below one heading."""
        kind = "part" if section.role == "part" else "heading"
        title = self.text((), kind, section.title) if section.title else ""
        path = (section.title,) if section.title else ("(beginning)",)
        differs = tuple(text for text in (self.text(path, "difference", one) for one in section.differs) if text)
        steps: list[Step] = []
        inner = path
        for index, step in enumerate(section.steps):
            if step.kind == "heading":
                inner = (*path, clean(step.text))
                path_of_step = path
            else:
                path_of_step = inner
            steps.append(self.step(path_of_step, step, _beside(section.steps, index, -1), _beside(section.steps, index, 1)))
        return replace(section, title=title, differs=differs, steps=tuple(steps))

    def step(self, path: Sequence[str], step: Step, before: Step | None, after: Step | None) -> Step:
        """One step; instruction lines stay as they are."""
        if step.kind == "picture":
            return replace(step, values=self._picture(path, step))
        if step.kind == "sentence":
            return self._sentence(path, step)
        if step.kind not in KINDS:
            return step
        kind = "step" if step.kind == "prose" and step.marker else KINDS[step.kind]
        told = [self.say(one) or one.text if one is not None else "" for one in (before, after)]
        text = ("\n" if step.kind in AS_LINES else " ").join(piece.text for piece in step.pieces)
        turned = self.text(path, kind, text, plain=step.kind == "heading", before=told[0], after=told[1])
        return _with_text(step, turned)

    def _sentence(self, path: Sequence[str], step: Step) -> Step:
        """A standard sentence stands; words of the designer's inside it are messages. All of it is one where there is no wording."""
        sentence = self.say(step)
        if not sentence:
            turned = self.text(path, "sentence", step.text, plain=False)
            return step if turned == step.text else _with_text(replace(step, kind="prose"), turned)
        values = []
        for name, value in step.values:
            if name in OWN_WORDS and isinstance(value, str):
                kind = f"words in a sentence ({step.name}, {name.removesuffix('_words')})"
                value = self.text(path, kind, value, before=sentence)
            elif name == "address" and isinstance(value, str):
                value = self.text(path, "address", value, before=sentence) or value
            values.append((name, value))
        return replace(step, values=tuple(values))

    def _picture(self, path: Sequence[str], step: Step) -> tuple[tuple[str, str | int | float], ...]:
        kinds = {"alt": "picture description", "caption": "caption", "path": "picture file"}
        values = []
        for name, value in step.values:
            if name in kinds and isinstance(value, str):
                value = self.text(path, kinds[name], value, plain=name != "caption") or value
            values.append((name, value))
        return tuple(values)


def _beside(steps: tuple[Step, ...], index: int, way: int) -> Step | None:
    """The standard sentence next to a step, in the same block."""
    other = steps[index + way] if 0 <= index + way < len(steps) else None
    return other if other is not None and other.kind == "sentence" and other.block == steps[index].block else None


def _with_text(step: Step, text: str) -> Step:
    if text == step.text and step.kind not in AS_LINES:
        return step
    first = step.pieces[0]
    return replace(step, pieces=tuple(Piece(line, first.line, first.column) for line in text.split("\n")))


def _with_note(sections: tuple[Section, ...], note: str) -> tuple[Section, ...]:
    """The translator's note as the last paragraph of what stands before the first part."""
    if not note:
        return sections
    step = Step("prose", _START, (Piece(note, 1, 1),), -1)
    if sections and sections[0].role == "intro":
        return (replace(sections[0], steps=(*sections[0].steps, step)), *sections[1:])
    return (Section("intro", "", _START, (step,)), *sections)


def messages(pattern: Pattern, language: Language, say: Say) -> tuple[Message, ...]:
    """All messages of a pattern, in the order of the file; the same words at the same place are one."""
    found: dict[tuple[str, str], Message] = {}

    def collect(message: Message) -> str:
        found.setdefault(message.key, message._replace(number=len(found) + 1))
        return message.text

    Visit(language, collect, say).pattern(pattern)
    return tuple(found.values())
