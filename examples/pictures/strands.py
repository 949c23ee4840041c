"""Yarn as many small ellipsoids: in come points, directions and colours, out go arrays for the renderer.

Everything that the pictures show is made of ellipsoids: the two legs of a stitch, a length of yarn, an eye, a hook.
Nothing is placed or drawn here.
"""

from __future__ import annotations

from dataclasses import dataclass, field

import numpy as np
from numpy.typing import NDArray

Array = NDArray[np.float64]

YARN = 0.0  # surface value of a strand: matt, with a twist
THREAD = 0.15  # embroidery thread: a little gloss
HARD = 1.0  # plastic and metal: smooth, with a highlight


def linear(colour: str) -> Array:
    """Colour "#rrggbb" (sRGB) -> three linear values 0..1 (IEC 61966-2-1, power 2.2 as a near enough curve)."""
    return (np.array([int(colour[i : i + 2], 16) for i in (1, 3, 5)]) / 255.0) ** 2.2


def unit(vectors: Array) -> Array:
    """Vectors (…, 3) -> the same directions with length 1."""
    return vectors / np.maximum(np.linalg.norm(vectors, axis=-1, keepdims=True), 1e-9)


@dataclass(slots=True)
class Strands:
    """Growing heap of ellipsoids; `arrays()` gives them as blocks."""

    rng: np.random.Generator
    centres: list[Array] = field(default_factory=list)  # (n, 3) mm
    axes: list[Array] = field(default_factory=list)  # (n, 3, 3): rows = along, across, outward
    halves: list[Array] = field(default_factory=list)  # (n, 3) mm, half lengths along those rows
    colours: list[Array] = field(default_factory=list)  # (n, 3) linear
    surfaces: list[Array] = field(default_factory=list)  # (n,) one of YARN, THREAD, HARD

    def add(self, centre: Array, along: Array, out: Array, half: Array, colour: Array, surface: float = YARN) -> None:
        """Add ellipsoids: centre, along, out (n, 3); half (n, 3) or (3,) mm; colour (n, 3) or (3,) linear."""
        count = len(centre)
        along = unit(along)
        out = unit(out - along * np.sum(out * along, axis=1, keepdims=True))
        self.centres.append(centre)
        self.axes.append(np.stack([along, np.cross(out, along), out], axis=1))
        self.halves.append(np.broadcast_to(half, (count, 3)).astype(float))
        shade = 1.0 + 0.05 * self.rng.standard_normal((count, 1)) if surface == YARN else np.ones((count, 1))
        self.colours.append(np.clip(np.broadcast_to(colour, (count, 3)) * shade, 0.0, 1.0))
        self.surfaces.append(np.full(count, surface))

    def ball(self, centre: Array, half: Array | float, colour: str, surface: float = HARD) -> None:
        """One ellipsoid with its axes along x, y, z."""
        size = np.broadcast_to(np.asarray(half, float), (3,))
        self.add(np.asarray(centre, float)[None], np.array([[1.0, 0, 0]]), np.array([[0, 0, 1.0]]), size,
                 linear(colour), surface)

    def line(self, points: Array, radius: float | Array, colour: str, surface: float = YARN,
             out: Array | None = None) -> None:
        """A length of yarn, thread or metal through points (n, 3); radius in mm, one or one a point."""
        lengths = np.concatenate([[0.0], np.cumsum(np.linalg.norm(np.diff(points, axis=0), axis=1))])
        mean = float(np.mean(radius))
        step = mean * (1.6 if surface == YARN else 0.5 if surface == THREAD else 0.2)
        at = np.linspace(0.0, lengths[-1], max(2, round(lengths[-1] / step) + 1))
        path = np.stack([np.interp(at, lengths, points[:, i]) for i in range(3)], axis=1)
        thick = np.interp(at, lengths, np.broadcast_to(radius, (len(points),)))
        along = np.gradient(path, axis=0)
        given = np.broadcast_to(np.array([0.0, 0.3, 1.0]) if out is None else out, points.shape)
        side = np.stack([np.interp(at, lengths, given[:, i]) for i in range(3)], axis=1)
        half = np.stack([thick * 2.4 if surface == YARN else thick * 1.6, thick, thick], axis=1)
        self.add(path, along, side, half, linear(colour), surface)

    def arrays(self) -> tuple[Array, Array, Array, Array, Array]:
        """Centres, axes, halves, colours, surfaces of all ellipsoids."""
        return (np.concatenate(self.centres), np.concatenate(self.axes), np.concatenate(self.halves),
                np.concatenate(self.colours), np.concatenate(self.surfaces))
