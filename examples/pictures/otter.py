"""The harbor otter in parts and whole: round counts and colours as in the pattern go in, strands come out.

Sizes follow from the counts; where a part sits is written here by hand, as close as possible to the assembly steps.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence

import numpy as np

from fabric import Shape, bent, crochet, curve, frames, moved, profile, rotation, turned
from strands import THREAD, Array, Strands, unit

A, B, C, D = "#8a5a3c", "#ecdfc6", "#2f5d7c", "#d69b2d"  # as `drawn` in the pattern
INK = "#17161a"

LEG = [6, 12, 18, 18, 18, 18, 18, 18]
BODY = [42] * 11 + [36, 36, 30, 30, 24, 24]
BODY_COLOURS = [A] * 3 + [C, C, B, B] * 2 + [C, C, B, B, C, C]
HEAD = [6, 12, 18, 24, 30, 36, 42] + [48] * 9 + [42, 36, 30, 24]
ARM = [6] + [12] * 11
ARM_COLOURS = [A] * 4 + [C, C, B, B] * 2
TAIL = [6, 6, 9, 9, 9, 12, 12, 12, 15, 15, 15] + [18] * 9
MUZZLE = [14, 20, 26, 26, 26]
BASE = [8, 18, 30]
PAW = [10, 12, 12, 12, 12]
BEANIE = [6, 12, 18, 24, 30, 36, 36, 36, 36]
SCARF_COLOURS = [D] * 4 + [C] * 2 + [D] * 46 + [C] * 2 + [D] * 4

HIP = 21.0  # mm, height of the join above the table
NECK = 80.0  # mm, height of the neck above the table


def leg_shape(side: float) -> Shape:
    """Flat-soled tube; side -1 or 1 = left or right in the picture."""
    steps = np.array([0, 4, 8, 11.6, 12.4, 12.2, 12.2, 12.4, 12.6])
    rise = np.array([0, 0.3, 0.5, 1.5, 5.2, 9.2, 13.2, 17.2, HIP + 1])
    return moved(turned(steps, rise), None, (side * 17.0, 1.0, 0.0))


def body_shape() -> Shape:
    """From the join to the neck: wide at the hips, round at the chest."""
    steps = np.array([26.5, 27.6, 28.2, 28.4, 28.3, 28.0, 27.6, 27.2, 26.8, 26.3, 25.6, 24.6, 23.3,
                      21.8, 20.2, 18.6, 17.2, 16.2])
    rise = np.linspace(0, NECK - HIP + 2.0, len(steps))

    def shape(k: Array, place: Array) -> Array:
        base = turned(steps, rise)(k, place)
        hips = np.clip(1 - k / 7.0, 0, 1) ** 1.5
        base[..., 0] *= 1.0 + 0.16 * hips
        base[..., 2] *= 0.98 - 0.30 * hips
        base[..., 1] += HIP
        return base

    return shape


def base_shape() -> Shape:
    """What the bridge between the legs closes; not worked as rounds, drawn so that nobody looks into the body."""
    return moved(turned(np.array([0.0, 9.0, 18.0, 26.0]), np.zeros(4), 1.16, 0.68), None, (0.0, HIP + 0.5, 0.0))


def head_shape() -> Shape:
    """Worked from the crown down, so the part stands on its head."""
    radius, height = profile(HEAD)
    return moved(turned(radius, height, 1.06, 0.98), rotation(z=180), (0.0, NECK + height[-1] - 1.0, 1.5))


def stadium(half: float, radius: Array, depth: Array) -> Shape:
    """Rounds about a chain of length 2 x half along x: radius and depth (towards the maker) of every round, mm."""

    def shape(k: Array, place: Array) -> Array:
        r = np.interp(k, np.arange(len(radius)), radius)
        z = np.interp(k, np.arange(len(depth)), depth)
        round_end = np.pi * np.maximum(r, 1.0)
        along = np.mod(place, 1.0) * (4 * half + 2 * round_end)
        x, y = np.zeros_like(r), np.zeros_like(r)
        for start, middle, turn in ((0.0, half, 0.0), (2 * half + round_end, -half, np.pi)):
            straight = (along >= start) & (along < start + 2 * half)
            x = np.where(straight, -middle + np.cos(turn) * (along - start), x)
            y = np.where(straight, np.cos(turn) * r, y)
            bend = along - start - 2 * half
            curve = (bend >= 0) & (bend < round_end)
            angle = np.pi / 2 - bend / np.maximum(r, 1.0) - turn
            x = np.where(curve, middle + r * np.cos(angle), x)
            y = np.where(curve, r * np.sin(angle), y)
        return np.stack([-x, y, z], axis=-1)

    return shape


def muzzle_shape() -> Shape:
    """Oval dome that looks towards +z, its edge at z = 0."""
    return stadium(7.2, np.array([0.4, 4.4, 8.2, 10.9, 11.9, 12.2]), np.array([13.0, 12.6, 11.0, 7.6, 3.6, 0.0]))


def paw_shape() -> Shape:
    """Flat webbed paw along +y, 25 mm wide."""
    radius = np.array([0.0, 5.6, 7.8, 8.3, 8.3, 7.8])
    return turned(radius, np.array([0.0, 1.4, 4.6, 8.6, 12.6, 16.6]), 1.4, 0.40)


def ear_shape() -> Shape:
    """Half a disc from its tip downwards, growing along -y."""
    return moved(turned(np.array([0.0, 4.6, 7.2, 7.4]), np.array([-9.6, -8.0, -4.6, -0.6]), 1.3, 0.60), rotation(z=180))


def face(strands: Strands, head: Shape, muzzle: Shape | None, sewn: bool = True) -> None:
    """Embroidered eyes on the head; with a muzzle that is sewn on: nose, mouth, whiskers."""
    for side in (-1.0, 1.0):
        spot, work, grow, out = (v[0] for v in frames(head, np.array([11.0]), np.array([0.5 + side * 4.5 / 48])))
        across, down = unit(work), unit(grow)
        for row in np.linspace(-1, 1, 7):
            half = 3.4 * np.sqrt(1.08 - row * row)
            ends = np.linspace(-half, half, 5)[:, None]
            bulge = 1.9 + 0.7 * (1 - row * row) - 0.05 * ends * ends
            strands.line(spot + ends * across + row * 3.6 * down + bulge * out, 0.72, INK, THREAD, out)
        glint = np.array([[-1.5], [-0.2]])
        strands.line(spot + glint * np.array([1.0, 0, 0]) - 1.7 * down + 3.3 * out, 0.55, B, THREAD, out)
    if muzzle is None or not sewn:
        return
    nose = muzzle(np.array([0.0]), np.array([0.0]))[0]

    def front(x: float, y: float) -> Array:
        return nose + np.array([x, y, 0.0])

    for x in np.linspace(-5.6, 5.6, 11):
        tall = 5.2 * (1 - abs(x) / 7.4)
        points = np.stack([front(x, 7.4 - 0.05 * x * x) + [0, 0, -1.4], front(x, 6.2 - 0.03 * x * x) + [0, 0, 1.2],
                           front(x, 5.8 - tall * 0.6) + [0, 0, 2.3], front(x, 5.4 - tall) + [0, 0, 1.9]])
        strands.line(points, 0.75, INK, THREAD, np.array([0, 0.2, 1.0]))
    drop = [front(0, y) + [0, 0, 1.9] for y in (1.0, -1.0, -3.0)]
    strands.line(np.array(drop), 0.5, INK, THREAD, np.array([0, 0, 1.0]))
    for side in (-1.0, 1.0):
        t = np.linspace(0, 1, 12)
        smile = [front(side * 7.0 * u, -3.0 - 2.7 * np.sin(np.pi * u * 0.75)) + [0, 0, 1.9 - 0.9 * u] for u in t]
        strands.line(np.array(smile), 0.5, INK, THREAD, np.array([0, 0, 1.0]))
        for drop_end, start in ((-3.0, 14.6), (2.5, 14.2)):
            place = np.linspace(0, 1, 9)
            angle = 0.5 + side * (5.6 + 3.2 * place) / 48
            rise = np.full(9, start) - drop_end * 0.35 * place
            spot, _, _, out = frames(head, rise, angle)
            strands.line(spot + 1.9 * out, 0.55, B, THREAD, out[4])


def on_head(head: Shape) -> Array:
    """Where the middle of the muzzle's edge sits, mm."""
    spot, _, _, out = (v[0] for v in frames(head, np.array([14.4]), np.array([0.5])))
    return spot - 4.2 * out


