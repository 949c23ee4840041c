"""Round counts and stitch size in, the profile of a stuffed skin out (radius and height of every round); no pattern is known here.

Method: the fabric is a stack of rings. Rings and the strips between them resist being stretched, and resist being pressed
together a quarter as much; a small pressure fills the skin. The resting shape is found by damped Gauss-Newton steps on a
block tridiagonal system, in plain numbers: the same result on every machine and no heavy library.
"""

from __future__ import annotations

from functools import lru_cache
from math import cos, hypot, pi, sin
from typing import NamedTuple

COMPRESSION = 0.25  # stiffness when pressed together, in parts of that when stretched (fitted to stuffed fabric)
PRESSURE = 0.03  # of a piece of 6 stitches across, in units of the fabric's stiffness; .02 soft to .05 firm
SHUT = 0.35  # a ring drawn shut keeps this part of its own radius
STEPS = 40  # 6 to 12 are usual
_FIXED = 1e12


class Skin(NamedTuple):
    """What is to be inflated."""

    totals: tuple[int, ...]  # stitches of each round
    heights: tuple[float, ...]  # of each round, mm
    width: float  # of a stitch, mm
    ring: int = 0  # stitches of an open starting ring; 0 = it starts in a point
    shut: bool = False  # the last round is drawn together
    pressure: float = PRESSURE
    hoops: float = 1.0  # stiffness of the rings; near 0 for a foil balloon


@lru_cache(maxsize=256)  # sizes and choices of a pattern mostly share their parts
def inflate(skin: Skin) -> tuple[tuple[float, ...], tuple[float, ...]]:
    """Radius and height (mm, middle of the fabric) of the start and of every round; index 0 is the start.

    Takes time in proportion to the number of rounds. Deterministic. Empty skins give ((0.0,), (0.0,)).
    """
    n = len(skin.totals)
    if n == 0:
        return (0.0,), (0.0,)
    rings = [skin.ring, *skin.totals]
    heights = [0.0, *skin.heights]
    radius, height = _start(skin, rings, heights)
    pressure = skin.pressure / (max(rings) / 6) / skin.width
    damping = 1e-3
    energy = _energy(skin, rings, heights, radius, height, pressure)
    limit = 0.6 * skin.width
    for _ in range(STEPS):
        diagonal, upper, gradient = _system(skin, rings, heights, radius, height, pressure)
        step = _solve(diagonal, upper, gradient, damping, skin.width)
        largest = max(map(abs, step))
        scale = min(1.0, limit / largest) if largest else 0.0
        tried_radius = [max(r - scale * step[2 * i], 1e-3 * skin.width if i or skin.ring else 0.0) for i, r in enumerate(radius)]
        tried_height = [z - scale * step[2 * i + 1] for i, z in enumerate(height)]
        tried = _energy(skin, rings, heights, tried_radius, tried_height, pressure)
        if tried <= energy:
            done = energy - tried < 1e-9 * abs(energy) + 1e-12 or scale * largest < 2e-4 * skin.width
            radius, height, energy = tried_radius, tried_height, tried
            damping = max(damping / 5, 1e-7)
            if done:
                break
        elif damping > 1e6:
            break
        else:
            damping *= 8
    return tuple(radius), tuple(height)


def _start(skin: Skin, rings: list[int], heights: list[float]) -> tuple[list[float], list[float]]:
    """A first guess: half a sine wave of the right length, nowhere wider than the counts allow."""
    whole = sum(heights) or 1.0
    along, radius, height = 0.0, [], []
    for k, stitches in enumerate(rings):
        along += heights[k]
        plain = stitches * skin.width / (2 * pi)
        if k == 0 or skin.ring or not skin.shut:
            radius.append(plain)
        else:
            radius.append(max(min(plain, 1.57 * whole / pi * sin(pi * along / whole)), 0.05 * skin.width))
        height.append(whole / pi * (1 - cos(pi * along / whole)))
    if skin.shut:
        radius[-1] = SHUT * rings[-1] * skin.width / (2 * pi)
    return radius, height


def _energy(
    skin: Skin, rings: list[int], heights: list[float], radius: list[float], height: list[float], pressure: float
) -> float:
    """Stretch of strips and rings less the work of the pressure."""
    width, hoops, last = skin.width, skin.hoops, len(rings) - 1
    total = 0.0
    below_r, below_z, below_n = radius[0], height[0], rings[0]
    if below_n:
        strain = 2 * pi * below_r / (below_n * width) - 1
        total += hoops * below_n * width * heights[1] * strain * strain * (0.5 if strain > 0 else 0.5 * COMPRESSION)
    for k in range(1, last + 1):
        r, z, n, h = radius[k], height[k], rings[k], heights[k]
        strain = hypot(r - below_r, z - below_z) / h - 1
        area = (below_n + n) / 2 * h * width
        total += area * strain * strain * (0.5 if strain > 0 else 0.5 * COMPRESSION)
        if k < last or not skin.shut:
            strain = 2 * pi * r / (n * width) - 1
            total += hoops * n * width * h * strain * strain * (0.5 if strain > 0 else 0.5 * COMPRESSION)
        total -= pressure * pi / 3 * (below_r * below_r + below_r * r + r * r) * (z - below_z)
        below_r, below_z, below_n = r, z, n
    return total


