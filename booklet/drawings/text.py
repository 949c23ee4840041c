"""Points in, SVG path data out: two decimals, no needless characters."""

from __future__ import annotations

from booklet.drawings.drawing import Ops


def path_text(ops: Ops) -> str:
    """SVG path data, two decimals, no needless characters."""
    return "".join([op + " ".join([number(n) for n in numbers]) for op, numbers in ops])


def number(value: float) -> str:
    """A number of two decimals, as short as it can be written."""
    text = f"{value:.2f}"
    if text.endswith("0"):
        text = text.rstrip("0").rstrip(".")
    return "0" if text == "-0" else text
