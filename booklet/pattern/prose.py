"""Prose, pictures and links in, what a booklet may not print out; the words themselves go on as Markdown."""

from __future__ import annotations

import re
from collections.abc import Iterator

from booklet.diagnostics.diagnostic import Diagnostic, Edit, diagnostic
from booklet.diagnostics.span import Span
from booklet.source.tree import Block, Piece
from booklet.tables.nearest import nearest
from booklet.units import length_mm

PICTURE = re.compile(
    r"!\[(?P<alt>[^\]\n]{0,2000})\]\((?P<path>[^()\n]{0,1000})\)[ \t]*(?P<attributes>\{[^{}\n]{0,2000}\})?"
)
_LINK = re.compile(r"(?<!!)\[[^\[\]\n]{1,500}\]\((?P<to>[^()\s]{1,1000})[^()\n]{0,200}\)")
_REFERENCE = re.compile(r"\[[^\[\]\n]{1,200}\]:[ \t]*(?P<to>\S{1,1000})")
_BARE = re.compile(r"<(?P<to>[A-Za-z][A-Za-z0-9+.-]{1,20}:[^<>\s]{1,1000})>")
_HTML = re.compile(r"<(?:/?(?P<tag>[A-Za-z][A-Za-z0-9-]{0,30})(?:[\s/][^<>]{0,1000})?>|!(?:--|[A-Za-z])|\?)")
_SCHEME = re.compile(r"[A-Za-z][A-Za-z0-9+.-]*:")
_ATTRIBUTE = re.compile(r"(?P<name>[^\s=\"']{1,60})(?:\s*=\s*(?P<value>\"[^\"]*\"|'[^']*'|[^\s\"']\S*))?")
_KNOWN = ("width", "actual-size", "caption")
_LINKS = ("https://", "mailto:", "#")


def _at(piece: Piece, start: int, end: int) -> Span:
    return Span(piece.line, piece.column + start, piece.line, piece.column + end)


def check(block: Block) -> Iterator[Diagnostic]:
    """What the words of a block ask for that is not done: HTML, links elsewhere than to the open web."""
    if block.kind in ("code", "comment"):
        return
    for piece in block.pieces:
        if "<" in piece.text:
            for found in _HTML.finditer(piece.text):
                values = {"tag": found["tag"] or found[0]}
                yield diagnostic("raw-html", _at(piece, found.start(), found.end()), **values)
            for found in _BARE.finditer(piece.text):
                yield from _link(piece, found)
        if "](" in piece.text:
            for found in _LINK.finditer(piece.text):
                yield from _link(piece, found)
            if block.kind != "picture":
                for found in PICTURE.finditer(piece.text):
                    yield from _picture_problems(piece, found)
        if piece.text.startswith("["):
            found = _REFERENCE.match(piece.text)
            if found:
                yield from _link(piece, found)


def _link(piece: Piece, found: re.Match[str]) -> Iterator[Diagnostic]:
    to = found["to"]
    if to.isdecimal() or to.lower().startswith(_LINKS):  # `[2 sc, inc](28)` is a round with its total
        return
    span = _at(piece, found.start("to"), found.end("to"))
    if to.lower().startswith("http://"):
        edit = Edit(_at(piece, found.start("to"), found.start("to") + 7), "https://")
        yield diagnostic("link-refused", span, edits=(edit,), link=to[:80])
    elif to.lower().startswith("www."):
        edit = Edit(_at(piece, found.start("to"), found.start("to")), "https://")
        yield diagnostic("link-refused", span, edits=(edit,), link=to[:80])
    else:
        yield diagnostic("link-refused", span, link=to[:80])


def outside(path: str) -> bool:
    """Does a path lead out of the pattern's folder?"""
    plain = path.replace("\\", "/").strip()
    if "%" in plain:
        from urllib.parse import unquote  # 10 ms to import, and hardly any path is escaped

        plain = unquote(plain).replace("\\", "/")
    if plain.startswith(("/", "~")) or _SCHEME.match(plain) or any(ord(sign) < 32 for sign in plain):
        return True
    depth = 0
    for step in plain.split("/"):
        depth += -1 if step == ".." else 0 if step in ("", ".") else 1
        if depth < 0:
            return True
    return False


def picture(block: Block) -> tuple[tuple[tuple[str, str | int | float], ...], list[Diagnostic]]:
    """The values of a picture that stands alone: alt, path, width_mm, actual_size, caption."""
    piece = block.pieces[0]
    found = PICTURE.match(piece.text)
    if found is None:
        return (), []
    problems = list(_picture_problems(piece, found))
    values: dict[str, str | int | float] = {"alt": found["alt"].strip(), "path": found["path"].strip()}
    if found["attributes"]:
        values.update(_attributes(piece, found, problems))
    if len(block.pieces) > 1:
        values.setdefault("caption", block.pieces[1].text.strip("*_ "))
    return tuple(values.items()), problems


def _picture_problems(piece: Piece, found: re.Match[str]) -> Iterator[Diagnostic]:
    path = found["path"].strip()
    if not found["alt"].strip():
        yield diagnostic("picture-without-description", _at(piece, found.start(), found.end("path") + 1), path=path)
    if not path or outside(path):
        yield diagnostic("picture-outside", _at(piece, found.start("path"), found.end("path")), path=path[:80])


def _attributes(piece: Piece, found: re.Match[str], problems: list[Diagnostic]) -> dict[str, str | int | float]:
    values: dict[str, str | int | float] = {}
    start = found.start("attributes") + 1
    for item in _ATTRIBUTE.finditer(found["attributes"][1:-1]):
        name = item["name"].lower()
        text = (item["value"] or "").strip("\"'")
        span = _at(piece, start + item.start(), start + item.end())
        if name == "caption" and item["value"]:
            values["caption"] = text
        elif name == "actual-size":
            values["actual_size"] = 1
        elif name == "width" and item["value"]:
            width = length_mm(text)
            if width:
                values["width_mm"] = round(width, 3)
            else:
                problems.append(diagnostic("not-a-length", span, key="width", text=text[:60]))
        else:
            close = nearest(name, _KNOWN)
            here = _at(piece, start + item.start("name"), start + item.end("name"))
            edits = (Edit(here, close),) if close else ()
            problems.append(diagnostic("picture-attribute-unknown", here, edits=edits, attribute=item["name"][:60]))
    return values
