"""`booklet check`: pattern files in, findings out, and mends where they are asked for. The proving itself is not done here."""

from __future__ import annotations

import re
from typing import TYPE_CHECKING, Any, NamedTuple

import click

if TYPE_CHECKING:
    from booklet.pipeline import Mended, Understood

EVERY = ""  # `--fix` without a code


class Check(click.Command):
    """A command whose `--fix` takes as many codes as follow it, or none: a word that is no code belongs to the files."""

    def parse_args(self, ctx: click.Context, args: list[str]) -> list[str]:
        """Write `--fix` and the codes behind it as options with a value, which click can read."""
        from booklet.cli.codes_given import is_code

        rest: list[str] = []
        at = 0
        while at < len(args):
            word, at = args[at], at + 1
            if word == "--":
                rest += [word, *args[at:]]
                break
            if word != "--fix":
                rest.append(word)
                continue
            codes = []
            while at < len(args) and is_code(args[at]):
                codes.append(args[at])
                at += 1
            rest += [f"--fix={code}" for code in codes or [EVERY]]
        return super().parse_args(ctx, rest)


class _Result(NamedTuple):
    """One file, and what was made of it."""

    file: str
    data: bytes
    understood: Understood
    mended: Mended | None
    path: str  # that is written to; "" where nothing is


@click.command(cls=Check)
@click.argument("files", metavar="FILE...", nargs=-1, required=True)
@click.option("--strict", is_flag=True, help="Count warnings as errors in the exit status.")
@click.option("--diff", is_flag=True, help="Show what --fix would change, and change nothing.")
@click.option(
    "--fix",
    "codes",
    metavar="[CODE]...",
    multiple=True,
    help="Mend the file: style and spelling only, every round stays what it is. With CODE make the mends of that finding, also "
    "those that change a count.",
)
@click.option("--house", metavar="FILE", help="House file; house.yaml beside the pattern if not given.")
@click.option("--language", metavar="TAG", help="Check the translation into this language as well.")
@click.option("--json", "as_json", is_flag=True, help="Print what was understood on stdout, for programs.")
@click.pass_context
def check(
    ctx: click.Context,
    files: tuple[str, ...],
    strict: bool,
    diff: bool,
    codes: tuple[str, ...],
    house: str | None,
    language: str | None,
    as_json: bool,
) -> None:
    """Prove every round of a pattern, and say what is wrong, where, and how to mend it.

    FILE is a pattern; - reads standard input. Exit status: 0 nothing wrong, 1 errors, 2 not done; after --fix of what remains.
    """
    from booklet.cli.terminal import json_on_stdout
    from booklet.diagnostics.codes import severity

    fix = bool(codes) and not diff
    wanted = _wanted(codes)
    # All files are read, mended and proven before the first one is written.
    results = [_look(file, house, wanted, diff, fix) for file in files]
    objects, grave = [], False
    for result in results:
        if result.path and result.mended is not None and result.mended.done:
            from booklet.cli.in_place import change

            change(result.file, result.path, result.data, result.mended.data)
        shown = result.mended.understood if fix and result.mended is not None else result.understood
        shown = _translated(shown, result.file, language) if language else shown
        severities = {severity(found) for found in shown.problems}
        grave = grave or "error" in severities or (strict and "warning" in severities)
        if as_json:
            objects.append(_object(result, shown, diff, fix))
        else:
            _tell(result, shown, diff, fix)
    if as_json:
        json_on_stdout(objects)
    ctx.exit(1 if grave else 0)


def _translated(shown: Understood, file: str, language: str) -> Understood:
    """The same, with the findings of a translation."""
    import os
    from dataclasses import replace
    from pathlib import Path

    from booklet import translation
    from booklet.cli.choose import one_of
    from booklet.tables.language import tags

    tag = one_of("language", language, tags())
    if tag == shown.language.tag or file == "-":
        return shown
    found = translation.check(shown, tag, Path(os.path.dirname(file) or "."))  # noqa: PTH120
    return replace(shown, problems=(*shown.problems, *found))


def _wanted(codes: tuple[str, ...]) -> tuple[str, ...]:
    """The codes that were asked for, () for what is certain."""
    from booklet.cli.codes_given import known_code

    named = tuple(dict.fromkeys(known_code(code) for code in codes if code != EVERY))
    if named and EVERY in codes:
        raise click.UsageError("--fix with a code and --fix without one are two runs: give one of them at a time.")
    return named


def _look(file: str, house: str | None, wanted: tuple[str, ...], diff: bool, fix: bool) -> _Result:
    from booklet import pipeline
    from booklet.cli.files import house_file, read_input

    path = ""
    if fix:
        from booklet.cli.in_place import may_change

        read_input(file) if file != "-" else None  # a file that is not there is told as everywhere
        path = may_change(file)
    data = read_input(file)
    rules = house_file(file, house)
    understood = pipeline.understand(data, file, house=rules)
    mended = pipeline.mend(understood, wanted, house=rules) if diff or fix else None
    return _Result(file, data, understood, mended, path)


def _difference(result: _Result) -> str:
    from booklet.reports.mending import unified

    mended = result.mended
    if mended is None or not mended.done:
        return ""
    name = re.sub(r"[\r\n\t]", " ", result.file)
    return unified(result.understood.source.text, mended.understood.source.text, name, f"{name} (mended)")


def _object(result: _Result, shown: Understood, diff: bool, fix: bool) -> dict[str, Any]:
    from booklet.reports.json import check_json, mends_json

    found = check_json(shown)
    if result.mended is not None:
        found["mended"] = mends_json(result.mended.done)
        found["not_mended"] = mends_json(result.mended.left)
        found["written"] = fix and bool(result.mended.done)
    if diff:
        found["diff"] = _difference(result)
    return found


def _tell(result: _Result, shown: Understood, diff: bool, fix: bool) -> None:
    import sys

    from booklet.cli.terminal import colour, on_stderr, on_stdout
    from booklet.reports.frame import report
    from booklet.reports.mended import summary
    from booklet.tables.limits import limits

    if diff:
        on_stdout(_shown(_difference(result), sys.stdout.isatty()))
    on_stderr(report(shown.problems, shown.source.text, result.file, most=limits()["problems"], colour=colour(sys.stderr)))
    if result.mended is not None:
        on_stderr(summary(result.mended.done, result.mended.left, result.file, would=not fix))


def _shown(difference: str, on_terminal: bool) -> str:
    """A diff for `patch` as it is; on a terminal nothing of the file may steer it."""
    from booklet.reports.cells import harmless

    if not on_terminal:
        return difference
    return "".join(f"{harmless(row)}\n" for row in difference.split("\n")[:-1])
