"""`seasonplan done`: write into log.csv what was really done."""

from __future__ import annotations

import difflib
from pathlib import Path

import click

from seasonplan.cli import common
from seasonplan.errors import Fault, InputFaults


@click.command()
@common.folder_argument
@click.argument("step")
@click.option("--on", "on_day", type=common.IsoDate(), help="The day it was done; default today.")
@click.option("--plant", "plants", multiple=True, help="Only these plants of the step. May be repeated.")
@click.option("--place", help="Where it was done or moved to, when not as planned.")
@click.option("--note", default="", help="A remark kept in the log.")
@common.today_option
def done(folder, step, on_day, plants, place, note, today) -> None:
    """Say that a STEP was done: a step's id, the beginning of one, or a kind such as leach.

    \b
    Adds one line per plant to log.csv; the next plan counts from there. A line
    written by hand does the same: date,step,plant,place,note.

    \b
    Examples:
      seasonplan done my-garden 2027-leach-big-fig-1 --on 2027-05-16
      seasonplan done my-garden found-scale --plant "Big fig"
    """
    from seasonplan.care.jobs import known_kinds
    from seasonplan.files import append_log
    from seasonplan.model import LogEntry
    from seasonplan.pipeline import build_plan

    [scenario] = common.load_all([folder])
    day = on_day or today
    _check_plants(plants, [p.name for p in scenario.plants], folder)
    if step in known_kinds() and plants:
        kind, names, where = step, list(plants), place or ""
    else:
        chosen = _choose(step, build_plan(scenario, today).steps)
        kind, names = chosen.kind, [n for n in chosen.plants if not plants or n in plants]
        where = place or (chosen.place if " + " not in chosen.place else "")
        if not names:
            raise InputFaults([Fault("--plant", 0, step, ", ".join(plants), f"a plant of that step: "
                                     f"{', '.join(chosen.plants)}")])
    entries = [LogEntry(day, kind, name, where, note) for name in names]
    append_log(folder, entries)
    common.say(f"Logged {kind} on {day} for {len(entries)} of {len(scenario.plants)} plants. Plan again to follow it.")


def _check_plants(asked, known, folder: Path) -> None:
    faults = []
    for name in asked:
        if name not in known:
            near = difflib.get_close_matches(name, known, n=1)
            faults.append(Fault("--plant", 0, "", f"'{name}'", f"a name from {folder / 'plants.csv'}",
                                f"Did you mean '{near[0]}'?" if near else ""))
    if faults:
        raise InputFaults(faults)


def _choose(step: str, steps):
    """The one step meant: by id, by the beginning of an id, or by a kind that occurs once."""
    exact = [s for s in steps if s.uid == step or s.uid.split("@")[0] == step]
    found = exact or [s for s in steps if s.uid.startswith(step)] or [s for s in steps if s.kind == step]
    if len(found) == 1:
        return found[0]
    if found:
        some = ", ".join(s.uid.split("@")[0] for s in found[:6])
        raise InputFaults([Fault("STEP", 0, "", f"'{step}' fits {len(found)} steps", f"one of {some}"
                                 + (" ..." if len(found) > 6 else ""), "Give more of the id, or --plant.")])
    ids = [s.uid.split("@")[0] for s in steps] + sorted({s.kind for s in steps})
    near = difflib.get_close_matches(step, ids, n=1, cutoff=0.5)
    raise InputFaults([Fault("STEP", 0, "", f"'{step}'", "a step's id from the plan, or a kind of step",
                             f"Did you mean '{near[0]}'?" if near else "The plan lists them: seasonplan plan DIR")])

