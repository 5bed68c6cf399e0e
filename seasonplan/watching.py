"""What `watch` does with folders: the nights ahead of each garden, from reading to writing, under one lock.

The plan is built as it stands, the forecast looked at, and plan.json, the page and the calendar get the alerts with the
time of their issue. What the source said is kept beside them, for readings to be held against. Where nothing but the
alerts is new, all other events of the calendar keep their bytes. No clock and no network but what the caller brings.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from datetime import date, datetime, timedelta
from typing import TYPE_CHECKING

from seasonplan import files, workflow
from seasonplan.files import Held
from seasonplan.workflow import CALENDAR, DOCUMENT, INDEX, PAGE, Fetch, Files, Folders

if TYPE_CHECKING:
    from seasonplan.model import Alert, Before, Forecast, Plan, Scenario, WatchReport

RUNNING_UNTIL_HOUR = 6
"""Before this hour of the day the night that runs is meant, and not the one that comes. Our setting."""
AS_IF_HOUR = 7
"""The hour at which a day is looked at that is not the clock's. Our setting."""
STANDS = "Files and calendar keep the alerts of {}: they know a forecast."


@dataclass(frozen=True)
class Hour:
    """When a garden is looked at, by its own clock. today: the date there; night: the evening of the night that is
    meant; written: the local time, without a zone."""

    today: date
    night: date
    written: datetime

    @classmethod
    def at(cls, local: datetime) -> Hour:
        """By a local time."""
        running = timedelta(days=local.hour < RUNNING_UNTIL_HOUR)
        return cls(local.date(), local.date() - running, local.replace(tzinfo=None))

    @classmethod
    def of(cls, today: date) -> Hour:
        """As if it were the morning of a day."""
        return cls.at(datetime(today.year, today.month, today.day, AS_IF_HOUR))


HourOf = Callable[["Scenario"], Hour]
ForecastOf = Callable[["Scenario"], "Forecast | None"]


@dataclass(frozen=True)
class Watched:
    """The plans that were watched and their reports, in the folders' order."""

    plans: tuple[Plan, ...]
    reports: tuple[WatchReport, ...]

    @property
    def act(self) -> bool:
        """Whether any alert asks for action."""
        return any(alert.act for report in self.reports for alert in report.alerts)


def watch_folders(folders: Folders, when: HourOf, *, forecast: ForecastOf = lambda scenario: None,
                  fetch: Fetch | None = None, own_hands: bool = False) -> Watched:
    """Looks at the nights ahead of all folders. Raises SeasonplanError; then nothing was written."""
    forecasts = [forecast(scenario) for scenario in workflow.load_all(folders.sources, fetch)]   # slow, so not held
    with workflow.held_folders(folders, fetch) as (scenarios, targets, together):
        hours, before = [when(scenario) for scenario in scenarios], workflow.before_of(folders, targets)
        plans = workflow.build_all(scenarios, [hour.today for hour in hours], before=before, own_hands=own_hands)
        looks = [_Look(*each) for each in zip(plans, forecasts, hours, before, targets, strict=True)]
        files.merged(lambda: [
            *((look.target, look.files()) for look in looks),
            *([] if together is None else [(together, _together(looks, folders, together, own_hands))])])
        return Watched(tuple(look.told for look in looks), tuple(look.report for look in looks))


class _Look:
    """One garden's plan, report and files."""

    def __init__(self, plan: Plan, forecast: Forecast | None, hour: Hour, before: Before | None, target: Held):
        from seasonplan.weather.alerts import watch_report
        from seasonplan.weather.keeping import FORECASTS, kept_with, read_kept
        from seasonplan.weather.spells import still_in, with_alarms

        self.plan, self.hour, self.target = plan, hour, target
        self.stands = forecast is None and self.knows_more(before)
        earlier, told = read_kept(target.read(FORECASTS)), _told(before, hour)
        report = watch_report(plan, forecast, hour.night, earlier=earlier, before=told)
        self.report = replace(report, alerts=with_alarms(report.alerts, hour.written, told))
        self.kept = kept_with(earlier, forecast, plan.site, hour.night)
        inside = {alert.uid: alert for alert in still_in(told, hour.night).values()}   # for another look this evening
        self.told = plan if self.stands else replace(plan, alerts=(*inside.values(), *self.report.alerts),
                                                     alerts_issued=hour.written.isoformat(timespec="minutes"))
        if self.stands:
            self.report = replace(self.report, notes=(*self.report.notes, STANDS.format(plan.alerts_issued[-5:])))

    def knows_more(self, before: Before | None) -> bool:
        """Whether alerts that know a forecast were given this very day: normals alone call none of them off."""
        return before is not None and before.alerts_issued.startswith(self.hour.today.isoformat()) and any(
            alert.forecast_low_c is not None and alert.night >= self.hour.night for alert in before.alerts)

    def files(self) -> Files:
        """All that the garden's folder gets."""
        from seasonplan.outputs.calendar import render_calendar, update_alerts
        from seasonplan.weather.keeping import FORECASTS, kept_bytes

        name, previous = str(self.target.folder / CALENDAR), self.target.read(CALENDAR)
        if previous is None or self.is_new():
            previous = render_calendar(self.plan, previous, name)
        if not self.stands:
            previous = update_alerts(previous, replace(self.told, today=self.hour.night), self.report, name)
        page = self.target.read(PAGE) is not None or self.target.read(DOCUMENT) is None
        return {**workflow.render(self.told, page), FORECASTS: kept_bytes(self.kept), CALENDAR: previous}

    def is_new(self) -> bool:
        """Whether the plan says anything that the last one did not."""
        from seasonplan.outputs.documents import plan_json

        return self.target.read(DOCUMENT) != plan_json(self.plan)


def _told(before: Before | None, hour: Hour) -> tuple[Alert, ...]:
    """The alerts of the look before; those of earlier nights only where it was of this very evening, since a plant that
    it did not keep in was told to go out again."""
    if before is None or not before.alerts_issued:
        return ()
    last = Hour.at(datetime.fromisoformat(before.alerts_issued)).night
    return tuple(alert for alert in before.alerts if alert.night >= last or last == hour.night)


def _together(looks: Sequence[_Look], folders: Folders, together: Held, own_hands: bool) -> Files:
    """The combined calendar and the index page of several sites, where `plan` has made them."""
    from seasonplan.outputs.calendar import update_combined_alerts

    previous = together.read(CALENDAR)
    if previous is None:
        return {}
    plans, index = [look.told for look in looks], together.read(INDEX) is not None
    made = workflow.together_files(plans, folders, together, index, workflow.shared_round(plans, own_hands)) \
        if index or any(look.is_new() for look in looks) else {}
    pairs = [(replace(look.told, today=look.hour.night), look.report) for look in looks if not look.stands]
    return {**made, CALENDAR: update_combined_alerts(made.get(CALENDAR, previous) if any(
        look.is_new() for look in looks) else previous, pairs, str(together.folder / CALENDAR))}
