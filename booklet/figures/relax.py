"""A net and the profiles of its pieces in, its resting shape in space and how much it is strained out; deterministic.

Size lines do not need it: for what turns round an axis it changes widths by less than 1 %. It is for hips over two legs, ovals
with sides and one-sided shaping, and it tells whether counts can be made without force. numpy and scipy are loaded here only.
"""

from __future__ import annotations

from collections import deque
from collections.abc import Mapping, Sequence
from math import cos, pi, sin
from typing import TYPE_CHECKING, NamedTuple

from booklet.figures.mesh import POST, RING, Mesh, Ring

if TYPE_CHECKING:
    from numpy import ndarray

PRESSURE = 0.03  # see inflate.PRESSURE; without any a closed piece crumples
STEPS = 60
PAIRS = 5  # steps that the next one is learned from
ENOUGH = 2e-4  # of a stitch width: no stitch moves farther any more
MOST_STRAIN = (0.06, 0.25)  # root mean square and largest strain of pieces that can be made without force
NEAREST = 0.5  # stitch widths: nearer stitches of different places push through one another
ROUNDS_TO_ROUND = 10  # a body over two legs is round after so many rounds


class Outline(NamedTuple):
    """The profile of a part that a net begins from; index 0 is the start."""

    radius: tuple[float, ...]  # mm
    height: tuple[float, ...]
    straight: float = 0.0  # mm between the half circles of an oval
    hips: float = 0.0  # width where it begins on two legs


class Shape3(NamedTuple):
    """Where every knot comes to rest."""

    points: ndarray  # knots x 3, mm, rounded to a hundredth
    strain: float
    strain_most: float
    nearest: float  # mm between stitches of different places
    steps: int


def relax(net: Mesh, outlines: Mapping[int, Outline], width: float, *, pressure: float = PRESSURE) -> Shape3:
    """Let a net come to rest. `width`: of a stitch, mm. Takes about 0.15 s for 2,000 stitches; the same bits in every run."""
    import numpy as np
    from scipy.sparse import csr_matrix, identity
    from scipy.sparse.linalg import splu

    at = np.array(start(net, outlines))
    one, other = (np.array([spring[i] for spring in net.springs], dtype=np.int64) for i in (0, 1))
    rest, stiff = (np.array([spring[i] for spring in net.springs]) for i in (2, 3))
    corners = np.array(net.triangles, dtype=np.int64).reshape(-1, 3)
    if _volume(at, corners) < 0:
        corners = corners[:, ::-1].copy()
    rows = np.arange(len(one))
    ends = csr_matrix((np.r_[np.ones(len(one)), -np.ones(len(one))], (np.r_[rows, rows], np.r_[one, other])), (len(one), net.knots))
    ends_back = csr_matrix(ends.T)
    faces = csr_matrix((np.ones(corners.size), (corners.T.ravel(), np.arange(corners.size))), (net.knots, corners.size))
    laplace = (ends_back @ csr_matrix(ends.multiply(stiff[:, None])) + 1e-5 * identity(net.knots)).tocsc()
    factor = splu(laplace, permc_spec="MMD_AT_PLUS_A", options={"SymmetricMode": True}, diag_pivot_thresh=0.0)
    most = max((len(ring.knots) for ring in net.rings), default=6)
    push = pressure / max(1.0, most / 6) / width if len(corners) else 0.0

    def energy(points: ndarray) -> tuple[float, ndarray]:
        span = ends @ points
        length = np.sqrt((span * span).sum(axis=1)) + 1e-12
        over = length - rest
        pull = ends_back @ (span * (stiff * over / length)[:, None])
        total = 0.5 * float((stiff * over * over).sum())
        if push:
            a, b, c = (points[corners[:, i]] for i in range(3))
            blow = np.concatenate((_cross(b, c), _cross(c, a), _cross(a, b)))
            pull = pull - push / 6 * (faces @ blow)
            total -= push * _volume(points, corners)
        return total, pull

    at, steps = _descend(at, energy, factor.solve, width)
    at = np.round(at - at.mean(axis=0), 2)
    length = np.sqrt(((ends @ at) ** 2).sum(axis=1))
    sound = np.array([spring[4] in (RING, POST) for spring in net.springs])
    strain = (length / rest - 1)[sound] if sound.any() else np.zeros(1)
    nearest = _nearest(net, at, width)
    return Shape3(at, float(np.sqrt((strain * strain).mean())), float(np.abs(strain).max()), nearest, steps)


