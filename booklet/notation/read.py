"""Words of a pattern's lines in, candidate instruction trees out, likeliest first; nothing is counted, no line is lost."""

from __future__ import annotations

from dataclasses import replace

from booklet.diagnostics.span import Span
from booklet.notation.balance import balanced
from booklet.notation.body import LIMIT_NESTING, Body, NotUnderstood
from booklet.notation.compound import compounds
from booklet.notation.header import Header, header
from booklet.notation.lex import Lexicon, Text, Token, lettered, lexicon, tokens
from booklet.notation.lex import join as join_pieces
from booklet.notation.readings import LIMIT_READINGS, Choice, readings
from booklet.notation.shape import is_slip, shaped
from booklet.notation.sizes import size_lists
from booklet.notation.tallies import tallies
from booklet.notation.total import Cut, cuts
from booklet.notation.tree import Act, Candidates, Instruction, Node, Number, Work
from booklet.pattern.model import Pattern, Step
from booklet.source.tree import Piece
from booklet.stress import without_stress
from booklet.tables.language import Language, fold

LIMIT_CHARACTERS = 4_000
_LIKELY_RANGE = 40  # rounds; the longest published range has 47
_STARTS = (
    "stitch",
    "join",
    "join_target",
    "comma",
    "stop",
    "num",
    "ring",
    "the",
    "in",
    "range",
    "ordinal",
    "with",
    "turn",
    "colon",
)

__all__ = ["LIMIT_NESTING", "LIMIT_READINGS", "read_line", "read_pattern", "words_of"]


def words_of(pattern: Pattern, language: Language) -> Lexicon:
    """The dictionary of a pattern: its language, yarn codes, part titles and own stitches."""
    own = [
        (form, f"own:{name}")
        for name, abbreviation, _, _ in pattern.own_stitches
        for form in (name, abbreviation)
        if form
    ]
    return lexicon(
        language, tuple(yarn.code for yarn in pattern.yarns), tuple(part.title for part in pattern.parts), tuple(own)
    )


def read_pattern(pattern: Pattern, language: Language) -> dict[tuple[int, int], Candidates]:
    """Read every instruction line. Keys are (part index, step index)."""
    words = words_of(pattern, language)
    found: dict[tuple[int, int], Candidates] = {}
    for p, part in enumerate(pattern.parts):
        flat = _is_flat(part.steps)
        for s, step in enumerate(part.steps):
            if step.kind == "line":
                found[p, s] = read_line(
                    step.pieces, words, sizes=max(1, len(pattern.sizes)), flat=flat, marker=step.marker
                )
    return found


def read_line(
    pieces: tuple[Piece, ...], words: Lexicon, *, sizes: int = 1, flat: bool = False, marker: str = ""
) -> Candidates:
    """Read one line in every way that it can be meant. `flat` says that bare numbers are rows, `marker` is a list's own number."""
    text = join_pieces(pieces)
    if len(text.text) > LIMIT_CHARACTERS:
        return Candidates((), text.span(LIMIT_CHARACTERS, len(text.text)), "a shorter line")
    plain = without_stress(text.text)
    cut = tokens(plain, words)
    if not cut:
        return Candidates((), text.span(0, len(text.text)), "an instruction")
    found = _read(cut, text, words, sizes, flat, marker)
    if found.readings and not any(_may_be_letter(token, text.text, words) or _may_be_second(token, text.text, words) for token in cut):
        return found
    coded = lettered(plain, cut, words)
    if coded is None:
        return found
    other = _read(coded, text, words, sizes, flat, marker)
    if not other.readings:
        return found
    told = ("letter-codes", ())
    lines = tuple(replace(line, choices=(*line.choices, told)) for line in other.readings)
    if found.readings and all(isinstance(node, Act) for node in found.readings[0].items):
        return other._replace(readings=(*lines, *found.readings)[:LIMIT_READINGS])  # a join, where stitches are meant
    return (found if found.readings else other)._replace(readings=(*found.readings, *lines)[:LIMIT_READINGS])


def _may_be_second(token: Token, text: str, words: Lexicon) -> bool:
    """A stitch whose name means another one in the language's second system of names."""
    return bool(words.second) and token.role == "stitch" and fold(text[token.start : token.end]) in words.second


def _may_be_letter(token: Token, text: str, words: Lexicon) -> bool:
    """A capital that was read as a colour which the pattern does not declare, or as a small word: it may be a letter for a stitch."""
    word = text[token.start : token.end]
    code = len(word) == 1 and word.isupper() and token.role in ("yarn", "word", "and", "range", "in")
    return code and word not in words.yarns and (word.casefold() in words.letters or word.casefold() in words.second)


