"""An instruction tree and a language's table in, canonical words out; numbers come from the tree, words from the table."""

from __future__ import annotations

from typing import NamedTuple

from booklet.notation.tree import Act, Group, Instruction, Node, Number, Work
from booklet.tables.language import Language


class Written(NamedTuple):
    """A round in words, ready for its columns."""

    label: str  # "Rnds 4–7"
    body: str  # "(sc, inc) x 6"
    total: str  # "(18)"; "" where no total is given


def write(line: Instruction, language: Language, total: Number | None = None) -> str:
    """One line as text: label, body and total. `total` replaces the printed one."""
    written = write_parts(line, language, total)
    label = f"{written.label}{language.writing['label_end']} " if written.label else ""
    return f"{label}{written.body}{' ' + written.total if written.total else ''}"


def write_parts(line: Instruction, language: Language, total: Number | None = None) -> Written:
    """The same in three pieces."""
    stated = line.stated if total is None else total
    return Written(label(line.kind, line.numbers, language), body(line, language), _total(stated, language))


def label(kind: str, numbers: tuple[int, ...], language: Language) -> str:
    """`Rnds 4–7`, `Row 3`, `Rnds 5, 7 and 9`; "" without a number."""
    if not numbers:
        return ""
    form = f"label_{'row' if kind == 'row' else 'round'}{'s' if len(numbers) > 1 else ''}"
    return language.writing[form].replace("{n}", numbers_text(numbers, language))


def numbers_text(numbers: tuple[int, ...], language: Language) -> str:
    """Numbers of rounds: a range where they follow one another, a list where they do not."""
    if len(numbers) > 1 and numbers == tuple(range(numbers[0], numbers[-1] + 1)):
        return language.writing["range"].replace("{a}", str(numbers[0])).replace("{b}", str(numbers[-1]))
    words = [str(number) for number in numbers]
    if len(words) < 2:
        return "".join(words)
    return language.writing["separator"].join(words[:-1]) + language.writing["list_and"] + words[-1]


def body(line: Instruction, language: Language) -> str:
    """The instruction without label and total."""
    return _Writer(language).sequence(line.items, top=True)


def _total(total: Number | None, language: Language) -> str:
    return "" if total is None else language.writing["total"].replace("{n}", _number(total))


def _number(number: Number) -> str:
    if isinstance(number, int):
        return str(number)
    return f"{number[0]} ({', '.join(str(n) for n in number[1:])})"


class _Writer:
    def __init__(self, language: Language) -> None:
        self.language = language
        self.forms = language.writing

    def sequence(self, items: tuple[Node, ...], top: bool = False) -> str:
        """Items with separators; one that ends in a colon leads on without a comma."""
        text = ""
        for at, node in enumerate(items):
            words = self.node(node, first=top and at == 0)
            if not words:
                continue
            if text:
                text += " " if text.endswith(":") else self.forms["separator"]
            text += words
        return text

    def node(self, node: Node, first: bool = False) -> str:
        if isinstance(node, Group):
            return self.group(node)
        return self.work(node) if isinstance(node, Work) else self.act(node, first)

    def group(self, node: Group) -> str:
        items = self.sequence(node.items)
        if node.times is not None:
            return self.form("group", items=items, n=_number(node.times))
        if node.leave:
            return self.form("group_leave", items=items, n=_number(node.leave))
        return self.form("group_around", items=items)

    def work(self, node: Work) -> str:
        name = self.language.names.get(node.stitch)
        st = name.abbr if name else node.stitch.removeprefix("own:")
        words = self._placed(node, st)
        return self.form("in_loop", words=words, loop=self.forms[f"loop_{node.loop}"]) if node.loop else words

    def _placed(self, node: Work, st: str) -> str:
        target = node.target
        n, each = _number(node.count), _number(node.each)
        many = "_n" if node.each != 1 else ""
        if node.stitch in ("chain", "skip"):
            return self.form(f"n_{node.stitch}", n=n)
        if target.kind == "ring":
            return self.form("ring", n=n, st=st)
        if target.kind == "around":
            chain = "_chain" if target.name == "chain" else ""
            return self.form(f"around{chain}{many}", n=each, st=st)
        if target.kind == "chain":
            return self.form(f"chain{many}", n=each, st=st, nth=self._nth(target.n))
        if target.kind == "part":
            return self._on_part(node, st)
        if target.kind in ("bridge", "bridge_other", "both_layers"):
            return self.form(target.kind, n=_number(target.n or node.count), st=st)
        if target.kind in ("chain_end", "last", "first", "same"):
            return self.form(f"{target.kind}{many}", n=each, st=st)
        if not target.n:
            # A single slip stitch keeps its number: without one it would close the round.
            alone = node.count == 1 and node.stitch != "slip_stitch"
            return self.form("stitch", st=st) if alone else self.form("n_stitch", n=n, st=st)
        return self._next(node, st, each)

    def _next(self, node: Work, st: str, each: str) -> str:
        if node.target.n == 1:
            return self.form("in_next", n=each, st=st) if node.each != 1 else self.form("stitch", st=st)
        places = _number(node.target.n)
        if node.each != 1:
            return self.form("in_next_n", n=each, st=st, places=places)
        return self.form("in_next_1", st=st, places=places)

    def _on_part(self, node: Work, st: str) -> str:
        target = node.target
        part = target.words or target.name
        if not target.instance:
            return self.form("part_plain", n=_number(target.n or node.count), st=st, part=part)
        nth = self.forms[f"ordinal_{target.instance}"]
        form = "part" if target.n else "part_all"
        return self.form(form, n=_number(target.n), st=st, nth=nth, part=part)

    def act(self, node: Act, first: bool) -> str:
        if node.kind == "loop":
            return self.form("line_loop", loop=self.forms[f"loop_{node.value}"])
        if node.kind == "start_chain":
            said = {True: "_yes", False: "_no" if isinstance(node.n, int) and node.n > 1 else "", None: ""}[node.counts]
            return self.form(f"start_chain{said}", n=_number(node.n))
        if node.kind == "yarn":
            return self.form("yarn_first" if first else "yarn", yarn=node.value)
        if node.kind == "chain_from":
            return self.form("chain_from", nth=self._nth(node.n))
        if node.kind in ("join", "turn", "other_side"):
            return self.forms[node.kind]
        return node.value if node.kind == "note" else ""

    def _nth(self, n: Number) -> str:
        return self.forms.get(f"nth_{n}", f"{n}th") if isinstance(n, int) else _number(n)

    def form(self, key: str, **slots: str) -> str:
        """A form of the table with its slots filled; plain replacement, so that words of a pattern may hold braces."""
        text = self.forms[key]
        for name, value in slots.items():
            text = text.replace("{" + name + "}", value)
        return text
