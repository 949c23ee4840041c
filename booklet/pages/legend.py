"""Comes in: the symbols that a drawing uses. Goes out: their words; no symbol is drawn here."""

from __future__ import annotations

from collections.abc import Iterable, Mapping

from booklet.drawings.drawing import Drawing, LegendEntry
from booklet.pages.book import LegendRow
from booklet.pages.wording import Words

# Marks of a loop that are no stitches -> what they are called.
LOOPS = {"front_loop": "loop.front", "back_loop": "loop.back"}


def sample_key(entry: LegendEntry) -> str:
    """The name under which the sample of a legend entry is kept: entries that look alike share one."""
    parts = [entry.symbol, str(entry.feet), str(entry.heads), entry.loop, entry.role]
    return "-".join(text for text in parts if text)


def legend(drawings: Iterable[Drawing], samples: Mapping[str, Drawing], words: Words) -> tuple[LegendRow, ...]:
    """One row for each symbol of the drawings, each once."""
    entries = dict.fromkeys(entry for drawing in drawings for entry in drawing.legend)
    return tuple(_row(entry, samples.get(sample_key(entry)), words) for entry in entries)


def _row(entry: LegendEntry, sample: Drawing | None, words: Words) -> LegendRow:
    name = words.language.names.get(entry.stitch)
    if name is None and entry.stitch in LOOPS:
        return LegendRow(f"symbol-{sample_key(entry)}", sample, "", words.text(LOOPS[entry.stitch]))
    abbr, term = (name.abbr, name.term) if name else ("", entry.stitch.replace("_", " "))
    if entry.role != "stitch":
        abbr, term = "", words.optional(f"legend.{entry.role}", term)
    elif entry.loop:
        term = words.text("legend_loop", term=term, loop=words.text(f"loop.{entry.loop}"))
    if abbr == term:
        abbr = ""
    return LegendRow(f"symbol-{sample_key(entry)}", sample, abbr, term)
