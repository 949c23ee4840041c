"""Candidate trees of a pattern in, one settled line each out: the first reading that closes, one line ahead; builds no stitch."""

from __future__ import annotations

from collections.abc import Mapping
from typing import NamedTuple

from booklet.graph.count import Below, Counted, count, pick
from booklet.graph.graph import Settled
from booklet.graph.mends import fits
from booklet.notation.tree import Act, Candidates, Instruction, Work
from booklet.pattern.model import Choice, Pattern, Section, Step
from booklet.tables.stitches import Stitch, stitches

Reading = Mapping[tuple[int, int], Candidates]


class Trial(NamedTuple):
    """One reading of a line, counted to the last of its rounds."""

    reading: int
    line: Instruction
    result: Counted  # of the last round that could be counted
    stated: int | None

    @property
    def closes(self) -> bool:
        """Every place is used, once."""
        return self.result.closes and self.result.made is not None

    @property
    def right(self) -> bool:
        """It closes and makes the printed total."""
        return self.closes and (self.stated is None or self.result.made == self.stated or self.line.stated_unit in ("space", "chain"))


def chosen(step: Step, choices: tuple[Choice, ...]) -> bool:
    """Is a step made with these choices?"""
    picked = dict(choices)
    return all(picked.get(key, value) == value for key, value in step.choices)


def known_stitches(pattern: Pattern) -> dict[str, Stitch]:
    """The stitch table and the designer's own stitches (one place, one stitch, until their words are read)."""
    known = dict(stitches())
    for name, _, _, _ in pattern.own_stitches:
        known[f"own:{name}"] = Stitch(f"own:{name}", 1, 1, 1.0, 0, 1.0, "single_crochet", "cluster", "own", 0, "intermediate")
    return known


def settle(pattern: Pattern, candidates: Reading, size: int = 0, choices: tuple[Choice, ...] = ()) -> tuple[Settled, ...]:
    """Settle every line of a pattern, in order. `size` is an index into pattern.sizes."""
    known = known_stitches(pattern)
    found: list[Settled] = []
    last_rounds: dict[tuple[str, int], int] = {}
    for p, part in enumerate(pattern.parts):
        settler = _Part(p, part, candidates, known, last_rounds, size, choices, found)
        found.extend(settler.settle())
        final = next((line.carried for line in reversed(settler.lines) if line.carried is not None), None)
        if final is not None:
            for instance in range(1, part.make + 1):
                last_rounds[part.title, instance] = final
    return tuple(found)


