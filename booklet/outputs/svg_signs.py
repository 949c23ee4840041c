"""Comes in: the name of a sign. Goes out: its SVG: the age symbol, the alert triangle, care symbols, signs of work; all drawn here, after
published descriptions, from plain strokes. Where a sign may be printed is decided in pages.

The age symbol: a red ring with a red bar from upper left to lower right on white, a baby's face and 0-3 in black (Directive
2009/48/EC Annex V; EN 71-6; proportions from memory, after the general prohibition sign: to be compared with the official figure
before a first print). The care symbols: ISO 3758 as described in care guides: a tub, a triangle, a square, an iron, a circle.
"""

from __future__ import annotations

from math import cos, pi

from booklet.tables.signs import signs

# The figures of numbers and letters in a field of 6 by 10, as strokes.
STROKES = {
    "0": "M3 0C1 0 0 2 0 5C0 8 1 10 3 10C5 10 6 8 6 5C6 2 5 0 3 0Z",
    "3": "M0.4 1.2C1.2 0.3 2 0 3 0C5 0 5.8 1.2 5.8 2.4C5.8 4 4.6 4.8 2.6 4.8C4.8 4.8 6 5.8 6 7.3C6 9 4.6 10 2.8 10C1.6 10 0.6 9.6 0 8.6",
    "4": "M4.4 10V0L0 7H6",
    "5": "M5.4 0H0.9L0.5 4.6C1.2 4 2 3.7 2.9 3.7C4.8 3.7 6 5 6 6.8C6 8.7 4.7 10 2.8 10C1.6 10 0.6 9.6 0 8.8",
    "6": "M5.4 0.8C4.8 0.3 4.1 0 3.4 0C1.2 0 0 2.4 0 5.8C0 8.5 1.2 10 3 10C4.8 10 6 8.7 6 6.9C6 5.1 4.8 3.9 3.1 3.9C1.6 3.9 0.4 4.7 0 6.2",
    "7": "M0 0H6L2 10",
    "9": "M0.6 9.2C1.2 9.7 1.9 10 2.6 10C4.8 10 6 7.6 6 4.2C6 1.5 4.8 0 3 0C1.2 0 0 1.3 0 3.1C0 4.9 1.2 6.1 2.9 6.1C4.4 6.1 5.6 5.3 6 3.8",
    "-": "M1 5.4H5",
    "P": "M0.5 10V0H3.5C5.2 0 6 1.2 6 2.7C6 4.3 5.2 5.4 3.5 5.4H0.5",
    "F": "M0.5 10V0H5.8M0.5 4.8H5",
}
CROSS = "M4 4L36 28M36 4L4 28"
TUB = "M3 8C5 5.5 8 5.5 10 8C12 10.5 15 10.5 17 8C19 5.5 22 5.5 24 8C26 10.5 29 10.5 31 8C33 5.5 36 5.5 37 8M3 7L7 27H33L37 7"
HAND = "M12 13L17 18C19 20 22 21 25 21H33M33 15L26 13.5L20.5 9C19.5 8.2 18 9.5 18.8 10.6L23 15.5"
IRON = "M5 25H35L31 12C30.3 10 29 9 27 9H15M5 25C5 18.5 9 15.5 16 15.5H32"
SQUARE = "M8 4H32V28H8Z"
CIRCLE = "M20 4A12 12 0 1 0 20.01 4Z"
BARS = {"mild": 1, "very-mild": 2}
RED = "#e2001a"


def sign(name: str) -> bytes:
    """`age`, `alert`, a sign of shared/signs.tsv, or a care symbol such as `wash-40-mild`. ValueError for a name that is none of these."""
    if name == "age":
        return _age()
    if name == "alert":
        return _alert()
    if name in signs():
        return _work(name)
    return _care(name)


def _age() -> bytes:
    """100 units across: the ring's outer edge is at 50 from the middle."""
    bar = 50 * cos(pi / 4)
    face = "M82 35A14 14 0 1 1 54 35A14 14 0 1 1 82 35Z M68 21C67 17 70 14 73 16C75 17.5 73.5 20 71.5 19"
    mouth = "M63 43.5C65 40.5 71 40.5 73 43.5"
    eyes = "".join(f'<circle cx="{x}" cy="33" r="1.7" fill="#000"/>' for x in (63, 73))
    # 0-3 in the lower left half, clear of ring and bar.
    written = "".join(_figure(figure, 19.5 + 9 * at, 55.5, 1.5) for at, figure in enumerate("0-3"))
    drawn = (
        f'<circle cx="50" cy="50" r="50" fill="{RED}"/><circle cx="50" cy="50" r="41" fill="#fff"/>'
        f'<path d="{face}{mouth}" fill="none" stroke="#000" stroke-width="2" stroke-linecap="round"/>{eyes}'
        f'<g fill="none" stroke="#000" stroke-width="1.7" stroke-linecap="round" stroke-linejoin="round">{written}</g>'
        f'<path d="M{50 - bar + 3:.2f} {50 - bar + 3:.2f}L{50 + bar - 3:.2f} {50 + bar - 3:.2f}" stroke="{RED}" stroke-width="8"/>'
    )
    return _svg("0 0 100 100", drawn)


