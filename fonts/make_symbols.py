"""Comes in: shared/symbols and the abbreviations of shared/. Goes out: faces in which an abbreviation shows as its chart symbol.

A ligature face: the letters are empty and take no room, and `d` `c` together become the symbol. So the text stays `dc`: it is
copied, searched and read aloud as such. One face for every system of abbreviations, since `dc` is another stitch in the UK.
The feature `ss01` turns the usual symbols into those of JIS L 0201. Run by `make fonts`; the same input gives the same bytes.
"""

from __future__ import annotations

import io
import re
from collections.abc import Iterator
from itertools import pairwise
from math import atan2, ceil, cos, hypot, pi, sin

from fontTools.feaLib.builder import addOpenTypeFeaturesFromString
from fontTools.fontBuilder import FontBuilder
from fontTools.pens.ttGlyphPen import TTGlyphPen

from booklet.drawings.drawing import Drawing, LegendEntry
from booklet.drawings.fit import Style
from booklet.drawings.laps import symbol_name
from booklet.drawings.sample import sample
from booklet.tables.lineage import holder, rows_of
from booklet.tables.reader import rows
from booklet.tables.stitches import Stitch, stitches
from booklet.tables.symbols import symbols

EM = 1000
UNIT = 450  # of the em for the width of a single crochet, whose x is then as tall as a small letter
TALLEST = 1150  # of the em: taller symbols are made smaller as a whole, so that a line of a table holds them
LINE = 0.12  # of a line, in symbol widths: thicker than on charts, to match the weight of text at 9 points; judged by eye
THIN = 0.07  # of the lines of clusters with many legs
SIDE = 45  # room at either side of a symbol
DRAWN = 1000.0  # mm for a symbol width while it is drawn: two decimals are then far below one unit of the em
EPOCH_1904 = 3_818_448_000  # 2025-01-01 in seconds since 1904, the origin of the table "head": the clock must not decide
STEPS = 16  # straight pieces for a quarter turn

Point = tuple[float, float]
LETTERS = re.compile(r"[A-Za-z0-9 .'\-\u00c0-\u024f\u0370-\u052f]+")  # all in our text faces, so no missing sign can hide


def systems() -> dict[str, str]:
    """Name of a face's system -> table of its abbreviations, below shared/."""
    from booklet.resources import folder

    shared = folder("shared")
    found = {path.stem: f"terms/{path.name}" for path in sorted((shared / "terms").glob("*.tsv"))}
    # Of the languages that a booklet can be set in.
    own = sorted(path for path in (shared / "languages").glob("*/stitches.tsv") if holder(path.parent.name, "page.tsv"))
    tables = found | {path.parent.name: f"languages/{path.parent.name}/stitches.tsv" for path in own}
    return {system: table for system, table in tables.items() if abbreviations(table)}  # Japanese writes its terms out


def abbreviations(table: str) -> dict[str, str]:
    """Printed abbreviation -> stitch id, where the stitch has a symbol; the first of two with the same abbreviation.

    The table of a variant adds to its base's.
    """
    found: dict[str, str] = {}
    language, _, name = table.removeprefix("languages/").partition("/")
    for row in rows_of(language, name) if table.startswith("languages/") else rows(table):
        stitch, abbr = stitches().get(row.cells["id"]), row.cells["abbr"]
        if stitch and abbr and stitch.family != "skip" and LETTERS.fullmatch(abbr):
            found.setdefault(abbr, stitch.id)
    return found


def drawing(stitch: Stitch, signs: str) -> Drawing:
    """The stitch as the legend of a chart shows it."""
    table = symbols(signs)
    plain = stitch.base if stitch.family in ("increase", "decrease") else stitch.id
    feet, heads = (stitch.uses, stitch.leaves) if plain != stitch.id else (1, 1)
    entry = LegendEntry(stitch.id, symbol_name(stitch.id, stitches(), table), plain, feet, heads)
    return sample(entry, Style(1e6, 1e6, least_mm=DRAWN, most_mm=DRAWN), stitches(), table)


