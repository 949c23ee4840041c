"""Comes in: the safety assessment. Goes out: the safety page, prescribed wordings untouched; nothing is assessed here."""

from __future__ import annotations

import re
from collections.abc import Collection, Iterable, Sequence
from typing import NamedTuple

from booklet.editions.edition import Edition
from booklet.figures.figures import Safety as Assessed
from booklet.figures.figures import SafetyNote
from booklet.pages.book import Care, Caution, Safety, Translation
from booklet.pages.flow import choice_text
from booklet.pages.wording import Words, quotes
from booklet.pattern.model import Choice
from booklet.tables.markets import market
from booklet.tables.safety import note_text, says_age, wording
from booklet.tables.safety import panel as texts

# The parts of the American statement that have letter heights of their own (16 CFR 1500.19(d)); its words are not touched.
STATEMENT = re.compile(r"(WARNING: )(CHOKING HAZARD)(—.*?)((?: Not for children under 3 yrs\.)?)$")
FIELDS = ("maker", "address", "batch", "date")
NAMES = ("names", "choice")  # values that are words of the pattern
DECIMAL = re.compile(r"(?<=\d)\.(?=\d)")
MOST_MORE = 6  # sentences below one caution; more are a list that nobody reads


class Line(NamedTuple):
    """One warning in one language, for a card or label."""

    language: str
    text: str
    to_check: bool  # the translation was not compared with an official text


def panel(code: str, where: str, languages: Iterable[str] = ()) -> tuple[Line, ...]:
    """A prescribed warning in all languages of a market, or in those given, for one card or label.

    A language that has no text yet gets the English one, marked as to be checked. KeyError for an unknown market.
    """
    lines: list[Line] = []
    english = wording(code)
    for tag, found in texts(code, tuple(languages) or market(where).languages):
        if found is not None:
            lines.append(Line(tag, found.text, found.verified != "ok"))
        elif english is not None:
            lines.append(Line(tag, english.text, True))
    return tuple(lines)


class _Merged:
    """One caution with everything that several notes add to it."""

    def __init__(self, note: SafetyNote) -> None:
        self.note = note
        self.markets: dict[str, None] = {}
        self.ways: dict[tuple[Choice, ...], None] = {}
        self.more: dict[str, None] = {}
        self.grave = False


def safety(
    assessed: Sequence[tuple[tuple[Choice, ...], Assessed]], edition: Edition, words: Words, care: Care | None = None, maker: bool = False
) -> Safety:
    """The age mark, every caution once, and the standing caution, which is always printed and comes last.

    `assessed` holds one assessment for each way to make the piece that the booklet leaves open, with its open choices.
    A caution that not all of them have says whose it is; the highest age mark is printed. With `maker`, the maker's fields
    are printed even where the pattern is no kit.
    """
    merged: dict[tuple[str, bool], _Merged] = {}
    for way, one in assessed:
        for note in one.notes:
            if edition.market and note.market not in ("", edition.market):
                continue
            found = merged.setdefault((_text(note, words), note.wording is not None), _Merged(note))
            found.ways[way] = None
            found.grave = found.grave or note.severity == "error"
            found.more |= dict.fromkeys(_more(note, words))
            if note.market:
                found.markets[note.market] = None
    # What must not be printed otherwise first, then prescribed wordings, since rules ask for a conspicuous place.
    every = [way for way, _ in assessed]
    ordered = sorted(merged.items(), key=lambda item: (not item[1].grave, not item[0][1]))
    cautions = tuple(_caution(text, found, _whose(found.ways, every, words), edition, words) for (text, _), found in ordered)
    # Of each kind, those of one choice stand together.
    choices = list(dict.fromkeys(one.only_for for one in cautions))
    grave = [found.grave for _, found in ordered]
    places = [(not first, not one.prescribed, choices.index(one.only_for)) for first, one in zip(grave, cautions, strict=True)]
    cautions = tuple(cautions[at] for at in sorted(range(len(cautions)), key=lambda at: places[at]))
    if not edition.market and any(len(one.markets) > 1 for _, one in assessed):
        cautions = tuple(one._replace(where=words.join("comma", one.markets)) for one in cautions)
    age = _age([one for _, one in assessed], edition.market)
    kit = maker or any(one.kit for _, one in assessed)
    fields = tuple(_say(f"field.{name}", words) for name in FIELDS) if kit else ()
    shown = words.text("age_text", age=age) if age else ""
    standing = words.text("standing_caution.card") if maker else words.text("standing_caution")
    return Safety(age, shown, cautions, standing, care, fields)


