"""Comes in: faces.tsv and the pinned font packages. Goes out: the static TrueType files and OFL.txt of each family.

Not done here: signs and symbols drawn by ourselves (signs.py, make_symbols.py), and Japanese (prepared on the reader's
machine, see README.md).
Run `make fonts`; the same input gives the same bytes, which a test proves.
"""

from __future__ import annotations

import csv
import importlib.metadata
import importlib.resources
import io
import sys
from collections.abc import Iterator
from pathlib import Path
from typing import NamedTuple

from fontTools.subset import Options, Subsetter
from fontTools.ttLib import TTFont
from fontTools.varLib.instancer import instantiateVariableFont

# Run as a file or loaded by a test, the neighbours and the package are found.
sys.path[:0] = [str(Path(__file__).resolve().parent), str(Path(__file__).resolve().parents[1])]
from make_symbols import face as symbol_face  # noqa: E402
from signs import signs  # noqa: E402

HERE = Path(__file__).resolve().parent

# Blocks of Unicode 16.0, by name, that the fourteen languages of the booklets and their prose need.
KEPT_BLOCKS = (
    (0x0020, 0x007E, "Basic Latin"),
    (0x00A0, 0x00FF, "Latin-1 Supplement"),
    (0x0100, 0x017F, "Latin Extended-A"),
    (0x0180, 0x024F, "Latin Extended-B"),
    (0x02B0, 0x02FF, "Spacing Modifier Letters"),
    (0x0300, 0x036F, "Combining Diacritical Marks"),
    (0x0370, 0x03FF, "Greek and Coptic"),
    (0x0400, 0x052F, "Cyrillic and Cyrillic Supplement"),
    (0x1E00, 0x1EFF, "Latin Extended Additional, with Vietnamese"),
    (0x2000, 0x206F, "General Punctuation"),
    (0x2070, 0x209F, "Superscripts and Subscripts"),
    (0x20A0, 0x20CF, "Currency Symbols"),
    (0x2100, 0x214F, "Letterlike Symbols"),
    (0x2150, 0x218F, "Number Forms"),
    (0x2190, 0x21FF, "Arrows"),
    (0x2200, 0x22FF, "Mathematical Operators"),
    (0x25A0, 0x25FF, "Geometric Shapes"),
    (0x2600, 0x27BF, "Miscellaneous Symbols and Dingbats"),
)

# What a layout may ask of a face. Tags of the OpenType feature registry.
KEPT_FEATURES = (
    "kern mark mkmk ccmp locl rlig liga "  # how letters stand together
    "lnum onum pnum tnum frac numr dnom sups subs ordn "  # figures
    "smcp c2sc case"  # capitals
).split()

# What the PDF never uses: hints (the PDF engine drops them), device tables, the designer's own notes.
DROPPED_TABLES = ["DSIG", "FFTM", "LTSH", "VDMX", "hdmx", "gasp", "fpgm", "prep", "cvt ", "STAT", "meta"]

WINDOWS_ENGLISH = (3, 1, 0x409)  # platform, encoding, language of a name record


class Face(NamedTuple):
    """A line of faces.tsv."""

    file: str
    family: str
    weight: int
    style: str  # normal or italic
    package: str  # distribution and version, "own" for a face drawn by ourselves
    source: str  # the file inside the package
    axes: str  # "opsz=10 wght=400"; empty where the source has one design only
    extra: str  # which extra of ours brings the package, for a face without a file


def faces() -> list[Face]:
    """The lines of faces.tsv that name a file, in order."""
    lines = [line for line in (HERE / "faces.tsv").read_text("utf-8").splitlines() if line and not line.startswith("#")]
    rows = csv.reader(lines[1:], delimiter="\t", quoting=csv.QUOTE_NONE)
    return [Face(row[0], row[1], int(row[2]), *row[3:8]) for row in rows if row[0]]


def package_folder(face: Face) -> Path:
    """The folder of the installed font package; stops with a sentence if the version is not the pinned one."""
    name, version = face.package.split()
    installed = importlib.metadata.version(name)
    if installed != version:
        raise SystemExit(f"{name} {installed} is installed, but faces.tsv asks for {version}")
    return Path(str(importlib.resources.files(name.replace("-", "_"))))


