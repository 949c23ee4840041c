"""Tokens of a line in, its label and numbers out; the rest of the line is read's."""

from __future__ import annotations

from typing import NamedTuple

from booklet.notation.lex import Token
from booklet.notation.tree import Number


class Header(NamedTuple):
    """What stands before the instruction."""

    kind: str  # "round", "row" or "" (none)
    numbers: tuple[int, ...]
    size: int  # how many tokens it takes, separator included
    tally: int | None = None  # "(6 rounds)" after the label
    length: int = 0  # rounds without numbers: `For 6 rounds:`, `Next 4 rnds:`
    stated: Number | None = None  # a total that stands before the instruction: `Rnd 3 (21):`
    onward: bool = False  # an open range: `Rnd 10 and on:`


NONE = Header("", (), 0)
_LINKS = {
    "dash": "range",
    "range": "range",
    "equals": "range",
    "slash": "list",
    "comma": "list",
    "and": "list",
    "plus": "list",
}
_SEPARATORS = ("stop", "colon", "dash", "close", "bar", "equals", "bullet")
_TALLY = ["open", "num", "header", "close"]
HIGHEST = 10_000  # a larger number is no round's
LONGEST_RANGE = 1000  # rounds in one line; far above any published range (47), see limits in shared/limits.toml


def header(line: list[Token], flat: bool = False) -> Header:
    """Read the label of a line. A bare number counts only with a separator after it; `flat` makes it a row."""
    at = 0
    size = len(line)
    while at < size and line[at].role in ("bullet", "dash", "equals", "stop", "bar", "close"):
        at += 1
    if at + 2 < size and line[at].role == "from" and line[at + 1].role in ("num", "ordinal"):
        found = _number_first(line, at + 1, flat)  # "from 6 to 10 round"
        if any(token.role == "header" for token in line[at : found.size]):
            return found
    if at + 2 < size and line[at].role == "from" and line[at + 1].role == "header" and line[at + 2].role == "num":
        found = _word_first(line, at + 1)
        return found._replace(onward=True)
    if at >= size:
        return Header("", (), at)
    named = at + 2 < size and line[at + 1].role in ("num", "ordinal") and line[at + 2].role == "header"
    if named and line[at].role in ("hash", "the", "word"):
        at += 1  # "the 3rd round", "第3段"
    elif line[at].role == "hash" and at + 2 < size and line[at + 1].role == "num":
        return Header("row" if flat else "round", (line[at + 1].number,), _separator(line, at + 2))
    articles = at
    while articles + 2 < size and line[articles].role == "the":
        articles += 1
    if articles > at and line[articles].role == "header" and line[articles + 1].role == "num":
        at = articles  # "de la vuelta 5 a la 8"
    role = line[at].role
    if role == "header":
        return _word_first(line, at)
    if role in ("word", "part_name") and (named := _named(line, at)):
        return Header("row" if flat else "round", (), named)
    if role == "next_header":
        return Header(line[at].value, (), _separator(line, _aside(line, at + 1)))
    if role in ("for", "next", "the", "more") and (found := _length(line, at)) is not None:
        return found
    if role == "num" and (found := _more_rounds(line, at)) is not None:
        return found
    if role in ("num", "ordinal"):
        return _number_first(line, at, flat)
    return Header("", (), at)


def _word_first(line: list[Token], at: int) -> Header:
    kind = line[at].value
    at += 1
    while (
        at < len(line)
        and line[at].role in ("stop", "hash", "dash", "from")
        and any(token.role == "num" for token in line[at + 1 : at + 3])
    ):
        at += 1
    if at >= len(line) or line[at].role not in ("num", "ordinal"):
        return Header(kind, (), _separator(line, at))
    return _after_numbers(line, kind, *_numbers(line, at))


def _number_first(line: list[Token], start: int, flat: bool) -> Header:
    """`3.`, `3)`, `3rd rnd:`, `3 row`, `4-9 rounds:`."""
    numbers, at = _numbers(line, start)
    if len(numbers) == 1:
        numbers, at = _dotted(line, numbers, at)
    after = at
    if (
        after + 1 < len(line)
        and line[after].role == "stitch"
        and line[after].glued
        and line[after + 1].role == "header"
    ):
        after += 1  # "21st round": the ending of the ordinal looks like a stitch
    while after < len(line) and line[after].role in ("stop", "dash", "colon") and line[after].glued:
        after += 1
    if after < len(line) and line[after].role == "header":
        if _is_tally(line, start, after):
            return Header(line[after].value, (), after + 1, None, min(line[start].number, LONGEST_RANGE))
        kind, after = line[after].value, after + 1
        if len(numbers) == 1:
            numbers, after = _second_label(line, numbers, after)
        return _after_numbers(line, kind, numbers, after)
    ends = at < len(line) and line[at].role in ("stop", "colon", "close", "bar", "equals")
    if at + 1 < len(line) and line[at].role == "dash" and not line[at + 1].glued:
        ends = line[at + 1].role in ("open", "star", "num", "stitch", "loop", "ring", "each", "even")  # "4 - (2 sc, inc) x 6"
    if ends and line[start].role == "num" and line[start].number < 1000 and not _is_glued_point(line, at):
        return _after_numbers(line, "row" if flat else "round", numbers, at)
    return Header("", (), start)


