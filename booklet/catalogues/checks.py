"""A catalogue and the languages of both sides in, what is wrong with its translations out; only what can be counted is judged."""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Iterable, Iterator, Mapping

from booklet.catalogues.message import OPTIONAL, Catalogue, Entry
from booklet.catalogues.protect import PLACEHOLDER, placeholders, protect
from booklet.diagnostics.diagnostic import Diagnostic, diagnostic
from booklet.diagnostics.span import START, Span
from booklet.graph.graph import Settled
from booklet.notation.write import write
from booklet.tables.language import Language, fold, spoken

_NUMBER = re.compile(r"\d+(?:[.,]\d+)?")
_UNIT = re.compile(r"(\d+(?:[.,]\d+)?)[\s\u00a0\u202f-]*(mm|cm|m|kg|g|ml|l|%)(?!\w)")
_LINK = re.compile(r"(?:https?://|mailto:)[^\s<>()\[\]\"']+", re.IGNORECASE)
_HTML = re.compile(r"</?[A-Za-z][^<>\n]{0,200}>|&[a-z]{2,8};|&#\d{1,7};")
_WORD = re.compile(r"[^\W\d_]+")


def _place(entry: Entry) -> Span:
    return Span(entry.line, 1, entry.line, 1) if entry.line > 1 else START


def check(
    catalogue: Catalogue,
    keys: Iterable[tuple[str, str]],
    source: Language,
    target: Language,
    codes: Iterable[str],
    glossary: Mapping[str, str],
    file: str,
) -> Iterator[Diagnostic]:
    """Every translation against its source. `keys` are the messages that the pattern has, `codes` those of its yarns."""
    entries = {entry.key: entry for entry in catalogue.entries if not entry.obsolete}
    yarns = tuple(codes)
    for key in keys:
        entry = entries.get(key)
        if entry is None or not entry.target.strip():
            if key[0].rpartition(": ")[2] not in OPTIONAL:
                yield diagnostic("translation-missing", _place(entry) if entry else START, file=file, text=_short(key[1]))
            continue
        if entry.fuzzy:
            yield diagnostic("translation-fuzzy", _place(entry), file=file, text=_short(key[1]))
            continue
        if entry.kind in OPTIONAL:
            if entry.kind == "address" and not re.match(r"(?i)https://|mailto:|[^\s:/]+$", entry.target):
                values = {"source": _short(entry.source), "target": _short(entry.target)}
                yield diagnostic("translation-link-differs", _place(entry), file=file, **values)
            continue
        for code, before, after in _differences(entry, source, target, yarns):
            yield diagnostic(code, _place(entry), file=file, source=before, target=after, text=_short(entry.source))
        yield from _words(entry, source, target, glossary, file)


def _differences(entry: Entry, source: Language, target: Language, codes: tuple[str, ...]) -> Iterator[tuple[str, str, str]]:
    """Code, what the source has, what the translation has."""
    one, two = _LINK.sub(" ", entry.source), _LINK.sub(" ", entry.target)
    tags, theirs = Counter(placeholders(one, source)), Counter(placeholders(two, source))
    unknown = [found[0] for found in PLACEHOLDER.finditer(two) if fold(found[1]) not in theirs]
    if tags != theirs or (unknown and not set(unknown) <= {found[0] for found in PLACEHOLDER.finditer(one)}):
        yield "translation-placeholder-differs", _braces(tags), _braces(theirs + Counter(word[1:-1] for word in unknown))
    one, two = PLACEHOLDER.sub(" ", one), PLACEHOLDER.sub(" ", two)
    rounds, other = _rounds(one, source), _rounds(two, target)  # none: the translation uses a word that the table lacks
    numbers, others = _numbers(one), _numbers(two)
    if rounds and other and sorted(rounds) != sorted(other) and numbers == others:
        yield "translation-rounds-differ", " ".join(rounds), " ".join(other) or "–"
    # Who writes 2 for "two", or "zwei" for 2, changes nothing.
    spare = Counter(_in_words(one, source)) - Counter(_in_words(two, target))
    shown = Counter(_in_words(two, target)) - Counter(_in_words(one, source))
    if (others - numbers) - spare or (numbers - others) - shown:
        yield "translation-numbers-differ", _list(numbers), _list(others)
    units, theirs_too = (Counter((_plain(n), unit) for n, unit in _UNIT.findall(text)) for text in (one, two))
    if units != theirs_too:
        yield "translation-units-differ", _list(f"{n} {unit}" for n, unit in units), _list(f"{n} {unit}" for n, unit in theirs_too)
    mine, there = (_codes(text, codes) for text in (one, two))
    if mine - there:
        yield "translation-yarn-differs", _list(mine), _list(there)
    links, sent = (Counter(_LINK.findall(text)) for text in (entry.source, entry.target))
    if links != sent:
        yield "translation-link-differs", _short(_list(links)), _short(_list(sent))


