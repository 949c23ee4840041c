"""A text and findings with edits in, the mended text out; no file is written and no pattern is read here."""

from __future__ import annotations

import re
from bisect import bisect_left, insort
from collections.abc import Callable, Iterable, Iterator, Sequence
from itertools import groupby, pairwise
from typing import NamedTuple

from booklet.diagnostics.diagnostic import Diagnostic, Edit

_LINE_END = re.compile("\r\n|\r|\n")
MOST_LOOKS = 60  # readings of a whole text in which the certain mends are sought out; each costs about as much as a `check`
_AROUND = 3  # lines shown before and behind a change, as `diff -u` does


class Mend(NamedTuple):
    """The edits of one finding on one line of the file: they are made together or not at all."""

    problem: Diagnostic
    edits: tuple[Edit, ...]


class Applied(NamedTuple):
    """A text with some mends in it."""

    text: str
    done: tuple[Mend, ...]
    left: tuple[Mend, ...]  # they touch what another mend has touched: the first wins


def mends(problems: Iterable[Diagnostic], wanted: Callable[[Diagnostic], bool]) -> tuple[Mend, ...]:
    """The mends of the wanted findings about the pattern's own file, in the order of the file, each once."""
    found: dict[tuple[Edit, ...], Mend] = {}
    for problem in problems:
        if not problem.edits or problem.file is not None or not wanted(problem):
            continue
        edits = sorted(dict.fromkeys(problem.edits), key=lambda edit: edit.span)
        for _, group in groupby(edits, key=lambda edit: edit.span.line):
            together = tuple(group)
            found.setdefault(together, Mend(problem, together))
    return tuple(sorted(found.values(), key=lambda mend: mend.edits[0].span))


def apply(text: str, chosen: Sequence[Mend], line_end: str = "\n") -> Applied:
    """Make the mends in the order of the file. Whatever no edit touches stays as it is; lines that an edit adds end in `line_end`."""
    starts = line_starts(text)
    taken: list[tuple[int, int, str]] = []
    done, left = [], []
    for mend in sorted(chosen, key=lambda mend: mend.edits[0].span):
        places = [place for edit in mend.edits if (place := _place(edit, starts, text, line_end)) is not None]
        if len(places) == len(mend.edits) and all(_is_free(place, taken) for place in places):
            for place in places:
                insort(taken, place)
            done.append(mend)
        else:
            left.append(mend)
    pieces, at = [], 0
    for start, end, words in taken:
        pieces += [text[at:start], words]
        at = end
    return Applied("".join([*pieces, text[at:]]), tuple(done), tuple(left))


def certain(chosen: Sequence[Mend], agrees: Callable[[Sequence[Mend]], bool]) -> tuple[Mend, ...]:
    """As many of the mends as can be made together while `agrees` says that nothing else changes; halves are tried, then their halves."""
    looks = 0

    def keep(kept: tuple[Mend, ...], rest: tuple[Mend, ...]) -> tuple[Mend, ...]:
        nonlocal looks
        if not rest or looks >= MOST_LOOKS:
            return kept
        looks += 1
        if agrees([*kept, *rest]):
            return (*kept, *rest)
        if len(rest) == 1:
            return kept
        half = len(rest) // 2
        return keep(keep(kept, rest[:half]), rest[half:])

    return keep((), tuple(chosen))


def line_starts(text: str) -> list[int]:
    """The offset of each line; lines end at LF, CRLF and CR only."""
    return [0, *(found.end() for found in _LINE_END.finditer(text))]


def unified(before: str, after: str, old: str, new: str) -> str:
    """The change as a unified diff with three lines around it; "" where there is none. Linear in the length of the text."""
    a, b = _kept_lines(before), _kept_lines(after)
    hunks: list[list[tuple[int, int, int, int]]] = []
    for change in _changes(a, b):
        if hunks and change[0] - hunks[-1][-1][1] <= 2 * _AROUND:
            hunks[-1].append(change)
        else:
            hunks.append([change])
    if not hunks:
        return ""
    return "".join([f"--- {old}\n+++ {new}\n", *(_hunk(a, b, hunk) for hunk in hunks)])


def _place(edit: Edit, starts: list[int], text: str, line_end: str) -> tuple[int, int, str] | None:
    """Offsets of an edit, None where the text has no such place."""
    span = edit.span
    if not 1 <= span.line <= span.end_line <= len(starts):
        return None
    start, end = starts[span.line - 1] + span.column - 1, starts[span.end_line - 1] + span.end_column - 1
    if not start <= end <= len(text):
        return None
    return start, end, edit.text.replace("\n", line_end)


def _is_free(place: tuple[int, int, str], taken: list[tuple[int, int, str]]) -> bool:
    """Does a place touch none of the taken ones? Two insertions at one point do touch: which comes first would be a guess."""
    start, end, _ = place
    at = bisect_left(taken, place)
    for other_start, other_end, _ in taken[max(0, at - 1) : at + 2]:
        if (start < other_end and other_start < end) or (start == end == other_start == other_end):
            return False
    return True


def _kept_lines(text: str) -> list[str]:
    starts = line_starts(text)
    lines = [text[start:stop] for start, stop in pairwise([*starts, len(text)])]
    return lines[:-1] if lines and not lines[-1] else lines


def _changes(a: list[str], b: list[str]) -> Iterator[tuple[int, int, int, int]]:
    """Stretches (start and end in each) that differ. A line that is only in the new text is known by the one behind it."""
    i = j = 0
    while i < len(a) or j < len(b):
        if i < len(a) and j < len(b) and a[i] == b[j]:
            i, j = i + 1, j + 1
            continue
        begin, begin_new = i, j
        while (i < len(a) or j < len(b)) and not (i < len(a) and j < len(b) and a[i] == b[j]):
            added = len(b) - j > len(a) - i
            if i >= len(a) or (added and j + 1 < len(b) and a[i] == b[j + 1]):
                j += 1
            elif j >= len(b):
                i += 1
            else:
                i, j = i + 1, j + 1
        yield begin, i, begin_new, j


def _hunk(a: list[str], b: list[str], changes: list[tuple[int, int, int, int]]) -> str:
    first, last = changes[0], changes[-1]
    start, start_new = max(0, first[0] - _AROUND), max(0, first[2] - _AROUND)
    stop, stop_new = min(len(a), last[1] + _AROUND), min(len(b), last[3] + _AROUND)
    rows = [f"@@ -{_range(start, stop)} +{_range(start_new, stop_new)} @@\n"]
    at = start
    for begin, end, begin_new, end_new in changes:
        rows += [_row(" ", line) for line in a[at:begin]]
        rows += [_row("-", line) for line in a[begin:end]]
        rows += [_row("+", line) for line in b[begin_new:end_new]]
        at = end
    return "".join([*rows, *(_row(" ", line) for line in a[at:stop])])


def _range(start: int, stop: int) -> str:
    size = stop - start
    return f"{start + 1 if size else start},{size}"


def _row(sign: str, line: str) -> str:
    """A line of a diff. A carriage return before the line feed is shown as it is; one that stands alone ends the row too."""
    if line.endswith("\n"):
        return sign + line
    return f"{sign}{line[:-1]}\n" if line.endswith("\r") else f"{sign}{line}\n\\ No newline at end of file\n"
