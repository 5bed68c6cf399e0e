"""`seasonplan check`: is the input right?"""

from __future__ import annotations

import click

from seasonplan.cli import common


@click.command()
@common.folders_argument
@click.option("--quiet", "-q", is_flag=True, help="Print nothing when all is well.")
@click.option("--offline", is_flag=True, help="Never use the network; normals by URL come from the cache.")
@click.option("--user-agent", help=common.USER_AGENT_HELP)
@common.today_option
def check(folders, quiet, offline, user_agent, today) -> None:
    """Read scenario folders and report every fault at once; nothing is written.

    \b
    Example:
      seasonplan check my-garden
    """
    scenarios = common.load_all(folders, common.fetcher(offline, user_agent))
    if quiet:
        return
    from seasonplan.decisions.notices import ahead_of
    from seasonplan.outputs.terminal import check_text

    for scenario, folder in zip(scenarios, folders, strict=True):
        common.say(check_text(scenario, common.shown(folder), width=common.width(),
                              notices=ahead_of(scenario.log, today)))
