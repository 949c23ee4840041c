"""Comes in: SVG pictures and a finished document. Goes out: what the PDF engine leaves undone of scripts from right to left.

The engine shapes and orders the text of a page (UAX 9), but sets the text of an SVG letter by letter from left to right, and does not
tell viewers that a book opens at its right. Scripts whose letters join (Arabic) would need more than the order of their letters.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from html import escape, unescape
from typing import Any
from unicodedata import bidirectional, mirrored

FROM_RIGHT = ("R", "AL")  # bidirectional classes of letters (Unicode Standard Annex 9)
MIRROR = str.maketrans("()[]{}<>«»", ")(][}{><»«")
# A number, or words of a script from left to right: they keep their order in the midst of others.
KEPT = re.compile(r"\d+(?:[.,:/]\d+)*")


def from_right(text: str) -> bool:
    """Does a text hold letters that are written from right to left?"""
    return not text.isascii() and any(bidirectional(letter) in FROM_RIGHT for letter in text)


def visual(text: str) -> str:
    """A line of a script from right to left in the order in which its letters stand from left to right on paper."""
    runs: list[str] = []
    at = 0
    while at < len(text):
        end = _kept(text, at)
        if end == at:
            end = at + 1
            runs.append(text[at].translate(MIRROR) if mirrored(text[at]) else text[at])
        else:
            runs.append(text[at:end])
        at = end
    return "".join(reversed(runs))


def _kept(text: str, at: int) -> int:
    """Where the run that keeps its order ends: a number, or Latin words with the spaces and numbers between them."""
    if found := KEPT.match(text, at):
        return found.end()
    end = here = at
    while here < len(text) and bidirectional(text[here]) not in FROM_RIGHT:
        here += 1
        if bidirectional(text[here - 1]) in ("L", "EN"):
            end = here
    return end if bidirectional(text[at]) == "L" else at


def drawn(files: Mapping[str, bytes]) -> dict[str, bytes]:
    """The same files, the texts of the pictures in the order of paper where they need it."""
    found = dict(files)
    for name, data in files.items():
        if name.endswith(".svg") and from_right(text := data.decode("utf-8", "replace")):
            found[name] = re.sub(r"(<text\b[^>]*>)([^<]*)(?=</text>)", _turned, text).encode()
    return found


def _turned(found: re.Match[str]) -> str:
    words = unescape(found[2])
    return found[1] + (escape(visual(words), quote=False) if from_right(words) else found[2])


def opens_at_right(document: Any, pdf: Any) -> None:  # noqa: ANN401  (the engine's own values)
    """A book of a script from right to left lies with its spine at the right (ISO 32000-1, 12.2, Direction)."""
    pages = document.pages
    if pages and pages[0]._page_box.style["direction"] == "rtl" and "ViewerPreferences" in pdf.catalog:
        pdf.catalog["ViewerPreferences"]["Direction"] = "/R2L"
