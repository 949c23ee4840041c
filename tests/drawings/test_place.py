"""Every symbol on its parent, nothing overlapping, nothing outside: measured on hand-made parts of every form."""

import math
import time
from itertools import pairwise

import pytest

from booklet.drawings.laps import drawn_symbol, loop_symbol
from booklet.drawings.place import place
from booklet.tables.stitches import stitches
from booklet.tables.symbols import symbols
from tests.drawings import charts


def panels(maker):
    graph = maker.graph()
    return graph, place(graph, stitches(), symbols())


def small(*sizes):
    maker = charts.Maker("Small").ring()
    maker.round("s" * sizes[0], ring=True)
    for below, size in pairwise(sizes):
        if size >= below:
            more, rest = divmod(size, below)
            words = "".join({1: "s", 2: "i", 3: "w"}[more + ((k + 1) * rest // below > k * rest // below)] for k in range(below))
        else:
            pairs = below - size
            units = [("v" if (k + 1) * pairs // size > k * pairs // size else "s") for k in range(size)]
            words = "".join(units)
        maker.round(words)
    return maker


def joined_dc():
    maker = charts.Maker("Dc", "joined").ring().round("d" * 12, ring=True, way="joined", chains=3)
    return maker.round("D" * 12, way="joined", chains=3).round("dD" * 12, way="joined", chains=3)


def over_the_start():
    maker = charts.disc(24)
    below = maker.last
    return maker.round("s" * 22 + "v", below=below[1:] + below[:1])


def striped():
    maker = charts.disc(30)
    for k in range(16):
        maker.round("s" * 30, yarn="AB"[k // 2 % 2])
    for n in (30, 24, 18, 12):
        maker.round(charts.less(n))
    return maker


def triangle():
    maker = charts.Maker("Triangle", "rows").chain(4)
    maker.last = maker.last[:-1][::-1]
    for k in range(6):
        words = "s" * (k + 2) + "i" if k % 2 == 0 else "i" + "s" * (k + 2)
        maker.round(words, way="row" if k % 2 == 0 else "row back", chains=1 if k else 0)
    return maker


PARTS = {
    **{f"disc {n}": (lambda n=n: charts.disc(n)) for n in range(6, 73, 6)},
    "joined disc 72": lambda: charts.disc(72, joined=True),
    "ball of 16 rounds": charts.ball,
    "ball 60": lambda: charts.ball(60, 10),
    "oval of 7 rounds": charts.oval,
    "oval on a short chain": lambda: charts.oval(4, 5),
    "rows": charts.rows,
    "triangle": triangle,
    "body on two legs": charts.legs,
    "joined double crochet": joined_dc,
    "decrease over the start": over_the_start,
    "stripes": striped,
    "1 2 3 4 5 6": lambda: small(1, 2, 3, 4, 5, 6),
    "4 8 12": lambda: small(4, 8, 12),
    "3 3 3": lambda: small(3, 3, 3),
    "2 4 4": lambda: small(2, 4, 4),
    "horn": lambda: small(6, 6, 9, 9, 12, 12, 15, 15, 18, 18, 18),
    "doubling": lambda: small(6, 12, 24, 48),
    "3 into 1": lambda: small(6, 12, 18).round("3" * 6),
    "square of groups": charts.granny,
    "arches": charts.doily,
    "popcorn flower": charts.flower,
    "mesh": charts.mesh,
    "rows with arches": charts.lace_rows,
    "waist": lambda: small(6, 12, 18, 24, 24, 18, 12, 18, 24, 24, 18, 12, 6),
}


def of_the_ring(graph, panel):
    """Marks that are stitches of their round: no lifting chains, no joins, no chains of the start."""
    return [m for m in panel.marks if m.round and m.shape != "upright" and not (m.kind == "slip_stitch" and not graph.counts[m.stitch])]


def check_gaps(graph, panel):
    rounds = {}
    for mark in of_the_ring(graph, panel):
        rounds.setdefault(mark.round, []).append(mark)
    for marks in rounds.values():
        near = min((math.dist((a.x, a.y), (b.x, b.y)) for i, a in enumerate(marks) for b in marks[i + 1 :]), default=9.0)
        assert near >= 0.995, (panel.part, panel.form, marks[0].round, near)


@pytest.mark.parametrize("name", PARTS)
def test_no_two_symbols_of_a_round_are_closer_than_a_symbol(name):
    graph, found = panels(PARTS[name]())
    assert found
    for panel in found:
        check_gaps(graph, panel)


@pytest.mark.parametrize("name", PARTS)
def test_feet_stand_on_the_heads_of_their_parents(name):
    graph, found = panels(PARTS[name]())
    checked = 0
    for panel in found:
        heads = {mark.stitch: mark for mark in panel.marks}
        for mark in of_the_ring(graph, panel):
            parents = [p for p in graph.parents_of(mark.stitch) if p in heads and heads[p].round and heads[p].stands_for is None]
            if len(parents) != len(mark.feet):
                # Round a chain space: the foot stands on one of the points that its chains offer.
                if mark.feet and parents and len(mark.feet) == 1:
                    assert min(math.dist(mark.feet[0], head) for p in parents for head in heads[p].heads) <= 0.05
                    checked += 1
                continue
            for parent, foot in zip(parents, mark.feet, strict=True):
                wide = min(math.dist(head, foot) for head in heads[parent].heads)
                if panel.form == "strip" and wide > 1:
                    continue  # over the cut of a tube
                assert wide <= 0.05
                checked += 1
    if graph.rounds > 1 and name not in ("body on two legs", "rows"):
        assert checked


def up_of(panel, mark):
    if panel.form in ("rows", "strip"):
        return 0.0, -1.0
    if panel.part == "Square" and mark.round > 1:  # upright on its side; the first round grows out of a ring
        x, y = (mark.x, 0.0) if abs(mark.x) > abs(mark.y) else (0.0, mark.y)
        return x / abs(x or y), y / abs(x or y)
    length = math.hypot(mark.x, mark.y)
    sign = -1 if panel.form == "closing" else 1
    return sign * mark.x / length, sign * mark.y / length


def fans(graph, panel):
    """Stitches of groups of three and more that share their parents: they spread round their middle, which is what is checked."""
    groups = {}
    for mark in of_the_ring(graph, panel):
        if mark.feet and mark.shape != "chain":
            kinds = {graph.kinds[graph.kind[p]] for p in graph.parents_of(mark.stitch) if p < len(graph.kind)}
            key = (mark.round, tuple(graph.parents_of(mark.stitch))) if kinds == {"chain"} else (mark.round, mark.feet)
            groups.setdefault(key, []).append(mark)
    return {mark.stitch: group for group in groups.values() if len(group) > 2 for mark in group}


def check_slants(graph, panel):
    aside, slants = [], []
    fanned = fans(graph, panel)
    for group in {id(group): group for group in fanned.values()}.values():
        x, y = (sum(mark.feet[0][k] for mark in group) / len(group) for k in (0, 1))
        middle = [sum(mark[k] for mark in group) / len(group) for k in (3, 4)]
        # A group in a corner of a square spreads round the diagonal.
        corner = panel.part == "Square" and abs(abs(middle[0]) - abs(middle[1])) < 0.25 * abs(middle[0])
        up = (middle[0] / math.hypot(*middle), middle[1] / math.hypot(*middle)) if corner else up_of(panel, group[len(group) // 2])
        assert abs((middle[0] - x) * up[1] - (middle[1] - y) * up[0]) < 1.2, (panel.part, group[0].round)
    for mark in of_the_ring(graph, panel):
        if not mark.feet or mark.shape == "chain" or mark.stitch in fanned:
            continue
        x, y = (sum(p[k] for p in mark.feet) / len(mark.feet) for k in (0, 1))
        up = up_of(panel, mark)
        across = (mark.x - x) * up[1] - (mark.y - y) * up[0]
        along = (mark.x - x) * up[0] + (mark.y - y) * up[1]
        aside.append(across)
        if mark.kind != "slip_stitch":  # too low to have a slant: its shift counts below
            slants.append(math.degrees(math.atan2(abs(across), along)))
    if aside:
        assert max(abs(a) for a in aside) < 1.2
        assert math.sqrt(sum(a * a for a in aside) / len(aside)) < 0.4, (panel.part, panel.form, panel.rounds)
        assert max(slants, default=0) < 40, (panel.part, panel.form, panel.rounds)


@pytest.mark.parametrize("name", [n for n in PARTS if "oval" not in n])
def test_symbols_stand_over_their_parents(name):
    graph, found = panels(PARTS[name]())
    for panel in found:
        check_slants(graph, panel)


@pytest.mark.parametrize("name", PARTS)
def test_nothing_lies_outside_the_frame(name):
    _, found = panels(PARTS[name]())
    for panel in found:
        left, top, right, bottom = panel.frame
        for mark in panel.marks:
            for x, y in (*mark.heads, *mark.feet):
                assert left <= x <= right and top <= y <= bottom
        for label in panel.labels:
            half = 0.24 * len(label.text)
            assert left <= label.x - half and label.x + half <= right
            assert top <= label.y - 0.35 and label.y + 0.35 <= bottom


@pytest.mark.parametrize("name", PARTS)
def test_every_counted_stitch_is_drawn_once_or_stood_for(name):
    graph, found = panels(PARTS[name]())
    drawn = {}
    for panel in found:
        for mark in panel.marks:
            if mark.round:
                for r in range(mark.round, (mark.stands_for or (mark.round, mark.round))[1] + 1):
                    drawn.setdefault(r, []).append(mark)
    for r in range(1, graph.rounds + 1):
        stitches_drawn = [m for m in drawn[r] if graph.counts[m.stitch]]
        assert len(stitches_drawn) == graph.total(r)
        assert len({m.stitch for m in stitches_drawn}) == len(stitches_drawn)


def check_labels(panel):
    boxes = [box(label) for label in panel.labels if label.role != "chains"]
    for i, a in enumerate(boxes):
        for b in boxes[i + 1 :]:
            assert a[2] <= b[0] or b[2] <= a[0] or a[3] <= b[1] or b[3] <= a[1], (panel.part, panel.form, panel.rounds)
    for mark in panel.marks:
        if mark.shape == "chain" or len(mark.feet) != 1:
            continue
        x, y = (mark.x + mark.feet[0][0]) / 2, (mark.y + mark.feet[0][1]) / 2
        for left, top, right, bottom in boxes:
            near = math.hypot(max(left - x, 0, x - right), max(top - y, 0, y - bottom))
            assert near > 0.1, (panel.part, panel.form, mark.round, mark.kind)


@pytest.mark.parametrize("name", PARTS)
def test_round_numbers_are_clear_of_symbols_and_of_each_other(name):
    _, found = panels(PARTS[name]())
    for panel in found:
        check_labels(panel)


def box(label):
    half = 0.21 * len(label.text)
    return label.x - half, label.y - 0.3, label.x + half, label.y + 0.3


def test_a_ball_is_a_disc_and_a_closing_end():
    _, found = panels(charts.ball())
    assert [(p.form, p.rounds) for p in found] == [("round", (1, 11)), ("closing", (12, 16))]
    assert [label.text for label in found[0].labels] == ["1", "2", "3", "4", "5", "6", "7–11"]


def test_a_collapsed_range_says_what_it_stands_for():
    _, found = panels(charts.ball())
    assert {m.stands_for for m in found[0].marks if m.round == 7} == {(7, 11)}
    assert not [m for m in found[0].marks if m.round in (8, 9, 10, 11)]


def test_a_change_of_yarn_or_loop_is_never_hidden_in_a_range():
    maker = charts.disc(18).round("s" * 18).round("s" * 18, loop=1).round("s" * 18).round("s" * 18, yarn="B")
    _, found = panels(maker)
    assert [label.text for panel in found for label in panel.labels] == ["1", "2", "3", "4", "5", "6", "7 B"]


def test_more_than_four_even_rounds_are_unrolled():
    _, found = panels(striped())
    assert [p.form for p in found] == ["round", "strip", "closing"]


def test_a_closing_end_runs_on_from_right_to_left():
    """Its rounds are seen from the closing end with the growth inwards: at the bottom, work runs to the left as everywhere."""
    _, found = panels(charts.ball())
    first = [m for m in found[1].marks if m.round == 12][:3]
    assert first[0].y > 0 and first[0].x > first[1].x > first[2].x
    assert all(math.hypot(*m.heads[0]) < math.hypot(*m.feet[0]) for m in found[1].marks)


def test_oval_counts_round_a_chain_of_seven():
    """14, 20, 26 … 50: three increases at either end; published oval tutorials (2f + 2 + 6(k - 1), f = chains - 1)."""
    _, (panel,) = panels(charts.oval())
    assert [sum(m.round == r for m in panel.marks) for r in range(1, 8)] == [14, 20, 26, 32, 38, 44, 50]
    assert sum(m.round == 0 for m in panel.marks) == 6


def test_rows_alternate_and_their_numbers_stand_where_they_begin():
    _, (panel,) = panels(triangle())
    first, second = ([m for m in panel.marks if m.round == r and m.shape != "upright"] for r in (1, 2))
    assert first[0].x > first[-1].x and second[0].x < second[-1].x
    numbers = {label.text: label.x for label in panel.labels}
    assert numbers["1"] > max(m.x for m in first) and numbers["2"] < min(m.x for m in second)


def test_joined_rounds_have_a_straight_column_of_lifting_chains_under_dots():
    _, (panel,) = panels(charts.disc(36, joined=True))
    chains = [m for m in panel.marks if m.shape == "upright"]
    dots = [m for m in panel.marks if m.kind == "slip_stitch"]
    assert len(chains) == len(dots) == 6
    for chain, dot in zip(chains, dots, strict=True):
        assert math.dist((chain.x, chain.y), dot.feet[0]) < 0.05
    angles = [math.degrees(math.atan2(m.x, -m.y)) for m in chains[2:]]
    assert max(angles) - min(angles) < 8


def test_a_body_on_two_legs_shows_its_bridges():
    _, found = panels(charts.legs())
    chains = [m for m in found[0].marks if m.shape == "chain"]
    assert len(chains) == 6  # three chains, drawn on both sides
    assert found[0].form == "round"


def test_the_same_part_is_always_laid_out_alike():
    assert panels(charts.ball())[1] == panels(charts.ball())[1]


def test_sixty_rounds_of_sixty_stitches_take_less_than_a_tenth_of_a_second():
    """A tenth of a second is 2.5 million additions on the machine on which it was measured; a busy machine is slow at both."""
    maker = charts.disc(60)
    for k in range(50):
        maker.round(("s" * 28 + "iv") * 2 if k % 2 == 0 else ("s" * 28 + "vi") * 2)
    graph = maker.graph()

    def additions():
        total = 0
        for k in range(1_000_000):
            total += k

    assert any(fastest(lambda: place(graph, stitches(), symbols())) < 2.5 * fastest(additions) for _ in range(4))


def fastest(work):
    times = []
    for _ in range(7):
        begin = time.process_time()
        work()
        times.append(time.process_time() - begin)
    return min(times)


LACE = ("square of groups", "arches", "popcorn flower", "mesh")


@pytest.mark.parametrize("name", ["square of groups", "arches", "popcorn flower", "rows with arches"])
def test_stitches_round_a_chain_stand_with_their_feet_apart(name):
    """Published reading rule of crochet charts: touching feet mean one stitch, feet apart mean round the chain."""
    graph, found = panels(PARTS[name]())
    groups = {}
    for mark in (mark for panel in found for mark in panel.marks):
        parents = tuple(graph.parents_of(mark.stitch))
        if parents and all(graph.kinds[graph.kind[p]] == "chain" for p in parents):
            groups.setdefault((mark.round, parents), []).append(mark)
    checked = 0
    for marks in groups.values():
        feet = [mark.feet[0] for mark in marks if mark.feet]
        for i, a in enumerate(feet):
            for b in feet[i + 1 :]:
                assert math.dist(a, b) > 0.2
                checked += 1
    assert checked


def test_arches_of_three_chains_and_more_bow_outwards():
    graph, (panel,) = panels(charts.doily())
    second = [m for m in panel.marks if m.round == 2 and m.shape != "upright" and graph.counts[m.stitch] + (m.shape == "chain")]
    stitches_at = [math.hypot(m.x, m.y) for m in second if m.shape != "chain"]
    chains = [m for m in second if m.shape == "chain"]
    assert len(chains) == 30
    middles = [math.hypot(chains[5 * k + 2].x, chains[5 * k + 2].y) for k in range(6)]
    assert min(middles) > max(stitches_at) + 0.5


def test_two_chains_lie_flat():
    _, (panel,) = panels(charts.mesh())
    last = [m for m in panel.marks if m.round == 4 and m.shape == "chain"]
    radii = [math.hypot(m.x, m.y) for m in last]
    assert max(radii) - min(radii) < 0.05


def test_groups_that_turn_four_corners_are_drawn_as_a_square():
    """Published squares of groups: three double crochets in every space, twice three with two chains in the corners."""
    _, (panel,) = panels(charts.granny(5))
    for number in range(1, 6):
        heads = [m for m in panel.marks if m.round == number and m.shape == "" and m.kind == "double_crochet"]
        half = max(max(abs(m.x), abs(m.y)) for m in heads)
        # Every stitch ends on one of the four sides, and every side has as many as the others.
        sides = [[m for m in heads if abs(value(m) - half) < 0.05] for value in (
            lambda m: m.x, lambda m: -m.x, lambda m: m.y, lambda m: -m.y)]  # fmt: skip
        assert [len(side) for side in sides] == [3 * number] * 4
    chains = [m for m in panel.marks if m.round == 5 and m.shape == "chain" and abs(abs(m.x) - abs(m.y)) < 1.2]
    assert len(chains) == 8  # two in each corner


def test_other_joined_rounds_stay_round():
    for name in ("arches", "popcorn flower", "mesh", "joined disc 72"):
        _, (panel,) = panels(PARTS[name]())
        radii = [math.hypot(m.x, m.y) for m in panel.marks if m.round == 1 and m.shape == "" and m.feet]
        assert max(radii) - min(radii) < 0.1


def turned(point, angle):
    cos, sin = math.cos(angle), math.sin(angle)
    return point[0] * cos - point[1] * sin, point[0] * sin + point[1] * cos


@pytest.mark.parametrize(("name", "sectors"), [("disc 48", 6), ("mesh", 12), ("joined double crochet", 12), ("popcorn flower", 6)])
def test_a_symmetric_pattern_looks_symmetric(name, sectors):
    """Away from the start every sector is the one before, turned by its share of the round: within half a symbol."""
    graph, (panel,) = panels(PARTS[name]())
    rounds = {}
    for mark in of_the_ring(graph, panel):
        rounds.setdefault(mark.round, []).append(mark)
    for marks in rounds.values():
        each = len(marks) // sectors
        if len(marks) % sectors or not each:
            continue
        radii = [math.hypot(m.x, m.y) for m in marks]
        # A sector of the middle of the round against the next one.
        for i in range(each * (sectors // 2), each * (sectors // 2 + 1)):
            a, b = (math.atan2(marks[k].y, marks[k].x) for k in (i - each, i))
            step = (a - b) % (2 * math.pi)
            assert abs(step - 2 * math.pi / sectors) * radii[i] < 1.0, (name, marks[0].round)


def test_the_first_stitch_of_every_spiral_round_is_pointed_at():
    _, found = panels(charts.ball())
    for panel in found:
        wedges = [guide.ops for guide in panel.guides if guide.role == "start"]
        firsts = [min((m for m in panel.marks if m.round == r), key=lambda m: m.stitch) for r in sorted({m.round for m in panel.marks})]
        assert len(wedges) == len(firsts)
        for ops, first in zip(wedges, firsts, strict=True):
            tip = ops[0][1]
            middle = ((first.x + first.feet[0][0]) / 2, (first.y + first.feet[0][1]) / 2)
            assert math.dist(tip, middle) < 1.8


def test_stitches_of_wrong_side_rows_are_drawn_as_they_look_on_the_right_side():
    """Charts show the right side: a front post that is worked on the wrong side lies at the back (JIS L 0201; lessons on rows)."""
    maker = charts.Maker("Posts", "rows").chain(4)
    maker.last = maker.last[::-1]
    maker.round("ssss", way="row")
    maker.round("ssss", way="row back", chains=1, loop=1)
    _, (panel,) = panels(maker)
    assert {m.turned for m in panel.marks if m.round == 1} == {False}
    back = [m for m in panel.marks if m.round == 2 and m.kind == "single_crochet"]
    assert {m.turned for m in back} == {True} and {m.loop for m in back} == {"front"}
    assert loop_symbol(back[0], symbols()).name == "back_loop"
    post = back[0]._replace(kind="front_post_double", loop="")
    assert drawn_symbol(post, stitches(), symbols()).name == "back_post_double"
    assert drawn_symbol(post._replace(turned=False), stitches(), symbols()).name == "front_post_double"
