"""The head values of a kit file in, a Kit out, every slip reported with its place; the patterns it names are not opened here."""

from __future__ import annotations

import re
from collections.abc import Callable
from decimal import Decimal
from typing import TypeVar

from booklet.diagnostics.diagnostic import Diagnostic, Edit, diagnostic
from booklet.digits import article_number
from booklet.kits import values
from booklet.kits.kit import Amount, Colourway, Extra, Kit, PatternOf, Supply
from booklet.source.tree import Value
from booklet.tables.kits import fold, keys
from booklet.tables.nearest import nearest

T = TypeVar("T")
Problems = list[Diagnostic]
Entries = dict[str, tuple[Value, Value]]  # key -> its name and its value
MOST_ENTRIES = 200  # patterns, colourways, cards, items, supplies of each
FORMS = {
    "number": "a whole number, such as 40",
    "percent": "a percentage, such as 20 %",
    "amount": "an amount, such as 1 kg, 300 m or 100",
    "money": "a plain number in the currency of the kit, such as 18.90",
    "mass": "a weight, such as 12 g",
}


def read(pairs: tuple[tuple[Value, Value], ...], kits: int | None = None) -> tuple[Kit, tuple[Diagnostic, ...]]:
    """The kit, and what was found. `kits` takes the place of the number that the file gives."""
    problems: Problems = []
    found = _canonical(pairs, "kit", problems)
    text = _texts(found, problems)
    number = kits or _typed(found, "kits", values.whole, "number", problems)
    patterns = tuple(filter(None, (_pattern(one, problems) for one in _items(found, "patterns", problems))))
    if not patterns:
        problems.append(diagnostic("kit-without-pattern"))
    ways = _colourways(found, kits, number, problems)
    _code(found, text("code"), problems)
    currency = text("currency")
    if kits is None and number is not None and (told := sum(way.kits for way in ways)) != number:
        problems.append(diagnostic("kit-numbers-differ", found["kits"][1].span, told=told, number=number))
    made = Kit(
        text("title") or "Kit",
        sum(way.kits for way in ways),
        patterns,
        ways,
        (*_extras(found, "cards", "card", problems), *_extras(found, "items", "item", problems)),
        tuple(_supply(name, value, currency, problems) for name, value in _map(found, "supplies", problems)),
        _names(found, "leave out", problems),
        _typed(found, "spare", values.percent, "percent", problems),
        _typed(found, "tolerance", values.percent, "percent", problems),
        currency,
        *(text(key) for key in ("maker", "address", "batch", "code", "link")),
        _names(found, "languages", problems),
        text("market").upper(),
    )
    return made, tuple(problems)


def _canonical(pairs: tuple[tuple[Value, Value], ...], where: str, problems: Problems) -> Entries:
    """Entries by the name of their key; unknown keys are reported, with the one that may have been meant."""
    known = keys(where)
    found: Entries = {}
    for name, value in pairs:
        key = known.get(fold(name.text))
        if key is None:
            close = nearest(fold(name.text), known, 0.8)
            meant = known[close].name if close else ""
            edits = (Edit(name.span, meant),) if meant else ()
            more = {"meant": meant} if meant else {}
            help = "meant" if meant else ""
            problems.append(diagnostic("unknown-key", name.span, edits=edits, help=help, key=name.text[:60], where=where, **more))
        elif key.name in found:
            first = found[key.name][0]
            if first.text != name.text:  # the same spelling twice has been reported by the reader
                problems.append(diagnostic("double-key", name.span, key=name.text, line=first.span.line))
        else:
            found[key.name] = (name, value)
    return found


def _texts(found: Entries, problems: Problems) -> Callable[[str], str]:
    def text(key: str) -> str:
        if key not in found:
            return ""
        value = found[key][1]
        if value.kind != "text":
            problems.append(diagnostic("not-a-text", value.span, key=key))
            return ""
        return value.text.strip()

    return text


def _typed(found: Entries, key: str, read_one: Callable[[str], T | None], form: str, problems: Problems) -> T | None:
    """A value of a kind; None where it is missing, or wrong and reported."""
    words = _texts(found, problems)(key)
    if not words:
        return None
    value = read_one(words)
    if value is None:
        problems.append(diagnostic("kit-value", found[key][1].span, key=key, text=words[:60], form=FORMS[form]))
    return value


def _code(found: Entries, typed: str, problems: Problems) -> None:
    """Say what is wrong with an article number. It is kept: labels are refused for it, and not printed without it."""
    try:
        article_number(typed or "0" * 13)
    except ValueError as fault:
        problems.append(diagnostic("kit-code-wrong", found["code"][1].span, why=str(fault)))


def _names(found: Entries, key: str, problems: Problems) -> tuple[str, ...]:
    if key not in found:
        return ()
    value = found[key][1]
    words = [item.text for item in value.items] if value.kind == "list" else _texts(found, problems)(key).split(",")
    return tuple(word.strip() for word in words if word.strip())


def _items(found: Entries, key: str, problems: Problems) -> tuple[Value, ...]:
    if key not in found:
        return ()
    value = found[key][1]
    items = value.items if value.kind == "list" else (value,) if value.text or value.kind == "map" else ()
    return _few(items, key, value, problems)


def _map(found: Entries, key: str, problems: Problems) -> tuple[tuple[Value, Value], ...]:
    if key not in found:
        return ()
    value = found[key][1]
    if value.kind != "map":
        problems.append(diagnostic("not-a-map", value.span, key=key))
        return ()
    return _few(value.pairs, key, value, problems)


