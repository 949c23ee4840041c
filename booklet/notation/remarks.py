"""A cursor at words about the work in, acts out: remarks, what counts, which rounds are repeated, what stays unworked."""

from __future__ import annotations

from booklet.notation.cursor import NotUnderstood
from booklet.notation.repeats import Repeats
from booklet.notation.tree import Act, Node, Number, Target

_LEAD = 3  # tokens of a remark in front of the work
_TELLS_WORK = ("num", "open", "star", "stop", "header", "next", "each", "same", "ordinal", "last", "around", "repeat", "times", "from_star")
_SENTENCE = 80  # tokens; a longer sentence is no remark (the longest published line has about 120 tokens)


class Remarks(Repeats):
    """Reads what is said about the work."""

    def _note(self, items: list[Node]) -> None:
        """A remark up to the end of its sentence or bracket."""
        begin = self.at
        while self.at < self.size and not self._ends_sentence() and not (self.at > begin and self._work_begins()):
            self.at += 1
        self.at = max(self.at, begin + 1)
        items.append(Act("note", self._span(begin, self.at), self._words(begin, self.at)))

    def _ends_sentence(self) -> bool:
        if self._role() == "close":
            return True
        return self._role() == "stop" and not (
            self._role(-1) == "num" and self._role(1) == "num" and self.line[self.at + 1].glued
        )

    def _work_begins(self) -> bool:
        """Behind a comma: does work go on, so that the remark ends here?"""
        if self._role() == "num" and self._role(1) == "stitch" and self._value(1) and self._role(2) == "through_both":
            return True  # "close the opening by working 4 sc through both layers"
        if self._role() not in ("comma", "and", "colon", "dash"):
            return False
        step = 1
        while self._role(step) in ("the", "and"):
            step += 1
        role, after = self._role(step), self._role(step + 1)
        if role == "num":
            return after in ("stitch", "times") and (after == "times" or bool(self._value(step + 1)))
        if role == "stitch" and self._value(step) not in ("", "slip_stitch"):
            return after in ("in", "each", "next", "num", "around", "through_both", "times", "comma", "") or (
                after == "stop" and self._value(step) != "chain"
            )
        return role in ("star",) or (
            role == "open" and after in ("num", "stitch") and self._role(step + 2) in ("stitch", "comma", "in")
        )

    def _work_behind_words(self) -> int:
        """`Press the opening together and crochet 4 sc …`: where the work begins behind three or more words that tell none; else 0."""
        at, self.at = self.at, 1
        words = 0
        while self.at < min(self.size, _SENTENCE) and not self._work_begins():
            token = self.line[self.at - 1]
            if token.role in _TELLS_WORK or (token.role == "stitch" and token.value):
                break
            words += token.role in ("word", "note", "part_name")
            self.at += 1
        found = self.at if words > 1 and self.at > _LEAD and self._work_begins() else 0
        self.at = at
        return found

    def _is_remark(self, begin: int) -> bool:
        """Does a sentence tell no stitches? Then words that are not known make it a remark, not a fault."""
        at = begin
        spoken = False
        while at < self.size and not (self.roles[at] == "stop" and not self._is_point(at)):
            if at - begin > _SENTENCE:
                return False
            token = self.line[at]
            spoken = spoken or token.role in ("word", "note", "marker", "part_name", "measure")
            if token.role in ("star", "from_star"):
                return False
            if token.role == "stitch" and token.value not in ("", "chain"):
                around = (self.roles[at - 1] if at > begin else "", self.roles[at + 1])
                if around[0] in ("num", "open", "star") or around[1] in (
                    "num",
                    "in",
                    "each",
                    "around",
                    "next",
                    "times",
                ):
                    return False
            at += 1
        return spoken

    def _is_point(self, at: int) -> bool:
        """The full stop of `15.5`, or of an ordinal."""
        return self.roles[at + 1] == "num" and (self.line[at + 1].glued or self.roles[at - 1] in ("header", "next_header"))

    def _words(self, begin: int, end: int) -> str:
        return self.text.text[self.line[begin].start : self.line[end - 1].end].strip(" .;,")

    def _as_before(self, items: list[Node]) -> None:
        """`cont in same manner to 42 sts`: the shaping goes on; a number that is named decides."""
        begin = self.at
        self.at += 1
        n: Number = 0
        while self._role() in ("the", "around", "comma", "until", "range", "have", "remain", "as_before", "repeat") or (
            self._role() == "stitch" and self._value() in ("", "increase", "decrease", "single_crochet")
        ):
            self.at += 1
        if self._role() == "num":
            n = self._take_number()
            self._skip("stitch", "remain", "left", "the", "until")
        items.append(Act("as_before", self._span(begin, self.at), "", n))

    def _for_rounds(self, items: list[Node]) -> None:
        """`… for 3 rounds`: how many rounds the line stands for."""
        begin = self.at
        step = 1
        while self._role(step) in ("the", "next", "more"):
            step += 1
        more = step + 2 if self._role(step + 1) == "more" else step + 1
        if self._role(step) != "num" or self._role(more) != "header":
            if self._role(step) in ("ring", "corner", "marker", "word"):
                self._note(items)
                return
            raise NotUnderstood(self.line[begin], "for how many rounds")
        self.at += step
        number = self._take_number()
        self._take("more")
        self.at += 1
        self._skip("total_of", "the")
        items.append(Act("tally", self._span(begin, self.at), "", number))

    def _leave(self, items: list[Node]) -> None:
        begin = self.at
        self.at += 1
        while self._role() in ("the", "remain", "stitch", "num", "leave", "around", "header", "unworked", "last"):
            self.at += 1
        items.append(Act("leave", self._span(begin, self.at)))

    def _have(self, items: list[Node]) -> None:
        """`leaving 6 sts unworked`; any other word of having opens a remark."""
        step = 1
        while self._role(step) in ("num", "the", "stitch"):
            step += 1
        if self._role(step) == "unworked" or self._value(step) == "unworked":
            items.append(Act("leave", self._span(self.at, self.at + step + 1)))
            self.at += step + 1
            return
        self._note(items)

    def _counts(self, items: list[Node]) -> None:
        """`counts as first dc`, `counts as dc and ch 2`, `does not count as a st`."""
        begin = self.at
        value = self._next().value
        space: Number = 0
        while (
            self._role() in ("the", "ordinal", "stitch", "num", "counts", "always", "in", "top", "as")
            and not self._is_chain()
        ):
            if self._role() == "num" and self._is_chain(1):
                break
            self.at += 1
        if self._role() in ("and", "plus", "comma") and (
            self._is_chain(1) or (self._role(1) == "num" and self._is_chain(2))
        ):
            self.at += 1
            space = self._space_chains()
        self._skip("always", "the")
        items.append(Act("counts", self._span(begin, self.at), value, space))

    def _space_chains(self) -> Number:
        if self._role() == "num":
            space = self._take_number()
            self.at += 1
            return space
        self.at += 1
        self._skip("dash")
        return self._take_number() if self._role() == "num" else 1

    def _as_round(self, items: list[Node]) -> bool:
        """`repeat Rnd 3`, `repeat Rnds 5 and 6 twice`, `rep last rnd 5 times`, `as Rnd 3`."""
        begin = self.at
        step = 1
        while self._role(step) in ("the", "for", "as", "in", "repeat"):
            step += 1
        if self._role(step) == "next_header":
            self.at += step + 1
            self._rounds_again(items, begin, "last", 1)
            return True
        if self._role(step) == "last" and self._role(step + 1) in ("num", "header"):
            self.at += step + 1
            n = self._next().number if self._role() == "num" else 1
            self._take("header")
            self._rounds_again(items, begin, "last", n)
            return True
        first = self._role(step) in ("num", "ordinal")  # "as 4. round"
        if first:
            step += 1 if self._role(step + 1) != "stop" else 2
            if self._role(step) != "header":
                return False
            number = next(
                token.number for token in reversed(self.line[: self.at + step]) if token.role in ("num", "ordinal")
            )
            self.at += step + 1
            self._rounds_again(items, begin, str(number), 1)
            return True
        if self._role(step) == "header" and self._role(step + 1) == "stop" and self._role(step + 2) == "num":
            self.line.pop(self.at + step + 1)
            self.roles.pop(self.at + step + 1)
            self.size -= 1
        if self._role(step) != "header" or self._role(step + 1) not in ("num", "ordinal"):
            return False
        self.at += step + 1
        numbers = [self._next().number]
        while self._role() in ("dash", "range", "comma", "and", "plus", "slash") and self._named_round() is not None:
            link = self._role()
            number = self._named_round()
            self.at += 3 if self._role(1) == "header" else 2
            numbers.extend(
                range(numbers[-1] + 1, min(number, numbers[-1] + 200) + 1) if link in ("dash", "range") else (number,)
            )
        self._rounds_again(items, begin, ",".join(str(n) for n in numbers), len(numbers))
        return True

    def _named_round(self) -> int | None:
        step = 2 if self._role(1) == "header" else 1
        if self._role(step) != "num" or self._role(step + 1) in ("times", "stitch"):
            return None
        return self.line[self.at + step].number

    def _rounds_again(self, items: list[Node], begin: int, value: str, n: int) -> None:
        times: Number = 1
        self._skip("comma", "the", "for")
        passes = self._passes("none") if self._role() in ("num", "once", "times", "more", "until", "total_of") else None
        if passes is not None and isinstance(passes.times, int):
            times = passes.times - (1 if self._role(-1) == "more" or self._role(-2) == "more" else 0)
        elif passes is not None and passes.times is None:
            items.append(Act("measure", self._span(begin, self.at), self._words(begin, self.at), passes.until))
        items.append(Act("as_round", self._span(begin, self.at), value if value != "last" else f"last {n}", times))

    def _loops_said(self, number: Number) -> bool:
        """`Rnd 5's front loops in`, in languages that put the place first: where the stitches go that follow."""
        step = 1
        while self._role(step) in ("the", "in", "each"):
            step += 1
        if self._role(step) != "loop" or not isinstance(number, int):
            return False
        every = self._role(step - 1) == "each"
        self.earlier = (number, self._value(step))
        self.at += step + 1
        self._skip("in", "the")
        self.pending = Target("around") if every else None
        return True

    def _last_again(self, items: list[Node]) -> None:
        """`last round repeat`, `last 2 rounds 3 times repeat`, in languages that put the verb last."""
        begin = self.at
        self.at += 1
        n = self._next().number if self._role() == "num" else 1
        self._take("header")
        if not self._said_again(items, begin, "last", n):
            raise NotUnderstood(self.line[begin], "what to do with that round")

    def _rounds_said(self, items: list[Node], begin: int) -> bool:
        """`Rnd 4 the same`, `Rnds 5-6 twice repeat`, in languages that put the verb last: the words of that round again."""
        at = self.at
        numbers = [self.line[at - 1].number]
        while self._role() in ("dash", "comma", "and", "range") and self._role(1) == "num":
            link, last = self._role(), self.line[self.at + 1].number
            ranged = link in ("dash", "range") and last > numbers[-1]
            numbers.extend(range(numbers[-1] + 1, min(last, numbers[-1] + 200) + 1) if ranged else (last,))
            self.at += 2
        if self._take("header") and self._said_again(items, begin, ",".join(str(n) for n in numbers), len(numbers)):
            return True
        self.at = at
        return False

    def _said_again(self, items: list[Node], begin: int, value: str, n: int) -> bool:
        """Behind a round's name: `the same`, `repeat`, `6 times repeat`."""
        step = 0
        while self._role(step) in ("the", "and", "in"):
            step += 1
        verb = self._role(step) in ("as", "repeat") and self._role(step + 1) not in ("num", "header")
        if not verb and not (self._role(step) == "num" and self._role(step + 1) == "times"):
            return False
        self.at += step + verb
        self._rounds_again(items, begin, value, n)
        return True
