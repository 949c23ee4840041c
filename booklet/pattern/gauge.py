"""A gauge in words in, stitches and rounds over a length out; gauges by round numbers stay words for a later room."""

from __future__ import annotations

import re

from booklet.diagnostics.diagnostic import Diagnostic, diagnostic
from booklet.pattern import fields
from booklet.pattern.model import Gauge
from booklet.source.tree import Value
from booklet.tables.language import Language, fold
from booklet.units import Measure, measures, number

_FIGURE = re.compile(r"(?<![\d.,])(\d{1,4}(?:[.,]\d{1,2})?)")
_WORDS = re.compile(r"\s*((?:[^\W\d_]+[\s.-]*){1,4})")
_BY = re.compile(r"\s*(?:x|×|by|\*)\s*$", re.IGNORECASE)
PLAIN = "single_crochet"


def gauge(value: Value, language: Language, problems: list[Diagnostic]) -> Gauge | None:
    """Read `24 sc x 26 rnds = 10 cm` or `24 sts and 26 rounds = 4 in`. None for `Rnds 1-3 = 9 cm`, which needs the pattern."""
    text = fields.text(value, "gauge", problems)
    if not text.strip():
        return None
    lengths = [found for found in measures(text) if found.dimension == "length"]
    figures = _figures(text, lengths, language)
    if figures and figures[0][1] == "rounds first" and lengths:
        return None
    stitches = next(((count, id) for count, role, id in figures if role == "stitches"), None)
    rounds = next((count for count, role, _ in figures if role == "rounds"), None)
    if not lengths:
        problems.append(diagnostic("gauge-not-understood", value.span, help="length", text=text[:60]))
        return None
    if stitches is None or not stitches[0] or lengths[0].amount <= 0:
        problems.append(diagnostic("gauge-not-understood", value.span, text=text[:60]))
        return None
    width = lengths[0].amount
    height = width
    if len(lengths) > 1 and _BY.search(text[lengths[0].end : lengths[1].start]):
        height = lengths[1].amount
    return Gauge(stitches[0], rounds, round(width, 3), round(height, 3), stitches[1] or PLAIN, text, value.span)


def _figures(text: str, lengths: list[Measure], language: Language) -> list[tuple[float, str, str]]:
    """Numbers that are no lengths, with what they count: ("stitches", id) or ("rounds", "")."""
    found: list[tuple[float, str, str]] = []
    for figure in _FIGURE.finditer(text):
        if any(one.start <= figure.start() < one.end for one in lengths):
            continue
        role, id = _counted(text, figure.end(), language)
        before = fold(text[: figure.start()]).split()
        if not found and before and language.words.get(before[-1], ("", ""))[0] == "header" and not role:
            role = "rounds first"
        if role:
            found.append((number(figure[1]) or 0.0, role, id))
    return found


def _counted(text: str, at: int, language: Language) -> tuple[str, str]:
    words = _WORDS.match(text, at)
    parts = fold(words[1].replace("-", " ")).split() if words else []
    for size in range(len(parts), 0, -1):
        role, value = language.words.get(" ".join(parts[:size]), ("", ""))
        if role == "header" or (role == "unit" and value == "round"):
            return "rounds", ""
        if role == "stitch" or (role == "unit" and value == "stitch"):
            return "stitches", value if role == "stitch" and value != "stitch" else ""
    return "", ""
