"""What each picture shows: nothing goes in, strands and a camera come out. One function a picture."""

from __future__ import annotations

from collections.abc import Callable

import numpy as np

import otter as o
from fabric import Shape, crochet, curve, frames, moved, profile, rim, rotation, turned
from render import Camera
from strands import HARD, Array, Strands, linear

Scene = Callable[[Strands], Camera]
STEEL, STUFFING = "#9aa3ab", "#f3f1ec"


def hook(strands: Strands, tip: Array, end: Array) -> None:
    """A steel crochet hook, 3 mm, its head at `tip`."""
    way = (end - tip) / np.linalg.norm(end - tip)
    at = np.array([0, 1.5, 3.0, 4.5, 6.5, 10, 30, 32, 60, 62, 140.0])
    thick = np.array([0.5, 1.2, 1.5, 1.0, 0.9, 1.5, 1.5, 2.4, 2.4, 1.7, 1.6])
    strands.line(tip + at[:, None] * way, thick, STEEL, HARD)


def cover(strands: Strands) -> Camera:
    """The finished otter, three quarters from the front."""
    o.otter(strands)
    return Camera((8.0, 72.0, 0.0), 160.0, 13.0, -16.0, (1400, 1600))


def back(strands: Strands) -> Camera:
    """The finished otter from behind."""
    o.otter(strands)
    return Camera((12.0, 72.0, 0.0), 176.0, 15.0, 168.0, (1400, 1500))


def laid(shape: Shape, x: float, z: float, lift: float, turn: float = 0.0, on_back: bool = True) -> Shape:
    """A part put down on the table: on its back (its top away from us), or standing as it is."""
    matrix = (rotation(x=-90) if on_back else np.eye(3)) @ rotation(y=turn)
    return moved(shape, matrix, (x, lift, z))


def parts(strands: Strands) -> Camera:
    """All parts before the sewing, seen from above."""
    for side in (-1.0, 1.0):
        crochet(strands, laid(o.leg_shape(side), -78, 75, 18), o.LEG, o.A)
    crochet(strands, laid(o.body_shape(), -78, 75, 18), o.BODY, o.BODY_COLOURS)
    crochet(strands, laid(o.base_shape(), -78, 75, 18), o.BASE, o.A)
    strands.ball(np.array([-78.0, 15.0, 75 - o.NECK + 1]), np.array([14.0, 13.0, 5.0]), STUFFING, 0.0)
    head = laid(moved(o.head_shape(), None, (0, -o.NECK, 0)), -76, -48, 30)
    crochet(strands, head, o.HEAD, o.A)
    o.face(strands, head, None)
    crochet(strands, laid(o.muzzle_shape(), 4, -82, 1.5), o.MUZZLE, o.B)
    for x, turn in ((-11, 8), (17, -12)):
        crochet(strands, laid(o.ear_shape(), x, -42, 5, turn), [5, 10, 10], o.A)
    radius, height = profile(o.ARM)
    for x, turn in ((-10, 6), (18, -5)):
        crochet(strands, laid(turned(radius, height, 1.0, 0.9), x, 34, 8.5, turn), o.ARM, o.ARM_COLOURS)
    for x, z, turn in ((-16, 80, 4), (18, 80, -8), (-14, 58, -3), (19, 57, 7)):
        crochet(strands, laid(o.paw_shape(), x, z, 4.5, turn), o.PAW, o.A)
    crochet(strands, laid(turned(*o.tail_outline()), 52, 82, 13, 4), o.TAIL, o.A)
    o.beanie(strands, np.eye(3), (66.0, 27.0, -64.0))

    def path(t: Array) -> Array:
        # A lazy S down the right side of the picture.
        return np.stack([102 + 13 * np.sin(2.4 * np.pi * t + 0.4), 3.0 + 0 * t, 98 - 196 * t], axis=-1)

    def across(t: Array) -> Array:
        slope = 13 * 2.4 * np.pi / 196 * np.cos(2.4 * np.pi * t + 0.4)
        return np.stack([1 + 0 * t, 0 * t, slope], axis=-1) / np.sqrt(1 + slope**2)[..., None]

    crochet(strands, o.band(path, across, 25.0, 58), [6] * 58, o.SCARF_COLOURS, flat=True, flip=True)
    return Camera((6.0, 0.0, -12.0), 288.0, 64.0, 0.0, (1600, 1200))