def _system(
    skin: Skin, rings: list[int], heights: list[float], radius: list[float], height: list[float], pressure: float
) -> tuple[list[list[float]], list[tuple[float, float, float, float]], list[float]]:
    """Gauss-Newton matrix (2 x 2 blocks: diagonal rr rz zz, upper rr rz zr zz) and gradient."""
    width, hoops, last = skin.width, skin.hoops, len(rings) - 1
    diagonal = [[0.0, 0.0, 0.0] for _ in rings]
    upper: list[tuple[float, float, float, float]] = []
    gradient = [0.0] * (2 * len(rings))
    push = pressure * pi / 3
    for k in range(last + 1):
        r, n = radius[k], rings[k]
        if n and (k < last or not skin.shut):
            h = heights[k] if k else heights[1]
            strain = 2 * pi * r / (n * width) - 1
            stiff = hoops * n * width * h * (1.0 if strain > 0 else COMPRESSION)
            turn = 2 * pi / (n * width)
            diagonal[k][0] += stiff * turn * turn
            gradient[2 * k] += stiff * strain * turn
        if k == 0:
            continue
        h, a, dz = heights[k], radius[k - 1], height[k] - height[k - 1]
        dr = r - a
        length = hypot(dr, dz) or 1e-9
        strain = length / h - 1
        stiff = (rings[k - 1] + n) / 2 * h * width * (1.0 if strain > 0 else COMPRESSION)
        cr, cz = dr / length, dz / length
        force = stiff * strain / h
        along = stiff / (h * h)
        across = max(force, 0.0) / length  # a pressed strip would make the matrix indefinite
        rr = along * cr * cr + across * cz * cz
        rz = (along - across) * cr * cz
        zz = along * cz * cz + across * cr * cr
        below, here = diagonal[k - 1], diagonal[k]
        below[0] += rr
        below[1] += rz
        below[2] += zz
        here[0] += rr
        here[1] += rz
        here[2] += zz
        upper.append((-rr, -rz, -rz, -zz))
        disc = push * (a * a + a * r + r * r)
        gradient[2 * k - 2] += -force * cr - push * (2 * a + r) * dz
        gradient[2 * k - 1] += -force * cz + disc
        gradient[2 * k] += force * cr - push * (a + 2 * r) * dz
        gradient[2 * k + 1] += force * cz - disc
    diagonal[0][2] += _FIXED
    gradient[1] = 0.0
    if not skin.ring:
        diagonal[0][0] += _FIXED
        gradient[0] = 0.0
    if skin.shut:
        diagonal[last][0] += _FIXED
        gradient[2 * last] = 0.0
    return diagonal, upper, gradient


def _solve(
    diagonal: list[list[float]],
    upper: list[tuple[float, float, float, float]],
    gradient: list[float],
    damping: float,
    width: float,
) -> list[float]:
    """Solve the damped block tridiagonal system by elimination; damping in parts of each diagonal entry."""
    count = len(diagonal)
    floor = damping * width
    blocks: list[tuple[float, float, float]] = []  # inverse of each eliminated diagonal block
    right = gradient[:]
    for k in range(count):
        a, b, c = diagonal[k]
        a += damping * a + floor
        c += damping * c + floor
        if k:
            p, q, s = blocks[k - 1]
            rr, rz, zr, zz = upper[k - 1]
            # upper^T * inverse: a 2 x 2 matrix m
            m00, m01 = rr * p + zr * q, rr * q + zr * s
            m10, m11 = rz * p + zz * q, rz * q + zz * s
            a -= m00 * rr + m01 * zr
            b -= m00 * rz + m01 * zz
            c -= m10 * rz + m11 * zz
            right[2 * k] -= m00 * right[2 * k - 2] + m01 * right[2 * k - 1]
            right[2 * k + 1] -= m10 * right[2 * k - 2] + m11 * right[2 * k - 1]
        determinant = a * c - b * b
        if determinant <= 0.0 or a <= 0.0:
            a, b, c, determinant = abs(a) + floor, 0.0, abs(c) + floor, (abs(a) + floor) * (abs(c) + floor)
        blocks.append((c / determinant, -b / determinant, a / determinant))
    step = [0.0] * (2 * count)
    for k in range(count - 1, -1, -1):
        x, y = right[2 * k], right[2 * k + 1]
        if k < count - 1:
            rr, rz, zr, zz = upper[k]
            x -= rr * step[2 * k + 2] + rz * step[2 * k + 3]
            y -= zr * step[2 * k + 2] + zz * step[2 * k + 3]
        p, q, s = blocks[k]
        step[2 * k], step[2 * k + 1] = p * x + q * y, q * x + s * y
    return step
