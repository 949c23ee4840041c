"""A cursor after a stitch in, where the stitches go out: next, each, same, ring, chain, another part; stitches are body's."""

from __future__ import annotations

from booklet.notation.cursor import Cursor, NotUnderstood
from booklet.notation.lex import Text, Token
from booklet.notation.tree import Number, Target


class Places(Cursor):
    """Reads targets. `on` names the doubtful readings to take; `doubts` collects those that were met."""

    def __init__(self, line: list[Token], text: Text, on: frozenset[str]) -> None:
        super().__init__(line, text)
        self.on = on
        self.doubts: set[str] = set()
        self.ring = False  # "in ring:" said before the stitches

    def _target(self, count: Number | None) -> tuple[Target, Number]:
        each = one(count)
        role = self._role()
        if role == "around":
            self.at += 1
            # "18 sc around" names its stitches; "sc around" goes on to the end.
            return (Target("around"), 1) if count is None else (Target("next"), 1)
        if role == "each":
            return self._each(each)
        if role in ("in", "on", "next") and self._role(1) not in ("yarn", "color"):
            if role != "next":
                self.at += 1
            return self._into(each, count)
        if role in ("part", "part_name", "on_bridge", "on_bridge_other", "through_both"):
            return self._elsewhere(0 if count is None else count), 1
        if self.ring:
            return Target("ring"), 1
        return Target("next"), 1

    def _into(self, each: Number, count: Number | None) -> tuple[Target, Number]:
        while self._role() == "the":
            self.at += 1
        role = self._role()
        if role == "ring":
            self.at += 1
            return Target("ring"), 1
        if role == "ordinal" and self._role(1) == "stitch" and self._role(2) == "hook":
            nth = self._next().number
            self.at += 2
            return Target("chain", nth), each
        if role == "each":
            return self._each(each)
        if role == "same":
            self.at += 1
            self._take("stitch")
            return Target("same", 1), each
        if role == "last":
            self.at += 1
            n = self._take_number() if self._role() == "num" else 1
            chain = self._role() == "stitch" and self._here().value == "chain"  # type: ignore[union-attr]
            self._take("stitch")
            return Target("chain_end" if chain else "last", n), each
        if role == "next":
            self.at += 1
        if role == "ordinal" and self._role(1) == "stitch":
            self.at += 2
            return Target("first", 1), each
        if self._role() == "num":
            return self._next_places(each, count)
        if self._take("stitch"):
            return Target("next", 1), each
        if role in ("part", "part_name", "on_bridge"):
            return self._elsewhere(0 if count is None else count), 1
        raise NotUnderstood(self._here(), "where the stitch goes: next st, each st, same st, ring")

    def _next_places(self, each: Number, count: Number | None) -> tuple[Target, Number]:
        n = self._take_number()
        self._take("stitch")
        self._take("around")
        if count is not None and count == n and count != 1:
            # R6: "3 sc in next 3 sts": three in each, unless only one in each closes.
            self.doubts.add("one-in-each")
            if "one-in-each" in self.on:
                return Target("next", n), 1
        return Target("next", n), each

    def _each(self, each: Number) -> tuple[Target, Number]:
        self.at += 1
        while self._role() in ("the", "next"):
            self.at += 1
        if self._role() == "num":
            n = self._take_number()
            self._take("stitch")
            return Target("next", n), each
        token = self._here()
        chain = token is not None and token.role == "stitch" and token.value == "chain"
        self._take("stitch")
        self._take("around")
        return Target("around", 0, "chain" if chain else ""), each

    def _elsewhere(self, n: Number) -> Target:
        """On another part, on the bridging chain, through both layers."""
        token = self._next()
        if token.role in ("on_bridge", "on_bridge_other"):
            return Target("bridge" if token.role == "on_bridge" else "bridge_other", n)
        if token.role == "through_both":
            return Target("both_layers", n)
        if token.role == "part_name":
            return Target("part", n, token.value, self._take_number_plain(), self._typed(token))
        instance = {"first": 1, "second": 2}.get(token.value, 0)
        named = self._next() if self._role() == "part_name" else None
        return Target("part", n, named.value if named else "", instance, self._typed(named) if named else "")

    def _typed(self, token: Token) -> str:
        return self.text.text[token.start : token.end]

    def _take_number_plain(self) -> int:
        return self._next().number if self._role() == "num" and self._role(1) not in ("stitch", "times") else 0


def one(count: Number | None) -> Number:
    """The number of a stitch that is written without one."""
    return 1 if count is None else count
