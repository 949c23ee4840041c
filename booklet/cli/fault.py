"""An exception in, a message for a person on stderr; the only place that knows which faults are ours."""

from __future__ import annotations

import os
import sys
import traceback

import click

# What the outputs refuse. By name: their modules belong to the pipeline, and importing them here would load a PDF engine.
REFUSALS = ("MissingGlyphs", "FontTableFault", "ExtraMissing", "CannotBeMade")


def tell(fault: Exception) -> None:
    """Say what could not be done. A fault of the program says so and asks for a report."""
    click.echo(sentence(fault), err=True)


def sentence(fault: Exception) -> str:
    """What could not be done, as it is told."""
    from booklet.reports.cells import harmless
    from booklet.resources import FolderMissing
    from booklet.tables.reader import TableFault

    if isinstance(fault, TableFault):
        return f"Error: a table of the program cannot be used: {harmless(str(fault))}"
    if isinstance(fault, FolderMissing):
        return f"Error: the installation is not whole: {harmless(str(fault))}"
    if type(fault).__name__ in REFUSALS:
        return f"Error: {harmless(str(fault))}; nothing was written."
    if isinstance(fault, OSError) and fault.strerror:
        where = f"{fault.filename}: " if fault.filename is not None else ""
        return f"Error: {harmless(where)}{fault.strerror}"
    return _ours(fault)


def _ours(fault: Exception) -> str:
    from booklet.reports.cells import harmless

    if os.environ.get("BOOKLET_TRACEBACK"):
        traceback.print_exception(fault, file=sys.stderr)
    last = traceback.extract_tb(fault.__traceback__)[-1:]
    where = f" ({last[0].filename.rpartition(os.sep)[2]}, line {last[0].lineno})" if last else ""
    return (
        f"Our fault, not your pattern's: {type(fault).__name__}: {harmless(str(fault))[:300]}{where}\n"
        "Nothing was written half. Please report it with this message, the command you typed, the output of\n"
        "`booklet --version` and, if you may share it, the pattern. BOOKLET_TRACEBACK=1 shows more."
    )
