"""The answer of a kit in, the bytes of a spreadsheet out, with formulas that a shop can change; nothing is ordered here.

The only door to the writer of spreadsheets beside the translators' one. Every text is written as a text: what looks like a formula
or a link stays what it is.
"""

from __future__ import annotations

import datetime
import io
from decimal import Decimal
from typing import Any

from booklet.dated import told
from booklet.kits.kit import Answer, Content, OrderLine

_FIRST = datetime.datetime(1980, 1, 1, tzinfo=datetime.UTC)  # the earliest day of a zip file: same kit, same bytes


def workbook(answer: Answer) -> bytes:
    """Three sheets: Kits (how many of each colourway), Packing (what is in them), Order. Yellow cells are there to be changed."""
    import xlsxwriter

    stream = io.BytesIO()
    options = {"in_memory": True, "strings_to_formulas": False, "strings_to_urls": False, "strings_to_numbers": False}
    book = xlsxwriter.Workbook(stream, options)
    book.set_properties({"title": answer.title, "created": _date()})
    looks = {
        "head": book.add_format({"bold": True, "bottom": 1, "text_wrap": True, "valign": "top"}),
        "given": book.add_format({"bg_color": "#FFF6CC"}),
        "money": book.add_format({"num_format": "0.00"}),
        "given_money": book.add_format({"bg_color": "#FFF6CC", "num_format": "0.00"}),
        "sum": book.add_format({"bold": True, "top": 1, "num_format": "0.00"}),
    }
    kits = _kits(book, answer, looks)
    last = _packing(book, answer, looks, kits)
    _order(book, answer, looks, last)
    book.close()
    return stream.getvalue()


def _sheet(book: Any, name: str, head: list[str], widths: list[int], looks: dict[str, Any]) -> Any:  # noqa: ANN401 - the writer's sheet
    sheet = book.add_worksheet(name)
    for at, (title, width) in enumerate(zip(head, widths, strict=True)):
        sheet.set_column(at, at, width)
        sheet.write_string(0, at, title, looks["head"])
    sheet.freeze_panes(1, 0)
    sheet.set_landscape()
    sheet.fit_to_pages(1, 0)
    sheet.repeat_rows(0)
    return sheet


def _kits(book: Any, answer: Answer, looks: dict[str, Any]) -> dict[str, str]:  # noqa: ANN401
    """The first sheet; the cell of each colourway's number, by name."""
    sheet = _sheet(book, "Kits", ["Colourway", "Kits"], [30, 10], looks)
    cells = {}
    for row, one in enumerate(answer.packed, 1):
        sheet.write_string(row, 0, one.colourway or answer.title)
        sheet.write_number(row, 1, one.kits, looks["given"])
        cells[one.colourway] = f"Kits!$B${row + 1}"
    return cells


