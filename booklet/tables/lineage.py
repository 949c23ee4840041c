"""A language and the one it is a variant of: a tag in, its tables out, the base's rows behind its own; no word has a meaning here.

`base` in a language's settings.tsv names another language. What the variant does not say, the base says: Latin American Spanish is a
handful of rows before those of Spanish.
"""

from __future__ import annotations

from functools import cache

from booklet.resources import folder
from booklet.tables.reader import Row, TableFault, pairs, rows

DEEPEST = 4  # a variant of a variant; more is a slip


@cache
def lineage(tag: str) -> tuple[str, ...]:
    """The tag and its bases, the nearest first; a tag without a folder alone. TableFault for a base without one, or that leads back."""
    found = [tag]
    while base := _base(found[-1]):
        if base in found or len(found) == DEEPEST or _base(base) is None:
            raise TableFault(settings(found[-1]), 1, f"the base {base!r} is no language that can be a base of this one")
        found.append(base)
    return tuple(found)


def settings(tag: str) -> str:
    """The file below shared/ that makes a folder a language."""
    return f"languages/{tag}/settings.tsv"


def _base(tag: str) -> str | None:
    """What a language names as its base, "" for none; None where there is no such language."""
    try:
        return pairs(settings(tag)).get("base", "")
    except (FileNotFoundError, NotADirectoryError):
        return None


@cache
def holder(tag: str, name: str) -> str:
    """The nearest language of the line that has the table; "" where none has it."""
    root = folder("shared") / "languages"
    return next((one for one in lineage(tag) if (root / one / name).is_file()), "")


def pairs_of(tag: str, name: str) -> dict[str, str]:
    """A two-column table, the base's keys replaced by the variant's. FileNotFoundError where no language of the line has it."""
    found: dict[str, str] = {}
    for one in reversed(_holders(tag, name)):
        found |= pairs(f"languages/{one}/{name}")
    found.pop("base", None)  # said of the variant alone
    return found


def rows_of(tag: str, name: str) -> list[Row]:
    """A table's rows, the variant's first: readers of these tables let the first of two rows win."""
    return [row for one in _holders(tag, name) for row in rows(f"languages/{one}/{name}")]


def waiting_of(tag: str, name: str) -> dict[str, str]:
    """The rows of a two-column table behind `#: `: forms that are printed, though they are not yet read back."""
    found: dict[str, str] = {}
    for one in reversed(_holders(tag, name)):
        for raw in (folder("shared") / "languages" / one / name).read_text("utf-8").split("\n"):
            key, tab, text = raw.removeprefix("#: ").partition("\t")
            if raw.startswith("#: ") and tab:
                found[key] = text.strip(" \t\r")
    return found


def _holders(tag: str, name: str) -> tuple[str, ...]:
    root = folder("shared") / "languages"
    found = tuple(one for one in lineage(tag) if (root / one / name).is_file())
    if not found:
        raise FileNotFoundError(f"languages/{tag}/{name}")
    return found
