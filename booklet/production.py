"""A job in, the bytes of one file out: which stages a format needs. Files are read and written, and jobs shared out, elsewhere."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING, NamedTuple

from booklet import pipeline
from booklet.diagnostics.diagnostic import Diagnostic
from booklet.editions.edition import Edition

if TYPE_CHECKING:
    from booklet.pipeline import Understood

Say = Callable[[str], None]


@dataclass(frozen=True, slots=True)
class Job:
    """One file that is to be made."""

    pattern: int  # which of the patterns at hand
    edition: Edition
    form: str  # a key of FORMS
    path: Path  # where it is to be put


class Product(NamedTuple):
    """What a job gives."""

    data: bytes
    pages: int  # 0 where there are none
    problems: tuple[Diagnostic, ...]  # what only a layout can find


class Ready(NamedTuple):
    """A pattern that was understood, and what all its editions share."""

    understood: Understood
    folder: Path  # where its pictures are
    shared: pipeline.Shared


def produce(job: Job, ready: Ready, say: Say) -> Product:
    """Make one file. Raises what pipeline.build raises."""
    return FORMS[job.form](job, ready, say)


def prepare(jobs: Iterable[Job], patterns: tuple[Ready, ...]) -> None:
    """Make what the editions share before they are shared out: the placing of charts, the pictures, the engine."""
    from booklet.editions.discover import layout

    seen: set[tuple[object, ...]] = set()
    for job in jobs:
        edition = job.edition
        key = (job.pattern, edition.size, edition.choices, edition.market, edition.symbols, edition.layout)
        if key not in seen:
            seen.add(key)
            pipeline.prepare(patterns[job.pattern], edition, layout(edition.layout))
    if any(job.form == "pdf" for job in jobs):
        from booklet.outputs.pdf import warm

        warm()


def _pdf(job: Job, ready: Ready, say: Say) -> Product:
    return Product(*pipeline.build(ready.understood, job.edition, ready.folder, say, ready.shared))


def _html(job: Job, ready: Ready, say: Say) -> Product:
    from booklet.editions.discover import layout
    from booklet.outputs.html_file import one_file

    say(f"setting {job.edition.layout}")
    page, parts, problems = pipeline.set_pages(ready.understood, job.edition, layout(job.edition.layout), ready.folder, ready.shared)
    return Product(one_file(page, parts), 0, problems)


def _text(job: Job, ready: Ready, say: Say) -> Product:
    from booklet.editions.discover import layout
    from booklet.outputs.plain_text import plain_text

    say("writing plain text")
    book = pipeline.compose_book(ready.understood, job.edition, layout(job.edition.layout), ready.shared)
    return Product(plain_text(book), 0, ())


FORMS: dict[str, Callable[[Job, Ready, Say], Product]] = {"pdf": _pdf, "html": _html, "txt": _text}
