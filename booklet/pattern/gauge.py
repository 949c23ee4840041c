"""Gauges, hooks and an unravelled length in words in, stitches and rounds over lengths out; the stitch they mean is computed in figures."""

from __future__ import annotations

import re

from booklet.diagnostics.diagnostic import Diagnostic, diagnostic
from booklet.pattern import fields
from booklet.pattern.model import Gauge
from booklet.source.tree import Value
from booklet.tables.language import Language, fold
from booklet.tables.sizes import gauge_words
from booklet.tables.stitches import stitches as known_stitches
from booklet.units import Measure, length_mm, measures, number

_FIGURE = re.compile(r"(?<![\d.,])(\d{1,4}(?:[.,]\d{1,2})?)")
_WORDS = re.compile(r"\s*((?:[^\W\d_]+[\s.-]*){1,4})")
_BY = re.compile(r"\s*(?:x|×|by|\*)\s*$", re.IGNORECASE)
PLAIN = "single_crochet"
USUAL = 20  # stitches that are unravelled to measure their yarn; common practice, no source
BY_ROUNDS = "by rounds"
LONGEST = 100  # rounds of a gauge by rounds; far above any
Named = tuple[str, Gauge]


def gauges(values: dict[str, Value], language: Language, problems: list[Diagnostic]) -> list[Named]:
    """All gauges of a head by name: "" is a swatch, "by rounds" a disc or a motif; a map names parts or sizes, and its first
    is good for the whole. Where only the gauge before or after blocking is given, that is the pattern's own.
    """
    found: list[Named] = []
    value = values.get("gauge")
    if value is not None and value.kind == "map":
        for key, each in value.pairs:
            one = gauge(each, language, problems)
            found += [(fold(key.text), one)] if one is not None else []
    elif value is not None:
        one = gauge(value, language, problems)
        found += [(BY_ROUNDS if one.first else "", one)] if one is not None else []
    for when in ("after blocking", "before blocking"):
        blocked = values.get(f"gauge {when}")
        one = gauge(blocked, language, problems) if blocked is not None else None
        found += [(when, one)] if one is not None else []
    return found


def hooks(value: Value | None, problems: list[Diagnostic]) -> list[tuple[str, float]]:
    """The hook of the head, or one for each named part or size; the first is the pattern's own."""
    if value is None or (value.kind == "text" and not value.text.strip()):
        return []
    pairs = [(fold(key.text), each) for key, each in value.pairs] if value.kind == "map" else [("", value)]
    sizes = [(name, fields.hook(each, problems)) for name, each in pairs]
    return [(name, size) for name, size in sizes if size is not None]


def unravelled(value: Value | None, language: Language, problems: list[Diagnostic]) -> float | None:
    """`20 sc = 58 cm`: the yarn of one single crochet in mm. A bare length is that of 20 stitches."""
    words = fields.text(value, "unravelled", problems) if value is not None else ""
    if value is None or not words.strip():
        return None
    found = length_mm(words)
    if found is None or found <= 0:
        problems.append(diagnostic("gauge-not-understood", value.span, help="length", text=words[:60]))
        return None
    lengths = [one for one in measures(words) if one.dimension == "length"]
    counts = [(count, id) for count, role, id in _figures(words, lengths, language) if role == "stitches" and count > 0]
    count, id = counts[0] if counts else (USUAL, PLAIN)
    known = known_stitches().get(id or PLAIN)
    return found / count / (known.yarn if known is not None and known.yarn > 0 else 1.0)


def gauge(value: Value, language: Language, problems: list[Diagnostic]) -> Gauge | None:
    """Read `24 sc x 26 rnds = 10 cm`, `24 sts and 26 rounds = 4 in`, `Rnds 1-5 = 5 cm across` or `Rnds 1-3 = 9 cm square`."""
    text = fields.text(value, "gauge", problems)
    if not text.strip():
        return None
    lengths = [found for found in measures(text) if found.dimension == "length"]
    figures = _figures(text, lengths, language)
    by_rounds = _by_rounds(text, lengths, figures, value, language)
    if by_rounds is not None:
        return by_rounds
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
    form = "swatch"
    if "tube" in _meanings(text, language):
        form = "tube"
    return Gauge(stitches[0], rounds, round(width, 3), round(height, 3), stitches[1] or PLAIN, text, value.span, form)


def _by_rounds(
    text: str, lengths: list[Measure], figures: list[tuple[float, str, str]], value: Value, language: Language
) -> Gauge | None:
    """Designers of toys measure a disc, designers of blankets a motif: so many rounds are so far across."""
    if not lengths or not figures or not figures[0][1].startswith("rounds") or any(role == "stitches" for _, role, _ in figures):
        return None
    before = text[: lengths[0].start].split("=")[0]
    numbers = [int(number(found[1]) or 0) for found in _FIGURE.finditer(before)]
    first, last = (1, numbers[0]) if len(numbers) == 1 else (numbers[0], numbers[-1]) if numbers else (0, 0)
    across = lengths[0].amount
    if not 1 <= first <= last <= LONGEST or across <= 0:
        return None
    form = "disc"
    if "square" in _meanings(text, language):
        form = "square"
    rounds = float(last - first + 1)
    return Gauge(0.0, rounds, round(across, 3), round(across, 3), PLAIN, text, value.span, form, first, last)


def _meanings(text: str, language: Language) -> set[str]:
    known = gauge_words(language.tag)
    return {known[word] for word in fold(text.replace(",", " ")).split() if word in known}


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
