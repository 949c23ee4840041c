"""A mark in, the lines of its symbol out, in the unit of the mark; no ink and no path text."""

from __future__ import annotations

import math
from collections.abc import Callable
from typing import NamedTuple

from booklet.drawings.drawing import Mark, Ops, Point
from booklet.drawings.laps import GAP
from booklet.tables.symbols import Figure, Op, Symbol, figures

LENS = 0.36  # how far the outer legs of a cluster bow out, in symbol widths
FAN = 0.48
MORE = 0.045  # by which every leg beyond three lets a cluster bow out further: five lines of print size stay apart


class Stroke(NamedTuple):
    """One line, or one filled shape."""

    ops: Ops
    filled: bool


class Frame(NamedTuple):
    """Where a symbol's origin goes, which way it grows, and its scale along and across."""

    x: float
    y: float
    up_x: float
    up_y: float
    wide: float
    high: float

    def at(self, x: float, y: float) -> Point:
        """A point of the symbol on the page. Right of upwards is the upward direction turned clockwise."""
        return (
            self.x + self.up_x * y * self.high - self.up_y * x * self.wide,
            self.y + self.up_y * y * self.high + self.up_x * x * self.wide,
        )


def strokes(mark: Mark, symbol: Symbol, loop: Symbol | None = None) -> list[Stroke]:
    """The lines of one mark. Several feet make a Λ, a shared foot a leg of a V, anything else stands alone."""
    size = mark.size
    if mark.shape == "chain" or not mark.feet:
        up = math.radians(mark.rotation)
        grow = (math.sin(up), -math.cos(up))
        foot = (mark.x - grow[0] * symbol.height * size, mark.y - grow[1] * symbol.height * size)
        return _drawn(symbol.alone or symbol.leg, Frame(*foot, *grow, size, size))
    middle = (sum(x for x, _ in mark.feet) / len(mark.feet), sum(y for _, y in mark.feet) / len(mark.feet))
    grow, length = _direction(middle, mark.heads[0], mark.rotation)
    if mark.shape == "upright":
        return _upright(middle, grow, length, size)
    found: list[Stroke] = []
    if loop is not None:
        found += _drawn(loop.foot, Frame(*middle, *grow, size, size))
    # The air between rounds is left at the top, so that every foot stands exactly on the place below.
    air = min(GAP * size, length * 0.2)
    top = (mark.heads[0][0] - grow[0] * air, mark.heads[0][1] - grow[1] * air)
    if len(mark.feet) > 1:
        for foot in mark.feet:
            way, reach = _direction(foot, top, mark.rotation)
            found += _drawn(_turned(symbol), Frame(*foot, *way, size, reach / symbol.height))
        return found + _drawn(symbol.top, Frame(*top, *grow, size, size))
    if symbol.alone and mark.shape != "leg":
        scale = min(1.0, length / (symbol.height * size)) if symbol.height else 1.0
        start = (length - symbol.height * size * scale) / 2
        foot = (middle[0] + grow[0] * start, middle[1] + grow[1] * start)
        found += _drawn(symbol.alone, Frame(*foot, *grow, size * scale, size * scale))
        return found + _drawn(symbol.foot, Frame(*foot, *grow, size, size))
    frame = Frame(*middle, *grow, size, (length - air) / (symbol.height or 1.0))
    for leg in _legs(symbol):
        found += _drawn(leg, frame)
    found += _drawn(symbol.top, Frame(*top, *grow, size, size))
    return found + _drawn(symbol.foot, Frame(*middle, *grow, size, size))


def _direction(foot: Point, head: Point, rotation: float) -> tuple[Point, float]:
    x, y = head[0] - foot[0], head[1] - foot[1]
    length = math.hypot(x, y)
    if length < 1e-6:
        return (math.sin(math.radians(rotation)), -math.cos(math.radians(rotation))), 0.0
    return (x / length, y / length), length


def _upright(foot: Point, grow: Point, length: float, size: float) -> list[Stroke]:
    """A standing chain: the chain's oval with its long axis turned into the way of growth."""
    half = min(0.42, length / size * 0.48)
    middle = (foot[0] + grow[0] * length / 2, foot[1] + grow[1] * length / 2)
    return _drawn(figures(f"oval 0 0 {min(0.2, half * 0.6):.4f} {half:.4f}"), Frame(*middle, *grow, size, size))


def _drawn(found: tuple[Figure, ...], frame: Frame) -> list[Stroke]:
    return [Stroke(_on_page(figure, frame), figure.filled) for figure in found]


def _on_page(figure: Figure, frame: Frame) -> Ops:
    at = frame.at
    ops: list[tuple[str, tuple[float, ...]]] = []
    for op, numbers in figure.ops:
        if len(numbers) == 2:
            ops.append((op, at(numbers[0], numbers[1])))
        else:
            x1, y1, x2, y2, x, y = numbers
            ops.append((op, (*at(x1, y1), *at(x2, y2), *at(x, y))))
    if figure.closed:
        ops.append(("Z", ()))
    return tuple(ops)


def _turned(symbol: Symbol) -> tuple[Figure, ...]:
    """The leg turned end for end: where legs share their top, slashes keep clear of it."""
    height = symbol.height
    return tuple(_mapped(figure, lambda x, y: (-x, height - y)) for figure in symbol.leg or symbol.alone)


def _legs(symbol: Symbol) -> list[tuple[Figure, ...]]:
    if symbol.legs == 1:
        return [symbol.leg or symbol.alone]
    legs = []
    for k in range(symbol.legs):
        aside = 2 * k / (symbol.legs - 1) - 1
        legs.append(tuple(_bowed(figure, aside, symbol) for figure in symbol.leg))
    return legs


def _bowed(figure: Figure, aside: float, symbol: Symbol) -> Figure:
    """A leg of a cluster: its straight stem bends outwards, its slashes move along."""
    width, power = (LENS + MORE * max(symbol.legs - 3, 0), 1.0) if symbol.spread == "lens" else (FAN, 1.7)

    def bend(x: float, y: float) -> Point:
        share = min(max(y / symbol.height, 0.0), 1.0)
        return x + aside * width * math.sin(math.pi * share**power), y

    if len(figure.ops) == 2 and abs(figure.ops[0][1][0] - figure.ops[1][1][0]) < 1e-9:
        (_, (x, y0)), (_, (_, y1)) = figure.ops
        steps = 8
        points = [bend(x, y0 + (y1 - y0) * k / steps) for k in range(steps + 1)]
        return Figure((("M", points[0]), *(("L", point) for point in points[1:])))
    middle = sum(numbers[-1] for _, numbers in figure.ops) / len(figure.ops)
    shift = bend(0.0, middle)[0]
    return _mapped(figure, lambda x, y: (x + shift, y))


def _mapped(figure: Figure, move: Callable[[float, float], Point]) -> Figure:
    ops: list[Op] = []
    for op, numbers in figure.ops:
        pairs = [move(x, y) for x, y in zip(numbers[::2], numbers[1::2], strict=True)]
        ops.append((op, tuple(value for pair in pairs for value in pair)))
    return Figure(tuple(ops), figure.filled, figure.closed)
