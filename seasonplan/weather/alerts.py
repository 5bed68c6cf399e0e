"""`watch`: which plants are in danger tonight and on the nights of the forecast, where they go, and by when."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace
from datetime import date, datetime, time, timedelta
from hashlib import sha256
from math import isfinite
from typing import TYPE_CHECKING

from seasonplan.errors import SourceUnavailable
from seasonplan.model import Alert, EarlierForecast, Forecast, Plan, Reading, WatchReport
from seasonplan.weather.advice import move_advice
from seasonplan.weather.danger import Danger, danger
from seasonplan.weather.evening import evening_of
from seasonplan.weather.learning import learn
from seasonplan.weather.notes import notes_of
from seasonplan.weather.outlook import FREEZE_C, coming_nights, curves
from seasonplan.weather.rescue import Rescue, named, rescue_text, rescues
from seasonplan.weather.sky_warnings import sky_warnings
from seasonplan.weather.spells import still_in, with_spells
from seasonplan.weather.standing import standing
from seasonplan.weather.tables import from_frame, readings_of
from seasonplan.wording import day, slug, temperature

if TYPE_CHECKING:
    import pandas as pd

OUTLOOK_NIGHTS = 30
BEFORE_SUNSET_MIN = 60
"""How long before sunset the work should be done [min]. Our setting."""
LATEST_BY_MIN, NO_SUNSET_BY_MIN = 21 * 60, 18 * 60
"""Nobody carries pots after 21:00; 18:00 where the sun does not set. Our setting."""
NORMALS_SOURCE = "night normals"


def watch_report(plan: Plan, forecast: Forecast | pd.DataFrame | None, today: date,
                 readings: Sequence[Reading] | pd.DataFrame | None = None, *,
                 earlier: Sequence[EarlierForecast] = (), before: Sequence[Alert] = ()) -> WatchReport:
    """What the coming nights mean for the plants where they stand now.

    forecast: a Forecast, or a pandas table (tables); None: the night model alone answers, and only a night that is
    rather harmful than not raises an alert. readings: of the person's thermometers, a table or those of a Scenario;
    None: the plan's own. earlier: what sources said before, for the readings to be held against; rows of the table that
    were told before today are added. before: the alerts of the last report, which tell what was taken in already and
    which cold spells go on. Pure: no clock, no disk, no network. Raises SourceUnavailable when a forecast holds no
    night from today on.
    """
    if forecast is not None and not isinstance(forecast, Forecast):
        forecast, known = from_frame(forecast, today)
        earlier = (*earlier, *known)
    read, more = (plan.scenario.readings, ()) if readings is None else readings_of(readings)
    told = from_tonight(forecast, today) if forecast is not None else None
    taught = learn([one for one in read if one.date <= today], (*earlier, *more), plan.site, plan.places,
                   told.source if told is not None else "")
    coming = coming_nights(plan.climate, told, plan.site, plan.places, today, OUTLOOK_NIGHTS, taught.lessons)
    found = danger(plan, coming, standing(plan))
    told_in, sky = still_in(before, today), sky_warnings(found)
    act = found.act(told_in)
    rescued = rescues(found, 0, act, found.standing.where.pots_by_place(today),
                      {name: alert.to for name, alert in told_in.items() if alert.to}) if act else []
    alerts = with_spells(_alerts(found, dict(zip(act, rescued, strict=True))), before, plan.site.name)
    issued = told.issued if told is not None else None

    def outlook():
        out = {name for alert in alerts for name in alert.plants} | {p.plant.name for p in plan.plants if p.route}
        levels = {round(float(found.harm_c[k, 0]), 1) for k, plant in enumerate(found.plants) if plant.name in out}
        return curves(coming, sorted(levels))

    return WatchReport(
        plan.site.name, f"{issued:%Y-%m-%dT%H:%M:%SZ}" if issued else today.isoformat(),
        told.source if told is not None else NORMALS_SOURCE, alerts, outlook,
        move_advice(found), notes_of(plan, told, coming, taught), sky,
        evening_of(found, alerts, rescued, before, told_in, sky))


def from_tonight(forecast: Forecast, today: date) -> Forecast:
    """The forecast without past nights, its age told. A table that does not say when it was made counts as made today.

    Raises SourceUnavailable when no night is left.
    """
    nights = [night for night in forecast.nights if night.night >= today]
    if not nights:
        last = f"its last night is {day(forecast.nights[-1].night, year=True)}, so it" if forecast.nights else "it"
        raise SourceUnavailable(forecast.source, f"{last} says nothing about tonight, {day(today, year=True)}, or "
                                "later.")
    if forecast.issued is None:
        nights = [replace(night, lead_days=(night.night - today).days) for night in nights]
    elif (age := (today - forecast.issued.date()).days) > 1:
        note = f"This forecast was made on {day(forecast.issued.date(), year=True)}, {age} days ago."
        forecast = replace(forecast, notes=(*forecast.notes, note))
    return replace(forecast, nights=tuple(nights))


def _alerts(found: Danger, rescued: Mapping[int, Rescue]) -> list[Alert]:
    """Tonight's by place and where to, then the later nights' by place; in scenario order."""
    groups: dict[tuple[int, str, bool], list[tuple[int, Rescue]]] = {}
    for k, rescue in rescued.items():
        groups.setdefault((found.rows[k, 0], rescue.to, rescue.kind == "stay"), []).append((k, rescue))
    alerts = [_act_alert(found, key[1], groups[key]) for key in sorted(groups)]
    for n in [n for n, told in enumerate(found.coming.told) if told is not None and n > 0]:
        ready = found.ready(n)
        for row in sorted({found.rows[k, n] for k in ready}):
            alerts.append(_ready_alert(found, n, [k for k in ready if found.rows[k, n] == row]))
    return alerts


def _act_alert(found: Danger, to: str, group: Sequence[tuple[int, Rescue]]) -> Alert:
    alert = _alert(found, 0, [k for k, _ in group])
    text = rescue_text([rescue for _, rescue in group], found.plan.rules.units)
    return replace(alert, action=("Frost. " if alert.frost else "") + text, to=to or None,
                   out_again=_latest([rescue.out_again for _, rescue in group]),
                   stays=(stays := group[0][1].kind == "stay"),
                   uid=alert_uid(found.plan.site.name, alert.night, alert.place, f"{to}{' stays' * stays}"))


def _ready_alert(found: Danger, n: int, plants: Sequence[int]) -> Alert:
    alert = _alert(found, n, plants)
    names, low = named([found.plants[k] for k in plants]), temperature(alert.low_c_at_place, found.plan.rules.units)
    text = (f"Be ready for {names}: this night will probably ask for it, by the forecast {low} at the plants. "
            "Nothing to do yet: the forecast of that day decides.")
    return replace(alert, action=("Frost is possible. " if alert.frost else "") + text, level="keep-watch",
                   out_again=_latest([found.out_again(k, n) for k in plants]))


def _latest(days: Sequence[date | None]) -> date | None:
    """The last of some days; None when any of them is out of sight."""
    known = [one for one in days if one is not None]
    return max(known) if len(known) == len(days) else None


def _alert(found: Danger, n: int, plants: Sequence[int]) -> Alert:
    """The facts of an alert, rounded as they are shown and kept; what to do is filled in by the caller."""
    coming, plan = found.coming, found.plan
    place, night = coming.places[found.rows[plants[0], n]], coming.nights[n]
    worst = max(plants, key=lambda k: found.chance[k, n])
    low_c = round(float(coming.low_c(place)[n]), 1)
    frost = low_c <= FREEZE_C or float(coming.freezing[coming.rows[place.name], n]) >= found.least
    told = coming.told[n]
    return Alert(
        uid=alert_uid(plan.site.name, night, place.name), night=night, place=place.name,
        forecast_low_c=round(told.low_c, 1) if told else None, low_c_at_place=low_c,
        chance=round(float(found.chance[worst, n]), 3), threshold_c=round(float(found.harm_c[worst, n]), 1),
        plants=tuple(found.plants[k].name for k in plants), action="",
        by=by_time(plan, night), frost=frost)


def by_time(plan: Plan, night: date) -> str:
    """The local date and time by which to be done, BEFORE_SUNSET_MIN before sunset, "YYYY-MM-DDTHH:MM"."""
    minutes: float = NO_SUNSET_BY_MIN
    light = plan.daylight
    position = (night - light.dates[0]).days
    if 0 <= position < len(light.dates) and isfinite(light.sunset_min[position]):
        minutes = min(max(float(light.sunset_min[position]) - BEFORE_SUNSET_MIN, 0.0), LATEST_BY_MIN)
    return (datetime.combine(night, time()) + timedelta(minutes=int(minutes))).isoformat(timespec="minutes")


def alert_uid(site_name: str, night: date, place: str, to: str = "") -> str:
    """The uid of what is to do for a night at a place: whatever the forecast says next, it is the same."""
    mark = sha256("\x1f".join((site_name, night.isoformat(), place, to)).encode("utf-8", "surrogatepass"))
    return f"watch-{night.isoformat()}-{slug(place, 'place')}-{mark.hexdigest()[:8]}@seasonplan.invalid"
