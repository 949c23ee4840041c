"""Stitches of a unit in, what becomes of it out: worked once, around, in one place, with all that stands before it; passes are repeats'."""

from __future__ import annotations

from booklet.diagnostics.span import Span
from booklet.notation.acts import works
from booklet.notation.doubts import Doubt, in_one
from booklet.notation.stitching import Stitching, in_unit
from booklet.notation.tree import Act, Group, Node, Number, Work
from booklet.tables.stitches import stitches

SEPARATORS = frozenset(
    ("comma", "stop", "and", "plus", "the", "colon", "dash", "bullet", "bar", "equals", "slash", "times_only")
)


class Units(Stitching):
    """Makes groups of units."""

    def _unsaid(self, items: list[Node], unit: list[Node], inside: Span, mark: str) -> None:
        """No passes: the unit goes around if it is the only thing, else it is worked once; after a repeat it explains it."""
        if self.pending is not None:
            target, self.pending = self.pending, None
            items.append(Group(tuple(unit), 1, inside, 0, target))
            return
        around = Group(tuple(unit), None, inside)
        before = works(items)
        if (
            before
            and mark == "bracket"
            and not self.depth
            and _is_free(before[-1])
            and self.roles[self.at] in ("", "stop", "close", "open")
        ):
            return  # the unit said twice: `inc in every 3rd st (2 sc, inc)`
        if self.ring:
            items += unit
            return
        if mark == "bracket" and (self.depth or before or self._work_ahead()):
            once = Group(tuple(unit), 1, inside)
            only = works(unit)
            if (
                len(only) == 1
                and isinstance(only[0], Work)
                and isinstance(only[0].count, int)
                and only[0].count > 1
                and only[0].target.kind == "next"
            ):
                # `6 sc, [3 sc], 5 sc`: stitches that share one place are bracketed
                shared = Group((in_one(only[0]),), 1, inside)
                self.doubts.append(Doubt("in-one-place", once, shared))
            elif not self.depth:
                self.doubts.append(Doubt("bracket-around", once, around))
            items.append(once)
            return
        items.append(around)

    def _work_ahead(self) -> bool:
        at = self.at
        while at < self.size and self.roles[at] in SEPARATORS:
            at += 1
        return self.roles[at] in ("num", "open", "star") or (
            self.roles[at] == "stitch" and self.line[at].value != "slip_stitch"
        )

    def _take_times(self) -> bool:
        """`(…) in next st 6 times`, `(…) in same sp, x 6`."""
        if self._role() == "times" and self._role(1) == "num":
            self.at += 1
            return True
        return (self._role() == "num" and self._role(1) == "times") or (self._role() == "once")

    def _wrap(
        self, items: list[Node], done: list[Work | Group], times: Number | None, leave: Number = 0, until: Number = 0
    ) -> None:
        first = items.index(done[0])
        lead = [node for node in items[:first] if isinstance(node, Act)]
        unit = tuple(in_unit(node) for node in items[first:])
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

    def _is_colour_pair(self) -> bool:
        """`8A`: a number and a colour code, as in a colour chart."""
        code = self._role() == "yarn" or (
            self._role() == "word" and self._is_code(self.at) and (self.line[self.at].glued or len(self._value()) == 1)
        )
        return code and self._role(1) in ("comma", "", "close", "plus", "star", "stop", "dash")

    def _is_spoken(self, begin: int) -> bool:
        """A bracket in the middle of the line that holds a remark: no number stands before a stitch, no passes behind it."""
        end = begin + 1
        while end < self.size and self.roles[end] not in ("open", "close"):
            end += 1
        if (
            end >= self.size
            or self.roles[end] != "close"
            or self.roles[end + 1] in ("times", "num", "once", "repeat", "around", "in")
        ):
            return False
        return not any(self.roles[i] == "num" and self.roles[i + 1] == "stitch" for i in range(begin, end))

    def _repeats_rounds(self) -> bool:
        return self._role(1) in ("header", "next_header")

    def _work_follows(self) -> bool:
        at = self.at
        while at < self.size and self.roles[at] != "stop":
            at += 1
        return any(token.role == "stitch" for token in self.line[at:])


def says_again(node: Node, unit: Node) -> bool:
    """`dec (sc2tog)`, `inc (2 sc in next st)`: the bracket tells again what the word before it means."""
    if (
        not isinstance(node, Work)
        or not isinstance(unit, Work)
        or node.stitch not in stitches()
        or unit.stitch not in stitches()
    ):
        return False
    word, told = stitches()[node.stitch], stitches()[unit.stitch]
    if word.family in ("cluster", "shell"):
        return True
    each = unit.each if unit.target.n == 1 or unit.target.kind in ("same", "around") else 1
    return word.family in ("increase", "decrease") and (word.uses, word.leaves) == (
        told.uses,
        told.leaves * each if isinstance(each, int) else 0,
    )


def _is_free(node: Node) -> bool:
    if isinstance(node, Group):
        return node.times is None
    return isinstance(node, Work) and node.target.kind in ("around", "every")


def _bare(node: Node) -> object:
    """A node without its place in the file, to be compared."""
    if isinstance(node, Group):
        return tuple(_bare(item) for item in node.items), node.times
    return (node.stitch, node.count, node.target[:2], node.each) if isinstance(node, Work) else node.kind
