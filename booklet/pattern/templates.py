"""Templates of standard sentences in, small graphs that can be walked out; the walking is done in match."""

from __future__ import annotations

import re
from typing import NamedTuple

from booklet.tables.language import Language, Template

TOKEN = re.compile(r"[^\W\d_]+(?:['’-][^\W\d_]+)*|\d+(?:[.,]\d+)?|\S")
_SYNTAX = re.compile(r"\{[^}]*\}|[\[\]()|]|[^\[\](){}|]+")
_TWINS = str.maketrans({"’": "'", "‘": "'", "“": '"', "”": '"', "–": "-", "—": "-", "‑": "-", "−": "-"})

# Rows that hold words which structure a file, and no sentences.
_NO_SENTENCES = ("section.", "choice.", "bracket.", "verb.", "start.chain", "start.ring")


class Word(NamedTuple):
    """One of these words, folded."""

    words: frozenset[str]
    to: int


class Slot(NamedTuple):
    """A place for a value."""

    name: str
    to: int


class Fixed(NamedTuple):
    """Values that a wording gives by itself."""

    values: tuple[tuple[str, str], ...]
    to: int


class Fork(NamedTuple):
    """Several ways on, tried in order."""

    ways: tuple[int, ...]


Node = Word | Slot | Fixed | Fork | None  # None: the sentence is complete
Item = str | tuple  # a word; ("slot", name); ("any", alternatives)


def fold(token: str) -> str:
    """A word as it is compared: small letters, straight quotes and dashes."""
    return token.lower() if token.isascii() else token.translate(_TWINS).casefold()


def key(text: str) -> tuple[str, ...]:
    """A name as it is compared: its folded words."""
    return tuple(fold(word) for word in TOKEN.findall(text) if word != ".")


class Book:
    """The templates of one language, compiled when they are first needed."""

    def __init__(self, language: Language) -> None:
        self.templates = language.sentences
        self._kept = language  # holds the tuple whose identity is the key of the cache
        self._macros: dict[str, list[Template]] = {}
        self._first: dict[str, list[int]] = {}
        self._graphs: dict[int, tuple[list[Node], int]] = {}
        self._small: dict[str, frozenset[str]] = {}
        self._phrases: dict[str, tuple[tuple[str, ...], ...]] = {}
        self._parsed: dict[str, dict[tuple[tuple[str, str], ...], tuple[tuple[Item, ...], ...]]] = {}
        for at, template in enumerate(self.templates):
            if template.id.startswith("."):
                self._macros.setdefault(template.id, []).append(template)
            elif not template.id.startswith(_NO_SENTENCES):
                for word in _first_words(template.text):
                    self._first.setdefault(word, []).append(at)

    def starting_with(self, word: str) -> list[int]:
        """Templates that may begin with this folded word, in the order of the table."""
        return self._first.get(word, [])

    def words(self, id: str) -> tuple[str, ...]:
        """The wordings of an id that is no sentence: `section.notes`, `.article`."""
        return tuple(template.text for template in self.templates if template.id == id)

    def small_words(self, id: str) -> frozenset[str]:
        """The words of an id, folded, for quick looking up."""
        if id not in self._small:
            self._small[id] = frozenset(fold(word).rstrip(".") for word in self.words(id))
        return self._small[id]

    def phrases(self, id: str) -> tuple[tuple[str, ...], ...]:
        """The wordings of an id as folded words."""
        if id not in self._phrases:
            self._phrases[id] = tuple(key(text) for text in self.words(id))
        return self._phrases[id]

    def graph(self, at: int) -> tuple[list[Node], int]:
        """Nodes and entry of a template. Node 0 is the end."""
        if at not in self._graphs:
            nodes: list[Node] = [None]
            template = self.templates[at]
            entry = self._build(parse(template.text), 0, nodes)
            if template.fixed:
                nodes.append(Fixed(template.fixed, entry))
                entry = len(nodes) - 1
            self._graphs[at] = (nodes, entry)
        return self._graphs[at]

    def _build(self, items: tuple[Item, ...], to: int, nodes: list[Node]) -> int:
        for item in reversed(items):
            if isinstance(item, str):
                nodes.append(Word(frozenset((item,)), to))
            elif item[0] == "slot" and item[1].startswith("."):
                nodes.append(self._macro(item[1], to, nodes))
            elif item[0] == "slot":
                nodes.append(Slot(item[1], to))
            else:
                nodes.append(self._fork(item[1], to, nodes))
            to = len(nodes) - 1
        return to

    def _fork(self, ways: tuple[tuple[Item, ...], ...], to: int, nodes: list[Node]) -> Node:
        if all(len(way) == 1 and isinstance(way[0], str) for way in ways):
            return Word(frozenset(str(way[0]) for way in ways), to)
        return Fork(tuple(self._build(way, to, nodes) for way in ways))

    def _macro(self, name: str, to: int, nodes: list[Node]) -> Node:
        ways = []
        for values, wordings in self._wordings(name).items():
            nodes.append(self._fork(wordings, to, nodes))
            if values:
                nodes.append(Fixed(values, len(nodes) - 1))
            ways.append(len(nodes) - 1)
        return Fork(tuple(ways))

    def _wordings(self, name: str) -> dict[tuple[tuple[str, str], ...], tuple[tuple[Item, ...], ...]]:
        """The parsed wordings of a macro, by the values that they give."""
        if name not in self._parsed:
            by_values: dict[tuple[tuple[str, str], ...], list[tuple[Item, ...]]] = {}
            for template in self._macros.get(name, []):
                by_values.setdefault(template.fixed, []).append(parse(template.text))
            self._parsed[name] = {values: tuple(wordings) for values, wordings in by_values.items()}
        return self._parsed[name]


