"""The noun of this room: messages of a pattern, and a catalogue of their translations, as plain values; no file format."""

from __future__ import annotations

from dataclasses import dataclass
from typing import NamedTuple

# A reader misses nothing where these stay empty: the pattern's own address or picture is used, or nothing is printed.
OPTIONAL = frozenset(("address", "picture file", "translated by", "translator's note"))
HEAD = "(head)"  # where the heading path would be, for what stands above the body


class Message(NamedTuple):
    """Words of the designer's that somebody has to translate."""

    context: str  # heading path and kind, "Nut > Left ear: paragraph"; no page and no line, so that it stays when the text moves
    text: str  # with placeholders, "Work 3 {sc} into the loop."
    kind: str  # what stands behind the colon
    number: int  # place in the pattern, from 1
    before: str = ""  # the standard sentence that stands before it, in the language of the translation
    after: str = ""
    markdown: bool = True  # False: printed as it stands

    @property
    def key(self) -> tuple[str, str]:
        """By this it is found in a catalogue."""
        return self.context, self.text


@dataclass(frozen=True, slots=True)
class Entry:
    """One message with its translation, as a translator keeps it."""

    context: str
    source: str
    target: str = ""
    fuzzy: bool = False  # made for other words, or by guess: to be looked at, not printed
    obsolete: bool = False  # the pattern has no such words any more; kept for the day on which it has
    previous: str = ""  # the words that a fuzzy translation was made for
    previous_context: str = ""
    comments: tuple[str, ...] = ()  # the translator's, line by line
    notes: tuple[str, ...] = ()  # ours, written anew each time
    flags: tuple[str, ...] = ()  # others than fuzzy
    line: int = 1  # in the file that it was read from
    unit: str = ""  # id of an XLIFF unit; ""

    @property
    def key(self) -> tuple[str, str]:
        """By this it is found."""
        return self.context, self.source

    @property
    def kind(self) -> str:
        """What stands behind the last colon of the context."""
        return kind_of(self.context)

    @property
    def done(self) -> bool:
        """May it be printed?"""
        return bool(self.target.strip()) and not self.fuzzy and not self.obsolete


@dataclass(frozen=True, slots=True)
class Catalogue:
    """A whole catalogue."""

    entries: tuple[Entry, ...] = ()
    header: tuple[tuple[str, str], ...] = ()  # fields of a PO header, in their order
    comment: str = ""  # above the header
    language: str = ""  # tag, as the file says it; ""


class CatalogueFault(Exception):
    """A file that cannot be read as a catalogue; it is never written over."""

    def __init__(self, reason: str, line: int = 1) -> None:
        super().__init__(reason)
        self.reason, self.line = reason, line


def kind_of(context: str) -> str:
    """`Nut > Left ear: paragraph` is a paragraph."""
    return context.rpartition(": ")[2]


# Signs that no format can carry and no page can print; line separators of other worlds become blanks.
_UNPRINTABLE = dict.fromkeys([*range(32), *range(0x7F, 0xA0), 0xFFFE, 0xFFFF, *range(0xD800, 0xE000)]) | {
    9: " ", 10: "\n", 11: " ", 12: " ", 0x85: " ", 0x2028: " ", 0x2029: " ",
}  # fmt: skip


def clean(text: str) -> str:
    """A text without control characters, its lines ending in LF."""
    return text.replace("\r\n", "\n").replace("\r", "\n").translate(_UNPRINTABLE)


def unit_id(key: tuple[str, str]) -> str:
    """A name for a message that holds letters and digits only, the same in every run."""
    from hashlib import sha256

    return "m" + sha256("\x04".join(key).encode()).hexdigest()[:16]
