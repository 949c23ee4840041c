"""Tokens of a line in, a cursor that hands them out by role; which role may follow is the grammar's business."""

from __future__ import annotations

from booklet.diagnostics.span import Span
from booklet.notation.lex import Text, Token
from booklet.notation.tree import Number

LIMIT_COUNT = 1_000_000  # larger numbers in a line are refused by a check; they cost nothing here


class NotUnderstood(Exception):
    """Reading stopped at a token."""

    def __init__(self, token: Token | None, expected: str) -> None:
        super().__init__(expected)
        self.token, self.expected = token, expected


class Cursor:
    """A place in a line of tokens."""

    def __init__(self, line: list[Token], text: Text) -> None:
        self.line, self.text = line, text
        self.at = 0

    def _role(self, ahead: int = 0) -> str:
        return self.line[self.at + ahead].role if self.at + ahead < len(self.line) else ""

    def _here(self) -> Token | None:
        return self.line[self.at] if self.at < len(self.line) else None

    def _next(self) -> Token:
        if self.at >= len(self.line):
            raise NotUnderstood(self.line[-1] if self.line else None, "more words")
        self.at += 1
        return self.line[self.at - 1]

    def _take(self, role: str) -> bool:
        if self._role() == role:
            self.at += 1
            return True
        return False

    def _take_number(self) -> Number:
        token = self._next()
        if token.number > LIMIT_COUNT:
            raise NotUnderstood(token, f"a number below {LIMIT_COUNT}")
        return tuple(int(n) for n in token.value.split(",")) if "," in token.value else token.number

    def _skip_soft(self) -> None:
        """Commas before a repeat: `*2 sc, inc; rep from * around`."""
        step = 0
        while self._role(step) in ("comma", "stop", "the", "dash"):
            step += 1
        if step and self._role(step) in ("repeat", "from_star", "to_last", "around"):
            self.at += step

    def _advance(self) -> int:
        self.at += 1
        return self.at

    def _span(self, begin: int, end: int) -> Span:
        return self.text.span(self.line[begin].start, self.line[max(begin, end - 1)].end)