def _packing(book: Any, answer: Answer, looks: dict[str, Any], kits: dict[str, str]) -> int:  # noqa: ANN401
    """One row for each thing in a kit of each colourway; the number of the last row."""
    head = ["Order no", "Colourway", "Kits", "Code", "Item", "Needed", "Spare %", "Rounded up to", "In one kit", "Unit"]
    head += ["In all kits", "Balls, no knot"]
    sheet = _sheet(book, "Packing", head, [9, 18, 8, 7, 30, 10, 9, 10, 10, 6, 12, 9], looks)
    lines = {(line.item.casefold(), line.unit): line for line in answer.order}
    whole = {one.colourway: one.kits for one in answer.packed}
    for row, one in enumerate(answer.contents, 1):
        at = row + 1
        sheet.write_number(row, 0, lines[one.item.casefold(), one.unit].number)
        sheet.write_string(row, 1, one.colourway)
        if one.kits == whole[one.colourway]:
            sheet.write_formula(row, 2, f"={kits[one.colourway]}", None, one.kits)
        else:  # a card that is for some kits only
            sheet.write_number(row, 2, one.kits, looks["given"])
        sheet.write_string(row, 3, one.code)
        sheet.write_string(row, 4, one.item)
        for column, value in ((5, one.net), (6, one.spare), (7, one.step)):
            sheet.write_number(row, column, float(value), looks["given"])
        # Rounded to a millionth first: 15 * 1.2 in binary is a little more than 18.
        each = f"=ROUNDUP(ROUND(F{at}*(1+G{at}/100)/H{at},6),0)*H{at}"
        sheet.write_formula(row, 8, each, None, float(one.each))
        sheet.write_string(row, 9, one.unit)
        sheet.write_formula(row, 10, f"=I{at}*C{at}", None, float(one.total))
        line = lines[one.item.casefold(), one.unit]
        if line.balls:
            pack = f"Order!$K${line.number + 1}"
            rest = f"ROUND(I{at}-INT(I{at}/{pack})*{pack},6)"
            # As in kits/order.py; the comparisons spare an IF that would divide by a rest of 0.
            packs = f"=C{at}*(INT(I{at}/{pack})+({rest}>0)/INT(ROUND({pack}/({rest}+({rest}=0)*{pack}),6)))"
            sheet.write_formula(row, 11, packs, None, _balls(one, line))
    return len(answer.contents) + 1


def _balls(one: Content, line: OrderLine) -> float:
    """The share of one row in the balls of its item; programs that open the file compute it again."""
    whole, rest = divmod(one.each, line.pack)
    return float(one.kits * whole) + (one.kits / float(line.pack // rest) if rest else 0.0)


def _order(book: Any, answer: Answer, looks: dict[str, Any], last: int) -> None:  # noqa: ANN401
    head = ["No", "Item", "Supplier", "Article", "Unit", "In all kits", "Waste %", "Needed", "In stock", "Short"]
    head += ["Pack", "Pack is a", "Least packs", "Order packs", "Price of a pack", f"Cost {answer.currency}".rstrip()]
    sheet = _sheet(book, "Order", head, [5, 30, 24, 14, 6, 11, 9, 11, 11, 11, 9, 11, 9, 9, 10, 12], looks)
    for row, line in enumerate(answer.order, 1):
        at = row + 1
        sheet.write_number(row, 0, line.number)
        for column, text in ((1, line.item), (2, line.supplier), (3, line.article), (4, line.unit), (11, line.pack_word)):
            sheet.write_string(row, column, text)
        for column, value in ((6, line.waste), (8, line.stock), (10, line.pack), (12, Decimal(line.minimum))):
            sheet.write_number(row, column, float(value), looks["given"])
        need = f"ROUNDUP(ROUND(F{at}*(1+G{at}/100),6),3)"
        if line.balls:
            need = f"MAX({need},ROUNDUP(ROUND(SUMIF(Packing!$A$2:$A${last},A{at},Packing!$L$2:$L${last}),6),0)*K{at})"
        formulas = (
            (5, f"=SUMIF(Packing!$A$2:$A${last},A{at},Packing!$K$2:$K${last})", line.packed),
            (7, f"={need}", line.need),
            (9, f"=MAX(0,H{at}-I{at})", line.short),
            (13, f"=IF(J{at}=0,0,MAX(M{at},ROUNDUP(ROUND(J{at}/K{at},6),0)))", Decimal(line.packs)),
        )
        for column, formula, value in formulas:
            sheet.write_formula(row, column, formula, None, float(value))
        if line.price is None:
            sheet.write_blank(row, 14, None, looks["given_money"])
        else:
            sheet.write_number(row, 14, float(line.price), looks["given_money"])
        sheet.write_formula(row, 15, f"=ROUND(N{at}*O{at},2)", looks["money"], float(line.cost or 0))
    end = len(answer.order) + 1
    sheet.write_formula(end, 15, f"=SUM(P2:P{end})", looks["sum"], float(answer.cost or 0))


def _date() -> datetime.datetime:
    return (told() or _FIRST).replace(tzinfo=None)
