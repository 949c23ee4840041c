"""Draw ellipsoids in daylight: strands and a camera go in, a picture comes out. Nothing is placed here.

Parallel projection, one exact ray-ellipsoid intersection a pixel, a depth picture from the lamp for the shadows,
and the depth picture of the camera for the dark between the stitches.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from strands import YARN, Array, Strands, linear, unit

Float = NDArray[np.float32]

PAPER = linear("#f4ece0")
LAMP = unit(np.array([-0.55, 0.80, 0.62]))  # where the light comes from, for a camera that has not turned
FAR = np.float32(1e6)


@dataclass(frozen=True, slots=True)
class Camera:
    """Parallel camera; x right, y up, z towards the viewer, table at y = 0."""

    centre: tuple[float, float, float]  # mm, middle of the picture
    width: float  # mm across the picture
    tilt: float  # degrees, how far it looks down
    turn: float  # degrees, how far it walks round to the viewer's right
    pixels: tuple[int, int]  # width, height of the finished picture

    def frame(self) -> Array:
        """Rows: right, up, into the picture."""
        tilt, turn = np.radians(self.tilt), np.radians(self.turn)
        back = np.array([np.sin(turn) * np.cos(tilt), np.sin(tilt), np.cos(turn) * np.cos(tilt)])
        right = np.array([np.cos(turn), 0.0, -np.sin(turn)])
        return np.stack([right, np.cross(back, right), -back])


@dataclass(slots=True)
class Buffer:
    """What one look at the strands gives, a value a pixel."""

    depth: Float  # mm into the picture, FAR where nothing is
    normal: Float  # (h, w, 3), towards the viewer
    colour: Float  # (h, w, 3) linear
    surface: Float


def look(strands: Strands, frame: Array, origin: Array, scale: float, size: tuple[int, int], full: bool) -> Buffer:
    """Draw all strands as seen along frame[2]; scale = pixels a mm; full = colours and normals as well as depth."""
    wide, high = size
    deep = 3 if full else 0
    buffer = Buffer(np.full((high, wide), FAR, np.float32), np.zeros((high, wide, deep), np.float32),
                    np.zeros((high, wide, deep), np.float32), np.zeros((high, wide), np.float32))
    centres, axes, halves, colours, surfaces = strands.arrays()
    middle = (centres - origin) @ frame.T
    turned = axes @ frame.T  # axes of each ellipsoid in the camera's directions
    reach = np.sqrt(np.sum((turned[:, :, :2] * halves[:, :, None]) ** 2, axis=1)) * scale + 1.0
    column, row = wide / 2 + middle[:, 0] * scale, high / 2 - middle[:, 1] * scale
    for i in range(len(centres)):
        left, right = max(0, int(column[i] - reach[i, 0])), min(wide, int(column[i] + reach[i, 0]) + 2)
        top, bottom = max(0, int(row[i] - reach[i, 1])), min(high, int(row[i] + reach[i, 1]) + 2)
        if left >= right or top >= bottom:
            continue
        across = ((np.arange(left, right) + 0.5 - column[i]) / scale).astype(np.float32)[None, :, None]
        upward = ((row[i] - np.arange(top, bottom) - 0.5) / scale).astype(np.float32)[:, None, None]
        squeeze = (turned[i] / halves[i][:, None]).astype(np.float32)  # unit ball from camera directions
        start = across * squeeze[:, 0] + upward * squeeze[:, 1]
        way = squeeze[:, 2]
        a, b = float(way @ way), start @ way
        root = b * b - a * (np.sum(start * start, axis=2) - 1.0)
        hit = root > 0
        away = (-b - np.sqrt(np.maximum(root, 0))) / a
        box = np.s_[top:bottom, left:right]
        hit &= away + middle[i, 2] < buffer.depth[box]
        if not hit.any():
            continue
        buffer.depth[box][hit] = (away + middle[i, 2])[hit]
        if full:
            point = start[hit] + away[hit][:, None] * way
            normal = unit(point @ squeeze)
            tint = colours[i].astype(np.float32)
            if surfaces[i] == YARN:
                # Three plies twisted round each other: a helix along the strand, darker in its grooves.
                turn = 2 * np.arctan2(point[:, 1], point[:, 2]) + 2.6 * point[:, 0] * halves[i, 0] / halves[i, 1]
                groove = np.sin(turn)
                normal = unit(normal + 0.38 * np.cos(turn)[:, None] * turned[i, 0])
                tint = tint * (0.89 + 0.13 * groove)[:, None]
            buffer.normal[box][hit] = normal
            buffer.colour[box][hit] = tint
            buffer.surface[box][hit] = surfaces[i]
    return buffer


def blur(picture: Float, radius: float) -> Float:
    """Three box blurs, near enough a Gaussian of that radius in pixels; edges repeat."""
    size = max(1, round(radius))
    for axis in (0, 1):
        for _ in range(3):
            pad = [(0, 0), (0, 0)]
            pad[axis] = (size + 1, size)
            total = np.cumsum(np.pad(picture, pad, mode="edge"), axis=axis, dtype=np.float64)
            span = 2 * size + 1
            upper = np.take(total, range(span, total.shape[axis]), axis=axis)
            lower = np.take(total, range(total.shape[axis] - span), axis=axis)
            picture = ((upper - lower) / span).astype(np.float32)
    return picture


def shadow(strands: Strands, points: Float, lamp: Array, rng: np.random.Generator) -> Float:
    """How much of the lamp reaches each point (h, w, 3) mm: 0..1, with a soft edge."""
    right = unit(np.cross(np.array([0.0, 1.0, 0.0]), lamp))
    frame = np.stack([right, np.cross(lamp, right), -lamp])
    centres = strands.arrays()[0] @ frame.T
    low, high = centres.min(axis=0) - 12.0, centres.max(axis=0) + 12.0
    origin, scale = ((low + high) / 2) @ frame, 4.0
    size = (int((high[0] - low[0]) * scale), int((high[1] - low[1]) * scale))
    depth = look(strands, frame, origin, scale, size, full=False).depth
    seen = (points - origin.astype(np.float32)) @ frame.T.astype(np.float32)
    column, row = size[0] / 2 + seen[..., 0] * scale, size[1] / 2 - seen[..., 1] * scale
    lit = np.zeros(points.shape[:2], np.float32)
    samples = 28
    spin = (rng.random(points.shape[:2]) * 2 * np.pi).astype(np.float32)  # hides the pattern of the samples
    for i in range(samples):
        # The farther the shadow falls, the softer: near contact the samples stay close together.
        spread = np.sqrt((i + 0.5) / samples) * scale * (1.2 + 4.2 * (i % 2))
        angle = spin + 2.399963 * i  # golden angle
        x = np.clip(column + spread * np.cos(angle), 0, size[0] - 1).astype(np.int32)
        y = np.clip(row + spread * np.sin(angle), 0, size[1] - 1).astype(np.int32)
        lit += depth[y, x] > seen[..., 2] - 1.4
    return lit / samples


def picture(strands: Strands, camera: Camera, seed: int, finer: int = 2) -> NDArray[np.uint8]:
    """Strands seen by a camera on a paper-coloured table -> (height, width, 3) sRGB; finer = samples a pixel edge."""
    rng = np.random.default_rng(seed)
    wide, high = camera.pixels[0] * finer, camera.pixels[1] * finer
    scale = wide / camera.width
    frame, origin = camera.frame(), np.array(camera.centre)
    # The window goes along with a camera that walks behind the toy, which then still stands in the light.
    turn = np.radians(camera.turn) * (1.0 if abs(camera.turn) > 90 else 0.0)
    cos, sin = np.cos(turn), np.sin(turn)
    lamp = np.array([LAMP[0] * cos + LAMP[2] * sin, LAMP[1], LAMP[2] * cos - LAMP[0] * sin])
    buffer = look(strands, frame, origin, scale, (wide, high), full=True)
    x = ((np.arange(wide) + 0.5 - wide / 2) / scale).astype(np.float32)[None, :]
    y = ((high / 2 - np.arange(high) - 0.5) / scale).astype(np.float32)[:, None]
    # The table: where the line of sight through a pixel meets y = 0.
    flat = (-(origin[1] + x * frame[0, 1] + y * frame[1, 1]) / frame[2, 1]).astype(np.float32)
    solid = buffer.depth < flat
    depth = np.where(solid, buffer.depth, flat)
    points = origin + x[..., None] * frame[0] + y[..., None] * frame[1] + depth[..., None] * frame[2]
    points = points.astype(np.float32)
    normal = np.where(solid[..., None], buffer.normal @ frame, np.array([0.0, 1.0, 0.0])).astype(np.float32)
    tint = np.where(solid[..., None], buffer.colour, PAPER).astype(np.float32)
    yarn = solid & (buffer.surface == YARN)
    fibres = blur(rng.standard_normal(depth.shape).astype(np.float32), 0.12 * scale)
    tint *= np.where(yarn, 1.0 + 0.05 * fibres / max(float(fibres.std()), 1e-6), 1.0)[..., None]
    lit = shadow(strands, points + normal * 0.5, lamp, rng)
    crease = np.ones_like(depth)
    for radius, depth_mm, weight in ((0.6, 0.8, 0.40), (2.2, 2.6, 0.34), (7.0, 8.0, 0.34)):
        # Only what is near counts: the table behind a toy must not brighten its outline, nor the toy darken the table.
        share = blur(solid.astype(np.float32), radius * scale)
        mean = blur(np.where(solid, buffer.depth, 0.0).astype(np.float32), radius * scale) / np.maximum(share, 1e-3)
        hollow = np.where(solid, buffer.depth - mean, 0.0)
        crease *= 1.0 - weight * np.clip(hollow / depth_mm, 0.0, 1.0)
    sight = -frame[2].astype(np.float32)
    facing = normal @ lamp.astype(np.float32)
    key = np.where(solid, np.clip((facing + 0.25) / 1.25, 0, 1), 0.54) * (0.10 + 0.90 * lit)
    sky = (0.62 + 0.38 * normal[..., 1]) * crease
    light = 1.08 * key[..., None] * np.array([1.0, 0.965, 0.90]) + 0.58 * sky[..., None] * np.array([0.93, 0.97, 1.05])
    edge = np.clip(1.0 - normal @ sight, 0, 1) ** 3  # loose fibres catch the light at the rim
    fuzz = np.where(yarn, 0.16 * edge * crease, 0.0)
    half = unit(lamp + sight).astype(np.float32)
    shine = buffer.surface * np.clip(normal @ half, 0, 1) ** 60 * 0.9 * solid
    colour = tint * light * np.where(solid, 0.30 + 0.70 * crease, 0.55 + 0.45 * crease)[..., None]
    colour += (fuzz[..., None] * (0.4 * tint + 0.25)) + shine[..., None]
    colour = colour.reshape(camera.pixels[1], finer, camera.pixels[0], finer, 3).mean(axis=(1, 3))
    empty = 1.0 - solid.reshape(camera.pixels[1], finer, camera.pixels[0], finer).mean(axis=(1, 3))
    return finish(colour, empty, rng)


def finish(colour: Array, empty: Array, rng: np.random.Generator) -> NDArray[np.uint8]:
    """Linear picture -> sRGB bytes: paper grain on the table, a soft fall-off to the corners, gentle highlights."""
    high, wide = empty.shape
    grain = blur(rng.standard_normal((high, wide)).astype(np.float32), 1.0)
    y, x = np.mgrid[-1 : 1 : high * 1j, -1 : 1 : wide * 1j]
    corner = 1.0 - 0.10 * np.clip(np.hypot(x, y) - 0.55, 0, 1)
    colour = colour * (1.0 + 0.05 * (grain * empty)[..., None]) * corner[..., None]
    colour = np.where(colour > 0.75, 0.75 + 0.25 * np.tanh((colour - 0.75) / 0.25), colour)
    return (np.clip(colour, 0, 1) ** (1 / 2.2) * 255.0 + 0.5).astype(np.uint8)