def legs(strands: Strands) -> Camera:
    """The moment of joining: two legs, three chains between them, the hook in the first leg."""
    for side in (-1.0, 1.0):
        crochet(strands, o.leg_shape(side * 1.1), o.LEG, o.A)
        rim(strands, o.leg_shape(side * 1.1), 18, o.A, 8.0)
        strands.ball(np.array([side * 18.7, o.HIP - 5.0, 0.0]), np.array([11.0, 5.5, 11.0]), STUFFING, 0.0)
    top = o.HIP + 1.2

    def path(t: Array) -> Array:
        return np.stack([7.4 - 14.8 * t, top + 0.2 - 2.4 * np.sin(np.pi * t), 2.0 + 0 * t], axis=-1)

    def across(t: Array) -> Array:
        return np.stack([0 * t, -0.8 + 0 * t, 0.6 + 0 * t], axis=-1)

    crochet(strands, o.band(path, across, 4.6, 3), [1, 1, 1], o.A, lean=0)
    loop = np.array([-9.0, top + 1.0, 3.0])
    angle = np.linspace(0, 2 * np.pi, 20)[:, None]
    strands.line(loop + 2.3 * (np.cos(angle) * [0, 0.75, 0.66] + np.sin(angle) * [0.75, 0.5, -0.4]), 0.95, o.A)
    hook(strands, loop + np.array([4.5, -3.0, 3.8]), loop + np.array([-60.0, 40.0, -50.0]))
    knots = np.array([loop + [0.5, 0.5, -1], loop + [4, 2, -10], [4.0, top - 4, -22], [24.0, 2.0, -40],
                      [60.0, 1.2, -52], [130.0, 1.2, -60]])
    fine = curve(knots, 90, 60)
    strands.line(fine, 1.0, o.A, out=np.array([0.0, 1.0, 0.2]))
    return Camera((2.0, 15.0, 0.0), 88.0, 34.0, 8.0, (1500, 1100))


def sewing(strands: Strands) -> Camera:
    """The muzzle half sewn on, the yarn in the needle."""
    crochet(strands, o.body_shape(), o.BODY, o.BODY_COLOURS)
    _, muzzle = o.head_parts(strands, ears=False, muzzle_gap=-13.0)
    at = muzzle(np.array([5.0]), np.array([0.30]))[0]
    candidates = muzzle(np.full(60, 5.0), np.arange(60) / 60)
    at = candidates[np.argmax(candidates[:, 0])]
    knots = np.array([at, at + [5, -4, 4], at + [11, -10, 7], at + [17, -5, 6], at + [20, 5, 4]])
    fine = curve(knots, 60, 30)
    strands.line(fine, 0.95, o.B)
    way = np.array([0.30, 0.92, 0.1])
    steps = np.array([-3.0, -1.0, 4.0, 24.0, 31.0, 38.0])[:, None]
    strands.line(fine[-1] + steps * way, np.array([0.6, 1.15, 1.15, 0.95, 0.7, 0.3]), STEEL, HARD)
    return Camera((9.0, 106.0, 0.0), 120.0, 7.0, -6.0, (1500, 1150))


def coaster(strands: Strands) -> Camera:
    """Two coasters, one on the edge of the other."""
    w, h = 100 / 18, 100 / 19
    counts = [6, 12, 18, 24, 30, 36, 42, 48, 54]
    sea, slate = "#7fa9a3", "#3d4f5c"
    flat = turned(np.arange(10) * h, np.zeros(10))

    def cord(k: Array, place: Array) -> Array:
        angle = 2 * np.pi * k / 54
        r = 9 * h + 1.5 + (place - 0.5) * 4.6
        return np.stack([r * np.sin(angle), 0.6 + 0 * r, r * np.cos(angle)], axis=-1)

    for turn, shift, colours in ((rotation(y=30), (-24.0, 2.6, -30.0), (slate, sea)),
                                 (rotation(x=-1.5, z=-4.0), (22.0, 6.6, 14.0), (sea, slate))):
        disc = moved(flat, rotation(z=180) @ turn, shift)
        crochet(strands, disc, counts, [colours[0]] * 8 + [colours[1]], lean=0, w=w)
        crochet(strands, moved(cord, turn, shift), [1] * 54, colours[1], lean=0, w=w, flip=True)
    return Camera((0.0, 2.0, -6.0), 176.0, 50.0, -12.0, (1500, 1150))


