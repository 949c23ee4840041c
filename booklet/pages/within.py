"""Blocks of a book in, the same with those inside of steps, alternatives and films out, in the order of reading; none is changed."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from booklet.pages.book import Block, Choice, Film, Steps


def within(blocks: Iterable[Block]) -> Iterator[Block]:
    """Every block, and behind it what it holds."""
    for block in blocks:
        yield block
        if isinstance(block, Film):
            yield from within(block.blocks)
        elif isinstance(block, Steps):
            for item in block.items:
                yield from within(item)
        elif isinstance(block, Choice):
            for way in block.alternatives:
                yield from within(way.blocks)
