"""The messages of a pattern and what translators have written in, one catalogue out; nothing that was written is left out."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from dataclasses import replace
from typing import NamedTuple

from booklet.catalogues.message import OPTIONAL, Catalogue, Entry, Message, clean, kind_of, unit_id

ALIKE = 0.6  # of two texts, 0 to 1: from here on the old translation is offered, to be looked at. A guess.
COMPARED = 1_000  # characters of each text that are compared
MOST_COMPARISONS = 20_000  # then nothing more is guessed: a catalogue must be made in a few seconds
EARLIER = "earlier: "  # begins the comment that keeps a translation which another one took the place of


class Merged(NamedTuple):
    """A catalogue, and what happened to it."""

    catalogue: Catalogue
    kept: int  # messages that have their translation
    moved: int  # of these: found under another heading
    fuzzy: int  # to be looked at
    missing: int  # without translation
    obsolete: int  # kept although the pattern has them no more


def merge(messages: Sequence[Message], old: Catalogue, notes: Callable[[Message], tuple[str, ...]] = lambda _: ()) -> Merged:
    """Bring a catalogue up to its pattern. Entries stand in the order of the pattern, then the obsolete ones."""
    written = _by_key(old.entries)
    current = {message.key for message in messages}
    finder = _Finder([entry for entry in written.values() if entry.target.strip()], current)
    made: list[Entry] = []
    moved = 0
    for message in messages:
        own = written.get(message.key)
        if own is not None and not own.target.strip():
            found = finder.find(message)
            own = replace(found, comments=_joined(own.comments, found.comments)) if found else own
        elif own is None:
            own = finder.find(message)
            moved += own is not None and not own.fuzzy
        own = own or Entry(message.context, message.text)
        made.append(replace(own, context=message.context, source=message.text, obsolete=False, notes=notes(message)))
    rest = [entry for key, entry in written.items() if key not in current and key not in finder.used]
    left = [replace(entry, obsolete=True, notes=()) for entry in rest if entry.target.strip() or entry.comments]
    needed = [entry for entry in made if entry.kind not in OPTIONAL or entry.target.strip()]
    return Merged(
        replace(old, entries=(*made, *left)),
        sum(entry.done for entry in needed),
        moved,
        sum(entry.fuzzy for entry in needed),
        sum(not entry.target.strip() for entry in needed),
        len(left),
    )


def overlay(base: Catalogue, incoming: Iterable[Entry]) -> Catalogue:
    """What a translator sends back, over what is there. An empty or a missing entry takes nothing away."""
    entries = _by_key(base.entries)
    units = {unit_id(key): key for key in entries}
    for sent in incoming:
        if not sent.target.strip() and not sent.comments:
            continue
        key = units.get(sent.unit, sent.key)
        known = entries.get(key)
        if known is None:
            entries[key] = sent
        else:
            entries[key] = _over(known, sent)
    return replace(base, entries=tuple(entries.values()))


def _over(known: Entry, sent: Entry) -> Entry:
    comments = _joined(known.comments, sent.comments)
    if not sent.target.strip():
        return replace(known, comments=comments)
    if sent.target != known.target:
        comments = _joined(comments, _earlier(known.target))
    fuzzy = sent.fuzzy
    previous = (known.previous, known.previous_context) if fuzzy else ("", "")
    return replace(known, target=sent.target, fuzzy=fuzzy, previous=previous[0], previous_context=previous[1], comments=comments)


def _earlier(target: str) -> tuple[str, ...]:
    lines = [line for line in clean(target).split("\n") if line.strip()]
    return tuple(EARLIER + line for line in lines)


def _joined(one: tuple[str, ...], two: tuple[str, ...]) -> tuple[str, ...]:
    have = {" ".join(line.split()) for line in one}
    return (*one, *(line for line in two if " ".join(line.split()) not in have))


def _by_key(entries: Iterable[Entry]) -> dict[tuple[str, str], Entry]:
    """Every message once. Of double ones the better counts, what the others say becomes a comment."""
    found: dict[tuple[str, str], Entry] = {}
    for entry in entries:
        first = found.get(entry.key)
        if first is None:
            found[entry.key] = entry
            continue
        best, other = sorted((first, entry), key=_worth, reverse=True)
        comments = _joined(best.comments, other.comments)
        if other.target.strip() and other.target != best.target:
            comments = _joined(comments, _earlier(other.target))
        found[entry.key] = replace(best, comments=comments)
    return found


def _worth(entry: Entry) -> tuple[bool, bool, bool]:
    return bool(entry.target.strip()), not entry.obsolete, not entry.fuzzy


class _Finder:
    """Looks for a translation under other headings and for nearly the same words."""

    def __init__(self, entries: list[Entry], current: set[tuple[str, str]]) -> None:
        self.by_text: dict[str, list[Entry]] = {}
        for entry in entries:
            self.by_text.setdefault(entry.source, []).append(entry)
        self.loose: dict[str, list[Entry]] = {}  # by kind: those whose message is gone
        for entry in entries:
            if entry.key not in current:
                self.loose.setdefault(entry.kind, []).append(entry)
        self.used: set[tuple[str, str]] = set()
        self.left = MOST_COMPARISONS

    def find(self, message: Message) -> Entry | None:
        """The same words of the same kind count; the same words of another kind, and nearly the same words, are offered."""
        same = self.by_text.get(message.text, [])
        for entry in same:
            if entry.kind == message.kind:
                self.used.add(entry.key)
                return entry
        offered = same[0] if same else self._alike(message)
        if offered is None:
            return None
        if not same:
            self.used.add(offered.key)
        previous = offered.previous if offered.fuzzy and offered.previous else offered.source
        return replace(offered, fuzzy=True, previous=previous, previous_context=offered.previous_context or offered.context)

    def _alike(self, message: Message) -> Entry | None:
        from difflib import SequenceMatcher

        best, most = None, ALIKE
        matcher = SequenceMatcher(None, "", message.text[:COMPARED], autojunk=False)
        for entry in self.loose.get(message.kind, ()):
            if entry.key in self.used or self.left <= 0:
                continue
            self.left -= 1
            matcher.set_seq1(entry.source[:COMPARED])
            if matcher.real_quick_ratio() > most and matcher.quick_ratio() > most and (ratio := matcher.ratio()) > most:
                best, most = entry, ratio
        return best


def overlap(messages: Sequence[Message], catalogue: Catalogue) -> float:
    """How much of a catalogue is about these messages, 0 to 1: a pattern whose file was renamed is found by it."""
    mine = {(message.kind, message.text) for message in messages if message.kind not in OPTIONAL}
    theirs = {(kind_of(entry.context), entry.source) for entry in catalogue.entries if not entry.obsolete and entry.kind not in OPTIONAL}
    return len(mine & theirs) / len(theirs) if theirs else 0.0
