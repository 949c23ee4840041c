"""A value in brackets (`{shape: sphere, diameter: 30 mm}`) in, a Value out; the only door to PyYAML."""

from __future__ import annotations

import re
from typing import TYPE_CHECKING

from booklet.diagnostics.diagnostic import Diagnostic, Edit, diagnostic
from booklet.diagnostics.span import Span
from booklet.source.tree import Value

if TYPE_CHECKING:
    import yaml

_CLOSERS = {"[": "]", "{": "}"}
# Signs that mean something to YAML at the start of a scalar. They are hidden behind private characters of the same
# length while it composes, so that every place stays where it was.
_SIGN = re.compile(r"(?<=[\s\[{,])([#*&!@%`])(?=[^\s,\]}])")
_HIDDEN = dict(zip("#*&!@%`", "\ue0f0\ue0f1\ue0f2\ue0f3\ue0f4\ue0f5\ue0f6", strict=True))
_SHOWN = str.maketrans({hidden: sign for sign, hidden in _HIDDEN.items()})
_TOKEN_END = re.compile(r"[,\]}\n]")


def balance(text: str) -> tuple[int, str, int]:
    """Where the bracket that opens the text closes, the closing brackets that are missing, and how deep it goes."""
    open_ones: list[str] = []
    deepest = 0
    quote = ""
    before = "["
    for at, sign in enumerate(text):
        if quote:
            quote = "" if sign == quote else quote
        elif sign in "\"'" and before in "[{,: \n":
            quote = sign
        elif sign in _CLOSERS:
            open_ones.append(_CLOSERS[sign])
            deepest = max(deepest, len(open_ones))
        elif open_ones and sign == open_ones[-1]:
            open_ones.pop()
            if not open_ones:
                return at + 1, "", deepest
        before = sign
    return len(text), "".join(reversed(open_ones)), deepest


def compose(text: str, start: Span, whole: Span, problems: list[Diagnostic]) -> Value:
    """Compose the text, which begins at `start`. What YAML cannot read stays one text, and is reported."""
    import yaml

    loader = getattr(yaml, "CBaseLoader", yaml.BaseLoader)
    try:
        node = yaml.compose(_hide(text, start, problems).replace("\t", " "), Loader=loader)
    except (yaml.YAMLError, ValueError, RecursionError):
        node = None
    if node is None:
        problems.append(diagnostic("head-not-understood", whole, text=text[:60]))
        return Value("text", " ".join(text.split()), whole)
    return _value(node, start, problems)


def _hide(text: str, start: Span, problems: list[Diagnostic]) -> str:
    if any(sign in text for sign in _HIDDEN.values()):
        return text
    marks = _quotes(text)

    def hidden(found: re.Match[str]) -> str:
        if marks[found.start()]:
            return found[0]
        end = _TOKEN_END.search(text, found.start())
        stop = end.start() if end else len(text)
        token = text[found.start() : stop].rstrip()
        place = _span(text[: found.start()], start, len(token))
        code = "hash-in-value" if found[1] == "#" else "sign-at-start"
        problems.append(diagnostic(code, place, edits=(Edit(place, f'"{token}"'),), text=token[:60], sign=found[1]))
        return _HIDDEN[found[1]]

    return _SIGN.sub(hidden, text)


def _quotes(text: str) -> bytearray:
    """One byte a character: does it stand in quotes?"""
    marks = bytearray(len(text))
    quote = ""
    before = "["
    for at, sign in enumerate(text):
        if quote:
            marks[at] = 1
            quote = "" if sign == quote else quote
        elif sign in "\"'" and before in "[{,: \n":
            quote = sign
        before = sign
    return marks


def _span(before: str, start: Span, length: int) -> Span:
    line = start.line + before.count("\n")
    column = len(before) - before.rfind("\n") if "\n" in before else start.column + len(before)
    return Span(line, column, line, column + length)


def _value(node: yaml.Node, start: Span, problems: list[Diagnostic]) -> Value:
    span = _place(node.start_mark, start).to(_place(node.end_mark, start))
    if node.id == "scalar":
        return Value("text", str(node.value).translate(_SHOWN).strip(), span)
    if node.id == "sequence":
        return Value("list", "", span, tuple(_value(item, start, problems) for item in node.value))
    pairs = tuple((_value(key, start, problems), _value(value, start, problems)) for key, value in node.value)
    seen: set[str] = set()
    for key, _ in pairs:
        if key.text in seen:
            problems.append(diagnostic("double-key", key.span, key=key.text, line=span.line))
        seen.add(key.text)
    return Value("map", "", span, (), pairs)


def _place(mark: yaml.Mark, start: Span) -> Span:
    line = start.line + mark.line
    column = mark.column + 1 if mark.line else start.column + mark.column
    return Span(line, column, line, column)
