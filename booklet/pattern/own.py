"""The section `Special stitches` in, the stitches that it defines out; how they count is read from their words by notation."""

from __future__ import annotations

import re

from booklet.diagnostics.span import Span
from booklet.pattern.stretch import Stretch
from booklet.source.tree import Block

_DEFINED = re.compile(r"(?P<name>[^():=]{1,60}?)\s*\(\s*(?P<abbr>[^()]{1,30}?)\s*\)\s*[:=–—-]\s*(?=\S)")
_SHORT = re.compile(r"(?P<abbr>[^():=\s][^():=]{0,30}?)\s*[:=]\s*(?=\S)")


def own_stitches(blocks: tuple[tuple[int, Block], ...]) -> list[tuple[str, str, str, Span]]:
    """`curl (cu): ch 6, 2 sc in each ch. Counts as 1 st.` gives name, abbreviation, definition, place; one a line or item."""
    found = []
    for _, block in blocks:
        if block.kind not in ("paragraph", "item"):
            continue
        groups: list[list] = []
        for piece in block.pieces:
            if not groups or _DEFINED.match(_plain(piece.text)) or _SHORT.match(_plain(piece.text)):
                groups.append([])
            groups[-1].append(piece)
        for group in groups:
            stretch = Stretch(tuple(group))
            text = _plain(stretch.text)
            named = _DEFINED.match(text) or _SHORT.match(text)
            if named:
                name = named.groupdict().get("name") or named["abbr"]
                span = stretch.span(0, len(stretch.text))
                found.append((name.strip(), named["abbr"].strip(), text[named.end() :].strip(), span))
    return found


def _plain(text: str) -> str:
    return text.replace("**", "").replace("__", "")
