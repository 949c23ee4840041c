"""Lines that were not understood in, their unknown abbreviations out, each with the nearest known one.

Bad:    Rnd 4: (2 sv, inc) x 6 (24)
Good:   Rnd 4: (2 sc, inc) x 6 (24)
"""

from __future__ import annotations

from collections.abc import Iterator

from booklet.diagnostics.diagnostic import Diagnostic, Edit, diagnostic
from booklet.graph.checks._failures import cause, failed
from booklet.graph.checks._subject import Subject
from booklet.tables.language import fold
from booklet.tables.nearest import nearest

CODES = ("abbreviation-unknown",)

CLOSE = 0.5  # likeness of two words, 0 to 1: `sv` and `sc` are at 0.62; a guess that suits the slips of the trade's short words
MOST_GUESSES = 100  # words that a near one is looked for: a text of nothing but strange words is another language


def check(subject: Subject) -> Iterator[Diagnostic]:
    """An error at the word; the mend is there where one known word is near."""
    guesses: dict[str, str] = {}
    for line in subject.lines():
        found = cause(subject, line) if failed(line) else None
        if found is None or found.kind != "abbreviation":
            continue
        if found.word not in guesses and len(guesses) < MOST_GUESSES:
            guesses[found.word] = _nearest(subject, found.word)
        near = guesses.get(found.word, "")
        yield diagnostic(
            "abbreviation-unknown",
            found.span,
            edits=(Edit(found.span, near),) if near else (),
            part=line.section.title,
            round=line.number,
            help="near" if near else "",
            word=found.word,
            near=near,
        )


def _nearest(subject: Subject, word: str) -> str:
    """The known abbreviation that may be meant, "" for none. Printed forms go before the other forms that are read."""
    printed = [name.abbr for name in subject.language.names.values()]
    own = [abbreviation for _, abbreviation, _, _ in subject.pattern.own_stitches if abbreviation]
    read = [form for form, (role, _) in subject.language.words.items() if role in ("stitch", "loop", "ring")]
    for known in (own + printed, read):
        by_fold = {fold(form): form for form in reversed(known)}
        found = nearest(fold(word), by_fold, CLOSE)
        if found:
            return by_fold[found]
    return ""
