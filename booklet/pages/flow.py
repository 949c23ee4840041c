"""Comes in: the steps below a heading. Goes out: blocks in the order of work; headings and sections are made elsewhere."""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping, Sequence
from itertools import groupby

from booklet.graph.graph import Settled
from booklet.pages import films
from booklet.pages.book import (
    Alternative,
    Block,
    Choice,
    Direction,
    Heading,
    Photo,
    Picture,
    Plate,
    Prose,
    Round,
    Rounds,
    Steps,
    Technique,
)
from booklet.pages.rounds import row, together
from booklet.pages.sentences import say, spoken
from booklet.pages.wording import Words, capital
from booklet.pattern.model import Choice as Chosen
from booklet.pattern.model import Step
from booklet.tables.signs import sign_of

# What Markdown would read as a sign of its own, in text that is not Markdown.
SPECIAL = re.compile(r"([\\`*_{}\[\]()#+\-.!|<>&~])")


class Context:
    """What the steps of one section are printed with."""

    def __init__(
        self,
        words: Words,
        lines: Mapping[int, Settled],
        chosen: Mapping[str, str],
        *,
        fills: Mapping[int, str] | None = None,
        after: Mapping[int, Plate] | None = None,
        sizes: Mapping[int, str] | None = None,
        proof: bool = False,
        lessons: Mapping[int, tuple[Technique, ...]] | None = None,
        plain: Mapping[int, str] | None = None,
        checks: Mapping[int, tuple[str, ...]] | None = None,
        short: bool = False,
        film: str = "",
    ) -> None:
        self.words = words
        self.lines = lines  # by the index of the step in its section
        self.chosen = chosen  # choices that the edition has made; alternatives of the others are all printed
        self.fills = fills or {}  # by the index of the step: the colour of its yarn, in parts of several yarns
        self.after = after or {}  # by the index of the step: the charts that stand after its line
        self.sizes = sizes or {}  # by the index of the step: how large the piece is now
        self.proof = proof
        self.lessons = lessons or {}  # by the index of the step: techniques that it needs first
        self.plain = plain or {}  # by the index of the step: its line in plain words
        self.checks = checks or {}  # by the index of the step: what to look at when its line is done
        self.short = short  # equal rounds that follow one another stand on one line
        self.film = film  # the address that the pattern gives; a time leads into it


def flow(steps: Sequence[Step], context: Context) -> tuple[Block, ...]:
    """The blocks of a section."""
    numbered = [(index, step) for index, step in enumerate(steps) if _wanted(step, context)]
    found: list[Block] = []
    for stretch, after in _lessons(numbered, context):
        found += _joined(_choices(stretch, context))
        found += after
    return tuple(found)


def _lessons(steps: list[tuple[int, Step]], context: Context) -> Iterable[tuple[list[tuple[int, Step]], list[Technique]]]:
    """Stretches with the techniques that stand between them: before a line or a list, after the words that ask for them."""
    stretch: list[tuple[int, Step]] = []
    waiting: list[Technique] = []
    taught: set[int] = set()  # a picture parts a list, but what its steps need stands before the whole of it, once
    for at, (index, step) in enumerate(steps):
        words = step.kind not in ("line", "picture", "heading") and not step.marker
        new = list(context.lessons.get(index, ()))
        if words:
            waiting += new
        elif step.marker and step.kind != "line" and (at == 0 or not steps[at - 1][1].marker):
            of_list = [index for index, one in steps[at:] if (one.marker or one.kind == "picture") and index not in taught]
            new = [lesson for one in of_list for lesson in context.lessons.get(one, ())]
            taught.update(of_list)
            if new:
                yield stretch, new
                stretch = []
        elif new and step.kind == "line":
            yield stretch, new
            stretch = []
        stretch.append((index, step))
        following = steps[at + 1][1] if at + 1 < len(steps) else None
        if waiting and words and (following is None or not _goes_with(step, following, context)):
            yield stretch, waiting
            stretch, waiting = [], []
    yield stretch, waiting