def _alert() -> bytes:
    """A black triangle with a white exclamation mark of more than half its height, in its middle."""
    drawn = (
        '<path d="M50 2L98 86H2Z" fill="#000" stroke="#000" stroke-width="4" stroke-linejoin="round"/>'
        '<path d="M43.5 28H56.5L53.5 62H46.5Z" fill="#fff"/><circle cx="50" cy="74" r="6" fill="#fff"/>'
    )
    return _svg("0 0 100 90", drawn)


def _work(name: str) -> bytes:
    """What the hands do next: strokes of one width, and a few filled shapes."""
    shapes = signs()[name]
    look = 'stroke="#000" stroke-width="1.5" stroke-linecap="round" stroke-linejoin="round"'
    filled = f'<path d="{shapes.fills}" fill-rule="evenodd"/>' if shapes.fills else ""
    return _svg("0 0 24 24", f'<path d="{shapes.strokes}" fill="none" {look}/>{filled}')


def _care(name: str) -> bytes:
    family, _, rest = name.partition("-")
    makers = {"wash": _wash, "bleach": _bleach, "tumble": _tumble, "dry": _dry, "iron": _iron, "professional": _professional}
    if family not in makers or not rest:
        raise ValueError(f"no such sign: {name!r}")
    return _svg("0 0 40 36", f'<g fill="none" stroke="#000" stroke-width="1.5" stroke-linecap="round">{makers[family](rest)}</g>')


def _wash(rest: str) -> str:
    if rest == "hand":
        return _path(TUB) + _path(HAND)
    if rest == "no":
        return _path(TUB) + _path(CROSS)
    degrees, _, action = rest.partition("-")
    written = "".join(_figure(figure, 20 - 5.2 * len(degrees) / 2 + 5.2 * at, 14, 0.75) for at, figure in enumerate(degrees))
    bars = "".join(_path(f"M8 {31 + 3 * bar}H32") for bar in range(BARS.get(action, 0)))
    return _path(TUB) + written + bars


def _bleach(rest: str) -> str:
    inside = {"no": CROSS, "oxygen": "M16 27L23 13M22 27L26.5 18", "any": ""}[rest]
    return _path("M20 4L35 28H5Z") + (_path(inside) if inside else "")


def _tumble(rest: str) -> str:
    dots = {"no": (), "low": (20,), "normal": (16.5, 23.5)}[rest]
    drum = _path("M20 6A10 10 0 1 0 20.01 6Z") + "".join(f'<circle cx="{x}" cy="16" r="1.6" fill="#000" stroke="none"/>' for x in dots)
    return _path(SQUARE) + drum + (_path(CROSS) if rest == "no" else "")


def _dry(rest: str) -> str:
    inside = {"flat": "M13 16H27", "line": "M8 5C13 11 27 11 32 5", "drip": "M14 9V23M20 9V23M26 9V23"}[rest]
    return _path(SQUARE) + _path(inside)


def _iron(rest: str) -> str:
    number = 0 if rest == "no" else int(rest)
    first = 21 - 2.5 * (number - 1)
    dots = "".join(f'<circle cx="{first + 5 * at}" cy="20.5" r="1.4" fill="#000" stroke="none"/>' for at in range(number))
    return _path(IRON) + dots + (_path(CROSS) if rest == "no" else "")


def _professional(rest: str) -> str:
    return _path(CIRCLE) + (_path(CROSS) if rest == "no" else _figure(rest, 17.3, 11, 1.0))


def _path(d: str) -> str:
    return f'<path d="{d}"/>'


def _figure(figure: str, x: float, y: float, scale: float) -> str:
    return f'<path transform="translate({x:.2f} {y:.2f}) scale({scale})" d="{STROKES[figure]}"/>'


def _svg(box: str, drawn: str) -> bytes:
    return f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="{box}">{drawn}</svg>\n'.encode()


