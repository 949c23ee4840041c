"""Comes in: nothing. Goes out: the signs that Literata and Alegreya Sans lack, drawn here, as one TrueType face.

Boxes to tick, stars, hearts, ticks and scissors: what designers write in their prose. Everything is in 1/1000 of the letter
height's square (the em); y grows upward; capitals of our families are about 660 high.
"""

from __future__ import annotations

import io
from math import cos, pi, sin

from fontTools.fontBuilder import FontBuilder
from fontTools.pens.cu2quPen import Cu2QuPen
from fontTools.pens.ttGlyphPen import TTGlyphPen

EM = 1000
STROKE = 50  # as thick as the thin strokes of Alegreya Sans at text size; judged by eye
KAPPA = 4 / 3 * (2**0.5 - 1)  # the handle of a cubic curve for a quarter circle
EPOCH_1904 = 3_818_448_000  # 2025-01-01 in seconds since 1904, the origin of the table "head": the clock must not decide

Point = tuple[float, float]
Pen = Cu2QuPen


def polygon(pen: Pen, *points: Point, hole: bool = False) -> None:
    """A closed outline; a hole runs the other way round."""
    if (_area(points) > 0) != hole:  # outlines run clockwise, holes against it (OpenType, "glyf")
        points = points[::-1]
    pen.moveTo(points[0])
    for point in points[1:]:
        pen.lineTo(point)
    pen.closePath()


def _area(points: tuple[Point, ...]) -> float:
    """Twice the signed area; positive against the clock."""
    return sum(a[0] * b[1] - b[0] * a[1] for a, b in zip(points, (*points[1:], points[0]), strict=True))


def circle(pen: Pen, x: float, y: float, radius: float, *, hole: bool = False) -> None:
    """A full circle round (x, y)."""
    k = radius * KAPPA
    turn = -1 if hole else 1
    ends = [(x + radius, y), (x, y - turn * radius), (x - radius, y), (x, y + turn * radius)]
    pulls = [(0, -turn * k), (-k, 0), (0, turn * k), (k, 0)]
    pen.moveTo(ends[0])
    for i in range(4):
        (x1, y1), (x2, y2) = ends[i], ends[(i + 1) % 4]
        (a, b), (c, d) = pulls[i], pulls[(i + 1) % 4]
        pen.curveTo((x1 + a, y1 + b), (x2 - c, y2 - d), (x2, y2))
    pen.closePath()


def ring(pen: Pen, x: float, y: float, radius: float, stroke: float = STROKE) -> None:
    """A circle's line, the stroke inside the radius."""
    circle(pen, x, y, radius)
    circle(pen, x, y, radius - stroke, hole=True)


def line(pen: Pen, a: Point, b: Point, stroke: float = STROKE) -> None:
    """A straight stroke from a to b."""
    dx, dy = b[0] - a[0], b[1] - a[1]
    length = (dx * dx + dy * dy) ** 0.5
    nx, ny = -dy / length * stroke / 2, dx / length * stroke / 2
    polygon(pen, (a[0] + nx, a[1] + ny), (b[0] + nx, b[1] + ny), (b[0] - nx, b[1] - ny), (a[0] - nx, a[1] - ny))


def box(pen: Pen, left: float = 70, bottom: float = -30, side: float = 720, stroke: float = STROKE) -> None:
    """A square's line."""
    for inset, hole in ((0, False), (stroke, True)):
        low, high, near, far = bottom + inset, bottom + side - inset, left + inset, left + side - inset
        polygon(pen, (near, low), (far, low), (far, high), (near, high), hole=hole)


def tick(pen: Pen, stroke: float, left: float = 110, bottom: float = 60, size: float = 560) -> None:
    """A tick: a short stroke down, a long one up, in one outline."""
    s = stroke
    foot = (left + 0.36 * size, bottom)
    polygon(
        pen,
        (left, bottom + 0.42 * size),
        (left + 0.7 * s, bottom + 0.42 * size + 0.7 * s),
        (foot[0], foot[1] + 1.4 * s),
        (left + size - 0.7 * s, bottom + size + 0.7 * s),
        (left + size, bottom + size),
        foot,
    )


def star(pen: Pen, radius: float, *, hole: bool = False) -> None:
    """A star of five points; the inner radius is that of the lines that join every second point."""
    inner = radius * cos(2 * pi / 5) / cos(pi / 5)
    corners = [
        (430 + (inner if i % 2 else radius) * sin(i * pi / 5), 310 + (inner if i % 2 else radius) * cos(i * pi / 5))
        for i in range(10)
    ]
    polygon(pen, *corners, hole=hole)


