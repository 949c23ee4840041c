"""The entry `yarns` of a head in, Yarns out: maps, or one plain line each."""

from __future__ import annotations

import re
from functools import cache

from booklet.diagnostics.diagnostic import Diagnostic, Edit, diagnostic
from booklet.diagnostics.span import within
from booklet.pattern import fields
from booklet.pattern.keys import canonical
from booklet.pattern.model import Yarn
from booklet.source.tree import Value
from booklet.tables.sizes import weights
from booklet.units import measures, number

_WEIGHT = re.compile(
    r"(?P<name>[^\W\d_][^()\d]{0,40}?)?\s*(?:\(\s*(?P<inner>\d)\s*\)|(?P<bare>\d))?\s*(?:\(\s*(?P<after>[^()\d]{1,40})\s*\))?$"
)
_FIBRE = re.compile(r"\d{1,3}\s*%")
_CODES = "ABCDEFGHIJKLMNOPQRSTUVWXYZ"


@cache
def _categories() -> dict[str, int]:
    """Folded names of yarn weights -> category 0-7."""
    return {_fold(name): weight.number for weight in weights().values() for name in (weight.name, *weight.names)}


def _fold(name: str) -> str:
    return " ".join(name.casefold().replace("-", " ").replace("weight", " ").split())


def yarns(value: Value | None, problems: list[Diagnostic]) -> tuple[Yarn, ...]:
    """Read all yarns. A list without codes gets the codes A, B, C …, and that is reported."""
    if value is None or (value.kind == "text" and not value.text):
        return ()
    if value.kind == "map":
        return tuple(_yarn(key.text, key, each, problems) for key, each in value.pairs)
    items = value.items if value.kind == "list" else (value,)
    found = []
    for code, item in zip(_CODES, items, strict=False):
        if item.kind == "map" and len(item.pairs) == 1 and len(item.pairs[0][0].text) <= 3:
            found.append(_yarn(item.pairs[0][0].text, *item.pairs[0], problems))
            continue
        problems.append(diagnostic("yarn-without-code", item.span, yarn=code, text=item.text[:60]))
        found.append(_yarn(code, item, item, problems))
    return tuple(found)


def _yarn(code: str, key: Value, value: Value, problems: list[Diagnostic]) -> Yarn:
    if value.kind == "text":
        return _line(code, key, value, problems)
    if value.kind == "list":
        problems.append(diagnostic("not-a-map", value.span, key=code))
        return Yarn(code, key.span)
    entries = canonical(value.pairs, "yarn", problems)

    def words(name: str) -> str:
        return fields.text(entries[name][2], name, problems) if name in entries else ""

    weight, weight_name = _weight(entries["weight"][2], problems) if "weight" in entries else (None, "")
    ball_m, ball_g = _ball(entries["ball"][2], problems) if "ball" in entries else (None, None)
    used_g, used_m = fields.used(entries["used"][2], problems) if "used" in entries else (None, None)
    return Yarn(
        code,
        key.span.to(value.span),
        words("colour"),
        words("name"),
        words("maker"),
        words("shade"),
        words("fibre"),
        weight,
        weight_name,
        ball_m,
        ball_g,
        used_g,
        used_m,
        fields.colour(entries["drawn"][2], problems) if "drawn" in entries else "",
        fields.only_for(entries["only for"][2], problems) if "only for" in entries else (),
    )


def _line(code: str, key: Value, value: Value, problems: list[Diagnostic]) -> Yarn:
    """`oat, light (3), 100% cotton, 125 m / 50 g`: the first item is the colour, the others say what they are."""
    found: dict[str, object] = {}
    left: list[str] = []
    at = 0
    for n, item in enumerate(value.text.split(",")):
        words = item.strip()
        start = value.text.find(words, at)
        at = start + len(words)
        place = Value("text", words, within(value.span.line, value.span.column, start, at))
        masses = measures(words)
        weight = _categories().get(_fold(re.sub(r"[()\d]", " ", words)))
        if n == 0 and words:
            found["colour"] = words
        elif _FIBRE.search(words):
            found["fibre"] = ", ".join(filter(None, (str(found.get("fibre") or ""), words)))
        elif len(masses) > 1:
            found["ball_m"], found["ball_g"] = _ball(place, problems)
        elif weight is not None or re.fullmatch(r"(?:weight|category)?\s*\(?\d\)?", words, re.IGNORECASE):
            found["weight"], found["weight_name"] = _weight(place, problems)
        elif words.startswith("#"):
            found["drawn"] = fields.colour(place, problems)
        elif words.casefold().startswith("only for"):
            chosen = words[len("only for") :].strip(" :")
            found["only_for"] = fields.only_for(Value("text", chosen, place.span), problems)
        elif words:
            left.append(words)
    if left:
        found["name"] = ", ".join(left)
    return Yarn(code, key.span.to(value.span), **found)  # type: ignore[arg-type]


def _weight(value: Value, problems: list[Diagnostic]) -> tuple[int | None, str]:
    """A category 0-7 and its name as typed; whether the two agree is a check's."""
    text = fields.text(value, "weight", problems).strip()
    plain = re.sub(r"(?i)^(?:weight|category)\s*", "", text)
    match = _WEIGHT.match(plain)
    digit = (match["inner"] or match["bare"]) if match else None
    name = ((match["name"] or match["after"] or "") if match else "").strip(" -–,")
    by_name = _categories().get(_fold(name)) if name else None
    if match is None or (digit is None and by_name is None) or (digit and int(digit) > 7):
        if text:
            problems.append(diagnostic("weight-unknown", value.span, text=text[:60]))
        return None, name if by_name is not None else ""
    category = int(digit) if digit else by_name
    if name and by_name is None:
        problems.append(diagnostic("weight-unknown", value.span, text=name[:60]))
    return category, name


def _ball(value: Value, problems: list[Diagnostic]) -> tuple[float | None, float | None]:
    """`125 m / 50 g`, `137 yd (125 m), 1.75 oz (50 g)`: metres and grams."""
    text = fields.text(value, "ball", problems)
    metres = grams = None
    for found in measures(text):
        if found.dimension == "length" and metres is None:
            metres = round(found.amount / 1000, 3)
        elif found.dimension == "mass" and grams is None:
            grams = round(found.amount, 3)
    if metres is None or grams is None or metres < 1 or grams <= 0:
        if text.strip():
            figures = re.findall(r"\d{1,5}(?:[.,]\d{1,2})?", text)
            plain = len(figures) == 2 and all(number(figure) for figure in figures) and metres is None and grams is None
            edits = (Edit(value.span, f"{figures[0]} m / {figures[1]} g"),) if plain else ()
            problems.append(diagnostic("ball-not-understood", value.span, edits=edits, text=text[:60]))
        metres = None if metres is not None and metres < 1 else metres
    return metres, grams
