"""`booklet explain`: a code in, its page out. The pages are in shared/diagnostics, and what preflight objects to in shared/press."""

from __future__ import annotations

from typing import Any

import click


@click.command()
@click.argument("code")
@click.option("--json", "as_json", is_flag=True, help="Print the page as an object, for programs.")
def explain(code: str, as_json: bool) -> None:
    """Say what a finding means, why it matters and how to mend it.

    CODE is the word in brackets, such as total-differs or bleed-missing. `booklet list codes` prints them all.
    """
    from booklet.cli.codes_given import plain
    from booklet.cli.terminal import json_on_stdout, on_stdout
    from booklet.press.rules import rules

    found = _objection(plain(code)) if plain(code) in rules() else _finding(code)
    if as_json:
        json_on_stdout(found)
        return
    title, _, rest = str(found["text"]).partition("\n")
    on_stdout(f"{title.lstrip('# ')} ({found['severity']})\n{rest.rstrip()}\n")


def _finding(code: str) -> dict[str, Any]:
    """A finding of `check` and of the other commands that read a pattern."""
    from booklet.cli.codes_given import known_code
    from booklet.diagnostics.codes import page
    from booklet.press.rules import rules

    found = page(known_code(code, rules()))
    return {"code": found.code, "severity": found.severity, "message": found.message, "help": found.helps, "text": found.text}


def _objection(code: str) -> dict[str, Any]:
    """What `preflight` objects to: its gravity depends on what the file is for."""
    from booklet.press.rules import rules

    rule = rules()[code]
    gravity = ", ".join(f"{purpose}: {grave}" for purpose, grave in rule.severity.items() if grave != "-")
    text = f"# {code}\n\n{rule.message[0].upper()}{rule.message[1:]}.\n\n{rule.why}\n\nWhat to do: {rule.help}.\n"
    return {"code": code, "severity": gravity, "message": rule.message, "help": {"": rule.help}, "text": text}
