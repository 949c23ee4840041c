"""Comes in: a booklet that is a test copy. Goes out: its form as lines of plain text, to be filled in at the lines of dashes."""

from __future__ import annotations

from collections.abc import Iterator

from booklet.outputs.plain_text import heading, wrapped
from booklet.pages.book import Book

BLANK = "____________"
BOX = "[ ]"


def form(book: Book) -> Iterator[str]:
    """What was taken, what came out of it, and every line with a box; nothing where the booklet is no test copy."""
    if book.trial is None:
        return
    trial, words = book.trial, book.words
    yield from heading(words["test_form"], "=")
    yield from wrapped(words["test_intro"])
    yield ""
    yield from (f"{fact.label}: {fact.value}" for fact in trial.heads)
    yield from (f"{words[key]}: {BLANK}" for key in ("test_begun", "test_finished", "test_hours"))
    yield ""
    yarns = ((f"{yarn.colour.code} {yarn.colour.name or yarn.name}".strip(), yarn.amount) for yarn in trial.yarns)
    for label, value in (*yarns, *((fact.label, fact.value) for fact in (*trial.facts, *trial.sizes))):
        yield from wrapped(f"{label}: {value}", "  ")
        yield f"  {words['test_yours']}: {BLANK}"
    yield from ("", *wrapped(f"{words['test_unclear']}:"), BLANK)
    yield from heading(words["test_slips"], "-")
    for part in trial.parts:
        yield from ("", *wrapped(" · ".join(filter(None, (part.title, part.make)))))
        for row in part.rows:
            yield from wrapped(f"{BOX} {row}: {BLANK}", "    ")
