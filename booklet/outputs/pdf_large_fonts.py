"""Comes in: characters that no face of fonts/ has. Goes out: faces made for them from an optional font package, if one has them.

The packages hold variable fonts of 10 MB and more, which would slow every booklet down; so small static faces are made at
first use, kept in the user's cache folder, and read from there afterwards. Fonts of the machine are not looked at.
"""

from __future__ import annotations

import hashlib
import os
import sys
import tempfile
from collections.abc import Iterable
from contextlib import suppress
from importlib import metadata
from pathlib import Path

from booklet.outputs.pdf_coverage import covered
from booklet.outputs.pdf_fonts import Face, MissingGlyphs, Prepared, faces

KEPT = 60  # faces in the cache folder; one is at most about 3 MB. A guess at what a busy translator comes back to
# Always in a face: the shaper keeps spaces, and now and then figures and marks, in the run of the signs around them (seen).
ALONGSIDE = frozenset(map(chr, [*range(0x20, 0x7F), 0xA0, 0x2010, 0x2013, 0x2014, 0x2018, 0x2019, 0x201C, 0x201D, 0x2026]))
RECIPE = "2"  # part of a cached file's name: raise it when make_face changes what it makes


def prepare(characters: Iterable[str]) -> tuple[Prepared, ...]:
    """A face of every weight for `characters`, from as few as possible of the families of faces.tsv that are made on demand.

    One family for all of them if there is one, so that marks stand in the letters' own face; else the one that has most, and so on.
    Raises MissingGlyphs for what none has, naming the extra to install where only the package is missing.
    """
    left = frozenset(characters)
    families: dict[str, list[Face]] = {}
    for face in faces():
        if not face.file:
            families.setdefault(face.family, []).append(face)
    sources = {name: _source(weights[0]) for name, weights in families.items()}
    there = {name: frozenset(map(chr, covered(source.read_bytes()))) for name, source in sources.items() if source is not None}
    made: list[Prepared] = []
    while left:
        family = max(there, key=lambda name: len(left & there[name]), default="")  # the first of equals: the table's order
        if not family or not left & there[family]:
            absent = [weights[0] for name, weights in families.items() if name not in there]
            raise MissingGlyphs(left, next((face.extra for face in absent if any(map(face.is_for, left))), ""))
        source = sources[family]
        assert source is not None
        wanted = (left | ALONGSIDE) & there.pop(family)
        made += [Prepared(face, _cached(face, source, wanted)) for face in families[family]]
        left -= wanted
    return tuple(made)


def _source(face: Face) -> Path | None:
    """The variable font of an installed package, or None."""
    name = face.package.split()[0]
    try:
        path = Path(str(metadata.distribution(name).locate_file(f"{name.replace('-', '_')}/{face.source}")))
    except metadata.PackageNotFoundError:
        return None
    return path if path.is_file() else None


def cache_folder() -> Path:
    """Where this machine keeps what programs can make again (XDG Base Directory 0.8; Apple's and Microsoft's own places)."""
    if given := os.environ.get("XDG_CACHE_HOME"):
        base = Path(given)
    elif sys.platform == "win32":
        base = Path(os.environ.get("LOCALAPPDATA") or Path.home() / "AppData" / "Local")
    elif sys.platform == "darwin":
        base = Path.home() / "Library" / "Caches"
    else:
        base = Path.home() / ".cache"
    return base / "pattern-booklet" / "fonts"


def _cached(face: Face, source: Path, characters: frozenset[str]) -> bytes:
    """The face from the cache folder, made and put there first if need be; without a writable folder it is only made."""
    key = "\0".join([RECIPE, face.package, face.source, face.axes, *sorted(characters)])
    digest = hashlib.sha256(key.encode()).hexdigest()[:24]
    folder = cache_folder()
    path = folder / f"{face.family.replace(' ', '')}-{face.weight}-{digest}.ttf"
    with suppress(OSError):
        return path.read_bytes()
    data = make_face(source, face.axes, characters)
    with suppress(OSError):
        folder.mkdir(parents=True, exist_ok=True)
        _write_whole(path, data)
        _forget_the_oldest(folder)
    return data


def make_face(source: Path, axes: str, characters: Iterable[str]) -> bytes:
    """A static TrueType face of `source` at `axes` ("wght=400") with `characters` only. The same input, the same bytes."""
    import io

    from fontTools.subset import Options, Subsetter
    from fontTools.ttLib import TTFont
    from fontTools.varLib.instancer import instantiateVariableFont

    font = TTFont(source, recalcTimestamp=False, lazy=True)
    options = Options()
    options.layout_features = ["kern", "mark", "mkmk", "ccmp", "locl", "liga", "palt", "halt", "rlig", "init", "medi", "fina", "isol"]
    options.drop_tables += ["vhea", "vmtx", "BASE", "gasp"]  # nothing is set in columns from top to bottom
    options.hinting, options.glyph_names, options.recalc_timestamp, options.notdef_outline = False, False, False, True
    subsetter = Subsetter(options)
    subsetter.populate(text="".join(sorted(characters)))
    subsetter.subset(font)  # first: an instance of few glyphs takes moments, of all of them half a minute
    place = {tag: float(value) for tag, value in (axis.split("=") for axis in axes.split())}
    font = instantiateVariableFont(font, place, inplace=True)
    font.recalcTimestamp = False
    out = io.BytesIO()
    font.save(out)
    return out.getvalue()


def _write_whole(path: Path, data: bytes) -> None:
    """Under another name first, then renamed, so that a second program never reads half a font."""
    handle, name = tempfile.mkstemp(dir=path.parent, suffix=".part")
    try:
        with os.fdopen(handle, "wb") as file:
            file.write(data)
        Path(name).replace(path)
    except OSError:
        Path(name).unlink(missing_ok=True)
        raise


def _forget_the_oldest(folder: Path) -> None:
    kept = sorted(folder.glob("*.ttf"), key=lambda path: path.stat().st_mtime, reverse=True)
    for path in kept[KEPT:]:
        path.unlink(missing_ok=True)
