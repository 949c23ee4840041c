"""Tokens of a line in, its label and numbers out; the rest of the line is read's."""

from __future__ import annotations

from typing import NamedTuple

from booklet.notation.lex import Token


class Header(NamedTuple):
    """What stands before the instruction."""

    kind: str  # "round", "row" or "" (none)
    numbers: tuple[int, ...]
    size: int  # how many tokens it takes, separator included
    tally: int | None = None  # "(6 rounds)" after the label


_LINKS = {"dash": "range", "range": "range", "slash": "list", "comma": "list", "and": "list", "plus": "list"}
LONGEST_RANGE = 1000  # rounds in one line; far above any published range (47), see limits in shared/limits.toml


def header(line: list[Token], flat: bool = False) -> Header:
    """Read the label of a line. A bare number counts only with a separator after it; `flat` makes it a row."""
    at = 0
    while at < len(line) and line[at].role in ("bullet", "dash", "equals"):
        at += 1
    if at < len(line) and line[at].role == "header":
        return _word_first(line, at)
    if at < len(line) and line[at].role == "next_header":
        return Header(line[at].value, (), _separator(line, at + 1))
    if at < len(line) and line[at].role in ("num", "ordinal"):
        return _number_first(line, at, flat)
    return Header("", (), at)


def _word_first(line: list[Token], at: int) -> Header:
    kind = line[at].value
    at += 1
    if at < len(line) and line[at].role == "stop":
        at += 1
    if at >= len(line) or line[at].role != "num":
        return Header(kind, (), _separator(line, at))
    numbers, at = _numbers(line, at)
    tally, at = _tally(line, at)
    return Header(kind, numbers, _separator(line, at), tally)


def _number_first(line: list[Token], start: int, flat: bool) -> Header:
    """`3.`, `3)`, `3rd rnd:`, `3 row`, `4-9 rounds:`."""
    numbers, at = _numbers(line, start)
    after = at
    if after < len(line) and line[after].role == "stop":
        after += 1
    if after < len(line) and line[after].role == "header":
        return Header(line[after].value, numbers, _separator(line, after + 1))
    ends = at < len(line) and line[at].role in ("stop", "colon", "close", "bar")
    if ends and line[start].role == "num":
        return Header("row" if flat else "round", numbers, at + 1)
    return Header("", (), start)


def _numbers(line: list[Token], at: int) -> tuple[tuple[int, ...], int]:
    numbers = [line[at].number]
    at += 1
    while at + 1 < len(line):
        link = _LINKS.get(line[at].role)
        step = at + 1
        if link and step < len(line) and line[step].role == "header":
            step += 1
        if not link or step >= len(line) or line[step].role != "num":
            break
        last = line[step].number
        if link == "range":
            first = numbers[-1]
            numbers.extend(range(first + 1, min(last, first + LONGEST_RANGE) + 1) if last > first else (last,))
        else:
            numbers.append(last)
        at = step + 1
    return tuple(numbers), at


def _tally(line: list[Token], at: int) -> tuple[int | None, int]:
    """`(6 rounds)` after the numbers."""
    if at + 3 < len(line) and [token.role for token in line[at : at + 4]] == ["open", "num", "header", "close"]:
        return line[at + 1].number, at + 4
    return None, at


def _separator(line: list[Token], at: int) -> int:
    while at < len(line) and line[at].role in ("stop", "colon", "dash", "close", "bar", "equals"):
        at += 1
    return at
