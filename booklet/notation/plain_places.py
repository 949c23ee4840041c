"""Stitches of one kind and the plain forms of a language in, the words of their place and how many go there out; no sentence is made."""

from __future__ import annotations

from collections.abc import Mapping
from typing import NamedTuple

from booklet.notation.tree import Number, Target, Work
from booklet.notation.write import number_text
from booklet.tables.language import Language
from booklet.tables.plain import SLOT, PlainForms
from booklet.tables.stitches import Stitch

_HERE = ("same", "first", "last", "chain_end", "same_space")
_TOGETHER = ("ring", "both_layers", "both_pieces")  # all of them go there, and are counted together


class Placed(NamedTuple):
    """Where stitches go, in words."""

    words: str  # "in each of the next 6 stitches"; "" where they need no place
    each: Number  # stitches for every place
    many: bool = False  # is it more than one place?


def placed(node: Work, kind: str, stitch: Stitch | None, forms: PlainForms, language: Language) -> Placed:
    """The place of some stitches; `kind` says whether the line is a row."""
    return _Place(kind, forms, language).of(node, stitch)


class _Place:
    def __init__(self, kind: str, forms: PlainForms, language: Language) -> None:
        self.kind, self.forms, self.language = kind, forms, language

    def of(self, node: Work, stitch: Stitch | None) -> Placed:
        """The words and the number for each place."""
        target, each = node.target, node.each
        kind, n = target.kind, target.n
        if kind in _HERE:
            return Placed(self.say(kind), each)
        if kind in _TOGETHER:
            return Placed(self.say(kind), n or node.count if kind != "ring" else node.count)
        if kind == "around" and stitch is not None and stitch.family == "post":  # worked round the stem of a stitch
            return Placed(self.say("post_around"), each, True)
        if kind in ("around", "every"):
            return Placed(self.say("around_chain" if target.name == "chain" else kind, n), each, True)
        if kind == "chain":
            return Placed(self.say("chain", nth=self.nth(n or 1)), each)
        if kind in ("space", "spaces"):
            return Placed(self.space(target), each, kind == "spaces" or n not in (0, 1))
        if kind in ("part", "bridge", "bridge_other", "bridge_both"):
            return self.piece(target, n or node.count)
        if kind == "earlier":
            return self.earlier(target, each)
        if kind == "evenly":
            return Placed(self.say("evenly", node.count), 1, node.count != 1)
        if kind == "free":
            return Placed(self.say("free" if n else "free_all"), each)
        return self.next(node, stitch)

    def next(self, node: Work, stitch: Stitch | None) -> Placed:
        """The places that come next; a stitch that uses none is made freely, one that uses several lies over them."""
        target, n, each = node.target, node.target.n, node.each
        uses = stitch.uses if stitch is not None else 1
        if not uses or (node.stitch == "chain" and not n):
            return Placed("", n or node.count)
        if uses > 1 and isinstance(node.count, int):
            return Placed(self.say("over", node.count * uses), node.count)
        places = n or (node.count if each == 1 else 1)
        key = "post" if stitch is not None and stitch.family == "post" else "next_chain" if target.name == "chain" else "next"
        return Placed(self.say(key, places), each, places != 1)

    def space(self, target: Target) -> str:
        """`in the next space of 2 chains`."""
        kind = "_of" if target.instance else "_corner" if target.name == "corner" else ""
        chains = self.fill("chains", target.instance) if target.instance else ""
        return self.say(f"{target.kind}{kind}", target.n or 1, chains=chains)

    def piece(self, target: Target, n: Number) -> Placed:
        """Along another part, or along the chain between two."""
        if target.kind != "part":
            return Placed(self.say(target.kind, n), 1, n != 1)
        opening, _, closing = self.language.settings["quotes"].partition(" ")
        name = f"{opening}{target.words or target.name}{closing}"
        key = "part_each" if target.instance < 0 else "part_nth" if target.instance else "part"
        part = self.fill(key, abs(target.instance), part=name)
        whole = target.instance > 0 and not target.n
        return Placed(self.say("part_all" if whole else "part", n, part=part), 1, True)

    def earlier(self, target: Target, each: Number) -> Placed:
        """The loops that a round left free."""
        key = "loops" if target.n else "each"
        loops = self.fill(f"{key}.{target.name}" if self.forms.has(f"{key}.{target.name}") else f"{key}.")
        where = self.fill("earlier_row" if self.kind == "row" else "earlier_round", target.instance)
        said = self.say("earlier", loops=loops, round=where)
        return Placed(said, target.n or each, not target.n)

    def nth(self, n: Number) -> str:
        """Which one of a row, in words where the table has it."""
        return self.fill("nth", n)

    def say(self, place: str, n: Number = 0, **slots: str) -> str:
        """The words of a place."""
        return self.fill(f"place.{place}", n, **slots)

    def fill(self, key: str, n: Number = 0, **slots: str) -> str:
        """A form for a number with its slots filled; there are no verbs in a place."""
        filled: Mapping[str, str] = {"n": number_text(n), **slots}
        return SLOT.sub(lambda found: filled.get(found[1], found[0]), self.forms.form(key, n if isinstance(n, int) else n[0]))
