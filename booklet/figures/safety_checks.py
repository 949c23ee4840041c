"""A rule that has fired and its parts in, what a maker can do about it out: pulls and twists, the choice that avoids it.

The values are those of the tests in the markets' rules. Trying them at home is no test; the sentences say so.
"""

from __future__ import annotations

from booklet.figures.components import PLACING, said_keys
from booklet.figures.figures import Component
from booklet.figures.safety_facts import Piece, months_of
from booklet.figures.steps import bare
from booklet.graph.graph import Graph
from booklet.pattern.model import Choice, Pattern
from booklet.tables.markets import Limit, Market
from booklet.tables.rules import Rule

Sentence = tuple[str, tuple[tuple[str, str], ...]]  # id of notes.tsv, its values
SECONDS = 10  # of every pull and twist, where the market's table does not say otherwise
N_PER_LBF = 4.4482216  # exactly 4.4482216152605 N, NIST SP 811 appendix B.8
NM_PER_INLBF = 0.1129848  # the same page
PULLED = ("small-parts", "small-parts-under-three", "counts-as-under-three", "may-count-as-under-three", "small-parts-at-three")
AVOIDED = (*PULLED[1:], "pompom-in-toy", "magnet-in-toy", "battery-in-toy", "sharp-in-toy")


def more(
    rule: Rule,
    one: Market | None,
    parts: tuple[Component, ...],
    piece: Piece,
    brought: dict[str, Choice],
    pattern: Pattern,
    graph: Graph,
) -> tuple[Sentence, ...]:
    """Sentences below a caution: the way out where the pattern offers one, then what fixed parts have to hold."""
    found: list[Sentence] = [("for-the-kit", ())] if rule.about == "pack" and rule.wording else []
    if rule.about == "part" and rule.code in AVOIDED:
        ways = _ways_out(parts, brought, pattern, graph)
        found += [("way-out", (("choice", f"{key}: {value}"), ("names", name))) for name, (key, value) in ways]
    fixed = tuple(part for part in parts if part.attached != "loose" and not part.made and part.material == "hard")
    if one is not None and rule.code in PULLED and rule.about == "part" and fixed:
        # A soft toy that may be judged as one for under-threes is pulled with their values too.
        months = 18 if rule.code == "may-count-as-under-three" else _months(rule, one, piece)
        found += _pulls(one, months, fixed)
    return tuple(found)


def _months(rule: Rule, one: Market, piece: Piece) -> int:
    return months_of(piece, one) if piece.toy_age is not None or rule.code == "counts-as-under-three" else 36


def _pulls(one: Market, months: int, parts: tuple[Component, ...]) -> list[Sentence]:
    pull, small, edge = (one.limit(name, months) for name in ("pull", "pull.small", "pull.small-size"))
    if pull is None:
        return []
    torque, seconds = one.limit("torque", months), one.limit("pull.seconds", months)
    groups: dict[Limit, list[str]] = {}
    for part in parts:
        # The largest size that can be got hold of: of an eye on a post, its cap.
        size = next((value for name, value in part.dimensions_mm if name == "diameter"), 0.0)
        size = size if part.shape == "mushroom" and size else max((value for _, value in part.dimensions_mm), default=0.0)
        tiny = small is not None and edge is not None and size > 0 and edge.kept(size)
        groups.setdefault(small if tiny and small is not None else pull, []).append(part.name)
    found: list[Sentence] = []
    for limit, names in groups.items():
        held = f"{seconds.value:g}" if seconds is not None else str(SECONDS)
        values = (("names", ", ".join(dict.fromkeys(names))), ("pull", _force(limit)), ("seconds", held))
        if torque is None:
            found.append(("pull", values))
        else:
            found.append(("twist-pull", (*values, ("torque", _torque(torque)))))
    return found


def _force(limit: Limit) -> str:
    if limit.unit == "lbf":
        return f"{limit.value:g} lbf ({limit.value * N_PER_LBF:.1f} N)"
    return limit.text


def _torque(limit: Limit) -> str:
    if limit.unit == "in·lbf":
        return f"{limit.value:g} in·lbf ({limit.value * NM_PER_INLBF:.2f} N·m)"
    return limit.text


def brought_by_choices(pattern: Pattern) -> dict[str, Choice]:
    """What only one value of a choice brings: names and kinds of notions with that choice."""
    found: dict[str, Choice] = {}
    for notion in pattern.notions:
        for choice in notion.only_for:
            found[bare(notion.name or notion.text)] = choice
    for section in pattern.sections:
        for step in section.steps:
            if step.choices and step.kind == "sentence" and step.name in PLACING:
                for key in said_keys(str(step.value("what", "") or "")):
                    found.setdefault(key.removeprefix("="), step.choices[0])
    return found


def _ways_out(
    parts: tuple[Component, ...], brought: dict[str, Choice], pattern: Pattern, graph: Graph
) -> list[tuple[str, Choice]]:
    """For each part that a choice brings, another value of that choice, the embroidered one first."""
    taken, options = dict(graph.choices), dict(pattern.choices)
    found = []
    for part in parts:
        choice = brought.get(bare(part.name)) or brought.get(part.kind)
        if choice is None or taken.get(choice[0], choice[1]) != choice[1]:
            continue
        others = sorted((value for value in options.get(choice[0], ()) if value != choice[1]), key=lambda value: "embroider" not in value)
        if others:
            found.append((part.name, (choice[0], others[0])))
    return found
