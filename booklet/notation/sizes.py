"""Tokens of a line in, the same with size lists as one number out: `12 (14, 16)`."""

from __future__ import annotations

from booklet.notation.lex import Token


def size_lists(line: list[Token], sizes: int) -> list[list[Token]]:
    """With declared sizes a list holds one number for each. Without, a bracket of several numbers is one too, and the first is taken.

    Two ways where one more number stands in a last bracket and no other in the line: `inc x 6 (12)` may tell its total.
    """
    listed = _listed(line, sizes, len(line))
    if sizes != 2 or len(listed) == len(line):
        return [listed]
    last = len(line)
    while last and line[last - 1].role == "stop":
        last -= 1
    open_ = last - 3
    if open_ < 1 or line[last - 1].role != "close" or line[open_].role != "open" or line[open_ - 1].role != "num":
        return [listed]
    return [_listed(line, sizes, open_), listed]


def _listed(line: list[Token], sizes: int, before: int) -> list[Token]:
    found: list[Token] = []
    at = 0
    while at < len(line):
        token = line[at]
        if token.role == "num" and at + 1 < len(line) and at + 1 < before and line[at + 1].value == "(":
            numbers, end = _bracketed(line, at + 2)
            if end and (len(numbers) + 1 == sizes or (sizes < 2 and len(numbers) > 1)):
                values = (token.number, *numbers)
                value = ",".join(str(n) for n in values) if sizes > 1 else token.value
                found.append(token._replace(value=value, end=line[end - 1].end))
                at = end
                continue
        found.append(token)
        at += 1
    return found


def _bracketed(line: list[Token], at: int) -> tuple[list[int], int]:
    """Numbers with commas up to a closing bracket, and where it ends; 0 if it is something else. A dash stands for none."""
    numbers: list[int] = []
    while at < len(line):
        if line[at].role == "num":
            numbers.append(line[at].number)
        elif line[at].role == "dash" and at + 1 < len(line) and line[at + 1].role in ("comma", "close"):
            numbers.append(0)
        else:
            return numbers, 0
        at += 1
        if at < len(line) and line[at].role == "close":
            return numbers, at + 1
        if at >= len(line) or line[at].role != "comma":
            return numbers, 0
        at += 1
    return numbers, 0