def heart(pen: Pen, size: float, *, hole: bool = False) -> None:
    """A heart round (400, 320), `size` from its middle to its sides."""
    s, x, y = size, 400.0, 320.0
    turn = -1 if hole else 1  # the right half first, or the left

    def at(right: float, up: float) -> Point:
        return x + turn * right * s, y + up * s

    top, side, foot = at(0, 0.5), (1, 0.3), at(0, -1)
    pen.moveTo(top)
    pen.curveTo(at(0.25, 1.05), at(1, 0.95), at(*side))
    pen.curveTo(at(1, -0.3), at(0.35, -0.65), foot)
    pen.curveTo(at(-0.35, -0.65), at(-1, -0.3), at(-side[0], side[1]))
    pen.curveTo(at(-1, 0.95), at(-0.25, 1.05), top)
    pen.closePath()


def scissors(pen: Pen) -> None:
    """Scissors that cut to the right."""
    for up in (1, -1):
        ring(pen, 190, 310 + up * 190, 130, 56)
        polygon(pen, (255, 310 + up * 110), (300, 310 + up * 150), (930, 310 - up * 190), (880, 310 - up * 250))


DRAWN = {
    "\u2610": (860, box),
    "\u2611": (860, lambda p: (box(p), tick(p, 90, 200, 110, 460))),
    "\u2612": (860, lambda p: (box(p), line(p, (220, 120), (640, 540)), line(p, (220, 540), (640, 120)))),
    "\u2713": (780, lambda p: tick(p, 62)),
    "\u2714": (780, lambda p: tick(p, 110)),
    "\u2717": (700, lambda p: (line(p, (110, 60), (590, 600), 62), line(p, (110, 600), (590, 60), 62))),
    "\u2718": (700, lambda p: (line(p, (110, 60), (590, 600), 110), line(p, (110, 600), (590, 60), 110))),
    "\u2605": (860, lambda p: star(p, 410)),
    "\u2606": (860, lambda p: (star(p, 410), star(p, 300, hole=True))),
    "\u2665": (800, lambda p: heart(p, 330)),
    "\u2661": (800, lambda p: (heart(p, 330), heart(p, 258, hole=True))),
    "\u2764": (800, lambda p: heart(p, 330)),
    "\u25cf": (760, lambda p: circle(p, 380, 310, 300)),
    "\u25cb": (760, lambda p: ring(p, 380, 310, 300)),
    "\u25aa": (460, lambda p: polygon(p, (80, 160), (380, 160), (380, 460), (80, 460))),
    "\u25ab": (460, lambda p: box(p, 80, 160, 300, 40)),
    "\u25b8": (480, lambda p: polygon(p, (80, 100), (400, 310), (80, 520))),
    "\u2702": (1000, scissors),
}


def signs() -> bytes:
    """The face "Booklet Signs". The same bytes on every run."""
    names = {ord(sign): f"u{ord(sign):04X}" for sign in DRAWN} | {0x20: "space"}
    glyphs, widths = {}, {".notdef": (500, 0), "space": (250, 0)}
    for name in (".notdef", "space"):
        pen = TTGlyphPen(None)
        if name == ".notdef":
            box(Cu2QuPen(pen, 1), 60, 0, 380, 40)
        glyphs[name] = pen.glyph()
    for sign, (width, draw) in DRAWN.items():
        pen = TTGlyphPen(None)
        draw(Cu2QuPen(pen, 1))
        name = names[ord(sign)]
        glyphs[name], widths[name] = pen.glyph(), (width, 0)
    builder = FontBuilder(EM, isTTF=True)
    builder.setupGlyphOrder(list(glyphs))
    builder.setupCharacterMap(names)
    builder.setupGlyf(glyphs)
    table = builder.font["glyf"]
    builder.setupHorizontalMetrics({name: (width, table[name].xMin if table[name].numberOfContours else 0)
                                    for name, (width, _) in widths.items()})  # fmt: skip
    builder.setupHorizontalHeader(ascent=900, descent=-300)
    builder.setupOS2(sTypoAscender=900, sTypoDescender=-300, usWinAscent=900, usWinDescent=300, usWeightClass=400, fsType=0)
    builder.setupNameTable(
        {
            "familyName": "Booklet Signs",
            "styleName": "Regular",
            "uniqueFontIdentifier": "Version 1.000;BookletSigns-Regular;pattern-booklet",
            "fullName": "Booklet Signs Regular",
            "version": "Version 1.000",
            "psName": "BookletSigns-Regular",
            "licenseDescription": "This Font Software is licensed under the SIL Open Font License, Version 1.1.",
            "licenseInfoURL": "https://openfontlicense.org",
        },
        mac=False,
    )
    builder.setupPost(keepGlyphNames=False)
    font = builder.font
    font.recalcTimestamp = False
    font["head"].created = font["head"].modified = EPOCH_1904
    out = io.BytesIO()
    font.save(out)
    return out.getvalue()
