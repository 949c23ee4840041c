"""Comes in: the settled instruction lines of a part. Goes out: rows to print, with totals as computed; nothing is counted here."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator

from booklet.graph.graph import Settled
from booklet.notation.write import label, write_parts
from booklet.pages.book import Block, Round, Rounds
from booklet.pages.within import within
from booklet.pages.wording import Words, typeset
from booklet.pattern.model import Step

# A range of more rounds gets a single box: nobody ticks a hundred.
MOST_BOXES = 60


def rows_in(blocks: Iterable[Block]) -> Iterator[Round]:
    """Every line that is printed, in its order, those of all alternatives too."""
    for block in within(blocks):
        if isinstance(block, Rounds):
            yield from block.rows


def row(
    step: Step, settled: Settled | None, words: Words, *, choice: str = "", fill: str = "", proof: bool = False
) -> Round:
    """One line. A line that was not understood is printed as it was typed."""
    if settled is None or settled.instruction is None:
        return Round("", ("",), step.text, "", fill, choice=choice)
    # A start is no round, and what makes no stitch has no total.
    total = None if settled.kind == "start" else settled.total
    written = write_parts(settled.instruction, words.language, total)
    boxes = tuple(str(number) for number in settled.numbers[: MOST_BOXES + 1])
    if not 0 < len(boxes) <= MOST_BOXES:
        boxes = ("",)
    marked = ""
    if proof and settled.stated is not None and total is not None and settled.stated != total:
        marked = write_parts(settled.instruction, words.language, settled.stated).total
    named = written.label or (words.text("start_label") if settled.kind == "start" else "")
    return Round(named, boxes, unbroken(written.body, words), written.total if total is not None else "", fill, marked, choice)


def together(first: Round, second: Round, kind: str, words: Words) -> Round | None:
    """Two lines that say the same of rounds that follow one another as one, `Rnds 5–8`; None where they are not such."""
    boxes = first.boxes + second.boxes
    if len(boxes) > MOST_BOXES or not all(box.isdigit() for box in boxes):
        return None
    numbers = tuple(int(box) for box in boxes)
    told = [one._replace(label="", boxes=(), now="") for one in (first, second)]
    if numbers != tuple(range(numbers[0], numbers[0] + len(numbers))) or told[0] != told[1]:
        return None
    return second._replace(label=label(kind, numbers, words.language), boxes=boxes)


def unbroken(text: str, words: Words) -> str:
    """No line ends between a number and its stitch, nor inside an abbreviation: `3 sc`, `sl st`."""
    for name in words.language.names.values():
        if " " in name.abbr:
            text = text.replace(name.abbr, name.abbr.replace(" ", "\u00a0"))
    return re.sub(r"(?<=\d) (?=[^\W\d])", "\u00a0", typeset(text))
