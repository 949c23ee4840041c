"""What is found and made during a build in; findings, paths, a table and an exit status out; nothing is made here."""

from __future__ import annotations

import sys
from collections.abc import Iterable
from dataclasses import dataclass, field
from typing import TYPE_CHECKING, NamedTuple

from booklet.cli.terminal import colour, on_stderr, on_stdout
from booklet.diagnostics.codes import message, severity
from booklet.reports.cells import harmless

if TYPE_CHECKING:
    from booklet.cli.build_run import Outcome
    from booklet.cli.files import Refused
    from booklet.diagnostics.diagnostic import Diagnostic
    from booklet.pipeline import Understood


@dataclass(slots=True)
class _Pattern:
    """What is known of one file."""

    file: str
    text: str = ""
    problems: dict[Diagnostic, None] = field(default_factory=dict)
    paths: list[str] = field(default_factory=list)
    wrong: bool = False


class _Line(NamedTuple):
    """A line of the table."""

    file: str
    language: str
    layout: str
    pages: str
    size: str
    time: str


class Told:
    """Tells what is found as it is found, and keeps it for the table and for --json."""

    def __init__(self, *, quiet: bool, proof: bool, strict: bool) -> None:
        self.quiet, self.proof, self.strict = quiet, proof, strict
        self._patterns: list[_Pattern] = []
        self._numbers: list[int] = []  # of those that were understood
        self._impossible = False
        self._wanting = False  # something was not built because of --strict
        self._lines: list[_Line] = []

    @property
    def status(self) -> int:
        """0 nothing wrong, 1 a pattern has errors, 2 something could not be done."""
        return 2 if self._impossible else 1 if self._wanting or any(one.wrong for one in self._patterns) else 0

    def begin(self, file: str) -> None:
        """A file is taken up."""
        self._patterns.append(_Pattern(file))

    def understood(self, understood: Understood) -> None:
        """It was read."""
        self._patterns[-1].text = understood.source.text
        self._found(self._patterns[-1], understood.problems)

    def number(self, number: int) -> None:
        """The file that was taken up last is the pattern of that number."""
        assert number == len(self._numbers)
        self._numbers.append(len(self._patterns) - 1)

    def may_build(self) -> bool:
        """A pattern with errors is built as a proof only, one with warnings not if that was asked for strictly."""
        one = self._patterns[-1]
        return not self._against(one.file, one.problems)

    def draft(self, tag: str) -> bool:
        """Is an edition in this draft translation refused? It is told then."""
        if self.strict:
            self._refuse(f"not built: the words of {tag} are a draft translation (--strict)")
        return self.strict

    def _against(self, name: str, problems: Iterable[Diagnostic]) -> bool:
        """Is there something against building it? Told where the reason is no error that stands there already."""
        found = [severity(problem) for problem in problems]
        if "error" in found and not self.proof:
            return True
        warnings = found.count("warning")
        if self.strict and warnings:
            self._refuse(f"not built: {name} has {warnings} {'warning' if warnings == 1 else 'warnings'} (--strict)")
        return self.strict and warnings > 0

    def _refuse(self, sentence: str) -> None:
        self._wanting = True
        self._tell(sentence)

    def refused(self, refused: Refused) -> None:
        """Something that was asked for cannot be done; the rest goes on."""
        self._say(f"Error: {refused.message}")

    def made(self, outcome: Outcome) -> None:
        """Put what was made into its place, unless its pictures have errors, and tell its path."""
        from booklet.cli.files import Refused, write_whole

        one, job = self._patterns[self._numbers[outcome.job.pattern]], outcome.job
        if outcome.product is None:
            self._say(outcome.fault)
            self._lines.append(_Line(str(job.path), "+".join(job.edition.languages), job.edition.layout, "not made", "", ""))
            return
        self._found(one, outcome.product.problems)
        if self._against(str(job.path), outcome.product.problems):
            return
        data, pages = outcome.product.data, outcome.product.pages
        files = ((job.path, data), *outcome.product.more)
        for path, content in files:
            try:
                write_whole(path, content)
            except Refused as refused:
                self.refused(refused)
                return
            one.paths.append(str(path))
            if not self.quiet:
                on_stdout(f"{path}\n")
        much = sum(len(content) for _, content in files)
        size = f"{much / 1e6:.1f} MB" if much > 1e6 else f"{much / 1e3:.0f} kB"
        languages = "+".join(job.edition.languages)
        self._lines.append(_Line(str(job.path), languages, job.edition.layout, str(pages or "-"), size, f"{outcome.seconds:.1f} s"))
        for note in outcome.product.notes:
            on_stderr(f"{harmless(note)}\n")
        for problem in outcome.product.problems:
            # A note, yet nobody finds what a card leaves out in the pattern.
            if problem.code.startswith("card-") and not self.quiet:
                on_stderr(f"note: {message(problem)}\n")

    def table(self) -> None:
        """What was built, where it is more than one file."""
        if self.quiet or len(self._lines) < 2:
            return
        from booklet.reports.figures import columns

        on_stderr("".join(f"{line}\n" for line in columns(_Line._fields, self._lines, frozenset((0, 1, 2)))))

    def as_object(self) -> list[dict[str, object]]:
        """What --json prints."""
        from booklet.reports.json import problems_json

        return [{"file": one.file, "problems": problems_json(tuple(one.problems)), "outputs": one.paths} for one in self._patterns]

    def _say(self, sentence: str) -> None:
        self._impossible = True
        self._tell(sentence)

    def _tell(self, sentence: str) -> None:
        on_stderr("\n".join(map(harmless, sentence.splitlines())) + "\n")

    def _found(self, one: _Pattern, problems: Iterable[Diagnostic]) -> None:
        """Keep what is new, and print the errors and warnings of it."""
        new = [problem for problem in dict.fromkeys(problems) if problem not in one.problems]
        one.problems.update(dict.fromkeys(new))
        one.wrong = one.wrong or any(severity(problem) == "error" for problem in new)
        graver = [problem for problem in new if severity(problem) != "note"]
        if graver and not self.quiet:
            from booklet.reports.frame import report
            from booklet.tables.limits import limits

            on_stderr(report(graver, one.text, one.file, most=limits()["problems"], colour=colour(sys.stderr)))
