"""An instruction tree and a language's plain forms in, sentences for beginners and for reading aloud out; nothing is abbreviated.

A line becomes sentences, a sentence clauses. What is repeated is a sentence of its own, so that "this" can mean nothing else; a repeat
within it stands in brackets. Where stitches go is told by notation/plain_places; every word is the table's (tables/plain).
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import NamedTuple

from booklet.notation.plain_places import Placed, placed
from booklet.notation.tree import Act, Group, Instruction, Node, Number, Work
from booklet.notation.write import number_text, numbers_text
from booklet.tables.language import Language, unparted
from booklet.tables.plain import SLOT, PlainForms, plain_forms
from booklet.tables.stitches import Stitch, stitches

SHAPING = ("increase", "decrease")
MOST_CLAUSES = 4  # of a sentence that is no repeat; more are hard to hear out. Chosen by ear
MORE, LAST, BRACKET = range(3)  # where a verb stands: before another clause, at the end of a sentence, of a bracket
ALONE = ("loop", "other_side", "chain_from", "start_chain", "skipped_chain", "leave", "as_round", "as_before", "note", "measure")


def plain_words(line: Instruction, language: Language, known: Mapping[str, Stitch] | None = None) -> str:
    """`Work 1 single crochet in the next stitch, then …; do this 6 times.` with the total behind it."""
    told = _Plain(line.kind, language, known or stitches())
    said = list(told.sentences(line.items))
    if _stretch(line):
        said.append(told.say("rows" if line.kind == "row" else "rounds", line.rounds))
    if line.stated is not None and line.stated_unit is None:
        said.append(told.say("total", line.stated))
    end = told.forms.form("sentence")
    told_whole = _between(end).join(_fill(end, {"text": text[:1].upper() + text[1:]}) for text in said if text)
    return unparted(told_whole, language.tag)


def _stretch(line: Instruction) -> bool:
    """Does the line stand for several rounds, one after the other, that its own words tell?"""
    if line.rounds < 2 or any(isinstance(node, Act) and node.kind in ("as_round", "as_before") for node in line.items):
        return False
    return bool(line.length) or line.numbers[-1] - line.numbers[0] + 1 == len(line.numbers)


def _between(sentence: str) -> str:
    """A space between sentences; none behind a wide full stop."""
    return "" if sentence.endswith("。") else " "


class Clause(NamedTuple):
    """A form whose verbs are not yet filled: they depend on the clauses beside it."""

    form: str
    slots: Mapping[str, str]
    bracket: bool = False  # a repeat within a sentence: it opens with a number, not with a verb

    @property
    def works(self) -> bool:
        """Has it the verb that a row of clauses shares?"""
        return "{work}" in self.form


def _fill(form: str, slots: Mapping[str, str]) -> str:
    """Slots filled in one pass, so that a pattern's own words may hold braces."""
    return SLOT.sub(lambda found: slots.get(found[1], found[0]), form)


