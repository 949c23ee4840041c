"""Words of a page and texts in, the texts in one row as the language joins them out: `a, b, c` by its pattern `pair.comma`."""

from __future__ import annotations

from collections.abc import Iterable, Mapping


def joined(page: Mapping[str, str], kind: str, texts: Iterable[str]) -> str:
    """Empty texts are left out. KeyError for a kind that the language has no pattern for."""
    row = ""
    for text in filter(None, texts):
        row = page[f"pair.{kind}"].replace("{a}", row).replace("{b}", text) if row else text
    return row
