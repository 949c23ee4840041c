"""Prose in, the same prose with its stitch words as placeholders out, and back into words of any language by their identity."""

from __future__ import annotations

import re
from collections.abc import Iterator
from functools import cache

from booklet.tables.language import Language, fold, load

PLACEHOLDER = re.compile(r"\{([^{}\n]{1,60})\}")
LONGEST = 6  # words of a stitch name
_WORD = re.compile(r"[^\W_](?:[\w'’-]*\w)?")
_LINK = re.compile(r"\]\([^()\s]{1,1000}\)|<?https?://[^\s<>]{1,1000}|[\w.+-]{1,64}@[\w.-]{1,200}|`[^`\n]{1,1000}`", re.IGNORECASE)


def _forms(language: Language) -> dict[str, tuple[str, str]]:
    return _forms_of(language.tag, language.terms)


@cache
def _forms_of(tag: str, terms: str) -> dict[str, tuple[str, str]]:
    """Folded form of a stitch -> its id and which of its forms it is: abbr, term or plural."""
    language = load(tag, terms)
    found: dict[str, tuple[str, str]] = {}
    for stitch, name in language.names.items():
        for which, form in (("term", name.term), ("abbr", name.abbr), ("plural", name.plural)):
            found.setdefault(fold(form), (stitch, which))
    for form, (role, stitch) in language.words.items():
        if role == "stitch" and stitch in language.names and form not in found:
            found[form] = (stitch, "abbr" if " " not in form and len(form) <= 5 else "term")
    return found


def _tag(text: str, stitch: str, which: str, language: Language) -> str:
    form = getattr(language.names[stitch], which)
    return "{" + (form[:1].upper() + form[1:] if text[:1].isupper() and not form[:1].isupper() else form) + "}"


def closed(text: str) -> list[tuple[int, int]]:
    """Stretches in which nothing is looked for: addresses, code, placeholders."""
    return [found.span() for found in _LINK.finditer(text)] + [found.span() for found in PLACEHOLDER.finditer(text)]


def occurrences(text: str, language: Language) -> Iterator[tuple[int, int, str]]:
    """Where stitch words stand, and the placeholder of each: behind a number, and full names of two words or more."""
    forms = _forms(language)
    shut = closed(text)
    words = [found for found in _WORD.finditer(text) if not any(a <= found.start() < b for a, b in shut)]
    k = 0
    while k < len(words):
        size, known = _stitch_at(text, words, k, forms)
        full = size > 1 and known[1] != "abbr"
        if not size or not (full or _counted(text, words, k, language)):
            k += 1
            continue
        start, end = words[k].start(), words[k + size - 1].end()
        yield start, end, _tag(text[start:end], *known, language)
        k += size


def protect(text: str, language: Language) -> str:
    """`Work 3 sc` -> `Work 3 {sc}`. Addresses stay as they are."""
    made, at = [], 0
    for start, end, tag in occurrences(text, language):
        made += [text[at:start], tag]
        at = end
    return "".join((*made, text[at:]))


def _stitch_at(text: str, words: list[re.Match[str]], k: int, forms: dict[str, tuple[str, str]]) -> tuple[int, tuple[str, str]]:
    """How many words from k on are the name of a stitch, at most; 0 for none."""
    for size in range(min(LONGEST, len(words) - k), 0, -1):
        stretch = text[words[k].start() : words[k + size - 1].end()]
        known = forms.get(fold(stretch))
        if known is not None and "\n" not in stretch:
            return size, known
    return 0, ("", "")


def _counted(text: str, words: list[re.Match[str]], k: int, language: Language) -> bool:
    """Does a number, in figures or as a word, stand right before this word?"""
    if not k or text[words[k - 1].end() : words[k].start()].strip("\u00a0 "):
        return False
    before = words[k - 1][0]
    return before.isdecimal() or language.words.get(fold(before), ("", ""))[0] == "number"


def placeholders(text: str, language: Language) -> list[str]:
    """The placeholders of a text that stand for stitches, in order, folded."""
    forms = _forms(language)
    return [fold(found[1]) for found in PLACEHOLDER.finditer(text) if fold(found[1]) in forms]


def restore(text: str, source: Language, edition: Language) -> str:
    """Print every placeholder by the identity of its stitch; one that the edition has no name for keeps the source's word."""
    forms = _forms(source)

    def word(found: re.Match[str]) -> str:
        known = forms.get(fold(found[1]))
        if known is None:
            return found[0]
        name = edition.names.get(known[0])
        form = getattr(name, known[1]) if name is not None else found[1]
        raised = found[1][:1].isupper() and not getattr(source.names[known[0]], known[1])[:1].isupper()
        return form[:1].upper() + form[1:] if raised else form

    return PLACEHOLDER.sub(word, text)
