"""The tables of shared/safety in, notions, prescribed texts and our own cautions out; no pattern is judged here."""

from __future__ import annotations

from collections.abc import Iterable
from functools import cache, lru_cache
from typing import NamedTuple

from booklet.resources import folder
from booklet.tables.language import fold, unparted
from booklet.tables.lineage import lineage
from booklet.tables.reader import Row, TableFault, forms, rows

KINDS_OF_ROLE = ("component", "measured", "tool", "filling", "thread", "bag")
VERIFIED = ("ok", "seen", "memory")
PARTS_OF_TEXT = ("word", "sentence", "reason")
COMMON_TAGS = {"nb": "no"}  # the prescribed texts know Norwegian by its common tag


class NotionKind(NamedTuple):
    """What a notion is treated as."""

    kind: str  # "safety_eye"
    role: str  # component, measured, tool, filling, thread, bag
    shape: str  # of figures/cylinder.py
    default_mm: tuple[float, ...]  # its measures where the pattern gives none
    attached: str  # loose, locked, sewn, glued, enclosed
    hazard: str  # "" or a word of rules.tsv: sharp, magnet, battery, glass, ball …
    material: str = "hard"  # hard, soft, textile


class Wording(NamedTuple):
    """A prescribed text in one language, or a part of one."""

    code: str
    language: str
    text: str
    source: str
    checked_on: str
    verified: str  # ok, seen, memory


@cache
def _notions() -> tuple[dict[str, NotionKind], int]:
    found: dict[str, NotionKind] = {}
    longest = 1
    for row in rows("safety/notions.tsv"):
        kind = _kind(row)
        for form in forms(row.cells["words"]):
            words = fold(form).split()
            longest = max(longest, len(words))
            found.setdefault(" ".join([*words[:-1], _singular(words[-1])]), kind)
    return found, longest


@lru_cache(maxsize=4096)
def notion_kind(name: str) -> NotionKind | None:
    """What a notion is, by the longest known run of words in its name, nearest its end. None if no word is known."""
    known, longest = _notions()
    words = fold(name.replace(",", " ").replace("(", " ").replace(")", " ")).split()
    for width in range(min(longest, len(words)), 0, -1):
        for end in range(len(words), width - 1, -1):
            run = words[end - width : end]
            kind = known.get(" ".join([*run[:-1], _singular(run[-1])]))
            if kind is not None:
                return kind
    return None


@cache
def _texts() -> dict[tuple[str, str], Wording]:
    found = {}
    for row in rows("safety/wordings.tsv"):
        cell = row.cells
        wording = Wording(cell["code"], cell["language"], cell["text"], cell["source"], cell["checked_on"], cell["verified"])
        if wording.verified not in VERIFIED or not wording.text or not wording.source:
            raise TableFault(row.file, row.line, "a prescribed text needs its words, a source, and verified = ok, seen or memory")
        found[wording.code, wording.language] = wording
    return found


def wording(code: str, tag: str = "en") -> Wording | None:
    """A prescribed text in a language ("de-DE" reads "de" too), put together from its parts. None if it is not there.

    It has the parts that the English text has, and is as well verified as its least verified part.
    """
    texts = _texts()
    for language in dict.fromkeys((tag, tag.split("-")[0], COMMON_TAGS.get(tag, tag))):
        whole = texts.get((code, language))
        if whole is not None:
            return whole
        wanted = [part for part in PARTS_OF_TEXT if (f"{code}.{part}", "en") in texts]
        known = [texts[f"{code}.{part}", language] for part in wanted if (f"{code}.{part}", language) in texts]
        if known and len(known) == len(wanted):
            text = " ".join(part.text if part.text.endswith(".") else part.text + "." for part in known)
            weakest = max((part.verified for part in known), key=VERIFIED.index)
            return Wording(code, language, text, known[0].source, known[0].checked_on, weakest)
    return None


def says_age(code: str) -> bool:
    """Does a prescribed text say that it is not for under-threes? Only then its symbol may stand beside it."""
    return (f"{code}.sentence", "en") in _texts()


def panel(code: str, languages: Iterable[str]) -> tuple[tuple[str, Wording | None], ...]:
    """A prescribed text in several languages, for one card or label; None beside a language that it is not known in.

    What is not verified is still handed out: whoever prints it marks it as to be checked.
    """
    return tuple((tag, wording(code, tag)) for tag in dict.fromkeys(languages))


def note_text(code: str, tag: str = "en", **values: str) -> str:
    """Our own sentence for a caution. KeyError for an unknown code; a language that has its words and lacks one is a fault of its table.

    A language without a table of its own (nothing is printed in it) is answered in English.
    """
    text = _notes(tag)[code]
    for name, value in values.items():
        text = text.replace("{" + name + "}", value)
    return text


@cache
def _notes(tag: str) -> dict[str, str]:
    """One language only: the others are not read."""
    english = {row.cells["code"]: row.cells["text"] for row in rows("safety/notes.tsv")}
    files = [f"safety/notes/{one}.tsv" for one in reversed((*lineage(tag), tag.split("-")[0]))]
    found = [file for file in files if (folder("shared") / file).is_file()]
    if found:
        own = {row.cells["code"]: unparted(row.cells["text"], tag) for file in found for row in rows(file)}
        if english.keys() - own.keys():
            raise TableFault(found[0], 1, f"no sentence for {', '.join(sorted(english.keys() - own.keys()))}")
        return own
    return english


def _kind(row: Row) -> NotionKind:
    cell = row.cells
    try:
        default = tuple(float(size) for size in cell["default"].split())
    except ValueError as fault:
        raise TableFault(row.file, row.line, f"default sizes are numbers in mm ({fault})") from fault
    if cell["role"] not in KINDS_OF_ROLE:
        raise TableFault(row.file, row.line, f"no role {cell['role']!r}: {', '.join(KINDS_OF_ROLE)}")
    return NotionKind(cell["kind"], cell["role"], cell["shape"], default, cell["attached"], cell["hazard"], cell["material"] or "hard")


def _singular(word: str) -> str:
    return word[:-1] if len(word) > 3 and word.endswith("s") and not word.endswith("ss") else word
