"""An instruction tree and a language's table in, canonical words out; numbers come from the tree, words from the table."""

from __future__ import annotations

from itertools import pairwise
from typing import NamedTuple

from booklet.notation.tree import Act, Group, Instruction, Node, Number, Target, Work
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
    name = label(line.kind, line.numbers, language)
    if not name and line.length and "label_length" in language.writing and not _says_rounds(line):
        name = language.writing["label_length"].replace("{n}", str(line.length))
    return Written(name, body(line, language), _total(stated, language))


def _says_rounds(line: Instruction) -> bool:
    return any(isinstance(node, Act) and node.kind == "as_round" for node in line.items)


def label(kind: str, numbers: tuple[int, ...], language: Language) -> str:
    """`Rnds 4–7`, `Row 3`, `Rnds 5, 7 and 9`; "" without a number."""
    if not numbers:
        return ""
    form = f"label_{'row' if kind == 'row' else 'round'}{'s' if len(numbers) > 1 else ''}"
    return language.writing[form].replace("{n}", numbers_text(numbers, language))


def inside(text: str, language: Language) -> str:
    """A label within a sentence: with a small letter where the language wants it, `in toer 9`."""
    return text[:1].lower() + text[1:] if language.settings.get("labels_inside") == "lower" else text


def numbers_text(numbers: tuple[int, ...], language: Language) -> str:
    """Numbers of rounds: a range where they follow one another, a list where they do not."""
    if len(numbers) > 1 and all(b == a + 1 for a, b in pairwise(numbers)):
        return language.writing["range"].replace("{a}", str(numbers[0])).replace("{b}", str(numbers[-1]))
    words = [str(number) for number in numbers]
    if len(words) < 2:
        return "".join(words)
    return language.writing["separator"].join(words[:-1]) + language.writing["list_and"] + words[-1]


def body(line: Instruction, language: Language) -> str:
    """The instruction without label and total."""
    return _Writer(language, line.kind).sequence(line.items, top=True)


def number_text(number: Number) -> str:
    """A number, or one for each size: `12 (14, 16)`."""
    if isinstance(number, int):
        return str(number)
    return f"{number[0]} ({', '.join(str(n) for n in number[1:])})"


def _total(total: Number | None, language: Language) -> str:
    return "" if total is None else language.writing["total"].replace("{n}", number_text(total))


