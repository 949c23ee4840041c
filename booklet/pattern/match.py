"""A sentence in, its id and slots out if all of its words are used; the wordings are tables, their compiling is in templates."""

from __future__ import annotations

import re
from typing import NamedTuple

from booklet.pattern.templates import TOKEN, Book, Fixed, Fork, Word, fold
from booklet.tables.language import Language
from booklet.units import Measure, measures

LONGEST = 400  # characters of a standard sentence; far above any of them, so that hostile prose costs nothing
_FREE = ("thing", "motif", "under", "thread")  # may also be a few words that the pattern does not name
_PHRASE = 4  # words of a thing that the pattern does not name
_YARN_CODE = re.compile(r"[A-Z]{1,3}\d?$")
# An address as it is typed, also one that no booklet can have: it is told later what is wrong with it.
_ADDRESS = re.compile(r"(?:https?://|www\.)[^\s<>\"。]+", re.IGNORECASE)
Value = str | int | float
Captured = tuple[tuple[str, Value], ...]


class Token(NamedTuple):
    """A word of the sentence."""

    fold: str
    text: str
    start: int
    end: int


class Names(NamedTuple):
    """What a sentence may name: folded words -> how the pattern writes it."""

    parts: dict[tuple[str, ...], str]
    notions: dict[tuple[str, ...], str]
    yarns: dict[tuple[str, ...], str]  # codes, colours and names -> code


class Match(NamedTuple):
    """A sentence that was understood, or the longest beginning that was."""

    id: str
    values: Captured
    end: int  # offset after the last word used
    whole: bool


def tokens(text: str) -> list[Token]:
    """The words of a sentence, without full stops."""
    return [
        Token(fold(found[0]), found[0], found.start(), found.end()) for found in TOKEN.finditer(text) if found[0] != "."
    ]


def match(text: str, book: Book, language: Language, names: Names) -> Match | None:
    """Find the first wording that uses the whole sentence; else the one that uses most of its beginning; else None."""
    if len(text) > LONGEST:
        return None
    words = tokens(text)
    if not words:
        return None
    best: Match | None = None
    walk = _Walk(text, words, book, language, names)
    for at in book.starting_with(words[0].fold):
        template = book.templates[at]
        nodes, entry = book.graph(at)
        if walk.run(nodes, entry):
            return Match(template.id, walk.values(), len(text), True)
        if walk.longest and (best is None or words[walk.longest - 1].end > best.end):
            best = Match(template.id, walk.best, words[walk.longest - 1].end, False)
    return best


