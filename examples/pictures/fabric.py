"""Crochet fabric on a shape: round counts go in, stitches (strands) come out. Nothing is drawn here.

A shape is a function of (round, place on the round 0..1) that gives points in mm. Stitch sizes follow from the
gauge: 24 stitches and 25 rounds to 10 cm.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence

import numpy as np

from strands import Array, Strands, linear, unit

W, H = 100 / 24, 4.0  # mm, width and height of one single crochet
Shape = Callable[[Array, Array], Array]


def profile(counts: Sequence[int], *, drawn_shut: bool = False, w: float = W, h: float = H) -> tuple[Array, Array]:
    """Stuffed outline of a part worked in rounds from a ring: radius and height of every round, mm; entry 0 = ring.

    The fabric is a bag that may be drawn together (by a sixth, a guess) but not stretched; it is blown up until
    it rests.
    """
    widest = np.array([0, *counts]) * w / (2 * np.pi)
    if drawn_shut:
        widest[-1] *= 0.2
    radius, rise = widest.copy(), np.diff(widest)
    height = np.concatenate([[0.0], np.cumsum(np.sqrt(np.maximum(h * h - rise * rise, 0.09 * h * h)))])
    odd = [slice(0, None, 2), slice(1, None, 2)]
    for step in range(3000):
        push = 0.03 * h * (1 - step / 3200)
        dr, dz = np.gradient(radius), np.gradient(height)
        length = np.maximum(np.hypot(dr, dz), 1e-6)
        radius, height = radius + push * dz / length, height - push * dr / length
        for half in odd * 2:
            dr, dz = np.diff(radius)[half], np.diff(height)[half]
            length = np.maximum(np.hypot(dr, dz), 1e-6)
            pull = 0.5 * np.where(length > h, 1 - h / length, np.where(length < 0.85 * h, 1 - 0.85 * h / length, 0.0))
            where = np.arange(len(radius) - 1)[half]
            radius[where] += pull * dr
            radius[where + 1] -= pull * dr
            height[where] += pull * dz
            height[where + 1] -= pull * dz
        radius = np.clip(radius, 0.84 * widest, widest)
    return radius, height - height[0]


def smooth(values: Array, at: Array) -> Array:
    """Values at whole numbers -> values between, by a Catmull-Rom curve."""
    padded = np.concatenate([[2 * values[0] - values[1]], values, [2 * values[-1] - values[-2]]])
    at = np.clip(at, 0, len(values) - 1)
    i = np.minimum(at.astype(int), len(values) - 2)
    t = at - i
    a, b, c, d = (padded[i + j] for j in range(4))
    return b + 0.5 * t * (c - a + t * (2 * a - 5 * b + 4 * c - d + t * (3 * (b - c) + d - a)))


def turned(radius: Array, height: Array, wide: float = 1.0, deep: float = 1.0) -> Shape:
    """Solid of revolution about y, growing upwards; place 0 is the back, places go round as the hook does."""

    def shape(k: Array, place: Array) -> Array:
        r, y = smooth(radius, k), smooth(height, k)
        angle = 2 * np.pi * place
        return np.stack([wide * r * np.sin(angle), y, -deep * r * np.cos(angle)], axis=-1)

    return shape


def moved(shape: Shape, turn: Array | None = None, shift: Sequence[float] | Array = (0, 0, 0)) -> Shape:
    """The shape turned by a 3 x 3 matrix (rows = where x, y, z go) and then shifted."""
    matrix = np.eye(3) if turn is None else turn

    def other(k: Array, place: Array) -> Array:
        return shape(k, place) @ matrix + np.asarray(shift, float)

    return other


def rotation(x: float = 0, y: float = 0, z: float = 0) -> Array:
    """Matrix for `moved`: degrees about x, then y, then z."""
    a, b, c = np.radians([x, y, z])
    about_x = np.array([[1, 0, 0], [0, np.cos(a), np.sin(a)], [0, -np.sin(a), np.cos(a)]])
    about_y = np.array([[np.cos(b), 0, -np.sin(b)], [0, 1, 0], [np.sin(b), 0, np.cos(b)]])
    about_z = np.array([[np.cos(c), np.sin(c), 0], [-np.sin(c), np.cos(c), 0], [0, 0, 1]])
    return about_x @ about_y @ about_z


def curve(knots: Array, count: int, rounds: int) -> Array:
    """Soft curve of `count` points through (near) the knots (n, 3); more rounds of smoothing = softer."""
    last = len(knots) - 1
    fine = np.stack([np.interp(np.linspace(0, last, count), range(last + 1), knots[:, i]) for i in range(3)], axis=1)
    for _ in range(rounds):
        fine[1:-1] = (fine[:-2] + fine[2:]) / 2
    return fine


def bent(shape: Shape, height: float, path: Array) -> Shape:
    """A shape along y bent so that its axis follows path (n, 3); height = its length before, mm."""
    at = np.linspace(0, 1, len(path))
    along = unit(np.gradient(path, axis=0))
    side = unit(np.cross(along, np.array([0.0, 0.0, 1.0]) + 0.3 * along))

    def other(k: Array, place: Array) -> Array:
        point = shape(k, place)
        t = np.clip(point[..., 1] / height, -0.2, 1.2)
        axis = np.stack([np.interp(t, at, path[:, i]) for i in range(3)], axis=-1)
        x = unit(np.stack([np.interp(t, at, side[:, i]) for i in range(3)], axis=-1))
        y = unit(np.stack([np.interp(t, at, along[:, i]) for i in range(3)], axis=-1))
        return axis + x * point[..., :1] + np.cross(x, y) * point[..., 2:]

    return other


def frames(shape: Shape, k: Array, place: Array) -> tuple[Array, Array, Array, Array]:
    """Point, direction of work, direction of growth (both as long as they are a unit) and outward normal."""
    e = 1e-3
    point = shape(k, place)
    work = (shape(k, place + e) - shape(k, place - e)) / (2 * e)
    grow = (shape(k + e, place) - shape(k - e, place)) / (2 * e)
    return point, work, grow, unit(np.cross(grow, work))


def crochet(strands: Strands, shape: Shape, counts: Sequence[int], colours: Sequence[str] | str, *, first: int = 1,
            flip: bool = False, flat: bool = False, lean: float = 0.18, w: float = W) -> None:
    """Put the stitches of every round on a shape.

    counts and colours = one a round, the first for round `first` of the shape; flip = outward is the other way;
    flat = worked in turned rows (every second row shows its back); lean = stitches by which a round moves on.
    """
    rng = strands.rng
    for j, count in enumerate(counts):
        k = np.full(count, first + j - 0.5)
        shift = 0.0 if flat else lean * j / count  # stitches of a spiral lean with the hand
        place = (np.arange(count) + 0.5) / count + shift
        point, work, grow, out = frames(shape, k, place)
        if flip:
            out = -out
        wide = np.clip(np.linalg.norm(work, axis=1, keepdims=True) / count, 0.45 * w, 1.25 * w)
        high = np.clip(np.linalg.norm(grow, axis=1, keepdims=True), 0.6 * w, 1.15 * w)
        side, up = unit(work), unit(grow)
        colour = linear(colours if isinstance(colours, str) else colours[j])
        thick = 0.265 * np.minimum(wide, w)
        strands.add(point - 0.30 * w * out, side, out, np.concatenate([0.72 * wide, 0.72 * high, thick], axis=1),
                    colour * 0.66)
        if flat and j % 2:
            strands.add(point + 0.12 * w * out - 0.16 * high * up, side, out,
                        np.concatenate([0.56 * wide, thick * 1.1, thick], axis=1), colour)
            strands.add(point + 0.02 * w * out + 0.26 * high * up, side + 0.35 * up, out,
                        np.concatenate([0.42 * wide, thick, thick], axis=1), colour)
            continue
        for sign in (-1.0, 1.0):
            wobble = 0.05 * rng.standard_normal((count, 1))
            leg = 0.50 * sign * wide * side + (0.98 + wobble) * high * up - 0.16 * w * out
            half = np.concatenate([0.60 * np.linalg.norm(leg, axis=1, keepdims=True), thick * 1.06, thick], axis=1)
            strands.add(point + 0.25 * sign * wide * side + 0.03 * w * out, leg, out, half, colour)


def rim(strands: Strands, shape: Shape, count: int, colour: str, k: float, w: float = W) -> None:
    """The braid of top loops along an open edge of `count` stitches, at round k of the shape."""
    place = (np.arange(count) + 0.5) / count
    point, work, grow, out = frames(shape, np.full(count, k), place)
    wide = np.linalg.norm(work, axis=1, keepdims=True) / count
    side, up = unit(work), unit(grow)
    thick = np.full((count, 1), 0.24 * w)
    for sign in (-1.0, 1.0):
        leg = 0.9 * wide * side + sign * 0.30 * w * out
        half = np.concatenate([0.66 * np.linalg.norm(leg, axis=1, keepdims=True), thick, thick], axis=1)
        strands.add(point + sign * 0.22 * w * out - 0.05 * w * up, leg, up, half, linear(colour))
