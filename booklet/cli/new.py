"""`booklet new`: a folder name in, a commented starter pattern in it out; its text is shared/starter.md."""

from __future__ import annotations

import click


@click.command()
@click.argument("folder")
@click.option("--json", "as_json", is_flag=True, help="Print the path as an object, for programs.")
def new(folder: str, as_json: bool) -> None:
    """Write a commented starter pattern that checks and builds at once.

    FOLDER is made if need be; the pattern in it takes the folder's name. Nothing that is there is overwritten.
    """
    from pathlib import Path

    from booklet.cli.files import Refused, output_folder, write_new
    from booklet.cli.terminal import json_on_stdout, on_stderr, on_stdout
    from booklet.resources import folder as shared

    name = Path(folder).resolve().name or "pattern"
    target = Path(folder) / f"{name}.md"
    if target.exists():
        raise Refused(f"{target} is there already and stays as it is; give another folder.")
    text = (shared("shared") / "starter.md").read_bytes()
    output_folder(folder)
    write_new(target, text)
    if as_json:
        json_on_stdout({"file": str(target)})
        return
    on_stdout(f"{target}\n")
    on_stderr(f"Write your own rounds into it, then:  booklet check {target}  and  booklet build {target}\n")
