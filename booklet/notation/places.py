"""A cursor after a stitch in, where the stitches go out: next, each, same, ring, chain, space, another part; stitches are body's."""

from __future__ import annotations

from booklet.notation.cursor import NotUnderstood
from booklet.notation.spots import Placed, Spots
from booklet.notation.tree import NEXT, Number, Target

_PREPOSITIONS = ("in", "on", "next", "same", "last", "ordinal", "between", "behind", "corner", "remain", "post", "top")
_ELSEWHERE = ("part", "part_name", "on_bridge", "on_bridge_other", "on_bridge_both", "through_both")
_COUNTED = ("both_layers", "both_pieces", "part", "bridge", "bridge_other", "bridge_both")
MOST_IN_ONE = 8  # stitches that a line puts into every place; a guess, published shells have up to eight
_AFTER_AROUND = ("ordinal", "next", "each", "same", "post", "num", "part_name", "part", "last", "through_both")


class Places(Spots):
    """Reads targets."""

    def _target(self, count: Number | None) -> Placed:
        """Where the stitches go; the next places where the line does not say."""
        self.loop_here, self.same_count, self.bare_around, self.each_number = "", False, False, False
        self.written = 0 if count is None else count
        placed = self._read_target(count)
        if placed is None:
            placed = self._untold(count)
        if self.earlier is not None and placed[0].kind in ("next", "around"):
            number, loop = self.earlier
            n = placed[0].n if placed[0].kind == "next" else 0
            free = placed[0].kind == "around"
            placed = Target("earlier", 0 if free else n or one(count), loop, number), placed[1]
        return placed

    def _untold(self, count: Number | None) -> Placed:
        if self.pending is not None:
            target, self.pending = self.pending, None
            self.each_number, self.pending_each = self.pending_each, False
            if target.kind in _COUNTED and not target.n and target.instance >= 0:
                return target._replace(n=one(count) if target.kind != "part" or count is not None else 0), 1
            return target, one(count)
        return (Target("ring"), 1) if self.ring else (NEXT, 1)

    def _read_target(self, count: Number | None) -> Placed | None:
        each = one(count)
        role = self._role()
        if role in ("in", "on", "the") and self.roles[self.at + 1 : self.at + 3].count("other_side") and self.has_parts:
            self._skip("in", "on", "the")
            self._side_or_yarn()
            role = self._role()
        step = self._past_articles()
        if step and self._role(step) in (*_PREPOSITIONS, *_ELSEWHERE, "each", "around", "loop", "ring"):
            self.at += step
            role = self._role()
        if role == "around" and (self._role(1), self._role(2)) in (("times", "num"), ("num", "times")):
            self.at += 1  # "around x 6": the number says how often
            return None
        if role == "around":
            step = self._past_articles(1)
            if self._role(step) not in _AFTER_AROUND and not (self._role(step) == "stitch" and step > 1):
                return self._around(count)
            self.at += 1
            return self._into(each, count)
        if role == "each":
            return self._each(each)
        if role == "ring":
            self.at += 1
            return Target("ring"), 1
        if role == "even" and self._role(1) != "range":
            plain = self._next().value == "plain"
            self._take("around")
            if plain:
                return (NEXT, 1) if count is not None else (Target("around"), 1)
            return (Target("evenly"), 1) if count is not None else (Target("around"), 1)
        if role in _PREPOSITIONS and self._role(1) not in ("yarn", "color"):
            if role in ("in", "on"):
                self.at += 1
                if role == "on" and self._told_by_words():
                    return self._untold(count)
            return self._into(each, count)
        if role in _ELSEWHERE:
            return self._elsewhere(0 if count is None else count), 1
        if role == "loop":
            return self._in_loop(each, count)
        if role == "this_side" and self.has_parts:
            self.at += 1
            return Target("bridge", 0 if count is None else count), 1
        if role == "to_last" and count is None:
            self._to_the_end()
            return Target("around"), 1
        if role == "range" and (found := self._to_place()):
            return found
        if role == "join_target":  # a phrase for the first place, behind a stitch that is no slip stitch
            self.at += 1
            return Target("first", 1), each
        return None

    def _around(self, count: Number | None) -> Placed:
        self.at += 1
        self._take("even")
        self.bare_around = True
        # "18 sc around" names its stitches; "sc around" goes on to the end.
        if count is not None:
            return NEXT, 1
        return Target("around"), 1

    def _into(self, each: Number, count: Number | None) -> Placed:
        self._skip("the", "in")
        if self._role() == "num" and self._role(1) in ("ring", "measure") and self._here().number == 1:  # type: ignore[union-attr]
            self.at += 1  # "in a ring", where the article is a number too
        role = self._role()
        simple = {
            "ring": self._into_ring,
            "measure": self._into_ring,  # French "cm", a cercle magique: a length has a number before it
            "same": self._same,
            "last": self._last,
            "ordinal": self._nth,
            "space": self._space,
            "corner": self._space,
        }
        if role in simple:
            return simple[role](each)
        if role == "each":
            return self._each(each)
        if role == "loop":
            return self._in_loop(each, count)
        if role == "header" and self._role(1) in ("num", "ordinal"):
            self.at += 2
            return Target("earlier", 0 if count is None else count, "", self.line[self.at - 1].number), 1
        if role in ("between", "behind", "post", "top") and not (
            role == "between" and self._role(1) in ("", "comma", "close", "stop", "star")
        ):
            return self._gap(each, count)
        if role == "next":
            return self._next_place(each, count)
        if role == "num":
            return self._next_places(each, count)
        if role == "remain":
            return self._rest(each)
        if role == "stitch":
            chain = self._is_chain()
            if chain and self._role(1) == "dash" and self._role(2) == "num" and self.line[self.at + 2].glued:
                self.at += 3  # "top of ch-3"
                return Target("next", 1, "chain"), each
            if self._stitch_word() == "same":
                return Target("same", 1), each
            if self._role() == "num" and self._role(1) in ("comma", "close", "stop", "and", "star", ""):
                self.at += 1  # "2 sc in st 5": the number of the place
            self._of_round()
            return Target("next", 1, "chain" if chain else ""), each
        if role in _ELSEWHERE:
            return self._elsewhere(0 if count is None else count), 1
        if role == "marker":
            self.at += 1
            self._take("stitch")
            return Target("next", 1), each
        if self.ring and role in ("", "stop", "comma", "close", "dash"):
            return Target("ring"), 1  # "6 sc into it"
        raise NotUnderstood(self._here(), "where the stitch goes: next st, each st, same st, ring")

    def _next_place(self, each: Number, count: Number | None) -> Placed:
        if self._next().value:  # "in one place" behind the stitches: nothing of it follows
            return self._untold(count) if self.pending is not None or self.ring else (Target("next", 1), each)
        while self._role() in ("next", "the", "in"):
            self.at += 1
        if self._role() == "num" and self._role(1) != "times" and not self._leads():
            return self._next_places(each, count)
        if self._role() in ("space", "corner"):
            return self._space(each)
        if self._role() in ("part_name", "part"):
            return self._elsewhere(0 if count is None else count), 1
        if self._role() == "loop":
            return self._in_loop(each, count)
        if self._role() == "ordinal":
            self.at += 1
        chain = self._is_chain()
        self._take("stitch")
        if self._role() in ("space", "unit"):
            self.at += 1
            return Target("space", 1), each
        self._of_round()
        return Target("next", 1, "chain" if chain else ""), each

    def _next_places(self, each: Number, count: Number | None) -> Placed:
        n = self._take_number()
        self._skip("the", "next")
        if self._role() in ("space", "corner"):
            return self._space(each)[0]._replace(n=n), each
        chain = self._is_chain()
        self._stitch_word()
        self._take("around")
        if self._part_behind():
            return self._elsewhere(n), each
        self._of_round()
        self.same_count = count is not None and count == n and count != 1
        return Target("next", n, "chain" if chain else ""), each

    def _each_behind(self, each: Number) -> Placed:
        """Japanese ずつ, "so many each" behind the stitches: their place stands before them, or behind, or is every stitch."""
        step = self._past_articles()
        if self.pending is not None:
            return self._untold(each)
        if self._role(step) in ("next", "same", "each", "in", "space", "corner", "last", "ordinal"):
            self.at += step
            return self._into(each, None)
        return Target("around"), each

    def _says_rounds(self, count: Number) -> bool:
        """`24 sc in each round`, `24 sc each` behind a range of rounds: so many in every round, not in every stitch."""
        step = self._past_articles()
        if self._role(step) == "header" and self._role(step + 1) not in ("num", "ordinal"):
            self.at += step + 1
            return count != 1
        return isinstance(count, int) and count > MOST_IN_ONE and self._role() in ("", "stop", "comma", "close")

    def _part_behind(self) -> bool:
        """`18 sts of the first leg`, `4 sts through both layers`: does a part follow whose stitches these are?"""
        step = self._past_articles()
        if self._role(step) not in ("part", "part_name", "through_both"):
            return False
        self.at += step
        return True

    def _each(self, each: Number) -> Placed:
        period = self._next().value
        if period and not period.isdecimal():
            return self._each_behind(each)
        if period:  # "every second", in one word
            self._take("stitch")
            self._to_the_end()
            return Target("every", int(period)), each
        if self._says_rounds(each):
            return NEXT, 1
        while self._role() in ("the", "next", "in", "each"):
            self.at += 1
        if self._role() == "num" and self._here().number == 1 and self._role(1) in ("the", "next"):  # type: ignore[union-attr]
            self.at += 1  # "each one of the next 7"
            self._skip("the", "next")
        if self._role() in ("ordinal", "last") and self._role(1) == "num":
            self.at += 1  # "each of the first 10 sts"
        role = self._role()
        if role == "ordinal" and self._here().number > 1:  # type: ignore[union-attr]
            return self._every(each)
        if role == "remain":
            return self._rest(each)
        pair = role == "num" and self._role(1) in ("and", "plus") and self._role(2) == "num"
        if pair and self._here().number + 1 == self.line[self.at + 2].number:  # type: ignore[union-attr]
            return self._every(each)  # "every 3 and 4 sts", ordinals without their full stops
        if role == "num":
            self.each_number = self._role(-1) == "each"
            n = self._take_number()
            self._skip("the", "next")
            if self._role() in ("space", "corner"):
                return self._space(each)[0]._replace(n=n), each
            chain = self._is_chain()
            self._stitch_word()
            self._take("around")
            if self._part_behind():
                return self._elsewhere(n), each
            return Target("next", n, "chain" if chain else ""), each
        if role in ("space", "corner"):
            place = self._space(each)[0]
            self._to_the_end()
            return (place._replace(kind="spaces", n=0) if place.kind == "space" else Target("around")), each
        if role in ("part_name", "part"):
            return self._elsewhere(0)._replace(instance=-1), each
        if role == "loop":
            self.every_loop = True
            placed = self._in_loop(each, None)
            self.every_loop = False
            return (Target("around") if placed[0].kind == "next" else placed[0]), each
        chain = self._is_chain()
        also = ""
        specific = role == "stitch" and not chain
        if specific:
            self.at += 1
            while (
                self._role() in ("and", "comma")
                and self._role(1) in ("each", "in", "stitch", "space")
                and self._is_place_word(1)
            ):
                self.at += 1  # "in each sc and ch", "in each st and each ch-1 sp"
                self._skip("each", "in", "the")
                also = "spaces" if self._role() == "space" else "chains" if self._is_chain() else also
                self._skip("stitch", "space", "corner")
        elif chain:
            self.at += 1
        elif role in ("ordinal",):
            self.at += 1
            self._take("stitch")
        self._of_round()
        if self._role() in ("part", "part_name"):
            return self._elsewhere(0), each  # "in each st around first leg"
        if self._role() == "loop" and self._label_ahead(1) is not None:
            return self._in_loop(each, None)  # "in each st, behind the front loop, of Rnd 5"
        self._to_the_end()
        return Target("around", 0, "chain" if chain else also), each

    def _in_loop(self, each: Number, count: Number | None) -> Placed:
        """`in BLO`, `in back loop of next 6 sts`, `in the front loops of Rnd 6`."""
        loop = self._next().value
        if self._role() == "stop" and self._role(1) in ("the", "each", "next"):
            self.at += 1
        self._skip("the", "in")
        if self._take_label():
            # "14 sc in the front loops of Rnd 5" names its stitches; "2 sc in each" goes into every loop.
            every = count is None or self.every_loop
            return Target("earlier", 0 if every else one(count), loop, self.named_round), each if every else 1
        self.loop_here = loop
        if self._role() in ("each", "next", "num", "same", "ordinal", "last", "remain", "space") and not (
            self._role() == "num" and self._role(1) == "stitch" and self._value(1)
        ):
            return self._into(each, count)
        if self._role() == "around":
            return self._around(count)
        if self._is_generic():
            self.at += 1
        return self._untold(count)

    def _gap(self, each: Number, count: Number | None) -> Placed:
        """Between stitches, behind petals, around a post, below: a place that is told by words."""
        role = self._next().role
        if role in ("post", "top"):
            self._skip("the")
            if self._role() in ("next", "each", "num", "same", "stitch", "last", "ordinal"):
                return self._into(each, count)
            return Target("next", 1), each
        if role in ("between", "behind") and self._role() == "each" and self._is_generic(1):
            self.at += 2  # "between each st": as many gaps as stitches
            self._to_the_end()
            return Target("around"), each
        begin = self.at
        free = False
        while self._role() in (
            "the",
            "next",
            "num",
            "stitch",
            "space",
            "unit",
            "each",
            "corner",
            "ordinal",
            "word",
            "part_name",
            "same",
            "post",
            "of",
        ):
            free = free or self._role() == "each"
            self.at += 1
        free = free or (role == "behind" and count is None and self.at == begin)
        return Target("free", 0 if free else 1), each


def one(count: Number | None) -> Number:
    """The number of a stitch that is written without one."""
    return 1 if count is None else count