def outlines(drawn: Drawing, line: float) -> Iterator[list[Point]]:
    """Closed shapes in units of the em, y upwards: filled ones as they are, lines with their thickness."""
    scale = UNIT / DRAWN
    for path in drawn.paths:
        for points, closed in _flat(path.d):
            moved = [(x * scale, -y * scale) for x, y in points]
            if path.width == 0:
                yield _turned(moved, clockwise=True)
            elif closed:
                yield from _ring(moved, line * UNIT / 2)
            else:
                for a, b in pairwise(moved):
                    yield _capsule(a, b, line * UNIT / 2)


def _flat(d: str) -> Iterator[tuple[list[Point], bool]]:
    """The subpaths of our own path text as points; curves in short straight pieces."""
    points: list[Point] = []
    for op, text in re.findall(r"([MLCZ])([^MLCZ]*)", d):
        n = [float(word) for word in text.split()]
        if op == "Z":
            yield points[:-1] if points[0] == points[-1] else points, True
            points = []
        elif op == "C":
            points += [_bezier(points[-1], n, k / STEPS) for k in range(1, STEPS)] + [(n[4], n[5])]
        else:
            if op == "M" and points:
                yield points, False
                points = []
            points.append((n[0], n[1]))
    if points:
        yield points, False


def _bezier(start: Point, n: list[float], t: float) -> Point:
    a, b, c, d = (1 - t) ** 3, 3 * t * (1 - t) ** 2, 3 * t * t * (1 - t), t**3
    return a * start[0] + b * n[0] + c * n[2] + d * n[4], a * start[1] + b * n[1] + c * n[3] + d * n[5]


def _capsule(a: Point, b: Point, half: float) -> list[Point]:
    """A straight line with round ends. Neighbouring pieces overlap; the face says that its shapes do."""
    way = atan2(b[1] - a[1], b[0] - a[0])
    ends = []
    for (x, y), turn in ((b, 0.0), (a, pi)):
        ends += [(x + half * sin(way + turn + k * pi / 8), y - half * cos(way + turn + k * pi / 8)) for k in range(9)]
    return _turned(ends, clockwise=True)


def _ring(points: list[Point], half: float) -> Iterator[list[Point]]:
    """The line round a closed shape: its outer edge, and its inner one as a hole."""
    points = _turned(points, clockwise=True)
    for side, clockwise in ((half, True), (-half, False)):
        moved = []
        for k, (x, y) in enumerate(points):
            (x0, y0), (x1, y1) = points[k - 1], points[(k + 1) % len(points)]
            long = hypot(x1 - x0, y1 - y0) or 1.0
            moved.append((x - (y1 - y0) / long * side, y + (x1 - x0) / long * side))
        yield _turned(moved, clockwise)


def _turned(points: list[Point], clockwise: bool) -> list[Point]:
    """Outlines run clockwise, holes against it (OpenType, "glyf")."""
    area = sum(a[0] * b[1] - b[0] * a[1] for a, b in zip(points, [*points[1:], points[0]], strict=True))
    return points[::-1] if (area > 0) == clockwise else points


def glyph(drawn: Drawing, legs: int) -> tuple[object, int, int]:
    """A glyph, its advance and its left side; the symbol stands on the line of the text."""
    shapes = list(outlines(drawn, THIN if legs > 3 else LINE))
    tall = max(y for shape in shapes for _, y in shape) - min(y for shape in shapes for _, y in shape)
    shrunk = min(1.0, TALLEST / tall)
    shapes = [[(x * shrunk, y * shrunk) for x, y in shape] for shape in shapes]
    left = min(x for shape in shapes for x, _ in shape)
    low = min(y for shape in shapes for _, y in shape)
    right = max(x for shape in shapes for x, _ in shape)
    high = max(y for shape in shapes for _, y in shape)
    # Low signs (chain, slip stitch) hang in the middle of the small letters, all others stand on the line.
    up = (-low if high - low > UNIT * 0.6 else 230 - (high + low) / 2)
    pen = TTGlyphPen(None)
    for shape in shapes:
        corners = [(round(x - left + SIDE), round(y + up)) for x, y in shape]
        pen.moveTo(corners[0])
        for corner in corners[1:]:
            pen.lineTo(corner)
        pen.closePath()
    made = pen.glyph()
    made.flags[0] |= 0x40  # OVERLAP_SIMPLE: the shapes of a symbol overlap on purpose
    return made, ceil(right - left) + 2 * SIDE, SIDE