def head_parts(strands: Strands, *, ears: bool = True, muzzle_gap: float = 0.0) -> tuple[Shape, Shape]:
    """Head with face, muzzle and ears -> (head, muzzle); muzzle_gap mm lifts the right end off."""
    head = head_shape()
    crochet(strands, head, HEAD, A)
    spot = on_head(head)
    muzzle = moved(muzzle_shape(), rotation(x=4, y=muzzle_gap), spot)
    crochet(strands, muzzle, MUZZLE, B)
    line = muzzle(np.zeros(14), np.linspace(0.02, 0.98, 14))
    strands.line(line[:7] + [0, 0, 0.6], 0.9, B)
    face(strands, head, muzzle, sewn=muzzle_gap == 0.0)
    if ears:
        for side in (-1.0, 1.0):
            place, _, _, out = (v[0] for v in frames(head, np.array([8.6]), np.array([0.5 + side * 12.2 / 48])))
            turn = rotation(x=-4, y=side * 16, z=-side * 62)
            crochet(strands, moved(ear_shape(), turn, place + 0.3 * out), [5, 10, 10], A)
    return head, muzzle


def arms_and_feet(strands: Strands) -> None:
    """Arms at the sides of the chest, four paws, as in the steps."""
    radius, height = profile(ARM)
    radius = radius * np.interp(np.arange(len(radius)), [0, 9, 12], [1, 1, 0.9])
    for side in (-1.0, 1.0):
        path = np.array([[side * 40.0, NECK - 45, 13.0], [side * 37.0, NECK - 33, 11.5], [side * 31.0, NECK - 20, 8.0],
                         [side * 20.0, NECK - 8.5, 3.0]])
        smoother = curve(path, 40, 60)
        crochet(strands, bent(turned(radius, height), height[-1], smoother), ARM, ARM_COLOURS)
        hand = rotation(x=10, y=side * 55 - 16, z=side * 12)
        crochet(strands, moved(paw_shape(), hand, (side * 40.5, NECK - 54, 15.0)), PAW, A)
        foot = rotation(x=-90) @ rotation(x=-3, y=side * 13)
        crochet(strands, moved(paw_shape(), foot, (side * 21.5, 4.4, 29.5)), PAW, A)


