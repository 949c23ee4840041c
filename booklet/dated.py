"""Comes in: SOURCE_DATE_EPOCH of the environment. Goes out: the moment that it names; the clock is not asked here.

The variable is that of reproducible-builds.org, "SOURCE_DATE_EPOCH specification": seconds since 1970 in UTC, as decimal digits.
"""

from __future__ import annotations

import os
from datetime import UTC, datetime

LAST = 253_402_300_799  # the end of the year 9999: file formats write a year with four digits


def told() -> datetime | None:
    """The moment in UTC; None where the variable is not set, or is no such number."""
    words = os.environ.get("SOURCE_DATE_EPOCH", "")
    if not (words.isascii() and words.isdigit() and len(words) <= len(str(LAST)) and int(words) <= LAST):
        return None
    return datetime.fromtimestamp(int(words), UTC)