def _caution(text: str, found: _Merged, whose: str, edition: Edition, words: Words) -> Caution:
    note = found.note
    more, markets = tuple(found.more)[:MOST_MORE], tuple(found.markets)
    if note.wording is None:
        return Caution(text, False, markets, whose, more=more)
    language, shown, others = _languages(note.wording, markets, edition.languages, words)
    split = STATEMENT.match(shown)
    symbols = says_age(note.wording) and all("symbol" in market(code).traits for code in markets)
    sentence = wording(note.wording.split(".")[0] + ".sentence", language or words.language.tag)
    meant = sentence.text if symbols and sentence is not None else ""
    parts = tuple(part for part in split.groups() if part) if split else ()
    return Caution(shown, True, markets, whose, parts, language, others, more, meant)


def _languages(
    code: str, markets: tuple[str, ...], tags: tuple[str, ...], words: Words
) -> tuple[str, str, tuple[Translation, ...]]:
    """The language and text that stand first, and the texts in all others.

    In the edition's language where an official text is known and a market asks for it, else in English; a translation that
    was not compared with an official text stands below, marked. Several languages of an edition, and all of a market that has
    few (Canada's two), are printed on the same panel.
    """
    mark = _say("translation-to-check", words)
    asked = dict.fromkeys(tag for one in markets for tag in market(one).languages)
    wanted = [tag for tag in tags if not asked or tag.split("-")[0] in asked]
    if 1 < len(asked) < 4:
        wanted = list(dict.fromkeys([*wanted, *asked]))
    texts_of = [(tag, wording(code, tag)) for tag in wanted]
    official = [(tag, found.text) for tag, found in texts_of if found is not None and found.verified == "ok"]
    english = wording(code)
    first, shown = official[0] if official else ("en", english.text if english is not None else "")
    others = []
    for tag, found in texts_of:
        if found is None or found.verified != "ok":
            others.append(Translation(tag, found.text if found is not None else "", mark))
        elif found.text != shown:
            others.append(Translation(tag, found.text, ""))
    same = first.split("-")[0] == words.language.tag.split("-")[0]
    return "" if same else first, shown, tuple(others)


def _whose(ways: Collection[tuple[Choice, ...]], every: Sequence[tuple[Choice, ...]], words: Words) -> str:
    """The one choice that brings a caution, or all the ways that have it; "" if every way has it."""
    if len(ways) == len(every):
        return ""
    for choice in dict.fromkeys(choice for way in every for choice in way):
        if {way for way in every if choice in way} == set(ways):
            return choice_text(choice, words)
    names = (words.join("comma", (choice_text(choice, words) for choice in way)) for way in ways)
    return words.join("or", names)


def _age(assessed: list[Assessed], where: str) -> str:
    """The mark for the edition's market, or for all; none where a market forbids one."""
    marks = []
    for one in assessed:
        of_market = [age.mark for age in one.ages if age.market == where]
        marks.append(of_market[0] if of_market else one.age)
    return "" if None in marks else max((mark for mark in marks if mark), key=_months, default="")


def _months(age: str) -> int:
    """`3+` is in years, `18 m+` in months."""
    number = int("".join(sign for sign in age if sign.isdigit()) or 0)
    return number if "m" in age else number * 12


def _text(note: SafetyNote, words: Words) -> str:
    if note.wording is not None:
        return note.text
    key = f"{note.code}.{note.variant}" if note.variant else note.code
    return _say(key, words, names=_named(note.names, words), **dict(note.values))


def _more(note: SafetyNote, words: Words) -> tuple[str, ...]:
    return tuple(
        _say(name, words, **{key: _named(value.split(", "), words) if key in NAMES else value for key, value in values})
        for name, values in note.more
    )


def _named(names: Iterable[str], words: Words) -> str:
    """Names that the pattern gives. In another language they stand in its quotes: they are the designer's words."""
    opening, closing = quotes(words.language) if words.source else ("", "")
    return words.join("comma", (f"{opening}{name}{closing}" for name in names))


def _say(key: str, words: Words, **values: str) -> str:
    """One of our own sentences, its numbers with the decimal mark of the edition."""
    shown = {name: value if name in NAMES else DECIMAL.sub(words.style.decimal, value) for name, value in values.items()}
    return note_text(key, words.language.tag, **shown)
