"""A stitch that was read in, the other ways it could be meant out; which of them closes is settle's."""

from __future__ import annotations

from typing import NamedTuple

from booklet.notation.acts import works
from booklet.notation.asides import Asides
from booklet.notation.lex import Text, Token
from booklet.notation.tree import NEXT, Group, Node, Target, Work
from booklet.tables.stitches import stitches


class Doubt(NamedTuple):
    """A node that could be meant otherwise."""

    code: str
    node: Node  # as it stands in the tree
    other: Node  # what it would be


class Doubts(Asides):
    """Collects the nodes that can be read in another way."""

    def __init__(self, line: list[Token], text: Text, guess: bool = False) -> None:
        super().__init__(line, text)
        self.guess = guess  # pass over words that are not understood
        self.passed: list[Token] = []
        self.depth = 0
        self.doubts: list[Doubt] = []
        self.reach: Node | None = None  # R10: a node whose "around" may close the whole sequence
        self.by_times = False  # the number of the stitch was a number of times: "inc x 6", "inc 6 times"
        self.going_on = False  # the same stitch goes on into another place: "in 3rd ch from hook and across"
        self.named = ""  # the words of the stitch at hand
        self.multiplied = False  # the line begins with a number of times that may hold for all of it: "6 x 1 sc, 2 sc in next"
        self.slip: Node | None = None  # R9: the last single slip stitch
        self.slip_numbered = False  # it was written with its number: rather a stitch than a join
        self.marked = False  # a repeat was marked
        self.address = 0  # places named before a stitch: "(st 1-5) sc"
        self.bare = False  # the stitch at hand was written without a number
        self.base = "single_crochet"  # the plain stitch named last, for "2 in next st"
        self.number_after = self._is_number_after()

    def _is_number_after(self) -> bool:
        """Does the line write `sc 2, inc 1` (number behind its stitch)? Told by the first stitch."""
        for i, token in enumerate(self.line):
            if token.role == "stitch" and token.value not in ("", "chain", "slip_stitch", "skip"):
                before = self.roles[i - 1] if i else ""
                return (
                    before not in ("num", "times")
                    and self.roles[i + 1] == "num"
                    and self.roles[i + 2] not in ("times",)
                )
        return False

    def _evened(self, node: Work) -> Work | Group:
        """`inc 7 evenly`, `inc to 28`, `inc in every 3rd st`, `dec at both ends`."""
        if self._role() == "both_ends":
            self.at += 1
            one = Work(node.stitch, 1, node.span, NEXT, 1, node.loop)
            self.marked = True
            return Group((one, Group((Work(self.base, 1, node.span),), None, node.span), one), 1, node.span)
        if self._role() == "even" and self._value() == "plain":
            self.at += 1  # "without increases"
        if self._role() == "even":
            self.at += 1
            self._skip("around", "in", "on")
            to_count = self._role() == "range" and self._role(1) == "num"
            if node.target.kind in ("next", "around") and not to_count:
                return Work(node.stitch, node.count, node.span, Target("evenly"), 1, node.loop)
        if (
            self._role() == "range"
            and self._role(1) == "num"
            and node.target == (("next", 0, "", 0, ""))
            and node.count == 1
        ):
            self.at += 1
            n = self._take_number()
            self._take("stitch")
            return Work(node.stitch, 1, node.span, Target("to_count", n))
        return node

    def _nth_or_next(self, node: Work) -> Group:
        """`dec every 3rd st`: the 2nd and 3rd become one, unless the 3rd and 4th must."""
        found = self._every_nth(node)
        plain, shaping = found.items[0], found.items[-1]
        period = (plain.count if isinstance(plain, Work) and isinstance(plain.count, int) else 0) + 1
        known = stitches().get(shaping.stitch) if isinstance(shaping, Work) else None
        if isinstance(plain, Work) and isinstance(shaping, Work) and known is not None and known.family == "decrease":
            lead = () if plain is shaping else (Work(plain.stitch, period, plain.span),)
            longer = Group((*(lead or (Work(self.base, 1, node.span),)), shaping), None, found.span)
            self.doubts.append(Doubt("every-nth", found, longer))
        return found

    def _every_nth(self, node: Work) -> Group:
        """`inc in every 3rd st`, `every 2nd and 3rd st together`: a unit as long as the period, worked around."""
        stitch = node.stitch
        if self._take("together"):
            stitch = next(
                (
                    row.id
                    for row in stitches().values()
                    if row.family == "decrease" and row.base == stitch and row.uses == 2
                ),
                stitch,
            )
            self._take("around")
        uses = stitches()[stitch].uses if stitch in stitches() else 1
        period = node.target.n if isinstance(node.target.n, int) else node.target.n[0]
        row = stitches().get(stitch)
        base = row.base if row is not None and row.base in stitches() and stitch != "skip" else self.base
        shaping = Work(stitch, 1, node.span, Target("next", 1) if node.each != 1 else NEXT, node.each, node.loop)
        plain = Work(base, max(0, period - uses), node.span, NEXT, 1, node.loop)
        self.marked = True
        return Group((plain, shaping) if period > uses else (shaping,), None, node.span)

    def _note_doubts(self, node: Node, items: list[Node], glued: bool) -> None:
        if not isinstance(node, Work):
            return
        if " " in self.named and node.stitch in ("increase", "decrease") and node.target == NEXT:
            # "2 sc inc" may be two stitches with a comma missing
            plain = Work("single_crochet", node.count, node.span, NEXT, 1, node.loop)
            self.doubts.append(
                Doubt(
                    "comma-missing",
                    node,
                    Group((plain, Work(node.stitch, 1, node.span, NEXT, 1, node.loop)), 1, node.span),
                )
            )
        if node.stitch == "slip_stitch" and node.count == 1:
            self.slip, self.slip_numbered = node, not self.bare
        if self.by_times and not self.depth and not self.marked and len(works(items)) > 1 and node.target == NEXT:
            # "2 sc, inc x 6": the number of times may belong to all that stands before it
            first = items.index(works(items)[0])
            single = Work(node.stitch, 1, node.span, NEXT, 1, node.loop)
            whole = Group((*items[first:-1], single), node.count, works(items)[0].span.to(node.span))
            self.doubts.append(Doubt("repeat-unmarked", node, whole))
        self.by_times = False
        if node.target.kind == "same" and node.each != 1:
            # "2 sc in the same st" may mean one and the same, as an increase in the next place
            self.doubts.append(
                Doubt(
                    "same-as-next",
                    node,
                    Work(node.stitch, node.count, node.span, Target("next", 1), node.each, node.loop),
                )
            )
        if (
            self.each_number
            and node.target.kind == "next"
            and node.stitch in stitches()
            and stitches()[node.stitch].family in ("increase", "decrease")
        ):
            # "inc each 3 sts" may be one in three
            every = Work(node.stitch, 1, node.span, Target("every", node.target.n))
            marked, self.marked = self.marked, self.marked
            self.doubts.append(Doubt("every-nth", node, self._every_nth(every)))
            if isinstance(node.target.n, int):  # or one after each three
                after = Work(node.stitch, 1, node.span, Target("every", node.target.n + 1))
                self.doubts.append(Doubt("after-every-nth", node, self._every_nth(after)))
            self.marked = marked
        if self.same_count:
            # R6: "3 sc in next 3 sts": three in each, unless only one in each closes.
            other = Work(node.stitch, node.count, node.span, node.target, 1, node.loop)
            self.doubts.append(Doubt("one-in-each", node, other))
        if self.bare_around and not self.going_on and len(works(items)) > 1 and not self.depth and not self.marked:
            self.reach = node
        if (
            glued
            and node.target.kind == "next"
            and not node.target.n
            and isinstance(node.count, int)
            and 1 < node.count < 10
            and self._plain_stitch(node.stitch)
        ):
            self.doubts.append(Doubt("in-one-place", node, in_one(node)))

    def _plain_stitch(self, stitch: str) -> bool:
        return stitch.endswith("crochet") or stitch.startswith("extended")


def in_one(node: Work) -> Work:
    """The same stitches, all into one place."""
    return Work(node.stitch, node.count, node.span, Target("next", 1), node.count, node.loop)
