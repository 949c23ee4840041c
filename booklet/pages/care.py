"""Comes in: yarns and notions. Goes out: care advice, in words and as symbols; the drawing of the symbols is done in outputs."""

from __future__ import annotations

from collections.abc import Mapping

from booklet.pages.book import Care, CareSymbol
from booklet.pages.wording import Words
from booklet.pattern.model import Choice, Pattern
from booklet.tables.care import Care as Borne
from booklet.tables.care import fibres, of_kind, weakest
from booklet.tables.safety import note_text, notion_kind


def care(pattern: Pattern, words: Words, chosen: Mapping[str, str]) -> Care | None:
    """The advice for the weakest declared fibre and part; None where no yarn says what it is made of."""
    found: dict[str, Borne] = {}
    silent = []
    for yarn in pattern.yarns:
        known = fibres(yarn.fibre) if _wanted(yarn.only_for, chosen) else ()
        found |= dict(known)
        if not known and _wanted(yarn.only_for, chosen):
            silent.append(yarn.code)
    if not found:
        return None
    for notion in pattern.notions:
        kind = notion_kind(notion.name or notion.text)
        borne = of_kind(kind.kind) if kind is not None and _wanted(notion.only_for, chosen) else None
        if borne is not None:
            found[borne[0]] = borne[1]
    borne = weakest(tuple(found.values()))
    symbols = tuple(CareSymbol(name, _sentence(name, borne, words)) for name in _names(borne))
    notes = [_say("care.weakest", words)]
    if silent:
        notes.append(_say("care.silent", words, names=words.join("comma", silent)))
    return Care(_say("care.title", words), symbols, " ".join(notes), _say("care.licence", words))


def _names(borne: Borne) -> tuple[str, ...]:
    """What each symbol is, in the order in which they are always printed: wash, bleach, dry, iron, professional care."""
    wash = "wash-no" if not borne.wash_c else "wash-hand" if borne.action == "hand" else f"wash-{borne.wash_c}{_bars(borne.action)}"
    return (
        wash,
        f"bleach-{borne.bleach}",
        f"tumble-{borne.tumble}",
        *(("dry-flat",) if borne.tumble == "no" else ()),
        f"iron-{borne.iron or 'no'}",
        f"professional-{borne.professional}",
    )


def _bars(action: str) -> str:
    return {"mild": "-mild", "very mild": "-very-mild"}.get(action, "")


def _sentence(name: str, borne: Borne, words: Words) -> str:
    if name.startswith("wash-") and name[5:6].isdigit():
        key = f"care.wash{_bars(borne.action)}"
        return _say(key, words, temperature=f"{borne.wash_c} °C")
    return _say(f"care.{name}", words)


def _say(key: str, words: Words, **values: str) -> str:
    """A sentence in the edition's language."""
    return note_text(key, words.language.tag, **values)


def _wanted(only_for: tuple[Choice, ...], chosen: Mapping[str, str]) -> bool:
    return all(chosen.get(key, value) == value for key, value in only_for)
