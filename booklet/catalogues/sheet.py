"""A Catalogue in, a table for a spreadsheet out, and back in; the door to XlsxWriter and openpyxl. No number is computed here."""

from __future__ import annotations

import io

from booklet.catalogues.message import Catalogue, CatalogueFault, Entry, clean

COLUMNS = ("Source", "Translation", "Context", "State", "Notes")
CHECK = "check"  # in the column State: made for other words
MOST_BYTES = 60_000_000  # unpacked, of all files in it together
MOST_RATIO = 200  # packed to unpacked: text of a translation is never as dull as that. A guess.
MOST_FILES = 200
MOST_ROWS = 50_000
CELL = 32_767  # characters that a cell can hold


def write(catalogue: Catalogue, moment: str) -> bytes:
    """One row a message. Only the columns that a translator fills are open; there is no password."""
    from datetime import datetime

    import xlsxwriter

    out = io.BytesIO()
    as_text = {"strings_to_formulas": False, "strings_to_urls": False, "strings_to_numbers": False}
    book = xlsxwriter.Workbook(out, {"in_memory": True, **as_text})
    book.set_properties({"created": datetime.strptime(moment[:16], "%Y-%m-%d %H:%M")})
    page = book.add_worksheet("Translation")
    head = book.add_format({"bold": True, "bottom": 1, "locked": True})
    fixed = book.add_format({"text_wrap": True, "valign": "top", "locked": True, "num_format": "@"})
    free = book.add_format({"text_wrap": True, "valign": "top", "locked": False, "num_format": "@"})
    for column, (name, width) in enumerate(zip(COLUMNS, (60, 60, 30, 10, 40), strict=True)):
        page.set_column(column, column, width)
        page.write_string(0, column, name, head)
    kept = [entry for entry in catalogue.entries if not entry.obsolete and len(entry.source) <= CELL]
    for row, entry in enumerate(kept, 1):
        state = CHECK if entry.fuzzy else ""
        cells = (entry.source, entry.target[:CELL], entry.context, state, "\n".join((*entry.notes, *entry.comments))[:CELL])
        for column, text in enumerate(cells):
            page.write_string(row, column, text, free if column in (1, 3) else fixed)
    page.freeze_panes(1, 0)
    page.protect("", {"format_cells": True, "format_columns": True, "format_rows": True, "sort": True, "autofilter": True})
    book.close()
    return out.getvalue()


def read(data: bytes) -> Catalogue:
    """Read a table, its columns in any order, found by their names. Raises CatalogueFault."""
    import zipfile

    import openpyxl

    _weigh(data)
    try:
        book = openpyxl.load_workbook(io.BytesIO(data), read_only=True, data_only=True)
        page = book.worksheets[0]
        found = page.iter_rows(max_row=MOST_ROWS, max_col=20, values_only=True)
        rows = [["" if cell is None else clean(str(cell)) for cell in row] for row in found]
    except (zipfile.BadZipFile, KeyError, ValueError, IndexError, OSError, TypeError, AttributeError, SyntaxError) as fault:
        raise CatalogueFault("it is not a table that can be read; save it as XLSX") from fault
    names = [cell.strip().casefold() for cell in rows[0]] if rows else []
    if "source" not in names or "translation" not in names:
        raise CatalogueFault("its first row has no columns Source and Translation")
    place = {name: names.index(name.casefold()) if name.casefold() in names else -1 for name in COLUMNS}
    entries = []
    for line, row in enumerate(rows[1:], 2):
        source, target, context, state = (row[place[name]] if 0 <= place[name] < len(row) else "" for name in COLUMNS[:4])
        if source.strip():
            entries.append(Entry(context, source, target, state.strip().casefold() == CHECK and bool(target.strip()), line=line))
    return Catalogue(tuple(entries))


def _weigh(data: bytes) -> None:
    """Refuse what unpacks to too much, and any XML with a document type, before a reader sees it."""
    import zipfile

    from booklet.catalogues.xml import parse

    try:
        packed = zipfile.ZipFile(io.BytesIO(data))
        files = packed.infolist()
        total = sum(one.file_size for one in files)
        if len(files) > MOST_FILES or total > MOST_BYTES or any(one.file_size > MOST_RATIO * max(one.compress_size, 1000) for one in files):
            raise CatalogueFault("it unpacks to far too much for a translation")
        left = MOST_BYTES
        for one in files:
            # What a file says of its own size may be a lie: no more than is left is read.
            with packed.open(one) as stream:
                text = stream.read(left + 1)
            left -= len(text)
            if left < 0:
                raise CatalogueFault("it unpacks to far too much for a translation")
            if one.filename.endswith((".xml", ".rels")):
                parse(text)
    except (zipfile.BadZipFile, NotImplementedError, RuntimeError, OSError, EOFError, ValueError) as fault:
        raise CatalogueFault("it is not a table that can be read; save it as XLSX") from fault
    except Exception as fault:
        if type(fault).__name__ == "error":  # zlib has no public name for what it raises
            raise CatalogueFault("it is not a table that can be read; save it as XLSX") from fault
        raise
