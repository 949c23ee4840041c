"""Lines in, stitches that are abbreviated in several ways out; the booklet prints one of them.

Noted:   … sl st to first sc      … ss to first sc
Good:    sl st everywhere
"""

from __future__ import annotations

from collections.abc import Iterator

from booklet.diagnostics.diagnostic import Diagnostic, diagnostic
from booklet.graph.checks._subject import Subject, nodes
from booklet.notation.tree import Work
from booklet.tables.language import fold

CODES = ("stitch-names-mixed",)


def check(subject: Subject) -> Iterator[Diagnostic]:
    """One note a stitch, at the first line that names it otherwise than before. Words written out are no second name."""
    seen: dict[str, tuple[str, str]] = {}
    told: set[str] = set()
    for line in subject.lines():
        for node, _ in nodes(line.settled.instruction) if line.settled.instruction else ():
            if not isinstance(node, Work) or node.stitch in told:
                continue
            form = _form(subject, node)
            if not form:
                continue
            first, where = seen.setdefault(node.stitch, (form, line.label))
            if form != first:
                told.add(node.stitch)
                yield diagnostic(
                    "stitch-names-mixed",
                    node.span,
                    part=line.section.title,
                    round=line.number,
                    form=form,
                    first=first,
                    where=where,
                    printed=subject.language.names[node.stitch].abbr if node.stitch in subject.language.names else first,
                )


def _form(subject: Subject, work: Work) -> str:
    """The abbreviation with which the stitch is named, "" where it is a term or nothing that we know."""
    name = subject.language.names.get(work.stitch)
    words = fold(subject.text(work.span)).split()
    for size in range(min(3, len(words)), 0, -1):
        for start in range(len(words) - size + 1):
            form = " ".join(words[start : start + size])
            if subject.language.words.get(form) == ("stitch", work.stitch):
                long = {fold(name.term), fold(name.plural)} if name else set()
                return "" if form in long else _singular(subject, form, work.stitch)
    return ""


def _singular(subject: Subject, form: str, stitch: str) -> str:
    short = form[:-1]
    return short if form.endswith("s") and subject.language.words.get(short) == ("stitch", stitch) else form
