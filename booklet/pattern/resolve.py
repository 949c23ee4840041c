"""A Source in, the Pattern that its author meant out; rounds stay words, files are not looked for, nothing is counted."""

from __future__ import annotations

from dataclasses import replace

from booklet.diagnostics.diagnostic import Diagnostic, Edit, diagnostic
from booklet.diagnostics.span import START
from booklet.pattern import choices, fields, sections, speech
from booklet.pattern.gauge import BY_ROUNDS, gauges, hooks, unravelled
from booklet.pattern.keys import Key, canonical, keys
from booklet.pattern.model import Notion, Pattern, Yarn
from booklet.pattern.notions import notions
from booklet.pattern.prose import outside
from booklet.pattern.yarns import yarns
from booklet.source.tree import Source, Value
from booklet.tables.language import load
from booklet.tables.limits import limits

Entries = dict[str, tuple[Key, Value, Value]]


def resolve(source: Source, house: Source | None = None) -> tuple[Pattern, tuple[Diagnostic, ...]]:
    """Understand a pattern's head, sections and sentences. Never raises for anything that a file can hold.

    `house` gives defaults for every key of the head; what the pattern says wins, yarns one by one.
    """
    problems: list[Diagnostic] = []
    if source.head_span is None and source.blocks:
        problems.append(diagnostic("no-head", START))
    own = canonical(source.head, "head", problems)
    defaults, house_yarns = _house(house, problems)
    entries = {**defaults, **own}
    values = {key: entry[2] for key, entry in entries.items()}
    tag = speech.language(source, values.get("language"), problems)
    terms = speech.terms(values.get("terms"), keys("head")["terms"].type, load(tag), problems)
    language = load(tag, terms)
    used_yarns = yarns(own["yarns"][2], problems) if "yarns" in own else ()
    codes = {yarn.code for yarn in used_yarns}
    used_yarns += tuple(yarn for yarn in house_yarns if yarn.code not in codes) if "yarns" in own else house_yarns
    things = notions(values.get("notions"), problems)
    title = fields.text(values["title"], "title", problems) if "title" in values else ""
    body = sections.read(source, language, title, things, used_yarns, limits()["choices_part"])
    problems += body.problems
    ways = choices.gather(body.sections)
    problems += _only_for(used_yarns, things, ways)
    _check_texts(entries, problems)
    measured = gauges(values, language, problems)
    worked_with = hooks(values.get("hook"), problems)
    pattern = Pattern(
        source.file,
        body.title,
        tag,
        terms,
        values,
        used_yarns,
        things,
        next((one for name, one in measured if name != BY_ROUNDS), None),
        worked_with[0][1] if worked_with else None,
        body.sections,
        ways,
        fields.names(values["sizes"], "sizes", problems) if "sizes" in values else (),
        _one_of(entries, "made as", problems),
        _age(values, "toy-age", problems),
        _years(values, problems),
        fields.markets(values["markets"], problems) if "markets" in values else (),
        body.own + _head_stitches(values.get("stitches")),
        tuple(one for one in measured if one[0]),
        tuple(one for one in worked_with if one[0]),
        unravelled(values.get("unravelled"), language, problems),
    )
    _one_of(entries, "level", problems)
    if not source.text.strip():
        problems = []  # an empty or unreadable file: the reader has said so, and everything else follows from it
    return pattern, tuple(sorted(problems, key=_place))


def _place(problem: Diagnostic) -> tuple[bool, int, int]:
    return problem.file is not None, problem.span.line, problem.span.column


def _house(house: Source | None, problems: list[Diagnostic]) -> tuple[Entries, tuple[Yarn, ...]]:
    if house is None:
        return {}, ()
    found: list[Diagnostic] = []
    entries = canonical(house.head, "house", found)
    threads = yarns(entries["yarns"][2], found) if "yarns" in entries else ()
    problems += [replace(problem, file=house.file) for problem in found]
    return entries, threads


def _filled(value: Value) -> bool:
    return value.kind != "text" or bool(value.text.strip())


def _one_of(entries: Entries, name: str, problems: list[Diagnostic]) -> str:
    if name not in entries or not _filled(entries[name][2]):
        return ""
    return fields.choice(entries[name][2], name, entries[name][0].type, problems)


def _age(values: dict[str, Value], name: str, problems: list[Diagnostic]) -> int | None:
    return fields.age_months(values[name], name, problems) if name in values and _filled(values[name]) else None


def _years(values: dict[str, Value], problems: list[Diagnostic]) -> int | None:
    months = _age(values, "maker-age", problems)
    return None if months is None else months // 12


def _head_stitches(value: Value | None) -> tuple[tuple[str, str, str, object], ...]:
    """Stitches of the designer's own that the head defines in words: `cu: curl: …` has no abbreviation of its own."""
    if value is None or value.kind != "map":
        return ()
    return tuple((key.text, key.text, each.text, each.span) for key, each in value.pairs if each.kind == "text")


def _check_texts(entries: Entries, problems: list[Diagnostic]) -> None:
    """Paths must stay in the folder, links go to the open web, everything else is one text."""
    for name, (row, _, value) in entries.items():
        if row.type in ("text", "path", "url", "date") and name != "title":
            words = fields.text(value, name, problems)
            if row.type == "path" and words and outside(words):
                problems.append(diagnostic("picture-outside", value.span, path=words[:80]))
            elif row.type == "url" and words and not words.lower().startswith("https://"):
                http = words.lower().startswith("http://")
                edits = (Edit(value.span, "https://" + words[7:]),) if http else ()
                problems.append(diagnostic("link-refused", value.span, edits=edits, link=words[:80]))
            elif row.type == "date" and words and not _is_date(words):
                problems.append(diagnostic("not-a-date", value.span, key=name, text=words[:60]))


def _is_date(words: str) -> bool:
    from datetime import date

    try:
        date.fromisoformat(words.strip())
    except ValueError:
        return words.strip().isdecimal() and len(words.strip()) == 4
    return True


def _only_for(
    threads: tuple[Yarn, ...], things: tuple[Notion, ...], ways: tuple[tuple[str, tuple[str, ...]], ...]
) -> list[Diagnostic]:
    """`only for` has to name a choice that a step offers."""
    known = {(key.casefold(), way.casefold()) for key, each in ways for way in each}
    problems = []
    for owner in (*threads, *things):
        for key, way in owner.only_for:
            if (key.casefold(), way.casefold()) not in known:
                offered = ", ".join(f"{name} {one}" for name, each in ways for one in each)
                values = {"choice": f"{key} {way}", "offered": offered or "none"}
                problems.append(diagnostic("only-for-unknown", owner.span, **values))
    return problems
