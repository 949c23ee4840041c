"""How long figures take: `pytest tests/bench/bench_figures.py -s`. Processor time of this process, tables read and modules loaded.

Aims: all figures of the demo in 50 ms; parts at rest in space, on one core, in 0.5 s for 2,000 stitches and 2 s for 10,000.
"""

import statistics
import sys
import time
from math import pi, sin
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[2]
sys.path.insert(0, str(ROOT / "tests" / "figures"))
DEMO = ROOT / "examples" / "harbour-otter" / "otter.md"
RUNS = 9


def tell(line):
    print(f"\n  {line}", flush=True)


def test_all_figures_of_the_demo():
    from booklet import pipeline
    from booklet.figures.compute import compute
    from booklet.figures.inflate import inflate

    whole = pipeline.understand(DEMO.read_bytes(), DEMO.name)
    times = []
    for _ in range(RUNS):
        inflate.cache_clear()
        before = time.process_time()
        compute(whole.pattern, whole.graph)
        times.append(time.process_time() - before)
    spent = statistics.median(times)
    tell(f"all figures of the demo: {spent * 1000:.0f} ms (aim: 50 ms)")
    assert spent < 0.1


@pytest.mark.parametrize(("stitches", "radius", "aim"), [(2_000, 12.6, 0.5), (10_000, 28.2, 2.0)])
def test_rest_in_space(stitches, radius, aim):
    pytest.importorskip("scipy")
    from written import gauge, part_of

    from booklet.figures.mesh import mesh
    from booklet.figures.profile import inflated
    from booklet.figures.relax import Outline, relax

    count = round(pi * radius)
    totals = [max(4, round(2 * pi * radius * sin(pi * k / count))) for k in range(1, count)]
    graph = part_of(totals)
    profile = inflated(totals, [1.0] * len(totals), 1.0, shut=True)
    times, bits = [], set()
    for _ in range(3):
        before = time.process_time()
        net = mesh(graph.parts, 0, [gauge(1.0, 1.0)], shut=True)
        found = relax(net, {0: Outline(profile.radius, profile.height)}, 1.0)
        times.append(time.process_time() - before)
        bits.add(found.points.tobytes())
    spent = min(times)
    tell(f"{sum(totals)} stitches at rest: {spent:.2f} s (aim: {aim} s), {len(bits)} different results in 3 runs")
    assert abs(sum(totals) - stitches) < 0.01 * stitches + 20
    assert len(bits) == 1 and spent < 2 * aim
