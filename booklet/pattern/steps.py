"""The blocks below one heading in, their steps out: instruction lines, standard sentences, prose, pictures."""

from __future__ import annotations

from itertools import pairwise

from booklet.diagnostics.diagnostic import Diagnostic, diagnostic
from booklet.diagnostics.span import Span
from booklet.pattern import choices, prose
from booklet.pattern.labels import further_labels
from booklet.pattern.lines import goes_on, is_header, is_instruction
from booklet.pattern.match import Match, Names, match
from booklet.pattern.model import Choice, Step
from booklet.pattern.stretch import Stretch, extent, sentences
from booklet.pattern.templates import TOKEN, book, fold
from booklet.source.tree import Block, Piece
from booklet.tables.language import Language

_TEXT = ("paragraph", "item")
_OPENS_MORE = ("yarn.with", "hook")  # "With yarn B, lay a stitch …": these words often only open a sentence of prose
_JOINTS = (",", ";")


class Reading:
    """What the reading of one section needs, and what it collects."""

    def __init__(self, language: Language, names: Names, part: str | None) -> None:
        self.language, self.names = language, names
        self.part = part  # title, where the section is a part: only there may a line be an instruction
        self.problems: list[Diagnostic] = []
        self.openings: list[choices.Opening] = []
        self.headers: dict[str, bool] = {}

    def is_header(self, text: str) -> bool:
        """Is it one; each text is looked at once."""
        if text not in self.headers:
            self.headers[text] = is_header(text, self.language)
        return self.headers[text]


def numbered(block: Block) -> tuple[Piece, ...]:
    """The lines of an item with the number, or the star of a repeat, that notation has to see put back before the first."""
    first = block.pieces[0]
    star = block.marker == "*" and first.text.count("*") % 2 == 1
    if not (block.marker[:1].isdigit() or star):
        return block.pieces
    gap = " " * (first.column - block.span.column - len(block.marker))
    return (Piece(block.marker + gap + first.text, first.line, block.span.column), *block.pieces[1:])


def steps(at: int, block: Block, reading: Reading) -> list[Step]:
    """The steps of one block, in order."""
    if block.kind in ("comment", "rule"):
        return []
    if block.kind == "picture":
        values, problems = prose.picture(block)
        reading.problems += problems
        return [Step("picture", block.span, block.pieces, at, values=values)]
    if block.kind not in _TEXT:
        pieces = block.pieces or (Piece("", block.span.line, block.span.column),)
        return [Step(block.kind, block.span, pieces, at, level=block.level)]
    return _text(at, block, reading)


def _text(at: int, block: Block, reading: Reading) -> list[Step]:
    found: list[Step] = []
    waiting: list[Piece] = []
    now: choices.Opening | None = None

    def flush() -> None:
        if any(piece.text for piece in waiting):
            found.extend(_sentences(at, block, tuple(waiting), choices.chosen(now), reading))
        waiting.clear()

    pieces = list(block.pieces)
    n = 0
    while n < len(pieces):
        opened = choices.opening(pieces[n], reading.language)
        if opened is not None:
            flush()
            now, pieces[n] = opened
            reading.openings.append(now)
        size = _instruction(pieces, n, block, opened is not None, reading)
        if size:
            flush()
            line = pieces[n : n + size]
            if n == 0 and opened is None:
                line[0] = numbered(block)[0]
            kept = tuple(piece for piece in line if piece.text)
            made = choices.chosen(now)
            found += [Step("line", extent(cut), cut, at, choices=made, marker=block.marker) for cut in _by_label(kept, reading)]
            now = None  # a choice before an instruction is about this one line
        elif pieces[n].text:
            waiting.append(pieces[n])
        n += max(size, 1)
    flush()
    return found


def _instruction(pieces: list[Piece], n: int, block: Block, opened: bool, reading: Reading) -> int:
    """How many of the lines from n on are one instruction; 0 if they begin with something else."""
    if reading.part is None:
        return 0
    piece = pieces[n]
    marker = block.marker if n == 0 else ""
    labelled = marker[:1].isdigit() and not opened and reading.is_header(f"{marker} {piece.text}")  # "9. bis 12. Rd: …" as an item
    if not labelled and not reading.is_header(piece.text):
        if not is_instruction(piece.text, marker, reading.language):
            return 0
        if not marker and _is_sentence(piece.text, reading):
            return 0
    size = 1
    edge = pieces[0].column if not opened or n else block.span.column
    while n + size < len(pieces):
        more = pieces[n + size]
        deeper = more.column > (edge if block.kind == "paragraph" else block.span.column)
        if reading.is_header(more.text) or choices.opening(more, reading.language):
            break
        if not deeper and not goes_on(pieces[n + size - 1].text):
            break
        size += 1
    return size


