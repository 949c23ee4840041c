"""Rows of a table in shared/: a file in, rows with their line numbers out; meaning is given by the other files of this room."""

from __future__ import annotations

from typing import NamedTuple

from booklet.resources import folder


class Row(NamedTuple):
    """One row: its file below shared/, its line (from 1) and its cells by column name."""

    file: str
    line: int
    cells: dict[str, str]


class TableFault(Exception):
    """A row of a table that cannot be used; reported like a wrong pattern, with file and line."""

    def __init__(self, file: str, line: int, what: str) -> None:
        super().__init__(f"shared/{file}:{line}: {what}")
        self.file, self.line, self.what = file, line, what


def rows(file: str) -> list[Row]:
    """Read a TSV of shared/. Lines with `#` first and empty lines are skipped; the first other line names the columns."""
    found: list[Row] = []
    columns: list[str] = []
    text = (folder("shared") / file).read_text("utf-8")
    for line, raw in enumerate(text.split("\n"), 1):
        if not raw or raw[0] == "#" or raw.isspace():
            continue
        cells = [cell.strip() for cell in raw.split("\t")]
        if not columns:
            columns = cells
            continue
        short = len(columns) - len(cells)
        if short < 0:
            raise TableFault(file, line, f"{len(cells)} cells, but only {len(columns)} columns are named")
        found.append(Row(file, line, dict(zip(columns, cells + [""] * short, strict=True))))
    return found


def pairs(file: str) -> dict[str, str]:
    """A two-column table without a heading row: key, then everything after the first tab."""
    found: dict[str, str] = {}
    text = (folder("shared") / file).read_text("utf-8")
    for line, raw in enumerate(text.split("\n"), 1):
        if not raw.strip() or raw.startswith("#"):
            continue
        key, tab, value = raw.rstrip("\r").partition("\t")
        if not tab:
            raise TableFault(file, line, "no tab between the key and its text")
        if key.strip() in found:
            raise TableFault(file, line, f"the key {key.strip()} stands twice")
        # Spaces that do not break are values: they part the thousands in some languages.
        found[key.strip()] = value if value.startswith(" ") or value.endswith(" ") else value.strip(" \t")
    return found


def forms(cell: str) -> tuple[str, ...]:
    """A cell with several wordings, parted by ` | `."""
    return tuple(form.strip() for form in cell.split("|") if form.strip())
