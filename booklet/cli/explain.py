"""`booklet explain`: a code in, its page out. The pages are in shared/diagnostics."""

from __future__ import annotations

import click


@click.command()
@click.argument("code")
@click.option("--json", "as_json", is_flag=True, help="Print the page as an object, for programs.")
def explain(code: str, as_json: bool) -> None:
    """Say what a finding means, why it matters and how to mend it.

    CODE is the word in brackets, such as total-differs. `booklet list codes` prints them all.
    """
    from booklet.cli.codes_given import known_code
    from booklet.cli.terminal import json_on_stdout, on_stdout
    from booklet.diagnostics.codes import page

    found = page(known_code(code))
    if as_json:
        json_on_stdout(
            {
                "code": found.code,
                "severity": found.severity,
                "message": found.message,
                "help": found.helps,
                "text": found.text,
            }
        )
        return
    title, _, rest = found.text.partition("\n")
    on_stdout(f"{title.lstrip('# ')} ({found.severity})\n{rest.rstrip()}\n")
