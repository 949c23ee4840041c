"""Findings and the text they are about in, what a person reads out; no decision about colour, no stream, no file here."""

from __future__ import annotations

import re
from collections.abc import Callable, Sequence

from booklet.diagnostics import codes
from booklet.diagnostics.diagnostic import Diagnostic, Edit
from booklet.diagnostics.span import START
from booklet.reports.cells import cut, harmless

SEVERITIES = ("error", "warning", "note")
_COLOURS = {"error": "31;1", "warning": "33;1", "note": "36;1", "mend": "32", "dim": "2", "bold": "1"}


def lines_of(text: str) -> list[str]:
    """Split at LF, CRLF and CR only, as lines are counted everywhere in this program."""
    return re.split("\r\n|\r|\n", text)


def in_order(problems: Sequence[Diagnostic]) -> list[Diagnostic]:
    """Findings in the order of the file; at one place the graver one first."""
    return sorted(
        problems,
        key=lambda found: (
            found.file or "",
            found.span.line,
            found.span.column,
            SEVERITIES.index(codes.severity(found)),
            found.code,
        ),
    )


def report(problems: Sequence[Diagnostic], text: str, file: str, *, most: int = 500, colour: bool = False) -> str:
    """Every finding as a frame (`most` of them, errors before all others), then one line that counts them."""
    kept = problems
    if len(problems) > most:
        kept = sorted(problems, key=lambda found: SEVERITIES.index(codes.severity(found)))[:most]
    lines = lines_of(text)
    frames = [frame(found, lines, file, colour=colour) for found in in_order(kept)]
    last = summary(problems, file)
    if len(kept) < len(problems):
        last += f" ({len(kept)} are shown)"
    return "\n".join([*frames, last]) + "\n"


def summary(problems: Sequence[Diagnostic], file: str) -> str:
    """For example `3 errors, 1 warning in acorn.md`."""
    found = [codes.severity(problem) for problem in problems]
    counts = [(found.count(severity), severity) for severity in SEVERITIES]
    words = ", ".join(f"{n} {severity}{'' if n == 1 else 's'}" for n, severity in counts if n)
    return f"{words or 'nothing to report'} in {harmless(file)}"


def frame(found: Diagnostic, lines: Sequence[str], file: str, *, colour: bool = False) -> str:
    """One finding: what is wrong, where, the line with a pointer, how it was read, what to do, the mended line."""
    paint = _paint if colour else _plain
    severity = codes.severity(found)
    rows = [paint(severity, f"{severity}[{found.code}]") + paint("bold", ": " + harmless(codes.message(found)))]
    margin = len(str(found.span.end_line))
    pad = " " * margin
    inside = found.file is None and found.span != START and found.span.line <= len(lines)
    place = found.file or file
    if found.span != START:
        place += f":{found.span.line}:{found.span.column}"
    rows.append(f"{pad}{paint('dim', '-->')} {harmless(place)}")
    if inside:
        rows += _quoted(found, lines, margin, lambda text: paint(severity, text))
    read_as = next((str(value) for name, value in found.values if name == "read_as"), "")
    if read_as:
        rows.append(f"{pad} = read as: {harmless(read_as)}")
    help_text = codes.help_text(found)
    if help_text:
        rows.append(f"{pad} = help: {harmless(help_text)}")
    if found.file is None:
        rows += _mended(found.edits, lines, margin, lambda text: paint("mend", text))
    return "\n".join(row.rstrip() for row in rows) + "\n"


def _quoted(found: Diagnostic, lines: Sequence[str], margin: int, paint: Callable[[str], str]) -> list[str]:
    span = found.span
    line = lines[span.line - 1]
    end = span.end_column - 1 if span.end_line == span.line else len(line)
    shown = cut(line, span.column - 1, end)
    pad = " " * margin
    number = str(span.line).rjust(margin)
    return [
        f"{pad} |",
        f"{number} | {shown.text}",
        f"{pad} | {' ' * shown.start}{paint('^' * shown.width)}",
    ]


def _mended(edits: tuple[Edit, ...], lines: Sequence[str], margin: int, paint: Callable[[str], str]) -> list[str]:
    """The line as it would be after the edits, where they all touch one line."""
    if not edits or any(edit.span.line != edits[0].span.line or edit.span.end_line != edit.span.line for edit in edits):
        return []
    at = edits[0].span.line
    if at > len(lines):
        return []
    line, shift = lines[at - 1], 0
    start, end = len(line), 0
    for edit in sorted(edits, key=lambda edit: edit.span.column):
        left, right = edit.span.column - 1 + shift, edit.span.end_column - 1 + shift
        line = line[:left] + edit.text + line[right:]
        start, end = min(start, left), max(end, left + len(edit.text))
        shift += len(edit.text) - (right - left)
    rows, pad, offset = [f"{' ' * margin} |"], " " * margin, 0
    for number, part in enumerate(lines_of(line)):
        left, right = max(0, start - offset), min(len(part), end - offset)
        label = str(at + number).rjust(margin)
        shown = cut(part, left, max(left, right))
        rows.append(f"{label} | {shown.text}")
        if right > left:
            rows.append(f"{pad} | {' ' * shown.start}{paint('+' * shown.width)}")
        offset += len(part) + 1
    return rows


def _paint(kind: str, text: str) -> str:
    return f"\x1b[{_COLOURS[kind]}m{text}\x1b[0m"


def _plain(kind: str, text: str) -> str:
    return text
