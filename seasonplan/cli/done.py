"""`seasonplan done`: write into log.csv what was really done."""

from __future__ import annotations

import re
from datetime import date

import click

from seasonplan.cli import common
from seasonplan.errors import Fault, InputFaults

PLANTS_SHOWN = 4
READING = "reading"


class WithLows(click.Command):
    """Takes "-2.5" for a number and not for options."""

    def parse_args(self, ctx, args):
        return super().parse_args(ctx, [re.sub(r"^-(?=[\d.])", "\N{MINUS SIGN}", arg) for arg in args])


@click.command(cls=WithLows)
@common.folder_argument
@click.argument("step", required=False, default="")
@click.argument("low", required=False, type=common.NightLow(), metavar="[LOW]")
@click.option("--on", "on_day", type=common.IsoDate(), help="The day it was done; default today.")
@click.option("--plant", "plants", multiple=True, help="Only these plants of the step. May be repeated.")
@click.option("--place", default="", help="Where it was done or moved to, when not as planned.")
@click.option("--some", "pots", type=click.IntRange(min=1), help="Only so many pots of a row.")
@click.option("--cloth", type=click.IntRange(0, 99), help="Percent of the shade cloth over them, when not as planned.")
@click.option("--note", default="", help="A remark kept in the log.")
@click.option("--undo", is_flag=True, help="Take the last such entry back; without a STEP the last entry.")
@common.today_option
def done(folder, step, low, on_day, plants, place, pots, cloth, note, undo, today) -> None:
    """Say that a STEP was done: its id or the beginning of one, its day, or its kind.

    \b
    Or say what no plan asked for: found-scale (or another pest), pest-clear,
    died, given-away, arrived, rescue (carried in for cold nights), move-out,
    move and move-in of plants that you name; as-planned: all until that day
    was done as planned; begin: the log begins here, nothing was done before;
    reading LOW: what your minimum thermometer at an outdoor place showed this
    morning (4.5, or 40f), which teaches `watch` your garden.

    \b
    Adds one line per plant to log.csv; the next plan counts from there. A line
    written by hand does the same: date,step,plant,place,note.

    \b
    Examples:
      seasonplan done my-garden 2027-05-29 --on 2027-06-05
      seasonplan done my-garden move-out --plant "Snake plants" --some 2
      seasonplan done my-garden found-scale --plant "Big fig"
      seasonplan done my-garden reading 4.5 --place porch
    """
    from seasonplan import workflow
    from seasonplan.deeds import AS_PLANNED, Deed

    if step.casefold() == READING:
        _note_reading(folder, low, place, on_day or (None if undo else today), undo, plants or pots or cloth or note)
        return
    if low is not None:
        raise InputFaults([Fault("LOW", 0, "", f"{step} takes no number", "reading LOW, or the step alone")])
    if undo:
        noted = workflow.take_back(folder, step, plants, on_day)
        common.say(f"Taken back: {_told(noted.entries)}. Plan again to follow it.")
        return
    if not step:
        raise InputFaults([Fault("STEP", 0, "", "nothing is named", "a step's id from the plan, a day of it, or a kind "
                                 "of step", "The plan lists them: seasonplan plan DIR --all")])
    noted = workflow.note_deed(folder, Deed(step, on_day or today, plants, place, pots, cloth, note), today)
    hung = " (--cloth 0 if none hangs)" if cloth is None and any(
        entry.cloth for entry in noted.entries) and step != AS_PLANNED else ""
    common.say(f"Logged: {_told(noted.entries)}{hung}. Plan again to follow it." if noted.entries else
               "Nothing was to be done before that day, so nothing is logged.")
    if noted.open:
        open_ = "1 thing" if len(noted.open) == 1 else f"{len(noted.open)} things"
        common.say(f"From now on the plan goes by the log, and {open_} planned before {noted.entries[0].date} "
                   f"{'is' if len(noted.open) == 1 else 'are'} not in it and still open. If done as planned: "
                   f"seasonplan done {folder} as-planned --on {noted.entries[0].date}")


def _note_reading(folder, low, place, on_day, undo, other) -> None:
    from seasonplan import workflow
    from seasonplan.files import load_scenario
    from seasonplan.wording import temperature

    if other or (low is None) != undo:
        raise InputFaults([Fault(READING, 0, "", "something that no reading has" if other else
                                 "the low is missing" if low is None else "a low to be taken back",
                                 "done DIR reading LOW --place PLACE --on DAY, or done DIR reading --undo")])
    told = workflow.take_reading_back(folder, place, on_day) if undo else \
        [workflow.note_reading(folder, low, place, on_day)]
    units = load_scenario(folder).rules.units
    for one in told:
        common.say(f"{'Taken back' if undo else 'Logged'}: {temperature(one.tmin_c, units)} at {one.place} in the "
                   f"night to {one.date}.")


def _told(entries) -> str:
    """"move-out on 2027-06-05 of Big fig and 3 more", one after another."""
    groups: dict[tuple[date, str, int], list[str]] = {}
    for entry in entries:
        groups.setdefault((entry.date, entry.step, entry.cloth or 0), []).append(entry.plant or entry.place)
    return "; ".join(f"{kind} on {day}{_of(names)}{f' under {cloth} % cloth' if cloth else ''}"
                     for (day, kind, cloth), names in groups.items())


def _of(names: list[str]) -> str:
    named = [name for name in names if name]
    more = len(named) - PLANTS_SHOWN
    return f" of {', '.join(named[:PLANTS_SHOWN])}{f' and {more} more' if more > 0 else ''}" if named else ""
