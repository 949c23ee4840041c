"""Tokens of a line in, the same with compounds joined and stars told apart out: `ch-3 sp`, `sc 3 tog`, `8th`, `* 6`."""

from __future__ import annotations

from functools import cache

from booklet.notation.lex import Lexicon, Token
from booklet.tables.stitches import stitches

_SIGNS = {"<": ("open", "increase"), ">": ("close", "decrease")}
_EDGES = {
    "open": frozenset(("", "comma", "close", "stop", "star", "times", "around", "open", "dash", "plus", "equals")),
    "close": frozenset(("open", "comma", "star", "plus", "colon", "and", "num")),
}
_NAMES_PIECE = ("the", "ordinal", "next", "word", "part", "part_name")
_WHICH = {1: "first", 2: "second"}  # the values of the role part
_GENERIC = ""  # the value of "st", "stitch"


def compounds(line: list[Token], words: Lexicon) -> list[Token]:
    """Join what belongs together. Linear; nothing is lost but marks inside a compound."""
    roles = {token.role for token in line}
    if "ring" in roles and any(token.value == "CC" for token in line):
        line = [_main_colour(token) for token in line]
    if any(token.value in _SIGNS for token in line):
        line = _signs(line)
    if "star" in roles:
        line = _stars(line)
    if "quote" in roles:
        line = _quotes(line)
    if not _compound().isdisjoint(token.value for token in line):
        line = _described(line)
    if "together" in roles:
        line = _together(_with_a_piece(line), words)
    if "unit" in roles:
        line = _spaces(line)
    if "dash" in roles:
        line = _doubled(line)
    if "open" in roles and "times" in roles:
        line = _bracketed_passes(line)
    if "part_name" in roles and "ordinal" in roles:
        line = _which_part(line)
    if "ordinal_mark" in roles or "stop" in roles or "range" in roles:
        line = _ordinals(line)
    return line


@cache
def _compound() -> frozenset[str]:
    return frozenset(stitch.id for stitch in stitches().values() if stitch.family in ("cluster", "shell"))


def _main_colour(token: Token) -> Token:
    """`(MC) 6 sc, (CC) 6 sc`: beside a contrasting colour two letters that could be a ring are the main colour."""
    return token._replace(role="yarn", value="MC") if token.role == "ring" and token.end - token.start == 2 else token


def _which_part(line: list[Token]) -> list[Token]:
    """`18 sts of the first leg`, `along the second leg`: an ordinal before a part tells on which of them."""
    found: list[Token] = []
    for i, token in enumerate(line):
        which = _WHICH.get(token.number) if token.role == "ordinal" else None
        named = which and i + 1 < len(line) and line[i + 1].role == "part_name"
        if named and found and found[-1].role in ("the", "on", "in", "around", "stitch") and line[0].role != "join":
            while found and found[-1].role in ("the", "on"):
                found.pop()
            token = token._replace(role="part", value=which, number=0)
        found.append(token)
    return found


def _signs(line: list[Token]) -> list[Token]:
    """`(sc, <) x 6`: an angle that opens or closes nothing is an increase or a decrease."""
    found: list[Token] = []
    depth = 0
    for i, token in enumerate(line):
        if token.value in _SIGNS:
            role, stitch = _SIGNS[token.value]
            depth += 1 if role == "open" else -1
            beside = line[i + 1].role if role == "open" and i + 1 < len(line) else found[-1].role if role == "close" and found else ""
            if beside in _EDGES[role] and not (role == "close" and depth >= 0):
                token = token._replace(role="stitch", value=stitch)
        found.append(token)
    return found


def _stars(line: list[Token]) -> list[Token]:
    """R3: a star after something closed and before a number is a times sign; after `rep` it is the mark gone back to."""
    found: list[Token] = []
    for token in line:  # "(*)" is a star
        if token.role == "close" and len(found) > 1 and found[-1].role == "star" and found[-2].role == "open":
            found[-2:] = [found[-1]]
        else:
            found.append(token)
    opened = False
    for i, token in enumerate(found):
        if token.role != "star":
            continue
        before = found[i - 1].role if i else ""
        after = [found[i + k].role if i + k < len(found) else "" for k in (1, 2)]
        opens = after[0] in ("stitch", "open") or (after[0] == "num" and after[1] == "stitch")
        if before in ("repeat", "from", "from_star") and not opens:
            found[i] = token._replace(role="from_star")
        elif (
            after[0] in ("num", "once")
            and after[1] not in ("stitch", "times", "loop", "more", "word")
            and (before in ("close", "star") or (before in ("stitch", "num", "unit") and not opened))
        ) or (before == "num" and after[0] in ("open", "star") and not opened):
            found[i] = token._replace(role="times")
        else:
            opened = not opened
    return found