def face(system: str) -> bytes:
    """The bytes of the face for one system of abbreviations."""
    found = abbreviations(systems()[system])
    letters = sorted({letter for abbr in found for letter in abbr} | {" "})
    names = {letter: f"l{ord(letter):04X}" for letter in letters}
    glyphs: dict[str, object] = {".notdef": TTGlyphPen(None).glyph()}
    widths = {".notdef": (0, 0)}
    for letter in letters:
        glyphs[names[letter]], widths[names[letter]] = TTGlyphPen(None).glyph(), (250 if letter == " " else 0, 0)
    others = []
    for stitch in dict.fromkeys(found.values()):
        usual, japanese = (drawing(stitches()[stitch], signs) for signs in ("us", "jis"))
        legs = [symbols(signs)[symbol_name(stitch, stitches(), symbols(signs))].legs for signs in ("us", "jis")]
        glyphs[stitch], *metrics = glyph(usual, legs[0])
        widths[stitch] = tuple(metrics)
        if japanese != usual:
            glyphs[f"{stitch}.jis"], *metrics = glyph(japanese, legs[1])
            widths[f"{stitch}.jis"] = tuple(metrics)
            others.append(stitch)
    builder = FontBuilder(EM, isTTF=True)
    builder.setupGlyphOrder(list(glyphs))
    builder.setupCharacterMap({ord(letter): name for letter, name in names.items()})
    builder.setupGlyf(glyphs)
    builder.setupHorizontalMetrics(widths)
    builder.setupHorizontalHeader(ascent=1000, descent=-250)
    builder.setupOS2(sTypoAscender=1000, sTypoDescender=-250, usWinAscent=1400, usWinDescent=300, usWeightClass=400, fsType=0)
    family = f"Booklet Stitches {system}"
    postscript = f"BookletStitches-{system}"
    builder.setupNameTable(
        {
            "familyName": family,
            "styleName": "Regular",
            "uniqueFontIdentifier": f"Version 1.000;{postscript};pattern-booklet",
            "fullName": f"{family} Regular",
            "version": "Version 1.000",
            "psName": postscript,
            "licenseDescription": "This Font Software is licensed under the SIL Open Font License, Version 1.1.",
            "licenseInfoURL": "https://openfontlicense.org",
        },
        mac=False,
    )
    builder.setupPost(keepGlyphNames=False)
    addOpenTypeFeaturesFromString(builder.font, features(found, names, others))
    builder.font.recalcTimestamp = False
    builder.font["head"].created = builder.font["head"].modified = EPOCH_1904
    out = io.BytesIO()
    builder.font.save(out)
    return out.getvalue()


def features(found: dict[str, str], names: dict[str, str], others: list[str]) -> str:
    """Longest abbreviations first, so that `sc2tog` is not read as `sc`."""
    order = sorted(found, key=lambda abbr: (-len(abbr), abbr))
    joins = [f"sub {' '.join(names[c] for c in abbr)} by {found[abbr]};" for abbr in order if len(abbr) > 1]
    alone = [f"sub {names[abbr]} by {found[abbr]};" for abbr in order if len(abbr) == 1]
    text = "feature liga { " + " ".join(joins) + " } liga;\n"
    if alone:
        text += "feature ccmp { " + " ".join(alone) + " } ccmp;\n"
    if others:
        text += "feature ss01 { " + " ".join(f"sub {one} by {one}.jis;" for one in others) + " } ss01;\n"
    return text
