"""A wished form and size with a gauge in, round totals and instruction lines that give it out; words come from notation.write.

The inflated profile of the counts is compared with the wish, and the counts are corrected until they agree: what is printed is what
`figures` computes for the same lines.
"""

from __future__ import annotations

from collections.abc import Callable
from math import gcd, hypot, pi, sin, sqrt
from typing import NamedTuple

from booklet.diagnostics.span import START
from booklet.figures.figures import GaugeUsed
from booklet.figures.parts import FEW, THICKNESS
from booklet.figures.profile import inflated
from booklet.notation.tree import NEXT, Act, Group, Instruction, Node, Target, Work

KINDS = ("ball", "egg", "cone", "tube", "capsule", "disc", "oval")
SC = "single_crochet"
RING = 6  # stitches of a first round; trade custom
LEAST = 4  # stitches of any round
MOST = (300, 3000)  # rounds, and stitches of a round, of a wish that is fulfilled
TRIES = 12
EGG = 0.30  # how much an egg's lower half is fuller than its upper one; chosen by eye
Curve = Callable[[float], float]  # share of the way along the side, 0 to 1 -> radius in parts of the largest


class Wish(NamedTuple):
    """What is wished for: outside sizes in mm."""

    kind: str  # one of KINDS
    width: float
    height: float  # of an egg, cone, tube, capsule; the length of an oval; 0 for ball and disc


class Found(NamedTuple):
    """The answer to a wish."""

    totals: tuple[int, ...]
    chain: int  # starting chain of an oval or a tube, else 0
    closed: bool
    width: float  # outside, mm, of what these rounds give
    height: float  # of an oval its length, of a disc 0


class Unfulfilled(ValueError):
    """A wish that cannot be worked at this gauge; the argument is a word: "small", "large", "low" or "kind"."""


def counts(wish: Wish, gauge: GaugeUsed) -> Found:
    """Round totals for a wish. Raises Unfulfilled."""
    if wish.kind not in KINDS:
        raise Unfulfilled("kind")
    thick = THICKNESS * gauge.stitch_mm
    width = wish.width - (0.0 if wish.kind in ("disc", "oval") else thick)
    if width * pi < LEAST * gauge.stitch_mm:
        raise Unfulfilled("small")
    if width * pi / gauge.stitch_mm > MOST[1] or max(wish.width, wish.height) / gauge.round_mm > MOST[0]:
        raise Unfulfilled("large")
    if wish.kind == "disc":
        return _disc(wish, gauge)
    if wish.kind == "oval":
        return _oval(wish, gauge)
    if wish.kind == "tube":
        return _tube(wish, gauge, thick)
    return _solid(wish, gauge, thick)


def _disc(wish: Wish, gauge: GaugeUsed) -> Found:
    # Six a round where the fabric takes it, else what lies flat.
    each = RING if 0.9 <= RING * gauge.stitch_mm / (2 * pi * gauge.round_mm) <= 1.12 else round(2 * pi * gauge.round_mm / gauge.stitch_mm)
    about = round(wish.width / (2 * gauge.round_mm))
    ways = [tuple(each * k for k in range(1, rounds + 1)) for rounds in range(max(1, about - 1), about + 2)]
    best = min(ways, key=lambda totals: abs(_flat(totals, 0, gauge) - wish.width))
    return Found(best, 0, False, _flat(best, 0, gauge), 0.0)


def _flat(totals: tuple[int, ...], straight: float, gauge: GaugeUsed) -> float:
    """Way and circumference are equally stiff: see profile.disc."""
    return len(totals) * gauge.round_mm + (totals[-1] - 2 * straight) * gauge.stitch_mm / (2 * pi)


def _oval(wish: Wish, gauge: GaugeUsed) -> Found:
    if wish.height < wish.width:
        raise Unfulfilled("low")
    best: tuple[float, Found] | None = None
    for rounds in range(1, round(wish.width / gauge.round_mm) + 2):
        across = _flat(tuple(RING * k for k in range(1, rounds + 1)), 0, gauge)
        between = max(1, round((wish.height - across) / gauge.stitch_mm))
        totals = tuple(RING * k + 2 * between for k in range(1, rounds + 1))
        found = Found(totals, between + 3, False, across, across + between * gauge.stitch_mm)
        miss = abs(found.width - wish.width) + abs(found.height - wish.height) / 10
        if best is None or miss < best[0]:
            best = miss, found
    if best is None:
        raise Unfulfilled("small")
    return best[1]


def _tube(wish: Wish, gauge: GaugeUsed, thick: float) -> Found:
    if wish.height <= 0:
        raise Unfulfilled("low")
    best: tuple[float, Found] | None = None
    around = round((wish.width - thick) * pi / gauge.stitch_mm)
    tall = round(wish.height / gauge.round_mm)
    for n in range(max(LEAST, around - 2), around + 3):
        for rounds in range(max(1, tall - 2), tall + 3):
            profile = inflated([n] * rounds, [gauge.round_mm] * rounds, gauge.stitch_mm, shut=False, ring=n)
            found = Found((n,) * rounds, n, False, 2 * max(profile.radius) + thick, profile.height[-1])
            miss = abs(found.width / wish.width - 1) + abs(found.height / wish.height - 1)
            if best is None or miss < best[0]:
                best = miss, found
    assert best is not None
    return best[1]


