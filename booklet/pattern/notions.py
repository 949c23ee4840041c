"""The entry `notions` of a head in, Notions out: plain lines, or the name first and its measures below."""

from __future__ import annotations

import re

from booklet.diagnostics.diagnostic import Diagnostic, diagnostic
from booklet.pattern import fields
from booklet.pattern.keys import canonical, keys
from booklet.pattern.model import Notion
from booklet.source.tree import Value
from booklet.units import measures

# A single digit before `x` and a length is a count, "2 x 6 mm safety eyes"; "10 x 20 mm box" is a size. A guess.
_COUNT = re.compile(
    r"(\d{1,5})\s*(?:x|×|pcs?\.?|pieces?(?: of)?)?\s+(?![x×]\s*\d)(?=[^\W\d_])|(\d)\s*[x×]\s*(?=\d)", re.IGNORECASE
)
_PAIR = re.compile(r"(?:an?|one)\s+pair\s+(?:of\s+)?", re.IGNORECASE)
_ONLY = re.compile(r"[,;(]?\s*only for:?\s+(?P<what>[^,;()]{1,60})\)?\s*$", re.IGNORECASE)
_EDGES = " ,;:()-–"


def notions(value: Value | None, problems: list[Diagnostic]) -> tuple[Notion, ...]:
    """Read all notions."""
    if value is None or (value.kind == "text" and not value.text):
        return ()
    if value.kind == "map":
        return tuple(_measured(key, each, problems) for key, each in value.pairs)
    if value.kind == "text":
        return tuple(_line(Value("text", part.strip(), value.span)) for part in value.text.split(";") if part.strip())
    found = []
    for item in value.items:
        if item.kind == "text" and item.text:
            found.append(_line(item))
        elif item.kind == "map":
            found += _map(item, problems)
        elif item.kind == "list":
            problems.append(diagnostic("not-a-text", item.span, key="notions"))
    return tuple(found)


def _map(item: Value, problems: list[Diagnostic]) -> list[Notion]:
    """`- knob: {diameter: 30 mm}`, or a plain notion with `only for:` as its second line."""
    (key, value), *more = item.pairs
    known = keys("notion")
    if more and all(name.text.casefold().replace("-", " ") in known for name, _ in more):
        below = value.pairs if value.kind == "map" else ()
        return [_measured(key, Value("map", "", item.span, (), (*below, *more)), problems)]
    return [_measured(name, each, problems) for name, each in item.pairs]


def _line(value: Value) -> Notion:
    """`2 safety eyes, 6 mm`: count, name, size. A size counts only if it is the one measure of the line."""
    text = value.text
    only = _ONLY.search(text[-120:])
    chosen = ()
    if only:
        text = text[: len(text) - len(only[0])]
        parts = only["what"].replace(":", " ").split(None, 1)
        chosen = ((parts[0], parts[1] if len(parts) > 1 else "with"),)
    pair = _PAIR.match(text)
    count = _COUNT.match(text)
    rest = text[pair.end() :] if pair else text[count.end() :] if count else text
    lengths = [found for found in measures(rest) if found.dimension == "length"]
    size = round(lengths[0].amount, 3) if len(lengths) == 1 else None
    name = rest
    if size is not None:
        name = f"{rest[: lengths[0].start].rstrip(_EDGES)} {rest[lengths[0].end :].strip(_EDGES)}"
    return Notion(
        value.text,
        value.span,
        " ".join(name.split()).strip(_EDGES),
        2 if pair else int(count[1] or count[2]) if count else None,
        size,
        only_for=chosen,
    )


def _measured(key: Value, value: Value, problems: list[Diagnostic]) -> Notion:
    span = key.span.to(value.span)
    if value.kind == "text":
        joint = ": " if key.text.casefold().endswith("only for") else ", "
        return _line(Value("text", f"{key.text}{joint}{value.text}" if value.text else key.text, span))
    if value.kind == "list":
        problems.append(diagnostic("not-a-map", value.span, key=key.text[:60]))
        return _line(key)
    plain = _line(key)
    entries = canonical(value.pairs, "notion", problems)
    dimensions = []
    for name, (row, _, each) in entries.items():
        if row.type == "length" and name != "size":
            amount = fields.length(each, name, problems)
            if amount is not None:
                dimensions.append((name, amount))

    def one_of(name: str) -> str:
        return fields.choice(entries[name][2], name, entries[name][0].type, problems) if name in entries else ""

    count = fields.count(entries["count"][2], "count", problems) if "count" in entries else plain.count
    size = fields.length(entries["size"][2], "size", problems) if "size" in entries else plain.size_mm
    return Notion(
        key.text,
        span,
        plain.name,
        count,
        size,
        one_of("shape"),
        tuple(dimensions),
        one_of("attached"),
        fields.text(entries["on"][2], "on", problems) if "on" in entries else "",
        fields.only_for(entries["only for"][2], problems) if "only for" in entries else plain.only_for,
    )