def make_face(face: Face) -> bytes:
    """The bytes of a static TrueType file for one line of faces.tsv."""
    font = TTFont(package_folder(face) / "files" / face.source, recalcTimestamp=False)
    cut(font)  # first, since an instance of fewer glyphs is made faster
    if face.axes:
        location = {tag: float(value) for tag, value in (axis.split("=") for axis in face.axes.split())}
        font = instantiateVariableFont(font, location, inplace=True)
        font.recalcTimestamp = False
    describe(font, face)
    for tag in DROPPED_TABLES:
        if tag in font:
            del font[tag]
    out = io.BytesIO()
    font.save(out, reorderTables=True)
    return out.getvalue()


def cut(font: TTFont) -> None:
    """Keep the blocks and features named above; glyph names and hints go."""
    options = Options()
    options.layout_features = list(KEPT_FEATURES)
    options.name_IDs = ["*"]
    options.name_languages = [WINDOWS_ENGLISH[2]]
    options.hinting = False
    options.glyph_names = False
    options.notdef_outline = True  # the box that shows a missing sign
    options.recalc_timestamp = False
    options.drop_tables += [tag for tag in DROPPED_TABLES if tag != "STAT"]  # an instance still reads it
    subsetter = Subsetter(options)
    subsetter.populate(unicodes=[code for first, last, _ in KEPT_BLOCKS for code in range(first, last + 1)])
    subsetter.subset(font)


def describe(font: TTFont, face: Face) -> None:
    """Write the names, weight and style of a face where readers of the OpenType format look for them."""
    words = {400: "Regular", 500: "Medium", 600: "SemiBold", 700: "Bold"}
    italic = face.style == "italic"
    style = " ".join(word for word in (words[face.weight], "Italic" if italic else "") if word)
    style = "Italic" if style == "Regular Italic" else style
    four = style if face.weight in (400, 700) else "Italic" if italic else "Regular"  # the old family of four faces
    old_family = face.family if face.weight in (400, 700) else f"{face.family} {words[face.weight]}"
    postscript = f"{face.family.replace(' ', '')}-{style.replace(' ', '')}"
    names = font["name"]
    version = names.getDebugName(5) or "Version 1.000"
    for gone in (16, 17, 21, 22, 25):
        names.removeNames(nameID=gone)
    names.names = [record for record in names.names if record.nameID < 256]  # axis names of the variable font
    new = {1: old_family, 2: four, 3: f"{version};{postscript};pattern-booklet", 4: f"{face.family} {style}", 6: postscript}
    if (old_family, four) != (face.family, style):
        new |= {16: face.family, 17: style}
    for number, words_of_name in new.items():
        names.setName(words_of_name, number, *WINDOWS_ENGLISH)
    os2, head = font["OS/2"], font["head"]
    os2.usWeightClass = face.weight
    bold = four.startswith("Bold")
    kept = os2.fsSelection & ~0b1100001  # italic (0), bold (5), regular (6); OpenType specification, table OS/2
    os2.fsSelection = kept | (1 if italic else 0) | (0x20 if bold else 0) | (0x40 if not (bold or italic) else 0)
    head.macStyle = (1 if bold else 0) | (2 if italic else 0)


def licence(face: Face) -> bytes:
    """The licence text of the package that a face comes from; a reserved font name would forbid our changed copies."""
    text = (package_folder(face) / "LICENSE").read_bytes()
    if b"with Reserved Font Name" in text:
        raise SystemExit(f"{face.package}: the licence reserves the font's name, so a changed copy may not keep it")
    return text


def everything() -> Iterator[tuple[str, bytes]]:
    """Every file to be written: its path below fonts/ and its bytes."""
    licensed = set()
    for face in faces():
        if face.source == "signs.py":
            yield face.file, signs()
        if face.source == "make_symbols.py":
            yield face.file, symbol_face(face.family.rpartition(" ")[2])
        if face.package == "own":
            continue
        folder = face.file.split("/")[0]
        if folder not in licensed:
            licensed.add(folder)
            yield f"{folder}/OFL.txt", licence(face)
        yield face.file, make_face(face)


def main() -> None:
    """Write every face that changed, and say its size."""
    for path, data in everything():
        target = HERE / path
        target.parent.mkdir(exist_ok=True)
        if not target.exists() or target.read_bytes() != data:
            target.write_bytes(data)
        sys.stdout.write(f"{len(data) / 1024:7.1f} KiB  {path}\n")


if __name__ == "__main__":
    main()