def _dotted(line: list[Token], numbers: tuple[int, ...], at: int) -> tuple[tuple[int, ...], int]:
    """`4. and 6. round`: ordinals with full stops; only where the label's word follows."""
    found, step = list(numbers), at
    while (
        step + 2 < len(line)
        and line[step].role in ("stop", "close")
        and line[step + 1].role in _LINKS
        and line[step + 2].role in ("num", "ordinal")
    ):
        last = line[step + 2].number
        if _LINKS[line[step + 1].role] == "range" and last > found[-1]:
            found += range(found[-1] + 1, min(last, found[-1] + LONGEST_RANGE) + 1)
        else:
            found.append(last)
        step += 3
    after = step + 1 if step < len(line) and line[step].role == "stop" else step
    tight = (
        step > at
        and step < len(line)
        and (line[step].role == "stop" or line[step].role == line[at].role == "close")  # "4.-6.", "4) to 6)"
        and (line[step].role == "close" or all(token.glued for token in line[at : step + 1]))
    )
    if step > at and (tight or (after < len(line) and line[after].role == "header")):
        return tuple(found), step
    return numbers, at


def _second_label(line: list[Token], numbers: tuple[int, ...], at: int) -> tuple[tuple[int, ...], int]:
    """`4. Rd - 9. Rd`: the other end of a range with a label of its own."""
    step = at
    while step < len(line) and line[step].role == "stop":
        step += 1
    if step + 2 < len(line) and line[step].role in ("dash", "range") and line[step + 1].role in ("num", "ordinal"):
        end = step + 2
        while end < len(line) and line[end].role == "stop":
            end += 1
        last = line[step + 1].number
        if end < len(line) and line[end].role == "header" and last > numbers[0]:
            return tuple(range(numbers[0], min(last, numbers[0] + LONGEST_RANGE) + 1)), end + 1
    return numbers, at


def _named(line: list[Token], at: int) -> int:
    """`Border: sc around`, `Foundation: ch 15`: one to three words and a colon, and work behind it; where the work begins, else 0."""
    end = at
    while end < len(line) and end - at < 3 and line[end].role in ("word", "part_name", "the", "ring"):
        end += 1
    if end + 1 >= len(line) or line[end].role != "colon" or all(token.end - token.start < 4 for token in line[at:end]):
        return 0  # short words may be codes of colours
    work = line[end + 1].role in ("num", "stitch", "open", "star", "loop", "ring")
    return _separator(line, end) if work else 0


def _more_rounds(line: list[Token], at: int) -> Header | None:
    """`3 more rounds: sc in each st`."""
    roles = [token.role for token in line[at : at + 3]]
    if roles != ["num", "more", "header"]:
        return None
    end = _separator(line, at + 3)
    return Header(line[at + 2].value, (), end, None, min(line[at].number, LONGEST_RANGE)) if end > at + 3 else None


def _is_tally(line: list[Token], start: int, after: int) -> bool:
    """`6 rounds of sc`, `6 rounds even`: how many rounds, not which."""
    glued = after > start + 1 or line[start].role == "ordinal"
    return not glued and after + 1 < len(line) and line[after + 1].role in ("the", "around", "even")


def _is_glued_point(line: list[Token], at: int) -> bool:
    """`6.sc`: a quantity, not a label (R1: a label has a space behind its full stop, or a number follows)."""
    return line[at].role == "stop" and at + 1 < len(line) and line[at + 1].glued and line[at + 1].role == "stitch"


def _after_numbers(line: list[Token], kind: str, numbers: tuple[int, ...], at: int) -> Header:
    onward = (
        at < len(line)
        and line[at].role in ("onward", "plus")
        and not (line[at].role == "plus" and at + 1 < len(line) and line[at + 1].role not in _SEPARATORS)
    )
    if onward:
        at += 1
    tally, at = _tally(line, at)
    stated, at = _count_first(line, at)
    if tally is None:
        tally, at = _tally(line, at)
    return Header(kind, numbers, _separator(line, _aside(line, at)), tally, 0, stated, onward)