def _goes_with(step: Step, following: Step, context: Context) -> bool:
    """Is the next step printed in one block with this one?"""
    mine, theirs = ([key for key, _ in _open(one, context)] for one in (step, following))
    if mine or theirs:
        return mine == theirs
    return following.block == step.block and _kind(following) == _kind(step)


def choice_text(choice: Chosen, words: Words) -> str:
    """`eyes: safety`; of an optional thing only its name."""
    key, value = choice
    key = words.page.get(f"choice.word.{key}", key)  # a translator's word for it
    told = words.page.get(f"choice.word.{value}", value)
    return words.optional(f"choice.{value}", words.text("choice", key=key, value=told), key=key)


def _wanted(step: Step, context: Context) -> bool:
    return all(context.chosen.get(key, value) == value for key, value in step.choices)


def _open(step: Step, context: Context) -> tuple[Chosen, ...]:
    """The choices of a step that the edition leaves open."""
    return tuple(choice for choice in step.choices if choice[0] not in context.chosen)


def _choices(steps: list[tuple[int, Step]], context: Context) -> Iterable[Block]:
    """Alternatives that follow one another become one block."""

    def asked(item: tuple[int, Step]) -> tuple[str, ...]:
        return tuple(key for key, _ in _open(item[1], context))

    for keys, group in groupby(steps, asked):
        same = list(group)
        if not keys or any(_in_list(step) for _, step in same):
            yield from _plain(same, context)
            continue
        ways = []
        for choices, way in groupby(same, lambda item: _open(item[1], context)):
            text = ", ".join(choice_text(choice, context.words) for choice in choices)
            title = context.words.text(_way(choices, len(ways)), choice=text)
            ways.append(Alternative(title, tuple(_joined(_plain(list(way), context)))))
        yield Choice(tuple(ways))


def _way(choices: tuple[Chosen, ...], before: int) -> str:
    if any(value == "with" for _, value in choices):
        return "choice.optional"
    return "choice.or" if before else "choice.either"


def _in_list(step: Step) -> bool:
    return bool(step.marker)


def _plain(steps: list[tuple[int, Step]], context: Context) -> Iterable[Block]:
    """Steps as blocks: lines, lists, and the sentences of a paragraph together."""
    for (kind, _), group in groupby(steps, lambda item: _kind(item[1])):
        same = list(group)
        if kind == "line":
            yield from _lines(same, context)
        elif kind == "list":
            yield _list(same, context)
        elif kind == "heading":
            yield from (Heading(step.text) for _, step in same)
        elif kind == "picture":
            yield from (Photo(picture(step)) for _, step in same)
        else:
            yield from _paragraph([step for _, step in same], context)


def _kind(step: Step) -> tuple[str, int]:
    """Steps with the same kind belong together; of words, those of one block of the file."""
    if step.kind in ("line", "picture", "heading"):
        return step.kind, 0
    if step.marker:
        return "list", 0
    return "words", step.block


def _lines(steps: list[tuple[int, Step]], context: Context) -> Iterable[Block]:
    """Lines as tables, with charts between them."""
    rows: list[Round] = []
    for index, step in steps:
        made = _row(index, step, context)
        line = context.lines.get(index)
        if context.short and rows and line is not None and (both := together(rows[-1], made, line.kind, context.words)):
            rows[-1] = both
        else:
            rows.append(made)
        if index in context.after:
            yield Rounds(tuple(rows))
            yield context.after[index]
            rows = []
    if rows:
        yield Rounds(tuple(rows))


def _row(index: int, step: Step, context: Context) -> Round:
    choice = ", ".join(choice_text(one, context.words) for one in _open(step, context))
    fill = context.fills.get(index, "")
    made = row(step, context.lines.get(index), context.words, choice=choice, fill=fill, proof=context.proof)
    return made._replace(
        now=context.sizes.get(index, ""), plain=context.plain.get(index, ""), checks=context.checks.get(index, ())
    )


