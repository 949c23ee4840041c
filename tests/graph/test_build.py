"""Every place stands in the right places."""

from __future__ import annotations

from hypothesis import given, settings
from hypothesis import strategies as st

from booklet.graph.graph import FOREIGN, PartGraph
from tests.graph.written import built, pattern, section


def part(*lines: str) -> PartGraph:
    return built(pattern(section("Part", *lines))).graph.parts[0]


def totals(graph: PartGraph) -> list[int]:
    return [graph.total(r) for r in range(1, graph.rounds + 1)]


def parents(graph: PartGraph, r: int) -> list[list[int]]:
    below = graph.round_start[r - 1]
    return [[p - below for p in graph.parents_of(i)] for i in range(graph.round_start[r], graph.round_start[r + 1]) if graph.counts[i]]


def test_a_ring_and_increases() -> None:
    graph = part("Rnd 1: 6 sc in MR (6)", "Rnd 2: inc x 6 (12)", "Rnds 3-4: sc around (12)", "Rnd 5: (sc, dec) x 4 (8)")
    assert totals(graph) == [6, 12, 12, 12, 8]
    assert graph.kinds[graph.kind[0]] == "ring"
    assert parents(graph, 1) == [[0]] * 6
    assert parents(graph, 2) == [[i // 2] for i in range(12)]
    assert parents(graph, 3) == [[i] for i in range(12)]
    assert parents(graph, 5) == [[0], [1, 2], [3], [4, 5], [6], [7, 8], [9], [10, 11]]
    assert graph.worked == "spiral"
    assert graph.stitches() == 50
    assert list(graph.round_label) == ["", "1", "2", "3", "4", "5"]


def test_rows_turn() -> None:
    graph = part("Ch 4.", "Row 1: sc in 2nd ch from hook and in each ch across (3)", "Row 2: ch 1, turn, inc, 2 sc (4)")
    assert totals(graph) == [3, 4]
    assert graph.worked == "rows"
    assert [list(graph.parents_of(i)) for i in range(4, 7)] == [[2], [1], [0]]  # from the hook: the last chain is skipped
    second = [list(graph.parents_of(i)) for i in range(graph.round_start[2], len(graph.kind)) if graph.counts[i]]
    assert second == [[6], [6], [5], [4]]  # the last stitch of row 1 is the first place of row 2
    assert graph.round_way == ("start", "row", "row back")


def test_an_oval_goes_round_both_ends_of_its_chain() -> None:
    graph = part("Ch 7", "Rnd 1: from 2nd ch from hook: 5 sc, 3 sc in last ch; on the other side of the ch: 4 sc, 2 sc in last ch (14)")
    assert graph.worked == "oval spiral"
    assert [graph.parents_of(i)[0] for i in range(7, 21)] == [5, 4, 3, 2, 1, 0, 0, 0, 1, 2, 3, 4, 5, 5]


def test_joined_rounds_and_colours() -> None:
    graph = part("Rnd 1: 6 sc in MR, join with sl st to first sc (6)", "Rnd 2: with B, ch 1, 3 inc, change to A, 3 sc, join (9)")
    assert graph.worked == "joined"
    second = range(graph.round_start[2], graph.round_start[3])
    assert [graph.kinds[graph.kind[i]] for i in second] == ["chain"] + ["single_crochet"] * 9 + ["slip_stitch"]
    assert [graph.yarns[graph.yarn[i]] for i in second if graph.counts[i]] == ["B"] * 6 + ["A"] * 3
    assert list(graph.parents_of(second[-1])) == [second[1]]


def test_legs_become_foreign_parents() -> None:
    leg = section("Leg", "Rnd 1: 7 sc in MR (7)", make=2)
    body = section("Body", "Rnd 2: ch 2, 7 sc on first leg, 2 sc on ch, 7 sc on second leg, 2 sc on other side of ch (18)", "Rnd 3: sc around (18)")
    graph = built(pattern(leg, body)).graph.parts[1]
    assert totals(graph) == [18, 18]
    assert [place.instance for place in graph.foreign] == [1] * 7 + [2] * 7
    first = range(graph.round_start[1], graph.round_start[2])
    mine = [graph.parents_of(i)[0] for i in first]
    assert [bool(p & FOREIGN) for p in mine] == [True] * 7 + [False] * 2 + [True] * 7 + [False] * 2
    assert {p for p in mine if not p & FOREIGN} == {0, 1}  # both sides of the two chains


def test_too_large_is_refused_without_being_built() -> None:
    found = built(pattern(section("Part", "Rnd 1: 6 sc in MR (6)", "Rnd 2: 90000 sc in each st around (540000)")))
    assert [problem.code for problem in found.problems] == ["too-large"]
    assert totals(found.graph.parts[0]) == [6]


@settings(max_examples=200, deadline=None)
@given(st.integers(1, 12), st.lists(st.tuples(st.sampled_from(("inc", "dec", "even")), st.integers(1, 6)), max_size=8))
def test_graph_counts_are_the_sums_of_the_rounds(start: int, rounds: list[tuple[str, int]]) -> None:
    lines, have, expected = [f"Rnd 1: {start} sc in MR"], start, [start]
    for number, (shaping, n) in enumerate(rounds, 2):
        n = min(n, have // 2 if shaping == "dec" else have)
        have += {"inc": n, "dec": -n, "even": 0}[shaping]
        used = {"inc": n, "dec": 2 * n, "even": 0}[shaping]
        rest = expected[-1] - used
        words = [f"{n} {shaping}"] if shaping != "even" and n else []
        lines.append(f"Rnd {number}: " + ", ".join(words + ([f"{rest} sc"] if rest else [])))
        expected.append(have)
    graph = part(*lines)
    assert totals(graph) == expected
    for r in range(2, graph.rounds + 1):
        taken = [p for mine in parents(graph, r) for p in mine]
        assert sorted(set(taken)) == list(range(expected[r - 2]))  # every place is used
        assert taken == sorted(taken)  # in order of work
