"""Tokens behind the label in, the places where a printed total may stand out, the likeliest first; what it must equal is settle's."""

from __future__ import annotations

from itertools import islice
from typing import NamedTuple

from booklet.notation.cursor import LIMIT_COUNT
from booklet.notation.lex import Token
from booklet.notation.tree import Number

Amount = tuple[Number, str | None]  # a number and its unit: stitch id, "space", "group", "chain" or None


class Cut(NamedTuple):
    """One way to part a line: tokens before the total, its place, tokens behind it."""

    start: int  # first token of the total; the length of the line where there is none
    end: int  # one past its last token
    amounts: tuple[Amount, ...] = ()
    tally: int | None = None  # a number of rounds that stood beside it


_UNITS = ("stitch", "unit", "space", "the", "total_word", "corner", "each", "header", "remain", "left", "total_of")
_AFTER = ("times", "once", "around", "in", "each", "next", "same")  # words behind a bracket that make it a unit
_WORK = ("num", "open", "star", "repeat")


def cuts(line: list[Token], rounds: int = 1) -> list[Cut]:
    """All ways to find the total. The last entry is always a usable one; most lines have exactly one."""
    none = Cut(len(line), len(line))
    bracket = _bracket(line, rounds)
    if bracket is not None:
        # `[3 sc]` at the end may be three stitches in one place; a bare number may not.
        named = (
            bracket.amounts[0][1] is not None and bracket.start and line[bracket.start - 1].role in ("comma", "plus")
        )
        return [bracket, none] if named else [bracket]
    for find in (_equals, _in_words):
        found = find(line)
        if found is not None:
            return [found]
    found = _bare_groups(line) or _bare(line)
    if found is None or not found.amounts:
        return [none]
    plain = found.amounts[0][1] is None and line[found.start].role in ("dash", "colon", "bar", "etc", "stop")
    return [found] if plain else [found, none]


def _bracket(line: list[Token], rounds: int) -> Cut | None:
    """R2: the last bracket that holds a number [unit] and nothing else, without a times sign or more work behind it."""
    tally: int | None = None
    found: Cut | None = None
    close = len(line) - 1
    while close >= 0:
        if line[close].role != "close":
            close -= 1
            continue
        start = close - 1
        while start >= 0 and line[start].role not in ("open", "close"):
            start -= 1
        if start < 0 or line[start].role != "open":
            close -= 1
            continue
        if found is not None and close + 1 != found.start:
            break
        inner = line[start + 1 : close]
        if _is_tally(inner):
            tally = inner[0].number if inner[0].role == "num" else inner[-1].number
            if found is None and not _is_end(line, close + 1):
                tally = None
        else:
            amounts = _amounts(inner)
            if amounts and _stands_as_total(line, start, close):
                if found is None:
                    found = Cut(start, close + 1, amounts, tally)
                elif len(found.amounts) == 1 and found.amounts[0] == (rounds, None) and rounds > 1:
                    return Cut(
                        start, found.end, amounts, rounds
                    )  # R21: a bare number equal to the range's length is the tally
                else:
                    break
        close = start - 1
    return found._replace(tally=tally) if found is not None else None


def _is_tally(inner: list[Token]) -> bool:
    roles = [token.role for token in inner if token.role not in ("the", "times", "total_word", "total_of", "stop")]
    return roles in (["num", "header"], ["header", "num"])


def _is_end(line: list[Token], at: int) -> bool:
    return all(token.role in ("stop", "close", "comma") for token in line[at:])


def _stands_as_total(line: list[Token], start: int, close: int) -> bool:
    before = line[start - 1].role if start else ""
    after = line[close + 1].role if close + 1 < len(line) else ""
    if before == "times" and start > 2 and line[start - 2].role in ("num", "more", "once"):
        before = ""  # "6 times (18)"; but "x (18)" is a number of repeats
    if (before in ("times", "colon") and start == 1) or before == "times" or after in _AFTER:
        return False
    if (
        after == "num"
        and not line[close + 1].glued
        and close + 2 < len(line)
        and line[close + 2].role in ("stitch", "times")
    ):
        return False
    return not _has_work(line, close + 1)


