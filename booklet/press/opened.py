"""Comes in: the bytes of a PDF of anybody's. Goes out: the opened document, or a sentence on why it cannot be opened."""

from __future__ import annotations

import io
from typing import Any

from booklet.press.facts import Unreadable


def faults() -> tuple[type[Exception], ...]:
    """What the library raises where the insides of a file are not as they should be."""
    from pikepdf import PdfError

    return PdfError, ValueError, TypeError, KeyError, IndexError, AttributeError, RuntimeError, ArithmeticError, OSError


def opened(data: bytes) -> Any:  # noqa: ANN401
    """The document, to be closed by whoever asked for it. Raises Unreadable."""
    import pikepdf

    try:
        return pikepdf.open(io.BytesIO(data))
    except pikepdf.PasswordError as fault:
        raise Unreadable("it is locked with a password: ask for the file without one") from fault
    except faults() as fault:
        raise Unreadable("it is no PDF, or too damaged to be opened") from fault