def embeds(found: Shape3, width: float) -> bool:
    """Can it be made without force, and without passing through itself?"""
    mean, most = MOST_STRAIN
    return found.strain <= mean and found.strain_most <= most and found.nearest >= NEAREST * width


def _volume(at: ndarray, corners: ndarray) -> float:
    a, b, c = (at[corners[:, i]] for i in range(3))
    return float((a * _cross(b, c)).sum()) / 6


def _cross(a: ndarray, b: ndarray) -> ndarray:
    """The cross product, row by row; several times faster than the general one."""
    import numpy as np

    found = np.empty_like(a)
    for i, j, k in ((0, 1, 2), (1, 2, 0), (2, 0, 1)):
        found[:, i] = a[:, j] * b[:, k] - a[:, k] * b[:, j]
    return found


def _descend(at: ndarray, energy, solve, width: float) -> tuple[ndarray, int]:  # noqa: ANN001
    """Quasi-Newton steps: the springs' own matrix, improved by what the last steps have taught."""
    import numpy as np

    known: deque[tuple[ndarray, ndarray, float]] = deque(maxlen=PAIRS)
    value, slope = energy(at)
    steps = 0
    while steps < STEPS:
        steps += 1
        way = slope.copy()
        weights = []
        for moved, turned, curve in reversed(known):
            weight = float((moved * way).sum()) / curve
            weights.append(weight)
            way -= weight * turned
        way = solve(way)
        for (moved, turned, curve), weight in zip(known, reversed(weights), strict=True):
            way += (weight - float((turned * way).sum()) / curve) * moved
        falls = float((way * slope).sum())
        if falls <= 0:
            known.clear()
            way = solve(slope)
            falls = float((way * slope).sum())
        largest = float(np.abs(way).max())
        size = min(1.0, 2 * width / largest) if largest else 1.0
        for _ in range(12):
            tried = at - size * way
            new, new_slope = energy(tried)
            if new <= value - 1e-4 * size * falls:
                break
            size /= 2
        else:
            break
        moved, turned = tried - at, new_slope - slope
        curve = float((moved * turned).sum())
        if curve > 1e-12:
            known.append((moved, turned, curve))
        at, value, slope = tried, new, new_slope
        if float(np.abs(moved).max()) < ENOUGH * width:
            break
    return at, steps


def _nearest(net: Mesh, at: ndarray, width: float) -> float:
    """The smallest distance of two stitches that do not touch by a spring or across two."""
    from scipy.spatial import cKDTree

    close = cKDTree(at).query_pairs(NEAREST * width)
    if not close:
        return NEAREST * width
    beside: dict[int, set[int]] = {}
    for a, b, *_ in net.springs:
        beside.setdefault(a, set()).add(b)
        beside.setdefault(b, set()).add(a)
    apart = [
        float(((at[a] - at[b]) ** 2).sum()) ** 0.5
        for a, b in sorted(close)
        if b not in beside.get(a, ()) and not beside.get(a, set()) & beside.get(b, set())
    ]
    return min(apart, default=NEAREST * width)


# ---- where everything begins


def start(net: Mesh, outlines: Mapping[int, Outline]) -> list[tuple[float, float, float]]:
    """A first place for every knot: pieces on their profiles, legs side by side below what grows out of them."""
    at: list[tuple[float, float, float]] = [(0.0, 0.0, 0.0)] * net.knots
    pieces: dict[tuple[int, int], list[Ring]] = {}
    for ring in net.rings:
        pieces.setdefault((ring.part, ring.instance), []).append(ring)
    placed: set[int] = set()
    lifted: dict[tuple[int, int], float] = {}
    for key, rings in pieces.items():
        outline = outlines[key[0]]
        roots = {owner for knot in rings[0].knots for under in net.below[knot] if (owner := _owner(pieces, key, under)) is not None}
        lift = max((lifted[root] for root in roots), default=0.0)
        lifted[key] = lift + outline.height[-1]
        share = _bridge(net, rings[0]) if len(roots) > 1 else _from_chain(net, rings[0])
        if len(roots) > 1:
            _set_apart(net, pieces, rings, sorted(roots), outline, outlines, at, share)
        for ring in rings:
            share += ring.turn
            way = _section(outline, ring.r, len(roots))
            for n, knot in enumerate(ring.knots):
                x, y = stadium(*way, n / len(ring.knots) + share)
                at[knot] = x, y, lift + outline.height[min(ring.r, len(outline.height) - 1)]
                placed.add(knot)
    _hang(net, at, placed)
    return at