def tail_outline() -> tuple[Array, Array]:
    """Outline of the tail; stuffing evens out the steps between its increases."""
    radius, height = profile(TAIL)
    for _ in range(4):
        radius[2:-1] = (radius[1:-2] + 2 * radius[2:-1] + radius[3:]) / 4
    return radius, height


def tail(strands: Strands) -> None:
    """From the centre back down to the table, its tip swung to the right of the picture."""
    radius, height = tail_outline()
    knots = np.array([[74.0, 8.0, -8.0], [60.0, 7.0, -22.0], [40.0, 9.0, -33.0], [18.0, 16.0, -33.0],
                      [0.0, 31.0, -18.0]])
    path = curve(knots, 60, 120)
    crochet(strands, bent(turned(radius, height, 1.05, 1.0), height[-1], path), TAIL, A)


def band(path: Callable[[Array], Array], across: Callable[[Array], Array], width: float, rows: int) -> Shape:
    """Strip of turned rows along a path 0..1; across = direction of its width there."""

    def shape(k: Array, place: Array) -> Array:
        t = k / rows
        return path(t) + across(t) * ((place - 0.5) * width)[..., None]

    return shape


def scarf(strands: Strands) -> None:
    """Once round the neck, crossed in front, both ends hanging."""
    y = NECK + 1.0

    def ring(t: Array) -> Array:
        angle = 2 * np.pi * t
        return np.stack([22.5 * np.sin(angle), y - 1.5 - 2.5 * np.cos(angle), 22.0 * np.cos(angle) + 1.0], axis=-1)

    def ring_across(t: Array) -> Array:
        angle = 2 * np.pi * t
        return unit(np.stack([-0.55 * np.sin(angle), 0 * t + 1.0, -0.55 * np.cos(angle)], axis=-1))

    crochet(strands, band(ring, ring_across, 15.0, 34), [6] * 34, D, flip=False, flat=True, w=3.4)
    for side, lift in ((-1.0, 0.0), (1.0, 3.2)):
        knots = np.array([[-side * 7.0, y + 1.0, 24.0 + lift], [side * 0.5, y - 7.0, 27.8 + lift],
                          [side * 8.0, y - 19.0, 30.6 + lift * 0.6], [side * 12.5, y - 31.0, 32.2],
                          [side * 15.0, y - 43.0, 33.0]])
        fine = curve(knots, 60, 40)
        along = unit(np.gradient(fine, axis=0))
        sideways = unit(np.cross(along, np.array([0.0, 0.15, 1.0])))

        def follow(t: Array, values: Array = fine) -> Array:
            return np.stack([np.interp(t, np.linspace(0, 1, 60), values[:, i]) for i in range(3)], axis=-1)

        def over(t: Array, values: Array = sideways) -> Array:
            return np.stack([np.interp(t, np.linspace(0, 1, 60), values[:, i]) for i in range(3)], axis=-1)

        crochet(strands, band(follow, over, 17.5, 12), [6] * 12, SCARF_COLOURS[-12:], flip=True, flat=True)


def beanie_shape() -> tuple[Shape, Array]:
    """Crown at y = 0, growing downwards; also its outline."""
    radius, height = profile(BEANIE)
    return moved(turned(radius, height), rotation(z=180)), np.stack([radius, -height])


def beanie(strands: Strands, turn: Array, shift: Sequence[float]) -> None:
    """Cap in mustard with its two blue rounds folded up."""
    shape, (radius, rise) = beanie_shape()
    crochet(strands, moved(shape, turn, shift), BEANIE, D, lean=0)
    fold = turned(np.array([radius[-1] + 1.2, radius[-1] + 3.2, radius[-1] + 3.4]),
                 np.array([rise[-1] - 0.6, rise[-1] + 3.2, rise[-1] + 7.2]))
    crochet(strands, moved(fold, turn, shift), [36, 36], C, lean=0)


def otter(strands: Strands, dressed: bool = True) -> None:
    """The whole toy, standing on the table at the origin, looking towards +z."""
    for side in (-1.0, 1.0):
        crochet(strands, leg_shape(side), LEG, A)
    crochet(strands, body_shape(), BODY, BODY_COLOURS)
    crochet(strands, base_shape(), BASE, A)
    arms_and_feet(strands)
    tail(strands)
    head, _ = head_parts(strands)
    if dressed:
        crown = head(np.array([0.0]), np.array([0.0]))[0]
        _, (_, rise) = beanie_shape()
        beanie(strands, rotation(z=7, x=-6), crown + np.array([-2.0, -rise[-1] - 10.5, 0.0]))
        scarf(strands)
