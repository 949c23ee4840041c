"""Lines of a head in, its entries as Values out; what a key means is not asked here.

A head is YAML as designers type it. Its lines are read one by one, so that a slip costs at most its own line; only what
stands in brackets goes through a YAML library (read_flow). Every scalar stays text.
"""

from __future__ import annotations

import re
from dataclasses import replace
from typing import NamedTuple

from booklet.diagnostics.diagnostic import Diagnostic, Edit, diagnostic
from booklet.diagnostics.span import Span
from booklet.source.read_scalar import Lines, scalar
from booklet.source.tree import Value

# Word processors turn --- into dashes of their own.
FENCE = re.compile(r"(?:-{3,}|[–—][-–—]*|-[–—]|--[–—])[ \t]*$")
_KEY = re.compile(r"(?P<key>\"[^\"\n]{1,60}\"|'[^'\n]{1,60}'|[^\s\"'#{\[][^:\n]{0,60}?)[ \t]*:(?=[ \t\u00a0]|$)")
_KEY_GLUED = re.compile(r"(?P<key>[^\W\d_][\w -]{0,30}):(?!//)(?=[^\s:])")
_ITEM = re.compile(r"-(?:[ \t\u00a0]+|$)")
_NAME = re.compile(r"[^\W\d_][\w -]{0,30}:(?:[ \t\u00a0]|$)")


class Head(NamedTuple):
    """Where the head stands, as indices of lines."""

    opening: int | None  # of the first line of dashes, None where it is missing
    start: int  # first line between the dashes
    stop: int  # one past the last line between them
    body: int  # first line of the body; equal to `stop` where the closing dashes are missing


def find_head(lines: list[str]) -> Head | None:
    """Find the head at the start of a file. None where there is none; a forgotten line of dashes is put up with."""
    first = next((n for n, line in enumerate(lines) if line.strip()), 0)
    opened = FENCE.match(lines[first]) is not None
    start = first + 1 if opened else first
    after = next((n for n in range(start, len(lines)) if lines[n].strip()), None)
    if after is None:
        return Head(first, start, start, start) if opened else None
    closed = FENCE.match(lines[after]) is not None
    if not closed and _NAME.match(lines[after]) is None and _KEY_GLUED.match(lines[after]) is None:
        return None if not opened else _closing_only(lines, first, start)
    for at in range(start, len(lines)):
        if FENCE.match(lines[at]):
            return Head(first if opened else None, start, at, at + 1)
        if lines[at].startswith("## "):
            break
    return _unclosed(lines, first, start) if opened else None


def _closing_only(lines: list[str], first: int, start: int) -> Head | None:
    """Dashes at the top without a key below them: a head only if the dashes come again before the first heading."""
    keys = 0
    for at in range(start, len(lines)):
        if FENCE.match(lines[at]):
            return Head(first, start, at, at + 1) if keys else None
        if keys == 0 and (lines[at].startswith("## ") or (lines[at].startswith("# ") and not "".join(lines[at + 1 : at + 2]).strip())):
            return None  # a heading; a comment of the head has a line of the head right below it
        keys += _NAME.match(lines[at]) is not None
    return None


def _unclosed(lines: list[str], first: int, start: int) -> Head:
    """The head ends before the first line that can be no part of one."""
    stop = start
    for at in range(start, len(lines)):
        line = lines[at]
        if line.strip() and not (line[0] in " \t-#" and not line.startswith("## ")) and not _NAME.match(line):
            break
        if line.strip():
            stop = at + 1
        elif not any(_NAME.match(other) for other in lines[at + 1 : at + 2]):
            break
    return Head(first, start, stop, stop)


def entries(
    lines: list[str], start: int, stop: int, problems: list[Diagnostic], deepest: int
) -> tuple[tuple[Value, Value], ...]:
    """Read the lines start..stop as one map. Double keys are kept, and reported."""
    rows = Lines(lines[:stop], problems, deepest)
    found, at = _map(rows, rows.skip(start), 0, 0)
    while at < stop:  # a line that is indented although nothing is open above it
        more, at = _map(rows, at, rows.indent(at), 0)
        found = (*found, *more)
    return found


def _map(rows: Lines, at: int, indent: int, depth: int) -> tuple[tuple[tuple[Value, Value], ...], int]:
    pairs: list[tuple[Value, Value]] = []
    seen: dict[str, Span] = {}
    while at < rows.stop and rows.indent(at) == indent:
        text = rows.text(at)
        key = _key(rows, at, text)
        if key is None:
            if _ITEM.match(text) and pairs and indent:
                break
            at = _stray(rows, at, pairs, indent)
            continue
        name, after = key
        if name.text in seen:
            rows.problems.append(diagnostic("double-key", name.span, key=name.text, line=seen[name.text].line))
        seen.setdefault(name.text, name.span)
        value, at = _value(rows, at, after, indent, depth)
        pairs.append((name, value))
    return tuple(pairs), at


