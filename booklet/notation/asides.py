"""A cursor at a bracket in, whether it holds no stitches to be worked, and what it says, out: colours, remarks, tallies, addresses."""

from __future__ import annotations

from booklet.notation.acts import Acts
from booklet.notation.lex import Token
from booklet.notation.tree import Act, Node


class Asides(Acts):
    """Reads brackets without stitches."""

    depth = 0  # brackets and stars around the cursor
    address = 0  # places named before a stitch: "(st 1-5) sc"

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
        says = (
            roles <= {"yarn", "change", "color", "with"}
            or "counts" in roles
            or roles == {"num", "header"}
            or roles == {"loop"}
        )
        defined = first.role == "stitch" and "equals" in roles
        told = (
            defined
            or first.role in ("equals", "or", "note")
            or (first.role == "word" and "stitch" not in roles and "num" not in roles)
        )
        code = len(inner) == 1 and first.role == "word" and self._is_code(self.at + 1)
        place = first.role == "stitch" and not first.value and len(inner) > 1 and inner[1].role == "num"
        says = says or roles == {"ring"}
        number = roles == {"num"} and not self.depth and self.roles[end + 1] not in ("stitch", "times")
        return inner if says or told or code or place or number else None

    def _aside(self, inner: list[Token], items: list[Node]) -> None:
        begin = self.at
        while self._next().role != "close":
            pass
        span = self._span(begin, self.at)
        for token in inner:
            if token.role in ("yarn", "counts", "loop"):
                items.append(
                    Act(token.role, span, token.value, self._counted_space(inner) if token.role == "counts" else 0)
                )
            elif token.role == "num" and len(inner) == 2 and {"num", "header"} == {item.role for item in inner}:
                items.append(Act("tally", span, "", token.number))
        self.ring = self.ring or any(token.role == "ring" for token in inner)
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
                near = [
                    inner[k].number for k in (i + 1, i + 2, i - 1) if 0 <= k < len(inner) and inner[k].role == "num"
                ]
                return near[0] if near else 1
        return 0