class _Part:
    def __init__(
        self,
        index: int,
        part: Section,
        candidates: Reading,
        known: Mapping[str, Stitch],
        last_rounds: Mapping[tuple[str, int], int],
        size: int,
        choices: tuple[Choice, ...],
        before: list[Settled],
    ) -> None:
        self.index, self.part, self.candidates, self.known = index, part, candidates, known
        self.last_rounds, self.size = last_rounds, size
        self.steps = [s for s, step in enumerate(part.steps) if step.kind in ("line", "sentence") and chosen(step, choices)]
        self.before = before
        self.lines: list[Settled] = []
        self.places: int | None = None
        self.chain = False
        self.bridge = 0
        self.unknown_start = True  # nothing yet tells what the first line is worked into

    def settle(self) -> list[Settled]:
        for at, s in enumerate(self.steps):
            step = self.part.steps[s]
            if step.kind == "sentence":
                self._as_part(step)
            else:
                self.lines.append(self._line(s, step, self._next_line(at)))
        return self.lines

    def _next_line(self, at: int) -> Candidates | None:
        following = (s for s in self.steps[at + 1 :] if self.part.steps[s].kind == "line")
        s = next(following, None)
        return None if s is None else self.candidates[self.index, s]

    def _as_part(self, step: Step) -> None:
        """`Work as Leg to Rnd 6`: go on from that round of the other part."""
        if step.name != "as_part":
            return
        name, upto = str(step.value("part", "")), step.value("round")
        for line in self.before:
            same = line.numbers and (upto is None or upto in line.numbers)
            if same and self._title(line) == name.casefold():
                self.places, self.unknown_start = line.carried, False

    def _title(self, line: Settled) -> str:
        return next((title for (title, _), _ in self.last_rounds.items() if title), "").casefold() if line.part >= 0 else ""

    def _line(self, s: int, step: Step, ahead: Candidates | None) -> Settled:
        readings = self.candidates[self.index, s].readings
        if not readings:
            return self._not_understood(s, step)
        trials = [self._trial(i, line, self.places) for i, line in enumerate(readings)]
        best = self._choose(trials, ahead)
        settled = self._settled(s, step, best, ahead)
        self._go_on(settled, best)
        return settled

    def _below(self, places: int | None) -> Below:
        return Below(places, self.chain, self.last_rounds, self.bridge, self.size)

    def _trial(self, reading: int, line: Instruction, places: int | None) -> Trial:
        """Count all rounds of the line: a range that shapes goes on from its own result."""
        stated = None if line.stated is None else pick(line.stated, self.size)
        result = count(line, self._below(places), self.known, stated)
        rounds = 1
        while rounds < line.rounds and result.closes and result.made is not None and result.made != result.used:
            result = count(line, Below(result.made, False, self.last_rounds, 0, self.size), self.known, stated)
            rounds += 1
        return Trial(reading, line, result, stated)

    def _choose(self, trials: list[Trial], ahead: Candidates | None) -> Trial:
        right = [trial for trial in trials if trial.right]
        if len({trial.result.made for trial in right}) > 1 and ahead is not None:
            looked = [trial for trial in right if self._closes_next(ahead, trial.result.made)]
            right = looked or right
        if right:
            return right[0]
        return next((trial for trial in trials if trial.closes), trials[0])

    def _closes_next(self, ahead: Candidates, places: int | None) -> bool:
        chain, self.chain = self.chain, False
        closes = any(self._trial(i, line, places).right for i, line in enumerate(ahead.readings))
        self.chain = chain
        return closes

    def _settled(self, s: int, step: Step, best: Trial, ahead: Candidates | None) -> Settled:
        line, result, stated = best.line, best.result, best.stated
        given = result.available is None and line.kind != "start"
        fault = ""
        if result.made is None or (not result.closes and not given):
            fault = "" if given and result.made is None else "does-not-close"
        elif stated is not None and result.made != stated and not best.right and not given:
            fault = "total-differs"
        carried = result.made if stated is None or not fault else self._after_fault(result, stated, ahead)
        if given and stated is not None:
            carried = stated
        if line.kind == "start":
            carried = next((pick(node.count, self.size) for node in line.items if isinstance(node, Work)), None)
        mends = fits(line, self._below(self.places), self.known, stated) if fault else ()
        total = stated if given and result.made is None else result.made
        return Settled(
            self.index, s, step.span.line, line.kind, line, line.label, line.numbers,
            result.available, result.used, total, stated, line.stated_unit, carried,
            result.counts, result.passes, given, fault, mends, best.reading,
        )  # fmt: skip

    def _after_fault(self, result: Counted, stated: int, ahead: Candidates | None) -> int:
        """Go on from the number with which the next line closes; the printed one where both or none do (26 of 28 authors did)."""
        if ahead is not None and result.made is not None and not self._closes_next(ahead, stated) and self._closes_next(ahead, result.made):
            return result.made
        return stated

    def _go_on(self, settled: Settled, best: Trial) -> None:
        chain = next((node for node in best.line.items if isinstance(node, Work) and node.stitch == "chain"), None)
        joined = any(isinstance(node, Act) and node.kind == "join" for node in best.line.items)
        if settled.kind == "start" and chain is not None:
            length = pick(chain.count, self.size)
            if self.places is None and not self.lines:
                self.places, self.chain = length, not joined
            elif self.places is None:
                self.bridge = length
            else:
                self.bridge, self.chain = length, False
            self.unknown_start = False
            return
        self.places, self.chain, self.bridge = settled.carried, False, 0
        self.unknown_start = False

    def _not_understood(self, s: int, step: Step) -> Settled:
        """The printed total is believed, wherever it can be found; else the count goes on as it was."""
        found = self.candidates[self.index, s]
        self.places = found.stated if found.stated is not None else self.places
        available = self.places if self.lines else None
        self.chain = False
        return Settled(
            self.index, s, step.span.line, found.kind or "round", None, found.label, found.numbers,
            available, None, None, found.stated, None, self.places, (),
        )  # fmt: skip
