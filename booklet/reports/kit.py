"""The answer of a kit in, tables for people, rows for CSV and values for `--json` out; nothing is computed here."""

from __future__ import annotations

from decimal import Decimal

from booklet.kits.kit import Answer, Content, OrderLine
from booklet.reports.cells import harmless
from booklet.reports.figures import columns

_PERILOUS = ("=", "+", "-", "@", "\t", "\r", "\n")


def number(value: Decimal | None) -> str:
    """A decimal without needless zeros; "" for None."""
    if value is None:
        return ""
    return f"{value.normalize():f}"


def _amount(value: Decimal, unit: str) -> str:
    return number(value) if unit == "pc" else f"{number(value)} {unit}"


def kit_table(answer: Answer) -> str:
    """Order, winding sheet, packing checklist."""
    priced = answer.cost is not None
    lines = [f"{answer.title}: {answer.kits} kits", "", "To order"]
    head = ("item", "in kits", "with waste", "metres", "in stock", "pack", "order", "supplier", "article")
    lines += columns((*head, "price", "cost") if priced else head, (_order(line, priced) for line in answer.order), frozenset((0, 7, 8)))
    if priced:
        missing = f", without {', '.join(answer.unpriced)}: no price" if answer.unpriced else ""
        lines.append(f"cost: {answer.cost:.2f} {answer.currency}".rstrip() + missing)
    for one in answer.packed:
        held = [content for content in answer.contents if content.colourway == one.colourway]
        lines += ["", f"Wind and pack: {one.colourway + ', ' if one.colourway else ''}{one.kits} kits"]
        lines += columns(("", "item", "each", "cut at", "from", "for kits"), (_content(content) for content in held), frozenset((0, 1)))
        missing = f", and {', '.join(one.unweighed)}: weight not told" if one.unweighed else ""
        lines.append(f"one kit weighs {number(one.weight_g)} g ± {number(one.tolerance_g)} g{missing}")
        if one.unnoticed:
            lines.append(f"count, for the scale does not miss them: {', '.join(one.unnoticed)}")
    return "\n".join(harmless(line) for line in lines) + "\n"


def _order(line: OrderLine, priced: bool) -> tuple[str, ...]:
    pack = "" if line.unit == "pc" and line.pack == 1 else _amount(line.pack, line.unit)
    packs = f"{line.packs} x {line.pack_word}" if line.pack_word and line.packs else str(line.packs)
    if line.unit != "pc" and not line.pack_word and line.pack == 1:
        packs = _amount(Decimal(line.packs), line.unit)
    cells = (
        line.item, _amount(line.packed, line.unit), _amount(line.need, line.unit), number(line.metres),
        _amount(line.stock, line.unit) if line.stock else "", pack, packs, line.supplier, line.article,
    )  # fmt: skip
    return (*cells, "" if line.price is None else f"{line.price:.2f}", "" if line.cost is None else f"{line.cost:.2f}") if priced else cells


def _content(one: Content) -> tuple[str, ...]:
    name = f"{one.code} {one.item}" if one.code else one.item
    basis = "" if one.basis == "told" else one.basis
    return ("[ ]", name, _amount(one.each, one.unit), "" if one.metres is None else f"{number(one.metres)} m", basis, str(one.kits))


def harmless_cell(text: str) -> str:
    """A text that no spreadsheet takes for a formula: what begins like one gets an apostrophe before it."""
    return f"'{text}" if text.startswith(_PERILOUS) else text


def order_rows(answer: Answer) -> list[list[str]]:
    """The order as rows of a CSV file, the first one names the columns."""
    head = ["no", "kind", "item", "supplier", "article", "unit", "in_kits", "waste_percent", "needed", "metres"]
    head += ["in_stock", "short", "pack", "pack_word", "minimum_packs", "order_packs", "price", "cost", "currency"]
    rows = [head]
    for line in answer.order:
        texts = [str(line.number), line.kind, line.item, line.supplier, line.article, line.unit]
        amounts = [line.packed, line.waste, line.need, line.metres, line.stock, line.short, line.pack]
        ends = [line.pack_word, str(line.minimum), str(line.packs), number(line.price), number(line.cost), answer.currency]
        rows.append([harmless_cell(cell) for cell in (*texts, *map(number, amounts), *ends)])
    return rows


def content_rows(answer: Answer) -> list[list[str]]:
    """Winding sheet and packing list as rows of a CSV file."""
    rows = [["colourway", "kits", "kind", "code", "item", "needed", "spare_percent", "each", "unit", "cut_m", "from", "all"]]
    for one in answer.contents:
        start = [one.colourway, str(one.kits), one.kind, one.code, one.item, number(one.net), number(one.spare), number(one.each)]
        rows.append([harmless_cell(cell) for cell in (*start, one.unit, number(one.metres), one.basis, number(one.total))])
    return rows


def kit_json(answer: Answer) -> dict[str, object]:
    """The object of `booklet kit --json`. Decimals are texts, so that no cent is lost."""
    return {
        "title": answer.title,
        "kits": answer.kits,
        "currency": answer.currency or None,
        "contents": [_object(one) for one in answer.contents],
        "order": [_object(line) for line in answer.order],
        "packed": [_object(one) for one in answer.packed],
        "cost": None if answer.cost is None else f"{answer.cost:.2f}",
        "unpriced": list(answer.unpriced),
    }


def _object(one: tuple[object, ...]) -> dict[str, object]:
    fields = one._asdict()  # type: ignore[attr-defined]
    return {key: number(value) if isinstance(value, Decimal) else value for key, value in fields.items()}
