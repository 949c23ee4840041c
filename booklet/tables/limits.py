"""shared/limits.toml in, whole numbers by name out; what happens at a limit is decided where it is reached."""

from __future__ import annotations

from functools import cache

from booklet.resources import folder
from booklet.tables.reader import TableFault


@cache
def limits() -> dict[str, int]:
    """Every limit by name. The file is TOML of whole numbers only, read here to spare `check` a parser."""
    found: dict[str, int] = {}
    text = (folder("shared") / "limits.toml").read_text("utf-8")
    for line, raw in enumerate(text.splitlines(), 1):
        row = raw.partition("#")[0].strip()
        if not row:
            continue
        name, _, number = row.partition("=")
        try:
            found[name.strip()] = int(number.strip().replace("_", ""))
        except ValueError as fault:
            raise TableFault("limits.toml", line, "a limit is a whole number: name = 123") from fault
    return found
