"""Comes in: everything that was printed as rounds and sentences. Goes out: the short forms that stand there, with their meanings."""

from __future__ import annotations

import re
from collections.abc import Iterable

from booklet.pages.book import Abbreviation, Abbreviations, Block, Direction, Prose
from booklet.pages.rounds import rows_in
from booklet.pages.within import within
from booklet.pages.wording import Words
from booklet.tables.collation import in_alphabet
from booklet.tables.stitches import stitches

# Roles of the notation that print a short form: role or role:value -> key of the page word that explains it.
ROLES = {
    "header:round": "abbr.round",
    "ring": "abbr.ring",
    "loop:front": "abbr.front",
    "loop:back": "abbr.back",
    "stitch": "abbr.stitch",
}

# Symbol set -> feature of the symbol face (fonts/make_symbols.py).
FEATURES = {"jis": "ss01"}


def abbreviations(blocks: tuple[Block, ...], words: Words) -> Abbreviations:
    """Only what is used; the longest form wins, so that `sl st` does not bring `st` along."""
    meanings = _meanings(words)
    rows = tuple(rows_in(blocks))
    texts = [row.text for row in rows] + [row.label for row in rows] + list(_texts(blocks))
    used: set[str] = set()
    if meanings:
        forms = "|".join(re.escape(form) for form in sorted(meanings, key=len, reverse=True))
        pattern = re.compile(rf"(?<![\w-])({forms})(?:s)?(?![\w-])")
        for text in texts:
            used.update(pattern.findall(text.replace("\u00a0", " ")))  # held together in print
    notes = []
    if any(re.search(r"[)）] ?[x×] ?\d", row.text) for row in rows):
        notes.append(words.text("read_repeat"))
    if any(row.total for row in rows):
        notes.append(words.text("read_total"))
    alphabet = words.language.settings.get("alphabet", "")
    shown = sorted(((form, meanings[form]) for form in used), key=lambda pair: (in_alphabet(pair[0], alphabet), pair[0]))
    signs = _signs(words)
    found = tuple(Abbreviation(form, term, form in signs) for form, term in shown)
    face = f"Booklet Stitches {words.language.named_in}"
    return Abbreviations(_declaration(words), found, tuple(notes), face, FEATURES.get(words.symbols, ""))


def _signs(words: Words) -> set[str]:
    """The short forms that the symbol face knows: those of stitches that have a symbol. A term that is written out is none."""
    known = stitches()
    return {name.abbr for stitch, name in words.language.names.items() if known[stitch].family != "skip" and name.abbr != name.term}


def _declaration(words: Words) -> str:
    """Which terms are used: where a language has two systems, by the edition or by its table."""
    return words.optional(f"terms.{words.language.terms or 'own'}")


def _meanings(words: Words) -> dict[str, str]:
    known = stitches()
    found: dict[str, str] = {}
    for stitch, name in words.language.names.items():
        if name.abbr == name.term:
            continue
        base = words.language.names.get(known[stitch].base)
        found[name.abbr] = words.optional(
            f"explain.{stitch}", name.term, term=name.term, base=base.abbr if base else ""
        )
    for role, key in ROLES.items():
        form = words.language.roles.get(role)
        if form and form.casefold() != words.page[key].casefold():
            found.setdefault(form, words.page[key])
    return found


def _texts(blocks: Iterable[Block]) -> Iterable[str]:
    for block in within(blocks):
        if isinstance(block, Direction) or (isinstance(block, Prose) and not block.language):
            yield block.text
