"""Words for fibres, notions and colours in one language in, the same in another language out; no page is made here.

Only what is understood whole is turned: of a text with one unknown word nothing is, so that no line is half in one language.
"""

from __future__ import annotations

import re
from functools import cache
from typing import NamedTuple

from booklet.tables.language import fold, load, page_words, tags
from booklet.tables.lineage import holder, rows_of
from booklet.tables.pairs import joined
from booklet.tables.reader import TableFault, forms

FILE = "materials.tsv"
FAMILIES = ("fibre", "notion", "colour")
CATEGORIES = ("few", "many")  # of CLDR; columns that a language may have besides its plural
LONGEST = 300  # characters of a text that is looked at
_SHARE = re.compile(r"(\d{1,3})[\s\u00a0\u202f]?[%٪]\s*|\s*[,;/+&]\s*")
_SIZE = re.compile(r"(\d{1,5}(?:[.,]\d{1,3})?)[\s\u00a0\u202f]?(mm|cm|m|in|yd|g|oz)\Z")
_PARTS = re.compile(r"\s*[,;()–]\s*")


class Material(NamedTuple):
    """One row."""

    id: str  # "notion.stitch_marker"
    name: str  # printed alone: "stitch marker"
    plural: str  # of several: "stitch markers"
    counted: dict[str, str]  # CLDR category -> the form behind a number, where it is neither of these


@cache
def _table(tag: str) -> tuple[dict[str, Material], dict[str, tuple[str, str]]]:
    """By id, and by folded form: the id and whether it is one or several."""
    made: dict[str, Material] = {}
    read: dict[str, tuple[str, str]] = {}
    for row in rows_of(tag, FILE) if tag in tags() and holder(tag, FILE) else ():
        cell = row.cells
        if cell["id"].partition(".")[0] not in FAMILIES or not cell["name"]:
            raise TableFault(row.file, row.line, f"an id begins with {', '.join(FAMILIES)} and a point, and has a name")
        counted = {one: cell[one] for one in CATEGORIES if cell.get(one)}
        made.setdefault(cell["id"], Material(cell["id"], cell["name"], cell.get("plural") or cell["name"], counted))
        read.setdefault(fold(cell["name"]), (cell["id"], "one"))
        for form in (cell.get("plural", ""), *counted.values()):
            if form:
                read.setdefault(fold(form), (cell["id"], "several"))
        for form in forms(cell["also"]):
            read.setdefault(fold(form), (cell["id"], "several" if fold(form).endswith("s") and cell.get("plural") else "one"))
    return made, read


def ids(tag: str) -> tuple[str, ...]:
    """What a language has names for."""
    return tuple(_table(tag)[0])


def known(kind: str, text: str, source: str, tag: str) -> str:
    """A message of this kind (`fibre`, `yarn colour`, `notion`) in the words of the tables; "" where they do not say all of it."""
    if len(text) > LONGEST or tag not in tags():
        return ""
    if kind == "fibre":
        return fibres(text, source, tag)
    if kind == "yarn colour":
        return _turned(text, "colour", source, tag)
    return things(text, source, tag) if kind.startswith("notion") else ""


def _turned(text: str, family: str, source: str, tag: str) -> str:
    """One name; "" where either table lacks it."""
    at, number = _table(source)[1].get(fold(text), ("", ""))
    one = _table(tag)[0].get(at)
    if one is None or at.partition(".")[0] != family:
        return ""
    return one.plural if number == "several" else one.name


def fibres(text: str, source: str, tag: str) -> str:
    """`60% cotton, 40% acrylic` -> `60 % Baumwolle, 40 % Polyacryl`."""
    words = page_words(tag)
    made: list[str] = []
    share = ""
    at = 0
    for found in (*_SHARE.finditer(text), None):
        name = text[at : found.start() if found else len(text)].strip(" .()")
        if name:
            told = _turned(name, "fibre", source, tag)
            if not told:
                return ""
            made.append(words["fibre_share"].replace("{n}", share).replace("{name}", told) if share else told)
            share = ""
        if found is None:
            break
        share, at = found[1] or share, found.end()
    return joined(page_words(tag), "comma", made) if made and not share else ""


def things(text: str, source: str, tag: str) -> str:
    """`black embroidery thread, 50 cm` -> `Stickgarn, schwarz, 50 cm`: a name, then what is said of it, each piece by itself."""
    made: list[str] = []
    for piece in _PARTS.split(text):
        if not piece:
            continue
        size = _SIZE.match(piece)
        told = (_size(size, tag),) if size else _name(piece, source, tag)
        if not all(told):
            return ""
        made += told
    return joined(page_words(tag), "comma", made)


def _name(piece: str, source: str, tag: str) -> tuple[str, ...]:
    """A thing, with its colour behind it: `black wire`, `fil noir`; a colour alone. An empty text where it is neither."""
    whole = _turned(piece, "notion", source, tag) or _turned(piece, "colour", source, tag)
    if whole:
        return (whole,)
    first, _, rest = piece.partition(" ")
    before, _, last = piece.rpartition(" ")
    for thing, colour in ((rest, first), (before, last)):
        found = _turned(thing, "notion", source, tag), _turned(colour, "colour", source, tag)
        if all(found):
            return found
    return ("",)


def _size(found: re.Match[str], tag: str) -> str:
    unit = page_words(tag).get(f"unit_{found[2]}", found[2])
    return f"{found[1].replace('.', load(tag).settings.get('decimal', '.'))}\u00a0{unit}"


def inflected(name: str, category: str, tag: str) -> str:
    """The form of a name behind a number of this CLDR category; as it is where the language's table does not know it."""
    at, _ = _table(tag)[1].get(fold(name), ("", ""))
    one = _table(tag)[0].get(at)
    if one is None or not at.startswith("notion."):
        return name
    return one.name if category == "one" else one.counted.get(category, one.plural)
