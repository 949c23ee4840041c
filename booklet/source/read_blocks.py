"""Lines of a body in, its blocks with their places out; a block's words are not looked into."""

from __future__ import annotations

import re

from booklet.diagnostics.diagnostic import Diagnostic, diagnostic
from booklet.diagnostics.span import Span
from booklet.source.tree import Block, Piece

_HEADING = re.compile(r"[ \t]{0,3}(#{1,6})[ \t]+(?=\S)")
_ITEM = re.compile(r"[ \t]*([-*+•·‣▪◦●–—→»]|\d{1,3}[.)])[ \t]+(?=\S)")
_FENCE = re.compile(r"[ \t]{0,3}(`{3,}|~{3,})")
_PICTURE = re.compile(r"!\[[^\]\n]{0,2000}\]\([^()\n]{0,1000}\)[ \t]*(?:\{[^{}\n]{0,2000}\})?$")
_RULE_SIGNS = ("-", "*", "_", "–", "—")
_DEEPEST = 12  # nesting of items that is told apart; deeper ones stand at this depth


def blocks(lines: list[str], start: int, problems: list[Diagnostic]) -> tuple[Block, ...]:
    """Split the lines from index `start` on. Every line with something on it belongs to exactly one block."""
    found: list[Block] = []
    closes = _comment_ends(lines, start)
    depths: list[int] = []  # columns at which the items that are still open begin
    at = start
    while at < len(lines):
        if not lines[at].strip():
            at += 1
            continue
        block, at = _block(lines, at, closes, depths, problems)
        if block.kind not in ("item", "picture", "comment") and _indent(lines[block.span.line - 1]) == 0:
            depths.clear()
        found.append(block)
    return tuple(found)


def _block(
    lines: list[str], at: int, closes: list[int], depths: list[int], problems: list[Diagnostic]
) -> tuple[Block, int]:
    line = lines[at]
    stripped = line.strip()
    if stripped[:1].isalpha() and "|" not in line:
        return _paragraph(lines, at)
    if stripped.startswith("<!--"):
        return _comment(lines, at, closes, problems)
    fence = _FENCE.match(line)
    if fence and not (fence[1][0] == "`" and "`" in line[fence.end() :]):
        return _code(lines, at, fence[1])
    heading = _HEADING.match(line)
    if heading:
        return _heading(lines, at, heading)
    if _is_rule(stripped):
        return _make("rule", lines, at, at + 1, [_piece(lines, at)])
    if stripped.startswith(">"):
        return _quote(lines, at)
    if _starts_table(lines, at):
        return _table(lines, at)
    if _PICTURE.match(stripped):
        return _picture(lines, at)
    item = _ITEM.match(line)
    if item:
        return _item(lines, at, item, depths)
    return _paragraph(lines, at)


def _paragraph(lines: list[str], at: int) -> tuple[Block, int]:
    stop = at + 1
    while stop < len(lines) and not _interrupts(lines, stop):
        stop += 1
    return _make("paragraph", lines, at, stop, [_piece(lines, n) for n in range(at, stop)])


def _make(
    kind: str, lines: list[str], at: int, stop: int, pieces: list[Piece], level: int = 0, marker: str = ""
) -> tuple[Block, int]:
    span = Span(at + 1, _indent(lines[at]) + 1, stop, len(lines[stop - 1].rstrip()) + 1)
    return Block(kind, tuple(pieces), span, level, marker), stop


def _indent(line: str) -> int:
    return len(line) - len(line.lstrip())


def _piece(lines: list[str], at: int, start: int = -1) -> Piece:
    start = _indent(lines[at]) if start < 0 else start
    return Piece(lines[at][start:].rstrip(), at + 1, start + 1)


def _heading(lines: list[str], at: int, opening: re.Match[str]) -> tuple[Block, int]:
    piece = _piece(lines, at, opening.end())
    text = piece.text.rstrip("#")
    if text != piece.text and text.rstrip() != text:  # "## Nut ##": closing signs, set off by a space
        piece = piece._replace(text=text.rstrip())
    return _make("heading", lines, at, at + 1, [piece], len(opening[1]))


def _code(lines: list[str], at: int, fence: str) -> tuple[Block, int]:
    stop = at + 1
    while stop < len(lines):
        closing = lines[stop].strip()
        if closing.startswith(fence) and not closing.strip(fence[0]):
            inner = [Piece(lines[n], n + 1, 1) for n in range(at + 1, stop)]
            return _make("code", lines, at, stop + 1, inner)
        stop += 1
    # Never closed: the file's last lines. Without this the fence would have to be looked for again at every line.
    last = stop
    while last > at + 1 and not lines[last - 1].strip():
        last -= 1
    return _make("code", lines, at, last, [Piece(lines[n], n + 1, 1) for n in range(at + 1, last)])


