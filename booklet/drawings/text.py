"""Points in, SVG path data out: two decimals, no needless characters."""

from __future__ import annotations

import re

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


def moved(d: str, x: float) -> str:
    """Our own path data, moved sideways."""

    def piece(found: re.Match[str]) -> str:
        numbers = [float(word) for word in found[2].split()]
        return found[1] + " ".join(number(n + x if k % 2 == 0 else n) for k, n in enumerate(numbers))

    return re.sub(r"([MLC])([^MLCZ]*)", piece, d)