class _Plain:
    def __init__(self, kind: str, language: Language, known: Mapping[str, Stitch]) -> None:
        self.kind, self.language, self.known = kind, language, known
        self.forms: PlainForms = plain_forms(language.tag, language.settings["plural"])

    def sentences(self, items: tuple[Node, ...]) -> Iterator[str]:
        """The sentences of a line, in their order."""
        waiting: list[Clause] = []
        for at, node in enumerate(_flat(items)):
            if _alone(node):
                yield from self._said(waiting)
                yield self.alone(node)
                waiting = []
                continue
            waiting += self.clauses(node, first=at == 0)
            if len(waiting) >= MOST_CLAUSES:
                yield from self._said(waiting)
                waiting = []
        yield from self._said(waiting)

    def _said(self, clauses: list[Clause]) -> Iterator[str]:
        if clauses:
            yield self.joined(clauses, LAST)

    def joined(self, clauses: list[Clause], end: int) -> str:
        """Clauses of one sentence or bracket; a verb that they share is printed where the language wants it."""
        said: list[str] = []
        where = self.forms.printed
        for at, clause in enumerate(clauses):
            before = at > 0 and clauses[at - 1].works
            behind = at + 1 < len(clauses) and clauses[at + 1].works
            shared = clause.works and ((where == "first" and before) or (where == "last" and behind))
            form = end if at + 1 == len(clauses) else MORE
            verbs = {name: forms[form] for name, forms in self.forms.verbs.items()}
            if shared:
                verbs["work"] = ""
            if at:  # where a command begins with its verb, "then" cannot stand before it
                opens = not shared and not clause.bracket and self.forms.has("then_verb")
                last = at + 1 == len(clauses) and self.forms.has("then_last")
                said.append(self.forms.form(("then_last" if last else "then_verb") if opens else "then"))
            said.append(_fill(clause.form, {**verbs, **clause.slots}))
        return "".join(said)

    def alone(self, node: Node) -> str:
        """What is a sentence of its own."""
        if isinstance(node, Group):
            key, n = _often(node)
            return self.say(f"repeat.{key}", n, items=self.joined(self.inside(node.items), LAST), times=self.times(n))
        if isinstance(node, Work):  # to_count: shaped until the round has so many
            once = Work(node.stitch, 1, node.span, loop=node.loop)
            return self.say("repeat.until", node.target.n, items=self.joined(self.clauses(once), LAST))
        if node.kind in ("note", "measure"):
            return node.value.strip(" .。")
        return self.joined(self.clauses(node), LAST)

    def inside(self, items: tuple[Node, ...]) -> list[Clause]:
        """Everything that a repeat holds, as clauses."""
        return [clause for node in _flat(items) for clause in self.clauses(node)]

    def clauses(self, node: Node, first: bool = False) -> list[Clause]:
        """A node as a clause; none for what is not told."""
        if isinstance(node, Group):
            return [self.group(node)]
        return [self.work(node)] if isinstance(node, Work) else self.act(node, first)

    def group(self, node: Group) -> Clause:
        if node.target is not None:
            into = self.place(Work("single_crochet", 1, node.span, node.target))
            return Clause(self.forms.form("in_place"), {"items": self.bare(node.items), "place": into.words})
        key, n = _often(node)
        items = self.joined(self.inside(node.items), BRACKET)
        return self.clause(f"inner.{key}", n, items=items, times=self.times(n))._replace(bracket=True)

    def bare(self, items: tuple[Node, ...]) -> str:
        """`3 double crochets, 2 chains and 3 double crochets`: stitches that share their place."""
        said = []
        for node in _flat(items):
            if isinstance(node, Group) and node.times is not None:
                said.append(_fill(self.forms.form("inner.times"), {"items": self.bare(node.items), "times": self.times(node.times)}))
            elif isinstance(node, Group):
                said.append(self.bare(node.items))
            elif isinstance(node, Work):
                stitch = self.known.get(node.stitch)
                grown = stitch is not None and stitch.family == "increase"
                count = _times(node.count, stitch.leaves) if stitch is not None and grown else node.count
                said.append(self.stitches(stitch.base if stitch is not None and grown else node.stitch, count, "bare"))
            else:
                said += [self.joined([clause], BRACKET) for clause in self.act(node, False)]
        separator, last = self.language.writing["separator"], self.language.writing["list_and"]
        return last.join(filter(None, (separator.join(said[:-1]), *said[-1:])))

    def place(self, node: Work) -> Placed:
        return placed(node, self.kind, self.known.get(node.stitch), self.forms, self.language)

    def work(self, node: Work) -> Clause:
        if node.stitch == "skip":
            key = {"space": "skip_space", "first": "skip_first"}.get(node.target.kind, "skip")
            return self.clause(key, node.target.n if node.target.kind == "space" and node.target.n else node.count)
        stitch = self.known.get(node.stitch)
        loop = self.forms.form(f"loop.{node.loop}") if node.loop and self.forms.has(f"loop.{node.loop}") else ""
        manner = self.forms.form(f"manner.{node.stitch}") if self.forms.has(f"manner.{node.stitch}") else ""
        if stitch is not None and stitch.family == "decrease":
            return self.decrease(node, stitch, loop, manner)
        into = self.place(node)
        name, count = node.stitch, into.each
        if stitch is not None and stitch.family == "increase":
            name, count = stitch.base, _times(count, stitch.leaves)
        said = self.stitches(name, count, "each" if into.many else "")
        if into.words:
            return Clause(self.forms.form("clause"), {"sts": said, "place": into.words, "loop": loop, "manner": manner})
        return Clause(self.forms.form("chain" if node.stitch == "chain" else "clause_bare"), {"sts": said, "loop": loop})

    def decrease(self, node: Work, stitch: Stitch, loop: str, manner: str) -> Clause:
        """`the next 2 stitches together as 1 single crochet, and that 6 times`."""
        places = node.target.n
        count: Number = node.count
        if isinstance(places, int) and places and node.target.kind == "next":
            count = max(1, places // stitch.uses)
        key = "decrease_evenly" if node.target.kind == "evenly" else "decrease" if count == 1 else "decrease_times"
        slots = {"loop": loop, "manner": manner, "one": self.stitches(stitch.base, 1, "bare")}
        once = Clause(self.forms.form(key, stitch.uses), {**slots, "uses": str(stitch.uses), "times": self.times(count)})
        if node.target.kind != "around":
            return once
        return self.clause("inner.around", 0, items=self.joined([once], BRACKET))._replace(bracket=True)

    def stitches(self, stitch: str, n: Number, way: str = "") -> str:
        """A number of stitches, each by its name: `2 single crochets`."""
        name = self.language.names.get(stitch)
        key = next(one for one in (f"stitch.{stitch}", f"stitch_{way}", "stitch") if self.forms.has(one)) if name else "own"
        own = stitch.removeprefix("own:")
        return self.say(key, n, stitch=name.term if name else own, stitches=name.plural if name else own)

    def times(self, n: Number) -> str:
        """`6 times`; "" for none."""
        return self.say("times", n) if n else ""

    def act(self, node: Act, first: bool) -> list[Clause]:
        kind, n = node.kind, node.n
        if kind == "start_chain":
            if not n:
                return []
            if node.space and node.counts:
                return [self.clause("start_chain_space", n, chains=self.say("chains", node.space))]
            return [self.clause({True: "start_chain_yes", False: "start_chain_no", None: "start_chain"}[node.counts], n)]
        if kind == "loop":
            whole = self.say("whole_row" if self.kind == "row" else "whole_round")  # the next line begins without it
            return [self.clause(f"line.{node.value}", whole=whole)] if self.forms.has(f"line.{node.value}") else []
        if kind == "yarn":
            return [self.clause("yarn_first" if first else "yarn", yarn=node.value)]
        if kind == "chain_from":
            return [self.clause("chain_from", n, nth=self.nth(n))]
        if kind == "begin":
            return [self.clause("begin_space" if node.value else "begin")]
        if kind == "skipped_chain":
            return [self.clause(f"skipped_chain_{'yes' if node.counts else 'no'}")]
        if kind == "as_round":
            return [self.again(node)]
        if kind == "as_before":
            return [self.clause("as_before_to" if n else "as_before", n)]
        if kind in ("join", "turn", "other_side", "leave", "ring_chain"):
            return [self.clause(kind, n)]
        return [Clause("{value}", {"value": node.value})] if kind in ("note", "measure") and node.value else []

    def again(self, node: Act) -> Clause:
        """`work as in rounds 5–6, 2 times`."""
        many = "_times" if node.n != 1 else ""
        times = self.times(node.n)
        if node.value.startswith("last"):
            return self.clause(f"as_last{many}", int(node.value.split()[-1]), times=times)
        rounds = tuple(int(n) for n in node.value.split(","))
        key = "as_row" if self.kind == "row" else "as_round"
        return self.clause(f"{key}{many}", len(rounds), rounds=numbers_text(rounds, self.language), times=times)

    def nth(self, n: Number) -> str:
        """`second`."""
        return self.say("nth", n)

    def clause(self, key: str, n: Number = 0, **slots: str) -> Clause:
        """A form for a number, its verbs still open."""
        return Clause(self.forms.form(key, _by(n)), {"n": number_text(n), **slots})

    def say(self, key: str, n: Number = 0, **slots: str) -> str:
        """The same as finished words."""
        return self.joined([self.clause(key, n, **slots)], LAST)


def _by(n: Number) -> int:
    """Which number decides on the plural, where there is one a size."""
    return n if isinstance(n, int) else n[0]


def _times(n: Number, by: int) -> Number:
    return n * by if isinstance(n, int) else tuple(one * by for one in n)


def _flat(items: tuple[Node, ...]) -> Iterator[Node]:
    """What is done once stands without its brackets."""
    for node in items:
        if isinstance(node, Group) and node.times == 1 and node.target is None and not node.until and not node.leave:
            yield from _flat(node.items)
        else:
            yield node


def _alone(node: Node) -> bool:
    if isinstance(node, Group):
        return node.target is None
    if isinstance(node, Work):
        return node.target.kind == "to_count"
    return node.kind in ALONE


def _often(node: Group) -> tuple[str, Number]:
    """How often a group is worked: the end of a key, and its number."""
    if node.until:
        return "until", node.until
    if node.times is not None:
        return "times", node.times
    return ("leave", node.leave) if node.leave else ("around", 0)
