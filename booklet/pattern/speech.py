"""The language and terms of a source: what the head says, else what its words look like; the words are tables."""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Mapping
from itertools import pairwise

from booklet.diagnostics.diagnostic import Diagnostic, Edit, diagnostic
from booklet.diagnostics.span import START
from booklet.pattern import fields
from booklet.source.tree import Source, Value
from booklet.tables.language import Language, load, tags, variants
from booklet.tables.nearest import nearest
from booklet.tables.reader import TableFault

DEFAULT = "en-US"
_WORD = re.compile(r"[^\W\d_]+")
_LOOK = 20_000  # characters of the body that are looked at
_TELLING = frozenset(
    "header next_header stitch ring loop each next last same around repeat together turn even".split()
)


def language(source: Source, declared: Value | None, problems: list[Diagnostic]) -> str:
    """The tag of the source's language: one that has a folder."""
    if declared is None or not declared.text.strip():
        tag = _guess(source)
        problems.append(diagnostic("language-guessed", START, language=load(tag).name, tag=tag))
        return tag
    text = declared.text.strip()
    known = {tag.casefold(): tag for tag in tags()}
    folded = text.casefold().replace("_", "-")
    if folded in known:
        return known[folded]
    primary = folded.split("-")[0]
    likely = sorted(tags(), key=lambda tag: tag != DEFAULT)  # "en" is the default's English
    near = next((tag for tag in likely if tag.casefold().split("-")[0] == primary), None)
    if near is not None and folded == primary:
        return near
    named = {load(tag).name.casefold(): tag for tag in tags()} | {
        load(tag).name.casefold().split(" (")[0]: tag for tag in tags() if tag not in variants()
    }
    if folded in named:
        near = named[folded]
    close = nearest(folded, [*known, *named], 0.75)
    meant = near or (known | named)[close] if near or close else DEFAULT
    edits = (Edit(declared.span, meant),) if near or close else ()
    values = {"text": text[:40], "meant": meant, "known": ", ".join(tags())}
    problems.append(diagnostic("language-unknown", declared.span, edits=edits, **values))
    return meant


def _guess(source: Source) -> str:
    """The language whose words of the trade are there. A word tells the less the more languages know it: many say "Rnd" and "MR"."""
    counts = {tag: 0.0 for tag in tags() if tag not in variants()}  # their few words of their own would be a chance hit
    body = " ".join(piece.text for block in source.blocks for piece in block.pieces)[:_LOOK]
    found = [word.casefold() for word in _WORD.findall(body) if len(word) > 1]  # a letter alone is a yarn as a rule
    words = Counter(found) + Counter(f"{one} {other}" for one, other in pairwise(found))  # "magickom kruhu" is Slovak only
    tables = {tag: table for tag in counts if len(counts) > 1 and (table := _words(tag)) is not None}
    for word, times in words.items():
        knowing = [tag for tag, table in tables.items() if table.get(word, ("",))[0] in _TELLING]
        own = [tag for tag in knowing if tag.split("-")[0] == DEFAULT.split("-")[0]]
        knowing = own or knowing  # English abbreviations are borrowed by every language, so they tell of English only
        for tag in knowing:
            counts[tag] += times / len({tag.split("-")[0] for tag in knowing})
    best = max(counts, key=lambda tag: (counts[tag], tag == DEFAULT), default=DEFAULT)
    return best if counts.get(best) else DEFAULT


def _words(tag: str) -> Mapping[str, tuple[str, ...]] | None:
    try:
        return load(tag).words
    except TableFault:
        return None


def terms(declared: Value | None, ways: str, known: Language, problems: list[Diagnostic]) -> str:
    """US, UK or "": declared, or the language's own."""
    if declared is None or not declared.text.strip():
        return known.terms
    return fields.choice(declared, "terms", ways, problems) or known.terms