def _by_label(pieces: tuple[Piece, ...], reading: Reading) -> list[tuple[Piece, ...]]:
    """One instruction, or several that stand in one line, each with a label of its own."""
    stretch = Stretch(pieces)
    edges = [0, *further_labels(stretch.text, reading.language), len(stretch.text)]
    if len(edges) == 2:
        return [pieces]
    return [cut for one, two in pairwise(edges) if (cut := stretch.cut(one, two))]


def _is_sentence(text: str, reading: Reading) -> bool:
    found = match(text, book(reading.language), reading.language, reading.names)
    return found is not None and found.whole


def _sentences(
    at: int, block: Block, pieces: tuple[Piece, ...], chosen: tuple[Choice, ...], reading: Reading
) -> list[Step]:
    stretch = Stretch(pieces)
    templates = book(reading.language)
    abbreviations = templates.small_words(".abbreviation")
    found: list[Step] = []
    prose_from: int | None = None
    prose_to = 0

    def flush() -> None:
        nonlocal prose_from
        if prose_from is not None:
            cut = stretch.cut(prose_from, prose_to)
            found.append(Step("prose", extent(cut), cut, at, choices=chosen, marker=block.marker))
        prose_from = None

    for start, end in sentences(stretch.text, reading.language, abbreviations):
        known = _standard(stretch, start, end, reading)
        if known:
            flush()
            for one, two, matched in known:
                cut = stretch.cut(one, two)
                values = _tidied(matched, stretch.span(one, two), reading)
                found.append(Step("sentence", extent(cut), cut, at, matched.id, values, chosen, marker=block.marker))
            continue
        prose_from = start if prose_from is None else prose_from
        prose_to = end
    flush()
    return found


def _standard(stretch: Stretch, start: int, end: int, reading: Reading) -> list[tuple[int, int, Match]]:
    """The standard sentences that these words are: one, or several joined by a comma or an `and`; none if a word is left."""
    text = stretch.text[start:end]
    bare = text.strip("*_ ") if text[:1] in "*_" else text
    lead = text.index(bare) if bare != text else 0
    start, text = start + lead, bare
    whole = match(text, book(reading.language), reading.language, reading.names)
    if whole is not None and whole.whole:
        return [(start, start + len(text), whole)]
    if whole is None:
        return []
    joined = _joined(text, start, whole, reading)
    if joined:
        return joined
    remainder = text[whole.end :].strip(" .")
    if _worth_a_note(text, whole, remainder):
        span = stretch.span(start + whole.end, start + len(text.rstrip(" .")))
        values = {"sentence": text[: whole.end], "remainder": remainder}
        reading.problems.append(diagnostic("sentence-not-understood-whole", span, part=reading.part, **values))
    return []


def _joined(text: str, start: int, first: Match, reading: Reading) -> list[tuple[int, int, Match]]:
    """`Fasten off and close the hole.`: the understood beginning, a joint, and a rest that is understood as well."""
    rest = text[first.end :]
    for joint in TOKEN.finditer(rest):
        role = reading.language.words.get(fold(joint[0]), ("", ""))[0]
        if joint[0] in _JOINTS or role == "and":
            after = first.end + joint.end()
            tail = text[after:]
            after += len(tail) - len(tail.lstrip())
            second = match(text[after:], book(reading.language), reading.language, reading.names)
            if second is None:
                continue
            if second.whole:
                return [
                    (start, start + first.end, first._replace(whole=True)),
                    (start + after, start + len(text), second),
                ]
            more = _joined(text[after:], start + after, second, reading)
            return [(start, start + first.end, first._replace(whole=True)), *more] if more else []
        return []
    return []


def _worth_a_note(text: str, found: Match, remainder: str) -> bool:
    if not remainder or (found.id in _OPENS_MORE and remainder.startswith(",")):
        return False
    # One word is a weak sign: "Fill the hips first and the neck last" is plain prose.
    return len(TOKEN.findall(text[: found.end])) > 1 or remainder.startswith((",", "-", "–", "but"))


def _tidied(found: Match, span: Span, reading: Reading) -> tuple[tuple[str, str | int | float], ...]:
    values = dict(found.values)
    if values.pop("apart_as", None):
        notes = {"apart": values["apart"]}
        reading.problems.append(diagnostic("apart-read-as-between", span, part=reading.part, **notes))
    return tuple(values.items())
