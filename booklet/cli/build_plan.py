"""What was typed in, the jobs of a build out: every file, language, term system, layout and format; nothing is made here."""

from __future__ import annotations

import os
from collections.abc import Callable, Iterator, Mapping
from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING, Any

from booklet import pipeline
from booklet.cli.choose import choices, one_of, printed
from booklet.cli.files import Refused, house_file, read_input
from booklet.editions.discover import layout, layouts
from booklet.editions.edition import Edition
from booklet.editions.paper import has_form, usual
from booklet.production import Job, Ready
from booklet.tables.language import load, printable
from booklet.tables.symbols import symbol_sets

if TYPE_CHECKING:
    from booklet.cli.build_told import Told
    from booklet.pipeline import Understood

Settings = Mapping[str, Any]
Names = tuple[str, ...]  # of layouts; none: the paper of the territory
Tags = tuple[tuple[str, ...], ...]  # of each edition its languages


def plan(settings: Settings, told: Told, progress: Callable[[str], None]) -> tuple[tuple[Job, ...], tuple[Ready, ...]]:
    """Understand every pattern and lay down what is to be made of it. One that cannot be built does not stop the others.

    Refused where what was asked for does not exist for any pattern.
    """
    names = tuple(dict.fromkeys(one_of("layout", name, layouts()) for name in settings["layouts"]))
    tags = _languages(settings["languages"])
    ready: list[Ready] = []
    jobs: dict[Path, Job] = {}
    for file in dict.fromkeys(settings["files"]):
        told.begin(file)
        try:
            understood = _understood(file, settings["house"], progress)
            told.understood(understood)
            if told.may_build():
                for job in _jobs(understood, file, len(ready), names, tags, settings, told):
                    jobs.setdefault(job.path, job)
        except Refused as refused:
            told.refused(refused)
            continue
        ready.append(Ready(understood, Path(os.path.dirname(file) or "."), pipeline.Shared()))  # noqa: PTH120
        told.number(len(ready) - 1)
    return tuple(jobs.values()), tuple(ready)


def _understood(file: str, house: str | None, progress: Callable[[str], None]) -> Understood:
    if file == "-":
        raise Refused("build needs a file: its photos are looked for beside it.")
    data = read_input(file)
    progress(f"reading {file}")
    return pipeline.understand(data, file, house=house_file(file, house))


def _jobs(
    understood: Understood, file: str, number: int, names: Names, tags: Tags, settings: Settings, told: Told
) -> Iterator[Job]:
    """Every edition of a pattern in every format that its layout has."""
    folder = Path(settings["output"] or ".")
    asked = tuple(dict.fromkeys(settings["forms"]))
    offered = {form for name in names for form in layout(name).forms}
    if names and asked and not offered & set(asked):
        raise Refused(f"The layout {names[0]} is for {' and '.join(layout(names[0]).forms)}, not for {asked[0]}.")
    spoken = tuple(dict.fromkeys(tag for languages in tags for tag in languages))
    for edition in _editions(understood, names, tags, settings, told):
        forms = layout(edition.layout).forms
        for form in [form for form in asked if form in forms] if asked else forms[:1]:
            yield Job(number, edition, form, folder / _name(understood, edition, form, file), spoken)


def _languages(typed: tuple[str, ...]) -> tuple[tuple[str, ...], ...]:
    """`de+fr` is one edition in two languages, two options are two editions."""
    return tuple(dict.fromkeys(tuple(one_of("language", tag, printable()) for tag in text.split("+")) for text in typed))


def _editions(
    understood: Understood, names: Names, tags: Tags, settings: Settings, told: Told
) -> Iterator[Edition]:
    """One edition for each language, term system and layout."""
    pattern = understood.pattern
    size = one_of("size", settings["size"], pattern.sizes) if settings["size"] else ""
    for languages in tags or ((printed(understood.language.tag),),):
        if any(load(tag).settings.get("status") == "draft" and told.draft(tag) for tag in languages):
            continue
        main = load(languages[0])
        common = Edition(
            languages,
            "",
            settings["units"] or main.settings.get("units", "metric"),
            settings["market"] or "",
            settings["reader"],
            choices(settings["choose"], pattern.choices),
            size,
            left_handed=settings["left_handed"],
            symbols=one_of("symbol set", settings["symbols"], symbol_sets()),
            proof=settings["proof"],
            message_numbers=settings["message_numbers"],
            printing=settings["printing"],
            tester=_tester(settings["tester"], names),
            rounds_in=_rounds_in(settings["rounds_in"], languages, names),
        )
        for terms in _terms(understood, languages[0], settings["terms"]):
            on = names or (usual(languages[0], settings["market"] or ""),)
            yield from (replace(common, terms=terms, layout=name) for name in on)


LONGEST_NAME = 60  # signs; it stands in one line at the foot of a small page


def _tester(typed: str, names: Names) -> str:
    """Whom a test copy is for; refused where its pages have no room for notes."""
    name = " ".join(typed.split())
    if typed and not name:
        raise Refused("--test-copy takes the name of the person who tests.")
    if len(name) > LONGEST_NAME or not name.isprintable():
        raise Refused(f"--test-copy takes a name of at most {LONGEST_NAME} letters.")
    without = next((one for one in names if not has_form(layout(one))), "")
    if name and without:
        raise Refused(f"A test copy needs room for its form: a5, a4, letter, phone …, not {without}.")
    return name


def _rounds_in(typed: str, languages: tuple[str, ...], names: Names) -> str:
    """In which languages of a card the rounds are; refused where there is one language, or no card."""
    booklet = next((one for one in names or ("a5",) if not layout(one).card_sides), "")
    if typed == "all" and (len(languages) < 2 or booklet):
        has = f"{booklet} is a booklet" if booklet else f"{languages[0]} is one language"
        raise Refused(f"--rounds-in all is for a card or leaflet in several languages (--language de+fr --layout leaflet-dl); {has}.")
    ways = [load(tag).settings.get("direction", "ltr") for tag in languages]
    if typed == "all" and ways[0] == "rtl" and "ltr" in ways:
        # Everything of the page is turned then; a stretch that runs the usual way would be turned with it.
        raise Refused(f"--rounds-in all: {languages[0]} is written from right to left; name it after the other languages.")
    return typed


def _terms(understood: Understood, tag: str, typed: tuple[str, ...]) -> tuple[str, ...]:
    """An edition in the pattern's own language keeps the pattern's terms; another one takes its language's."""
    main = load(tag)
    if not main.terms:
        return ("",)
    return tuple(dict.fromkeys(typed)) or (understood.language.terms if tag == understood.language.tag else main.terms,)


def _name(understood: Understood, edition: Edition, form: str, file: str) -> str:
    """The name of the output file."""
    from booklet.cli.names import output_name

    main = load(edition.languages[0])
    terms = understood.language.terms if main.tag == understood.language.tag else main.terms
    ending = "listing.txt" if form == "png" else form  # the text for a shop; its pictures are named after it
    return output_name(Path(file).stem or "pattern", edition, ending, terms=terms, units=main.settings.get("units", "metric"))
