"""The safety assessment in, its cautions as findings out, one for each kind; nothing is assessed here.

Bad:    made as: cuddly toy … toy-age: 3+ … 2 safety eyes, 6 mm
Good:   made as: cuddly toy … embroidered eyes
"""

from __future__ import annotations

from collections.abc import Iterator

from booklet.diagnostics.diagnostic import Diagnostic, diagnostic
from booklet.diagnostics.span import Span
from booklet.figures.checks.subject import FigureSubject
from booklet.figures.components import PLACING
from booklet.figures.figures import SafetyNote
from booklet.tables.safety import wording

CODES = (
    "small-parts",
    "small-parts-household",
    "small-parts-under-three",
    "small-parts-at-three",
    "counts-as-under-three",
    "may-count-as-under-three",
    "soft-toy-age",
    "crocheted-parts",
    "kit-for-adults",
    "sharp-in-kit",
    "small-ball",
    "small-ball-under-three",
    "marble",
    "cord-too-long",
    "long-cord",
    "loop-too-large",
    "cord-too-thin",
    "plastic-bag",
    "bag-taken-off",
    "loose-filling",
    "fibre-filling",
    "pompom-in-toy",
    "special-standard",
    "no-safety-data",
    "no-small-parts-listed",
    "component-unknown",
    "magnet-in-toy",
    "battery-in-toy",
    "sharp-in-toy",
    "glass-in-toy",
    "translation-to-check",
)
# Whole sentences of these are printed on the page; in a list of findings they would only repeat others.
SILENT = ("mark-box", "state-label")


def check(subject: FigureSubject) -> Iterator[Diagnostic]:
    """Each caution once, with the markets that it is for, at the notion or the part that raises it."""
    merged: dict[tuple[str, ...], list[SafetyNote]] = {}
    for note in subject.figures.safety.notes:
        if note.code not in SILENT:
            merged.setdefault((note.code, note.severity, note.variant, *note.names), []).append(note)
    places = _places(subject)
    choices, nowhere = _choices(subject), subject.field_span("notions", "toy-age", "maker-age", "made as")
    chosen = _brought(subject)
    for notes in merged.values():
        first = notes[0]
        place = next((places[name] for name in first.names if name in places), None)
        markets = [note.market for note in notes if note.market]
        values = dict(first.values)
        limits = dict.fromkeys(value for note in notes for key, value in note.values if key == "limit")
        ways = dict.fromkeys(dict(more)["choice"] for note in notes for name, more in note.more if name == "way-out")
        yield diagnostic(
            first.code,
            place[0] if place is not None else nowhere,
            part=place[1] if place is not None else None,
            severity=first.severity,
            help=_help(first, bool(ways), subject),
            names=", ".join(first.names),
            markets=", ".join(dict.fromkeys(markets)) or "all markets",
            age=subject.figures.safety.age or "",
            choices=choices if not first.names or chosen & set(first.names) else "",
            limit=", ".join(limits),
            length=values.get("length", ""),
            way=", ".join(ways),
        )
    yield from _translations(subject, nowhere)


def _help(note: SafetyNote, ways: bool, subject: FigureSubject) -> str:
    """Which help of the page: the other choice where the pattern has one, else that of the sentence."""
    if ways and note.code == "counts-as-under-three":
        return "choice"
    if note.code == "small-parts" and subject.figures.safety.age is None:
        return "unmarked"
    return note.variant if note.variant in ("crochet", "ask") else ""


def _places(subject: FigureSubject) -> dict[str, tuple[Span, str | None]]:
    """Where a name of a finding stands: a notion in the head, a part, the title of the whole."""
    found: dict[str, tuple[Span, str | None]] = {}
    for notion in subject.pattern.notions:
        found.setdefault(notion.name or notion.text, (notion.span, None))
    for section in subject.pattern.parts:
        found.setdefault(section.title, (section.span, section.title))
    if subject.pattern.title and "title" in subject.pattern.fields:
        found.setdefault(subject.pattern.title, (subject.pattern.fields["title"].span, None))
    return found


def _translations(subject: FigureSubject, nowhere: Span) -> Iterator[Diagnostic]:
    """A note where the booklet in the pattern's own language lacks a text that was compared with the law."""
    tag = subject.pattern.field("language") or subject.pattern.language
    asked = dict.fromkeys(note.wording for note in subject.figures.safety.notes if note.wording)
    for code in asked:
        own = wording(code, tag)
        if tag.split("-")[0] != "en" and (own is None or own.verified != "ok"):
            yield diagnostic("translation-to-check", nowhere, names=code, language=tag)


def _brought(subject: FigureSubject) -> set[str]:
    """Names of the notions that only some choices bring."""
    found = {notion.name or notion.text for notion in subject.pattern.notions if notion.only_for}
    for section in subject.pattern.sections:
        for step in section.steps:
            notion = subject.notion(step.value("what")) if step.name in PLACING and step.choices else None
            if notion is not None:
                found.add(notion.name or notion.text)
    return found


def _choices(subject: FigureSubject) -> str:
    """The choices that decide what is fixed to the piece, such as " (eyes: safety)"; "" where there are none."""
    pattern = subject.pattern
    keys = {key for notion in pattern.notions for key, _ in notion.only_for}
    placings = (step for section in pattern.sections for step in section.steps if step.name in PLACING)
    keys |= {key for step in placings for key, _ in step.choices}
    taken = ", ".join(f"{key}: {value}" for key, value in subject.graph.choices if key in keys)
    return f" ({taken})" if taken else ""