def _read(cut: list[Token], text: Text, words: Lexicon, sizes: int, flat: bool, marker: str) -> Candidates:
    """Read tokens. With sizes a bracket at the end of the line may be its total or its last size: both are read."""
    found: list[Candidates] = []
    for listed in size_lists(cut, sizes):
        line = compounds(listed, words)
        for way in (line, _dash_otherwise(line)):
            if way:
                head, rest, label = _parted(way, text, flat, marker)
                found.append(_Reader(text, way, head, tallies(rest), label).read())
    readings = tuple(line for one in found for line in one.readings)
    return found[0] if len(found) < 2 or not readings else found[0]._replace(readings=readings[:LIMIT_READINGS])


def _dash_otherwise(line: list[Token]) -> list[Token]:
    """`Rnd 5 - 10 sc in each`, `R1-6 sc in MR`: the dash may stand between two rounds, or end the label; else nothing."""
    roles = [token.role for token in line[:6]]
    if roles[:5] != ["header", "num", "dash", "num", "stitch"] or not line[4].value:
        return []
    first, last = line[1].number, line[3].number
    if not first < last <= first + _LIKELY_RANGE:
        return []
    if line[2].glued and line[3].glued:
        return [*line[:2], line[2]._replace(role="colon"), *line[3:]]
    return [*line[:2], line[2]._replace(role="range"), *line[3:]] if roles[5:] in (["in"], ["each"], ["around"]) else []


class _Reader:
    """One line with its label taken off."""

    def __init__(self, text: Text, line: list[Token], head: Header, rest: list[Token], label: str) -> None:
        self.text, self.line, self.head, self.rest, self.label = text, line, head, rest, label
        self.rounds = max(1, len(head.numbers), head.length)
        self.stopped: NotUnderstood | None = None

    def read(self) -> Candidates:
        """All readings; those that pass over words only where there is no other."""
        ways = cuts(self.rest, self.rounds)
        found = self._all(ways, False)
        if found:
            return Candidates(tuple(found))
        guesses = self._all(ways, True)
        stopped = self.stopped
        at = (stopped.token if stopped else None) or (self.line[-1] if self.line else None)
        span = self.text.span(at.start, at.end) if at else self.text.span(0, len(self.text.text))
        amounts = ways[0].amounts
        stated = amounts[0][0] if amounts else self.head.stated
        first = stated if isinstance(stated, int) or stated is None else stated[0]
        expected = stopped.expected if stopped else "stitches"
        return Candidates(
            (), span, expected, self.head.kind or "round", self.label, self.head.numbers, first, tuple(guesses)
        )

    def _all(self, ways: list[Cut], guess: bool) -> list[Instruction]:
        found: list[Instruction] = []
        for cut in ways:
            try:
                found += self._cut(cut, guess)
            except NotUnderstood as stopped:
                self.stopped = self.stopped or stopped
            except RecursionError:  # guarded by LIMIT_NESTING; kept so that a line can never end the run
                self.stopped = self.stopped or NotUnderstood(None, "fewer brackets")
        return found[:LIMIT_READINGS]

    def _cut(self, cut: Cut, guess: bool) -> list[Instruction]:
        core = balanced(self.rest[: cut.start])
        parse = Body(core, self.text, guess)
        trailer, begun = _trailing(self.rest[cut.end :], self.text)
        items = parse.read()
        tally = cut.tally if cut.tally is not None else self.head.tally
        spot = self._spot(cut)
        if tally is not None and not any(isinstance(node, Act) and node.kind == "tally" for node in trailer):
            trailer = [*trailer, Act("tally", spot, "", tally)]
        if self.head.onward:
            trailer = [*trailer, Act("measure", spot)]
        items = shaped([*items, *trailer], parse.has_parts)
        if not items and not begun and not cut.amounts and self.head.stated is None:
            raise NotUnderstood(None, "an instruction")
        passed: tuple[Choice, ...] = ()
        if guess:
            words = " ".join(self.text.text[token.start : token.end] for token in parse.passed[:4])
            passed = (("words-passed-over", (("words", words),)),)
        return [
            self._instruction(tree, (*chosen, *passed), cut, spot, tally) for tree, chosen in readings(parse, items)
        ]

    def _spot(self, cut: Cut) -> Span:
        tokens_ = self.rest[cut.start : cut.end] or self.rest[-1:] or self.line[-1:]
        return self.text.span(tokens_[0].start, tokens_[-1].end)

    def _instruction(
        self, items: list[Node], chosen: tuple[Choice, ...], cut: Cut, spot: Span, tally: int | None
    ) -> Instruction:
        text, rest, head = self.text, self.rest, self.head
        whole = text.span(self.line[0].start, self.line[-1].end)
        core = rest[: cut.start]
        first = rest[0].start if rest else self.line[-1].end
        body = text.span(first, max(first, core[-1].end if core else first))
        amounts = cut.amounts
        stated: Number | None = head.stated
        unit: str | None = None
        if amounts:
            (stated, unit), more = amounts[0], amounts[1:]
        else:
            more = ()
        length = head.length or (0 if head.numbers else _length(items))
        return Instruction(
            _kind(head, items), self.label, head.numbers, tuple(items), stated, unit, whole, body,
            spot if amounts else None, chosen, length, more,
        )  # fmt: skip


