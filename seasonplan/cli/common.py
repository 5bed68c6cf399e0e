"""Options and small steps that several commands share."""

from __future__ import annotations

import difflib
import sys
from collections.abc import Callable, Sequence
from datetime import date, datetime
from pathlib import Path
from typing import TYPE_CHECKING

import click

from seasonplan.errors import Fault, InputFaults

if TYPE_CHECKING:
    from seasonplan.model import Scenario

USER_AGENT_HELP = "How to name yourself to a service (it asks for a contact: a site or an e-mail address)."


class IsoDate(click.ParamType):
    """A date as 2027-05-08."""

    name = "date"

    def convert(self, value, param, ctx) -> date:
        if isinstance(value, date):
            return value
        try:
            return date.fromisoformat(value)
        except ValueError:
            self.fail(f"'{value}' is not a date; write it as 2027-05-08", param, ctx)


def today_option(function):
    """--today, the only way the clock comes in."""
    return click.option("--today", type=IsoDate(), default=lambda: datetime.now().date(), show_default="the clock's",
                        help="Plan as if it were this day; changes only what is past or due.")(function)


def folders_argument(function):
    """One or more scenario folders."""
    path = click.Path(path_type=Path)
    return click.argument("folders", metavar="DIR...", nargs=-1, required=True, type=path)(function)


def folder_argument(function):
    """One scenario folder."""
    return click.argument("folder", metavar="DIR", type=click.Path(path_type=Path))(function)


def load_all(folders: Sequence[Path], fetch: Callable[[str], bytes] | None = None) -> list[Scenario]:
    """Read every folder; the faults of all of them are raised together, each file named with its folder."""
    from seasonplan.files import load_scenario

    scenarios, faults = [], []
    for folder in folders:
        if not folder.is_dir():
            faults.append(_no_folder(folder))
            continue
        try:
            scenarios.append(load_scenario(folder, fetch))
        except InputFaults as error:
            faults += [_in_folder(fault, folder, len(folders) > 1) for fault in error.faults]
    if faults:
        raise InputFaults(faults)
    return scenarios


def _in_folder(fault: Fault, folder: Path, several: bool) -> Fault:
    from dataclasses import replace

    return replace(fault, file=str(folder / fault.file)) if several else fault


def _no_folder(folder: Path) -> Fault:
    beside = [p.name for p in folder.parent.iterdir() if p.is_dir()] if folder.parent.is_dir() else []
    near = difflib.get_close_matches(folder.name, beside, n=1)
    hint = f"Did you mean '{folder.parent / near[0]}'?" if near else "Make one with: seasonplan start " + str(folder)
    return Fault(str(folder), 0, "", "there is no such folder", "a folder with scenario.toml and plants.csv", hint)


def fetcher(offline: bool, user_agent: str | None) -> Callable[[str], bytes]:
    """How a normals table given as a URL is fetched: through the one door, made only when it is needed."""

    def fetch(url: str) -> bytes:
        reply = open_door(offline, user_agent).get(url)
        if reply.note:
            click.echo(reply.note, err=True)
        return reply.content

    return fetch


def open_door(offline: bool, user_agent: str | None):
    """The network door with the person's settings."""
    from seasonplan.weather.door import Door, default_cache_folder

    return Door(default_cache_folder(), user_agent=user_agent, offline=offline) if user_agent else \
        Door(default_cache_folder(), offline=offline)


def wants_colour() -> bool:
    """Colour only on a terminal, and never where NO_COLOR is set."""
    import os

    return sys.stdout.isatty() and not os.environ.get("NO_COLOR")


def width() -> int:
    """Columns to print in: 80, or the terminal's when it is narrower."""
    import shutil

    return min(80, shutil.get_terminal_size((80, 24)).columns)
