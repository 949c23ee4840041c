"""One value of a head in, its text as it was meant out, with a mend where YAML would read something else."""

from __future__ import annotations

import re

from booklet.diagnostics.diagnostic import Diagnostic, Edit, diagnostic
from booklet.diagnostics.span import Span
from booklet.source.tree import Value

_BLANKS = " \t\u00a0"
_BLOCK = re.compile(r"([|>])[-+]?\d?[-+]?[ \t]*(?:#.*)?$")
_ESCAPES = {'"': '"', "\\": "\\", "n": "\n", "t": "\t", "/": "/", " ": " "}
_SIGNS = "*&!@%`|>,]}?-"  # a plain value may not begin with these; ? and - only before a blank
_CLOSERS = {"[": "]", "{": "}"}
LONGEST_FLOW = 20_000  # characters in brackets that are handed to the YAML library; far above any head we know of


class Lines:
    """The lines of a head, seen as lines with something on them. Tabs in the indentation are put up with, once each."""

    def __init__(self, lines: list[str], problems: list[Diagnostic], deepest: int) -> None:
        self.raw, self.problems, self.deepest, self.stop = lines, problems, deepest, len(lines)
        self._inside: dict[int, int] = {}  # line -> characters of list markers that have been read already
        self._reported: set[int] = set()

    def skip(self, at: int) -> int:
        """The next line from `at` on that is neither blank nor a comment."""
        while at < self.stop:
            stripped = self.raw[at].strip(_BLANKS)
            if stripped.strip() and not stripped.startswith("#"):
                break
            at += 1
        return at

    def _lead(self, at: int) -> int:
        line = self.raw[at]
        lead = len(line) - len(line.lstrip(_BLANKS))
        if at not in self._reported and line[:lead].strip(" "):
            self._reported.add(at)
            place = Span(at + 1, 1, at + 1, lead + 1)
            mend = line[:lead].replace("\t", "  ").replace("\u00a0", " ")
            self.problems.append(diagnostic("tab-in-head", place, edits=(Edit(place, mend),)))
        return self._inside.get(at, lead)

    def open_inside(self, at: int, offset: int) -> None:
        """Take the rest of the line behind a list marker as a line that is indented further."""
        self._inside[at] = self._lead(at) + offset

    def indent(self, at: int) -> int:
        """Width of the indentation; a tab is two wide."""
        lead = self._lead(at)
        return lead + self.raw[at].count("\t", 0, lead)

    def text(self, at: int) -> str:
        """The line without indentation and trailing blanks."""
        return self.raw[at][self._lead(at) :].rstrip()

    def span(self, at: int, start: int, end: int) -> Span:
        """The place of characters start..end of `text(at)`."""
        lead = self._lead(at)
        return Span(at + 1, lead + start + 1, at + 1, lead + end + 1)

    @staticmethod
    def is_comment(rest: str) -> bool:
        """`# words` is a comment; `#7a4a2b` and `#1` are what somebody meant."""
        return rest.startswith("#") and (len(rest) == 1 or rest[1] in " \t#!")


def scalar(rows: Lines, at: int, offset: int, indent: int) -> tuple[Value, int]:
    """Read the value that begins at `offset` of a line; deeper lines below go on with it."""
    first = rows.text(at)[offset:]
    block = _BLOCK.match(first)
    if block:
        return _block_scalar(rows, at, offset, indent, block[1])
    stop = at + 1
    following = rows.skip(stop)
    while following < rows.stop and rows.indent(following) > indent:
        stop = following + 1
        following = rows.skip(stop)
    if first[0] in _CLOSERS:
        found = _flow(rows, at, offset, stop)
        if found is not None:
            return found, following
    pieces = [(at, offset, first), *((n, 0, rows.text(n)) for n in range(at + 1, stop) if rows.skip(n) == n)]
    if first[0] in "\"'":
        return _quoted(rows, pieces), following
    return _plain(rows, pieces), following


def _block_scalar(rows: Lines, at: int, offset: int, indent: int, sign: str) -> tuple[Value, int]:
    stop = at + 1
    while stop < rows.stop and (not rows.raw[stop].strip() or rows.indent(stop) > indent):
        stop += 1
    kept = rows.raw[at + 1 : stop]
    lead = min((len(line) - len(line.lstrip(_BLANKS)) for line in kept if line.strip()), default=0)
    texts = [line[lead:].rstrip() for line in kept]
    text = "\n".join(texts).strip() if sign == "|" else " ".join(" ".join(texts).split())
    start = rows.span(at, offset, offset + 1)
    last = max((n for n in range(at, stop) if rows.raw[n].strip()), default=at)
    return Value("text", text, start.to(Span(last + 1, 1, last + 1, len(rows.raw[last].rstrip()) + 1))), rows.skip(stop)


def _extent(rows: Lines, pieces: list[tuple[int, int, str]]) -> Span:
    at, offset, text = pieces[0]
    last, start, end_text = pieces[-1]
    return rows.span(at, offset, offset + len(text)).to(rows.span(last, start, start + len(end_text)))


def quoted(text: str) -> str:
    """The text in quotes that YAML reads back unchanged."""
    if '"' not in text and "\\" not in text:
        return f'"{text}"'
    return "'" + text.replace("'", "''") + "'"


