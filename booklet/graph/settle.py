"""Candidate trees of a pattern in, one settled line each out: the first reading that closes, one line ahead; builds no stitch."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace

from booklet.graph.again import Said
from booklet.graph.count import Below, pick
from booklet.graph.graph import Settled
from booklet.graph.mends import fits
from booklet.graph.trial import Trial, Trier, preferred
from booklet.notation.tree import Act, Candidates, Instruction, Work
from booklet.pattern.model import Choice, Pattern, Section, Step
from booklet.tables.stitches import Stitch, stitches

Reading = Mapping[tuple[int, int], Candidates]


def chosen(step: Step, choices: tuple[Choice, ...]) -> bool:
    """Is a step made with these choices?"""
    picked = dict(choices)
    return all(picked.get(key, value) == value for key, value in step.choices)


def known_stitches(pattern: Pattern) -> Mapping[str, Stitch]:
    """The stitch table and the designer's own stitches (one place, one stitch, until their words are read)."""
    if not pattern.own_stitches:
        return stitches()
    known = dict(stitches())
    for name, _, _, _ in pattern.own_stitches:
        known[f"own:{name}"] = Stitch(
            f"own:{name}", 1, 1, 1.0, 0, 1.0, "single_crochet", "cluster", "own", 0, "intermediate"
        )
    return known


def settle(
    pattern: Pattern, candidates: Reading, size: int = 0, choices: tuple[Choice, ...] = ()
) -> tuple[Settled, ...]:
    """Settle every line of a pattern, in order. `size` is an index into pattern.sizes."""
    known = known_stitches(pattern)
    found: list[Settled] = []
    last_rounds: dict[tuple[str, int], int] = {}
    titles = [part.title.casefold() for part in pattern.parts]
    for p, part in enumerate(pattern.parts):
        settler = _Part(p, part, candidates, Trier(known, last_rounds, size), choices, found, titles)
        found.extend(settler.settle())
        final = next((line.carried for line in reversed(settler.lines) if line.carried is not None), None)
        if final is not None:
            for instance in range(1, part.make + 1):
                last_rounds[part.title, instance] = final
    return tuple(found)


