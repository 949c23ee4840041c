"""Addresses of films in, those that no booklet can print as a code out, and times of a film that the pattern does not name.

Bad:    Video at 3:20.            (and no `video:` in the head)
Good:   video: https://example.org/nut          Video at 3:20.
"""

from __future__ import annotations

from collections.abc import Iterator

from booklet.addresses import LONGEST, is_address
from booklet.diagnostics.diagnostic import Diagnostic, Edit, diagnostic
from booklet.diagnostics.span import Span
from booklet.graph.checks._subject import Subject

SENTENCE = "video"  # the id of the standard sentence, in every language
CODES = ("video-missing", "video-too-long", "video-time")


def check(subject: Subject) -> Iterator[Diagnostic]:
    """A warning for a time without a film or past its hour; an error for an address that leads nowhere."""
    film = subject.pattern.fields.get("video")
    if film is not None and film.text.lower().startswith("https://"):  # anything else was told when the head was read
        yield from _address(film.text.strip(), film.span, None)
    for section, step in subject.steps():
        if step.kind != "sentence" or step.name != SENTENCE:
            continue
        part = section.title if section.role == "part" else None
        address, time = str(step.value("address", "")), str(step.value("time", ""))
        if address:
            yield from _address(address, _place(subject, step.span, address), part)
        elif film is None:
            yield diagnostic("video-missing", step.span, part=part, time=time)
        if time and not _is_time(time):
            yield diagnostic("video-time", step.span, part=part, time=time)


def _address(address: str, span: Span, part: str | None) -> Iterator[Diagnostic]:
    if len(address) > LONGEST:
        yield diagnostic("video-too-long", span, part=part, length=len(address), limit=LONGEST)
    elif not is_address(address):
        low = address.lower()
        rest = address[7:] if low.startswith("http://") else address if low.startswith("www.") else ""
        edits = (Edit(span, f"https://{rest}"),) if is_address(f"https://{rest}") else ()
        yield diagnostic("link-refused", span, part=part, edits=edits, link=address[:80])


def _place(subject: Subject, span: Span, address: str) -> Span:
    """The address inside its sentence; the whole sentence where it stands on several lines."""
    at = subject.text(span).find(address)
    if at < 0 or span.line != span.end_line:
        return span
    return Span(span.line, span.column + at, span.line, span.column + at + len(address))


def _is_time(time: str) -> bool:
    """Hours, minutes and seconds: all but the first below 60."""
    _, *rest = time.split(":")
    return len(rest) <= 2 and all(len(part) == 2 and int(part) < 60 for part in rest)
