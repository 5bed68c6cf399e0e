"""`seasonplan watch`: is tonight safe, and could frost come back?"""

from __future__ import annotations

from datetime import date
from pathlib import Path

import click

from seasonplan.cli import common
from seasonplan.cli.plan import CALENDAR, combined_folder, make, target_folders
from seasonplan.errors import EXIT_ALERTS, EXIT_FINE

SERVICES = ("met-norway", "nws")


@click.command()
@common.folders_argument
@click.option("--forecast", metavar="FILE|met-norway|nws", help="A forecast file or a service; without it the night "
              "normals alone answer.")
@click.option("--out", type=click.Path(path_type=Path), help="Where calendar.ics stands; default DIR/out.")
@click.option("--json", "as_json", is_flag=True, help="Print JSON.")
@click.option("--quiet", "-q", is_flag=True, help="Print nothing when no action is needed.")
@click.option("--offline", is_flag=True, help="Never use the network; the last copy of a forecast is used.")
@click.option("--user-agent", help=common.USER_AGENT_HELP)
@common.today_option
def watch(folders, forecast, out, as_json, quiet, offline, user_agent, today) -> None:
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
    from seasonplan.files import write_all

    scenarios = common.load_all(folders, common.fetcher(offline, user_agent))
    targets = target_folders(folders, out)
    watched = [_watch_one(scenario, target, forecast, today, offline, user_agent)
               for scenario, target in zip(scenarios, targets, strict=True)]
    reports = [report for _, report, _ in watched]
    for target, (_, _, files) in zip(targets, watched, strict=True):
        write_all(target, files)
    if len(folders) > 1:
        _update_combined(combined_folder(folders, out), [(made, report) for made, report, _ in watched])
    act = any(alert.level == "act" for report in reports for alert in report.alerts)
    if as_json:
        found = [documents.watch_document(report) for report in reports]
        common.say(documents.to_json(found[0] if len(found) == 1 else found), nl=False)
    elif act or not quiet:
        for scenario, report in zip(scenarios, reports, strict=True):
            common.say(terminal.watch_text(report, scenario.rules.units, colour=common.wants_colour(),
                                           width=common.width()))
    click.get_current_context().exit(EXIT_ALERTS if act else EXIT_FINE)


def _watch_one(scenario, target: Path, forecast: str | None, today: date, offline: bool, user_agent: str | None):
    """The plan and report of one site, and the files that change with them; nothing is written."""
    from seasonplan.files import read_if_there
    from seasonplan.outputs.calendar import update_alerts
    from seasonplan.pipeline import build_plan
    from seasonplan.weather.alerts import watch_report

    found = _forecast(scenario, forecast, offline, user_agent)
    previous = read_if_there(target / CALENDAR)
    if previous is None:
        made, files = make(scenario, target, today, page=False)
        previous = files[CALENDAR]
    else:
        made, files = build_plan(scenario, today), {}
    report = watch_report(made, found, today)
    files[CALENDAR] = update_alerts(previous, made, report, str(target / CALENDAR))
    return made, report, files


def _update_combined(where: Path, pairs) -> None:
    """The calendar of several sites together, if `plan` has made one."""
    from seasonplan.files import read_if_there, write_all
    from seasonplan.outputs.calendar import update_combined_alerts

    previous = read_if_there(where / CALENDAR)
    if previous is not None:
        write_all(where, {CALENDAR: update_combined_alerts(previous, pairs, str(where / CALENDAR))})


def _forecast(scenario, forecast: str | None, offline: bool, user_agent: str | None):
    if forecast is None:
        return None
    from seasonplan.weather import sources

    if forecast not in SERVICES:
        from seasonplan.files import read_input

        path = Path(forecast)
        return sources.read_forecast(read_input(path), scenario.site, path.name)
    door = common.open_door(offline, user_agent)
    return (sources.met_norway if forecast == "met-norway" else sources.nws)(door, scenario.site)
