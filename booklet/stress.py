"""A line as typed in, the same with a label in bold or italics freed of its marks out; what a label is is pattern's and notation's."""

from __future__ import annotations

import re

_STRESSED = re.compile(
    r"[\s>-]*(?P<mark>\*{1,3}|_{1,3})(?P<label>(?:[^\W\d_]{1,15}\.?\s*)?\d{1,4}(?:\s?(?:[-–]|[^\W\d_]{1,3})\s?\d{1,4})?[.)]?(?:\s?[^\W\d_]{1,12})?\s?[:.)]?)(?P=mark)"
)


def without_stress(text: str) -> str:
    """`**Rnd 3:** 18 sc`: a label in bold or italics without its marks; blanks stand in their places, so that no word moves."""
    found = _STRESSED.match(text)
    if found is None:
        return text
    blank = " " * len(found["mark"])
    return text[: found.start("mark")] + blank + found["label"] + blank + text[found.end() :]
