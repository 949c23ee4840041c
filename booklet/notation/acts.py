"""A cursor at words that make no stitch in, acts out: joins, turns, colours, loops, chains to start from, remarks."""

from __future__ import annotations

from booklet.notation.cursor import NotUnderstood
from booklet.notation.lex import Token
from booklet.notation.remarks import Remarks
from booklet.notation.tree import Act, Group, Node, Number, Target, Work
from booklet.tables.stitches import stitches

_JOINING = (
    "join",
    "join_target",
    "the",
    "in",
    "on",
    "range",
    "ordinal",
    "top",
    "same",
    "ring",
    "with",
    "color",
    "space",
    "as",
    "part",
    "part_name",
)
_CODE = 3  # letters of a colour code: A, MC, CC1


class Acts(Remarks):
    """Reads what makes no stitch."""

    def _loop(self, items: list[Node]) -> None:
        """`BLO:`, `front loops of Rnd 6:`, before the stitches."""
        begin = self.at
        value = self._next().value
        if self._role() == "stop":
            self.at += 1
        step = self._past_articles()
        self.at += step
        if self._take_label():
            self.earlier = (self.named_round, value)
            if value != "unused":
                items.append(Act("loop", self._span(begin, self.at), value))
            return
        self.at -= step
        if (step and self._role(step) in ("each", "next")) or self._role() in ("each", "next"):
            self.at += step
            self.pending = self._into(1, None)[0]
            items.append(Act("loop", self._span(begin, begin + 1), value))
            return
        if step and self._role(step) == "stitch" and self._role(step + 1) in ("comma", "colon", "", "stop", "close"):
            self.at += step + 1  # "back bumps of the chain:"
        if value != "unused":
            items.append(Act("loop", self._span(begin, self.at), value))

    def _yarn(self, items: list[Node]) -> None:
        begin = self.at
        while self._role() in ("change", "color", "the", "in", "with", "colon"):
            self.at += 1
        if self._role() == "num" and self._role(1) == "measure":  # "using a 3 mm hook and grey yarn, …"
            while self._role() not in ("comma", "stop", "colon", "close", "open", "star", ""):
                self.at += 1
            items.append(Act("note", self._span(begin, self.at), self._words(begin, self.at)))
            return
        if self._role() == "loop" or (
            self._role() == "header" and self._role(1) == "num"
        ):  # "attach yarn in the front loops of Rnd 5"
            self._in_place_of_yarn(items)
            return
        if self._role() == "yarn":
            code = self._next().value
            items.append(Act("yarn", self._span(begin, self.at), code))
            return
        if self._role() == "word" and self._is_code(self.at):
            items.append(Act("yarn", self._span(begin, self.at + 1), self._next().value))
            return
        if self._is_slip() and self._role(-1) in ("with", "the"):  # "attach yarn with a sl st in any st"
            self._join(items)
            return
        if self._role() == "word":  # "with white", "change to dark brown": no code, so it stays as words
            while self._role() == "word":
                self.at += 1
            self._skip("color")
            items.append(Act("note", self._span(begin, self.at), self._words(begin, self.at)))
            return
        if self.line[begin].role in ("color", "with"):
            if self.at == begin:
                self.at += 1
            return
        if self.line[begin].role == "change" and self._role() in ("", "comma", "stop", "close", "dash"):
            items.append(Act("note", self._span(begin, self.at), self._words(begin, self.at)))  # "change colour, 18 sc"
            return
        raise NotUnderstood(self._here() or self.line[begin], "the code of a yarn from the list at the top")

    def _in_place_of_yarn(self, items: list[Node]) -> None:
        if self._role() == "loop":
            self._loop(items)
        else:
            self.at += 2
            self.earlier = (self.line[self.at - 1].number, "")

    def _is_code(self, at: int) -> bool:
        """A short word in capitals, where a colour is named."""
        word = self.line[at].value
        return len(word) <= _CODE and word.isupper()

    def _joins_here(self) -> bool:
        """`to first sc`, `in top of ch 3`, `to join`: after a slip stitch it is the join of a round."""
        step = 0
        while self._role(step) in ("the", "in", "range", "on"):
            step += 1
        role = self._role(step)
        if role in ("join_target", "join", "top"):
            return True
        if step and role == "ordinal":
            hook = self._role(step + 1) == "hook" or self._role(step + 2) == "hook"
            return self._role(step + 1) != "space" and not hook
        return step > 0 and role == "stitch" and self._role(step - 1) == "range"

    def _join(self, items: list[Node]) -> None:
        begin = self.at
        if (self._role(), self._role(1), self._role(2)) == ("range", "num", "stitch"):
            self.at += 1  # Russian "по 2 сбн", two each
            return
        into = ""
        fresh = True
        while True:
            role = self._role()
            if role in ("top",) or (
                self._is_chain() and (fresh or self._role(-1) in ("the", "ordinal", "top", "in", "range"))
            ):
                into = "chain"
                self.at += 1
                if self._role() == "dash" and self._role(1) == "num":
                    self.at += 2
                elif self._role() == "num" and self._role(1) != "stitch":
                    self.at += 1
            elif role == "num" and self._role(-1) in ("the", "top") and self._is_chain(1):
                self.at += 1
            elif role == "with" and self._stitch_joins():
                break
            elif self._is_slip() or role in _JOINING:
                if role in ("part", "part_name") or (role == "ordinal" and self._role(1) == "part_name"):
                    self._of_part()
                    continue
                self.at += 1
                if role == "ordinal" and not into:
                    into = "stitch"
                if role == "ordinal" and self._role() == "hook":
                    self.at += 1
                fresh = role not in ("join", "join_target") or self._role() in ("in", "the", "range")
                if role == "join_target" and self._is_chain() and self._role(1) in ("", "stop", "close"):
                    self.at += 1  # "taking care not to twist ch."
            elif role == "stitch" and self._role(-1) in ("ordinal", "the", "in", "top", "range", "same"):
                self.at += 1
                into = into or "stitch"
                fresh = False
            elif role == "yarn" and self._role(-1) in ("join", "the", "color", "with"):
                self.at += 1
                items.append(Act("yarn", self._span(self.at - 1, self.at), self.line[self.at - 1].value))
            elif role == "loop":
                self._loop(items)
                return
            else:
                break
        if self._role() == "word" and self._role(-1) in ("join", "the", "color"):
            while self._role() == "word":  # "join black"
                self.at += 1
        if items and isinstance(items[-1], Act) and items[-1].kind == "join":
            if into and not items[-1].value:
                items[-1] = Act("join", items[-1].span, into)
            return
        items.append(Act("join", self._span(begin, max(self.at, begin + 1)), into))

    def _stitch_joins(self) -> bool:
        """`join with a sc`: the stitch that joins is one of the round."""
        step = self._past_articles(1)
        if self._role(step) != "stitch" or self._value(step) in ("", "slip_stitch", "chain"):
            return False
        self.at += step
        return True

    def _turn(self, items: list[Node]) -> None:
        items.append(Act("turn", self._span(self.at, self._advance())))

    def _other_side(self, items: list[Node]) -> None:
        items.append(Act("other_side", self._span(self.at, self._advance())))
        self._of_chain()

    def _of_chain(self) -> None:
        """`on the other side | of the ch`."""
        step = self._past_articles()
        if self._is_chain(step) and self._role(step + 1) != "num":
            self.at += step + 1

    def _skip_words(self, items: list[Node]) -> None:
        self.at += 1

    def _from_chain(self, items: list[Node]) -> None:
        """`from 2nd ch from hook: …`."""
        begin = self.at
        self.at += 1
        self._skip("the", "in")
        if self._from_number(items, begin):
            return
        if self._role() in ("ring", "num", "stitch", "open", "loop", "yarn") or (
            self._role() == "word" and self._is_code(self.at)
        ):
            return  # "start with a magic ring", "starting with 6 sc"
        if self._role() == "same":
            self._into(1, None)  # "starting in same st": the first place is meant
            return
        if not self._chain_from(items, begin):
            raise NotUnderstood(self.line[begin], "from which chain the stitches start")

    def _from_number(self, items: list[Node], begin: int) -> bool:
        """`from 2 st 5 sc`: an ordinal without its full stop."""
        named = self._is_generic(1) or (self._is_chain(1) and self._role(2) == "num")
        if self._role() != "num" or not named or self._here().number not in (2, 3, 4, 5):  # type: ignore[union-attr]
            return False
        nth = self._next().number
        self.at += 1
        self._take("hook")
        items.append(Act("chain_from", self._span(begin, self.at), "", nth))
        return True

    def _chain_from(self, items: list[Node], begin: int) -> bool:
        """`2nd ch [from hook]`: where the work along a chain begins, unless all of it goes into that chain."""
        chain = self._is_chain(1) or (self.roles[begin] in ("from", "hook") and self._is_generic(1))  # "from the 2nd st"
        if self._role() != "ordinal" or not (chain or self._role(1) == "hook" or self._role(2) == "hook"):
            return False
        nth = self._next().number
        self._take("stitch")
        self._take("hook")
        if self._role() == "in" and self._role(1) == "stitch":  # "from hook the 2nd ch in sc": a postposition
            self.at += 1
            self.pending = Target("chain", nth if nth > 1 else 0)
            return True
        chains = [node.count for node in items if isinstance(node, Work) and node.stitch == "chain"]
        alone = sum(role == "stitch" for role in self.roles[self.at : self.size]) == 1
        if (alone and chains and chains[-1] in (nth, 1, 2)) or (nth == 1 and chains):
            self.pending = Target("chain", nth if nth > 1 else 0)
        else:
            items.append(Act("chain_from", self._span(begin, self.at), "", nth))
        return True

    def _from_hook(self, items: list[Node]) -> None:
        """A chain counted from the hook, in languages that name the hook first."""
        begin = self.at
        self.at += 1
        self._skip("the", "in")
        if not self._chain_from(items, begin):
            raise NotUnderstood(self.line[begin], "from which chain the stitches start")
        self._skip("in", "the")

    def _layers(self, items: list[Node]) -> None:
        """`through both layers: 7 sc`."""
        self.pending = self._elsewhere(0)
        self._skip("in", "the")

    def _in(self, items: list[Node]) -> None:
        """`in ring: …`, `in 2nd ch from hook: …`, `in B, …`, `in next sp (…)`, before any stitch is named."""
        begin = self.at
        self.written = 0
        if self._role() == "last" and self._role(1) == "num" and self._role(2) == "header":
            self._last_again(items)
            return
        if self._role() == "ordinal" and self._role(1) in ("and", "plus") and self._role(2) == "ordinal":
            if self._first_two(items, begin):
                return
            self.pending, _ = self._every(1)  # "the 3rd and 4th st together"
            if self._role() == "together":
                self._placed(items, begin, self.base, None)
            return
        self._skip("in", "on", "the", "with")
        if self._take("ring"):
            self.ring = True
        elif self._role() in ("yarn", "color") or (self._role() == "word" and self._is_code(self.at)):
            self._yarn(items)
        elif self._chain_from(items, begin):
            return
        elif self._role() == "word" and self._role(1) in ("colon", "comma"):  # "in yellow: 24 sc"
            self.at += 1
            items.append(Act("note", self._span(begin, self.at), self._words(begin, self.at)))
        elif self._role() == "loop":
            self._loop(items)
        elif self._role() == "header" and self._role(1) == "num":
            self.at += 2
            self.earlier = (self.line[self.at - 1].number, "")
        elif (
            self._role() in ("next", "same", "each", "ordinal", "last", "space", "corner", "stitch", "num", "remain")
            and self.line[begin].role != "num"
        ):
            if self.line[begin].role in ("next", "same", "each", "last", "ordinal"):
                self.at = begin
            self.each_number = False
            self.place_first = True
            self.pending, _ = self._into(1, None)
            self.place_first = False
            self.pending_each = self.each_number
            if self._role() == "in" and self._role(1) in ("stitch", "num", "open", "the"):
                self.at += 1  # a postposition
            if self.pending.kind == "every" and self._role() == "together":
                self._placed(items, begin, self.base, None)
        else:
            raise NotUnderstood(self.line[begin], "a stitch before its place")

    def _first_two(self, items: list[Node], begin: int) -> bool:
        """`the 1st and 2nd st together`: at the start of a row, once."""
        step = 3 + self._is_generic(3)
        if (self._value(), self._value(2)) != ("1", "2") or self._role(step) != "together" or self._role(-1) == "each":
            return False
        self.at += step + 1
        stitch = next(
            row.id for row in stitches().values() if row.family == "decrease" and (row.base, row.uses) == ("single_crochet", 2)
        )
        items.append(Work(stitch, 1, self._span(begin, self.at)))
        return True

    def _ring_first(self, items: list[Node]) -> None:
        """`MR, 6 sc`: everything of the line goes into the ring."""
        self.at += 1
        self.ring = True
        self._skip("with", "in")


def is_work(node: Node) -> bool:
    """Does the node make or skip stitches?"""
    return not isinstance(node, Act)


def works(items: list[Node] | tuple[Node, ...]) -> list[Work | Group]:
    """The nodes that make or skip stitches."""
    return [node for node in items if not isinstance(node, Act)]


def numbers(token: Token) -> Number:
    """The number of a token, or one for each size."""
    return tuple(int(n) for n in token.value.split(",")) if "," in token.value else token.number