def _key(rows: Lines, at: int, text: str) -> tuple[Value, int] | None:
    """The key of a line and the offset behind its colon."""
    if _ITEM.match(text):
        return None
    found = _KEY.match(text)
    if found is None:
        found = _KEY_GLUED.match(text)
        if found is None:
            return None
        here = rows.span(at, found.end(), found.end())
        rows.problems.append(diagnostic("space-after-colon", here, edits=(Edit(here, " "),), key=found["key"]))
    name = found["key"]
    span = rows.span(at, 0, len(name))
    return Value("text", name.strip("\"'") if name[0] in "\"'" else name.strip(), span), found.end()


def _value(rows: Lines, at: int, after: int, indent: int, depth: int) -> tuple[Value, int]:
    """What stands behind a colon: on the same line, or as a list or map below it."""
    text = rows.text(at)
    rest = text[after:].lstrip(" \t\u00a0")
    offset = len(text) - len(rest)
    gap = text[after:offset]
    if rest and ("\t" in gap or "\u00a0" in gap):
        place = rows.span(at, after, offset)
        rows.problems.append(diagnostic("tab-in-head", place, edits=(Edit(place, " "),)))
    if rest and not rows.is_comment(rest):
        return scalar(rows, at, offset, indent)
    below = rows.skip(at + 1)
    if below < rows.stop:
        deeper = rows.indent(below)
        listed = _ITEM.match(rows.text(below)) is not None
        if deeper > indent or (listed and deeper == indent):
            return _nested(rows, below, deeper, depth + 1)
    return Value("text", "", rows.span(at, after, after)), below


def _nested(rows: Lines, at: int, indent: int, depth: int) -> tuple[Value, int]:
    if depth > rows.deepest:
        rows.problems.append(diagnostic("head-too-deep", rows.span(at, 0, 1), limit=rows.deepest))
        stop = at + 1
        while stop < rows.stop and rows.indent(stop) >= indent:
            stop = rows.skip(stop + 1)
        return Value("text", "", rows.span(at, 0, 0)), stop
    text = rows.text(at)
    start = rows.span(at, 0, 0)
    if _ITEM.match(text):
        items, stop = _list(rows, at, indent, depth)
        return Value("list", "", start.to(items[-1].span), items), stop
    if _KEY.match(text) or _KEY_GLUED.match(text):
        pairs, stop = _map(rows, at, indent, depth)
        return Value("map", "", start.to(pairs[-1][1].span), (), pairs), stop
    return scalar(rows, at, 0, indent - 1)


def _list(rows: Lines, at: int, indent: int, depth: int) -> tuple[tuple[Value, ...], int]:
    items: list[Value] = []
    while at < rows.stop and rows.indent(at) == indent:
        marker = _ITEM.match(rows.text(at))
        if marker is None:
            break
        rest = rows.text(at)[marker.end() :]
        if not rest or rows.is_comment(rest):
            below = rows.skip(at + 1)
            if below < rows.stop and rows.indent(below) > indent:
                item, at = _nested(rows, below, rows.indent(below), depth + 1)
            else:
                item, at = Value("text", "", rows.span(at, 1, 1)), below
        elif _ITEM.match(rest) or (_KEY.match(rest) and rest[0] not in "*&!@%`|>"):
            rows.open_inside(at, marker.end())  # "- key: value": the rest of the line is a line of its own, further in
            item, at = _nested(rows, at, rows.indent(at), depth + 1)
        else:
            item, at = scalar(rows, at, marker.end(), indent)
        items.append(item)
    return tuple(items), at


def _stray(rows: Lines, at: int, pairs: list[tuple[Value, Value]], indent: int) -> int:
    """A line without a key. Below a plain value it is read as that value's next line."""
    text = rows.text(at)
    place = rows.span(at, 0, len(text))
    edits: tuple[Edit, ...] = ()
    if pairs and pairs[-1][1].kind == "text" and not _ITEM.match(text):
        name, value = pairs[-1]
        pairs[-1] = (name, replace(value, text=f"{value.text} {text}".strip(), span=value.span.to(place)))
        start = Span(at + 1, 1, at + 1, 1)
        edits = (Edit(start, "  "),) if value.text else ()
    rows.problems.append(diagnostic("head-line-without-key", place, edits=edits, text=text[:60]))
    return rows.skip(at + 1)