def _quote(lines: list[str], at: int) -> tuple[Block, int]:
    pieces = []
    stop = at
    while stop < len(lines) and lines[stop].lstrip().startswith(">"):
        start = _indent(lines[stop]) + 1
        start += 1 if lines[stop][start : start + 1] == " " else 0
        pieces.append(_piece(lines, stop, start))
        stop += 1
    return _make("quote", lines, at, stop, pieces)


def _starts_table(lines: list[str], at: int) -> bool:
    if "|" not in lines[at]:
        return False
    if lines[at].lstrip().startswith("|") and lines[at].rstrip().endswith("|"):
        return True
    rule = lines[at + 1].strip() if at + 1 < len(lines) else ""
    return "|" in rule and "-" in rule and not rule.strip("|-: \t")


def _table(lines: list[str], at: int) -> tuple[Block, int]:
    stop = at + 1
    while stop < len(lines) and "|" in lines[stop]:
        stop += 1
    return _make("table", lines, at, stop, [_piece(lines, n) for n in range(at, stop)])


def _picture(lines: list[str], at: int) -> tuple[Block, int]:
    """A picture on a line of its own; a line right below that is emphasised as a whole is its caption."""
    stop = at + 1
    below = lines[stop].strip() if stop < len(lines) else ""
    if len(below) > 2 and below[0] in "*_" and below[-1] == below[0] and below[1].isalpha():
        stop += 1
    return _make("picture", lines, at, stop, [_piece(lines, n) for n in range(at, stop)])


def _item(lines: list[str], at: int, opening: re.Match[str], depths: list[int]) -> tuple[Block, int]:
    column = opening.start(1)
    while depths and column < depths[-1]:
        depths.pop()
    if not depths or column > depths[-1] + 1:
        depths.append(column)
    stop = at + 1
    while stop < len(lines) and not _interrupts(lines, stop):
        stop += 1
    pieces = [_piece(lines, at, opening.end()), *(_piece(lines, n) for n in range(at + 1, stop))]
    return _make("item", lines, at, stop, pieces, min(len(depths) - 1, _DEEPEST), opening[1])


def _is_rule(stripped: str) -> bool:
    sign = stripped[:1]
    bare = stripped.replace(" ", "").replace("\t", "")
    return sign in _RULE_SIGNS and len(bare) >= 3 and not bare.strip(sign)


def _interrupts(lines: list[str], at: int) -> bool:
    """Does this line end the paragraph or item before it?"""
    line = lines[at]
    stripped = line.strip()
    if stripped[:1].isalpha():  # most lines: only a table can begin with a letter
        return _starts_table(lines, at)
    return (
        not stripped
        or _HEADING.match(line) is not None
        or _ITEM.match(line) is not None
        or _is_rule(stripped)
        or stripped.startswith((">", "<!--", "```", "~~~"))
        or _PICTURE.match(stripped) is not None
        or _starts_table(lines, at)
    )


def _comment_ends(lines: list[str], start: int) -> list[int]:
    """For each line the nearest line from there on that holds the end of a comment; -1 for none.

    Filled from the end, so that many openings without a close cost one pass.
    """
    ends = [-1] * (len(lines) + 1)
    for at in range(len(lines) - 1, start - 1, -1):
        ends[at] = at if "-->" in lines[at] else ends[at + 1]
    return ends


def _comment(lines: list[str], at: int, closes: list[int], problems: list[Diagnostic]) -> tuple[Block, int]:
    """A comment from its opening to its close; one that never closes, or has words behind it, is a paragraph."""
    opening = lines[at].index("<!--")
    end = at if "-->" in lines[at][opening + 4 :] else closes[at + 1]
    if end < 0 and not any(problem.code == "comment-not-closed" for problem in problems[-1:]):
        place = Span(at + 1, opening + 1, at + 1, len(lines[at]) + 1)
        problems.append(diagnostic("comment-not-closed", place))
    elif end >= 0 and not lines[end][opening + 4 if end == at else 0 :].partition("-->")[2].strip():
        return _make("comment", lines, at, end + 1, [_piece(lines, n) for n in range(at, end + 1)])
    return _make("paragraph", lines, at, at + 1, [_piece(lines, at)])