_PLACE = ("ordinal", "the", "each", "in", "next", "top", "same", "last", "range", "join", "join_target", "counts")


def _has_work(line: list[Token], at: int) -> bool:
    """Do stitches follow? Joins, chains, turns and remarks may stand behind a total; `sc in next 2 sts, move marker` too."""
    found = False
    for i in range(at, len(line)):
        token = line[i]
        if token.role in ("note", "or", "marker"):
            return False
        before = line[i - 1].role if i > at else ""
        after = line[i + 1] if i + 1 < len(line) else None
        if token.role == "stop" and after is not None and after.role not in ("num", "open", "star", "stitch", "repeat"):
            return found
        if token.role == "stitch" and token.value not in ("", "slip_stitch", "chain", "skip") and before not in _PLACE:
            found = True
        if token.role == "repeat" and after is not None and after.role in ("from_star", "num", "around"):
            return True
    return found


def _amounts(inner: list[Token]) -> tuple[Amount, ...]:
    """`21`, `= 21 sts`, `14 sts + 7 ch-1 sps`, `sts: 21`, `6 groups of 3 dc`: numbers with their units; () for anything else."""
    found: list[list] = []
    at, size = 0, len(inner)
    while at < size and inner[at].role in ("equals", "total_word", "colon", "the", "total_of", "have", "stitch"):
        if inner[at].role == "stitch" and inner[at].value:
            break
        at += 1
    while at < size:
        token = inner[at]
        if len(found) == 1 and token.role in ("dash", "comma", "colon") and _is_talk(inner[at + 1 :]):
            break  # "18 sts – this is the widest round"
        if token.role == "num" and token.number > LIMIT_COUNT:
            return ()  # no round has so many; a slip of the keyboard may not cost memory
        if token.role == "num":
            value = tuple(int(n) for n in token.value.split(",")) if "," in token.value else token.number
            found.append([value, None])
            at += 1
            if at < size and inner[at].role == "dash":
                at += 1
            continue
        if not found or token.role not in (
            *_UNITS,
            "comma",
            "plus",
            "and",
            "stop",
            "slash",
            "equals",
            "in",
            "around",
            "dash",
        ):
            return ()
        if token.role == "space":
            found[-1][1] = "space"
        elif token.role == "unit":
            found[-1][1] = token.value
        elif token.role == "stitch" and token.value:
            if found[-1][1] is not None:
                return ()  # "2 sc, inc" is a unit, no total
            found[-1][1] = token.value
        elif token.role in ("in", "each", "around") and not (
            at + 1 < size and inner[at + 1].role in ("header", "the", "total_word")
        ):
            return ()  # "2 sc in each st" is work
        elif token.role == "equals" and at + 1 < size and inner[at + 1].role == "num":
            found = []  # "7 + 14 = 21": the sum is the total
        at += 1
    return tuple((number, unit) for number, unit in found)


def _is_talk(rest: list[Token]) -> bool:
    """Words without a number, a stitch or a mark of work."""
    return any(token.role == "word" for token in rest) and not any(
        token.role in ("num", "open", "star") or (token.role == "stitch" and token.value) for token in rest
    )


def _equals(line: list[Token]) -> Cut | None:
    """`= 21`, `-> 21 sc`, `= (21)`."""
    depth = 0
    for at in range(len(line) - 1, -1, -1):
        depth += {"close": 1, "open": -1}.get(line[at].role, 0)
        if line[at].role != "equals" or depth > 0 or at > len(line) - 2:
            continue
        begin = at + 1
        while begin < len(line) and line[begin].role in ("open", "total_word", "total_of", "the", "have", "equals"):
            begin += 1
        if begin >= len(line) or line[begin].role != "num":
            continue
        end = begin + 1
        while end < len(line) and (
            line[end].role in _UNITS or (line[end].role == "close" and line[begin - 1].role == "open")
        ):
            end += 1
        amounts = _amounts([token for token in line[begin:end] if token.role != "close"])
        if amounts and not _has_work(line, end):
            return Cut(at, end, amounts, _tally_behind(line, end))
    return None