def _quotes(line: list[Token]) -> list[Token]:
    """Straight quotes: marks of a unit where they come in pairs, inches behind a number."""
    at = [i for i, token in enumerate(line) if token.role == "quote"]
    found = list(line)
    inches = line[at[0] - 1].role == "num" and line[at[0]].glued if at[0] else False
    for k, i in enumerate(at):
        role = "measure" if inches else "open" if k % 2 == 0 else "close"
        found[i] = line[i]._replace(role=role if len(at) % 2 == 0 or inches else "bullet")
    return found


def _described(line: list[Token]) -> list[Token]:
    """`5-dc bobble`: the stitches of a compound stitch are part of its name."""
    found: list[Token] = []
    for token in line:
        if (
            token.role == "stitch"
            and token.value in _compound()
            and ((size := _inner_stitches(found, token)) > 0)
        ):
            first = found[-size]
            del found[-size:]
            found.append(token._replace(start=first.start, glued=first.glued))
        else:
            found.append(token)
    return found


def _inner_stitches(found: list[Token], token: Token) -> int:
    """How many tokens before a compound stitch tell what it is made of: `5-dc`, `5 dc-`, `5-dc-`."""
    roles = [item.role for item in found[-4:]]
    if roles[-3:] == ["num", "dash", "stitch"] and found[-2].glued:
        return 3
    if roles[-3:] == ["num", "stitch", "dash"] and found[-1].glued and token.glued:
        return 3
    made = stitches().get(found[-1].value) if roles[-1:] == ["stitch"] else None
    if made is not None and made.family == "decrease" and made.base == stitches()[token.value].base and made.uses > 2:
        return 1  # "dc3tog bobble"
    inner = found[-1].value if roles[-2:] == ["num", "stitch"] else ""
    if inner and inner == stitches()[token.value].base and inner != "single_crochet":
        return 2  # "5 dc bobble"
    if roles[-2:] == ["num", "dash"] and found[-1].glued and token.glued:
        return 2  # "2-dc cluster", where the table knows "dc cluster"
    return 4 if roles == ["num", "dash", "stitch", "dash"] and token.glued else 0


def _with_a_piece(line: list[Token]) -> list[Token]:
    """`4 sc together with the arm`: through the stitches of both pieces, no decrease."""
    found: list[Token] = []
    for token in line:
        if len(found) > 1 and found[-1].role == "with" and found[-2].role == "together" and token.role in _NAMES_PIECE:
            found[-2:] = [found[-2]._replace(role="through_both", value="pieces", end=token.end)]
        elif found and found[-1].value == "pieces" and found[-1].end == token.start - 1 and token.role in _NAMES_PIECE:
            found[-1] = found[-1]._replace(end=token.end)
        else:
            found.append(token)
    return found


def _together(line: list[Token], words: Lexicon) -> list[Token]:
    """`sc 3 tog`, `sc next 2 sts together`: a decrease of the plain stitch that is named."""
    found: list[Token] = []
    for token in line:
        if token.role == "together":
            start = _before_together(found, token.glued)
            if start is not None:
                at, base, number = start
                stitch = words.together.get((base, number))
                if stitch:
                    first = found[at]
                    del found[at:]
                    found.append(Token("stitch", stitch, 0, first.start, token.end, first.glued))
                    continue
        found.append(token)
    return found


def _before_together(found: list[Token], tight: bool) -> tuple[int, str, int] | None:
    """Where the words of a decrease begin, its plain stitch, and how many are taken together."""
    at = len(found) - 1
    while at >= 0 and (found[at].role in ("the", "in", "next") or _is_generic(found[at])):
        at -= 1
    if at > 1 and found[at].role == "num" and found[at - 1].role in ("and", "plus") and found[at - 2].role == "num":
        return None  # "every 3 and 4 st together"
    if at > 0 and found[at].role == "stitch" and found[at - 1].role == "num":
        return at - 1, found[at].value, found[at - 1].number  # "2 sc together"
    if at < 0 or found[at].role != "num":
        return None
    number, begin = found[at].number, at
    at -= 1
    while at >= 0 and found[at].role in ("the", "in", "next", "dash"):
        at -= 1
    apart = tight and not found[begin].glued and at > 0 and at == begin - 1 and found[at - 1].role == "num"
    if at >= 0 and found[at].role == "stitch" and found[at].value and not apart:  # but "6 sc 2tog" lacks a comma
        return at, found[at].value, number
    return begin if at < 0 else at + 1, "single_crochet", number


def _is_generic(token: Token) -> bool:
    return token.role == "stitch" and token.value == _GENERIC


