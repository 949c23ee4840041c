"""The tables of shared/sizes in, typed rows out: yarn categories, hooks, words of a size; no pattern is known here."""

from __future__ import annotations

from functools import cache
from typing import NamedTuple

from booklet.tables.reader import Row, TableFault, forms, rows


class Weight(NamedTuple):
    """A yarn category."""

    number: int  # 0-7
    name: str  # "light"
    gauge: tuple[int, int] | None  # single crochets in 4 in, least and most; None: not to be checked
    hook_mm: tuple[float, float | None]  # of garment fabric
    toy_hook_mm: float  # of dense fabric
    names: tuple[str, ...]  # other names that are read: "dk"


class Hook(NamedTuple):
    """A hook size with its US names."""

    mm: float
    us: str  # the usual one, "" where there is none
    names: tuple[str, ...]  # all, the usual one first


@cache
def weights() -> dict[int, Weight]:
    """The categories by number."""
    return {found.number: found for found in map(_weight, rows("sizes/weights.tsv"))}


@cache
def hooks() -> tuple[Hook, ...]:
    """The hooks, small to large."""
    return tuple(map(_hook, rows("sizes/hooks.tsv")))


@cache
def dimension_words(tag: str) -> dict[str, str]:
    """Word -> "height", "width" or "length", for a language tag and its parents ("en-US" reads "en" too)."""
    known = {tag, tag.split("-")[0], ""}
    return {
        form: row.cells["dimension"]
        for row in rows("sizes/dimensions.tsv")
        if row.cells["language"] in known
        for form in forms(row.cells["words"])
    }


@cache
def gauge_words(tag: str) -> dict[str, str]:
    """Word -> "disc", "square" or "tube": what a gauge was measured on, for a language tag and its parents."""
    known = {tag, tag.split("-")[0], ""}
    return {
        form: row.cells["form"]
        for row in rows("sizes/gauges.tsv")
        if row.cells["language"] in known
        for form in forms(row.cells["words"])
    }


@cache
def tools() -> tuple[tuple[str, str, str], ...]:
    """(sentence id, kind of notion, severity) of what sentences need."""
    return tuple((row.cells["sentence"], row.cells["kind"], row.cells["asks"]) for row in rows("sizes/tools.tsv"))


def _weight(row: Row) -> Weight:
    cell = row.cells
    try:
        gauge = (int(cell["gauge_low"]), int(cell["gauge_high"])) if cell["gauge_high"] else None
        high = float(cell["hook_high"]) if cell["hook_high"] else None
        band = (float(cell["hook_low"]), high)
        return Weight(int(cell["weight"]), cell["name"], gauge, band, float(cell["toy_hook"]), forms(cell["names"]))
    except (ValueError, KeyError) as fault:
        raise TableFault(row.file, row.line, f"cannot be read as a yarn category ({fault})") from fault


def _hook(row: Row) -> Hook:
    cell = row.cells
    try:
        names = tuple(name for name in (cell["us"], *forms(cell["also"])) if name)
        return Hook(float(cell["mm"]), cell["us"], names)
    except (ValueError, KeyError) as fault:
        raise TableFault(row.file, row.line, f"cannot be read as a hook ({fault})") from fault
