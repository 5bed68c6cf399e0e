"""The command line: options, the clock, printing and exit codes. Everything heavy is imported inside the command."""

from __future__ import annotations

import importlib
from collections.abc import Iterator
from contextlib import contextmanager

import click

from seasonplan import __version__
from seasonplan.cli import common
from seasonplan.errors import SeasonplanError, visible
from seasonplan.inputs.gathering import did_you_mean

COMMANDS = {
    "start": "begin", "check": "check", "plan": "plan", "nights": "show", "light": "show", "watch": "watch",
    "done": "done", "catalogue": "show", "towns": "towns", "serve": "serve",
}
"""Command name -> module of this package that holds it."""


class Commands(click.Group):
    """Loads a command only when it is named, says "did you mean", turns our errors into sentences and exit codes."""

    def list_commands(self, ctx: click.Context) -> list[str]:
        return list(COMMANDS)

    def get_command(self, ctx: click.Context, name: str) -> click.Command | None:
        if name not in COMMANDS:
            return None
        return getattr(importlib.import_module(f"seasonplan.cli.{COMMANDS[name]}"), name)

    def resolve_command(self, ctx: click.Context, args: list[str]):
        if args and args[0] not in COMMANDS and not args[0].startswith("-"):
            hint = f"{did_you_mean(args[0], COMMANDS)} Commands: {', '.join(COMMANDS)}."
            raise click.UsageError(f"there is no command '{args[0]}'. {hint.strip()}", ctx)
        return super().resolve_command(ctx, args)

    def make_context(self, *args, **given) -> click.Context:
        with _nothing_raw():
            return super().make_context(*args, **given)

    def invoke(self, ctx: click.Context):
        common.steady_streams()
        try:
            with _nothing_raw():
                return super().invoke(ctx)
        except SeasonplanError as error:
            click.echo(str(error), err=True)
            ctx.exit(error.exit_code)


@contextmanager
def _nothing_raw() -> Iterator[None]:
    """What click says of a wrong command line repeats it; escapes and direction marks in it are written out."""
    try:
        yield
    except click.UsageError as error:
        told = "\n".join(map(visible, error.format_message().split("\n")))
        raise click.UsageError(told, error.ctx) from None


@click.command(cls=Commands, context_settings={"help_option_names": ["-h", "--help"], "max_content_width": 80})
@click.version_option(__version__, prog_name="seasonplan")
def main() -> None:
    """When each indoor plant goes outdoors, where it stands, what to do meanwhile, and when it comes back.

    \b
    A folder holds the place (scenario.toml) and the plants (plants.csv); night
    temperatures are known, or given. Make one with `seasonplan start DIR`.

    \b
    Example:
      seasonplan plan my-garden
    """
