"""Words of a pattern's lines in, candidate instruction trees out, likeliest first; nothing is counted, no line is lost."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace
from itertools import product

from booklet.notation.body import LIMIT_NESTING, Body, NotUnderstood
from booklet.notation.header import Header, header
from booklet.notation.lex import Lexicon, Text, Token, lexicon, tokens
from booklet.notation.lex import join as join_pieces
from booklet.notation.tree import Act, Candidates, Group, Instruction, Node, Number, Work
from booklet.pattern.model import Pattern
from booklet.source.tree import Piece
from booklet.tables.language import Language, fold

LIMIT_READINGS = 16
LIMIT_CHARACTERS = 4_000

__all__ = ["LIMIT_NESTING", "read_line", "read_pattern", "words_of"]


def words_of(pattern: Pattern, language: Language) -> Lexicon:
    """The dictionary of a pattern: its language, yarn codes, part titles and own stitches."""
    own = [(form, f"own:{name}") for name, abbreviation, _, _ in pattern.own_stitches for form in (name, abbreviation) if form]
    return lexicon(language, tuple(yarn.code for yarn in pattern.yarns), tuple(part.title for part in pattern.parts), tuple(own))


def read_pattern(pattern: Pattern, language: Language) -> dict[tuple[int, int], Candidates]:
    """Read every instruction line. Keys are (part index, step index)."""
    words = words_of(pattern, language)
    found: dict[tuple[int, int], Candidates] = {}
    for p, part in enumerate(pattern.parts):
        flat = _is_flat(part.steps)
        for s, step in enumerate(part.steps):
            if step.kind == "line":
                found[p, s] = read_line(step.pieces, words, sizes=max(1, len(pattern.sizes)), flat=flat)
    return found


def read_line(pieces: tuple[Piece, ...], words: Lexicon, *, sizes: int = 1, flat: bool = False) -> Candidates:
    """Read one line in every way that it can be meant. `flat` says that bare numbers are rows."""
    text = join_pieces(pieces)
    if len(text.text) > LIMIT_CHARACTERS:
        return Candidates((), text.span(LIMIT_CHARACTERS, len(text.text)), "a shorter line")
    line = _size_lists(tokens(text.text, words), sizes)
    if not line:
        return Candidates((), text.span(0, len(text.text)), "an instruction")
    head = header(line, flat)
    rest = line[head.size :]
    total = _total(rest)
    core, trailer = (rest[: total[0]], rest[total[1] :]) if total else (rest, [])
    label = _label(text.text[line[0].start : line[head.size - 1].end]) if head.size else ""
    remains = (head.kind or "round", label, head.numbers, _first(total[2]) if total else None)
    try:
        readings = _readings(core, trailer, text)
    except NotUnderstood as stopped:
        at = stopped.token or (line[-1] if line else None)
        span = text.span(at.start, at.end) if at else text.span(0, len(text.text))
        return Candidates((), span, stopped.expected, *remains)
    except RecursionError:  # guarded by LIMIT_NESTING; kept so that a line can never end the run
        return Candidates((), text.span(0, len(text.text)), "fewer brackets", *remains)
    label_end = line[head.size - 1].end if head.size else 0
    first = rest[0].start if rest else label_end
    stop = (core[-1].end if core else first) if rest else label_end
    whole = text.span(line[0].start, line[-1].end)
    body_span = text.span(first, max(first, stop))
    made = []
    for items, chosen in readings:
        kind = _kind(head, items)
        made.append(
            Instruction(
                kind,
                label,
                head.numbers,
                items,
                total[2] if total else None,
                total[3] if total else None,
                whole,
                body_span,
                text.span(rest[total[0]].start, rest[total[1] - 1].end) if total else None,
                chosen,
            )
        )
    return Candidates(tuple(made))


def _readings(core: list[Token], trailer: list[Token], text: Text) -> list[tuple[tuple[Node, ...], tuple]]:
    """All trees of a body: the plain reading first, then what the ambiguities found on the way allow."""
    plain = Body(core, text, frozenset())
    items = [*plain.read(), *_trailing(trailer, text)]
    flags = sorted(plain.doubts)
    found: list[tuple[tuple[Node, ...], tuple]] = []
    for chosen in product((False, True), repeat=len(flags)):
        on = frozenset(flag for flag, use in zip(flags, chosen, strict=True) if use)
        tree = [*Body(core, text, on).read(), *_trailing(trailer, text)] if on else items
        for variant, doubts in _chain_readings(_repeat_readings(tree, "repeat-unmarked" in on)):
            notes = tuple((flag, ()) for flag in sorted(on)) + doubts
            if (tuple(variant), notes) not in found:
                found.append((tuple(variant), notes))
        if len(found) >= LIMIT_READINGS:
            break
    return found[:LIMIT_READINGS]


def _repeat_readings(items: list[Node], unmarked: bool) -> list[Node]:
    """R11: a bare sequence may be the unit of the round."""
    if not unmarked:
        return items
    unit = [node for node in items if not isinstance(node, Act)]
    lead = [node for node in items if isinstance(node, Act) and (not unit or node.span < unit[0].span)]
    tail = [node for node in items if isinstance(node, Act) and node not in lead]
    return [*lead, Group(tuple(unit), None, unit[0].span.to(unit[-1].span)), *tail]


def _chain_readings(items: list[Node]) -> Iterable[tuple[list[Node], tuple]]:
    """R8: does the starting chain count? Said, or tried in the usual order (ch 1 and ch 2 no, ch 3 and more yes)."""
    at = next((i for i, node in enumerate(items) if isinstance(node, Act) and node.kind == "start_chain"), None)
    if at is None or items[at].counts is not None:  # type: ignore[union-attr]
        yield items, ()
        return
    chain = items[at]
    assert isinstance(chain, Act)
    most = chain.n if isinstance(chain.n, int) else max(chain.n)
    for counts in (False, True) if most <= 2 else (True, False):
        said = (("chain-counting-inferred", (("counts", "yes" if counts else "no"),)),) if most > 1 else ()
        yield [*items[:at], replace(chain, counts=counts), *items[at + 1 :]], said


def _trailing(trailer: list[Token], text: Text) -> list[Node]:
    """What follows the total: joins, turns and colours are read, anything else is kept as a note."""
    if not trailer:
        return []
    try:
        acts = Body(trailer, text, frozenset()).read()
    except NotUnderstood:
        acts = None
    if acts is not None and all(isinstance(node, Act) for node in acts):
        return acts
    start, end = trailer[0].start, trailer[-1].end
    words = text.text[start:end].strip(" .;,")
    return [Act("note", text.span(start, end), words)] if words else []


def _total(line: list[Token]) -> tuple[int, int, Number, str | None] | None:
    """The printed total: (first token, one past the last, number, unit). The last bracket of a bare number, or `= 18`."""
    for close in range(len(line) - 1, -1, -1):
        if line[close].role != "close":
            continue
        start = close - 1
        while start >= 0 and line[start].role not in ("open", "close"):
            start -= 1
        if start < 0 or line[start].role != "open":
            continue
        inner = [token for token in line[start + 1 : close] if token.role != "equals"]
        before = line[start - 1].role if start else ""
        after = line[close + 1].role if close + 1 < len(line) else ""
        if before == "times" and start > 1 and line[start - 2].role in ("num", "more", "once"):
            before = ""  # "6 times (18)"; but "x (18)" is a number of repeats
        if _is_count(inner) and before not in ("times", "colon") and after not in ("times", "once", "num"):
            return start, close + 1, _number(inner[0]), _unit(inner[1:])
    for at in range(len(line) - 1, -1, -1):
        if line[at].role == "equals" and at + 1 < len(line) and line[at + 1].role == "num":
            end = at + 2
            while end < len(line) and line[end].role in ("stitch", "unit"):
                end += 1
            return at, end, _number(line[at + 1]), _unit(line[at + 2 : end])
    return None


def _is_count(inner: list[Token]) -> bool:
    return bool(inner) and inner[0].role == "num" and all(token.role in ("stitch", "unit", "stop", "the") for token in inner[1:])


def _unit(words: list[Token]) -> str | None:
    named = [token.value for token in words if token.role in ("stitch", "unit") and token.value]
    return named[-1] if named else None


def _number(token: Token) -> Number:
    return tuple(int(n) for n in token.value.split(",")) if "," in token.value else token.number


def _first(number: Number) -> int:
    return number if isinstance(number, int) else number[0]


def _size_lists(line: list[Token], sizes: int) -> list[Token]:
    """`12 (14, 16)` becomes one number token for patterns with three sizes; without sizes nothing changes."""
    if sizes < 2:
        return line
    found: list[Token] = []
    at = 0
    width = 2 * sizes  # n ( n , n … )
    while at < len(line):
        chunk = line[at : at + width]
        roles = [token.role for token in chunk]
        expected = ["num", "open"] + ["num", "comma"] * (sizes - 2) + ["num", "close"]
        if roles == expected:
            numbers = [token.number for token in chunk if token.role == "num"]
            value = ",".join(str(n) for n in numbers)
            found.append(chunk[0]._replace(value=value, number=numbers[0], end=chunk[-1].end))
            at += width
        else:
            found.append(line[at])
            at += 1
    return found


def _kind(head: Header, items: tuple[Node, ...]) -> str:
    works = [node for node in items if not isinstance(node, Act)]
    if len(works) == 1 and isinstance(works[0], Work) and works[0].stitch == "chain" and not head.numbers:
        return "start"
    return head.kind or "round"


def _label(text: str) -> str:
    return " ".join(text.split()).rstrip(" .:–—-=|)").strip()


def _is_flat(steps: tuple) -> bool:
    """A part is flat where a sentence says so, or its first headed line is a row."""
    return any(step.kind == "sentence" and step.name == "worked" and step.value("how") == "rows" for step in steps)


def folded(text: str) -> str:
    """The form in which words are compared, for suggestions of near words."""
    return fold(text)