class _Writer:
    def __init__(self, language: Language, kind: str) -> None:
        self.language, self.kind = language, kind
        self.forms = {**language.waiting, **language.writing}

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
        if node.target is not None and self.has("group_in"):
            return self.form("group_in", items=items, place=self.place(node.target))
        if node.until and self.has("group_until"):
            return self.form("group_until", items=items, n=number_text(node.until))
        if node.times is not None:
            return self.form("group", items=items, n=number_text(node.times))
        if node.leave:
            return self.form("group_leave", items=items, n=number_text(node.leave))
        return self.form(self._of_kind("group_around"), items=items)

    def _of_kind(self, key: str) -> str:
        """A round is gone around, a row across, where a language says it otherwise."""
        return f"{key}_row" if self.kind == "row" and self.has(f"{key}_row") else key

    def place(self, target: Target) -> str:
        """The place of a group: `next ch-2 sp`, `each st around`."""
        many = "_n" if target.kind in ("next", "space") and target.n not in (0, 1) else ""
        key = f"place_{target.kind}{many}"
        return self.form(key if self.has(key) else "place_next", places=number_text(target.n), sp=self.space(target))

    def space(self, target: Target) -> str:
        """The chain space of a target in words."""
        many = "s" if target.n not in (0, 1) and self.has("sps") else ""
        if target.instance:
            return self.form(f"sp_chain{many}", k=str(target.instance))
        return self.forms["sp_corner" if target.name == "corner" else f"sp{many}"]

    def work(self, node: Work) -> str:
        name = self.language.names.get(node.stitch)
        st = name.abbr if name else node.stitch.removeprefix("own:")
        words = self._placed(node, st)
        return (
            self.form("in_loop", words=words, loop=self.forms[f"loop_{node.loop}"])
            if node.loop and self.has(f"loop_{node.loop}")
            else words
        )

    def _placed(self, node: Work, st: str) -> str:
        target = node.target
        kind, n, each = target.kind, number_text(node.count), number_text(node.each)
        many = "_n" if node.each != 1 else ""
        if node.stitch in ("chain", "skip"):
            return self._skip(node, n) if node.stitch == "skip" else self.form("n_chain", n=n)
        if kind == "ring":
            return self.form("ring", n=n, st=st)
        if kind == "around":
            chain = "_chain" if target.name == "chain" else ""
            return self.form(self._of_kind(f"around{chain}{many}"), n=each, st=st)
        if kind == "chain":
            if not target.n and self.has("chain_first"):
                return self.form("chain_first", n=each, st=st)
            return self.form(f"chain{many}", n=each, st=st, nth=self._nth(target.n or 2))
        if kind == "part":
            return self._on_part(node, st)
        if kind in ("space", "spaces", "same_space") and self.has(kind):
            places = kind == "space" and target.n not in (0, 1)
            return self.form(
                "space_places" if places else f"{kind}{many}",
                n=each,
                st=st,
                places=number_text(target.n),
                sp=self.space(target),
            )
        if kind == "earlier" and self.has("earlier"):
            return self._earlier(node, st, many)
        if kind in ("evenly", "to_count", "free") and self.has(kind):
            every = kind == "free" and not target.n
            return self.form(
                "free_all" if every else kind,
                n=number_text(target.n) if kind == "to_count" else each if kind == "free" else n,
                st=st,
            )
        if kind in ("bridge", "bridge_other", "bridge_both", "both_layers", "both_pieces") and self.has(kind):
            return self.form(kind, n=number_text(target.n or node.count), st=st)
        if kind in ("chain_end", "last", "first", "same"):
            return self.form(f"{kind}{many}", n=each, st=st)
        if not target.n:
            # A single slip stitch keeps its number: without one it would close the round.
            alone = node.count == 1 and node.stitch != "slip_stitch"
            return self.form("stitch", st=st) if alone else self.form("n_stitch", n=n, st=st)
        return self._next(node, st, each)

    def _skip(self, node: Work, n: str) -> str:
        if node.target.kind == "space" and self.has("skip_space"):
            return self.form("skip_space", n=n, sp=self.space(node.target))
        return self.form("skip_first" if node.target.kind == "first" and self.has("skip_first") else "n_skip", n=n)

    def _next(self, node: Work, st: str, each: str) -> str:
        chain = "_ch" if node.target.name == "chain" and self.has("in_next_ch") else ""
        if node.target.n == 1 and not chain:
            return self.form("in_next", n=each, st=st) if node.each != 1 else self.form("stitch", st=st)
        places = number_text(node.target.n)
        key = "in_next_ch" if chain else "in_next"
        if node.each != 1:
            return self.form(f"{key}_n", n=each, st=st, places=places)
        return self.form("in_next_1" if not chain else "in_next_ch", st=st, places=places)

    def _earlier(self, node: Work, st: str, many: str) -> str:
        target = node.target
        loop = self.forms[f"loops_{target.name}"]
        where = inside(label(self.kind, (target.instance,), self.language), self.language)
        if self.has("label_round_of") and self.kind != "row":  # "of the round" in languages with cases
            where = self.form("label_round_of", n=str(target.instance))
        key = "earlier" if target.n else f"earlier_all{many}"
        return self.form(key, n=number_text(target.n or node.each), st=st, loop=loop, round=where)

    def _on_part(self, node: Work, st: str) -> str:
        target = node.target
        part = target.words or target.name
        n = number_text(target.n or node.count)
        if target.instance < 0 and self.has("part_each"):
            return self.form("part_each", n=n, st=st, part=part)
        if target.instance <= 0:
            return self.form("part_plain", n=n, st=st, part=part)
        nth = self.forms[f"ordinal_{min(4, target.instance)}"]
        form = "part" if target.n else "part_all"
        return self.form(form, n=number_text(target.n), st=st, nth=nth, part=part)

    def act(self, node: Act, first: bool) -> str:
        kind = node.kind
        if kind == "loop":
            return (
                self.form("line_loop", loop=self.forms[f"loop_{node.value}"]) if self.has(f"loop_{node.value}") else ""
            )
        if kind == "start_chain":
            if node.space and node.counts and self.has("start_chain_space"):
                return self.form("start_chain_space", n=number_text(node.n), space=number_text(node.space))
            said = {True: "_yes", False: "_no" if isinstance(node.n, int) and node.n > 1 else "", None: ""}[node.counts]
            return self.form(f"start_chain{said}", n=number_text(node.n)) if node.n else ""
        if kind == "yarn":
            return self.form("yarn_first" if first else "yarn", yarn=node.value)
        if kind == "chain_from":
            return self.form("chain_from", nth=self._nth(node.n))
        if kind == "begin":
            return self.forms.get("begin_space" if node.value else "begin", "")
        if kind == "as_round":
            return self._again(node)
        if kind in ("join", "turn", "other_side", "leave"):
            return self.forms.get(kind, "")
        if kind == "skipped_chain":
            return self.forms.get(f"skipped_chain_{'yes' if node.counts else 'no'}", "")
        if kind in ("ring_chain", "as_before"):
            key = "as_before_to" if kind == "as_before" and node.n else kind
            return self.form(key, n=number_text(node.n)) if self.has(key) else ""
        return node.value if kind in ("note", "measure") else ""

    def _again(self, node: Act) -> str:
        """`repeat Rnd 3`, `repeat last rnd`."""
        if not self.has("as_round"):
            return ""
        many = "_n" if node.n != 1 else ""
        if node.value.startswith("last"):
            k = node.value.split()[-1]
            rounds = self.form("last_round" if k == "1" else "last_rounds", k=k)
            return self.form(f"as_round{many}", rounds=rounds, n=number_text(node.n))
        rounds = inside(label(self.kind, tuple(int(n) for n in node.value.split(",")), self.language), self.language)
        return self.form(f"as_round{many}", rounds=rounds, n=number_text(node.n))

    def _nth(self, n: Number) -> str:
        return self.forms.get(f"nth_{n}", f"{n}th") if isinstance(n, int) else number_text(n)

    def has(self, key: str) -> bool:
        """Does the language have this form? What it lacks is written in the nearest form that every language has."""
        return key in self.forms

    def form(self, key: str, **slots: str) -> str:
        """A form of the table with its slots filled; plain replacement, so that words of a pattern may hold braces."""
        text = self.forms[key]
        for name, value in slots.items():
            text = text.replace("{" + name + "}", value)
        return text
