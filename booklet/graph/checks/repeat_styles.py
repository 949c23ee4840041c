"""Lines in, a pattern that writes its repeats in several ways out; the booklet prints one.

Noted:   (sc, inc) x 6      *2 sc, inc; rep from * around      [3 sc, inc] 6 times
Good:    (sc, inc) x 6      (2 sc, inc) x 6                    (3 sc, inc) x 6
"""

from __future__ import annotations

from collections.abc import Iterator

from booklet.diagnostics.diagnostic import Diagnostic, Edit, diagnostic
from booklet.graph.checks._repeats import Repeat, repeats
from booklet.graph.checks._styles import CLOSERS, commonest
from booklet.graph.checks._subject import Subject

CODES = ("repeat-styles-mixed",)


def check(subject: Subject) -> Iterator[Diagnostic]:
    """One note a pattern; the mend is at all repeats of the rarer styles. Repeats within one another are no second style."""
    written = list(repeats(subject))
    first: Repeat | None = None
    for repeat in written:
        if first is None or (not first.order and first.mark == repeat.mark):
            first = repeat
        elif repeat.mark != first.mark or (repeat.order and repeat.order != first.order):
            yield diagnostic(
                "repeat-styles-mixed",
                repeat.group.span,
                edits=tuple(_edits(subject, written)),
                part=repeat.line.section.title,
                round=repeat.line.number,
                label=repeat.line.label,
                first=first.line.label,
            )
            return


def _edits(subject: Subject, written: list[Repeat]) -> Iterator[Edit]:
    """Every repeat of another style than the commonest, its own stitches between the marks and words of one that has the style."""
    style = commonest((repeat.mark, repeat.order) for repeat in written if repeat.order)
    mark, order = style or (commonest(repeat.mark for repeat in written) or "", "")
    tails: dict[bool, str] = {}
    for counted in (False, True):
        alike = (one.tail for one in written if one.mark == mark and one.order in ("", order) and one.tail and one.counted == counted)
        tails[counted] = commonest(alike) or _of_the_table(subject, mark, counted)
    for repeat in written:
        tail = tails[repeat.counted]
        if repeat.tail and tail and (repeat.mark != mark or repeat.order not in ("", order)):
            yield Edit(repeat.span, mark + repeat.inner + tail.replace("{n}", str(repeat.passes)).replace("{more}", str(repeat.passes - 1)))


def _of_the_table(subject: Subject, mark: str, counted: bool) -> str:
    """What the language's table writes behind the stitches, where the commonest style has no example of this kind; "" for stars."""
    opened, _, tail = subject.language.writing["group" if counted else "group_around"].partition("{items}")
    if opened not in CLOSERS or mark not in CLOSERS:
        return ""
    return tail.replace(CLOSERS[opened], CLOSERS[mark], 1)
