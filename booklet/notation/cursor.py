"""Tokens of a line in, a cursor that hands them out by role; which role may follow is the grammar's business."""

from __future__ import annotations

from booklet.diagnostics.span import Span
from booklet.notation.lex import Text, Token
from booklet.notation.tree import Number

LIMIT_COUNT = 1_000_000  # larger numbers in a line are refused by a check; they cost nothing here
_END = ("",) * 12  # roles past the end of the line, so that looking ahead needs no test


class NotUnderstood(Exception):
    """Reading stopped at a token."""

    def __init__(self, token: Token | None, expected: str) -> None:
        super().__init__(expected)
        self.token, self.expected = token, expected


class Cursor:
    """A place in a line of tokens."""

    def __init__(self, line: list[Token], text: Text) -> None:
        self.line, self.text = line, text
        self.roles = [token.role for token in line]
        self.roles += _END
        self.size = len(line)
        self.at = 0

    def _role(self, ahead: int = 0) -> str:
        at = self.at + ahead
        return self.roles[at] if 0 <= at < len(self.roles) else ""

    def _here(self) -> Token | None:
        return self.line[self.at] if self.at < self.size else None

    def _value(self, ahead: int = 0) -> str:
        at = self.at + ahead
        return self.line[at].value if at < self.size else ""

    def _next(self) -> Token:
        if self.at >= self.size:
            raise NotUnderstood(self.line[-1] if self.line else None, "more words")
        self.at += 1
        return self.line[self.at - 1]

    def _take(self, role: str) -> bool:
        if self.roles[self.at] == role:
            self.at += 1
            return True
        return False

    def _skip(self, *roles: str) -> None:
        while self.roles[self.at] in roles:
            self.at += 1

    def _past_articles(self, ahead: int = 0) -> int:
        """How many words ahead the first one is, from there on, that is no article."""
        while self._role(ahead) == "the":
            ahead += 1
        return ahead

    def _take_number(self) -> Number:
        token = self._next()
        if token.number > LIMIT_COUNT:
            raise NotUnderstood(token, f"a number below {LIMIT_COUNT}")
        return tuple(int(n) for n in token.value.split(",")) if "," in token.value else token.number

    def _is_generic(self, ahead: int = 0) -> bool:
        """Is it a word for any stitch: "st", "stitches"?"""
        return self._role(ahead) == "stitch" and not self._value(ahead)

    def _is_chain(self, ahead: int = 0) -> bool:
        return self._role(ahead) == "stitch" and self._value(ahead) == "chain"

    def _is_slip(self, ahead: int = 0) -> bool:
        return self._role(ahead) == "stitch" and self._value(ahead) == "slip_stitch"

    def _advance(self) -> int:
        self.at += 1
        return self.at

    def _span(self, begin: int, end: int) -> Span:
        return self.text.span(self.line[begin].start, self.line[max(begin, end - 1)].end)
