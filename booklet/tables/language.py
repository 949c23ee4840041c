"""The words of a language: the tables of one folder of shared/languages in, one frozen Language out; no pattern is known here."""

from __future__ import annotations

from dataclasses import dataclass, field
from functools import cache
from typing import NamedTuple

from booklet.resources import folder
from booklet.tables.lineage import holder, lineage, pairs_of, rows_of, waiting_of
from booklet.tables.reader import Row, TableFault, forms, rows
from booklet.tables.stitches import stitches

HOME = "en-US"
PRINTED = ("page.tsv", "writing.tsv")  # tables that only printing needs; a folder without them is a language that is read


class Name(NamedTuple):
    """How a stitch is printed in one language and term system."""

    abbr: str  # "sc"; the term itself where the language writes it out
    term: str  # "single crochet"
    plural: str  # "single crochets"


class Template(NamedTuple):
    """One wording of a standard sentence: `Stuff [the {what}] firmly`, with slots in braces."""

    id: str  # "stuff"
    fixed: tuple[tuple[str, str], ...]  # values that the wording itself gives: (("amount", "firm"),)
    text: str


@dataclass(frozen=True, slots=True)
class Language:
    """Everything that reading and writing rounds needs to know of one language and term system."""

    tag: str  # BCP 47, "en-US"
    name: str  # in itself: "English (United States)"
    terms: str  # "US", "UK", or "" where the language has one system
    settings: dict[str, str]  # shared/languages/<tag>/settings.tsv: decimal, paper, units, quotes …
    words: dict[str, tuple[str, str]]  # folded word or phrase -> (role, value) of the notation
    names: dict[str, Name]  # stitch id -> how it is printed
    sentences: tuple[Template, ...]  # standard sentences, the printed wording of each id first
    roles: dict[str, str]  # role or role:value -> the form to print
    writing: dict[str, str]  # how rounds are written: key -> form with slots
    letters: dict[str, str] = field(default_factory=dict)  # one letter for a stitch: folded form -> stitch id
    second: dict[str, str] = field(default_factory=dict)  # names of a second system of the language, as `letters`
    waiting: dict[str, str] = field(default_factory=dict)  # forms of `writing` that are printed, though they are not yet read
    capitals: dict[str, tuple[str, str]] = field(default_factory=dict)  # forms that mean something else in small letters
    named_in: str = ""  # whose names of stitches these are: a term system, or the tag of the variant or of its base


def fold(text: str) -> str:
    """Bring a word to the form in which tables and texts are compared: lower case, no full stops, one space."""
    return " ".join(text.casefold().replace(".", " ").replace("\u00a0", " ").split())


@cache
def tags() -> tuple[str, ...]:
    """The languages that have a folder."""
    root = folder("shared") / "languages"
    return tuple(sorted(path.name for path in root.iterdir() if (path / "settings.tsv").is_file()))


@cache
def printable() -> tuple[str, ...]:
    """The languages that a booklet can be set in: those with the words of a page and of written rounds."""
    return tuple(tag for tag in tags() if not lacking(tag))


def lacking(tag: str) -> tuple[str, ...]:
    """The tables that a language which is read only would need before a booklet can be set in it."""
    return tuple(name for name in PRINTED if not holder(tag, name))


def spoken(language: Language) -> Language:
    """The language in which rounds of this one are told back: itself, English where it is read only."""
    return load(HOME) if lacking(language.tag) else language


@cache
def variants() -> tuple[str, ...]:
    """The languages that have a base: few rows of their own, everything else from it."""
    return tuple(tag for tag in tags() if len(lineage(tag)) > 1)


@cache
def load(tag: str, terms: str = "") -> Language:
    """Read one language. KeyError for a tag without a folder; "" takes the language's own term system."""
    if tag not in tags():
        raise KeyError(tag)
    return _load(tag, terms or _settings(tag).get("terms", ""))


@cache
def _settings(tag: str) -> dict[str, str]:
    return pairs_of(tag, "settings.tsv")


