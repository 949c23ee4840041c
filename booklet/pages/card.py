"""Comes in: a Book, and how many sides it takes without some of its blocks. Goes out: what a card leaves out; nothing is laid out here.

The names of the blocks are those of editions.discover; "room" is the white between them, the first thing to be given up.
Rounds, sentences and steps, materials, abbreviations, cautions, maker and batch are no such blocks: no card is without them.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import replace
from typing import NamedTuple

from booklet.diagnostics.diagnostic import Diagnostic, diagnostic
from booklet.pages.book import Block, Book, Choice, Direction, Part, Round, Rounds, Steps

WHITE = "room"
SLACK = 0.1  # sides
TRIED = 3  # blocks that are tried again, the most wanted: each costs laying the card out once more


class Fit(NamedTuple):
    """What was decided for a card."""

    left: tuple[str, ...]  # blocks that are left out, in the order in which they were given up
    needs: int  # sides that it would take with the last of them; 0 if nothing is left out
    room: int  # sides that the card has in the end
    wished: int  # sides that its layout has


class Measured(NamedTuple):
    """How high things stand on a card that was laid out, in mm; only for a guess, which is then laid out itself."""

    sides: float  # sides that are filled, with a part of the last one
    blocks: Mapping[str, float]  # a block that can be given up -> sides that it takes


def fit(
    book: Book,
    order: Sequence[str],
    wished: int,
    multiple: int,
    count: Callable[[Book], int],
    measure: Callable[[Book], Measured] | None = None,
) -> Fit:
    """Give up blocks in their order until the rest fits, then put back what still finds room of the most wanted.

    `count` lays a book out and says how many sides it takes; it is the costly thing here. `measure` says what it found for a
    book that was counted: with it, the search begins where the end will be. What cannot be given up has as many sides as it needs.
    """
    present = [name for name in order if without(book, (name,)) != book]
    sides: dict[tuple[str, ...], int] = {}

    def taken(left: Sequence[str]) -> int:
        key = tuple(left)
        if key not in sides:
            sides[key] = count(without(book, key))
        return sides[key]

    base = 1 if present[:1] == [WHITE] else 0  # what is measured is a card that has given up its white
    room, found, guess = wished, None, base if measure is not None else None
    if taken(present[:base]) > wished:
        if measure is not None:
            found = measure(without(book, present[:base]))
            guess = base + _guess(found, present[base:], wished)
        if guess is None or guess >= len(present) or taken(present[:guess]) > wished:
            room = max(wished, -(-taken(present) // multiple) * multiple)
            guess = base + _guess(found, present[base:], room) if found else None
    enough = _first(len(present), lambda number: taken(present[:number]) <= room, guess)
    left = present[:enough]
    heights = found.blocks if found else {}
    spare = room - found.sides + sum(heights.get(name, 0.0) for name in left) if found else 0.0
    for name in present[:enough][: -TRIED - 1 : -1]:
        fewer = [one for one in left if one != name]
        # Sides break where they must: a block that seems a little too high may fit, one that is much too high is not tried.
        if heights.get(name, 0.0) <= spare + SLACK and taken(fewer) <= room:
            left, spare = fewer, spare - heights.get(name, 0.0)
    return Fit(tuple(left), taken(left[:-1]) if left else 0, room, wished)


def _guess(found: Measured, present: Sequence[str], room: int) -> int:
    """How many blocks will have to go, by their heights."""
    over, number = found.sides - room, 0
    while over > 0 and number < len(present):
        over -= found.blocks.get(present[number], 0.0)
        number += 1
    return number


def _first(most: int, enough: Callable[[int], bool], guess: int | None) -> int:
    """The least number that is enough, `most` if none below it is; giving up one more never takes more sides."""
    low, high = 0, most
    for near in (guess, guess - 1 if guess is not None else None):
        if near is not None and low <= near < high:
            low, high = (low, near) if enough(near) else (near + 1, high)
    while low < high:
        middle = (low + high) // 2
        low, high = (low, middle) if enough(middle) else (middle + 1, high)
    return low


def told(found: Fit, layout: str) -> tuple[Diagnostic, ...]:
    """What was left out and why, and that a card has more sides than its layout wishes."""
    notes = []
    gone = [name for name in found.left if name != WHITE]  # nobody misses the white
    if gone:
        told_of = {"left": ", ".join(gone), "last": found.left[-1], "needs": found.needs, "sides": found.room}
        notes.append(diagnostic("card-left-out", layout=layout, **told_of))
    if found.room > found.wished:
        notes.append(diagnostic("card-more-sides", layout=layout, sides=found.wished, made=found.room))
    return tuple(notes)


def without(book: Book, left: Sequence[str]) -> Book:
    """The book without some blocks; a name that it has nothing of changes nothing."""
    gone = frozenset(left)
    changed = replace(
        book,
        notes=tuple(replace(one, blocks=_kept(one.blocks, gone)) for one in book.notes if "notes" not in gone or one.role == "stitches"),
        parts=_parts(book, gone),
        finishing=tuple(replace(one, blocks=_kept(one.blocks, gone)) for one in book.finishing),
    )
    if WHITE in gone:
        changed = _closed(changed)
    if "advice" in gone:
        changed = replace(changed, safety=replace(changed.safety, cautions=tuple(one._replace(more=()) for one in changed.safety.cautions)))
    if "lessons" in gone:
        changed = replace(changed, lessons=(), lessons_note="")
    if "overview" in gone:
        changed = replace(changed, overview=None)
    if "placements" in gone:
        changed = replace(changed, placements=())
    if "credits" in gone:
        changed = replace(changed, colophon=replace(book.colophon, facts=(), licence=""))
    if "glance" in gone:
        changed = replace(changed, glance=())
    if "care" in gone:
        changed = replace(changed, safety=replace(changed.safety, care=None))
    if "cover" in gone:
        changed = replace(changed, cover=book.cover._replace(picture=None, rings=()))
    return replace(changed, others=tuple(without(one, left) for one in book.others)) if book.others else changed


def _closed(book: Book) -> Book:
    """Lines stand close, and standard sentences that follow one another make one paragraph."""

    def run_on(blocks: tuple[Block, ...]) -> tuple[Block, ...]:
        found: list[Block] = []
        for block in blocks:
            if isinstance(block, Direction) and found and isinstance(found[-1], Direction):
                pair = book.words.get("pair.sentence", "{a} {b}")
                text = pair.replace("{a}", found[-1].text).replace("{b}", block.text)
                found[-1] = Direction(text, found[-1].sign or block.sign)
            else:
                found.append(block)
        return tuple(found)

    return replace(
        book,
        tight=True,
        parts=tuple(replace(one, blocks=run_on(one.blocks)) for one in book.parts),
        finishing=tuple(replace(one, blocks=run_on(one.blocks)) for one in book.finishing),
    )


def _parts(book: Book, gone: frozenset[str]) -> tuple[Part, ...]:
    parts, first = [], True
    for part in book.parts:
        blocks: list[Block] = []
        for block in _kept(part.blocks, gone):
            if block.kind == "plate":
                name, first = ("chart" if first else "charts"), False
                if name in gone:
                    continue
            blocks.append(block)
        kept = replace(part, blocks=tuple(blocks))
        parts.append(replace(kept, outline=None, progress=None) if "outlines" in gone else kept)
    return tuple(parts)


def _row(row: Round, gone: frozenset[str]) -> Round:
    if "lessons" in gone:
        row = row._replace(plain="", checks=())
    return row._replace(now="") if "sizes" in gone else row


def _kept(blocks: tuple[Block, ...], gone: frozenset[str]) -> tuple[Block, ...]:
    """The blocks of a stretch that are printed; steps and alternatives are looked into."""
    found: list[Block] = []
    for block in blocks:
        if (block.kind == "photo" and "photos" in gone) or (block.kind == "technique" and "lessons" in gone):
            continue
        if isinstance(block, Steps):
            block = block._replace(items=tuple(_kept(item, gone) for item in block.items))
        elif isinstance(block, Choice):
            block = block._replace(alternatives=tuple(one._replace(blocks=_kept(one.blocks, gone)) for one in block.alternatives))
        elif isinstance(block, Rounds):
            block = block._replace(rows=tuple(_row(row, gone) for row in block.rows))
        found.append(block)
    return tuple(found)