def _words(entry: Entry, source: Language, target: Language, glossary: Mapping[str, str], file: str) -> Iterator[Diagnostic]:
    bare = PLACEHOLDER.sub(" ", _LINK.sub(" ", entry.target))
    # Readers of every language take English abbreviations; that makes them no words of its printed pages.
    left = [
        word
        for word in placeholders(protect(bare, source), source)
        if not _known(word, target) and (word not in target.words or _known(word, source))
    ]
    if left:
        yield diagnostic("translation-stitch-word", _place(entry), file=file, word=left[0], language=source.tag, text=_short(entry.target))
    if found := _HTML.search(entry.target):
        yield diagnostic("translation-html", _place(entry), file=file, tag=found[0][:60])
    for word, told in glossary.items():
        if re.search(rf"(?<!\w){re.escape(word)}(?!\w)", entry.source, re.IGNORECASE) and told.casefold() not in entry.target.casefold():
            yield diagnostic("translation-glossary", _place(entry), file=file, word=word, told=told)


def _known(word: str, language: Language) -> bool:
    return any(fold(form) == word for name in language.names.values() for form in (name.abbr, name.term, name.plural))


def _numbers(text: str) -> Counter[str]:
    return Counter(_plain(found) for found in _NUMBER.findall(text))


def _plain(number: str) -> str:
    return number.replace(",", ".")


def _in_words(text: str, language: Language) -> list[str]:
    told = (language.words.get(fold(word), ("", "")) for word in _WORD.findall(text))
    return [value for role, value in told if role == "number"]


def _rounds(text: str, language: Language) -> list[str]:
    """Numbers beside the words for round and row."""
    found: list[str] = []
    tokens = re.findall(r"[^\W\d_]+\.?|\d+|\S", text)
    for at, token in enumerate(tokens):
        if not token[:1].isalpha() or language.words.get(fold(token), ("", ""))[0] != "header":
            continue
        if (at and tokens[at - 1].isdecimal()) or (at > 1 and tokens[at - 1] == "." and tokens[at - 2].isdecimal()):
            found.append(next(one for one in reversed(tokens[:at]) if one.isdecimal()))
            continue
        for one in tokens[at + 1 : at + 6]:
            if one.isdecimal():
                found.append(one)
            elif one[:1].isalpha() and language.words.get(fold(one), ("", ""))[0] not in ("and", "range"):
                break
    return found


def _codes(text: str, codes: tuple[str, ...]) -> set[str]:
    """Yarn codes that stand inside a sentence: at its beginning `A` may be an article."""
    return {code for code in codes if re.search(rf"[\w,;] {re.escape(code)}(?!\w)", text)}


def _braces(words: Iterable[str]) -> str:
    return _list("{" + word + "}" for word in words)


def _list(words: Iterable[str]) -> str:
    return ", ".join(sorted(words)) or "–"


def _short(text: str) -> str:
    text = " ".join(text.split())
    return text if len(text) <= 60 else text[:59] + "…"


def rounds(lines: Iterable[Settled], source: Language, target: Language) -> Iterator[Diagnostic]:
    """Every line as it is printed in both languages, number by number, and no word of the other (editors' checklist, 63 and 64)."""
    mine, theirs = _abbreviations(source), _abbreviations(target)
    for line in lines:
        if line.instruction is None:
            continue
        one, two = (write(line.instruction, spoken(language)) for language in (source, target))
        place = Span(line.line, 1, line.line, 1)
        if Counter(_NUMBER.findall(one)) != Counter(_NUMBER.findall(two)):
            yield diagnostic("edition-numbers-differ", place, language=target.tag, source=one, target=two)
        foreign = [word for word in _WORD.findall(two) if fold(word) in mine - theirs - target.words.keys()]
        if foreign:
            yield diagnostic("edition-word-foreign", place, language=target.tag, word=foreign[0], target=two)


def _abbreviations(language: Language) -> set[str]:
    return {fold(word) for name in language.names.values() for form in (name.abbr, name.term, name.plural) for word in _WORD.findall(form)}
