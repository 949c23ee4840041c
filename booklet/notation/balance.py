"""Tokens of a body in, the same with lonely brackets and stars given their partner out, where the passes show its place."""

from __future__ import annotations

from booklet.notation.lex import Token


def balanced(line: list[Token]) -> list[Token]:
    """`(2 sc, inc x 6` is closed before `x 6`; `2 sc, inc) x 6` and `2 sc, inc* x 6` are opened at the first stitch."""
    roles = [token.role for token in line]
    opens, closes, stars = roles.count("open"), roles.count("close"), roles.count("star")
    if opens != closes:
        line = _brackets(line)
    if stars == 1:
        line = _star(line)
    return line


def _brackets(line: list[Token]) -> list[Token]:
    stack: list[int] = []
    lonely: list[int] = []
    for i, token in enumerate(line):
        if token.role == "open":
            stack.append(i)
        elif token.role == "close":
            if stack:
                stack.pop()
            else:
                lonely.append(i)
    if len(stack) == 1:
        at = _passes_at(line, stack[0] + 1)
        if at is not None:
            return [*line[:at], _mark("close", line[at]), *line[at:]]
    if len(lonely) == 1 and not stack and _is_passes(line, lonely[0] + 1):
        at = _first_work(line)
        if at < lonely[0]:
            return [*line[:at], _mark("open", line[at]), *line[at:]]
    return line


def _star(line: list[Token]) -> list[Token]:
    at = next(i for i, token in enumerate(line) if token.role == "star")
    if any(token.role in ("repeat", "from_star") for token in line[at:]):
        return line
    begin = _first_work(line)
    if begin < at and _is_passes(line, at + 1):
        return [*line[:begin], _mark("star", line[begin]), *line[begin:]]
    end = _passes_at(line, at + 1)
    if end is not None and end > at + 1:
        return [*line[:end], _mark("star", line[end]), *line[end:]]
    return line


def _mark(role: str, beside: Token) -> Token:
    return Token(role, "", 0, beside.start, beside.start, False)


def _passes_at(line: list[Token], begin: int) -> int | None:
    """Where the number of repeats begins: the last of them on the line, outside inner brackets."""
    for at in range(len(line) - 1, begin, -1):
        if line[at].role in ("times", "repeat", "around", "once") and line[at - 1].role not in (
            "num",
            "each",
            "times",
            "repeat",
        ):
            return at
        if line[at].role == "num" and at + 1 < len(line) and line[at + 1].role == "times":
            return at
    return None


def _is_passes(line: list[Token], at: int) -> bool:
    roles = [token.role for token in line[at : at + 3]] + ["", "", ""]
    if roles[0] in ("comma", "repeat", "the"):
        roles = roles[1:]
    return roles[0] in ("times", "around", "once", "repeat", "total_of") or (
        roles[0] == "num" and roles[1] in ("times", "", "stop", "more")
    )


def _first_work(line: list[Token]) -> int:
    return next((i for i, token in enumerate(line) if token.role in ("num", "stitch")), 0)
