"""Tokens between header and total in, nodes of the instruction tree out: recursive descent over roles; no word is known here."""

from __future__ import annotations

from typing import NamedTuple

from booklet.notation.acts import Acts, is_work, works
from booklet.notation.cursor import NotUnderstood
from booklet.notation.lex import Text, Token
from booklet.notation.places import one
from booklet.notation.tree import NEXT, Act, Group, Node, Number, Target, Work
from booklet.tables.stitches import stitches

LIMIT_NESTING = 12

_SEPARATORS = frozenset(("comma", "stop", "and", "plus", "the", "colon", "dash", "bullet", "bar", "equals", "slash", "times_only"))
_PLACE_WORDS = ("in", "on", "next", "same", "last", "ordinal", "each", "corner", "between", "behind", "space")


class Doubt(NamedTuple):
    """A node that could be meant otherwise."""

    code: str
    node: Node  # as it stands in the tree
    other: Node  # what it would be


class Body(Acts):
    """One parse of the body. `doubts` collects the nodes that can be read in another way."""

    def __init__(self, line: list[Token], text: Text, guess: bool = False) -> None:
        super().__init__(line, text)
        self.guess = guess  # pass over words that are not understood
        self.passed: list[Token] = []
        self.depth = 0
        self.doubts: list[Doubt] = []
        self.reach: Node | None = None  # R10: a node whose "around" may close the whole sequence
        self.named = ""  # the words of the stitch at hand
        self.slip: Node | None = None  # R9: the last slip stitch that was written without a number
        self.marked = False  # a repeat was marked
        self.address = 0  # places named before a stitch: "(st 1-5) sc"
        self.bare = False  # the stitch at hand was written without a number
        self.base = "single_crochet"  # the plain stitch named last, for "2 in next st"
        roles = frozenset(self.roles)
        self.has_parts = "part" in roles or "part_name" in roles
        self.number_after = self._is_number_after()

    def _is_number_after(self) -> bool:
        """Does the line write `sc 2, inc 1` (number behind its stitch)? Told by the first stitch."""
        for i, token in enumerate(self.line):
            if token.role == "stitch" and token.value not in ("", "chain", "slip_stitch", "skip"):
                before = self.roles[i - 1] if i else ""
                return before not in ("num", "times") and self.roles[i + 1] == "num" and self.roles[i + 2] not in ("times",)
        return False

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

    # --- sequences -------------------------------------------------------------------------------------------------

    def _items(self, stop: frozenset[str]) -> list[Node]:
        items: list[Node] = []
        roles = self.roles
        while self.at < self.size:
            role = roles[self.at]
            if role in stop or (role == "close" and not stop):
                break
            if role in _SEPARATORS:
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
        if not self.guess or self.depth > LIMIT_NESTING:
            raise stopped
        at = max(begin, min(self.at, self.size - 1))
        self.passed.append(stopped.token or self.line[at])
        self.at = max(begin + 1, self.at)

    def _work_follows(self) -> bool:
        at = self.at
        while at < self.size and self.roles[at] != "stop":
            at += 1
        return any(token.role == "stitch" for token in self.line[at:])

    def _item(self, items: list[Node]) -> None:
        read = _READERS.get(self.roles[self.at])
        if read is None:
            raise NotUnderstood(self.line[self.at], "a number, a stitch, a bracket or a repeat")
        read(self, items)

    # --- repeats ---------------------------------------------------------------------------------------------------

    def _bracket(self, items: list[Node]) -> None:
        begin = self.at
        inner = self._peek_inner()
        if inner is not None:
            self._aside(inner, items)
            return
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
        if explains and len(works(unit)) == 1 and _says_again(items[-1], works(unit)[0]):
            self._worked_again(items)
            return
        if self.ring and not works(unit) and unit:
            items += unit
            return
        self._group(items, unit, begin, "bracket")

    def _is_spoken(self, begin: int) -> bool:
        """A bracket in the middle of the line that holds a remark: no number stands before a stitch, no passes behind it."""
        end = begin + 1
        while end < self.size and self.roles[end] not in ("open", "close"):
            end += 1
        if end >= self.size or self.roles[end] != "close" or self.roles[end + 1] in ("times", "num", "once", "repeat", "around", "in"):
            return False
        return not any(self.roles[i] == "num" and self.roles[i + 1] == "stitch" for i in range(begin, end))

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

    def _repeats_rounds(self) -> bool:
        return self._role(1) in ("header", "next_header")

    def _nested(self, stop: frozenset[str]) -> list[Node]:
        self.depth += 1
        if self.depth > LIMIT_NESTING:
            raise NotUnderstood(self.line[self.at - 1], f"at most {LIMIT_NESTING} brackets within each other")
        unit = self._items(stop)
        self.depth -= 1
        return unit

    def _group(self, items: list[Node], unit: list[Node], begin: int, mark: str) -> None:
        unit = [_in_unit(node) for node in unit]
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
        if self._role() in ("comma", "the", "and", "dash") and self._role(1) == "ending" or self._role() == "ending":
            self._ending(items)

    def _take_times(self) -> bool:
        """`(…) in next st 6 times`, `(…) in same sp, x 6`."""
        if self._role() == "times" and self._role(1) == "num":
            self.at += 1
            return True
        return (self._role() == "num" and self._role(1) == "times") or (self._role() == "once")

    def _unsaid(self, items: list[Node], unit: list[Node], inside: object, mark: str) -> None:
        """No passes: the unit goes around if it is the only thing, else it is worked once; after a repeat it explains it."""
        span = self._span(self.at - 1, self.at)
        begin_span = inside if hasattr(inside, "line") else span
        if self.pending is not None:
            target, self.pending = self.pending, None
            items.append(Group(tuple(unit), 1, begin_span, 0, target))  # type: ignore[arg-type]
            return
        around = Group(tuple(unit), None, begin_span)  # type: ignore[arg-type]
        before = works(items)
        if before and mark == "bracket" and not self.depth and _is_free(before[-1]) and self.roles[self.at] in ("", "stop", "close", "open"):
            return  # the unit said twice: `inc in every 3rd st (2 sc, inc)`
        if self.ring:
            items += unit
            return
        if mark == "bracket" and (self.depth or before or self._work_ahead()):
            once = Group(tuple(unit), 1, begin_span)  # type: ignore[arg-type]
            only = works(unit)
            if len(only) == 1 and isinstance(only[0], Work) and isinstance(only[0].count, int) and only[0].count > 1 and only[0].target.kind == "next":
                # `6 sc, [3 sc], 5 sc`: stitches that share one place are bracketed
                in_one = Group(((_in_one(only[0])),), 1, begin_span)  # type: ignore[arg-type]
                self.doubts.append(Doubt("in-one-place", once, in_one))
            elif not self.depth:
                self.doubts.append(Doubt("bracket-around", once, around))
            items.append(once)
            return
        items.append(around)

    def _work_ahead(self) -> bool:
        at = self.at
        while at < self.size and self.roles[at] in _SEPARATORS:
            at += 1
        return self.roles[at] in ("num", "open", "star") or (self.roles[at] == "stitch" and self.line[at].value != "slip_stitch")

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
        done = works(items)
        if self._role() == "even" and not done:  # "work even"
            self._as_before(items)
            return
        if self._role() == "around" and not done:
            raise NotUnderstood(self.line[begin], "a stitch before the place")
        passes = self._passes("none")
        if passes is None or not done:
            raise NotUnderstood(self.line[begin], "what to repeat, and how often")
        last = done[-1]
        if isinstance(last, Work) and last.target.kind == "around" and passes.times is None and not passes.until:
            return
        if isinstance(last, Group) and (last.times is None or len(done) == 1) and passes.times is None and not passes.until:
            if last.times is not None and last.target is None:
                items[items.index(last)] = Group(last.items, None, last.span, passes.leave)
            return
        if passes.until and isinstance(last, Group) and len(done) == 1:
            items[items.index(last)] = Group(last.items, None, last.span, 0, None, passes.until)
            return
        self._wrap(items, done, passes.times, passes.leave, passes.until)

    def _wrap(self, items: list[Node], done: list[Work | Group], times: Number | None, leave: Number = 0, until: Number = 0) -> None:
        first = items.index(done[0])
        lead = [node for node in items[:first] if isinstance(node, Act)]
        unit = tuple(_in_unit(node) for node in items[first:])
        items[:] = [*lead, Group(unit, times, done[0].span.to(done[-1].span), leave, None, until)]
        self.marked = True

    def _etc(self, items: list[Node]) -> None:
        """`2 sc, inc, 2 sc, inc, etc.`: the shortest unit that the words repeat."""
        self.at += 1
        done = works(items)
        if not done or self.depth or self.marked:
            return
        bare = [_bare(node) for node in done]
        size = next(n for n in range(1, len(bare) + 1) if all(bare[i] == bare[i % n] for i in range(len(bare))))
        items[:] = [node for node in items if isinstance(node, Act)]
        items.append(Group(tuple(done[:size]), None, done[0].span.to(done[-1].span)))

    # --- stitches --------------------------------------------------------------------------------------------------

    def _counted(self, items: list[Node]) -> None:
        begin = self.at
        count = self._take_number()
        while self._role() in ("the", "more") or (self._role() in ("stop", "dash") and self.line[self.at].glued and self._role(1) == "stitch"):
            self.at += 1
        if self._role() == "times" and self._role(1) in ("open", "star"):  # 7 x (2 sc, inc)
            self.at += 1
            self._multiplied(items, count)
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
        else:
            raise NotUnderstood(self._here() or self.line[begin], "a stitch after the number")

    def _is_colour_pair(self) -> bool:
        """`8A`: a number and a colour code, as in a colour chart."""
        code = self._role() == "yarn" or (self._role() == "word" and self._is_code(self.at) and self.line[self.at].glued)
        return code and self._role(1) in ("comma", "", "close", "plus", "star", "stop", "dash")

    def _multiplied(self, items: list[Node], count: Number) -> None:
        before = len(items)
        self._item(items)
        group = items[before] if len(items) > before else None
        if isinstance(group, Group):
            items[before] = Group(group.items, count, group.span, group.leave)
            self.doubts = [doubt for doubt in self.doubts if doubt.node is not group]

    def _plain(self, items: list[Node]) -> None:
        self._work(items, self.at, None, False)

    def _work(self, items: list[Node], begin: int, count: Number | None, glued: bool) -> None:
        token = self._next()
        stitch = token.value
        self.named = self.text.text[token.start : token.end]
        while stitch and self._is_generic() and self._role(1) not in ("in", "each"):
            self.at += 1  # "6 sc sts"
        if not stitch:
            if count is None:
                raise NotUnderstood(token, "which stitch is meant")
            stitch = self.base
        if stitch == "skip":
            self._skipped(items, begin, count)
            return
        if stitch == "slip_stitch" and (self._joins_here() or (self._role() == "ring")):
            self._join(items)
            return
        if count is None:
            glued = self._role() == "num" and self.line[self.at].glued and self._role(1) != "times"
            count = self._count_after(stitch)
            glued = glued and count is not None
        if count is None and self.address and stitch != "chain":
            count = max(1, self.address // max(1, stitches()[stitch].uses)) if stitch in stitches() else None
        self.address = 0
        if self._role() == "open" and self._role(1) in ("in", "each", "next") and self._inner_end() and self._role(1) != "":
            self.at += 1  # `2 sc (in next st)`
        self._placed(items, begin, stitch, count, glued)

    def _inner_end(self) -> bool:
        at = self.at + 1
        while at < self.size and self.roles[at] in ("in", "the", "next", "each", "stitch", "num", "same", "around"):
            if self.roles[at] == "stitch" and self.line[at].value not in ("", "chain"):
                return False
            at += 1
        if self.roles[at] == "close" and self.roles[at + 1] not in ("times", "num", "once", "repeat"):
            self.line[at] = self.line[at]._replace(role="the")
            self.roles[at] = "the"
            return True
        return False

    def _placed(self, items: list[Node], begin: int, stitch: str, count: Number | None, glued: bool = False) -> None:
        """The rest of a stitch: its places, loop and colour, and the places into which it goes on."""
        if self._role() == "as_before":
            self._as_before(items)
            return
        if stitch == "chain":
            items.append(Work(stitch, one(count), self._span(begin, self.at)))
            self._after_chain(items)
            return
        if self._plain_stitch(stitch):
            self.base = stitch
        self.bare = count is None
        loop = self._next().value if self._role() == "loop" and self._role(1) not in ("the", "header") else ""
        while True:
            before = self._side_or_yarn()
            target, each = self._target(count)
            if self.has_parts and target[:3] == ("next", 1, "chain") and count is not None:
                target, each = Target("bridge", count), 1  # "5 sc in ch" between two parts
            loop = self.loop_here or loop
            if self._role() == "loop" and self._role(1) != "header":
                loop = self._next().value
            items += before
            node: Node = Work(stitch, one(count), self._span(begin, self.at), target, each, "" if loop == "both" else loop)
            node = self._evened(node)
            items.append(node)
            if isinstance(node, Work) and node.target.kind == "every":
                items[-1] = self._every_nth(node)
            self._note_doubts(node, items, glued)
            self._side_or_yarn_after(items)
            if not self._again():
                break
            begin = self.at
        self._worked_again(items)

    def _evened(self, node: Work) -> Node:
        """`inc 7 evenly`, `inc to 28`, `inc in every 3rd st`."""
        if self._role() == "even":
            self.at += 1
            self._skip("around", "in", "on")
            to_count = self._role() == "range" and self._role(1) == "num"
            if node.target.kind in ("next", "around") and not to_count:
                return Work(node.stitch, node.count, node.span, Target("evenly"), 1, node.loop)
        if self._role() == "range" and self._role(1) == "num" and node.target == (("next", 0, "", 0, "")) and node.count == 1:
            self.at += 1
            n = self._take_number()
            self._take("stitch")
            return Work(node.stitch, 1, node.span, Target("to_count", n))
        return node

    def _every_nth(self, node: Work) -> Group:
        """`inc in every 3rd st`, `every 2nd and 3rd st together`: a unit as long as the period, worked around."""
        stitch = node.stitch
        if self._take("together"):
            stitch = next((row.id for row in stitches().values() if row.family == "decrease" and row.base == stitch and row.uses == 2), stitch)
            self._take("around")
        uses = stitches()[stitch].uses if stitch in stitches() else 1
        period = node.target.n if isinstance(node.target.n, int) else node.target.n[0]
        base = stitches()[stitch].base if stitch in stitches() and stitches()[stitch].base in stitches() else self.base
        shaping = Work(stitch, 1, node.span, Target("next", 1) if node.each != 1 else NEXT, node.each, node.loop)
        plain = Work(base, max(0, period - uses), node.span, NEXT, 1, node.loop)
        self.marked = True
        return Group((plain, shaping) if period > uses else (shaping,), None, node.span)

    def _note_doubts(self, node: Node, items: list[Node], glued: bool) -> None:
        if not isinstance(node, Work):
            return
        if " " in self.named and node.stitch in ("increase", "decrease") and node.target == NEXT and node.count != 1:
            # "2 sc inc" may be two stitches with a comma missing
            plain = Work("single_crochet", node.count, node.span, NEXT, 1, node.loop)
            self.doubts.append(Doubt("comma-missing", node, Group((plain, Work(node.stitch, 1, node.span, NEXT, 1, node.loop)), 1, node.span)))
        if node.stitch == "slip_stitch" and self.bare:
            self.slip = node
        if self.same_count:
            # R6: "3 sc in next 3 sts": three in each, unless only one in each closes.
            other = Work(node.stitch, node.count, node.span, node.target, 1, node.loop)
            self.doubts.append(Doubt("one-in-each", node, other))
        if self.bare_around and len(works(items)) > 1 and not self.depth and not self.marked:
            self.reach = node
        if glued and node.target.kind == "next" and not node.target.n and isinstance(node.count, int) and 1 < node.count < 10 and self._plain_stitch(node.stitch):
            self.doubts.append(Doubt("in-one-place", node, _in_one(node)))

    def _plain_stitch(self, stitch: str) -> bool:
        return stitch.endswith("crochet") or stitch.startswith("extended")

    def _worked_again(self, items: list[Node]) -> None:
        """`inc in next st 6 times`, `inc until 14 sts`: passes that belong to the stitch, or to all that stands before it."""
        node = items[-1]
        if not isinstance(node, Work):
            return
        said = (self._role() == "times" and self._role(1) == "num") or (self._role() == "num" and self._role(1) == "times") or self._role() == "once"
        if not said and self._role() != "until":
            return
        passes = self._passes("none")
        if passes is None:
            return
        if passes.times is None and not passes.until and node.target.kind == "around":
            return  # "sc around until 8 cm"
        first = Group((_in_unit(node),), passes.times, node.span, 0, None, passes.until)
        items[-1] = first
        done = works(items)
        if len(done) > 1 and not self.depth and not self.marked and passes.times is not None:
            lead = items.index(done[0])
            whole = Group((*items[lead:-1], node), passes.times, done[0].span.to(node.span))
            self.doubts.append(Doubt("repeat-unmarked", first, whole))

    def _count_after(self, stitch: str) -> Number | None:
        """`inc x 6`, `sc 6`, `ch 7`, `ch-7`, `inc twice`; None where no number belongs to the stitch."""
        role, after = self._role(), self._role(1)
        if role == "times" and after in ("num",):
            self.at += 1
            return self._take_number()
        if role == "once" and self._role(1) != "more":
            return self._next().number
        stop = role == "stop" and self.line[self.at].glued and after == "num" and self._role(2) in ("comma", "close", "star", "stop", "")
        if stop or (role in ("dash", "stop") and after == "num" and self.line[self.at].glued and self.line[self.at + 1].glued):
            self.at += 1
            return self._take_number()
        if role == "next" and after == "num" and stitch == "skip":
            return None
        if role != "num":
            return None
        if stitch == "chain":
            return self._take_number()
        if after == "times":
            number = self._take_number()
            self.at += 1
            if self._role() == "more":
                self.at += 1
            return number
        if after == "stitch":
            named = bool(self._value(1))
            if named and not self.number_after:
                return None
            number = self._take_number()
            if not named:
                self.at += 1  # "sc 6 sts"
            return number
        if after in ("open", "star", "once", "more", "header") and not self.number_after and not self.line[self.at].glued:
            return None
        return self._take_number()

    def _after_chain(self, items: list[Node]) -> None:
        """`ch 1 between`, `ch 3 for the corner`."""
        if self._role() in ("between", "marker", "corner") or (self._role() == "for" and self._role(1) in ("corner", "the", "ring")):
            while self.at < self.size and self._role() not in ("comma", "stop", "close", "star", "and", "plus", "open", "num", "colon", "repeat"):
                self.at += 1

    def _skipped(self, items: list[Node], begin: int, count: Number | None) -> None:
        """`skip 2`, `skip next 2 sts`, `skip next sp`, `skip first st`."""
        self._skip("the", "over")
        target: Target | None = None
        if self._role() in ("next", "ordinal", "each", "last", "corner", "space", "same"):
            target = self._into(1, None)[0]
        elif self._role() == "num":
            count = self._take_number()
            if self._role() in ("space", "corner"):
                target = self._space(1)[0]._replace(n=count)
            self._take("stitch")
        elif self._role() == "stitch":
            self.at += 1
        if target is not None and target.kind in ("space", "first"):
            items.append(Work("skip", one(target.n), self._span(begin, self.at), target))
            return
        n = target.n if target is not None and target.kind in ("next", "last", "chain_end") and target.n else count
        items.append(Work("skip", one(n), self._span(begin, self.at)))

    def _again(self) -> bool:
        """`… and in each ch across`: the same stitch goes on into another target."""
        step = 0
        while self._role(step) in ("and", "comma", "plus", "the"):
            step += 1
        if not step or self._role(step) not in ("in", "each", "next"):
            return False
        after = step
        while self._role(after) in ("in", "the"):
            after += 1
        if self._role(after) not in ("each", "next", "num", "last", "same") or self._ends_in_work(after):
            return False
        self.at += step
        return True

    def _ends_in_work(self, step: int) -> bool:
        """`…, in next st (…)`, `in next st 2 sc`: the place belongs to what follows."""
        while self._role(step) in ("in", "the", "each", "next", "num", "last", "same", "space", "corner", "around", "remain") or self._is_generic(step) or self._is_chain(step):
            if self._role(step) == "num" and self._role(step + 1) == "stitch" and self._value(step + 1) not in ("", "chain"):
                return self._role(step - 1) not in ("next", "each", "the", "last")
            step += 1
        return self._role(step) in ("open", "stitch")

    # --- colours within a stitch ---------------------------------------------------------------------------------------

    def _side_or_yarn(self) -> list[Node]:
        """`5 sc along the other side of the ch`, `7 sc in A`: what stands after the stitches but comes before them in the work."""
        if self._role() == "other_side" and not self.has_parts:
            return [Act("other_side", self._span(self.at, self._advance()))]
        if self._role() == "other_side":
            self.line[self.at] = self.line[self.at]._replace(role="on_bridge_other")
            self.roles[self.at] = "on_bridge_other"
        return self._in_yarn()

    def _in_yarn(self) -> list[Node]:
        step = 1
        while self._role(step) == "color":
            step += 1
        if self._role() not in ("in", "with", "change"):
            return []
        if self._role(step) == "yarn" or (self._role(step) == "word" and self._is_code(self.at + step)):
            self.at += step + 1
            return [Act("yarn", self._span(self.at - 1, self.at), self.line[self.at - 1].value)]
        end = step
        while self._role(end) == "word":
            end += 1
        if end > step and self._role(end) in ("comma", "stop", "close", "", "star", "colon", "open", "color", "plus", "and", "dash"):
            begin = self.at
            self.at += end
            return [Act("note", self._span(begin, self.at), self._words(begin, self.at))]
        return []

    def _side_or_yarn_after(self, items: list[Node]) -> None:
        found = self._in_yarn()
        if found:
            items[-1:] = [*found, items[-1]]

    # --- brackets without stitches ---------------------------------------------------------------------------------------

    def _peek_inner(self) -> list[Token] | None:
        """The words of a bracket that holds no stitches to be worked: a colour, a remark on the chain, a tally of rounds."""
        end = self.at + 1
        while end < self.size and self.roles[end] not in ("open", "close"):
            end += 1
        if end >= self.size or self.roles[end] != "close":
            return None
        inner = [token for token in self.line[self.at + 1 : end] if token.role not in ("the", "comma", "stop", "in")]
        if not inner:
            return []
        roles = {token.role for token in inner}
        first = inner[0]
        says = roles <= {"yarn", "change", "color", "with"} or "counts" in roles or roles == {"num", "header"} or roles == {"loop"}
        defined = first.role == "stitch" and "equals" in roles
        told = defined or first.role in ("equals", "or", "note") or (first.role == "word" and "stitch" not in roles and "num" not in roles)
        code = len(inner) == 1 and first.role == "word" and self._is_code(self.at + 1)
        place = first.role == "stitch" and not first.value and len(inner) > 1 and inner[1].role == "num"
        number = roles == {"num"} and not self.depth and self.roles[end + 1] not in ("stitch", "times")
        return inner if says or told or code or place or number else None

    def _aside(self, inner: list[Token], items: list[Node]) -> None:
        begin = self.at
        while self._next().role != "close":
            pass
        span = self._span(begin, self.at)
        for token in inner:
            if token.role in ("yarn", "counts", "loop"):
                items.append(Act(token.role, span, token.value, self._counted_space(inner) if token.role == "counts" else 0))
            elif token.role == "num" and len(inner) == 2 and {"num", "header"} == {item.role for item in inner}:
                items.append(Act("tally", span, "", token.number))
        places = [token.number for token in inner if token.role == "num"]
        if inner and inner[0].role == "stitch" and places:
            self.address = max(1, places[-1] - places[0] + 1)
        if len(inner) == 1 and inner[0].role == "word" and self._is_code(begin + 1):
            items.append(Act("yarn", span, inner[0].value))
        elif inner and inner[0].role in ("word", "note") and not any(token.role == "counts" for token in inner):
            items.append(Act("note", span, self._words(begin + 1, self.at - 1)))

    def _counted_space(self, inner: list[Token]) -> int:
        """`(counts as dc and ch 2)`: the chains beyond the stitch."""
        for i, token in enumerate(inner):
            if token.role == "stitch" and token.value == "chain":
                near = [inner[k].number for k in (i + 1, i + 2, i - 1) if 0 <= k < len(inner) and inner[k].role == "num"]
                return near[0] if near else 1
        return 0


def _in_one(node: Work) -> Work:
    return Work(node.stitch, node.count, node.span, Target("next", 1), node.count, node.loop)


def _in_unit(node: Node) -> Node:
    """R14: "2 sc in each st" inside a unit is "in next st"."""
    if isinstance(node, Work) and node.target.kind == "around" and not node.target.name:
        return Work(node.stitch, node.count, node.span, Target("next", 1), node.each, node.loop)
    return node


def _says_again(node: Node, unit: Node) -> bool:
    """`dec (sc2tog)`, `inc (2 sc in next st)`: the bracket tells again what the word before it means."""
    if not isinstance(node, Work) or not isinstance(unit, Work) or node.stitch not in stitches() or unit.stitch not in stitches():
        return False
    word, told = stitches()[node.stitch], stitches()[unit.stitch]
    if word.family in ("cluster", "shell"):
        return True
    each = unit.each if unit.target.n == 1 or unit.target.kind in ("same", "around") else 1
    return word.family in ("increase", "decrease") and (word.uses, word.leaves) == (told.uses, told.leaves * each if isinstance(each, int) else 0)


def _is_free(node: Node) -> bool:
    if isinstance(node, Group):
        return node.times is None
    return isinstance(node, Work) and node.target.kind in ("around", "every")


def _bare(node: Node) -> object:
    """A node without its place in the file, to be compared."""
    if isinstance(node, Group):
        return tuple(_bare(item) for item in node.items), node.times
    return (node.stitch, node.count, node.target[:2], node.each) if isinstance(node, Work) else node.kind


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
    "ring": Body._ring_first,
    "note": Body._note,
    "as_before": Body._as_before,
    "post": Body._in,
    "unworked": Body._leave,
    "leave": Body._leave,
    "etc": Body._etc,
    "always": Body._skip_words,
    "more": Body._skip_words,
    "marker": Body._note,
}
__all__ = ["LIMIT_NESTING", "Body", "Doubt", "NotUnderstood", "is_work"]
