"""Single values of a head in, numbers, lengths, ages, markets out; each slip is reported with its mend where there is one."""

from __future__ import annotations

import re

from booklet.diagnostics.diagnostic import Diagnostic, Edit, diagnostic
from booklet.pattern.model import Choice
from booklet.source.tree import Value
from booklet.tables.markets import codes as market_codes
from booklet.tables.nearest import nearest
from booklet.units import length_mm, measures, number

Problems = list[Diagnostic]
_MARKET_WORDS = {"usa": "US", "united states": "US", "europe": "EU", "gb": "UK", "great britain": "UK"}
_MARKET_WORDS |= {"united kingdom": "UK", "canada": "CA", "australia": "AU", "new zealand": "NZ"}
# Crochet hooks are sold from 0.4 mm (steel) to 25 mm (jumbo); common practice, no source.
HOOK_MM = (0.4, 40.0)
_NUMBER = re.compile(r"\d{1,6}(?:[.,]\d{1,4})?")
_AGE = re.compile(
    r"(?:from\s+|ages?\s+|over\s+)?(?P<number>\d{1,3})\s*(?P<unit>months?|mo|m|years?|yrs?|y)?\.?\s*"
    r"(?:\+|(?:and|or)\s+(?:up|older|over)|(?:-|–|to)\s*\d{1,3}\s*(?:months?|years?|yrs?)?)?\s*(?:years?)?$",
    re.IGNORECASE,
)
_HEX = re.compile(r"#[0-9A-Fa-f]{6}$")
_HEX_BARE = re.compile(r"#?(?:[0-9A-Fa-f]{6}|[0-9A-Fa-f]{3})$")


def text(value: Value, key: str, problems: Problems) -> str:
    """A value that has to be one text."""
    if value.kind != "text":
        problems.append(diagnostic("not-a-text", value.span, key=key))
        return ", ".join(item.text for item in value.items if item.text)
    return value.text


def hook(value: Value, problems: Problems) -> float | None:
    """A hook in mm. A number without unit, or one that would be no hook, is taken as mm and reported."""
    words = text(value, "hook", problems)
    found = length_mm(words)
    if found is None:
        bare = number(words)
        if bare is None:
            problems.append(diagnostic("not-a-length", value.span, key="hook", text=words[:60]))
            return None
        edits = (Edit(value.span, f"{words.strip()} mm"),)
        problems.append(diagnostic("unit-missing", value.span, edits=edits, key="hook", text=words, unit="mm"))
        return bare
    if not HOOK_MM[0] <= found <= HOOK_MM[1] or " cm" in f" {words}":
        figure = _NUMBER.search(words)
        plain = number(figure[0]) if figure else None
        fits = plain is not None and HOOK_MM[0] <= plain <= HOOK_MM[1]
        edits = (Edit(value.span, f"{figure[0]} mm"),) if figure and fits else ()
        problems.append(diagnostic("wrong-unit", value.span, edits=edits, key="hook", text=words[:60], unit="mm"))
        return plain if fits else None
    return round(found, 3)


def length(value: Value, key: str, problems: Problems) -> float | None:
    """A length in mm; a bare number is taken as mm and reported."""
    words = text(value, key, problems)
    found = length_mm(words)
    if found is not None:
        return round(found, 3)
    bare = number(words)
    if bare is None:
        problems.append(diagnostic("not-a-length", value.span, key=key, text=words[:60]))
        return None
    edits = (Edit(value.span, f"{words.strip()} mm"),)
    problems.append(diagnostic("unit-missing", value.span, edits=edits, key=key, text=words[:60], unit="mm"))
    return bare


def count(value: Value, key: str, problems: Problems) -> int | None:
    """A whole number."""
    words = text(value, key, problems).strip()
    if words.isdecimal() and len(words) <= 6:
        return int(words)
    problems.append(diagnostic("not-a-number", value.span, key=key, text=words[:60]))
    return None


