"""A cursor at the name of one place in, the place out: same, last, n-th, space, every n-th, another part; prepositions are places'."""

from __future__ import annotations

from booklet.notation.cursor import Cursor
from booklet.notation.lex import Text, Token
from booklet.notation.tree import Number, Target
from booklet.tables.stitches import stitches

Placed = tuple[Target, Number]  # the target, and how many stitches go into each of its places


class Spots(Cursor):
    """Reads single places."""

    def __init__(self, line: list[Token], text: Text) -> None:
        super().__init__(line, text)
        told = self.roles[: self.roles.index("note")] if "note" in self.roles else self.roles  # "Stuff Body." is on no part
        self.has_parts = "part" in told or "part_name" in told
        self.ring = False  # "in ring:" said before the stitches
        self.earlier: tuple[int, str] | None = None  # "in the front loops of Rnd 6:" said before the stitches
        self.pending: Target | None = None  # "in next st, …" said before the stitches
        self.on_part: Target | None = None  # the part on which plain stitches go on
        self.place_first = False  # a place is being read that stands before its stitches
        self.pending_each = False  # the place said before was "each 3 sts"
        self.loop_here = ""  # a loop named within the target
        self.left: Number = 0  # "to last 3 sts" said behind the target
        self.written: Number = 0  # the number before the stitch, 0 where there is none
        self.named_round = 0  # of the label taken last
        self.each_number = False  # "each 3 sts"
        self.every_loop = False  # "in each front loop of"
        self.same_count = False  # R6: "3 sc in next 3 sts"
        self.bare_around = False  # "around" with no word of its places (R10)

    def _into_ring(self, each: Number) -> Placed:
        self.at += 1
        return Target("ring"), 1

    def _same(self, each: Number) -> Placed:
        self.at += 1
        self._skip("the", "corner")
        if self._take("space"):
            if self._role() == "as" and "join" in (self._role(1), self._role(2)):
                self.at += 2 + (self._role(1) != "join")
                return Target("same", 1), each  # "same sp as joining": the stitch, whatever it is called
            return Target("same_space", 1), each
        self._take("stitch")
        self._skip("dash")
        if self._role() == "num" and self._role(-1) in ("stitch", "dash") and self._role(1) != "stitch":
            self.at += 1  # "base of ch 3"
        while self._role() in ("as", "the", "join", "ordinal") and self._role(1) in (
            "the",
            "join",
            "stitch",
            "ordinal",
        ):
            self.at += 1  # "same st as joining", "same st as first sc"
        self._take("join")
        if self._role(-1) in ("the", "as", "ordinal"):
            self._take("stitch")
        return Target("same", 1), each

    def _leads(self) -> bool:
        """`in the last 3 sc, …`, a place before its stitches: the number is that of the stitches."""
        return self.place_first and self._role(1) == "stitch" and self._value(1) not in ("", "chain")

    def _last(self, each: Number) -> Placed:
        self.at += 1
        n = self._take_number() if self._role() == "num" and not self._leads() else 1
        chain = self._is_chain()
        if self._take("space"):
            return Target("space", n), each
        named = stitches().get(self._value()) if self._role() == "stitch" else None
        if named is not None and named.family == "decrease":
            return Target("next"), each  # "the last 2 sts together": the stitch itself says how many
        self._take("stitch")
        return Target("chain_end" if chain else "last", n), each

    def _nth(self, each: Number) -> Placed:
        """`2nd ch from hook`, `first st`, `first 3 sts`, `first ch-3 sp`."""
        number = self._next().number
        if self._role() == "hook" or (self._is_generic() and self._role(1) == "hook"):
            self._take("stitch")
            self.at += 1
            return Target("chain", number), each
        if self._role() == "num":
            n = self._take_number()
            self._take("stitch")
            self.same_count = n == self.written and n != 1  # R6: "2 sc in the first 2 sts"
            return Target("next", n), each
        if self._role() in ("space", "corner"):
            return self._space(each)
        if self._role() == "part_name":
            return self._elsewhere(self.written)._replace(instance=number), 1
        if self._is_chain():
            self.at += 1
            if self._take("hook"):
                return Target("chain", number), each
            return (Target("chain", 0) if number == 1 else Target("chain", number)), each
        if self._value() != "skip":
            self._take("stitch")
        if (part := self._of_part()) is not None:
            return part, 1  # "first st of first leg"
        self._of_round()
        return Target("first", 1), each

    def _of_part(self) -> Target | None:
        """`of first leg`, `on Leg 2`: the part whose stitch is meant; the stitches behind it go on there."""
        step = self._past_articles()
        if self._role(step) == "ordinal" and self._role(step + 1) == "part_name":
            self.at += step
            number = self._next().number
            self.on_part = self._elsewhere(1)._replace(instance=number)
            return self.on_part
        if self._role(step) not in ("part", "part_name"):
            return None
        self.at += step
        self.on_part = self._elsewhere(1)
        return self.on_part

    def _space(self, each: Number) -> Placed:
        corner = self._take("corner")
        chains = self._here().number if self._role() == "space" else 0  # type: ignore[union-attr]
        if not self._take("space") and self._role() == "stitch":
            self.at += 1
            if self._role() != "space":
                return Target("next", 1), each  # "in corner st"
            self.at += 1
        self._skip("corner")
        return Target("space", 1, "corner" if corner else "", chains), each

    def _stitch_word(self) -> str:
        """`st`, and in other languages an adjective behind it: "maille suivante", "même"."""
        self._take("stitch")
        role = self._role()
        if role in ("next", "same") and self._role(1) not in ("num", "stitch", "space", "part_name", "ordinal", "each"):
            self.at += 1
            return role
        return ""

    def _take_label(self) -> bool:
        """`Rnd 6`, `6. round`, behind "of", "on" or "in": takes it, and keeps its number."""
        step = self._label_ahead(0)
        if step is None:
            return False
        self.at += step
        taken = 0
        while taken < 2:
            role = self.roles[self.at]
            if role in ("num", "ordinal"):
                self.named_round = self.line[self.at].number
            taken += role != "stop"
            self.at += 1
        return True

    def _postposition(self) -> None:
        """A word for "in" behind its place, in languages that put it there."""
        if self._role() == "in" and self._role(1) in ("comma", "", "close", "stop", "star", "plus", "and", "open"):
            self.at += 1

    def _label_ahead(self, step: int) -> int | None:
        """How many words ahead the label of a round begins; None where none is named there."""
        while self._role(step) in ("the", "in", "on", "from"):
            step += 1
        roles = [role for role in self.roles[self.at + step : self.at + step + 4] if role != "stop"]
        named = roles[:2] in (["header", "num"], ["header", "ordinal"], ["num", "header"], ["ordinal", "header"])
        return step if named else None

    def _of_round(self) -> None:
        """`in each st of Rnd 6`: a round that is named; of the last one nothing is told."""
        if self._role() == "num" and self._role(1) == "header":  # "in the st two rounds below"
            self.at += 2
            self._skip("the")
        if self._role() == "the" and self._role(1) in ("header", "next_header"):
            self.at += 2
            if self._role() == "num":
                self.at += 1
        elif self._role() == "next_header":
            self.at += 1

    def _to_the_end(self) -> None:
        """What may stand behind "each st": around, of the round below, to last 3 sts."""
        self._of_round()
        self._skip("around", "the")
        self._to_the_marker()
        if self._role() == "to_last":
            self.at += 1
            self.left = self._take_number() if self._role() == "num" else 1
            self._take("stitch")
        self._of_round()

    def _to_the_marker(self) -> None:
        """`… around to the marker`: the end of the round, said once more."""
        step = self._past_articles(1)
        if self._role() == "range" and self._role(step) == "marker":
            self.at += step + 1

    def _every(self, each: Number) -> Placed:
        """`every 3rd st`, `every 2nd and 3rd st`: the larger number is the period."""
        number = self._next().number
        while self._role() in ("and", "plus", "comma") and self._role(1) in ("ordinal", "num"):
            self.at += 1
            number = max(number, self._next().number)
        named = stitches().get(self._value()) if self._role() == "stitch" else None
        if named is None or named.family not in ("increase", "decrease"):
            self._take("stitch")  # but not the increase of "every 2nd st increase", where the table has its last words in one
        self._to_the_end()
        return Target("every", number), each

    def _rest(self, each: Number) -> Placed:
        self.at += 1
        self._skip("the")
        if self._role() == "num":
            n = self._take_number()
            self._take("stitch")
            return Target("next", n), each
        if self._role() == "space":
            self.at += 1
            return Target("spaces"), each
        self._skip("stitch")
        self._to_the_end()
        return Target("around", 0, "rest"), each

    def _is_place_word(self, ahead: int) -> bool:
        """Behind "each st and": another kind of place, not another stitch with its own place."""
        while self._role(ahead) in ("each", "in", "the"):
            ahead += 1
        if self._is_slip(ahead):
            return False  # "2 dc in each st, sl st": it closes the round
        return self._role(ahead) in ("stitch", "space") and self._role(ahead + 1) not in ("in", "each", "num", "stitch")

    def _told_by_words(self) -> bool:
        """`over the seam`: a place that is described, not counted."""
        step = self._past_articles()
        begin = step
        while self._role(step) in ("word", "join", "marker"):
            step += 1
        if step == begin or self._role(step) not in ("comma", "stop", "close", "star", "", "colon", "dash"):
            return False
        self.at += step
        return True

    def _to_place(self) -> Placed | None:
        """`sc to the marker`, `sc to 1 st before the marker`: how far is not known from the words."""
        step = 1
        while self._role(step) in ("the", "num", "next", "before", "stitch"):
            step += 1
        if self._role(step) not in ("marker", "corner", "space"):
            return None
        self.at += step + 1
        self._skip("space", "stitch")
        return Target("around", 0, "marker"), 1

    def _elsewhere(self, n: Number) -> Target:
        """On another part, on the bridging chain, through both layers."""
        token = self._next()
        if token.role in ("on_bridge", "on_bridge_other", "on_bridge_both"):
            step = self._past_articles()
            if not n and self._role(step) == "num" and self._is_chain(step + 1):  # "on the other side of the 3 ch"
                self.at += step
                n = self._take_number()
                self.at += 1
            return Target(token.role.removeprefix("on_"), n)
        if token.role == "through_both":
            pieces = token.value == "pieces"
            while self._role() in ("the", "part_name", "and"):
                pieces = pieces or self._role() == "part_name"
                self.at += 1
            return Target("both_pieces" if pieces else "both_layers", n)
        if token.role == "part_name":
            return Target("part", n, token.value, self._take_number_plain(), self._typed(token))
        instance = {"first": 1, "second": 2}.get(token.value, 0)
        named = self._next() if self._role() == "part_name" else None
        return Target("part", n, named.value if named else "", instance, self._typed(named) if named else "")

    def _typed(self, token: Token) -> str:
        return self.text.text[token.start : token.end]

    def _take_number_plain(self) -> int:
        return self._next().number if self._role() == "num" and self._role(1) not in ("stitch", "times") else 0
