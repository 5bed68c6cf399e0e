"""`seasonplan plan`: from a scenario folder to calendar.ics, plan.json and plan.html."""

from __future__ import annotations

import os
from collections.abc import Iterable, Sequence
from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING

import click

from seasonplan.cli import common
from seasonplan.errors import Fault, InputFaults

if TYPE_CHECKING:
    from seasonplan.model import Plan, Scenario

SITES_WORTH_A_SECOND_PROCESS = 4
CALENDAR, DOCUMENT, PAGE, INDEX = "calendar.ics", "plan.json", "plan.html", "index.html"


@click.command()
@common.folders_argument
@click.option("--out", type=click.Path(path_type=Path), help="Where to write; default DIR/out.")
@click.option("--no-page", is_flag=True, help="Leave out plan.html.")
@click.option("--all", "everything", is_flag=True, help="Print every move and job, with reasons, and what to buy.")
@click.option("--quiet", "-q", is_flag=True, help="Print nothing when all is well.")
@click.option("--json", "as_json", is_flag=True, help="Print plan.json instead of the summary.")
@click.option("--offline", is_flag=True, help="Never use the network; normals by URL come from the cache.")
@click.option("--user-agent", help=common.USER_AGENT_HELP)
@common.today_option
def plan(folders, out, no_page, everything, quiet, as_json, offline, user_agent, today) -> None:
    """Plan the season of one or several scenario folders.

    \b
    Writes calendar.ics, plan.json and plan.html into DIR/out (or --out DIR) and
    prints a summary. Over several folders a combined calendar and an index
    page are written too.

    \b
    Example:
      seasonplan plan my-garden --today 2027-04-01
    """
    scenarios = common.load_all(folders, common.fetcher(offline, user_agent))
    targets = target_folders(folders, out)
    _refuse_twins(scenarios, folders)
    plans = []
    for (made, files), target in zip(_each(scenarios, targets, today, not no_page), targets, strict=True):
        plans.append(made)
        _write(target, files)
    written = list(targets)
    if len(plans) > 1:
        written.append(_write_combined(plans, folders, targets, out, not no_page))
    if as_json:
        common.say(_json_of(plans), nl=False)
    elif not quiet:
        _print_summaries(plans, folders, written, everything)


def target_folders(folders: Sequence[Path], out: Path | None) -> list[Path]:
    """Where each folder's files go: DIR/out, or --out itself, or a folder below it when there are several."""
    if out is None:
        return [folder / "out" for folder in folders]
    return [out] if len(folders) == 1 else [out / folder.resolve().name for folder in folders]


def _refuse_twins(scenarios: Sequence[Scenario], folders: Sequence[Path]) -> None:
    """Two sites of one name would write the same events into one calendar."""
    seen: dict[str, Path] = {}
    for scenario, folder in zip(scenarios, folders, strict=True):
        other = seen.setdefault(scenario.site.name, folder)
        if other != folder:
            raise InputFaults([Fault(str(folder / "scenario.toml"), 0, "[site] name", f"'{scenario.site.name}' again",
                                     "a name of its own for each site", f"{other} calls its site the same")])


def make(scenario: Scenario, target: Path, today: date, page: bool) -> tuple[Plan, dict[str, bytes]]:
    """A plan and its rendered files; reads the previous calendar, writes nothing."""
    from seasonplan.files import read_if_there
    from seasonplan.outputs.calendar import render_calendar
    from seasonplan.outputs.documents import plan_json
    from seasonplan.pipeline import build_plan

    made = build_plan(scenario, today)
    files = {CALENDAR: render_calendar(made, read_if_there(target / CALENDAR), str(target / CALENDAR)),
             DOCUMENT: plan_json(made)}
    if page:
        from seasonplan.outputs.page import render_page

        files[PAGE] = render_page(made).encode()
    return made, files


def _each(scenarios, targets, today: date, page: bool) -> Iterable[tuple[Plan, dict[str, bytes]]]:
    """Make every plan before any is written; both cores help when there are many."""
    jobs = [(scenario, target, today, page) for scenario, target in zip(scenarios, targets, strict=True)]
    if len(jobs) < SITES_WORTH_A_SECOND_PROCESS:
        return [make(*job) for job in jobs]
    from concurrent.futures import ProcessPoolExecutor

    with ProcessPoolExecutor(min(os.cpu_count() or 1, len(jobs))) as pool:
        return _shown(pool.map(make, *zip(*jobs, strict=True), chunksize=max(1, len(jobs) // 16)), len(jobs))


def _shown(results, count: int) -> list:
    """Collect results with a progress bar on a terminal (on stderr, so that --json stays clean)."""
    from rich.console import Console
    from rich.progress import track

    console = Console(stderr=True)
    return list(track(results, "Planning", total=count, console=console, disable=not console.is_terminal))


def _write(target: Path, files: dict[str, bytes]) -> None:
    from seasonplan.files import write_all

    write_all(target, files)


def combined_folder(folders: Sequence[Path], out: Path | None) -> Path:
    """Where the files of all sites together go: --out, or `out` beside the folders."""
    return out or Path(os.path.commonpath([f.resolve() for f in folders])) / "out"


def _write_combined(plans, folders, targets, out: Path | None, page: bool) -> Path:
    """The combined calendar and the index page of several sites, beside the folders or in --out."""
    from seasonplan.files import read_if_there
    from seasonplan.outputs.calendar import combine

    where = combined_folder(folders, out)
    files = {CALENDAR: combine(plans, read_if_there(where / CALENDAR), str(where / CALENDAR))}
    if page:
        from seasonplan.outputs.page import render_index

        links = [Path(os.path.relpath(target / PAGE, where)).as_posix() for target in targets]
        files[INDEX] = render_index(list(zip(links, plans, strict=True))).encode()
    _write(where, files)
    return where


def _json_of(plans) -> str:
    from seasonplan.outputs.documents import plan_document, to_json

    documents = [plan_document(made) for made in plans]
    return to_json(documents[0] if len(documents) == 1 else documents)


def _print_summaries(plans, folders: Sequence[Path], written: Sequence[Path], everything: bool) -> None:
    from seasonplan.outputs.terminal import plan_summary

    for made, folder, target in zip(plans, folders, written, strict=False):
        common.say(plan_summary(made, common.wants_colour(), common.width(), [str(target)], str(folder), everything))