def used(value: Value, problems: Problems) -> tuple[float | None, float | None]:
    """What the designer used, weighed or measured: grams, metres."""
    words = text(value, "used", problems)
    grams = next((found.amount for found in measures(words) if found.dimension == "mass"), None)
    metres = next((found.amount / 1000 for found in measures(words) if found.dimension == "length"), None)
    if grams is None and metres is None:
        bare = number(words)
        if bare is not None:
            edits = (Edit(value.span, f"{words.strip()} g"),)
            problems.append(diagnostic("unit-missing", value.span, edits=edits, key="used", text=words, unit="g"))
            return bare, None
        problems.append(diagnostic("not-a-length", value.span, key="used", text=words[:60]))
    return _rounded(grams), _rounded(metres)


def _rounded(amount: float | None) -> float | None:
    return None if amount is None else round(amount, 3)


def colour(value: Value, problems: Problems) -> str:
    """`#7a4a2b`; "" for anything else. Three digits and a missing # are mended."""
    words = text(value, "drawn", problems).strip()
    if not words:
        return ""
    if _HEX.match(words):
        return words.lower()
    if _HEX_BARE.match(words):
        digits = words.lstrip("#")
        full = "#" + (digits if len(digits) == 6 else "".join(digit * 2 for digit in digits)).lower()
        edits = (Edit(value.span, f'"{full}"'),)
        problems.append(diagnostic("not-a-colour", value.span, edits=edits, help="digits", text=words, full=full))
        return full
    problems.append(diagnostic("not-a-colour", value.span, text=words[:60]))
    return ""


def age_months(value: Value, key: str, problems: Problems) -> int | None:
    """`3+`, `0+`, `18 months`, `3 years and up`: months."""
    words = text(value, key, problems).strip()
    found = _AGE.match(words)
    if found is None:
        problems.append(diagnostic("not-an-age", value.span, key=key, text=words[:60]))
        return None
    months = (found["unit"] or "").lower().startswith("m")
    return int(found["number"]) * (1 if months else 12)


def markets(value: Value, problems: Problems) -> tuple[str, ...]:
    """Market codes in the order given."""
    items = value.items if value.kind == "list" else ()
    words = [(item.text, item.span) for item in items] or [
        (word, value.span) for word in re.split(r"[,;/&]|\s+and\s+", text(value, "markets", problems)) if word.strip()
    ]
    found: list[str] = []
    for word, span in words:
        name = word.strip()
        code = name.upper() if name.upper() in market_codes() else _MARKET_WORDS.get(name.casefold(), "")
        if code and code not in found:
            found.append(code)
        elif not code:
            values = {"text": name[:60], "known": ", ".join(market_codes())}
            problems.append(diagnostic("not-a-market", span, **values))
    return tuple(found)


def choice(value: Value, key: str, ways: str, problems: Problems) -> str:
    """One of the ways `a|b|c`; "" with a did-you-mean for anything else."""
    known = ways.split("|")
    words = " ".join(text(value, key, problems).split())
    by_fold = {way.casefold().replace("-", " "): way for way in known}
    folded = words.casefold().replace("-", " ")
    if folded in by_fold:
        return by_fold[folded]
    close = nearest(folded, by_fold)
    starts = [way for fold, way in by_fold.items() if folded.startswith(fold + " ")]  # "US terms", "easy level"
    meant = starts[0] if starts else by_fold[close] if close else ""
    edits = (Edit(value.span, meant),) if meant else ()
    values = {"key": key, "text": words[:60], "known": ", ".join(known)}
    problems.append(
        diagnostic("not-a-choice", value.span, edits=edits, help="meant" if meant else "", meant=meant, **values)
    )
    return meant


def names(value: Value, key: str, problems: Problems) -> tuple[str, ...]:
    """A list of words, as a list or parted by commas."""
    if value.kind == "list":
        return tuple(item.text for item in value.items if item.text)
    return tuple(word.strip() for word in text(value, key, problems).split(",") if word.strip())


def only_for(value: Value, problems: Problems) -> tuple[Choice, ...]:
    """`eyes safety`, `eyes: safety`, `eyes = safety`; several parted by commas. An optional step's key may stand alone."""
    if value.kind == "map":
        return tuple((key.text, way.text) for key, way in value.pairs)
    found = []
    for word in names(value, "only for", problems):
        parts = re.split(r"\s*[:=]\s*|\s+", word.strip("() "), maxsplit=1)
        found.append((parts[0], parts[1] if len(parts) > 1 else "with"))
    return tuple(found)