def _spaces(line: list[Token]) -> list[Token]:
    """`ch-3 sp`, `ch sp`, `3-ch sp`, `ch-3 loop` become one token with the chains of the space."""
    found: list[Token] = []
    passed = 0
    for i, token in enumerate(line):
        if passed:
            passed -= 1
            continue
        if token.role == "unit" and token.value == "space":
            at = len(found)
            number = 0
            while (
                at and found[at - 1].role in ("dash", "the") and (found[at - 1].glued or found[at - 1].role == "dash")
            ):
                at -= 1
            if at > 2 and _is_generic(found[at - 1]) and found[at - 2].role == "num" and _chain_before(found, at - 2):
                at -= 1  # "chain 3 stitches of a space", where the number stands behind its noun
            if at and found[at - 1].role == "num" and at > 1 and _chain_before(found, at - 1):
                number = found[at - 1].number
                at -= 1
                while at and found[at - 1].role == "dash":
                    at -= 1
            if at and found[at - 1].role == "stitch" and found[at - 1].value == "chain":
                at -= 1
                if not number and at > 1 and found[at - 1].role == "dash" and found[at - 2].role == "num":
                    number = found[at - 2].number
                    at -= 2
                elif (
                    not number
                    and at > 1
                    and found[at - 1].role == "num"
                    and found[at - 2].role in ("in", "each", "next", "the", "corner")
                ):
                    number = found[at - 1].number
                    at -= 1
                first = found[at]
                del found[at:]
                found.append(Token("space", "", number, first.start, token.end, first.glued))
                continue
            chains, passed = _chains_behind(line, i + 1)
            found.append(token._replace(role="space", value="", number=chains, end=line[i + passed].end))
            continue
        found.append(token)
    return found


def _chains_behind(line: list[Token], at: int) -> tuple[int, int]:
    """The chains of a space told behind it, in languages that say "space of 3 chains": how many, and the tokens that tell it."""
    begin = at
    while at < len(line) and line[at].role in ("the", "from"):
        at += 1
    if begin < at < len(line) - 1 and line[at].role == "num" and line[at + 1].value == "chain":
        return line[at].number, at + 2 - begin
    return 0, 0


def _chain_before(found: list[Token], at: int) -> bool:
    at -= 1
    while at >= 0 and found[at].role == "dash":
        at -= 1
    return at >= 0 and found[at].role == "stitch" and found[at].value == "chain"


def _ordinals(line: list[Token]) -> list[Token]:
    """`8th`; and `every 3. st`, where a full stop makes the number an ordinal."""
    found: list[Token] = []
    for i, token in enumerate(line):
        before = found[-1] if found else None
        if (token.role == "ordinal_mark" and before is not None and before.role == "num" and token.glued) or (
            token.role == "stop"
            and before is not None
            and before.role == "num"
            and token.glued
            and len(found) > 1
            and found[-2].role in ("each", "the", "in", "and", "plus", "ordinal", "next", "from", "as")
            and i + 1 < len(line)
            and line[i + 1].role in ("stitch", "and", "plus", "header", "hook", "space", "the")
        ):
            found[-1] = before._replace(role="ordinal", end=token.end)
        elif (
            token.role == "ordinal_mark"
            and token.glued
            and len(found) > 1
            and before is not None
            and before.role == "stop"
            and found[-2].role == "num"
        ):
            found[-2:] = [found[-2]._replace(role="ordinal", end=token.end)]  # Portuguese "3.ª volta"
        elif token.role == "range" and token.glued and before is not None and before.role == "num" and _is_counted(line, i + 1):
            found[-1] = before._replace(role="ordinal", end=token.end)  # Italian "2a cat", where "a" is "to" as well
        else:
            found.append(token)
    return found


def _is_counted(line: list[Token], at: int) -> bool:
    return at < len(line) and line[at].role in ("stitch", "header", "hook", "space")


def _doubled(line: list[Token]) -> list[Token]:
    """Hungarian `24-24 rp`, so many in each: the number is said once."""
    found: list[Token] = []
    for i, token in enumerate(line):
        twice = (
            token.role == "num"
            and token.glued
            and len(found) > 1
            and found[-1].role == "dash"
            and found[-1].glued
            and found[-2].role == "num"
            and found[-2].number == token.number
            and i + 1 < len(line)
            and line[i + 1].role == "stitch"
        )
        if twice:
            found.pop()
        else:
            found.append(token)
    return found


def _bracketed_passes(line: list[Token]) -> list[Token]:
    """`sc, 2 sc in next (6x)`: a bracket that holds a number of times alone says no more than its words."""
    found: list[Token] = []
    at = 0
    while at < len(line):
        inner = [token.role for token in line[at : at + 4]]
        if at and inner in (["open", "num", "times", "close"], ["open", "times", "num", "close"]):
            found += line[at + 1 : at + 3]
            at += 4
        else:
            found.append(line[at])
            at += 1
    return found