def _bridge(net: Mesh, first: Ring) -> float:
    """Half of the chain at the end of a round over two legs: the round begins beside the middle of the back."""
    chains = set(net.chains)
    last = next((n for n, knot in enumerate(reversed(first.knots)) if not chains & set(net.below[knot])), 0)
    return last / 2 / len(first.knots)


def _from_chain(net: Mesh, first: Ring) -> float:
    """Where a round on both sides of a chain begins: the stitch on the middle of the chain lies in the middle of the back."""
    below = [net.below[knot][0] for knot in first.knots if net.below[knot]]
    chain = sorted(set(below) & set(net.chains))
    if first.whole or len(chain) < 2:
        return 0.0
    return -below.index(chain[len(chain) // 2]) / len(first.knots)


def _owner(pieces: Mapping[tuple[int, int], Sequence[Ring]], mine: tuple[int, int], knot: int) -> tuple[int, int] | None:
    return next((key for key, rings in pieces.items() if key != mine and knot in rings[-1].knots), None)


def _section(outline: Outline, r: int, roots: int) -> tuple[float, float]:
    """Width and depth of a round."""
    radius = outline.radius[min(r, len(outline.radius) - 1)]
    if roots < 2 or not outline.hips:
        return 2 * radius + outline.straight, 2 * radius
    left = max(0.0, 1 - (r - 1) / ROUNDS_TO_ROUND)
    width = 2 * radius + (outline.hips - 2 * radius) * left
    return width, max(0.3 * radius, (2 * pi * radius - 2 * width) / (pi - 2)) if pi * radius < width * pi / 2 else 2 * radius


def _set_apart(
    net: Mesh,
    pieces: Mapping[tuple[int, int], Sequence[Ring]],
    rings: Sequence[Ring],
    roots: Sequence[tuple[int, int]],
    outline: Outline,
    outlines: Mapping[int, Outline],
    at: list[tuple[float, float, float]],
    share: float,
) -> None:
    """Move the pieces that a round stands on to where that round passes, each with its first stitch to the middle."""
    first = rings[0]
    around = [stadium(*_section(outline, first.r, len(roots)), n / len(first.knots) + share) for n in range(len(first.knots))]
    for root in roots:
        own = set(pieces[root][-1].knots)
        over = [around[n] for n, knot in enumerate(first.knots) if own & set(net.below[knot])]
        x, y = (sum(point[i] for point in over) / max(1, len(over)) for i in (0, 1))
        turn = (pi if x > 0 else 0.0) - pi / 2 - 2 * pi * sum(ring.turn for ring in pieces[root])
        reach = outlines[root[0]].radius[-1]
        x += (reach * 0.3 if x > 0 else -reach * 0.3) if abs(x) < reach else 0.0
        for ring in pieces[root]:
            for knot in ring.knots:
                a, b, z = at[knot]
                at[knot] = x + a * cos(turn) - b * sin(turn), y + a * sin(turn) + b * cos(turn), z


def _hang(net: Mesh, at: list[tuple[float, float, float]], placed: set[int]) -> None:
    """Poles and chains: in the middle of what is fixed to them."""
    near: dict[int, list[int]] = {}
    for a, b, _, _, kind in net.springs:
        for knot, end in ((a, b), (b, a)):
            if knot not in placed and end in placed and kind != RING:
                near.setdefault(knot, []).append(end)
    for knot, ends in near.items():
        at[knot] = tuple(sum(at[end][i] for end in ends) / len(ends) for i in range(3))  # type: ignore[assignment]


def stadium(width: float, depth: float, share: float) -> tuple[float, float]:
    """A point on two half circles and two straights, `share` of the way round, from the middle of the back to the left."""
    straight = max(0.0, width - depth)
    radius = depth / 2
    bend = pi * radius
    way = (share % 1.0) * (2 * straight + 2 * bend)
    if way < straight / 2:
        return -way, radius
    way -= straight / 2
    if way < bend:
        turn = pi / 2 + way / radius
        return -straight / 2 + radius * cos(turn), radius * sin(turn)
    way -= bend
    if way < straight:
        return -straight / 2 + way, -radius
    way -= straight
    if way < bend:
        turn = way / radius - pi / 2
        return straight / 2 + radius * cos(turn), radius * sin(turn)
    return straight / 2 - (way - bend), radius