def _mend(rows: Lines, code: str, pieces: list[tuple[int, int, str]], text: str, **values: str | int) -> Value:
    """Report a slip whose mend is to put the whole value in quotes; the value is what was typed."""
    span = _extent(rows, pieces)
    rows.problems.append(diagnostic(code, span, edits=(Edit(span, quoted(text)),), text=text[:60], **values))
    return Value("text", text, span)


def _plain(rows: Lines, pieces: list[tuple[int, int, str]]) -> Value:
    cut = _cut_comment(rows, pieces)
    text = " ".join(piece[2] for piece in cut)
    first = text[0]
    if (first in _SIGNS and (first not in "?-" or text[1:2] in ("", " "))) or first in _CLOSERS:
        return _mend(rows, "sign-at-start", cut, text, sign=first)
    if text.startswith("#") or " #" in text:
        hue = re.fullmatch(r"#[0-9A-Fa-f]{3}(?:[0-9A-Fa-f]{3})?", text)
        return _mend(rows, "hash-in-value", cut, text, sign=hue[0] if hue else "#")
    if ": " in text or text.endswith(":"):
        return _mend(rows, "colon-in-value", cut, text)
    return Value("text", text, _extent(rows, cut))


def _cut_comment(rows: Lines, pieces: list[tuple[int, int, str]]) -> list[tuple[int, int, str]]:
    """Leave out ` # words` at the end of a line, and say so: nothing is cut silently."""
    kept = []
    for at, offset, text in pieces:
        found = re.search(r"[ \t]#(?=[ \t])", text)
        if found and found.start():
            place = rows.span(at, offset + found.start() + 1, offset + len(text))
            rows.problems.append(diagnostic("comment-in-head", place, text=text[found.end() :].strip()[:60]))
            text = text[: found.start()].rstrip()
        kept.append((at, offset, text))
    return kept


def _quoted(rows: Lines, pieces: list[tuple[int, int, str]]) -> Value:
    text = " ".join(piece[2] for piece in pieces)
    quote = text[0]
    end = _closing(text, quote)
    if end < 0:
        if quote == "'":  # an apostrophe at the start of a word, such as 't or 'n
            return _mend(rows, "quote-not-closed", pieces, text, quote=quote)
        span = _extent(rows, pieces)
        close = Span(span.end_line, span.end_column, span.end_line, span.end_column)
        edits = (Edit(close, '"'),)
        rows.problems.append(diagnostic("quote-not-closed", span, edits=edits, text=text[:60], quote=quote))
        return Value("text", text[1:], span)
    rest = text[end + 1 :].strip()
    if rest and not (text[end + 1] in _BLANKS and rows.is_comment(rest)):
        return _mend(rows, "text-after-quote", pieces, text)
    inner = text[1:end]
    if quote == "'":
        return Value("text", inner.replace("''", "'"), _extent(rows, pieces))
    plain = _unescape(inner)
    if plain is None:
        span = _extent(rows, pieces)
        edits = (Edit(span, quoted(inner)),)
        rows.problems.append(diagnostic("backslash-in-quotes", span, edits=edits, text=text[:60]))
        plain = inner
    return Value("text", plain, _extent(rows, pieces))


def _closing(text: str, quote: str) -> int:
    """Offset of the closing quote, -1 for none."""
    at = 1
    while at < len(text):
        if text[at] == "\\" and quote == '"':
            at += 1
        elif text[at] == quote:
            if quote == "'" and text[at + 1 : at + 2] == "'":
                at += 1
            else:
                return at
        at += 1
    return -1


def _unescape(text: str) -> str | None:
    """Resolve the escapes of double quotes; None where a backslash is not one."""
    if "\\" not in text:
        return text
    out = []
    at = 0
    while at < len(text):
        if text[at] == "\\":
            at += 1
            if text[at : at + 1] not in _ESCAPES:
                return None
            out.append(_ESCAPES[text[at]])
        else:
            out.append(text[at])
        at += 1
    return "".join(out)


def _flow(rows: Lines, at: int, offset: int, stop: int) -> Value | None:
    """A value in brackets. None if something stands behind the closing bracket: then it is plain text."""
    from booklet.source.read_flow import balance, compose

    lead = rows.span(at, offset, offset).column - 1
    text = "\n".join([rows.raw[at][lead:].rstrip(), *(line.rstrip() for line in rows.raw[at + 1 : stop])])
    start = Span(at + 1, lead + 1, at + 1, lead + 1)
    end, missing, depth = balance(text[:LONGEST_FLOW])
    whole = start.to(Span(stop, 1, stop, len(rows.raw[stop - 1].rstrip()) + 1))
    if depth > rows.deepest or len(text) > LONGEST_FLOW:
        rows.problems.append(diagnostic("head-too-deep", start, limit=rows.deepest))
        return Value("text", text[:200], whole)
    if missing:
        close = Span(stop, whole.end_column, stop, whole.end_column)
        edits = (Edit(close, missing),)
        rows.problems.append(diagnostic("bracket-not-closed", whole, edits=edits, bracket=text[0], close=missing))
        text, end = text + missing, len(text) + len(missing)
    rest = text[end:].strip()
    if rest and not rows.is_comment(rest):
        return None
    if rest:
        _cut_comment(rows, [(stop - 1, 0, rows.text(stop - 1))])
    return compose(text[:end], start, whole, rows.problems)
