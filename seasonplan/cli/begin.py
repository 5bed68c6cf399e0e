"""`seasonplan start`: from a few answers to a scenario folder that plans."""

from __future__ import annotations

from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING

import click

from seasonplan.cli import asking, common
from seasonplan.errors import EXIT_INPUT, Fault, InputFaults

if TYPE_CHECKING:
    from seasonplan.model import LogEntry, Scenario
    from seasonplan.model.begun import Answers

SCENARIO, PLANTS = "scenario.toml", "plants.csv"
OPTIONS = {"where": "--town", "plants": "--plants", "windows": "--windows", "outdoors": "--outdoors",
           "household": "--household", "time": "--time"}
ENOUGH = ("where", "plants")
"""With these two nothing more is asked."""


@click.command()
@common.folder_argument
@click.option("--town", "where", metavar="TEXT", help='Such as "Leeds" or "Portland, Oregon"; or "51.5, -0.1".')
@click.option("--plants", metavar="TEXT", help='One line, as you call them: "3 pothos, jade plant, lemon tree 30 cm".')
@click.option("--windows", metavar="TEXT",
              help='Where windows face: "south", or "south: jade, 2 pothos; east: the rest".')
@click.option("--outdoors", metavar="TEXT", help='Such as "balcony south, under a birch, steps east, lawn".')
@click.option("--household", metavar="TEXT", help="pets, children, both or none.")
@click.option("--time", metavar="TEXT", help='When you have time: "sat, sun, 3 h".')
@common.today_option
def start(folder: Path, today: date, **given: str | None) -> None:
    """Make a scenario folder: six questions, or with --town and --plants none.

    What is answered is kept at once: the same command goes on where it was left.

    \b
    Examples:
      seasonplan start my-garden
      seasonplan start my-garden --town Leeds --plants "3 pothos, jade plant"
    """
    preset = {**_unfinished(folder), **{name: text for name in asking.QUESTIONS if (text := given[name]) is not None}}
    if all(given[name] is not None for name in ENOUGH):
        preset = {name: preset.get(name, "") for name in asking.QUESTIONS}
    _refuse_faulty({name: text for name, text in preset.items() if given[name] is not None})
    reached: list[str] = []

    def keep(texts: dict[str, str], answers: Answers) -> None:
        _write(folder, answers, texts, today)
        reached[:] = [name for name in ENOUGH if getattr(answers, name) is not None]

    try:
        _, answers = asking.ask_all(preset, keep)
    except click.Abort:
        _say_kept(folder, reached)
        click.get_current_context().exit(EXIT_INPUT)
    _write(folder, answers, {}, today)
    _finish(folder, today)


def _write(folder: Path, answers: Answers, texts: dict[str, str], today: date) -> None:
    from seasonplan.files import write_all
    from seasonplan.outputs.new_scenario import scenario_files

    write_all(folder, scenario_files(answers, texts, today.year))


def _unfinished(folder: Path) -> dict[str, str]:
    """The answers that a folder keeps from before. Raises InputFaults where there is anything to be overwritten."""
    from seasonplan.files import held
    from seasonplan.outputs.new_scenario import kept_answers

    if not folder.is_dir():
        return {}
    with held(folder) as one:
        scenario, plants = one.read(SCENARIO), one.read(PLANTS)
    there = [name for name, data in ((SCENARIO, scenario), (PLANTS, plants)) if data is not None]
    texts, untouched = kept_answers(scenario, plants) if scenario is not None else ({}, False)
    if texts and untouched:
        common.say(f"{common.shown(folder)} was begun before; going on from there.")
        return {name: texts[name] for name in asking.QUESTIONS if name in texts}
    changed = "its answers are kept, but it was changed by hand since" if texts else "is already there"
    if there:
        raise InputFaults([Fault(str(folder / name), 0, "", changed, "a folder without it",
                                 "start never overwrites: go on in the file itself, or choose another folder.")
                           for name in there])
    return {}


def _refuse_faulty(given: dict[str, str]) -> None:
    """Raises InputFaults with all that is wrong with the options."""
    from seasonplan.inputs.gathering import Wrong

    faults, good = [], {"where": "51.5, 0"}
    for name, text in given.items():
        try:
            if name != "windows" or "plants" in good:
                asking.understood({**good, name: text})
                good[name] = text
        except Wrong as wrong:
            faults.append(Fault(OPTIONS[name], 0, "", wrong.found, wrong.allowed, wrong.cause))
    if faults:
        raise InputFaults(faults)


def _say_kept(folder: Path, reached: list[str]) -> None:
    if not reached:
        common.say("\n\nNothing was answered, so nothing is kept.")
        return
    plans = " It plans already: what was not answered is assumed." if "plants" in reached else ""
    common.say(f"\n\nWhat you answered is kept in {common.shown(folder)}.{plans}\n"
               f"To go on: seasonplan start {common.shown(folder)}")


def _finish(folder: Path, today: date) -> None:
    """Reads the folder as every command does, begins its log in mid-season, and says what comes next."""
    from seasonplan.files import append_log

    [scenario] = common.load_all([folder])
    common.say(f"\nWritten: {common.shown(folder / SCENARIO)}, with what else can be said, and "
               f"{common.shown(folder / PLANTS)}.")
    if entries := _beginning(scenario, today):
        append_log(folder, entries)
        common.say("The season has begun: the plan starts from today (log.csv says so), and nothing is taken as done "
                   "before.")
    common.say(f"Next: seasonplan plan {common.shown(folder)}")


def _beginning(scenario: Scenario, today: date) -> tuple[LogEntry, ...]:
    """The line that begins the log, where the plan on paper has something before today."""
    from seasonplan.deeds import Deed, entries_of
    from seasonplan.model.life import BEGIN
    from seasonplan.pipeline import build_plan

    if scenario.log:
        return ()
    plan = build_plan(scenario, today)
    return entries_of(Deed(BEGIN, today), plan) if any(step.date < today for step in plan.steps) else ()