@cache
def _load(tag: str, terms: str) -> Language:
    settings = _settings(tag)
    words: dict[str, tuple[str, str]] = {}
    roles: dict[str, str] = {}
    capitals: dict[str, tuple[str, str]] = {}
    for row in rows_of(tag, "notation.tsv"):
        role, value = row.cells["role"], row.cells["value"]
        wordings = forms(row.cells["forms"])
        if not wordings:
            raise TableFault(row.file, row.line, f"the role {role} has no form")
        roles.setdefault(f"{role}:{value}" if value else role, wordings[0])
        for wording in wordings:
            if words.setdefault(fold(wording), (role, value)) != (role, value) and wording.isupper():
                capitals.setdefault(wording, (role, value))  # French "CM" is a ring, "cm" a length
    names = _names(rows(f"terms/{terms}.tsv") if terms else rows_of(tag, "stitches.tsv"), words, capitals)
    sentences = tuple(
        Template(row.cells["id"], _fixed(row.cells["values"]), row.cells["wording"])
        for row in rows_of(tag, "sentences.tsv")
    )
    writing = pairs_of(tag if holder(tag, "writing.tsv") else HOME, "writing.tsv")  # signs are the same; words: see `spoken`
    named = terms or holder(tag, "stitches.tsv")
    letters, second = _forms("languages/letters.tsv"), _second(tag)
    waiting = waiting_of(tag, "writing.tsv") if holder(tag, "writing.tsv") else {}
    return Language(
        tag, settings["name"], terms, settings, words, names, sentences, roles, writing, letters, second, waiting, capitals, named,
    )  # fmt: skip


@cache
def _forms(file: str) -> dict[str, str]:
    words: dict[str, tuple[str, str]] = {}
    _names(rows(file), words)
    return {form: stitch for form, (_, stitch) in words.items()}


def _second(tag: str) -> dict[str, str]:
    found = holder(tag, "second.tsv")
    return _forms(f"languages/{found}/second.tsv") if found else {}


@cache
def from_right() -> tuple[str, ...]:
    """The languages that are written from right to left."""
    return tuple(tag for tag in tags() if _settings(tag).get("direction") == "rtl")


def is_draft(tag: str) -> bool:
    """Are words of this language known from memory only, and not yet read by a native speaker of the trade?"""
    return _settings(tag).get("status") == "draft"


def from_memory(tag: str) -> tuple[tuple[str, int], ...]:
    """The tables of a language that say in their heading to be from memory, each with its number of rows: for whoever reads them."""
    root = folder("shared")
    files = []
    for one in lineage(tag):
        files += sorted((root / "languages" / one).glob("*.tsv"), key=lambda path: path.name)
        files.append(root / "safety" / "notes" / f"{one}.tsv")
    found = []
    for path in files:
        lines = path.read_text("utf-8").splitlines() if path.is_file() else []
        if any(line.startswith("#") and "from memory" in line.casefold() for line in lines):
            name = path.relative_to(root).as_posix()
            found.append((name, sum(bool(line.strip()) and not line.startswith("#") for line in lines)))
    return tuple(found)


@cache
def page_words(tag: str) -> dict[str, str]:
    """The headings and fixed texts of a printed page in a language, by key (not needed by `check`)."""
    words = pairs_of(tag, "page.tsv")
    return {key: unparted(text, tag) for key, text in words.items()}


def unparted(text: str, tag: str) -> str:
    """A sign that stands behind a space in this language is never parted from its word: the space becomes a narrow one."""
    signs = _settings(tag).get("spaced_signs", "") if tag in tags() else ""
    for sign in signs:
        text = text.replace(f" {sign}", f"\u202f{sign}")
    return text


def _names(
    table: list[Row], words: dict[str, tuple[str, str]], capitals: dict[str, tuple[str, str]] | None = None
) -> dict[str, Name]:
    names: dict[str, Name] = {}
    known = stitches()
    for row in table:
        cell = row.cells
        if cell["id"] not in known:
            raise TableFault(row.file, row.line, f"no stitch {cell['id']} in stitches.tsv")
        names.setdefault(cell["id"], Name(cell["abbr"] or cell["term"], cell["term"], cell["plural"] or cell["term"]))
        for form in (cell["abbr"], cell["term"], cell["plural"], *forms(cell["forms"])):
            if not form:
                continue
            role, _ = words.setdefault(fold(form), ("stitch", cell["id"]))
            if role != "stitch" and capitals is not None and form.isupper() and len(form) > 1:
                capitals.setdefault(form, ("stitch", cell["id"]))  # Slovak "PO" is a stitch, "po" a small word
    return names


def _fixed(cell: str) -> tuple[tuple[str, str], ...]:
    found = []
    for item in cell.split():
        key, _, value = item.partition("=")
        found.append((key, value))
    return tuple(found)