def _tally_behind(line: list[Token], at: int) -> int | None:
    if at + 3 < len(line) + 1 and [token.role for token in line[at : at + 4]] == ["open", "num", "header", "close"]:
        return line[at + 1].number
    return None


def _in_words(line: list[Token]) -> Cut | None:
    """`you now have 21 stitches`, `there are 21`, `for a total of 21 sts`, `21 sts in total`."""
    for at in range(len(line) - 1, -1, -1):
        role = line[at].role
        if role in ("have", "total_of"):
            begin = at + 1
            while begin < len(line) and line[begin].role in ("the", "colon", "total_of", "total_word", "dash", "open"):
                begin += 1
            if begin < len(line) and line[begin].role == "num" and not _stay_unworked(line, begin):
                return _words_from(line, at, begin)
        elif role == "total_word" and at:
            begin = at - 1
            while begin > 0 and line[begin].role in ("stitch", "unit", "space", "the", "open"):
                begin -= 1
            if line[begin].role == "num" and begin < at:
                return _words_from(line, begin, begin)
            if (
                at + 1 < len(line)
                and line[at + 1].role in ("num", "colon")
                and line[-1].role in ("num", "stitch", "stop", "unit")
            ):
                begin = at + 2 if line[at + 1].role == "colon" else at + 1
                if begin < len(line) and line[begin].role == "num":
                    return _words_from(line, at, begin)
    return None


def _stay_unworked(line: list[Token], begin: int) -> bool:
    """`leaving 6 sts unworked`: the number counts what is left out."""
    end = begin + 1
    while end < len(line) and line[end].role in ("stitch", "unit", "the", "last"):
        end += 1
    return end < len(line) and (line[end].role in ("unworked", "leave") or line[end].value == "unworked")


def _words_from(line: list[Token], start: int, begin: int) -> Cut | None:
    end = begin + 1
    while end < len(line) and line[end].role in (*_UNITS, "remain", "on", "in", "around", "header", "left"):
        end += 1
    if end < len(line) and line[end].role in ("times", "once", "repeat"):
        return None
    amounts = _amounts([token for token in line[begin:end] if token.role in ("num", "stitch", "unit", "space")])
    while start and line[start - 1].role in ("and", "the", "open", "dash", "comma"):
        start -= 1
    while end < len(line) and line[end].role == "close":
        end += 1
    return Cut(start, end, amounts) if amounts and not _has_work(line, end) else None


def _bare_groups(line: list[Token]) -> Cut | None:
    """`… - 16 dc and 16 ch-1 sps.`: several amounts behind a dash or a full stop at the very end."""
    end = len(line)
    while end and line[end - 1].role in _ENDS:
        end -= 1
    start = end
    while start and line[start - 1].role in ("num", "stitch", "space", "unit", "and", "plus", "comma"):
        start -= 1
    if not 0 < start < end - 3 or line[start - 1].role not in ("dash", "stop") or line[start].role != "num":
        return None
    amounts = _amounts(line[start:end])
    spaces = sum(unit in ("space", "group") for _, unit in amounts)
    return Cut(start - 1, end, amounts) if len(amounts) > 1 and spaces else None


def _bare(line: list[Token]) -> Cut | None:
    """`– 21 sts`, `: 21`, `. 21 sc.` at the very end, or before a remark; the body may need these words, so both ways are tried."""
    found = _bare_before(line, len(line))
    goes_on = (
        i
        for i in range(1, len(line))
        if line[i].role in _GOES_ON and line[i - 1].role in ("stop", "comma", "close", "dash")
        if line[i].role == "note" or not _has_work(line, i)
    )
    for i in islice(goes_on, _ENDS_TRIED) if found is None else ():
        found = found or _bare_before(line, i)  # "– 14 sts. Stuff the head."
    return found