def _solid(wish: Wish, gauge: GaugeUsed, thick: float) -> Found:
    """Rounds from the form's own curve; its width and its way along the side are corrected until the inflated form has the sizes."""
    height = wish.height or wish.width
    if wish.kind == "capsule" and height < wish.width:
        raise Unfulfilled("low")
    open_end = wish.kind == "cone"
    inner = (wish.width - thick, height - (thick / 2 if open_end else thick))
    if inner[1] < 2 * gauge.round_mm:
        raise Unfulfilled("low")
    curve, way = _form(wish.kind, *inner)
    wide, long = inner[0], way
    best: tuple[float, Found] | None = None
    seen: set[tuple[int, ...]] = set()
    for _ in range(TRIES):
        nearest = max(2, round(long / gauge.round_mm))
        for rounds in {nearest, max(2, int(long / gauge.round_mm)), int(long / gauge.round_mm) + 1}:
            totals = _rounds(curve, rounds, wide * pi / gauge.stitch_mm, open_end)
            if totals in seen or len(totals) > MOST[0]:
                continue
            seen.add(totals)
            found = _measured(totals, gauge, thick, open_end)
            miss = abs(found.width / wish.width - 1) + abs(found.height / height - 1)
            if best is None or miss < best[0]:
                best = miss, found
        if best is None:
            raise Unfulfilled("small")
        now = _measured(_rounds(curve, nearest, wide * pi / gauge.stitch_mm, open_end), gauge, thick, open_end)
        wide *= 1 + 0.8 * (inner[0] / max(now.width - thick, 1e-6) - 1)
        long += 0.8 * (height - now.height)
        long = max(long, 2 * gauge.round_mm)
    return best[1]


def _measured(totals: tuple[int, ...], gauge: GaugeUsed, thick: float, open_end: bool) -> Found:
    profile = inflated(list(totals), [gauge.round_mm] * len(totals), gauge.stitch_mm, shut=not open_end)
    return Found(
        totals, 0, not open_end, 2 * max(profile.radius) + thick, profile.height[-1] + thick * (0.5 if open_end else 1.0)
    )


def _form(kind: str, width: float, height: float) -> tuple[Curve, float]:
    """The side of a form: radius by the share of the way along it, and the length of that way in mm."""
    if kind == "cone":
        return (lambda s: s), hypot(width / 2, height)
    if kind == "capsule":
        bend, straight = pi * width / 4, height - width
        whole = 2 * bend + straight
        end = bend / whole

        def capsule(s: float) -> float:
            s = min(s, 1 - s)
            return sin(pi / 2 * s / end) if s < end else 1.0

        return capsule, whole
    return _curved(width, height, EGG if kind == "egg" else 0.0)


def _curved(width: float, height: float, fuller: float) -> tuple[Curve, float]:
    """An ellipse, or an egg: the ellipse's radius times 1 - fuller · (share of the height), so that the first end is the blunt one."""
    steps = 400
    heights = [height * (1 - _cosine(i / steps)) / 2 for i in range(steps + 1)]
    radii = [sqrt(max(0.0, 1 - (2 * z / height - 1) ** 2)) * (1 - fuller * z / height) for z in heights]
    most = max(radii)
    radii = [r / most for r in radii]
    ways = [0.0]
    for i in range(steps):
        ways.append(ways[-1] + hypot((radii[i + 1] - radii[i]) * width / 2, heights[i + 1] - heights[i]))
    whole = ways[-1]

    def radius(share: float) -> float:
        at = min(max(share, 0.0), 1.0) * whole
        low, high = 0, steps
        while high - low > 1:
            middle = (low + high) // 2
            low, high = (middle, high) if ways[middle] <= at else (low, middle)
        span = ways[high] - ways[low] or 1.0
        return radii[low] + (radii[high] - radii[low]) * (at - ways[low]) / span

    return radius, whole


def _cosine(share: float) -> float:
    return sin(pi / 2 - pi * share)


def _rounds(curve: Curve, rounds: int, widest: float, open_end: bool) -> tuple[int, ...]:
    """Totals along a curve: at least half and at most twice of the round below, at least four; a closed form ends on a few."""
    last = rounds if open_end else rounds - 1
    wanted = [max(LEAST, round(widest * curve(k / rounds))) for k in range(1, last + 1)]
    totals: list[int] = []
    for k, n in enumerate(wanted):
        totals.append(min(n, RING) if k == 0 and n < 2 * RING else min(n, 2 * totals[-1]) if k else min(n, 2 * RING))
    if not open_end:
        # The way back: nothing closes faster than by halves, and the last round is drawn together.
        totals[-1] = min(totals[-1], RING if totals[-1] < 2 * RING else FEW)
        for k in range(len(totals) - 2, -1, -1):
            totals[k] = min(totals[k], 2 * totals[k + 1])
    return tuple(totals)


