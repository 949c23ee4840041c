"""Single values of a kit file in, numbers, amounts, money as exact decimals out; None for what is not understood."""

from __future__ import annotations

import re
from decimal import Decimal

from booklet.kits.kit import Amount
from booklet.units import measures

MOST = 1_000_000  # kits, pieces, packs: more is a slip of the fingers
_NUMBER = re.compile(r"(\d{1,9})(?:[.,](\d{1,4}))?")
_MONEY = re.compile(r"(\d{1,9})(?:[.,](\d{1,2}))?(?:\s*([^\W\d_]{3}|[€£$¥]))?")


def whole(text: str) -> int | None:
    """A whole number from 1."""
    words = text.strip()
    return int(words) if words.isascii() and words.isdigit() and len(words) < 8 and 0 < int(words) <= MOST else None


def percent(text: str) -> Decimal | None:
    """`20 %`, `20`, `2,5%`: at most 500."""
    found = _NUMBER.fullmatch(text.strip().removesuffix("%").strip())
    value = _decimal(found) if found else None
    return value if value is not None and value <= 500 else None


def money(text: str, currency: str) -> Decimal | None:
    """`18.90`, `18,90 EUR`. A price in another currency than the kit's is not understood."""
    found = _MONEY.fullmatch(text.strip())
    if found is None or (found[3] and found[3].upper() != currency.upper()):
        return None
    return _decimal(found)


def amount(text: str) -> Amount | None:
    """`1 kg cone`, `50 g`, `300 m`, `100`, `12 packs`."""
    found = measures(text)
    if len(found) == 1 and not text[: found[0].start].strip():
        one = found[0]
        value = Decimal(repr(round(one.amount if one.dimension == "mass" else one.amount / 1000, 4)))
        return Amount(value, "g" if one.dimension == "mass" else "m", text[one.end :].strip(" ,()")) if value > 0 else None
    plain = _NUMBER.match(text.strip())
    if plain is None or found:
        return None
    rest = text.strip()[plain.end() :].strip()
    return Amount(_decimal(plain), "pc", rest) if re.fullmatch(r"[^\d%]{0,40}", rest) else None


def _decimal(found: re.Match[str]) -> Decimal:
    return Decimal(f"{found[1]}.{found[2] or 0}")