def _parted(line: list[Token], text: Text, flat: bool, marker: str) -> tuple[Header, list[Token], str]:
    """The label at the start, or behind a starting chain, or at the end; else the number of the list."""
    lead = _colour_first(line)
    head = header(line[lead:], flat)
    if head.kind or head.numbers:
        begin, end = line[lead].start, line[lead + head.size - 1].end
        return head, [*line[:lead], *line[lead + head.size :]], _label(text.text[begin:end])
    inner = _header_within(line, flat)
    if inner is not None:
        at, head = inner
        if at + head.size >= len(line):  # `21 sc (21) – Rnd 3`
            rest = line[:at]
        else:  # `Ch 8. Row 1: …`
            rest = [*line[:at], *line[at + head.size :]]
        while rest and rest[-1].role in ("dash", "bar", "bullet"):
            rest = rest[:-1]
        return head, rest, _label(text.text[line[at].start : line[at + head.size - 1].end])
    rest = line[head.size :]
    number = marker.rstrip(".):")
    if number.isdecimal() and len(number) < 4:
        return Header("row" if flat else "round", (int(number),), head.size), rest, number
    return head, rest, ""


def _colour_first(line: list[Token]) -> int:
    """`(black) 5-6: 24 sc`: how many tokens a bracket of words takes that stands before a label; else 0."""
    if not line or line[0].role != "open":
        return 0
    end = next((i for i, token in enumerate(line[:6]) if token.role == "close"), 0)
    words = all(token.role in ("word", "yarn", "color", "change", "with", "the", "in") for token in line[1:end])
    after = line[end + 1].role if 0 < end < len(line) - 1 else ""
    return end + 1 if words and end > 1 and after in ("num", "header", "ordinal") and header(line[end + 1 :]).numbers else 0


def _header_within(line: list[Token], flat: bool) -> tuple[int, Header] | None:
    at = next((i for i, token in enumerate(line) if token.role == "header" and i), None)
    if at is None or at + 1 >= len(line):
        return None
    if line[at + 1].role != "num":  # `Chain 8. 1. round: …`: only the first round follows on its chain in one line
        at -= 2 if line[at - 1].role == "stop" else 1
        if at < 3 or line[at].number != 1 or line[at - 1].role not in ("stop", "comma", "colon"):
            return None
    found = header(line[at:], flat)
    end = at + found.size
    if not found.numbers:
        return None
    if end == len(line) and line[at - 1].role in ("dash", "bar", "bullet", "close", "stop", "comma") and end - at <= 4:
        return at, found
    ends = line[end - 1].role in ("colon", "stop", "dash")
    return (
        (at, found)
        if ends and all(token.role in _STARTS for token in line[:at]) and line[at - 1].role in ("stop", "comma")
        else None
    )


def _trailing(trailer: list[Token], text: Text) -> tuple[list[Node], bool]:
    """What follows the total: joins, turns and colours are read, anything else is kept as a note."""
    while trailer and trailer[0].role in ("stop", "comma", "dash", "close", "colon"):
        trailer = trailer[1:]
    if not trailer:
        return [], False
    try:
        acts = Body(trailer, text).read()
    except NotUnderstood:
        acts = None
    if acts is not None:
        acts = [Act("join", node.span) if is_slip(node) else node for node in acts]
    if acts is not None and all(
        isinstance(node, Act) or (isinstance(node, Work) and node.stitch in ("chain", "slip_stitch")) for node in acts
    ):
        return acts, False
    start, end = trailer[0].start, trailer[-1].end
    words = text.text[start:end].strip(" .;,")
    return ([Act("note", text.span(start, end), words)] if words else []), False


def _length(items: list[Node]) -> int:
    """Rounds that `rep last rnd 5 times` stands for."""
    for node in items:
        if isinstance(node, Act) and node.kind == "as_round" and isinstance(node.n, int):
            rounds = int(node.value.split()[-1]) if node.value.startswith("last") else node.value.count(",") + 1
            return min(1000, rounds * node.n)
    return next((min(1000, node.n) for node in items if isinstance(node, Act) and node.kind == "tally" and isinstance(node.n, int)), 0)


def _kind(head: Header, items: list[Node]) -> str:
    works = [node for node in items if not isinstance(node, Act)]
    if not head.numbers or head.numbers == (1,):
        if works and all(
            isinstance(node, Work) and node.stitch == "chain" and node.target.kind == "next" for node in works
        ):
            return "start"
        if not works and any(isinstance(node, Act) and node.kind == "ring_chain" for node in items):
            return "start"
    return head.kind or "round"


def _label(text: str) -> str:
    return " ".join(text.split()).rstrip(" .:–—-=|)").strip()


def _is_flat(steps: tuple[Step, ...]) -> bool:
    """A part is flat where a sentence says so, or its first headed line is a row."""
    return any(step.kind == "sentence" and step.name == "worked" and step.value("how") == "rows" for step in steps)


def folded(text: str) -> str:
    """The form in which words are compared, for suggestions of near words."""
    return fold(text)