# ---- instruction lines


def lines(found: Found) -> tuple[Instruction, ...]:
    """The rounds as instructions: increases and decreases spread evenly, and shifted by half a stretch in every second such round."""
    made: list[Instruction] = []
    if found.chain and len(set(found.totals)) > 1:
        made += _oval_start(found)
    elif found.chain:
        made += _ring_of_chains(found)
    k = 1 if made else 0
    shaped = 0
    while k < len(found.totals):
        before, now = found.totals[k - 1] if k else 0, found.totals[k]
        last = k
        if k and now == before:
            while last + 1 < len(found.totals) and found.totals[last + 1] == now:
                last += 1
        if k == 0:
            items: tuple[Node, ...] = (Work(SC, now, START, Target("ring")),)
        elif now == before:
            items = (Work(SC, 1, START, Target("around")),)
        elif found.chain:
            items = _oval_round(found, k)
        else:
            shaped += 1
            items = spread(before, now, shifted=shaped % 2 == 0)
        made.append(_line(items, tuple(range(k + 1, last + 2)), now))
        k = last + 1
    return tuple(made)


def _line(items: tuple[Node, ...], numbers: tuple[int, ...], total: int | None, kind: str = "round") -> Instruction:
    return Instruction(kind, "", numbers, items, total, None, START, START)


def spread(before: int, now: int, *, shifted: bool) -> tuple[Node, ...]:
    """From one total to the next by single increases or decreases, at even distances."""
    steps = abs(now - before)
    turn = "increase" if now > before else "decrease"
    uses = 1 if now > before else 2
    plain = before - uses * steps
    if steps == 0:
        return (Work(SC, 1, START, Target("around")),)
    # Stretches before each increase: whole numbers that differ by one at most.
    stretches = [plain * (i + 1) // steps - plain * i // steps for i in range(steps)]
    lead = stretches[0] // 2 if shifted and steps > 1 else 0
    units = [(stretch, turn) for stretch in stretches]
    if not lead:
        return _grouped(units)
    first = (stretches[0] - lead, turn)
    return (*_unit(first), *_grouped(units[1:]), *_plain(lead))


def _plain(n: int) -> tuple[Node, ...]:
    return (Work(SC, n, START),) if n else ()


def _unit(unit: tuple[int, str]) -> tuple[Node, ...]:
    return (*_plain(unit[0]), Work(unit[1], 1, START))


def _grouped(units: list[tuple[int, str]]) -> tuple[Node, ...]:
    """Units as repeats: the smallest period that fits all, else runs of equal ones."""
    number = len(units)
    for period in sorted({gcd(number, p) for p in range(1, number)} | {1}):
        if period < number and number % period == 0 and period <= 3 and all(units[i] == units[i % period] for i in range(number)):
            items = tuple(node for unit in units[:period] for node in _unit(unit))
            if period == 1 and units[0][0] == 0:
                return (Work(units[0][1], number, START, NEXT),)
            return (Group(items, number // period, START),)
    made: list[Node] = []
    at = 0
    while at < number:
        end = at
        while end < number and units[end] == units[at]:
            end += 1
        if end - at > 1:
            made += [Group(_unit(units[at]), end - at, START)] if units[at][0] else [Work(units[at][1], end - at, START)]
        else:
            made += _unit(units[at])
        at = end
    return tuple(made)


def _oval_start(found: Found) -> list[Instruction]:
    """A chain, and a first round on both of its sides: three stitches into each end."""
    side = found.chain - 3
    items: tuple[Node, ...] = (
        Act("chain_from", START, "", 2),
        Work(SC, side + 1, START),
        Work(SC, 3, START, Target("chain_end", 1), 3),
        Act("other_side", START),
        *((Work(SC, side, START),) if side else ()),
        Work(SC, 2, START, Target("chain_end", 1), 2),
    )
    chain = _line((Work("chain", found.chain, START),), (), None, "start")
    return [chain, _line(items, (1,), found.totals[0])]


def _oval_round(found: Found, k: int) -> tuple[Node, ...]:
    """Three increases at each end, each after one stitch more than in the round before."""
    side, plain = found.chain - 3, k - 1
    unit = (*_plain(plain), Work("increase", 1, START))
    ends: tuple[Node, ...] = (Group(unit, 3, START),) if plain else (Work("increase", 3, START),)
    last: tuple[Node, ...] = (Group(unit, 2, START),) if plain else (Work("increase", 2, START),)
    return (*unit, *_plain(side), *ends, *_plain(side), *last)


def _ring_of_chains(found: Found) -> list[Instruction]:
    """A tube begins with a chain that is closed to a ring."""
    n = found.totals[0]
    chain = _line((Work("chain", n, START), Act("join", START)), (), None, "start")
    return [chain, _line((Work(SC, n, START),), (1,), n)]
