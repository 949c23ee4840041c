"""Text of scripts that are written without spaces in, the sizes of its words out; what a word means is said by those who ask."""

from __future__ import annotations

from collections.abc import Container

WIDE = "\u2e80"  # from here on scripts are written without spaces: Japanese, Chinese, Korean
LONGEST = 16  # characters of a word of such a script
FULL_WIDTH = {chr(code): chr(code - 0xFEE0) for code in range(0xFF01, 0xFF5F)}  # full-width forms of ASCII, as ASCII


def size_at(word: str, at: int, known: Container[str]) -> int:
    """How long the longest known word is that begins at a place; 1 where none does."""
    return next((size for size in range(min(LONGEST, len(word) - at), 1, -1) if word[at : at + size] in known), 1)