def _length(line: list[Token], at: int) -> Header | None:
    """`For 6 rounds:`, `Next 4 rnds:`."""
    step = at
    while step < len(line) and line[step].role in ("for", "next", "the", "more"):
        step += 1
    if step + 1 < len(line) and line[step].role == "num" and line[step + 1].role == "header" and step > at:
        end = _separator(line, step + 2)
        if end > step + 2 or (end < len(line) and line[end].role in ("num", "stitch", "comma")):
            return Header(line[step + 1].value, (), end, None, min(line[step].number, LONGEST_RANGE))
    return None


def _numbers(line: list[Token], at: int) -> tuple[tuple[int, ...], int]:
    numbers = [line[at].number]
    at += 1
    while at + 1 < len(line):
        link = _LINKS.get(line[at].role)
        step = at + 1
        while (
            link
            and step < len(line)
            and (
                line[step].role == "header"
                or (line[step].role == "and" and line[at].role == "comma")
                or (line[step].role == "stop" and line[step - 1].role == "header")
                or (line[step].role == "the" and line[at].role == "range")
            )
        ):
            step += 1
        if not link or step >= len(line) or line[step].role not in ("num", "ordinal"):
            break
        last = line[step].number
        if last > HIGHEST:
            break
        if link == "range" and _is_quantity(line, at, step, numbers[-1]):
            break
        if link == "list" and (last <= numbers[-1] or _before_work(line, step)) and line[step - 1].role != "header":
            break
        if link == "range":
            first = numbers[-1]
            numbers.extend(range(first + 1, min(last, first + LONGEST_RANGE) + 1) if last > first else (last,))
        else:
            numbers.append(last)
        at = step + 1
    return tuple(numbers), at


def _is_quantity(line: list[Token], dash: int, step: int, first: int) -> bool:
    """`Rnd 1 - 6 sc in MR`: the dash ends the label, the number belongs to the stitch."""
    if line[dash].role == "equals":
        return line[dash].end - line[dash].start < 2 and not line[dash].glued
    if line[dash].role != "dash" or step > dash + 1 or not _before_work(line, step):
        return False
    tight = line[dash].glued and line[step].glued
    return not tight or line[step].number <= first


def _before_work(line: list[Token], step: int) -> bool:
    after = line[step + 1].role if step + 1 < len(line) else ""
    return after in ("stitch", "loop", "times", "once")


def _tally(line: list[Token], at: int) -> tuple[int | None, int]:
    """`(6 rounds)` after the numbers."""
    if at + 3 < len(line) and line[at].role == "open" and [t.role for t in line[at : at + 4]] == _TALLY:
        return line[at + 1].number, at + 4
    return None, at


def _count_first(line: list[Token], at: int) -> tuple[Number | None, int]:
    """`Rnd 3 (21): …`: only where a separator follows."""
    if at + 3 >= len(line) or line[at + 1].number > HIGHEST:
        return None, at
    if line[at].role == "dash" and line[at + 1].role == "num":  # `Rnd 3 – 18 sts: …`
        end = at + 2
        while end < len(line) and line[end].role == "stitch" and not line[end].value:
            end += 1
        return (line[at + 1].number, end) if end > at + 2 and end + 1 < len(line) and line[end].role == "colon" else (None, at)
    if line[at].role != "open" or line[at + 1].role != "num":
        return None, at
    end = at + 2
    while end < len(line) and line[end].role in ("stitch", "unit", "stop"):
        end += 1
    named = end > at + 2 and line[at + 2].role == "stitch" and not line[at + 2].value
    marks = ("colon", "dash", "stop", "open", "star") if named else ("colon", "dash", "stop")
    if end + 1 < len(line) and line[end].role == "close" and line[end + 1].role in marks:
        token = line[at + 1]
        return tuple(int(n) for n in token.value.split(",")) if "," in token.value else token.number, end + 1
    return None, at


def _aside(line: list[Token], at: int) -> int:
    """`Row 1 (right side):`, `Rnd 3 (increase round) -`: a remark between label and separator."""
    if at >= len(line) or line[at].role != "open":
        return at
    end = at + 1
    while end < len(line) and line[end].role not in ("open", "close"):
        end += 1
    if end + 1 >= len(line) or line[end].role != "close" or line[end + 1].role not in ("colon", "dash", "stop"):
        return at
    return at if any(token.role in ("num", "yarn", "loop") for token in line[at:end]) else end + 1


def _separator(line: list[Token], at: int) -> int:
    while at < len(line) and line[at].role in _SEPARATORS:
        at += 1
    return at
