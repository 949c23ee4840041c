"""One finding about a file: a frozen value in, the same value for every renderer out; it knows no words."""

from __future__ import annotations

from dataclasses import dataclass
from typing import NamedTuple

from booklet.diagnostics.span import START, Span


class Edit(NamedTuple):
    """Replace a span by a text; an empty span inserts."""

    span: Span
    text: str


@dataclass(frozen=True, slots=True)
class Diagnostic:
    """A finding. `code` names its page in shared/diagnostics, whose sentences take `values`."""

    code: str  # words with hyphens, never a number
    span: Span = START
    values: tuple[tuple[str, str | int | float], ...] = ()  # fill the {names} of the message and the help
    edits: tuple[Edit, ...] = ()  # the proposed mend; empty if a person must decide
    part: str | None = None  # heading of the part
    round: str | None = None  # label's number, such as "3" or "4-7"
    help: str = ""  # which help sentence of the page: "" or the name after "help." there
    severity: str = ""  # "error", "warning", "note"; "" takes the page's
    file: str | None = None  # a shared table or house file; None is the pattern itself


def diagnostic(
    code: str,
    span: Span = START,
    *,
    edits: tuple[Edit, ...] = (),
    part: str | None = None,
    round: str | None = None,
    help: str = "",
    severity: str = "",
    file: str | None = None,
    **values: str | int | float,
) -> Diagnostic:
    """Make a Diagnostic with its values as keyword arguments."""
    return Diagnostic(code, span, tuple(values.items()), edits, part, round, help, severity, file)
