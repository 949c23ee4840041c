"""A cursor behind a repeat unit in, how often it is worked out; units are body's."""

from __future__ import annotations

from typing import NamedTuple

from booklet.notation.cursor import NotUnderstood
from booklet.notation.places import Places
from booklet.notation.tree import Number, Target


class Passes(NamedTuple):
    """How often a unit is worked."""

    times: Number | None  # None: as often as there are places
    leave: Number = 0  # places kept at the end
    other: Number | None = None  # R7: the number where the words are read the other way
    target: Target | None = None  # the unit goes into one place
    until: Number = 0  # until so many stitches are there


_SOFT = ("comma", "stop", "the", "dash", "colon")
_LEADS = ("repeat", "from_star", "to_last", "around", "until")


class Repeats(Places):
    """Reads numbers of repeats."""

    def _passes(self, mark: str) -> Passes | None:
        """How often: `x 6`, `6 times`, `6`, `twice`, `around`, `rep from * 5 more times`, `to last 3 sts`; None where nothing is said."""
        self._skip_soft()
        repeated = self._take("repeat")
        if repeated and self._role() == "stop" and self._role(1) in ("times", "num", "from_star"):
            self.at += 1  # "rep. x 6"
        while (
            repeated
            and self._role() in ("the", "repeat", "around")
            and self._role(1) in ("from_star", "num", "times", "around", "once", "the")
        ):
            self.at += 1
        starred, twice_marked = self._from_star()
        self._skip("comma", "the") if starred else None
        before = (repeated or starred) and self._role() == "more" and self._role(1) in ("num", "once")
        self.at += before  # "repeat another 5 times"
        role = self._role()
        if role == "even":
            self.at += 1
            role = self._role()
        if role == "around":
            return self._to_the_end_of_round()
        if role == "to_last":
            return self._to_last()
        if role == "until":
            return self._until()
        said = self._take("total_of")
        times = self._take("times")
        said = self._take("total_of") or said
        if self._role() == "once":
            return self._once(starred and mark == "open star" and not said, before)
        if self._role() == "num" and (repeated or starred or times or said or self._is_number_of_passes()):
            return self._number(starred, twice_marked, mark, said, times, before)
        if times or said:
            raise NotUnderstood(self._here(), "a number after the times sign")
        if repeated or starred:
            if self._role() in ("in", "on", "each") and self._role(1) in ("each", "the", "stitch", "around", "next"):
                self.at += 1
                self._skip("each", "the", "stitch", "around", "next")
            return Passes(None)
        return self._into_place() if mark != "none" else None

    def _is_number_of_passes(self) -> bool:
        """R4: `*a, b* 6`. A number that belongs to the next stitch is none."""
        after = self._role(1)
        if after in ("times", "more"):
            return True
        return after not in ("stitch", "loop", "open", "dash") and not (after == "stop" and self._role(2) == "stitch")

    def _to_the_end_of_round(self) -> Passes:
        self._skip("around")  # "rep around to end"
        self._skip("the")
        self._to_the_marker()
        if self._role() in ("header", "next_header", "stitch") and self._role(1) != "num":
            self.at += 1
        if self._role() == "to_last":
            return self._to_last()
        return Passes(None)

    def _to_last(self) -> Passes:
        self.at += 1
        left: Number = self._take_number() if self._role() == "num" else 1
        self._take("stitch") or self._take("space")
        return Passes(None, left)

    def _until(self) -> Passes:
        """`until 7 sts remain`, `until you have 28 sts`, `until the last 3 sts`, `until 8 cm`."""
        self.at += 1
        while self._role() in ("the", "have", "until", "total_of", "remain", "last"):
            self.at += 1
        last = self._role(-1) == "last"
        if self._role() != "num":
            while self.at < self.size and self._role() not in ("stop", "comma", "close", "open", "star"):
                self.at += 1  # "until the hole is closed"
            return Passes(None)
        number = self._take_number()
        if self._role() in ("measure", "stop", "slash", "word") and self._is_measure():
            return Passes(None, 0, None, None, 0)
        self._skip("stitch", "the", "remain", "left", "unit", "header")
        return Passes(None, number) if last else Passes(None, 0, None, None, number)

    def _is_measure(self) -> bool:
        at = self.at
        while self.roles[at] in ("num", "stop", "slash"):
            at += 1
        if self.roles[at] != "measure":
            return False
        self.at = at + 1
        while self._role() in ("word", "from", "the", "measure", "in", "each", "ordinal", "total_of"):
            self.at += 1  # "8 cm long", "8 cm from the start"
        return True

    def _once(self, more_first: bool, before: bool = False) -> Passes:
        number = self._next().number
        more = self._take("more") or before
        self._take("times")
        more = self._take("more") or more
        if more:
            return Passes(number + 1)
        if more_first:  # "rep from * once" is once more
            return Passes(number + 1, 0, number)
        return Passes(number)

    def _number(self, starred: bool, twice_marked: bool, mark: str, said: bool, times: bool, before: bool) -> Passes:
        number = self._take_number()
        more = self._take("more") or before
        times = self._take("times") or times
        more = self._take("more") or more
        said = self._take("total_of") or self._take("total_word") or said
        if times and self._role() == "repeat" and self._role(1) in ("", "stop", "comma", "close"):
            self.at += 1  # "(sc, inc) 6 x rep": the verb behind
        self._skip("even")
        if self._role() == "around" and self._role(1) not in ("next", "each", "the"):
            self.at += 1
        if more:
            return Passes(plus(number, 1))
        if starred and not said and times and mark == "open star":
            # R7: "rep from * N times" after an open star is N more, unless only N in all closes.
            return Passes(plus(number, 1), 0, number)
        if starred and twice_marked and not said:
            return Passes(number, 0, plus(number, 1))
        return Passes(number)

    def _from_star(self) -> tuple[bool, bool]:
        """`from *`, `from * to *`: was it said, and with both marks?"""
        if not self._take("from_star"):
            return False, False
        both = False
        while self._role() in ("range", "star", "from_star", "dash"):
            both = both or self._role() in ("star", "from_star")
            self.at += 1
        return True, both

    def _into_place(self) -> Passes | None:
        """`(3 dc, ch 2, 3 dc) in next sp`; of several plain places, the unit is worked as often as it fits."""
        if self._role() == "the" and self._role(1) in ("next", "each", "same", "last", "corner"):
            self.at += 1  # a particle between the unit and its place
        if self._role() not in ("in", "on", "next", "each", "same", "ring", "corner", "even", "last") or self._role(
            1
        ) in ("yarn", "color"):
            return None
        begin = self.at
        target, _ = self._target(None)
        if target.kind == "around" and self.line[begin].role in ("around", "even"):
            return Passes(None)
        self._postposition()
        return Passes(1, 0, None, target)

    def _skip_soft(self) -> None:
        """Commas before a repeat: `*2 sc, inc; rep from * around`."""
        step = 0
        while self._role(step) in _SOFT or (self._role(step) == "and" and self._role(step + 1) == "repeat"):
            step += 1
        after = self._role(step)
        if (
            step
            and (after in _LEADS or (after == "total_of" and self._role(step + 1) == "num"))
            and not self._names_a_round(step)
        ):
            self.at += step
        elif (
            step == 1
            and self._role() in ("the", "dash", "comma")
            and (after in ("times", "once") or (after == "num" and self._role(2) == "times"))
        ):
            self.at += 1

    def _names_a_round(self, step: int) -> bool:
        """`repeat Rnd 3` is another instruction, not passes of this unit."""
        return self._role(self._past_articles(step + 1)) in ("header", "next_header", "last")


def plus(number: Number, more: int) -> Number:
    """One number, or one for each size, and something more."""
    return number + more if isinstance(number, int) else tuple(n + more for n in number)
