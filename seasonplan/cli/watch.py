"""`seasonplan watch`: is tonight safe, and could frost come back?"""

from __future__ import annotations

from datetime import UTC, date, datetime
from pathlib import Path

import click

from seasonplan.cli import common, tell
from seasonplan.errors import EXIT_ALERTS, EXIT_FINE, EXIT_SOURCE


@click.command()
@common.folders_argument
@click.option("--forecast", metavar="FILE|SERVICE", help="A forecast file, or a service: met-norway, nws, open-meteo. "
              "Without it the night normals alone answer.")
@common.out_option("Where calendar.ics stands; default DIR/out.")
@click.option("--tell", "addresses", multiple=True, metavar="ADDRESS", help="Send the evening's message there when it "
              "says anything new: mail, a phone, a script (an address of the apprise library). May be repeated.")
@click.option("--json", "as_json", is_flag=True, help="Print JSON.")
@click.option("--quiet", "-q", is_flag=True, help="Print nothing when there is nothing to do.")
@click.option("--offline", is_flag=True, help="Never use the network for a forecast; the last copy of it is used.")
@click.option("--user-agent", help=common.USER_AGENT_HELP)
@common.own_hands_option
@click.option("--today", type=common.IsoDate(), help="Look at it as in the morning of this day; default: the date and "
              "hour at the garden.")
def watch(folders, forecast, out, addresses, as_json, quiet, offline, user_agent, own_hands, today) -> None:
    """Warn of nights that would harm the plants standing outdoors.

    \b
    Updates the alerts in DIR/out: calendar.ics, plan.json, plan.html. Exit code
    10 when something must be done, 0 when nothing must: made for cron or a
    timer, best run in the morning. Before six in the morning the night that
    runs is meant.

    \b
    Examples:
      seasonplan watch my-garden --forecast open-meteo --quiet
      seasonplan watch my-garden --forecast nws --tell ntfys://my-own-topic
    """
    import seasonplan.outputs.documents as documents
    import seasonplan.outputs.terminal as terminal
    from seasonplan import watching
    from seasonplan.workflow import Folders

    posts = tell.posts_of(addresses)
    where = Folders.of(folders, out)
    watched = watching.watch_folders(where, _hour_of(today), fetch=common.fetcher(offline, user_agent),
                                     own_hands=own_hands,
                                     forecast=lambda scenario: _forecast(scenario, forecast, offline, user_agent))
    if as_json:
        found = [documents.watch_document(report) for report in watched.reports]
        common.say(documents.to_json(found[0] if len(found) == 1 else found), nl=False)
    elif watched.act or not quiet or any(report.sky for report in watched.reports):
        for plan, report in zip(watched.plans, watched.reports, strict=True):
            common.say(terminal.watch_text(report, plan.scenario.rules.units, colour=common.wants_colour(),
                                           width=common.width()))
    untold = tell.tell(posts, where.targets, watched.reports)
    for line in untold:
        click.echo(line, err=True)
    click.get_current_context().exit(EXIT_ALERTS if watched.act else EXIT_SOURCE if untold else EXIT_FINE)


def _hour_of(today: date | None):
    """When each garden is looked at: now by its own clock, or as in the morning of a day."""
    from zoneinfo import ZoneInfo

    from seasonplan.watching import Hour

    if today is not None:
        return lambda scenario: Hour.of(today)
    now = datetime.now(UTC)
    return lambda scenario: Hour.at(now.astimezone(ZoneInfo(scenario.site.timezone)))


def _forecast(scenario, forecast: str | None, offline: bool, user_agent: str | None):
    if forecast is None:
        return None
    from seasonplan.weather import sources

    if forecast not in sources.SOURCES:
        from seasonplan.files import read_input

        path = Path(forecast)
        return sources.read_forecast(read_input(path), scenario.site, common.shown(path.name))
    return sources.SOURCES[forecast].fetch(common.open_door(offline, user_agent), scenario.site)
