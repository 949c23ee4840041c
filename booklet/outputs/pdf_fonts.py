"""Comes in: fonts/faces.tsv and a text. Goes out: the faces that it needs, as bytes and as CSS. No page is laid out here.

Only the faces named in that table are ever used; the fonts of the machine are not looked at.
"""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Iterable, Mapping
from functools import cache
from html import unescape
from typing import NamedTuple

from booklet.outputs.pdf_coverage import covered
from booklet.resources import folder

FONT_SCHEME = "font"  # font:///literata/Literata-Regular.ttf; served by the fetcher in pdf.py and by nothing else
FALLBACK = "Literata"  # where a layout names no family at all


class Face(NamedTuple):
    """A line of fonts/faces.tsv."""

    file: str  # below fonts/; "" for a face that is made when a text needs it
    family: str  # the name for CSS
    weight: int  # 400 regular, 700 bold
    style: str  # "normal" or "italic"
    package: str  # distribution and version that the face was, or is, made from; "own" if drawn by ourselves
    source: str  # the file in that package
    axes: str  # "opsz=10 wght=400"
    extra: str  # the extra of ours that brings the package of a face without a file
    blocks: str = ""  # what such a face is for: spans of code points, "0590-05FF FB1D-FB4F"

    def is_for(self, character: str) -> bool:
        """Does the character belong to the scripts of a face that is made on demand? Known without its package."""
        spans = (span.split("-") for span in self.blocks.split())
        return any(int(first, 16) <= ord(character) <= int(last, 16) for first, last in spans)

    @property
    def url(self) -> str:
        """Where the style sheet finds the face."""
        return f"{FONT_SCHEME}:///{self.file or f'{self.family}-{self.weight}'.replace(' ', '')}"


class FontTableFault(Exception):
    """A line of fonts/faces.tsv that cannot be used; `line` counts from 1."""

    def __init__(self, line: int, what: str) -> None:
        super().__init__(f"fonts/faces.tsv:{line}: {what}")
        self.line, self.what = line, what


class MissingGlyphs(Exception):
    """Characters that no face has. `extra` names the extra of ours that would bring them, or is ""."""

    def __init__(self, characters: Iterable[str], extra: str = "") -> None:
        self.characters = tuple(sorted(set(characters)))
        self.extra = extra
        named = ", ".join(f"{c} (U+{ord(c):04X} {unicodedata.name(c, 'unnamed').lower()})" for c in self.characters)
        super().__init__(f"no font has {named}" + (f"; {self.suggestion}" if extra else ""))

    @property
    def suggestion(self) -> str:
        """The command that brings the missing font, or ""."""
        return f'pip install "pattern-booklet[{self.extra}]"' if self.extra else ""


@cache
def faces() -> tuple[Face, ...]:
    """The lines of fonts/faces.tsv. Raises FontTableFault with the line's number."""
    found: list[Face] = []
    columns: list[str] | None = None
    for number, line in enumerate((folder("fonts") / "faces.tsv").read_text("utf-8").splitlines(), 1):
        if not line.strip() or line.startswith("#"):
            continue
        cells = [cell.strip() for cell in line.split("\t")]
        if columns is None:
            columns = cells
            if columns != list(Face._fields):
                raise FontTableFault(number, f"the columns are {', '.join(Face._fields)}")
            continue
        cells += [""] * (len(columns) - len(cells))
        if len(cells) > len(columns) or not cells[2].isdigit() or cells[3] not in ("normal", "italic"):
            raise FontTableFault(number, "not a face: file, family, weight (a number), style (normal or italic), package")
        if cells[0] and not (folder("fonts") / cells[0]).is_file():
            raise FontTableFault(number, f"there is no file fonts/{cells[0]}")
        if cells[8] and not re.fullmatch(r"[0-9A-F]{4,6}-[0-9A-F]{4,6}( [0-9A-F]{4,6}-[0-9A-F]{4,6})*", cells[8]):
            raise FontTableFault(number, "blocks are spans of code points such as 0590-05FF, a space between them")
        found.append(Face(cells[0], cells[1], int(cells[2]), *cells[3:]))
    return tuple(found)


@cache
def face_bytes(file: str) -> bytes:
    """The bytes of a face of fonts/."""
    return (folder("fonts") / file).read_bytes()


@cache
def known_characters() -> frozenset[int]:
    """Every code point that one of the faces of fonts/ can print."""
    return frozenset().union(*(covered(face_bytes(face.file)) for face in faces() if face.file))


def printed_characters(html: str, files: Mapping[str, bytes]) -> frozenset[str]:
    """The characters that a reader would see: the text of the page and of its SVG pictures, in composed form.

    Marks that need no glyph (controls, joiners, variation selectors, spaces) are left out; so is what only CSS generates,
    which the engine's own report of missing glyphs covers.
    """
    texts = [_visible(html)]
    texts += [_visible(data.decode("utf-8", "replace")) for name, data in files.items() if name.endswith(".svg")]
    seen = set(unicodedata.normalize("NFC", "".join(texts)))
    return frozenset(c for c in seen if not _needs_no_glyph(c))


def _visible(markup: str) -> str:
    markup = re.sub(r"(?is)<!--.*?-->|<(head|style|title|desc|metadata)\b.*?</\1\s*>", " ", markup)
    return unescape(re.sub(r"<[^>]*>", " ", markup))


def _needs_no_glyph(character: str) -> bool:
    # U+2011, the hyphen that does not break, is drawn as U+2010 by the shaper where a face lacks it (seen).
    return (
        unicodedata.category(character)[0] in "CZ"
        or "\ufe00" <= character <= "\ufe0f"
        or character == "\u2011"
    )


class Prepared(NamedTuple):
    """A face made for this text."""

    face: Face
    data: bytes  # a TrueType file with the needed characters only


def faces_for(html: str, files: Mapping[str, bytes]) -> tuple[Prepared, ...]:
    """The faces to be made for what the faces of fonts/ lack. Raises MissingGlyphs if nothing would have a character."""
    lacking = {c for c in printed_characters(html, files) if ord(c) not in known_characters()}
    if not lacking:
        return ()
    from booklet.outputs.pdf_large_fonts import prepare

    return prepare(lacking)


def font_css(prepared: Iterable[Prepared] = ()) -> str:
    """The @font-face rules of every face, and the family of a layout that names none."""
    named = [face for face in faces() if face.file] + [made.face for made in prepared]
    rules = [
        f'@font-face{{font-family:"{face.family}";font-weight:{face.weight};font-style:{face.style};src:url("{face.url}")}}'
        for face in named
    ]
    return "\n".join([*rules, f'html{{font-family:"{FALLBACK}"}}'])