_BOOKS: dict[int, Book] = {}


def book(language: Language) -> Book:
    """The compiled templates of a language."""
    key = id(language.sentences)
    if key not in _BOOKS:
        _BOOKS[key] = Book(language)
    return _BOOKS[key]


def parse(text: str) -> tuple[Item, ...]:
    """A template's text as nested items. ValueError if its brackets do not match."""
    stack: list[tuple[str, list[list[Item]]]] = [("", [[]])]
    for part in _SYNTAX.findall(text):
        ways = stack[-1][1]
        if part in "[(":
            stack.append((part, [[]]))
        elif part == "|" and stack[-1][0]:
            ways.append([])
        elif part in ")]":
            opening, ways = stack.pop()
            if opening != "[("[part == ")"]:
                raise ValueError(f"the brackets of {text!r} do not match")
            group = [tuple(way) for way in ways]
            stack[-1][1][-1].append(("any", tuple(group if opening == "(" else [*group, ()])))
        elif part.startswith("{"):
            ways[-1].append(("slot", part[1:-1]))
        else:
            ways[-1].extend(fold(word) for word in TOKEN.findall(part) if word != ".")
    if len(stack) != 1:
        raise ValueError(f"the brackets of {text!r} do not match")
    return tuple(stack[0][1][0])


def _first_words(text: str) -> set[str]:
    """The words with which a template can begin, found without parsing all of it."""
    text = text.lstrip()
    if text.startswith(("(", "[")):
        depth, end = 0, len(text)
        for at, sign in enumerate(text):
            depth += (sign in "([") - (sign in ")]")
            if depth == 0:
                end = at
                break
        found: set[str] = set()
        for way in _ways(text[1:end]):
            found |= _first_words(way)
        return found | _first_words(text[end + 1 :]) if text[0] == "[" else found
    word = TOKEN.match(text)
    return {fold(word[0])} if word else set()


def _ways(inner: str) -> list[str]:
    depth, start, ways = 0, 0, []
    for at, sign in enumerate(inner):
        depth += (sign in "([") - (sign in ")]")
        if sign == "|" and depth == 0:
            ways.append(inner[start:at])
            start = at + 1
    return [*ways, inner[start:]]
