"""A cursor at a stitch in, the stitch with its number, places, loops and colours out; sequences and repeats are body's."""

from __future__ import annotations

from dataclasses import replace

from booklet.notation.acts import works
from booklet.notation.cursor import NotUnderstood
from booklet.notation.doubts import Doubt, Doubts
from booklet.notation.lex import Token
from booklet.notation.places import one
from booklet.notation.tree import NEXT, Act, Group, Node, Number, Target, Work
from booklet.tables.stitches import stitches


class Stitching(Doubts):
    """Reads stitches."""

    def _plain(self, items: list[Node]) -> None:
        self._work(items, self.at, None, False)

    def _work(self, items: list[Node], begin: int, count: Number | None, glued: bool) -> None:
        token = self._next()
        stitch = token.value
        self.named = self.text.text[token.start : token.end]
        while stitch and self._is_generic():
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
        if count is None and self._goes_to(items, begin, stitch):
            return
        if count is None:
            glued = self._role() == "num" and self.line[self.at].glued and self._role(1) != "times"
            count = self._count_after(stitch)
            glued = glued and count is not None
        if count is None and self.address and stitch != "chain":
            count = max(1, self.address // max(1, stitches()[stitch].uses)) if stitch in stitches() else None
        self.address = 0
        if (
            self._role() == "open"
            and self._role(1) in ("in", "each", "next")
            and self._inner_end()
            and self._role(1) != ""
        ):
            self.at += 1  # `2 sc (in next st)`
        self._placed(items, begin, stitch, count, glued)

    def _goes_to(self, items: list[Node], begin: int, stitch: str) -> bool:
        """`dec 7 sts until`, in languages that put "until" last: until the round has so many."""
        step = 1 if self._role() == "the" else 0
        if self._role(step) != "num" or not self._is_generic(step + 1) or self._role(step + 2) != "until":
            return False
        self.at += step
        n = self._take_number()
        self.at += 2
        items.append(Work(stitch, 1, self._span(begin, self.at), Target("to_count", n)))
        return True

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
        loop = ""
        if self._role() == "loop" and self._role(1) not in ("the", "header") and self._label_ahead(1) is None:
            loop = self._next().value
        while True:
            before = self._side_or_yarn()
            target, each = self._target(count)
            if self.has_parts and target[:3] == ("next", 1, "chain") and count is not None:
                target, each = Target("bridge", count), 1  # "5 sc in ch" between two parts
            elif self.has_parts and target.kind == "next" and target.name == "chain" and each == 1:
                target = Target("bridge", target.n)  # "sc in next 3 ch"
            elif self.on_part is not None and target == NEXT:
                target = self.on_part._replace(n=one(count))
            elif self.on_part is not None and target.kind != "part":
                self.on_part = None
            loop = self.loop_here or loop
            self._postposition()
            if self._role() == "loop" and self._role(1) != "header":
                loop = self._next().value
            items += before
            node: Node = Work(
                stitch, one(count), self._span(begin, self.at), target, each, "" if loop == "both" else loop
            )
            node = self._evened(node)
            folded = target.kind in ("both_layers", "both_pieces") and self.bare and not target.n
            if folded and self._number_follows(stitch):
                self.pending = target
                return
            items += node.items if isinstance(node, Group) else (node,)
            if folded and isinstance(node, Work):  # "sc through both layers": all along
                items[-1] = Group((replace(node, target=target._replace(n=1)),), None, node.span)
            if isinstance(node, Work) and node.target.kind == "every":
                items[-1] = self._nth_or_next(node)
            self._note_doubts(node, items, glued)
            self._one_with_number(node, items)
            self._side_or_yarn_after(items)
            self._said_between(items)
            if not self._again():
                break
            begin, self.going_on = self.at, True
        self.going_on = False
        self._worked_again(items)

    def _number_follows(self, stitch: str) -> bool:
        """`sc through both sides, 6 sc`: the same stitch again, with its number."""
        step = 1 if self._role() in ("comma", "colon", "stop", "dash") else 0
        return bool(step) and self._role(step) == "num" and self._value(step + 1) == stitch

    def _said_between(self, items: list[Node]) -> None:
        """`dc in 4th ch from hook (skipped chs count as dc) and in each ch`: a remark on the chain before the stitch goes on."""
        inner = self._peek_inner() if self._role() == "open" else None
        if inner is not None and any(token.role == "counts" for token in inner):
            self._aside(inner, items)

    def _one_with_number(self, node: Node, items: list[Node]) -> None:
        """`inc 3 in the last ch`: three increases there, or three stitches."""
        if not isinstance(node, Work) or node.target.kind not in ("chain_end", "last", "chain", "same", "first"):
            return
        stitch = stitches().get(node.stitch)
        if stitch is None or stitch.family != "increase" or not isinstance(node.count, int) or node.count < 2:
            return
        base = stitch.base or self.base
        other = Work(base, node.count, node.span, node.target, node.count, node.loop)
        self.doubts.append(Doubt("increase-in-one-place", node, other))

    def _worked_again(self, items: list[Node]) -> None:
        """`inc in next st 6 times`, `inc until 14 sts`: passes that belong to the stitch, or to all that stands before it."""
        node = items[-1]
        if not isinstance(node, Work):
            return
        said = (
            (self._role() == "times" and self._role(1) == "num")
            or (self._role() == "num" and self._role(1) == "times")
            or self._role() == "once"
        )
        if not said and self._role() != "until":
            return
        begin = self.at
        passes = self._passes("none")
        if passes is None:
            return
        if passes.times is None and not passes.until and node.target.kind == "around":
            items.append(
                Act("measure", self._span(begin, self.at), self._words(begin, self.at))
            )  # "sc around until 8 cm"
            return
        first = Group((in_unit(node),), passes.times, node.span, 0, None, passes.until)
        items[-1] = first
        done = works(items)
        if len(done) > 1 and not self.depth and not self.marked and passes.times is not None:
            lead = items.index(done[0])
            whole = Group((*items[lead:-1], node), passes.times, done[0].span.to(node.span))
            self.doubts.append(Doubt("repeat-unmarked", first, whole))

    def _count_after(self, stitch: str) -> Number | None:
        """`inc x 6`, `sc 6`, `ch 7`, `ch-7`, `inc twice`; None where no number belongs to the stitch."""
        chained = stitch == "chain" and self._role(2) in ("", "comma", "stop", "close", "join")  # "cadena de 4, …"
        behind = self._role(2) == "each" or (self._role(2) == "next" and self._value(2) != "")
        particle = self._is_generic(2) or behind or chained or _is_shaping(stitch)
        if self._role() == "the" and self._role(1) == "num" and particle:
            self.at += 1  # a particle between the stitch and its number: "increase by 2"
        role, after = self._role(), self._role(1)
        self.by_times = (role == "times" and after == "num") or (role == "num" and after == "times") or role == "once"
        if role == "times" and after in ("num",):
            self.at += 1
            return self._take_number()
        if role == "once" and self._role(1) != "more":
            return self._next().number
        stop = (
            role == "stop"
            and self.line[self.at].glued
            and after == "num"
            and self._role(2) in ("comma", "close", "star", "stop", "")
        )
        if stop or (
            role in ("dash", "stop") and after == "num" and self.line[self.at].glued and self.line[self.at + 1].glued
        ):
            self.at += 1
            return self._take_number()
        if role == "next" and after == "num" and stitch == "skip":
            return None
        if role != "num":
            return None
        if stitch == "chain":
            number = self._take_number()
            if self._is_generic():
                self.at += 1
            return number
        if after == "times" and self._role(2) == "num" and glued_here(self.line, self.at):
            return self._take_number()  # "inc1 x 6": the stitch is one, its passes are six
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
        if after == "more" and self._role(2) != "times":
            number = self._take_number()
            self.at += 1  # "sc 8 more"
            return number
        if (
            after in ("open", "star", "once", "more", "header")
            and not self.number_after
            and not self.line[self.at].glued
            and not (after == "star" and self.depth)  # "*1 sc, inc 1* x 6"
        ):
            return None
        return self._take_number()

    def _after_chain(self, items: list[Node]) -> None:
        """`ch 1 between`, `ch 3 for the corner`."""
        if self._role() in ("between", "marker", "corner") or (
            self._role() == "for" and self._role(1) in ("corner", "the", "ring")
        ):
            while self.at < self.size and self._role() not in (
                "comma",
                "stop",
                "close",
                "star",
                "and",
                "plus",
                "open",
                "num",
                "colon",
                "repeat",
            ):
                self.at += 1

    def _skipped(self, items: list[Node], begin: int, count: Number | None) -> None:
        """`skip 2`, `skip next 2 sts`, `skip next sp`, `skip first st`; a language may name the place first."""
        self._skip("the", "over")
        target, self.pending = self.pending, None
        if self._role() in ("next", "ordinal", "each", "last", "corner", "space", "same"):
            target = self._into(1, None)[0]
        elif self._role() == "num":
            count = self._take_number()
            if self._role() in ("space", "corner"):
                target = self._space(1)[0]._replace(n=count)
            self._take("stitch")
        elif self._role() == "stitch":
            self.at += 1
        if self._value() == "skip":
            self.at += 1  # the other half of a verb in two pieces
        if target is not None and target.kind in ("space", "first"):
            items.append(Work("skip", one(target.n), self._span(begin, self.at), target))
            return
        if target is not None and target.kind == "every":
            items.append(self._every_nth(Work("skip", 1, self._span(begin, self.at), target)))
            return
        n = target.n if target is not None and target.kind in ("next", "last", "chain_end") and target.n else count
        items.append(Work("skip", one(n), self._span(begin, self.at)))

    def _again(self) -> bool:
        """`… and in each ch across`: the same stitch goes on into another target."""
        step = 0
        while self._role(step) in ("and", "comma", "plus", "the"):
            step += 1
        if (
            step
            and self._role(step) == "around"
            and self.roles[self.at] == "and"
            and self._role(step + 1) not in ("the", "next", "each")
        ):
            self.at += step  # "in 3rd ch from hook and across"
            return True
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
        while (
            self._role(step)
            in ("in", "the", "each", "next", "num", "last", "same", "space", "corner", "around", "remain", "ordinal")
            or self._is_generic(step)
            or self._is_chain(step)
        ):
            if (
                self._role(step) == "num"
                and self._role(step + 1) == "stitch"
                and self._value(step + 1) not in ("", "chain")
            ):
                return self._role(step - 1) not in ("next", "each", "the", "last")
            step += 1
        if self._role(step - 1) in ("each", "next") and self._role(step + 1) in ("around", "comma", "stop", "close", ""):
            return False  # "and in each sc around": the stitch names the places
        return self._role(step) in ("open", "stitch")

    def _side_or_yarn(self) -> list[Node]:
        """`5 sc along the other side of the ch`, `7 sc in A`: what stands after the stitches but comes before them in the work."""
        if self._role() == "other_side" and not self.has_parts:
            side = Act("other_side", self._span(self.at, self._advance()))
            self._of_chain()
            return [side]
        if self._role() == "other_side":
            self.line[self.at] = self.line[self.at]._replace(role="on_bridge_other")
            self.roles[self.at] = "on_bridge_other"
        return self._in_yarn()

    def _in_yarn(self) -> list[Node]:
        step = 0
        while self._role(step) == "word" and step < 3:
            step += 1
        if step and self._role(step) in ("color", "change") and not self._is_code(self.at):  # "6 sc white yarn", in languages with cases
            begin = self.at
            self.at += step + 1
            return [Act("note", self._span(begin, self.at), self._words(begin, self.at))]
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
        if end > step and self._role(end) in (
            "comma",
            "stop",
            "close",
            "",
            "star",
            "colon",
            "open",
            "color",
            "plus",
            "and",
            "dash",
        ):
            begin = self.at
            self.at += end
            return [Act("note", self._span(begin, self.at), self._words(begin, self.at))]
        return []

    def _side_or_yarn_after(self, items: list[Node]) -> None:
        found = self._in_yarn()
        if found:
            items[-1:] = [*found, items[-1]]


def _is_shaping(stitch: str) -> bool:
    return stitch in stitches() and stitches()[stitch].family in ("increase", "decrease")


def glued_here(line: list[Token], at: int) -> bool:
    """Does no space stand before the word?"""
    return line[at].glued


def in_unit(node: Node) -> Node:
    """R14: "2 sc in each st" inside a unit is "in next st", and so is "in the first st"."""
    if isinstance(node, Work) and node.target.kind == "first":
        return Work(node.stitch, node.count, node.span, Target("next", 1), node.each, node.loop)
    if isinstance(node, Work) and node.target.kind == "around" and not node.target.name:
        return Work(node.stitch, node.count, node.span, Target("next", 1), node.each, node.loop)
    if isinstance(node, Work) and node.target.kind == "free" and not node.target.n:
        return Work(node.stitch, node.count, node.span, Target("free", 1), node.each, node.loop)
    return node
