"""Bytes of a PO file in, a Catalogue out, and back; the door to polib. What belongs into a catalogue is not decided here."""

from __future__ import annotations

import codecs
import re
from collections.abc import Iterable
from typing import TYPE_CHECKING

from booklet.catalogues.message import Catalogue, CatalogueFault, Entry, clean

if TYPE_CHECKING:
    from polib import POEntry, POFile

WIDTH = 78  # columns, as usual in such files
_MARKS = (
    (codecs.BOM_UTF8, "utf-8"),
    (codecs.BOM_UTF32_LE, "utf-32"),
    (codecs.BOM_UTF32_BE, "utf-32"),
    (codecs.BOM_UTF16_LE, "utf-16"),
    (codecs.BOM_UTF16_BE, "utf-16"),
)
_CHARSET = re.compile(rb"charset=([A-Za-z0-9_-]{1,40})")
# Encodings of text only: a header must not be able to call up one of Python's other codecs.
_ENCODING = re.compile(
    r"(?i)utf-?8|(?:us-)?ascii|latin-?1|iso-?8859-\d+|(?:windows-|cp)125\d|"
    r"koi8-[ru]|shift_jis|euc-jp|euc-kr|gb2312|gbk|gb18030|big5"
)
_DECLARED = re.compile(r"(Content-Type: text/plain; charset=)[^\\\"]+")


def decoded(data: bytes) -> str:
    """The text: by its byte-order mark, else as its header says, else UTF-8. Nothing is guessed: CatalogueFault."""
    if b"\x00" in data[:4096] and not data.startswith((codecs.BOM_UTF16_LE, codecs.BOM_UTF16_BE, codecs.BOM_UTF32_BE)):
        raise CatalogueFault("it is no text file, or UTF-16 without a mark; save it as UTF-8")
    name = next((name for mark, name in _MARKS if data.startswith(mark)), "")
    if not name:
        told = _CHARSET.search(data)
        name = told[1].decode("ascii") if told and told[1] != b"CHARSET" else "utf-8"
        if not _ENCODING.fullmatch(name):
            raise CatalogueFault(f"its header says the encoding {name}, which is not known; save it as UTF-8")
    try:
        return data.decode(name).removeprefix("\ufeff")
    except UnicodeDecodeError as fault:
        line = data.count(b"\n", 0, fault.start) + 1
        raise CatalogueFault(f"line {line} is not written in {name}; save the file as UTF-8", line) from fault


def read(data: bytes) -> Catalogue:
    """Read a catalogue. Raises CatalogueFault for what is none."""
    import polib

    text = clean(decoded(data))
    if not text.strip():
        return Catalogue()
    # The blank line makes sure that polib takes this for the text, never for the name of a file.
    try:
        file = polib.pofile("\n" + _DECLARED.sub(r"\g<1>UTF-8", text) + "\n", wrapwidth=WIDTH)
    except (OSError, ValueError, IndexError, KeyError, UnicodeError, AttributeError, TypeError) as fault:
        found = re.search(r"line (\d{1,9})", str(fault))
        line = max(1, int(found[1]) - 1) if found else 1
        raise CatalogueFault(f"line {line} is not what a PO file has there", line) from fault
    if "msgid" not in text:
        raise CatalogueFault("there is no message in it; is it a PO file?")
    header = tuple((clean(name), clean(value)) for name, value in file.metadata.items())
    language = dict(header).get("Language", "").replace("_", "-")
    return Catalogue(tuple(_entry(one) for one in file), header, clean(file.header), language)


def _entry(one: POEntry) -> Entry:
    forms = [clean(form) for _, form in sorted(one.msgstr_plural.items()) if form] if one.msgstr_plural else []
    target = clean(one.msgstr) or (forms[0] if forms else "")
    comments = [line for line in clean(one.tcomment).split("\n") if line.strip()]
    comments += [f"earlier: {form}" for form in forms[1:] if form != target]
    return Entry(
        clean(one.msgctxt or ""),
        clean(one.msgid),
        target,
        "fuzzy" in one.flags,
        bool(one.obsolete),
        clean(one.previous_msgid or ""),
        clean(one.previous_msgctxt or ""),
        tuple(comments),
        tuple(line for line in clean(one.comment).split("\n") if line),
        tuple(dict.fromkeys(flag for flag in one.flags if flag != "fuzzy")),
        max(1, one.linenum - 1),
    )


def write(catalogue: Catalogue) -> bytes:
    """The bytes of a PO file, UTF-8, always the same for the same catalogue."""
    import polib

    file: POFile = polib.POFile(wrapwidth=WIDTH)
    file.header = catalogue.comment
    file.metadata = dict(catalogue.header)
    for entry in catalogue.entries:
        file.append(
            polib.POEntry(
                msgctxt=entry.context or None,
                msgid=entry.source,
                msgstr=entry.target,
                obsolete=entry.obsolete,
                previous_msgid=entry.previous or None,
                previous_msgctxt=(entry.previous_context or None) if entry.previous else None,
                tcomment="\n".join(entry.comments),
                comment="\n".join(entry.notes),
                flags=[*(["fuzzy"] if entry.fuzzy else []), *entry.flags],
            )
        )
    return (str(file).rstrip("\n") + "\n").encode()


def header(old: Catalogue, tag: str, source: str, project: str, moment: str) -> tuple[tuple[str, str], ...]:
    """The fields of a header: the translator's own stay, ours are set. `moment` is `2026-11-25 08:00+0000`."""
    fields = dict(old.header)
    first = {"Project-Id-Version": project or "pattern", "POT-Creation-Date": moment, "PO-Revision-Date": moment}
    for name, value in first.items():
        fields.setdefault(name, value)
    fields.update(
        {
            "Project-Id-Version": project or "pattern",
            "Language": tag.replace("-", "_"),
            "MIME-Version": "1.0",
            "Content-Type": "text/plain; charset=UTF-8",
            "Content-Transfer-Encoding": "8bit",
            "X-Source-Language": source,
        }
    )
    fields.setdefault("Last-Translator", "")
    fields.setdefault("Language-Team", "")
    fields.setdefault("Plural-Forms", _plurals(tag))
    return tuple(fields.items())


def _plurals(tag: str) -> str:
    from babel.messages.plurals import get_plural

    return str(get_plural(tag.replace("-", "_")).plural_forms)


def same_words(one: Iterable[Entry], two: Iterable[Entry]) -> bool:
    """Do two catalogues say the same? Where they stand, and how comments are broken into lines, does not count."""
    return [_said(entry) for entry in one] == [_said(entry) for entry in two]


def _said(entry: Entry) -> Entry:
    from dataclasses import replace

    notes, comments = (("".join("".join(lines).split()),) for lines in (entry.notes, entry.comments))
    return replace(entry, line=1, unit="", notes=notes, comments=comments)
