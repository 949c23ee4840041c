"""Comes in: yarns, notions, figures. Goes out: the materials list; how much yarn is needed is computed in figures."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence

from booklet.figures.figures import Figures, YarnLine
from booklet.pages import measures
from booklet.pages.book import Colour, Item, Materials, YarnRow
from booklet.pages.colour import fill
from booklet.pages.flow import choice_text
from booklet.pages.glance import hook
from booklet.pages.wording import Words
from booklet.pattern.model import Choice, Notion, Pattern, Yarn
from booklet.tables.materials import inflected
from booklet.tables.plurals import category

# A number and its unit stay on one line.
NUMBER_AND_UNIT = re.compile(r"(\d) (\w{1,3})\b")


def materials(pattern: Pattern, figures: Sequence[Figures], words: Words, chosen: Mapping[str, str]) -> Materials:
    """Yarns with amounts, hook, notions; what belongs to another choice is left out.

    `figures` are those of every way to make the piece that the booklet leaves open: the largest amount is printed.
    """
    lines: dict[str, YarnLine] = {}
    for line in (line for one in figures for line in one.yarn):
        if line.code not in lines or line.length_m > lines[line.code].length_m:
            lines[line.code] = line
    rows = tuple(
        _yarn(yarn, place, lines.get(yarn.code), words, chosen)
        for place, yarn in enumerate(pattern.yarns)
        if _wanted(yarn.only_for, chosen)
    )
    items = []
    if hook(pattern, words):
        items.append(Item(words.text("hook_item", hook=hook(pattern, words))))
    items += [_notion(notion, words, chosen) for notion in pattern.notions if _wanted(notion.only_for, chosen)]
    listed = [lines[row.colour.code] for row in rows if row.amount]
    computed = any(line.basis == "computed" for line in listed)
    return Materials(rows, tuple(items), words.text("amounts_computed") if computed else "")


def colours(pattern: Pattern) -> dict[str, Colour]:
    """How each yarn code is shown."""
    return {
        yarn.code: Colour(yarn.code, yarn.colour, fill(yarn.drawn, place)) for place, yarn in enumerate(pattern.yarns)
    }


def _yarn(yarn: Yarn, place: int, line: YarnLine | None, words: Words, chosen: Mapping[str, str]) -> YarnRow:
    name = " ".join(text for text in (yarn.maker, yarn.name) if text)
    ball = words.join(
        "slash",
        (
            measures.yarn_length(yarn.ball_m, words.style) if yarn.ball_m else "",
            measures.mass(yarn.ball_g, words.style) if yarn.ball_g else "",
        ),
    )
    weight = words.optional(f"weight.{yarn.weight}", yarn.weight_name)
    details = words.join("comma", (yarn.shade, yarn.fibre, weight, ball))
    amount = balls = ""
    if line is not None and line.length_m:
        texts = [measures.yarn_length(line.length_m, words.style)]
        if line.mass_g:
            texts.append(measures.mass(line.mass_g, words.style))
        amount = words.join("dot", texts)
        if line.basis == "computed":
            amount = words.text("about", what=amount)
        if line.balls:
            balls = words.plural("balls", line.balls)
    return YarnRow(
        Colour(yarn.code, yarn.colour, fill(yarn.drawn, place)),
        name,
        details,
        amount,
        balls,
        _only(yarn.only_for, words, chosen),
    )


def _notion(notion: Notion, words: Words, chosen: Mapping[str, str]) -> Item:
    """The designer's words; a measured notion is put together again from its fields."""
    text = notion.text if notion.count is None and not notion.dimensions else ""
    if not text:
        sizes = [mm for name, mm in notion.dimensions if name in ("diameter", "length", "width", "height", "depth")]
        if notion.size_mm and not sizes:
            sizes = [notion.size_mm]
        size = " × ".join(measures.decimal(mm, 1, words.style) for mm in sizes)
        text = counted(notion.name, notion.count, words) if notion.count else notion.name
        if size:
            text = words.join("comma", (text, f"{size}\u00a0{words.page['unit_mm']}"))
    return Item(NUMBER_AND_UNIT.sub("\\1\u00a0\\2", text), _only(notion.only_for, words, chosen))


def counted(name: str, number: int, words: Words) -> str:
    """`4 stitch markers`, 段目リング 4個: the name in the form that the number asks for, where the tables know it."""
    form = category(words.language.settings["plural"], number)
    told = name if words.same and not words.source else inflected(name, form, words.language.tag)
    return words.text("counted", n=number, name=told)


def _wanted(choices: tuple[Choice, ...], chosen: Mapping[str, str]) -> bool:
    return all(chosen.get(key, value) == value for key, value in choices)


def _only(choices: tuple[Choice, ...], words: Words, chosen: Mapping[str, str]) -> str:
    return ", ".join(choice_text(choice, words) for choice in choices if choice[0] not in chosen)
