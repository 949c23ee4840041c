"""Parts at rest in space, against cones, tubes, balls and hips whose form is known."""

from math import asin, degrees, pi

import pytest

np = pytest.importorskip("numpy")
pytest.importorskip("scipy")
from handmade import standard_ball  # noqa: E402
from written import gauge, graph_of, part_of, rounds  # noqa: E402

from booklet.figures.mesh import mesh  # noqa: E402
from booklet.figures.profile import inflated  # noqa: E402
from booklet.figures.relax import Outline, embeds, relax  # noqa: E402


def rest(totals, height=1.0, *, shut, pressure=0.03):
    graph = part_of(totals)
    net = mesh(graph.parts, 0, [gauge(1.0, height)], shut=shut)
    profile = inflated(list(totals), [height] * len(totals), 1.0, shut=shut)
    return net, relax(net, {0: Outline(profile.radius, profile.height)}, 1.0, pressure=pressure), profile


def radii(net, found):
    """Mean distance of each round's stitches from their middle, and their mean height."""
    out = []
    for ring in net.rings:
        points = found.points[list(ring.knots)]
        away = points - points.mean(axis=0)
        out.append((float(np.sqrt((away**2).sum(axis=1)).mean()), points.mean(axis=0)))
    return out


@pytest.mark.parametrize("each", [2, 3, 4, 5])
def test_cones(each):
    # Derived: a cone that grows by a a round has sin(half angle) = a w / (2 pi h).
    net, found, _ = rest([each * k for k in range(2, 26)] if each < 4 else [each * k for k in range(1, 26)], shut=False, pressure=0.0)
    middle = radii(net, found)
    (r0, low), (r1, high) = middle[6], middle[-2]
    slope = degrees(np.arctan2(r1 - r0, np.linalg.norm(high - low)))
    assert slope == pytest.approx(degrees(asin(each / (2 * pi))), abs=1.5)


def test_a_tube():
    net, found, _ = rest([36] * 20, shut=False, pressure=0.02)
    middle = radii(net, found)
    assert middle[10][0] == pytest.approx(5.78, rel=0.02)  # 5.73 and a little for the pressure
    pitch = np.linalg.norm(middle[14][1] - middle[6][1]) / 8
    assert pitch == pytest.approx(1.0, abs=0.03)


@pytest.mark.parametrize(
    ("top", "even", "height", "across", "tall"),
    # The project's own prototype of the same springs (another solver): 11.65 x 8.19 and 19.47 x 16.27.
    [(6, 6, 0.96, 11.65, 8.19), (10, 10, 1.0, 19.47, 16.27)],
)
def test_balls(top, even, height, across, tall):
    net, found, _ = rest(standard_ball(top, even), height, shut=True)
    assert 2 * max(r for r, _ in radii(net, found)) == pytest.approx(across, rel=0.01)
    assert float(np.ptp(found.points[:, 2])) == pytest.approx(tall, rel=0.04)
    assert embeds(found, 1.0)


def test_a_sphere_is_round():
    count = round(pi * 12.6)
    _, found, _ = rest([max(4, round(2 * pi * 12.6 * np.sin(pi * k / count))) for k in range(1, count)], shut=True)
    away = np.sqrt(((found.points - found.points.mean(axis=0)) ** 2).sum(axis=1))
    assert away.mean() / 12.6 == pytest.approx(1.015, abs=0.02)
    assert away.std() / 12.6 < 0.02


def test_a_saddle_needs_force():
    _, flat, _ = rest([6 * k for k in range(1, 13)], 0.955, shut=False, pressure=0.0)
    _, saddle, _ = rest([12 * k for k in range(1, 13)], 0.955, shut=False, pressure=0.0)
    assert flat.strain < 0.02 < saddle.strain


def legs(n, chain, even):
    body = 2 * (n + chain)
    leg = rounds([6 * k for k in range(1, n // 6 + 1)] + [n] * 5)
    first = n // 6 + 6
    start = f"ch {chain}, {n} sc on first leg, {chain} sc on ch, {n} sc on second leg, {chain} sc on other side of ch ({body})"
    if not chain:
        start = f"{n} sc on first leg, {n} sc on second leg ({body})"
    text = f"## Leg (make 2: second not fastened off)\nWorked in a spiral.\n{leg}\n## Body\nWorked in a spiral.\nRnd {first}: {start}\n"
    return graph_of(text + f"Rnds {first + 1}-{first + even}: sc around ({body})\n"), body


@pytest.mark.parametrize(("n", "chain"), [(18, 4), (18, 3), (24, 0), (12, 2), (24, 6)])
def test_hips_are_as_wide_as_the_formula_says(n, chain):
    # W0 = d0 + (P - pi d0) / 2 with d0 = 1.35 leg diameters; for 18, 18 and 4 chains 17.5 stitches, P / pi would be 14.0.
    graph, total = legs(n, chain, 14)
    deep = 1.35 * n / pi
    hips = deep + (total - pi * deep) / 2
    leg = inflated([graph.parts[0].total(r) for r in range(1, graph.parts[0].rounds + 1)], [0.96] * graph.parts[0].rounds, 1.0, shut=False)
    body = inflated([total] * 15, [0.96] * 15, 1.0, shut=False, ring=total)
    net = mesh(graph.parts, 1, [gauge(1.0, 0.96)] * 2, shut=False)
    outlines = {0: Outline(leg.radius, leg.height), 1: Outline(body.radius, body.height, hips=hips)}
    found = relax(net, outlines, 1.0)
    wide = max(float(np.ptp(found.points[list(ring.knots), 0])) for ring in net.rings if ring.part == 1)
    assert wide == pytest.approx(hips, rel=0.04)
    assert wide > 1.15 * total / pi
    assert found.strain < 0.06


def test_the_same_bits_every_time():
    totals = standard_ball(6, 6)
    one, other = (rest(totals, 0.96, shut=True)[1] for _ in range(2))
    assert one.points.tobytes() == other.points.tobytes()


@pytest.mark.parametrize("totals", [[1], [2], [4], [6], [1, 2, 4], [3, 3], [6, 12, 6]])
def test_small_parts_do_not_fall_over(totals):
    graph = graph_of(f"## P\nWorked in a spiral.\n{rounds(totals)}")
    for shut in (False, True):
        net = mesh(graph.parts, 0, [gauge(1.0, 0.96)], shut=shut)
        profile = inflated(list(totals), [0.96] * len(totals), 1.0, shut=shut)
        found = relax(net, {0: Outline(profile.radius, profile.height)}, 1.0)
        assert np.isfinite(found.points).all() and found.strain == found.strain


def test_the_demo_comes_to_rest(tmp_path):
    from pathlib import Path

    from booklet import pipeline

    path = Path(__file__).parents[2] / "examples" / "harbour-otter" / "otter.md"
    whole = pipeline.understand(path.read_bytes(), path.name)
    parts = {part.name: part for part in pipeline.relaxed(whole, whole.figures).parts}
    assert parts["Scarf"].relaxed is None
    body = parts["Body"]
    assert body.relaxed.width_mm == pytest.approx(body.width_mm, rel=0.05)
    assert body.relaxed.depth_mm < 0.9 * body.relaxed.width_mm
    assert all(part.relaxed.embeds for part in parts.values() if part.relaxed)
