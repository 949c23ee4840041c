"""Comes in: poses of a hook, a needle, a row of stitches. Goes out: their outlines as path data, and the row's threads; no ink."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from typing import Any

from booklet.drawings.yarn_paths import Thread, thread

PITCH = 6.4  # mm from stitch to stitch
# The outline of a hook whose tip points left, its mouth down: x from the tip along the shaft, y across it.
HOOK = (
    (60, -1.45), (6.5, -1.45), (4.6, -1.25), (3.0, -1.45), (1.4, -1.35), (0.35, -0.75), (0.0, 0.05), (0.35, 0.95), (1.2, 1.5),
    (1.75, 1.35), (1.95, 0.75), (2.4, 0.25), (3.3, 0.15), (4.6, 0.55), (6.5, 1.45), (60, 1.45),
)  # fmt: skip
NEEDLE = ((30, -0.75), (6, -0.75), (1.5, -0.5), (0, 0), (1.5, 0.5), (6, 0.75), (30, 0.75), (30.7, 0.4), (30.7, -0.4))
EYE = ((26, -0.3), (29, -0.3), (29.4, 0), (29, 0.3), (26, 0.3), (25.6, 0))


def hook_shape(one: Mapping[str, Any]) -> str:
    """The outline of a hook; `length` cuts the shaft."""
    length = float(one.get("length", 60))
    return _placed([(min(x, length), y) for x, y in HOOK], one) + "Z"


def needle_shape(one: Mapping[str, Any]) -> str:
    """A yarn needle with its eye; `length` makes it shorter."""
    long = float(one.get("length", 30)) / 30
    return "".join(_placed([(x * long, y) for x, y in shape], one) + "Z" for shape in (NEEDLE, EYE))


def _placed(points: Sequence[tuple[float, float]], one: Mapping[str, Any]) -> str:
    (tx, ty), angle = one["tip"], math.radians(one.get("angle", 0))
    c, s = math.cos(angle), math.sin(angle)
    flip = -1 if one.get("mouth") == "up" else 1
    return "M" + "L".join(f"{tx + c * x - s * y * flip:.2f} {ty + s * x + c * y * flip:.2f}" for x, y in points)


def row_threads(row: Mapping[str, Any], width: float) -> list[Thread]:
    """Stitches of an edge, seen from the front and a little from above: each a V that lies on its side, on a post.

    `front`, `back`, `both` name stitches (from 1 at the left) whose loops are colored; `over`, `over_front`, `over_back` those that lie
    over the hook.
    """
    x0, y0 = row["at"]
    count = int(row["count"])
    pitch = float(row.get("pitch", PITCH))
    found: list[Thread] = []
    quiet = row.get("kind", "work")
    if row.get("posts", True):
        for k in range(count):
            found += _post(x0 + k * pitch, y0, pitch, float(row.get("tall", 6.0)), width, k + 1 in row.get("post", ()), quiet)
    for k in range(count - 1, -1, -1):
        number = k + 1
        x = x0 + k * pitch
        for loop, way in (("back", -1), ("front", 1)):
            kind = "active" if number in row.get(loop, ()) or number in row.get("both", ()) else quiet
            over = number in row.get("over", ()) or number in row.get(f"over_{loop}", ())
            high = 2.2 if over else 0.2
            rise = 1.75 * way
            points = (
                (x + pitch + 0.9, y0 + 0.25 * way, 0.05 if not over else 2.0),
                (x + pitch * 0.78, y0 + rise * 0.85, high),
                (x + pitch * 0.45, y0 + rise, high),
                (x + pitch * 0.12, y0 + rise * 0.6, high + 0.1),
                (x - 0.4, y0 + 0.1 * way, high + 0.2),
            )
            found.append(thread(points, width * 0.82, kind))
    return found


def _post(x: float, y: float, pitch: float, tall: float, width: float, active: bool, kind: str) -> list[Thread]:
    middle = x + pitch * 0.5
    kind = "active" if active else kind if kind == "quiet" else "quiet"
    legs = []
    for way in (-1, 1):
        points = ((middle + 1.5 * way, y + 1.7, -1.0), (middle + 0.95 * way, y + tall * 0.55, -1.0), (middle + 0.9 * way, y + tall, -1.0))
        legs.append(thread(points, width * 0.8, kind, capped=False))
    return legs