def pebble(strands: Strands) -> Camera:
    """Three pebbles, two of them stacked."""
    counts = [6, 12, 18, 24, 24, 24, 18, 12, 6]
    # Pressed flat between the palms, as the last line of the pattern says: radius and height in mm by eye.
    radius = np.array([0, 5.2, 10.2, 15.0, 19.4, 20.6, 19.6, 15.4, 9.6, 1.6])
    height = np.array([0, 0.6, 2.0, 4.8, 8.8, 13.4, 17.8, 21.2, 23.2, 24.0])
    stone = turned(radius, height)
    for turn, shift, colour in ((rotation(x=3, y=20), (-22.0, 3.0, -14.0), "#9a9a94"),
                                (rotation(x=-4, y=70, z=-5), (-20.0, 3.0 + height[-1] + 2.2, -14.0), "#9a9a94"),
                                (rotation(x=180 + 4, y=130, z=3), (26.0, 3.4 + height[-1], 12.0), "#9a9a94")):
        crochet(strands, moved(stone, turn, shift), counts, colour, w=100 / 18)
        middle = np.array([0.0, height[-1] / 2, 0.0]) @ turn + np.array(shift)
        strands.ball(middle, np.array([18.0, height[-1] * 0.38, 18.0]), "#55554f", 0.0)
    return Camera((2.0, 25.0, 0.0), 122.0, 24.0, -10.0, (1500, 1150))


def one_acorn(strands: Strands, turn: Array, shift: tuple[float, float, float]) -> None:
    """Nut, cap and safety eyes; drawn by eye, a little more pointed than firm stuffing makes it."""
    nut, chestnut, oat = [6, 12, 18, 18, 18, 18, 18, 12, 6], "#7a4a2b", "#ecdfc6"
    radius = np.array([0, 3.9, 7.8, 11.4, 12.4, 12.4, 11.8, 10.2, 7.0, 1.6])
    height = np.array([0, 0.8, 2.2, 5.0, 8.8, 12.7, 16.6, 20.2, 23.2, 25.4])
    body = moved(moved(turned(radius, height), rotation(z=180)), turn, shift)
    crochet(strands, body, nut, chestnut)
    wide, tall = np.array([0, 4.3, 8.5, 12.2, 14.6, 15.0]), np.array([0, 0.6, 1.9, 4.3, 7.4, 10.8])
    cap = moved(moved(turned(wide, tall), rotation(z=180), (0.0, 3.4, 0.0)), turn, shift)
    crochet(strands, cap, [6, 12, 18, 24, 24], oat)
    for side in (-1.0, 1.0):
        spot, work, _, out = frames(body, np.array([5.0]), np.array([0.5 + side * 3.0 / 18]))
        strands.add(spot + 0.9 * out, work, out, np.array([3.0, 3.0, 2.2]), linear(o.INK), HARD)


def acorn(strands: Strands) -> Camera:
    """Two acorns of the shortest pattern, one lying down behind the other."""
    one_acorn(strands, rotation(x=-4, y=-8, z=-4), (-12.0, 26.8, 4.0))
    one_acorn(strands, rotation(x=14, z=-97) @ rotation(y=24), (27.0, 13.2, -24.0))
    return Camera((7.0, 17.0, 0.0), 84.0, 13.0, 0.0, (1500, 1150))


SCENES: dict[str, Scene] = {
    "harbour-otter/photos/otter.jpg": cover,
    "harbour-otter/photos/parts.jpg": parts,
    "harbour-otter/photos/legs.jpg": legs,
    "harbour-otter/photos/sewing.jpg": sewing,
    "harbour-otter/photos/back.jpg": back,
    "coaster/photos/coaster.jpg": coaster,
    "pebble/photos/pebble.jpg": pebble,
    "acorn/photos/acorn.jpg": acorn,
}
