"""`seasonplan plan`: from a scenario folder to calendar.ics, plan.json and plan.html."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

import click

from seasonplan.cli import common


@click.command()
@common.folders_argument
@common.out_option("Where to write; default DIR/out.")
@click.option("--no-page", is_flag=True, help="Leave out plan.html.")
@click.option("--all", "everything", is_flag=True, help="Print every move and job, with reasons, and what to buy.")
@click.option("--quiet", "-q", is_flag=True, help="Print nothing when all is well.")
@click.option("--json", "as_json", is_flag=True, help="Print plan.json instead of the summary.")
@click.option("--offline", is_flag=True, help="Never use the network; normals by URL come from the cache.")
@click.option("--user-agent", help=common.USER_AGENT_HELP)
@common.own_hands_option
@common.today_option
def plan(folders, out, no_page, everything, quiet, as_json, offline, user_agent, own_hands, today) -> None:
    """Plan the season of one or several scenario folders.

    \b
    Writes calendar.ics, plan.json and plan.html into DIR/out (or --out DIR) and
    prints a summary. Several folders are one person's round: they share the days
    and minutes, with travel_minutes for each; one agenda (round.json), one
    shopping list, a combined calendar and an index page are written too.

    \b
    Example:
      seasonplan plan my-garden --today 2027-04-01
    """
    from seasonplan import workflow

    planned = workflow.plan_folders(workflow.Folders.of(folders, out), today, page=not no_page,
                                    fetch=common.fetcher(offline, user_agent), progress=_shown, own_hands=own_hands)
    if as_json:
        common.say(_json_of(planned.plans), nl=False)
    elif not quiet:
        _print_summaries(planned, folders, everything)


def _shown(results, count: int):
    """Results as they come, with a progress bar on a terminal (on stderr, so that --json stays clean)."""
    from rich.console import Console
    from rich.progress import track

    console = Console(stderr=True)
    return track(results, "Planning", total=count, console=console, disable=not console.is_terminal)


def _json_of(plans) -> str:
    from seasonplan.outputs.documents import plan_document, to_json

    documents = [plan_document(made) for made in plans]
    return to_json(documents[0] if len(documents) == 1 else documents)


def _print_summaries(planned, folders: Sequence[Path], everything: bool) -> None:
    from seasonplan.outputs.round import round_summary
    from seasonplan.outputs.terminal import plan_summary

    colour, width = common.wants_colour(), common.width()
    if planned.round is None or everything:
        for made, folder, target in zip(planned.plans, folders, planned.written, strict=False):
            common.say(plan_summary(made, colour, width, [str(target)], str(folder), everything))
    if planned.round is not None:
        files = [str(path) for path in planned.written]
        common.say(round_summary(planned.round, planned.plans[0].today, colour, width, files, everything))
