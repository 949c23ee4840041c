"""Comes in: what the labels of bags say, and a sheet by its measures. Goes out: a PDF of them; the words are chosen elsewhere.

Codes keep their size and quiet zones, a prescribed statement the letter heights of its panel. Everything else gives way: the
type of the plain words shrinks from 9 to 6 pt; what does not fit then is refused, never cut off.
"""

from __future__ import annotations

from html import escape

from booklet.kits.kit import Label
from booklet.outputs.codes_bars import Code, bars, squares
from booklet.outputs.pdf_heights import statement_sizes
from booklet.tables.kits import Sheet

SIZES_PT = (9, 8.5, 8, 7.5, 7, 6.5, 6)
EDGE_MM = 3.5  # from the edge of a label to its words: sheets and feeds are off by a millimetre or two
MOST = 5_000  # labels in one file


class DoesNotFit(ValueError):
    """The words and codes of a label need more room than it has."""


def labels(found: tuple[Label, ...], sheet: Sheet, title: str) -> bytes:
    """One label for every kit, sheet by sheet. Raises DoesNotFit, and ValueError for a wrong code or too many labels."""
    from booklet.outputs.pdf import write_pdf

    if sum(one.count for one in found) > MOST:
        raise ValueError(f"more than {MOST} labels in one file: make fewer kits at a time")
    files: dict[str, bytes] = {}
    bodies = []
    for one in found:
        made = bars(one.code) if one.code else None
        link = squares(one.link) if one.link else None
        for name, code in (("bars.svg", made), ("link.svg", link)):
            if code is not None:
                files[name] = code.svg
        bodies.append(_fitting(one, sheet, made, link, files))
    every = [body for one, body in zip(found, bodies, strict=True) for _ in range(one.count)]
    full = sheet.columns * sheet.rows
    pages = "".join(_page(every[at : at + full], sheet) for at in range(0, len(every), full))
    style = f"@page {{ size: {sheet.paper[0]}mm {sheet.paper[1]}mm; margin: 0 }} {_STYLE}"
    return write_pdf(_html(found[0].language, title, style, pages), files).data


_STYLE = """html { font-family: "Alegreya Sans"; font-variant-numeric: lining-nums } body { margin: 0 } p, h1 { margin: 0 }
.page { position: relative; break-after: page } .page:last-child { break-after: auto }
.label { position: absolute; overflow: hidden } h1 { font-size: 1.25em; line-height: 1.1; margin-bottom: .25em }
p { line-height: 1.2; margin-bottom: .3em } .codes { margin-top: 2mm } .codes > div { display: inline-block; vertical-align: top;
margin-right: 2mm } .codes img { display: block } .number { font-size: 8pt; text-align: center; margin: 0; line-height: 1 }
.warning { font-weight: 700 }"""


def _html(language: str, title: str, style: str, body: str) -> str:
    return (
        f'<!DOCTYPE html><html lang="{escape(language)}"><head><meta charset="utf-8"><title>{escape(title)}</title>'
        f"<style>{style}</style></head><body>{body}</body></html>"
    )


def _fitting(one: Label, sheet: Sheet, made: Code | None, link: Code | None, files: dict[str, bytes]) -> str:
    """The label in the largest type in which it stays on one page of its own size."""
    from booklet.outputs.pdf import render

    width, height = sheet.label
    for size in SIZES_PT:
        body = _label(one, size, statement_sizes(width, height), made, link)
        room = f"@page {{ size: {width}mm {height}mm; margin: {EDGE_MM}mm }} {_STYLE}"
        wide = sum(code.width_mm + 2 for code in (made, link) if code is not None)
        if wide <= width - 2 * EDGE_MM + 2 and render(_html(one.language, "label", room, body), files).page_count == 1:
            return body
    raise DoesNotFit(f"{one.title}: its words and codes do not fit a label of {width:g} x {height:g} mm; take larger labels")


def _label(one: Label, size: float, heights: tuple[float, float, float, float], made: Code | None, link: Code | None) -> str:
    rows = [f"<h1>{escape(one.title)}</h1>"]
    rows += [f"<p>{escape(line)}</p>" for line in one.lines[:1] if line]
    for language, parts in one.warnings:
        if len(parts) > 1:  # the parts of a statement whose letter heights are prescribed
            points = (heights[0], heights[1], heights[2], heights[2])
            inner = "".join(f'<span style="font-size:{pt}pt">{escape(part)}</span>' for part, pt in zip(parts, points, strict=False))
        else:
            inner = escape("".join(parts))
        rows.append(f'<p class="warning" lang="{escape(language)}">{inner}</p>')
    rows += [f"<p>{escape(line)}</p>" for line in one.lines[1:] if line]
    codes = ""
    if made is not None:
        image = f'<img src="bars.svg" alt="{made.text}" style="width:{made.width_mm:.3f}mm;height:{made.height_mm:.3f}mm">'
        codes += f'<div>{image}<p class="number">{made.text}</p></div>'
    if link is not None:
        size_mm = f"width:{link.width_mm:.3f}mm;height:{link.height_mm:.3f}mm"
        codes += f'<div><img src="link.svg" alt="{escape(link.text)}" style="{size_mm}"></div>'
    return f'<div style="font-size:{size}pt">{"".join(rows)}{f"<div class=codes>{codes}</div>" if codes else ""}</div>'


def _page(bodies: list[str], sheet: Sheet) -> str:
    cells = []
    for at, body in enumerate(bodies):
        row, column = divmod(at, sheet.columns)
        left = sheet.margin[0] + column * sheet.pitch[0] + EDGE_MM
        top = sheet.margin[1] + row * sheet.pitch[1] + EDGE_MM
        box = f"left:{left:g}mm;top:{top:g}mm;width:{sheet.label[0] - 2 * EDGE_MM:g}mm;height:{sheet.label[1] - 2 * EDGE_MM:g}mm"
        cells.append(f'<div class="label" style="{box}">{body}</div>')
    return f'<div class="page" style="height:{sheet.paper[1] - 0.01:g}mm">{"".join(cells)}</div>'
