"""The digits of an article number (EAN-13, UPC-A) in, proven by their check digit out; no bars are drawn here."""

from __future__ import annotations

import re


def check_digit(digits: str) -> str:
    """The last digit of an article number: weights 3 and 1 from the right (GS1 General Specifications, section 7.9)."""
    total = sum(int(digit) * (3 if at % 2 == 0 else 1) for at, digit in enumerate(reversed(digits)))
    return str(-total % 10)


def article_number(typed: str) -> str:
    """The 12 (UPC-A) or 13 (EAN-13) digits. ValueError with what is wrong; a missing check digit is never made up."""
    digits = typed.replace(" ", "").replace("-", "")
    if not digits.isascii() or not digits.isdigit() or len(digits) not in (12, 13):
        raise ValueError(f"{typed[:20]}: an EAN-13 has 13 digits and a UPC-A has 12")
    if check_digit(digits[:-1]) != digits[-1]:
        raise ValueError(f"{digits}: its last digit would be {check_digit(digits[:-1])}: a digit is mistyped")
    return digits


_CIRCLED = re.compile("[\u2460-\u2473](?=(\\s*[-–~〜～・、,])?)")


def circles_as_labels(text: str) -> str:
    """Numbers in circles, as lines are numbered in Japanese, as numbers with a colon: ③ is `3:`, ③〜⑤ is `3〜5:`."""
    if text.isascii():
        return text
    return _CIRCLED.sub(_plain, text)


def circle_as_label(text: str, at: int) -> str:
    """The one at a place, ③ as `3:`."""
    found = _CIRCLED.match(text, at)
    return _plain(found) if found else text[at]


def _plain(found: re.Match[str]) -> str:
    return f"{ord(found[0]) - 0x245F}" + ("" if found[1] else ":")
