"""An address of the web as typed in, whether a booklet may print it as a code out; nothing is fetched."""

from __future__ import annotations

import re

LONGEST = 300  # characters; a code of more cannot be scanned from a card
# Printable signs of an address (RFC 3986, 2), and {seconds} for film hosts that take the time in their own way.
_ADDRESS = re.compile(r"https://[^\s<>\"'{}|\\^`/?#]+(?:[/?#](?:[^\s<>\"'{}|\\^`]|\{seconds\})*)?\Z", re.IGNORECASE)


def is_address(text: str) -> bool:
    """Does it lead to the open web, and nowhere else?"""
    return _ADDRESS.match(text) is not None


def usable(text: str) -> str:
    """The address, or "" where it cannot be printed as a code."""
    text = text.strip()
    return text if len(text) <= LONGEST and is_address(text) else ""