class _Part:
    """One part, line by line: what lies on the hook, and what earlier lines said."""

    def __init__(
        self,
        index: int,
        part: Section,
        candidates: Reading,
        trier: Trier,
        choices: tuple[Choice, ...],
        before: list[Settled],
        titles: list[str],
    ) -> None:
        self.index, self.part, self.candidates, self.trier = index, part, candidates, trier
        self.size = trier.size
        self.steps = [
            s for s, step in enumerate(part.steps) if step.kind in ("line", "sentence") and chosen(step, choices)
        ]
        self.before, self.titles = before, titles
        self.lines: list[Settled] = []
        self.said = trier.said = Said()
        self.places: int | None = None
        self.others: tuple[int, ...] = ()  # other numbers of places that the line before may have left
        self.sure = True  # the number of places is proved, not guessed
        self.chain = self.tube = False
        self.bridge = self.spaces = self.chains = 0
        self.fresh_chain = 0  # a chain made in the middle of the part: a bridge, or the start of another piece
        self.rounds: dict[int, int] = {}
        self.flat = False  # lines before turned the work
        self.trailing = False  # the line before ended with a chain that raises the hook

    def settle(self) -> list[Settled]:
        for at, s in enumerate(self.steps):
            step = self.part.steps[s]
            if step.kind == "sentence":
                self._as_part(step)
            else:
                self.lines.append(self._line(s, step, self._next_line(at)))
        return self.lines

    def _next_line(self, at: int) -> Candidates | None:
        for s in self.steps[at + 1 :]:
            if self.part.steps[s].kind == "line":
                return self.candidates[self.index, s]
        return None

    def _as_part(self, step: Step) -> None:
        """`Work as Leg to Rnd 6`: go on from that round of the other part."""
        if step.name != "as_part":
            return
        name, upto = str(step.value("part", "")).casefold(), step.value("round")
        for line in self.before:
            title = self.titles[line.part]
            same = title == name or title == f"{name}s" or f"{title}s" == name
            if same and line.numbers and (upto is None or int(upto) in line.numbers):
                self.places, self.sure, self.others = line.carried, True, ()
                for number in line.numbers:
                    self.rounds[number] = line.carried or 0

    # --- one line --------------------------------------------------------------------------------------------------

    def _line(self, s: int, step: Step, ahead: Candidates | None) -> Settled:
        found = self.candidates[self.index, s]
        self._begin_again(found)
        readings = found.readings or found.guesses
        if not readings:
            return self._not_understood(s, step)
        best = self._best(readings, ahead)
        if not found.readings and not (best.exact and best.proved and best.line.stated is not None):
            return self._not_understood(s, step)
        settled = self._settled(s, step, best, ahead)
        self._go_on(settled, best)
        return settled

    def _begin_again(self, found: Candidates) -> None:
        """A line numbered 1 in the middle of a part starts another piece; so does one that is worked into a chain made just before."""
        first = found.readings[0] if found.readings else None
        numbers = first.numbers if first else found.numbers
        if not self.lines or numbers[:1] != (1,) or (first is not None and first.kind == "start"):
            if self.fresh_chain and first is not None and _into_chain(first):
                self.places, self.chain, self.others, self.sure = self.fresh_chain, not self.tube, (), True
            return
        before = self.lines[-1]
        if before.kind == "start":
            if self.fresh_chain:
                self.places, self.chain, self.sure, self.others = self.fresh_chain, not self.tube, True, ()
        elif any(line.numbers for line in self.lines):  # a foundation row without a number is what row 1 goes into
            self.places, self.chain, self.sure, self.others, self.spaces = None, False, True, (), 0
            self.rounds = {}

    def _below(self, places: int | None) -> Below:
        trier = self.trier
        return Below(
            places, self.chain, trier.parts, self.bridge, self.size, self.spaces, self.rounds, self.chains, self.tube
        )

    def _best(self, readings: tuple[Instruction, ...], ahead: Candidates | None) -> Trial:
        """The first reading that closes; then the same with other numbers of places that the line before may have left."""
        readings = tuple(self.said.resolved(line) for line in readings)
        if len(readings) > 1:
            readings = preferred(readings, self.said)
        below = self._below(self.places)
        trials = self.trier.trials(readings, below)
        best = self._choose(trials, ahead)
        if best.right and best.exact:
            return best
        tried = [best] if best.right else []
        for places in self.others:
            other = self._choose(self.trier.trials(readings, below._replace(places=places)), None)
            if other.right:
                tried.append(other)
        if not self.flat and not tried and readings[0].items and _ends_in_turn(readings[0]):
            # "9 sc, turn" in a piece worked in rounds: a part of the round, the rest waits.
            other = self._choose(self.trier.trials(tuple(_leaving(line) for line in readings), below), None)
            if other.right:
                tried.append(other)
        if self.trailing and not any(trial.exact for trial in tried):
            counting = tuple(_with_chain(line) for line in readings)
            other = self._choose(self.trier.trials(counting, below), None)
            if other.right:
                tried.append(other)
        return next((trial for trial in tried if trial.exact), tried[0] if tried else best)

    def _choose(self, trials: list[Trial], ahead: Candidates | None) -> Trial:
        right = [trial for trial in trials if trial.right and trial.exact] or [trial for trial in trials if trial.right]
        if len(right) > 1 and ahead is not None and len({trial.result.made for trial in right}) > 1:
            looked = [trial for trial in right if self._closes_next(ahead, trial.result.made)]
            right = looked or right
        if right:
            return right[0]
        # None is right: the likeliest one that closes; shaping without a place closes always, so it proves nothing.
        placed = [trial for trial in trials if all(code != "unplaced-shaping" for code, _ in trial.line.choices)] or trials
        return next((t for t in placed if t.closes), next((t for t in placed if t.result.made is not None), placed[0]))

    def _closes_next(self, ahead: Candidates, places: int | None) -> bool:
        below = Below(places, False, self.trier.parts, 0, self.size, 0, self.rounds)
        return any(
            trial.right
            for trial in self.trier.trials(tuple(self.said.resolved(line) for line in ahead.readings), below)
        )

    # --- what came out ---------------------------------------------------------------------------------------------

    def _settled(self, s: int, step: Step, best: Trial, ahead: Candidates | None) -> Settled:
        line, result, stated = best.line, best.result, best.stated
        given, fault = self._judged(best)
        total = best.total
        if given and stated is not None:
            total = stated if line.stated_unit not in ("space", "group", "chain") else result.made
        carried = total if not fault or stated is None else self._after_fault(total, stated, ahead)
        if line.kind == "start":
            carried = self._start_length(line)
            total = 0 if total is None or total == carried else total
        mends = fits(best.words, self._below(result.available), self.trier.known, stated) if fault else ()
        trees = best.trees if len(best.trees) > 1 else ()
        return Settled(
            self.index, s, step.span.line, line.kind, best.words, line.label, line.numbers,
            result.available, result.used, total, stated, line.stated_unit, carried,
            result.counts, result.passes, given, fault, mends, best.reading, line.length, trees,
        )  # fmt: skip

    def _judged(self, best: Trial) -> tuple[bool, str]:
        """Is the printed total believed, and what is wrong here? Doubtful lines are believed: false alarms cost more than misses."""
        line, result = best.line, best.result
        if line.kind == "start":
            return False, ""
        unknown = result.available is None or not (self.sure or result.available == 0)
        if best.right:
            return result.available is None, ""
        if unknown or best.loose:
            return True, ""
        if line.stated is None and best.doubtful:
            return False, ""
        if result.made is None or not result.closes:
            return False, "does-not-close"
        return False, "total-differs"

    def _after_fault(self, total: int | None, stated: int, ahead: Candidates | None) -> int:
        """Go on from the number with which the next line closes; the printed one where both or none do (26 of 28 authors did)."""
        if (
            ahead is not None
            and total is not None
            and not self._closes_next(ahead, stated)
            and self._closes_next(ahead, total)
        ):
            return total
        return stated

    def _start_length(self, line: Instruction) -> int | None:
        chain = next((node.count for node in line.items if isinstance(node, Work) and node.stitch == "chain"), None)
        if chain is None:
            chain = next((node.n for node in line.items if isinstance(node, Act) and node.kind == "ring_chain"), None)
        return None if chain is None else pick(chain, self.size)

    def _go_on(self, settled: Settled, best: Trial) -> None:
        line, result = best.words, best.result
        self.said.add(settled, line)
        if settled.kind == "start":
            self._started(line, settled.carried or 0)
            return
        carried = settled.carried
        if carried is None:
            carried, self.sure = self.places, False
        else:
            self.sure = not (best.loose and settled.stated is None) and not (settled.fault and settled.stated is None)
        self.others = _other_places(settled, best, carried)
        if settled.given and settled.stated is None and result.available is None and result.made is None:
            self.sure = False
        self.places, self.chain, self.tube, self.bridge, self.fresh_chain = carried, False, False, 0, 0
        self.spaces = result.spaces * (1 if carried == result.made or result.spaces else 0)
        self.chains = 0 if carried == (result.made or 0) + result.chains else result.chains
        self.trailing = best.trailing
        self.flat = (
            self.flat or line.kind == "row" or any(isinstance(node, Act) and node.kind == "turn" for node in line.items)
        )
        for number in settled.numbers:
            if carried is not None:
                self.rounds[number] = carried

    def _started(self, line: Instruction, length: int) -> None:
        joined = any(isinstance(node, Act) and node.kind in ("join", "ring_chain") for node in line.items)
        if self.places is None and not self.lines:
            self.places, self.chain, self.tube = length, not joined, joined
        elif self.places is None:
            self.bridge = self.fresh_chain = length
            self.tube = joined
        else:
            self.bridge = self.fresh_chain = length
            self.chain, self.tube = False, joined
        self.others, self.trailing = (), False

    def _not_understood(self, s: int, step: Step) -> Settled:
        """The printed total is believed, wherever it can be found; else the count goes on as it was."""
        found = self.candidates[self.index, s]
        stated = found.stated if found.stated is not None else self._guessed_total(found)
        self.sure = stated is not None
        self.others = () if stated is None or self.places is None else (self.places,)
        self.places = stated if stated is not None else self.places
        available = self.places if self.lines else None
        self.chain = False
        for number in found.numbers:
            if stated is not None:
                self.rounds[number] = stated
        return Settled(
            self.index, s, step.span.line, found.kind or "round", None, found.label, found.numbers,
            available, None, None, stated, None, self.places, (),
        )  # fmt: skip

    def _guessed_total(self, found: Candidates) -> int | None:
        stated = next((line.stated for line in found.guesses if line.stated is not None), None)
        return None if stated is None else pick(stated, self.size)


