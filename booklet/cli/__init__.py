"""The command line: arguments in, an exit status out; each command is one file, imported only when it is called."""

from __future__ import annotations

import os
import sys
from collections.abc import Sequence
from importlib import import_module
from typing import Any

import click

# name -> module and function. Order is the order of a designer's work.
COMMANDS = {
    "new": "new",
    "check": "check",
    "build": "build",
    "chart": "chart",
    "figures": "figures",
    "translate": "translate",
    "shape": "shape",
    "kit": "kit",
    "preflight": "preflight",
    "impose": "impose",
    "stamp": "stamp",
    "explain": "explain",
    "list": "list_",
}
DONE, WRONG, IMPOSSIBLE = 0, 1, 2  # exit statuses: nothing wrong, the pattern has errors, it could not be done


class Commands(click.Group):
    """A group that imports a command when it is called, and that never shows a traceback."""

    def list_commands(self, ctx: click.Context) -> list[str]:
        """The names, in the order of work."""
        return list(COMMANDS)

    def get_command(self, ctx: click.Context, cmd_name: str) -> click.Command | None:
        """Import one command. None for a name that is none of ours."""
        if cmd_name not in COMMANDS:
            return None
        module = COMMANDS[cmd_name]
        return getattr(import_module(f"booklet.cli.{module}"), module)

    def resolve_command(self, ctx: click.Context, args: list[str]) -> tuple[str | None, click.Command | None, list[str]]:
        """Find the command, and for an unknown one say which it may have been."""
        if args and args[0] not in COMMANDS:
            from booklet.cli.close import nearest

            raise click.UsageError(f"There is no command {args[0]!r}.{nearest(args[0], COMMANDS)}", ctx)
        return super().resolve_command(ctx, args)

    def main(self, args: Sequence[str] | None = None, prog_name: str | None = None, **rest: Any) -> Any:  # noqa: ANN401
        """Run, and leave with an exit status: 0 nothing wrong, 1 the pattern has errors, 2 it could not be done."""
        rest.pop("standalone_mode", None)
        try:
            status = super().main(args, prog_name or "booklet", standalone_mode=False, **rest)
        except click.ClickException as refused:
            refused.show()
            status = IMPOSSIBLE
        except (click.Abort, KeyboardInterrupt):
            click.echo("stopped", err=True)
            status = IMPOSSIBLE
        except BrokenPipeError:
            # The reader of our output has gone (`booklet list codes | head`): nobody is left to be told.
            os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
            status = IMPOSSIBLE
        except Exception as fault:
            from booklet.cli.fault import tell

            tell(fault)
            status = IMPOSSIBLE
        sys.exit(status if isinstance(status, int) else DONE)


def _version(ctx: click.Context, _parameter: click.Parameter, asked: bool) -> None:
    if asked and not ctx.resilient_parsing:
        from importlib.metadata import PackageNotFoundError, version

        try:
            click.echo(f"booklet {version('pattern-booklet')}")
        except PackageNotFoundError:
            click.echo("booklet, not installed")
        ctx.exit()


@click.command(cls=Commands, context_settings={"help_option_names": ["-h", "--help"], "max_content_width": 100})
@click.option(
    "--version", is_flag=True, is_eager=True, expose_value=False, callback=_version, help="Print the version and stop."
)
def main() -> None:
    """From one plain-text crochet pattern to proven counts and a printed booklet."""