class _Walk:
    """One walk through a template. A failed (node, word) is never tried twice, so the time is bounded by their product."""

    def __init__(self, text: str, words: list[Token], book: Book, language: Language, names: Names) -> None:
        self.text, self.words, self.book, self.language, self.names = text, words, book, language, names
        self._lengths: dict[int, Measure] | None = None
        self._slots: dict[tuple[str, int], list[tuple[int, Captured]]] = {}  # kept for all templates of the sentence

    def run(self, nodes: list, entry: int) -> bool:
        self.nodes = nodes
        self.failed: set[tuple[int, int]] = set()
        self.caught: list[Captured] = []
        self.longest, self.best = 0, ()
        return self._step(entry, 0)

    def values(self) -> Captured:
        found: dict[str, Value] = {}
        for captured in self.caught:
            found.update(captured)
        return tuple(found.items())

    def _step(self, node_at: int, at: int) -> bool:
        if (node_at, at) in self.failed:
            return False
        node = self.nodes[node_at]
        if node is None:
            if at == len(self.words):
                return True
            if at > self.longest:
                self.longest, self.best = at, self.values()
        elif isinstance(node, Word):
            if at < len(self.words) and self.words[at].fold in node.words and self._step(node.to, at + 1):
                return True
        elif isinstance(node, Fork):
            for way in node.ways:
                if self._step(way, at):
                    return True
        elif isinstance(node, Fixed):
            if self._catch(node.values, node.to, at):
                return True
        elif at < len(self.words):
            for end, captured in self._slot(node.name, at):
                if self._catch(captured, node.to, end):
                    return True
        self.failed.add((node_at, at))
        return False

    def _catch(self, captured: Captured, to: int, at: int) -> bool:
        self.caught.append(captured)
        if self._step(to, at):
            return True
        self.caught.pop()
        return False

    def _slot(self, name: str, at: int) -> list[tuple[int, Captured]]:
        key = (name, at)
        if key not in self._slots:
            self._slots[key] = self._read(name, at)
        return self._slots[key]

    def _read(self, name: str, at: int) -> list[tuple[int, Captured]]:
        if name.endswith("_mm"):
            return self._length(name, at)
        if name in ("what", "onto", "on", "part", "thing", "motif", "under", "thread"):
            return self._named(name, at)
        if name == "yarn":
            return self._yarn(at)
        if name in ("words", "rest"):
            return self._rest(name, at)
        if name == "time":
            return self._time(at)
        if name == "address":
            return self._address(at)
        number = self._number(at)
        return [] if number is None else [(at + 1, ((name, number),))]

    def _number(self, at: int) -> int | None:
        word = self.words[at].fold
        if word.isdecimal() and len(word) <= 6:
            return int(word)
        role, value = self.language.words.get(word, ("", ""))
        return int(value) if role == "number" and value.isdecimal() else None

    def _length(self, name: str, at: int) -> list[tuple[int, Captured]]:
        if self._lengths is None:
            self._lengths = {found.start: found for found in measures(self.text) if found.dimension == "length"}
        found = self._lengths.get(self.words[at].start)
        if found is None:
            return []
        end = self._after(found.end)
        captured: Captured = ((name, round(found.amount, 3)),)
        ways = [(end, captured)]
        if end < len(self.words) and self.words[end].text in "(/":  # the same length in the other system: 15 cm (6 in)
            other = self._lengths.get(self.words[end + 1].start) if end + 1 < len(self.words) else None
            if other is not None:
                last = self._after(other.end)
                last += 1 if last < len(self.words) and self.words[last].text == ")" else 0
                ways.insert(0, (last, captured))
        return ways

    def _after(self, offset: int) -> int:
        return next((n for n, word in enumerate(self.words) if word.start >= offset), len(self.words))

    def _yarn(self, at: int) -> list[tuple[int, Captured]]:
        found = []
        for length in (3, 2, 1):
            part = self.words[at : at + length]
            code = self.names.yarns.get(tuple(word.fold for word in part)) if len(part) == length else None
            # "a" is an article unless it is written as the code is.
            if code is not None and (length > 1 or len(code) > 1 or part[0].text == code or part[0].fold != fold(code)):
                found.append((at + length, (("yarn", code),)))
        if not found and _YARN_CODE.match(self.words[at].text):
            found.append((at + 1, (("yarn", self.words[at].text),)))
        return found

    def _rest(self, name: str, at: int) -> list[tuple[int, Captured]]:
        if name == "words" and self.words[at].fold not in self._set(".link"):
            return []
        text = self.text[self.words[at].start : self.words[-1].end]
        return [(len(self.words), ((name, text),))]

    def _time(self, at: int) -> list[tuple[int, Captured]]:
        end = at + 1
        while end + 1 < len(self.words) and self.words[end].text == ":" and self.words[end + 1].fold.isdecimal():
            end += 2
        text = self.text[self.words[at].start : self.words[end - 1].end]
        return [(end, (("time", text),))] if end > at + 1 and self.words[at].fold.isdecimal() else []

    def _address(self, at: int) -> list[tuple[int, Captured]]:
        found = _ADDRESS.match(self.text, self.words[at].start)
        if found is None:
            return []
        text = found[0].rstrip(".,;:!?)")
        return [(self._after(self.words[at].start + len(text)), (("address", text),))]

    def _set(self, id: str) -> frozenset[str]:
        return self.book.small_words(id)

    def _named(self, slot: str, at: int) -> list[tuple[int, Captured]]:
        """[article] [number] [article] [which] name"""
        start, count = at, None
        small = self._set(".article") | self._set(".of")
        while at < len(self.words):
            number = self._number(at)
            if number is not None and count is None:
                count = number
            elif self.words[at].fold not in small:
                break
            at += 1
        name = "what" if slot in ("thing", "motif") else slot
        found = self._known(slot, at)
        if not found and at < len(self.words) and self.words[at].fold in self._set(".which"):
            found = self._known(slot, at + 1)
        ways = [(end, self._capture(name, title, start, end, count)) for end, title in found]
        if slot in _FREE:
            for end in range(self._phrase_end(at), at, -1):
                title = self.text[self.words[at].start : self.words[end - 1].end]
                ways.append((end, self._capture(name, title, start, end, count)))
        return ways

    def _capture(self, name: str, title: str, start: int, end: int, count: int | None) -> Captured:
        typed = self.text[self.words[start].start : self.words[end - 1].end]
        captured: Captured = ((name, title), (f"{name}_words", typed))
        return (*captured, ("count", count)) if name == "what" and count is not None else captured

    def _phrase_end(self, at: int) -> int:
        end = at
        while end < len(self.words) and end - at < _PHRASE:
            word = self.words[end]
            if not word.fold[0].isalpha() or word.fold in self._set(".link"):
                break
            end += 1
        return end

    def _known(self, slot: str, at: int) -> list[tuple[int, str]]:
        if slot in ("motif", "thread"):  # what is embroidered is no notion: embroidered eyes are not the safety eyes
            return []
        tables = [self.names.parts] if slot in ("part", "under") else [self.names.parts, self.names.notions]
        found = []
        for length in range(min(5, len(self.words) - at), 0, -1):
            key = tuple(word.fold for word in self.words[at : at + length])
            for table in tables:
                title = table.get(key) or _by_ending(table, key)
                if title is not None:
                    found.append((at + length, title))
                    break
        return found


def _by_ending(table: dict[tuple[str, ...], str], key: tuple[str, ...]) -> str | None:
    start = key[-1][:2]
    return next((name for known, name in table.items() if known[-1].startswith(start) and alike(known, key)), None)


def alike(known: tuple[str, ...], key: tuple[str, ...]) -> bool:
    """The same words, but for an ending of at most two letters on the last one: `Ear` and `Ears`, `Bein` and `Beine`."""
    if len(known) != len(key) or known[:-1] != key[:-1]:
        return False
    one, two = sorted((known[-1], key[-1]), key=len)
    return len(one) >= 3 and two.startswith(one) and len(two) - len(one) <= 2