_ENDS_TRIED = 4  # places where a total may end; behind them stands nothing but talk
_GOES_ON = ("note", "change", "turn", "join")  # what may follow a total without a mark of its own
_ENDS = ("stop", "comma", "bullet", "bar", "slash", "etc", "close")
_WORDS = ("stitch", "unit", "space", "total_word", "remain", "left", "total_of")
_NO_TOTAL = (
    "stitch",
    "times",
    "range",
    "next",
    "in",
    "last",
    "num",
    "header",
    "repeat",
    "to_last",
    "each",
    "once",
    "more",
)


def _before_the_end_named(line: list[Token], end: int) -> int:
    """`18 sts in rnd`, `12 sts at the end of this rnd`, `13 sc at end of Row 7`: where the words begin that say of which round."""
    at = end
    while at and line[at - 1].role in ("num", "header", "next_header", "the", "ending"):
        at -= 1
    named = any(token.role in ("header", "next_header", "ending") for token in line[at:end])
    return at - 1 if named and at > 1 and line[at - 1].role in ("in", "on", "each") else end


def _bare_before(line: list[Token], end: int) -> Cut | None:
    while end and line[end - 1].role in (*_ENDS, "the"):  # "36 sc each round"
        end -= 1
    end = _before_the_end_named(line, end)
    at = end
    while at and line[at - 1].role in _WORDS:
        at -= 1
    if not at or line[at - 1].role != "num" or end - at > 3:
        return None
    number = at - 1
    start = number
    while start and line[start - 1].role in ("dash", "stop", "colon", "comma", "bar", "bullet", "the", "slash", "etc"):
        start -= 1
    if start == 0:
        return None
    mark = line[number - 1].role if number > start else ""
    if mark == "dash" and number - start == 1 and line[number - 1].glued and line[number].glued:
        times = line[start - 1].role == "num" and start > 1 and line[start - 2].role == "times"
        if not times and line[start - 1].role in ("stitch", "num", "header", "the", "top"):
            return None  # "top of ch-3", "rounds 5-6"
    named = any(token.role == "stitch" and token.value for token in line[at:end])
    semicolon = mark == "comma" and line[number - 1].value == ";"
    to_the_end = line[start - 1].role in ("around", "join")  # "rep around, 18 sc": nothing is left to be worked
    if mark == "comma" and named and not semicolon and not to_the_end:
        return None  # ", 6 sc" goes on with the work
    before = line[start - 1].role
    lead = line[start - 3].role if start > 2 and line[start - 2].role == "num" else ""
    passes = before == "times" and lead in ("repeat", "close", "star", "the")
    if not mark and passes and at < end and not named:
        return Cut(start, end, _amounts(line[number:end]))  # "repeat 6x 18 sts"
    if (before in ("header", "next_header", "range", "hash") and not (mark and at < end)) or (not mark and before == "times"):
        return None  # "repeat Rnd. 3"
    if not mark and before in ("around", "close") and at < end and not named:
        return Cut(start, end, _amounts(line[number:end]))  # "(sc, inc) around 18 sts"
    if not mark and before == "num" and start > 1 and line[start - 2].role == "times":
        return Cut(start, end, _amounts(line[number:end]))  # "x 7 21"
    if not mark and before in ("next", "each") and line[start - 1].value and at < end and not named:
        return Cut(start, end, _amounts(line[number:end]))  # behind "in one place" nothing else is counted
    if not mark and (at < end or before in _NO_TOTAL):
        return None
    if named and mark not in ("dash", "stop", "colon", "bar", "etc", "slash") and not semicolon and not to_the_end:
        return None
    return Cut(start, end, _amounts(line[number:end]))
