"""An instruction tree and a language's plain words in, sentences for beginners and for reading aloud out; nothing is abbreviated."""

from __future__ import annotations

from collections.abc import Mapping
from functools import cache

from booklet.notation.tree import Act, Group, Instruction, Node, Number, Work
from booklet.notation.write import number_text, write
from booklet.tables.language import Language
from booklet.tables.lineage import pairs_of
from booklet.tables.stitches import Stitch, stitches

_SHAPING = ("increase", "decrease")


def plain_words(line: Instruction, language: Language, known: Mapping[str, Stitch] | None = None) -> str:
    """`Work 1 single crochet in the next stitch, then …; do this 6 times.` A language without the table gets the short form."""
    forms = _forms(language.tag)
    if not forms:
        return write(line, language)
    words = _Plain(forms, language, known or stitches()).sequence(line.items)
    text = forms["sentence"].replace("{items}", forms["first"].replace("{items}", words)) if words else ""
    if isinstance(line.stated, int) and line.stated_unit is None:
        text = f"{text} {forms['total'].replace('{n}', str(line.stated))}".strip()
    return text


@cache
def _forms(tag: str) -> Mapping[str, str]:
    try:
        return pairs_of(tag, "plain.tsv")
    except FileNotFoundError:
        return {}


class _Plain:
    def __init__(self, forms: Mapping[str, str], language: Language, known: Mapping[str, Stitch]) -> None:
        self.forms, self.language, self.known = forms, language, known

    def sequence(self, items: tuple[Node, ...]) -> str:
        """Parts of a sentence, one after the other."""
        return self.forms["then"].join(words for words in (self.node(node) for node in items) if words)

    def node(self, node: Node) -> str:
        if isinstance(node, Group):
            return self.group(node)
        return self.work(node) if isinstance(node, Work) else self.act(node)

    def group(self, node: Group) -> str:
        items = self.sequence(node.items)
        if node.target is not None:
            key = f"place_{node.target.kind}"
            return self.form("in_place", items=items, place=self.forms.get(key, self.forms["place_next"]))
        if node.until:
            return self.form("repeat_until", items=items, n=number_text(node.until))
        if node.times is not None:
            nested = any(isinstance(item, Group) for item in node.items)
            return (
                self.form("inner" if nested else "repeat", items=items, n=number_text(node.times))
                if node.times != 1
                else items
            )
        if node.leave:
            return self.form("repeat_leave", items=items, n=number_text(node.leave))
        return self.form("repeat_around", items=items)

    def work(self, node: Work) -> str:
        words = self._work(node)
        loop = self.forms.get(f"loop_{node.loop}", "") if node.loop else ""
        return f"{words} {loop}" if loop else words

    def _work(self, node: Work) -> str:
        if node.stitch in ("chain", "skip"):
            return self._counted(node.stitch, node.count, node.stitch)
        stitch = self.known.get(node.stitch)
        kind, n, each = node.target.kind, node.target.n, node.each
        if stitch is not None and stitch.family in _SHAPING and kind in ("next", "around") and each == 1:
            return self._shaping(node, stitch)
        if kind == "around":
            return self._counted("around", each, node.stitch)
        if kind == "ring":
            return self.form("ring", **self.names(node.stitch), n=number_text(node.count))
        if kind == "chain":
            return self.form("nth_chain", **self.names(node.stitch), n=number_text(each), nth=number_text(n or 2))
        if kind in ("space", "spaces", "chain_end"):
            key = "end_chain" if kind == "chain_end" else kind
            return self.form(key, **self.names(node.stitch), n=number_text(each))
        if kind in ("same", "last"):
            return self._counted(kind, each, node.stitch)
        if kind != "next":
            return self.form(
                "into_one" if node.count != 1 else "one", **self.names(node.stitch), n=number_text(node.count)
            )
        if each != 1:
            key = "into_one" if n == 1 else "into_each"
            return self.form(key, **self.names(node.stitch), n=number_text(each), places=number_text(n))
        count = n or node.count
        return self.form("one" if count == 1 else "many", **self.names(node.stitch), n=number_text(count))

    def _shaping(self, node: Work, stitch: Stitch) -> str:
        count: Number = node.target.n or node.count
        if stitch.uses > 1 and isinstance(node.target.n, int) and node.target.n:
            count = max(1, node.target.n // stitch.uses)
        many = "" if count == 1 else "_n"
        if node.target.kind == "around":
            inner = self.form(
                stitch.family, **self.names(stitch.base), leaves=str(stitch.leaves), uses=str(stitch.uses)
            )
            return self.form("repeat_around", items=inner)
        return self.form(
            f"{stitch.family}{many}",
            **self.names(stitch.base),
            leaves=str(stitch.leaves),
            uses=str(stitch.uses),
            n=number_text(count),
        )

    def _counted(self, key: str, n: Number, stitch: str) -> str:
        return self.form(key if n == 1 else f"{key}_n", **self.names(stitch), n=number_text(n))

    def act(self, node: Act) -> str:
        if node.kind == "start_chain":
            return (
                self.form("start_chain_yes" if node.counts else "start_chain", n=number_text(node.n)) if node.n else ""
            )
        if node.kind == "loop":
            return self.forms.get(f"loop_{node.value}", "")
        if node.kind == "yarn":
            return self.form("yarn", yarn=node.value)
        if node.kind == "chain_from":
            return self.form("chain_from", nth=number_text(node.n))
        if node.kind in ("join", "turn", "other_side", "leave"):
            return self.forms[node.kind]
        return node.value if node.kind in ("note", "measure") else ""

    def names(self, stitch: str) -> dict[str, str]:
        """The name of a stitch written out, for one and for several."""
        name = self.language.names.get(stitch)
        plain = stitch.removeprefix("own:")
        return {"stitch": name.term if name else plain, "stitches": name.plural if name else plain}

    def form(self, key: str, **slots: str) -> str:
        """A form of the table with its slots filled by plain replacement."""
        text = self.forms[key]
        for slot, value in slots.items():
            text = text.replace("{" + slot + "}", value)
        return text