def _list(steps: list[tuple[int, Step]], context: Context) -> Steps:
    items = []
    for _, group in groupby(steps, lambda item: item[1].block):
        same = [step for _, step in group]
        blocks = _paragraph(same, context)
        choices = _open(same[0], context)
        if choices:
            text = ", ".join(choice_text(choice, context.words) for choice in choices)
            blocks = (Choice((Alternative(context.words.text(_way(choices, 0), choice=text), blocks),)),)
        items.append(blocks)
    return Steps(tuple(items), numbered=steps[0][1].marker[:1].isdigit())


def _paragraph(steps: list[Step], context: Context) -> tuple[Block, ...]:
    """The words of a paragraph; where it names a film they stand beside its code."""
    found = {at: film for at, step in enumerate(steps) if (film := films.of_step(step, context.film, context.words))}
    if not found:
        return _words(steps, context)
    blocks = _words([step for at, step in enumerate(steps) if at not in found], context) if len(found) < len(steps) else ()
    first, *others = found.values()
    return (first._replace(blocks=blocks), *others)


def _words(steps: list[Step], context: Context) -> tuple[Direction | Prose, ...]:
    """Standard sentences alone are the tool's words; mixed with others they stay in the designer's paragraph.

    In an edition of another language the two are parted, since only the sentences are translated.
    """
    words = context.words
    if words.source:
        made = [(step, spoken(step, words)) for step in steps]
        return tuple(
            Direction(_sentences([text for _, text in run if text is not None], words), _sign([step for step, _ in run]))
            if translated
            else Prose(" ".join(_markdown(step) for step, _ in run), language=words.source)
            for translated, run in ((key, list(group)) for key, group in groupby(made, lambda pair: pair[1] is not None))
        )
    if all(step.kind == "sentence" for step in steps):
        return (Direction(_sentences([say(step, words) for step in steps], words), _sign(steps)),)
    texts = [
        SPECIAL.sub(r"\\\1", capital(say(step, words))) if step.kind == "sentence" else _markdown(step)
        for step in steps
    ]
    return (Prose(" ".join(texts) if len(texts) > 1 else texts[0]),)


def _sign(steps: list[Step]) -> str:
    """Of the first sentence that has one."""
    return next(filter(None, (sign_of(step.name) for step in steps)), "")


def _sentences(texts: list[str], words: Words) -> str:
    return words.join("sentence", (capital(text) for text in texts))


def _markdown(step: Step) -> str:
    lines = [piece.text for piece in step.pieces]
    if step.kind == "quote":
        lines = [f"> {text}" for text in lines]
    elif step.kind == "code":
        lines = [f"    {text}" for text in lines]
    return "\n".join(lines)


def picture(step: Step) -> Picture:
    """The picture of a step."""
    width = step.value("width_mm", 0.0)
    return Picture(
        str(step.value("path", "")),
        str(step.value("alt", "")),
        str(step.value("caption", "") or ""),
        float(width) if isinstance(width, int | float) else 0.0,
        bool(step.value("actual_size", 0)),
        step.span,
    )


def _joined(blocks: Iterable[Block]) -> Iterable[Block]:
    """A picture between two list items belongs to the item before it, and the list goes on."""
    held: Steps | None = None
    pictures: list[Photo] = []
    for block in blocks:
        if isinstance(block, Steps) and held is not None and held.numbered == block.numbered:
            held = _with(held, pictures)._replace(items=_with(held, pictures).items + block.items)
            pictures = []
        elif isinstance(block, Photo) and held is not None:
            pictures.append(block)
        else:
            if held is not None:
                yield _with(held, pictures)
            held, pictures = (block, []) if isinstance(block, Steps) else (None, [])
            if held is None:
                yield block
    if held is not None:
        yield _with(held, pictures)


def _with(steps: Steps, pictures: list[Photo]) -> Steps:
    if not pictures:
        return steps
    return steps._replace(items=(*steps.items[:-1], (*steps.items[-1], *pictures)))
