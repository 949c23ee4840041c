"""The pages of shared/diagnostics: a code in, its severity, sentences and explanation out; nothing is printed here."""

from __future__ import annotations

from functools import cache
from typing import NamedTuple

from booklet.diagnostics.diagnostic import Diagnostic
from booklet.resources import folder


class Page(NamedTuple):
    """One code's page: `message` and `help` hold {names} of the diagnostic's values."""

    code: str
    severity: str  # "error", "warning" or "note"
    message: str
    helps: dict[str, str]  # "" is the usual help, others are named variants
    text: str  # Markdown explanation, printed by `booklet explain`
    certain: bool = False  # a mend of style or spelling: applied by `--fix` without a code, once it is proven that no line changes


@cache
def page(code: str) -> Page:
    """Read shared/diagnostics/<code>.md. KeyError for an unknown code."""
    try:
        raw = (folder("shared") / "diagnostics" / f"{code}.md").read_text("utf-8")
    except OSError as missing:
        raise KeyError(code) from missing
    head, _, body = raw.partition("\n\n")
    fields: dict[str, str] = {}
    for row in head.splitlines():
        key, _, value = row.partition(":")
        fields[key.strip()] = value.strip()
    helps = {key[4:].lstrip("."): value for key, value in fields.items() if key.split(".")[0] == "help"}
    return Page(code, fields["severity"], fields["message"], helps, body.strip() + "\n", fields.get("mend") == "certain")


@cache
def codes() -> tuple[str, ...]:
    """Every code that has a page, in alphabetical order."""
    return tuple(sorted(path.name[:-3] for path in (folder("shared") / "diagnostics").iterdir() if _is_page(path.name)))


def severity(found: Diagnostic) -> str:
    """The severity of a finding: its own, else its page's."""
    return found.severity or page(found.code).severity


def message(found: Diagnostic) -> str:
    """The headline, with the values filled in."""
    return _fill(page(found.code).message, found)


def help_text(found: Diagnostic) -> str:
    """What to do, with the values filled in; "" where the page offers none."""
    return _fill(page(found.code).helps.get(found.help, ""), found)


def _fill(sentence: str, found: Diagnostic) -> str:
    # Plain replacement: a pattern's own text may hold braces, which str.format would read.
    for name, value in found.values:
        sentence = sentence.replace("{" + name + "}", str(value))
    return sentence


def _is_page(name: str) -> bool:
    return name.endswith(".md") and name != "README.md"
