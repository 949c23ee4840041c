"""Tokens between header and total in, nodes of the instruction tree out: recursive descent over roles; no word is known here."""

from __future__ import annotations

from booklet.notation.acts import works
from booklet.notation.cursor import NotUnderstood
from booklet.notation.doubts import Doubt
from booklet.notation.stitching import in_unit
from booklet.notation.tree import Act, Group, Node, Number, Target, Work
from booklet.notation.units import SEPARATORS, Units, says_again

LIMIT_NESTING = 12
LIMIT_PASSED = 3  # unknown words that a guess may pass over; more of them are no slip but another language

_ENDS_NUMBER = ("comma", "close", "plus", "star", "stop", "")
_PLACE_WORDS = ("in", "on", "next", "same", "last", "ordinal", "each", "corner", "between", "behind", "space")


class Body(Units):
    """One parse of the body. `doubts` collects the nodes that can be read in another way."""

    def read(self) -> list[Node]:
        """All nodes of the line, in order. NotUnderstood where a word does not fit."""
        items = self._items(frozenset())
        while self.at < self.size:
            if self.roles[self.at] not in ("close",) and not self.guess:
                raise NotUnderstood(self.line[self.at], "a stitch or the end of the line")
            self.at += 1  # a bracket that was never opened: a check reports it
            items += self._items(frozenset())
        if self.left and items and isinstance(items[-1], Work) and items[-1].target.kind == "around":
            items.append(Act("leave", items[-1].span))
        return items

    def _items(self, stop: frozenset[str]) -> list[Node]:
        items: list[Node] = []
        roles = self.roles
        while self.at < self.size:
            role = roles[self.at]
            if role in stop or (role == "close" and not stop):
                break
            if role in SEPARATORS:
                self.at += 1
                continue
            begin, kept = self.at, len(items)
            try:
                self._item(items)
            except NotUnderstood as stopped:
                self._recover(items, begin, kept, stopped)
        return items

    def _recover(self, items: list[Node], begin: int, kept: int, stopped: NotUnderstood) -> None:
        """Words that are no stitches ("… . Mark the first stitch.") are a remark; anything else ends the reading, or is passed over."""
        opening = begin == 0 or self.roles[begin - 1] in ("stop", "colon", "open", "comma", "dash")
        if opening and not self.depth and self._is_remark(begin) and (begin > 0 or self._work_follows()):
            del items[kept:]
            self.at = begin
            self._note(items)
            return
        if begin == 0 and (work := self._work_behind_words()):
            del items[kept:]
            self.at = work
            items.append(Act("note", self._span(begin, work), self._words(begin, work)))
            return
        if not self.guess or self.depth > LIMIT_NESTING:
            raise stopped
        at = max(begin, min(self.at, self.size - 1))
        if self._stands_for_a_stitch(at):
            raise stopped  # an unknown abbreviation is never passed over
        self.passed.append(stopped.token or self.line[at])
        if sum(token.role == "word" for token in self.passed) > LIMIT_PASSED:
            raise stopped
        self.at = max(begin + 1, self.at)

    def _stands_for_a_stitch(self, at: int) -> bool:
        """Is an unknown word where a stitch would be: behind a number, or alone between two commas?"""
        if self.roles[at] != "word":
            return False
        before = self.roles[at - 1] if at else "comma"
        if (before == "num" and self._is_worked(at + 1)) or (
            before != "num" and self.roles[at + 1] == "num" and self._is_worked(at + 2)
        ):
            return self.line[at].value.isupper()  # "8 white sc", "white 8 sc": what it tells is no stitch
        alone = self.roles[at + 1] in ("comma", "close", "in", "num", "times", "star", "stop", "each", "around")
        return before == "num" or (before in ("open", "comma", "star", "colon", "plus", "and") and alone)

    def _is_worked(self, at: int) -> bool:
        return self.roles[at] == "stitch" and bool(self.line[at].value)

    def _item(self, items: list[Node]) -> None:
        read = _READERS.get(self.roles[self.at])
        if read is None:
            raise NotUnderstood(self.line[self.at], "a number, a stitch, a bracket or a repeat")
        read(self, items)

    def _bracket(self, items: list[Node]) -> None:
        begin = self.at
        inner = self._peek_inner()
        if inner is not None:
            self._aside(inner, items)
            return
        for step in (2, 3):  # "[heel: 5 inc]": a name in front of the stitches
            if self._role(step) == "colon" and self._role(1) not in ("num", "open", "star", "loop", "yarn"):
                self.at += step
                break
        explains = begin > 0 and self.roles[begin - 1] == "stitch" and bool(items)
        self.at += 1
        try:
            unit = self._nested(frozenset(("close",)))
        except NotUnderstood:
            if self._is_spoken(begin):
                self.at = begin + 1
                self._note(items)
                self._take("close")
                return
            raise
        if self._role() == "close":
            self.at += 1
        # An unbalanced bracket is closed at the end; a check reports it.
        if explains and len(works(unit)) == 1 and says_again(items[-1], works(unit)[0]):
            self._worked_again(items)
            return
        if self.ring and not works(unit) and unit:
            items += unit
            return
        self._group(items, unit, begin, "bracket")

    def _star(self, items: list[Node]) -> None:
        begin = self.at
        self.at += 1
        unit = self._nested(frozenset(("star", "repeat", "from_star")))
        if self._role() == "star":
            self.at += 1
            self._group(items, unit, begin, "star")
        elif self._role() == "repeat" and self._repeats_rounds():
            items += unit
        else:
            self._group(items, unit, begin, "open star")

    def _nested(self, stop: frozenset[str]) -> list[Node]:
        self.depth += 1
        if self.depth > LIMIT_NESTING:
            raise NotUnderstood(self.line[self.at - 1], f"at most {LIMIT_NESTING} brackets within each other")
        unit = self._items(stop)
        self.depth -= 1
        return unit

    def _group(self, items: list[Node], unit: list[Node], begin: int, mark: str) -> None:
        unit = [in_unit(node) for node in unit]
        if not works(unit):
            if unit and all(isinstance(node, Act) for node in unit):
                items += unit
                return
            raise NotUnderstood(self.line[begin], "stitches inside the repeat")
        inside = self._span(begin, self.at)
        passes = self._passes(mark)
        self.marked = True
        if passes is None:
            self._unsaid(items, unit, inside, mark)
            return
        if passes.times is None and _goes_everywhere(unit):
            items += unit
            return
        target = passes.target
        if self.pending is not None and target is None:
            target, self.pending = self.pending, None
        times: Number | None = passes.times
        group = Group(tuple(unit), times, inside, passes.leave, target, passes.until)
        if target is not None and times == 1 and self._take_times():
            group = Group((group,), self._take_number() if self._role() == "num" else self._next().number, inside)
            self._take("times")
        items.append(group)
        if passes.other is not None:
            code = "repeat-in-all" if mark == "open star" else "repeat-more"
            self.doubts.append(Doubt(code, group, Group(group.items, passes.other, inside)))
        if (self._role() in ("comma", "the", "and", "dash") and self._role(1) == "ending") or self._role() == "ending":
            self._ending(items)

    def _ending(self, items: list[Node]) -> None:
        """`…, ending with 1 sc`: the last pass stops early, with these stitches in the place of its last ones."""
        while self._role() in ("comma", "the", "and", "dash", "ending", "with", "in"):
            self.at += 1
        group = items[-1]
        if self._role() not in ("num", "stitch", "open"):
            return
        end: list[Node] = []
        self._item(end)
        items += end
        if isinstance(group, Group) and len(group.items) > 1 and end:
            partial = Group((*group.items[:-1], *end), 1, end[0].span)
            self.doubts.append(Doubt("ending-pass", end[0], partial))

    def _repeat_all(self, items: list[Node]) -> None:
        """`2 sc, inc, repeat around`: no mark, the whole line so far is the unit."""
        begin = self.at
        if self._role() in ("repeat", "as") and self._as_round(items):
            return
        if self._role() == "times" and self._role(1) == "num" and self._role(2) in ("open", "star", "colon"):
            self.at += 1  # "x6 (sc, inc)"
            count = self._take_number()
            self._take("colon")
            self._multiplied(items, count)
            return
        done = works(items)
        spelled = self.line[begin].end - self.line[begin].start > 1
        if not done and spelled and self._role() == "times" and self._role(1) in ("comma", "stop", "and"):
            self._turn(items)  # Dutch "keer, 1 l": turn, and a number of times
            return
        if self._role() == "even" and not done:  # "work even"
            self._as_before(items)
            return
        if not done and self.roles[begin] == "repeat" and self._unit_follows(items):
            return
        if self._role() == "around" and self._role(1) == "even" and not done:
            self.at += 1  # "around without increases"
            self._as_before(items)
            return
        if self._role() == "around" and not done:
            raise NotUnderstood(self.line[begin], "a stitch before the place")
        passes = self._passes("none")
        if passes is None or not done:
            raise NotUnderstood(self.line[begin], "what to repeat, and how often")
        last = done[-1]
        if isinstance(last, Work) and last.target.kind == "around" and passes.times is None and not passes.until:
            if self.roles[begin] == "until" or "measure" in self.roles[begin : self.at]:
                items.append(Act("measure", self._span(begin, self.at), self._words(begin, self.at)))
            return
        if (
            isinstance(last, Group)
            and (last.times is None or len(done) == 1)
            and passes.times is None
            and not passes.until
        ):
            if last.times is not None and last.target is None:
                items[items.index(last)] = Group(last.items, None, last.span, passes.leave)
            return
        if passes.until and isinstance(last, Group) and len(done) == 1:
            items[items.index(last)] = Group(last.items, None, last.span, 0, None, passes.until)
            return
        self._wrap(items, done, passes.times, passes.leave, passes.until)

    def _unit_follows(self, items: list[Node]) -> bool:
        """`repeat (2 sc, dec) 6 times`, `repeat the following 6 times: 2 sc, dec`."""
        step = 1
        while self._role(step) in ("the", "next"):
            step += 1
        if self._role(step) in ("open", "star"):
            self.at += step
            return True
        if (
            self._role(step) != "num"
            or self._role(step + 1) != "times"
            or self._role(step + 2) not in ("colon", "comma", "dash")
        ):
            return False
        begin = self.at
        self.at += step
        number = self._take_number()
        self.at += 2
        unit = self._nested(frozenset(("close", "star")))
        if works(unit):
            items.append(Group(tuple(in_unit(node) for node in unit), number, self._span(begin, self.at)))
            self.marked = True
        return True

    def _counted(self, items: list[Node]) -> None:
        begin = self.at
        count = self._take_number()
        if self._role() == "header" and self._role(1) == "even" and not works(items):  # "5 rounds even"
            items.append(Act("tally", self._span(begin, self.at + 1), "", count))
            self.at += 1
            return
        if self._rounds_said(items, begin) or (self._role() == "header" and self._loops_said(count)):
            return
        if self._role() == "gap" and isinstance(count, int):  # "one in so many", in languages that count the gap
            self.pending = Target("every", count + (self._next().value != "each"))
            return
        if self._role() == "space" and self._role(1) == "stitch" and self._value(1) == "skip":
            self.at += 1  # a space named before its verb
            self.pending = Target("space", count)
            return
        if self._is_generic() and self._role(1) == "in" and self._role(2) == "stitch" and self._value(2):
            self.at += 2  # a place before its stitches, in languages that put "in" behind
            self.pending = Target("next", count)
            return
        if self._is_generic() and self._role(1) == "stitch" and self._value(1) and self._role(2) == "num":
            self.at += 1
            self.pending = Target("next", count)
            return
        if self._role() == "ring" and count == 1:  # "a ring": the number was an article
            self._ring_first(items)
            return
        while self._role() in ("the", "more") or (
            self._role() in ("stop", "dash") and self.line[self.at].glued and self._role(1) == "stitch"
        ):
            self.at += 1
        if self._role() == "times" and self._role(1) in ("open", "star"):  # 7 x (2 sc, inc)
            self.at += 1
            self._multiplied(items, count)
            return
        if self._role() == "open" and self.line[self.at].glued and self.roles[begin - 1] != "stitch":  # 6(sc, inc)
            self._multiplied(items, count)
            return
        if self._role() == "times" and self._role(1) == "num" and self._role(2) == "stitch" and self._value(2):  # 6 x 2 sc in one st
            self.at += 1
            self._multiplied(items, count)
            return
        if self._role() == "times" and self._passes_alone(begin) and works(items):  # "2 sc, inc. 7x"
            self.at += 1
            self._wrap(items, works(items), count)
            return
        if self._role() == "times" and self._role(1) == "stitch":  # 7 x inc
            self.at += 1
        if self._is_colour_pair():  # 8A, 2B
            items.append(Act("yarn", self._span(self.at, self._advance()), self.line[self.at - 1].value))
            items.append(Work(self.base, count, self._span(begin, self.at)))
            return
        if self._role() == "yarn" and self._role(1) == "stitch":  # 7 A sc
            items.append(Act("yarn", self._span(self.at, self._advance()), self.line[self.at - 1].value))
        if self._role() == "loop" and self._role(1) == "stitch":  # 7 BLO sc
            items.append(Act("loop", self._span(self.at, self._advance()), self.line[self.at - 1].value))
        if self._role() == "stitch":
            self._work(items, begin, count, begin + 1 == self.at and self.line[self.at].glued)
        elif self._role() in _PLACE_WORDS or self._role() == "ring":
            self._placed(items, begin, self.base, count)
        elif self.ring and self._role(-2) == "ring" and self._role() in _ENDS_NUMBER:
            items.append(Work(self.base, count, self._span(begin, self.at), Target("ring")))  # "MR 6"
        elif (self.guess or self.size == 1 or (self.depth and self._role() != "")) and self._role() in _ENDS_NUMBER:
            items.append(Work(self.base, count, self._span(begin, self.at)))  # "3 inc, 9, 3 inc, 9"
        else:
            raise NotUnderstood(self._here() or self.line[begin], "a stitch after the number")

    def _passes_alone(self, begin: int) -> bool:
        """Is a number of times all that its sentence says?"""
        opens = begin > 0 and self.roles[begin - 1] in ("stop", "comma", "dash", "colon", "the")
        return opens and not self.depth and not self.marked and self._role(1) in ("", "stop", "comma", "close", "dash")

    def _multiplied(self, items: list[Node], count: Number) -> None:
        before = len(items)
        self._item(items)
        group = items[before] if len(items) > before else None
        if isinstance(group, Group):
            items[before] = Group(group.items, count, group.span, group.leave)
            self.doubts = [doubt for doubt in self.doubts if doubt.node is not group]
        elif isinstance(group, Work) and len(items) == before + 1:
            items[before] = Group((in_unit(group),), count, group.span)
            self.multiplied = not before and not self.depth


