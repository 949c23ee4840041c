"""Places in a text: numbers in, a span out; no text is kept here."""

from __future__ import annotations

from typing import NamedTuple


class Span(NamedTuple):
    """A stretch of a file. Lines and columns count from 1, columns in code points, the end is exclusive."""

    line: int
    column: int
    end_line: int
    end_column: int

    def to(self, other: Span) -> Span:
        """From the start of this span to the end of the other."""
        return Span(self.line, self.column, other.end_line, other.end_column)


START = Span(1, 1, 1, 1)  # "the whole file", where nothing closer is known


def within(line: int, column: int, start: int, end: int) -> Span:
    """The span of characters start..end (offsets from 0) of a one-line text that begins at line, column."""
    return Span(line, column + start, line, column + end)
