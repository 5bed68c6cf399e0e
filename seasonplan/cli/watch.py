"""`seasonplan watch`: is tonight safe, and could frost come back?"""

from __future__ import annotations

from pathlib import Path

import click

from seasonplan.cli import common
from seasonplan.errors import EXIT_ALERTS, EXIT_FINE


@click.command()
@common.folders_argument
@click.option("--forecast", metavar="FILE|SERVICE", help="A forecast file, or a service: met-norway, nws, open-meteo. "
              "Without it the night normals alone answer.")
@common.out_option("Where calendar.ics stands; default DIR/out.")
@click.option("--json", "as_json", is_flag=True, help="Print JSON.")
@click.option("--quiet", "-q", is_flag=True, help="Print nothing when no action is needed.")
@click.option("--offline", is_flag=True, help="Never use the network; the last copy of a forecast is used.")
@click.option("--user-agent", help=common.USER_AGENT_HELP)
@common.own_hands_option
@common.today_option
def watch(folders, forecast, out, as_json, quiet, offline, user_agent, own_hands, today) -> None:
    """Warn of nights that would harm the plants standing outdoors.

    \b
    Updates the alerts in DIR/out/calendar.ics. Exit code 10 when something must
    be done, 0 when nothing must: made for cron or a timer.

    \b
    Example:
      seasonplan watch my-garden --forecast met-norway --quiet
    """
    import seasonplan.outputs.documents as documents
    import seasonplan.outputs.terminal as terminal
    from seasonplan import workflow

    watched = workflow.watch_folders(workflow.Folders.of(folders, out), today,
                                     fetch=common.fetcher(offline, user_agent), own_hands=own_hands,
                                     forecast=lambda scenario: _forecast(scenario, forecast, offline, user_agent))
    if as_json:
        found = [documents.watch_document(report) for report in watched.reports]
        common.say(documents.to_json(found[0] if len(found) == 1 else found), nl=False)
    elif watched.act or not quiet:
        for plan, report in zip(watched.plans, watched.reports, strict=True):
            common.say(terminal.watch_text(report, plan.scenario.rules.units, colour=common.wants_colour(),
                                           width=common.width()))
    click.get_current_context().exit(EXIT_ALERTS if watched.act else EXIT_FINE)


def _forecast(scenario, forecast: str | None, offline: bool, user_agent: str | None):
    if forecast is None:
        return None
    from seasonplan.weather import sources

    if forecast not in sources.SOURCES:
        from seasonplan.files import read_input

        path = Path(forecast)
        return sources.read_forecast(read_input(path), scenario.site, common.shown(path.name))
    return sources.SOURCES[forecast].fetch(common.open_door(offline, user_agent), scenario.site)
