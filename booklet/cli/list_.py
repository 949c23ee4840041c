"""`booklet list`: a kind of thing in, what there is of it out."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import click

Rows = list[dict[str, Any]]
KINDS = ("layouts", "languages", "stitches", "codes", "fonts")


@click.command("list")
@click.argument("kind", metavar="|".join(KINDS))
@click.option("--json", "as_json", is_flag=True, help="Print the list as objects, for programs.")
def list_(kind: str, as_json: bool) -> None:
    """Print the layouts, languages, stitches, codes or fonts that are there."""
    from booklet.cli.close import nearest
    from booklet.cli.files import Refused
    from booklet.cli.terminal import json_on_stdout, on_stdout

    makers: dict[str, Callable[[], Rows]] = dict(zip(KINDS, (_layouts, _languages, _stitches, _codes, _fonts), strict=True))
    if kind not in makers:
        raise Refused(f"There is no list of {kind!r}.{nearest(kind, KINDS)}")
    rows = makers[kind]()
    if as_json:
        json_on_stdout(rows)
    else:
        on_stdout(_table(rows))


def _table(rows: Rows) -> str:
    """Columns of equal width, without a heading: the first is the name."""
    if not rows:
        return ""
    shown = [key for key, value in rows[0].items() if isinstance(value, str)]  # longer lists are for programs
    widths = {key: max(len(row[key]) for row in rows) for key in shown}
    return "".join("  ".join(row[key].ljust(widths[key]) for key in shown).rstrip() + "\n" for row in rows)


def _layouts() -> Rows:
    from booklet.editions.discover import layout, layouts

    found = [layout(name) for name in layouts()]
    return [{"name": one.name, "paper": f"{one.width_mm:g} x {one.height_mm:g} mm", "formats": " ".join(one.forms)} for one in found]


def _languages() -> Rows:
    """What each is for; a draft names, for programs, the tables whose rows need to be read by a native speaker."""
    from booklet.tables.language import from_memory, lacking, tags
    from booklet.tables.lineage import pairs_of

    found = [(tag, pairs_of(tag, "settings.tsv")) for tag in tags()]
    return [
        {
            "tag": tag,
            "status": settings["status"],
            "use": "read" if lacking(tag) else "read and printed",
            "name": settings["name"],
            "lacking": list(lacking(tag)),
            "to_check": [{"file": file, "rows": rows} for file, rows in from_memory(tag)] if settings["status"] == "draft" else [],
        }
        for tag, settings in found
    ]


def _stitches() -> Rows:
    from booklet.tables.stitches import stitches

    found = stitches().values()
    return [{"id": one.id, "uses": str(one.uses), "leaves": str(one.leaves), "family": one.family} for one in found]


def _codes() -> Rows:
    """What is found in a pattern, and what preflight objects to in a PDF for the press."""
    from booklet.diagnostics.codes import codes, page
    from booklet.press.rules import rules

    found = [{"code": code, "severity": page(code).severity, "message": page(code).message} for code in codes()]
    found += [{"code": code, "severity": rule.severity["press"], "message": rule.message} for code, rule in rules().items()]
    return sorted(found, key=lambda row: row["code"])


def _fonts() -> Rows:
    from booklet.resources import folder

    lines = (folder("fonts") / "faces.tsv").read_text("utf-8").split("\n")
    cells = [line.split("\t") for line in lines if line.strip() and not line.startswith("#")]
    rows = [dict(zip(cells[0], row, strict=False)) for row in cells[1:]]
    return [{key: row.get(key, "") for key in ("family", "weight", "style", "file")} for row in rows]
