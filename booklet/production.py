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
    languages: tuple[str, ...] = ()  # tags of all editions of the pattern that are made along with it


class CannotBeMade(Exception):
    """What was asked for cannot be made of this pattern; the message says why."""


class Extra(NamedTuple):
    """A file that is made along with the one of a job."""

    path: Path
    data: bytes


class Product(NamedTuple):
    """What a job gives."""

    data: bytes
    pages: int  # 0 where there are none
    problems: tuple[Diagnostic, ...]  # what only a layout can find
    notes: tuple[str, ...] = ()  # sentences for the person who asked for it
    more: tuple[Extra, ...] = ()  # what stands beside the file, in order


class Ready(NamedTuple):
    """A pattern that was understood, and what all its editions share."""

    understood: Understood
    folder: Path  # where its pictures are
    shared: pipeline.Shared


def produce(job: Job, ready: Ready, say: Say) -> Product:
    """Make one file. Raises what pipeline.build raises."""
    return FORMS[job.form](job, ready, say)


def prepare(jobs: Iterable[Job]) -> None:
    """Load the engine before the jobs are shared out: what is there then is there for all.

    Charts and pictures are not made here: two workers that each make them once are as quick as one that does it for both.
    """
    if any(job.form in ("pdf", "png") for job in jobs):
        from booklet.outputs.pdf import warm

        warm()


def _pdf(job: Job, ready: Ready, say: Say) -> Product:
    data, pages, problems = pipeline.build(ready.understood, job.edition, ready.folder, say, ready.shared)
    printing = job.edition.printing
    if printing == "home":
        return Product(data, pages, problems)
    from booklet.editions.discover import layout
    from booklet.press.finish import NotConvertible, finish

    say(f"finishing for {printing}")
    try:
        made = finish(data, printing, layout(job.edition.layout).folds)
    except NotConvertible as fault:
        raise CannotBeMade(f"{job.path.name} cannot be brought to inks: {fault} cannot be converted") from fault
    notes = tuple(f"note: {job.path.name} makes no claim to be PDF/X-4: {one.message}" for one in made.against)
    return Product(made.data, pages, problems, notes)


def _html(job: Job, ready: Ready, say: Say) -> Product:
    from booklet.editions.paper import paper
    from booklet.outputs.html_file import one_file

    say(f"setting {job.edition.layout}")
    page, parts, problems = pipeline.set_pages(ready.understood, job.edition, paper(job.edition), ready.folder, ready.shared)
    return Product(one_file(page, parts), 0, problems)


def _text(job: Job, ready: Ready, say: Say) -> Product:
    from booklet.editions.paper import paper
    from booklet.outputs.plain_text import plain_text

    say("writing plain text")
    made = paper(job.edition)
    book, problems = pipeline.book_of(ready.understood, job.edition, made, ready.folder, ready.shared, every_line=True)
    return Product(plain_text(book), 0, problems)


def _png(job: Job, ready: Ready, say: Say) -> Product:
    from booklet.listing import listed

    made = listed(ready.understood, job.edition, job.languages, ready.folder, ready.shared, say)
    stem = job.path.name.removesuffix(".txt")
    more = tuple(Extra(job.path.with_name(f"{stem}-{name}.png"), data) for name, data in made.pictures)
    return Product(made.text.encode(), len(more), made.problems, more=more)


FORMS: dict[str, Callable[[Job, Ready, Say], Product]] = {"pdf": _pdf, "html": _html, "txt": _text, "png": _png}