def _goes_everywhere(unit: list[Node]) -> bool:
    """`*(…) in each ch-4 sp around`: a star that nothing goes back to, before stitches that say themselves how often."""
    at = next((i for i, node in enumerate(unit) if not isinstance(node, Act)), len(unit))
    node = unit[at] if at < len(unit) else None
    whole = isinstance(node, Group) and node.target is not None and node.target.kind == "spaces"
    return whole and not works(unit[at + 1 :])


_READERS = {
    "open": Body._bracket,
    "star": Body._star,
    "num": Body._counted,
    "stitch": Body._plain,
    "loop": Body._loop,
    "yarn": Body._yarn,
    "change": Body._yarn,
    "color": Body._yarn,
    "with": Body._yarn,
    "join": Body._join,
    "join_target": Body._join,
    "range": Body._join,
    "turn": Body._turn,
    "other_side": Body._other_side,
    "this_side": Body._skip_words,
    "from": Body._from_chain,
    "in": Body._in,
    "on": Body._in,
    "next": Body._in,
    "next_header": Body._last_again,
    "same": Body._in,
    "each": Body._in,
    "ordinal": Body._in,
    "corner": Body._in,
    "last": Body._in,
    "counts": Body._counts,
    "repeat": Body._repeat_all,
    "as": Body._repeat_all,
    "around": Body._repeat_all,
    "even": Body._repeat_all,
    "from_star": Body._repeat_all,
    "to_last": Body._repeat_all,
    "until": Body._repeat_all,
    "times": Body._repeat_all,
    "ring": Body._ring_first,
    "note": Body._note,
    "as_before": Body._as_before,
    "post": Body._in,
    "hook": Body._from_hook,
    "through_both": Body._layers,
    "unworked": Body._leave,
    "leave": Body._leave,
    "etc": Body._etc,
    "for": Body._for_rounds,
    "always": Body._skip_words,
    "total_of": Body._skip_words,
    "total_word": Body._skip_words,
    "more": Body._skip_words,
    "marker": Body._note,
    "have": Body._have,
}
__all__ = ["LIMIT_NESTING", "Body", "Doubt", "NotUnderstood"]