def _few(items: tuple[T, ...], key: str, value: Value, problems: Problems) -> tuple[T, ...]:
    if len(items) > MOST_ENTRIES:
        problems.append(diagnostic("kit-value", value.span, key=key, text=f"{len(items)} entries", form=f"{MOST_ENTRIES} at most"))
    return items[:MOST_ENTRIES]


def _pattern(value: Value, problems: Problems) -> PatternOf | None:
    if value.kind == "text":
        return PatternOf(value.text, value.span)
    if value.kind != "map":
        problems.append(diagnostic("not-a-map", value.span, key="patterns"))
        return None
    found = _canonical(value.pairs, "pattern", problems)
    text = _texts(found, problems)
    if not text("file"):
        problems.append(diagnostic("kit-without-pattern", value.span))
        return None
    choices = []
    for words in _names(found, "choose", problems):
        key, _, way = (part.strip() for part in re.sub(r"\s*[:=]\s*|\s+", "=", words, count=1).partition("="))
        choices.append((key, way or "with"))
    return PatternOf(text("file"), found["file"][1].span, tuple(choices), text("size"))


def _colourways(found: Entries, asked: int | None, number: int | None, problems: Problems) -> tuple[Colourway, ...]:
    """The colourways. Where the number of kits is asked for by hand, it is shared out in the same proportions."""
    ways = [_colourway(name, value, problems) for name, value in _map(found, "colourways", problems)]
    if not ways:
        return (Colourway("", number or 1),)
    told = sum(way.kits for way in ways)
    return shared_out(ways, asked) if asked and asked != told else tuple(ways)


def shared_out(ways: list[Colourway] | tuple[Colourway, ...], number: int) -> tuple[Colourway, ...]:
    """The same colourways with `number` kits in all, by largest remainders; none of them is lost while there is a kit for it."""
    told = sum(way.kits for way in ways)
    parts = [divmod(way.kits * number, told) for way in ways]
    left = number - sum(whole for whole, _ in parts)
    more = set(sorted(range(len(ways)), key=lambda at: -parts[at][1])[:left])
    return tuple(way._replace(kits=parts[at][0] + (at in more)) for at, way in enumerate(ways))


def _colourway(name: Value, value: Value, problems: Problems) -> Colourway:
    """`harbour: 25`, or a map with `kits` and a colour for each code."""
    if value.kind == "text":
        count = values.whole(value.text)
        if count is None:
            problems.append(diagnostic("kit-value", value.span, key=name.text, text=value.text[:60], form=FORMS["number"]))
        return Colourway(name.text, count or 1, span=name.span)
    if value.kind != "map":
        problems.append(diagnostic("not-a-map", value.span, key=name.text))
        return Colourway(name.text, 1, span=name.span)
    known = keys("colourway")
    own = tuple(pair for pair in value.pairs if fold(pair[0].text) in known)
    others = [pair for pair in value.pairs if fold(pair[0].text) not in known]
    count = _typed(_canonical(own, "colourway", problems), "kits", values.whole, "number", problems)
    colours = tuple((code.text.strip(), colour.text.strip()) for code, colour in others if colour.text.strip())
    return Colourway(name.text, count or 1, colours, name.span, tuple(code.span for code, colour in others if colour.text.strip()))


def _extras(found: Entries, key: str, kind: str, problems: Problems) -> list[Extra]:
    made = []
    for value in _items(found, key, problems):
        if value.kind == "text":
            made.append(Extra(kind, value.text, Decimal(1), None, None, value.span))
            continue
        if value.kind != "map" or not value.pairs:
            problems.append(diagnostic("not-a-map", value.span, key=key))
            continue
        pairs, name = value.pairs, ""
        if len(pairs) == 1 and fold(pairs[0][0].text) not in keys(kind):  # `- box: {each: 1}`, `- box: 2`
            name, inner = pairs[0][0].text, pairs[0][1]
            pairs = inner.pairs if inner.kind == "map" else ((Value("text", "each", inner.span), inner),)
        entries = _canonical(pairs, kind, problems)
        name = name or _texts(entries, problems)("language" if kind == "card" else "title")
        if not name:
            problems.append(diagnostic("kit-value", value.span, key=key, text="", form="a name"))
            continue
        each = _typed(entries, "each", values.amount, "amount", problems)
        kits = _typed(entries, "kits", values.whole, "number", problems) if kind == "card" else None
        made.append(Extra(kind, name, each.value if each else Decimal(1), kits, _weight(entries, problems), value.span))
    return made


def _weight(entries: Entries, problems: Problems) -> Decimal | None:
    found = _typed(entries, "weight", lambda words: _grams(values.amount(words)), "mass", problems)
    return found.value if found else None


def _grams(found: Amount | None) -> Amount | None:
    return found if found is not None and found.unit == "g" else None


def _supply(name: Value, value: Value, currency: str, problems: Problems) -> Supply:
    if value.kind != "map":
        problems.append(diagnostic("not-a-map", value.span, key=name.text))
        return Supply(name.text, name.span)
    found = _canonical(value.pairs, "supply", problems)
    text = _texts(found, problems)
    pack = _typed(found, "pack", values.amount, "amount", problems)
    if pack is not None and pack.value <= 0:
        problems.append(diagnostic("kit-value", found["pack"][1].span, key="pack", text=text("pack"), form=FORMS["amount"]))
        pack = None
    return Supply(
        name.text,
        name.span,
        text("supplier"),
        text("article"),
        pack,
        _typed(found, "minimum", values.amount, "amount", problems),
        _typed(found, "price", lambda words: values.money(words, currency), "money", problems),
        _typed(found, "spare", values.percent, "percent", problems),
        _typed(found, "waste", values.percent, "percent", problems),
        _typed(found, "stock", values.amount, "amount", problems),
        _weight(found, problems),
    )
