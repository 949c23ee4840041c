"""Tokens between header and total in, nodes of the instruction tree out: recursive descent over roles; no word is known here."""

from __future__ import annotations

from booklet.notation.cursor import NotUnderstood
from booklet.notation.lex import Text, Token
from booklet.notation.places import Places, one
from booklet.notation.shape import shaped
from booklet.notation.tree import Act, Group, Node, Number, Work

LIMIT_NESTING = 12

_SEPARATORS = frozenset(("comma", "stop", "and", "plus", "the", "colon", "dash", "bullet", "bar", "equals", "slash"))
_Passes = tuple[Number | None, Number]  # times (None = around), places left over


class Body(Places):
    """One reading of the body. `on` names the doubtful readings to take; `doubts` collects those that were met."""

    def __init__(self, line: list[Token], text: Text, on: frozenset[str]) -> None:
        super().__init__(line, text, on)
        self.depth = 0
        self.has_parts = any(token.role in ("part", "part_name") for token in line)

    def read(self) -> list[Node]:
        """All nodes of the line, in order. NotUnderstood where a word does not fit."""
        items = self._items(frozenset())
        if self.at < len(self.line):
            raise NotUnderstood(self.line[self.at], "a stitch or the end of the line")
        items, plain = shaped(items, self.has_parts)
        if not plain:
            self.doubts.discard("repeat-unmarked")
        elif len([node for node in items if isinstance(node, Work)]) > 1:
            self.doubts.add("repeat-unmarked")
        return items

    # --- sequences -------------------------------------------------------------------------------------------------

    def _items(self, stop: frozenset[str]) -> list[Node]:
        items: list[Node] = []
        while self.at < len(self.line):
            token = self.line[self.at]
            if token.role in stop:
                break
            if token.role in _SEPARATORS:
                self.at += 1
                continue
            begin = self.at
            try:
                self._item(items)
            except NotUnderstood:
                # Words after a full stop that are no stitches ("… . Mark the first stitch.") are a remark on the line.
                if self.depth or not items or begin == 0 or self.line[begin - 1].role != "stop":
                    raise
                self.at = len(self.line)
                items.append(Act("note", self._span(begin, self.at), self.text.text[token.start : self.line[-1].end].strip(" .")))
        return items

    def _item(self, items: list[Node]) -> None:
        token = self.line[self.at]
        read = {
            "open": self._bracket,
            "star": self._star,
            "num": self._counted,
            "stitch": self._plain,
            "loop": self._loop,
            "yarn": self._yarn,
            "change": self._yarn,
            "color": self._yarn,
            "join": self._join,
            "join_target": self._join,
            "range": self._join,
            "turn": self._turn,
            "other_side": self._other_side,
            "this_side": self._skip_words,
            "from": self._from_chain,
            "in": self._in,
            "counts": self._counts,
            "repeat": self._repeat_all,
            "around": self._repeat_all,
        }.get(token.role)
        if read is None:
            raise NotUnderstood(token, "a number, a stitch, a bracket or a repeat")
        read(items)

    # --- repeats ---------------------------------------------------------------------------------------------------

    def _bracket(self, items: list[Node]) -> None:
        begin = self.at
        inner = self._peek_inner()
        if inner is not None:
            self._aside(inner, items)
            return
        self.at += 1
        unit = self._nested(frozenset(("close",)))
        if self._role() == "close":
            self.at += 1
        # An unbalanced bracket is closed at the end; a check reports it.
        self._group(items, unit, begin, "bracket")

    def _star(self, items: list[Node]) -> None:
        begin = self.at
        self.at += 1
        unit = self._nested(frozenset(("star", "repeat")))
        if self._role() == "star":
            self.at += 1
            while self._role() in ("comma", "stop", "the") and self._role(1) in ("repeat", "from_star"):
                self.at += 1
            self._group(items, unit, begin, "star")
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
        if not unit:
            raise NotUnderstood(self.line[begin], "stitches inside the repeat")
        inside = self._span(begin, self.at)
        passes = self._passes(mark)
        if passes is None:
            self._place_group()
            passes = (None, 0)
        items.append(Group(tuple(unit), passes[0], inside, passes[1]))

    def _place_group(self) -> None:
        if self._role() == "in":
            raise NotUnderstood(self.line[self.at], "a number of repeats (groups worked into one place are not read yet)")

    def _repeat_all(self, items: list[Node]) -> None:
        """`2 sc, inc, repeat around`: no mark, the whole line so far is the unit."""
        begin = self.at
        works = [node for node in items if not isinstance(node, Act)]
        passes = self._passes("none")
        if passes is None or not works:
            raise NotUnderstood(self.line[begin], "what to repeat, and how often")
        lead = [node for node in items if isinstance(node, Act)]
        items[:] = [*lead, Group(tuple(works), passes[0], works[0].span.to(works[-1].span), passes[1])]

    def _passes(self, mark: str) -> _Passes | None:
        """How often: `x 6`, `6 times`, `6`, `twice`, `around`, `rep from * 5 more times`, `to last 3 sts`."""
        self._skip_soft()
        repeated = self._take("repeat")
        starred = self._from_star()
        if self._take("around"):
            return None, 0
        if self._role() == "to_last":
            return self._to_last()
        total = self._take("total_of")
        times = self._take("times")
        if self._role() == "once":
            return self._next().number, 0
        if self._role() == "num":
            number = self._take_number()
            more = self._take("more")
            said = self._take("times") or times
            more = more or self._take("more")
            if more:
                return _plus(number, 1), 0
            if starred and mark == "open star" and not total and said:
                # R7: "rep from * N times" after an open star is N more, unless only N in all closes.
                self.doubts.add("repeat-in-all")
                return (number, 0) if "repeat-in-all" in self.on else (_plus(number, 1), 0)
            return number, 0
        if times or total:
            raise NotUnderstood(self._here(), "a number after the times sign")
        if repeated or starred:
            return None, 0
        return None

    def _to_last(self) -> _Passes:
        self.at += 1
        left: Number = self._take_number() if self._role() == "num" else 1
        self._take("stitch")
        return None, left

    def _from_star(self) -> bool:
        if self._take("from_star"):
            while self._role() in ("range", "star"):  # "from * to *"
                self.at += 1
            return True
        return False

    # --- stitches --------------------------------------------------------------------------------------------------

    def _counted(self, items: list[Node]) -> None:
        begin = self.at
        count = self._take_number()
        while self._role() in ("the", "more"):
            self.at += 1
        if self._role() == "times" and self._role(1) in ("open", "star"):  # 7 x (2 sc, inc)
            self.at += 1
        if self._role() in ("open", "star") and self.line[self.at - 1].role == "times":
            before = len(items)
            self._item(items)
            group = items[before]
            if isinstance(group, Group):
                items[before] = Group(group.items, count, group.span, group.leave)
            return
        if self._role() != "stitch":
            raise NotUnderstood(self._here() or self.line[begin], "a stitch after the number")
        self._work(items, begin, count)

    def _plain(self, items: list[Node]) -> None:
        self._work(items, self.at, None)

    def _work(self, items: list[Node], begin: int, count: Number | None) -> None:
        stitch = self._next().value or ("stitch" if count is not None else "")
        if not stitch:
            raise NotUnderstood(self.line[begin], "the name of a stitch")
        if stitch == "stitch":
            raise NotUnderstood(self.line[self.at - 1], "which stitch is meant")
        if count is None:
            count = self._count_after(stitch)
        loop = self._next().value if self._role() == "loop" else ""
        if stitch == "slip_stitch" and self._joins_here():
            self._join(items)
            return
        more = True
        while more:
            before = self._side_or_yarn(items, begin)
            target, each = self._target(count)
            loop = self._next().value if self._role() == "loop" else loop
            items.extend(before)
            items.append(Work(stitch, one(count), self._span(begin, self.at), target, each, "" if loop == "both" else loop))
            self._side_or_yarn_after(items)
            more = self._again()
            begin = self.at if more else begin
        if count is None and target.kind == "next" and not target.n and not self.depth:
            self.doubts.add("repeat-unmarked")

    def _count_after(self, stitch: str) -> Number | None:
        """`inc x 6`, `sc 6`, `ch 7`, `ch-7`; None where no number belongs to the stitch."""
        if self._role() == "times" and self._role(1) == "num":
            self.at += 1
            return self._take_number()
        if self._role() == "dash" and self._role(1) == "num" and self.line[self.at].glued:
            self.at += 1
            return self._take_number()
        if self._role() == "num" and stitch == "chain":
            return self._take_number()
        if self._role() == "num" and self._role(1) not in ("stitch", "times", "open", "once", "more"):
            return self._take_number()
        return None

    def _again(self) -> bool:
        """`… and in each ch across`: the same stitch goes on into another target."""
        step = 0
        while self._role(step) in ("and", "comma", "plus", "the"):
            step += 1
        if step and self._role(step) in ("in", "each") and self._role(step + 1) in ("each", "next", "num", "last", "stitch", "same"):
            self.at += step
            return True
        return False

    # --- acts ------------------------------------------------------------------------------------------------------

    def _side_or_yarn(self, items: list[Node], begin: int) -> list[Node]:
        """`5 sc along the other side of the ch`: what stands after the stitches but comes before them in the work."""
        if self._role() == "other_side" and not self.has_parts:
            return [Act("other_side", self._span(self.at, self._advance()))]
        if self._role() == "other_side":
            self.line[self.at] = self.line[self.at]._replace(role="on_bridge_other")
        if self._role() == "in" and self._role(1) in ("yarn", "color"):
            self.at += 1
            self._take("color")
            if self._role() == "yarn":
                return [Act("yarn", self._span(self.at, self._advance()), self.line[self.at - 1].value)]
        return []

    def _side_or_yarn_after(self, items: list[Node]) -> None:
        if self._role() == "in" and self._role(1) == "yarn":
            work = items.pop()
            self.at += 1
            items.append(Act("yarn", self._span(self.at, self._advance()), self.line[self.at - 1].value))
            items.append(work)

    def _loop(self, items: list[Node]) -> None:
        begin = self.at
        value = self._next().value
        if self._role() == "stop":
            self.at += 1
        items.append(Act("loop", self._span(begin, self.at), value))

    def _yarn(self, items: list[Node]) -> None:
        begin = self.at
        while self._role() in ("change", "color", "the"):
            self.at += 1
        if self._role() != "yarn":
            raise NotUnderstood(self._here(), "the code of a yarn from the list at the top")
        code = self._next().value
        items.append(Act("yarn", self._span(begin, self.at), code))

    def _joins_here(self) -> bool:
        """`to first sc`, `to the first st`: after a slip stitch it is the join of a round."""
        step = 0
        while self._role(step) == "the":
            step += 1
        return self._role(step) == "join_target" or (self._role(step) == "range" and self._role(step + 1) in ("ordinal", "the"))

    def _join(self, items: list[Node]) -> None:
        begin = self.at
        while self._role() in ("join", "join_target", "the") or self._is_slip():
            self.at += 1
        if self._role() in ("range", "in") and self._role(1) in ("ordinal", "the"):
            self.at += 1
            while self._role() in ("the", "ordinal"):
                self.at += 1
            self._take("stitch")
        if items and isinstance(items[-1], Act) and items[-1].kind == "join":
            return
        items.append(Act("join", self._span(begin, max(self.at, begin + 1))))

    def _is_slip(self) -> bool:
        token = self._here()
        return token is not None and token.role == "stitch" and token.value == "slip_stitch"

    def _turn(self, items: list[Node]) -> None:
        items.append(Act("turn", self._span(self.at, self._advance())))

    def _other_side(self, items: list[Node]) -> None:
        items.append(Act("other_side", self._span(self.at, self._advance())))

    def _skip_words(self, items: list[Node]) -> None:
        self.at += 1

    def _from_chain(self, items: list[Node]) -> None:
        """`from 2nd ch from hook: …`."""
        begin = self.at
        if self._role(1) == "ordinal" and self._role(2) == "stitch" and self._role(3) == "hook":
            nth = self.line[self.at + 1].number
            self.at += 4
            items.append(Act("chain_from", self._span(begin, self.at), "", nth))
            return
        raise NotUnderstood(self.line[begin], "from which chain the stitches start")

    def _in(self, items: list[Node]) -> None:
        """`in ring: …`, `in 2nd ch from hook: …`, `in B, …`, before any stitch is named."""
        begin = self.at
        self.at += 1
        while self._role() == "the":
            self.at += 1
        if self._take("ring"):
            self.ring = True
        elif self._role() in ("yarn", "color"):
            self._yarn(items)
        elif self._role() == "ordinal" and self._role(1) == "stitch" and self._role(2) == "hook":
            nth = self._next().number
            self.at += 2
            items.append(Act("chain_from", self._span(begin, self.at), "", nth))
        else:
            raise NotUnderstood(self.line[begin], "a stitch before its place")

    def _counts(self, items: list[Node]) -> None:
        token = self._next()
        items.append(Act("counts", self._span(self.at - 1, self.at), token.value))

    def _peek_inner(self) -> list[Token] | None:
        """The words of a bracket that holds no stitches to be worked: a colour, a remark on the chain, a tally of rounds."""
        end = self.at + 1
        while end < len(self.line) and self.line[end].role not in ("open", "close"):
            end += 1
        if end >= len(self.line) or self.line[end].role != "close":
            return None
        inner = [token for token in self.line[self.at + 1 : end] if token.role not in ("the", "comma", "stop")]
        roles = {token.role for token in inner}
        if inner and (roles <= {"yarn", "change", "color"} or "counts" in roles or roles == {"num", "header"}):
            return inner
        return None

    def _aside(self, inner: list[Token], items: list[Node]) -> None:
        begin = self.at
        while self._next().role != "close":
            pass
        span = self._span(begin, self.at)
        for token in inner:
            if token.role == "yarn":
                items.append(Act("yarn", span, token.value))
            elif token.role == "counts":
                items.append(Act("counts", span, token.value))
            elif token.role == "num":
                items.append(Act("tally", span, "", token.number))


def _plus(number: Number, more: int) -> Number:
    return number + more if isinstance(number, int) else tuple(n + more for n in number)
