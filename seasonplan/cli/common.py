"""Options and small steps that several commands share."""

from __future__ import annotations

import codecs
import errno
import io
import sys
from collections.abc import Callable, Sequence
from contextlib import suppress
from datetime import date, datetime
from math import isfinite
from pathlib import Path
from typing import TYPE_CHECKING

import click

from seasonplan.errors import OutputBlocked, visible

if TYPE_CHECKING:
    from seasonplan.model import Scenario

PLAIN_LETTERS = {"\u00b0": " deg ", "\u2026": "...", "\u2013": "-", "\u2014": "-", "\u2212": "-", "\u00b7": "*",
                 "\u2018": "'", "\u2019": "'", "\u201c": '"', "\u201d": '"', "\u00df": "ss", "\u00f8": "o",
                 "\u0142": "l", "\u0141": "L", "\u00d8": "O"}
"""What a terminal is given where its code page lacks a letter that taking the accent off does not help."""
MOST_COLUMNS = 160
USER_AGENT_HELP = "How to name yourself to a service (it asks for a contact: a site or an e-mail address)."


FIRST_DAY, LAST_DAY = date(1950, 1, 1), date(2199, 12, 31)


class NightLow(click.ParamType):
    """A temperature in °C unless marked: 10, 10c, 50f."""

    name = "temperature"

    def convert(self, value, param, ctx) -> float:
        from seasonplan.units import BELIEVABLE, fahrenheit_to_c

        text = str(value).strip().lower().replace("°", "").replace(" ", "").replace("\N{MINUS SIGN}", "-")
        try:
            number = float(text.rstrip("cf"))
        except ValueError:
            self.fail(f"'{value}' is not a temperature; write 10 (°C) or 50f (°F)", param, ctx)
        celsius = fahrenheit_to_c(number) if text.endswith("f") else number
        low, high = BELIEVABLE["tmin_c"]
        if not low <= celsius <= high:
            meant = f" Did you mean {number:g}f?" if isfinite(number) else ""
            self.fail(f"{value} is {celsius:.1f} °C, allowed {low:g} to {high:g} °C.{meant}",
                      param, ctx)
        return celsius


class IsoDate(click.ParamType):
    """A date as 2027-05-08, in years for which a season can be planned."""

    name = "date"

    def convert(self, value, param, ctx) -> date:
        try:
            day = value if isinstance(value, date) else date.fromisoformat(value)
        except ValueError:
            self.fail(f"'{value}' is not a date; write it as 2027-05-08", param, ctx)
        if not FIRST_DAY <= day <= LAST_DAY:
            self.fail(f"{day} is too far away for sun and seasons to be known; allowed: {FIRST_DAY} to {LAST_DAY}",
                      param, ctx)
        return day


class FolderName(click.ParamType):
    """The path of a folder, which need not be there; an empty one would be the current folder unasked."""

    name = "path"

    def convert(self, value, param, ctx) -> Path:
        if not str(value).strip():
            self.fail("the name of the folder is empty; for the folder you are in write .", param, ctx)
        return Path(value)


def today_option(function):
    """--today, the only way the clock comes in."""
    return click.option("--today", type=IsoDate(), default=lambda: datetime.now().date(), show_default="the clock's",
                        help="Plan as if it were this day; changes only what is past or due.")(function)


def folders_argument(function):
    """One or more scenario folders."""
    return click.argument("folders", metavar="DIR...", nargs=-1, required=True, type=FolderName())(function)


def folder_argument(function):
    """One scenario folder."""
    return click.argument("folder", metavar="DIR", type=FolderName())(function)


def own_hands_option(function):
    """--own-hands, for several gardens that are not one person's round."""
    return click.option("--own-hands", is_flag=True, help="Each garden has hands of its own: its days and minutes are "
                        "not shared with the others.")(function)


def load_all(folders: Sequence[Path], fetch: Callable[[str], bytes] | None = None) -> list[Scenario]:
    """Read every folder; the faults of all of them are raised together."""
    from seasonplan import workflow

    return workflow.load_all(folders, fetch)


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


def steady_streams() -> None:
    """Printing never fails on a letter: what the terminal's code page lacks is put in plain letters, else "?"."""
    codecs.register_error("seasonplan", _in_plain_letters)
    for stream in (sys.stdout, sys.stderr):
        with suppress(AttributeError, ValueError):    # a stream of the caller's own, or none
            stream.reconfigure(errors="seasonplan")   # type: ignore[union-attr]


def _in_plain_letters(error: UnicodeError) -> tuple[str, int]:
    if not isinstance(error, UnicodeEncodeError):
        raise error
    return "".join(_plain(char) for char in error.object[error.start:error.end]), error.end


def _plain(char: str) -> str:
    import unicodedata

    told = PLAIN_LETTERS.get(char) or unicodedata.normalize("NFKD", char).encode("ascii", "ignore").decode("ascii")
    return told or "?"


def out_option(help_text: str):
    """--out, a folder."""
    return click.option("--out", metavar="DIR", type=FolderName(), help=help_text)


def shown(path: object) -> str:
    """A name from the command line as it may be printed: nothing in it moves the cursor or turns the line."""
    return visible(str(path))


def say(text: str, nl: bool = True) -> None:
    """Prints. A reader that has gone (`| head`) is no fault: the command goes on and ends as it would have. Raises
    OutputBlocked where printing fails otherwise, as on a full disk."""
    try:
        click.echo(text, nl=nl)
    except OSError as wrong:
        _print_no_more()
        if wrong.errno != errno.EPIPE:
            raise OutputBlocked(f"The answer could not be printed ({wrong.strerror}).") from None


def _print_no_more() -> None:
    """Lets go of a standard output that cannot be written, so that the interpreter does not try again at its end."""
    null = io.TextIOWrapper(io.BytesIO(), encoding="utf-8")
    with suppress(OSError, ValueError):
        sys.stdout.detach()                           # type: ignore[union-attr]
    sys.stdout = null


def wants_colour() -> bool:
    """Colour only on a terminal, and never where NO_COLOR is set."""
    import os

    return sys.stdout is not None and sys.stdout.isatty() and not os.environ.get("NO_COLOR")


def width() -> int:
    """Columns to print in: the terminal's, 80 where there is none; beyond MOST_COLUMNS lines are hard to follow."""
    import shutil

    return min(MOST_COLUMNS, shutil.get_terminal_size((80, 24)).columns)
