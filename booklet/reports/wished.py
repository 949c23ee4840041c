"""The rounds of a wished form in, one line for people or values for `--json` out; nothing is computed here."""

from __future__ import annotations

from typing import Protocol


class Made(Protocol):
    """What pipeline.wished gives."""

    kind: str
    wished_mm: tuple[float, float]
    found_mm: tuple[float, float]
    totals: tuple[int, ...]
    lines: tuple[str, ...]
    text: str
    estimated: bool


def made_json(made: Made) -> dict[str, object]:
    """One object: the wish, what its rounds give by `booklet figures`, totals, and lines ready to paste."""
    second = "length" if made.kind == "oval" else "height"
    return {
        "kind": made.kind,
        "wished_mm": {"width": made.wished_mm[0], second: made.wished_mm[1] or None},
        "found_mm": {"width": round(made.found_mm[0], 1), second: round(made.found_mm[1], 1) or None},
        "gauge_from": "hook" if made.estimated else "gauge",
        "totals": list(made.totals),
        "lines": list(made.lines),
        "text": made.text,
    }


def made_words(made: Made) -> str:
    """What these rounds come to, measured by the figures of the very lines that were written."""
    sizes = " x ".join(f"{size / 10:.1f}" for size in made.found_mm if size)
    wished = " x ".join(f"{size / 10:.1f}" for size in made.wished_mm if size)
    note = "; the gauge is estimated from the hook, ± 20 %" if made.estimated else ""
    stitches = f"{sum(made.totals)} stitches in {len(made.totals)} rounds"
    return f"{stitches}: about {sizes} cm, wished {wished} cm{note}\n"
