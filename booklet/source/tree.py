"""The noun of this room: a text as head values and blocks, each with its place; nothing is interpreted."""

from __future__ import annotations

from dataclasses import dataclass
from typing import NamedTuple

from booklet.diagnostics.span import Span


class Piece(NamedTuple):
    """One physical line of a block, without its marker or indentation."""

    text: str
    line: int  # from 1
    column: int  # of the first character, from 1


@dataclass(frozen=True, slots=True)
class Value:
    """A value of the head. Every scalar is text, exactly as typed (quotes of YAML removed)."""

    kind: str  # "text", "list" or "map"
    text: str  # of a scalar; "" otherwise
    span: Span
    items: tuple[Value, ...] = ()  # of a list
    pairs: tuple[tuple[Value, Value], ...] = ()  # of a map: key (a "text" Value), value


@dataclass(frozen=True, slots=True)
class Block:
    """A block of the body. Blocks cover all lines of the body, blank lines apart, in order."""

    kind: str  # "heading", "paragraph", "item", "quote", "table", "picture", "code", "comment", "rule"
    pieces: tuple[Piece, ...]
    span: Span
    level: int = 0  # of a heading 1-6; nesting depth of an item from 0
    marker: str = ""  # of an item: "-", "*", "1." as typed


@dataclass(frozen=True, slots=True)
class Source:
    """A whole file. `text` is what was read, byte-order mark apart; the blocks point into it."""

    file: str
    text: str
    head: tuple[tuple[Value, Value], ...]  # in order; double keys are kept (and reported)
    blocks: tuple[Block, ...]
    head_span: Span | None = None  # from the first --- to the last, None without a head
    byte_order_mark: bool = False
    line_end: str = "\n"  # the commonest of "\n", "\r\n", "\r"
