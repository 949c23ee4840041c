"""Bytes of a file in, a Source and what is wrong with it as a text out; what the words mean is not asked here."""

from __future__ import annotations

import re

from booklet.diagnostics.diagnostic import Diagnostic, Edit, diagnostic
from booklet.diagnostics.span import Span
from booklet.source.read_blocks import blocks
from booklet.source.read_head import FENCE, entries, find_head
from booklet.source.tree import Source, Value
from booklet.tables.limits import limits

_LINE_END = re.compile("\r\n|\n|\r")
_MARKS_16 = (b"\xff\xfe", b"\xfe\xff")


def read(data: bytes, file: str) -> tuple[Source, tuple[Diagnostic, ...]]:
    """Read a pattern file. Never raises: what cannot be read is left out and reported.

    Lines end at LF, CRLF or CR only. A file above the limit or with zero bytes is not looked into.
    """
    text, mark, problems = _decode(data)
    lines = _LINE_END.split(text)
    ends = _LINE_END.findall(text)
    line_end = max(("\n", "\r\n", "\r"), key=ends.count) if ends else "\n"
    if not text.strip():
        if not problems:
            problems.append(diagnostic("empty-file"))
        return Source(file, text, (), (), None, mark, line_end), tuple(problems)
    head, body_from, span = _head(lines, problems)
    return Source(file, text, head, blocks(lines, body_from, problems), span, mark, line_end), tuple(problems)


def read_house(data: bytes, file: str) -> tuple[Source, tuple[Diagnostic, ...]]:
    """Read a house file: all of it is a head, with or without the lines of dashes around it."""
    text, mark, problems = _decode(data)
    lines = _LINE_END.split(text)
    kept = ["" if FENCE.match(line) else line for line in lines]
    head = entries(kept, 0, len(kept), problems, limits()["nesting"])
    marked = tuple(_in_file(problem, file) for problem in problems)
    return Source(file, text, head, (), Span(1, 1, len(lines), len(lines[-1]) + 1), mark), marked


def _in_file(problem: Diagnostic, file: str) -> Diagnostic:
    from dataclasses import replace

    return replace(problem, file=file)


def _decode(data: bytes) -> tuple[str, bool, list[Diagnostic]]:
    """The text without its byte-order mark. An unreadable byte becomes U+FFFD, so that the other lines are still read."""
    limit = limits()["file_bytes"]
    if len(data) > limit:
        size = f"{len(data) / 1_000_000:.1f}"
        return "", False, [diagnostic("file-too-large", size=size, limit=f"{limit / 1_000_000:g}")]
    if data[:2] in _MARKS_16:
        return data.decode("utf-16", "replace").lstrip("\ufeff"), False, [diagnostic("not-text", help="utf16")]
    if b"\x00" in data:
        return "", False, [diagnostic("not-text", help="binary")]
    mark = data.startswith(b"\xef\xbb\xbf")
    data = data[3:] if mark else data
    try:
        return data.decode("utf-8"), mark, []
    except UnicodeDecodeError as fault:
        before = _LINE_END.split(data[: fault.start].decode("utf-8", "replace"))
        place = Span(len(before), len(before[-1]) + 1, len(before), len(before[-1]) + 2)
        return data.decode("utf-8", "replace"), mark, [diagnostic("not-text", place, help="encoding")]


def _head(lines: list[str], problems: list[Diagnostic]) -> tuple[tuple[tuple[Value, Value], ...], int, Span | None]:
    """The head's entries, the index of the first line of the body, and where the head stands."""
    found = find_head(lines)
    if found is None:
        return (), 0, None
    first, start, stop, body = found.opening, found.start, found.stop, found.body
    for at in (first, stop if body > stop else None):
        if at is not None and lines[at].strip() and set(lines[at].strip()) != {"-"}:
            place = Span(at + 1, 1, at + 1, len(lines[at]) + 1)
            problems.append(diagnostic("head-dashes", place, edits=(Edit(place, "---"),)))
    if first is None:
        here = Span(start + 1, 1, start + 1, 1)
        problems.append(diagnostic("head-not-opened", here, edits=(Edit(here, "---\n"),)))
    if body == stop:
        here = Span(stop, len(lines[stop - 1]) + 1, stop, len(lines[stop - 1]) + 1)
        problems.append(diagnostic("head-not-closed", here, edits=(Edit(here, "\n---"),)))
    head = entries(lines, start, stop, problems, limits()["nesting"])
    top = start if first is None else first
    last = max(body - 1, top)
    return head, body, Span(top + 1, 1, last + 1, len(lines[last]) + 1)