def _ends_in_turn(line: Instruction) -> bool:
    for node in reversed(line.items):
        if not isinstance(node, Act):
            return False
        if node.kind == "turn":
            return True
    return False


def _leaving(line: Instruction) -> Instruction:
    return replace(line, items=(*line.items, Act("leave", line.body)))


def _into_chain(line: Instruction) -> bool:
    return any(
        isinstance(node, Work) and (node.target.kind == "chain" or node.target.name == "chain") for node in line.items
    ) or any(isinstance(node, Act) and node.kind == "chain_from" for node in line.items)


def _with_chain(line: Instruction) -> Instruction:
    """The same with the chain that ended the line before counting as its first stitch."""
    chain = Act("start_chain", line.body, "", 0, True)
    return replace(
        line, items=(chain, *line.items), choices=(*line.choices, ("chain-counting-inferred", (("counts", "yes"),)))
    )


def _other_places(settled: Settled, best: Trial, carried: int | None) -> tuple[int, ...]:
    """What the line may have left besides: chains as places, unworked places, the other number of a faulty line."""
    result = best.result
    found: list[int] = []
    made = result.made
    if made is not None:
        if result.chains:
            found += [made + result.chains, made + result.spaces]
        if result.waiting:
            found += [made + result.waiting, result.waiting]
        found.append(made)
    if settled.stated is not None and settled.stated_unit is None:
        found.append(settled.stated)
    if best.first_made is not None:
        found.append(best.first_made)
    return tuple(dict.fromkeys(n for n in found if n != carried and n > 0))
