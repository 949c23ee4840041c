"""A kit, what it holds and the safety assessments in, what the labels of its bags say out; no measure of a sheet is known here."""

from __future__ import annotations

from collections.abc import Sequence

from booklet.editions.edition import Edition
from booklet.figures.figures import Safety
from booklet.kits.kit import Answer, Content, Kit, Label
from booklet.pages.safety import safety
from booklet.pages.wording import Words
from booklet.tables.materials import known
from booklet.tables.safety import note_text


def labels(kit: Kit, answer: Answer, made: Sequence[tuple[Safety, tuple[str, ...]]], words: Words) -> tuple[Label, ...]:
    """One label for each colourway. `made`: assessment and fibres of every pattern in the kit. Prices are never on it."""
    tag = words.language.tag
    edition = Edition(kit.languages or (tag,), "", market=kit.market)
    said = safety([((), one) for one, _ in made], edition, words)
    warnings: dict[tuple[str, ...], str] = {}
    plain: dict[str, None] = {}
    for caution in said.cautions:
        if not caution.prescribed:
            plain[caution.text] = None
            continue
        warnings.setdefault(caution.statement or (caution.text,), caution.language or tag)
        for other in caution.others:
            if other.text:  # one that was not compared with an official text says so
                warnings.setdefault((f"{other.text} ({other.to_check})" if other.to_check else other.text,), other.language)
    fibres = words.join("comma", dict.fromkeys(_usual("fibre", fibre, words) for _, every in made for fibre in every))
    told = tuple((language, parts) for parts, language in warnings.items())
    found = []
    for one in answer.packed:
        held = [content for content in answer.contents if content.colourway == one.colourway and content.kind not in ("card", "item")]
        lines = (
            said.age_text,
            *plain,
            f"{words.text('contents')}: {words.join('comma', (_held(content, words) for content in held))}",
            f"{words.text('yarn')}: {fibres}" if fibres else "",
            f"{note_text('field.batch', tag)}: {kit.batch}" if kit.batch else "",
            words.join("comma", (f"{note_text('field.maker', tag)}: {kit.maker}" if kit.maker else "", kit.address)),
        )
        title = f"{kit.title}, {one.colourway}" if one.colourway else kit.title
        found.append(Label(title, tag, one.kits, lines, told, kit.code, kit.link))
    return tuple(found)


def _held(content: Content, words: Words) -> str:
    """`river brown 31 g`, `safety eyes, 8 mm x 2`: amounts behind the name, which may be in another language."""
    amount = f"{content.each.normalize():f}".replace(".", words.style.decimal)
    name = _usual("yarn colour" if content.kind == "yarn" else "notion", content.item, words)
    if content.unit != "pc":
        return f"{name} {amount} {words.optional(f'unit_{content.unit}', content.unit)}"
    return name if content.each == 1 else f"{name} × {amount}"


def _usual(kind: str, text: str, words: Words) -> str:
    """The edition's usual name of a fibre, a colour or a thing; the pattern's own words where the tables know none.

    Names that the tool gives itself (stuffing) are English.
    """
    tag = words.language.tag
    return known(kind, text, words.source or tag, tag) or known(kind, text, "en-US", tag) or text if words.source else text
