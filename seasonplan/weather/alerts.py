"""`watch`: which plants are in danger tonight and on the nights of the forecast, where they go, and by when."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import date, datetime, time, timedelta
from functools import cached_property
from hashlib import sha256
from math import isfinite

from seasonplan.errors import SourceUnavailable
from seasonplan.model import Alert, Forecast, ForecastNight, Place, Plan, Plant, WatchReport
from seasonplan.weather.advice import move_advice
from seasonplan.weather.outlook import FREEZE_C, ComingNights, coming_nights, curves
from seasonplan.weather.rescue import ACT_CHANCE, Rescue, in_danger, named, rescue_text, rescues
from seasonplan.weather.skill import CLEAR_CALM_C, error_sd_c, in_the_open
from seasonplan.weather.standing import Whereabouts, whereabouts
from seasonplan.wording import day, slug, temperature_span

OUTLOOK_NIGHTS = 30
BEFORE_SUNSET_MIN = 60
"""How long before sunset the work should be done [min]. Our setting."""
LATEST_BY_MIN, NO_SUNSET_BY_MIN = 21 * 60, 18 * 60
"""Nobody carries pots after 21:00; 18:00 where the sun does not set. Our setting."""
NORMALS_SOURCE = "night normals"


def watch_report(plan: Plan, forecast: Forecast | None, today: date) -> WatchReport:
    """What the coming nights mean for the plants where they stand now.

    forecast None: the night model alone answers, and only tonight can raise an alert. Raises SourceUnavailable when a
    forecast holds no night from today on.
    """
    told = from_tonight(forecast, today) if forecast is not None else None
    coming = coming_nights(plan.climate, told, plan.site, today, OUTLOOK_NIGHTS)
    where = whereabouts(plan)
    alerts = [alert for n, night in enumerate(coming.nights) if coming.told[n] is not None or n == 0
              for alert in _alerts_of(_Night(plan, coming, n), where)]
    out = [p for p in plan.plants if p.route or any(a for a in alerts if p.plant.name in a.plants)]
    thresholds = sorted({p.plant.harm_c for p in out})
    issued = told.issued if told is not None else None
    return WatchReport(
        plan.site.name, f"{issued:%Y-%m-%dT%H:%M:%SZ}" if issued else today.isoformat(),
        told.source if told is not None else NORMALS_SOURCE, tuple(alerts), curves(coming, plan.places, thresholds),
        move_advice(plan, coming, where, {p.name: p for p in plan.places}, today), _notes(plan, told, coming))


def from_tonight(forecast: Forecast, today: date) -> Forecast:
    """The forecast without past nights, its age told. A table that does not say when it was made counts as made today.

    Raises SourceUnavailable when no night is left.
    """
    nights = [night for night in forecast.nights if night.night >= today]
    if not nights:
        raise SourceUnavailable(forecast.source, f"its last night is {day(forecast.nights[-1].night, year=True)}, so "
                                f"it says nothing about tonight, {day(today, year=True)}, or later.")
    if forecast.issued is None:
        nights = [replace(night, lead_days=(night.night - today).days) for night in nights]
    elif (age := (today - forecast.issued.date()).days) > 1:
        note = f"This forecast was made on {day(forecast.issued.date(), year=True)}, {age} days ago."
        forecast = replace(forecast, notes=(*forecast.notes, note))
    return replace(forecast, nights=tuple(nights))


@dataclass(frozen=True, eq=False)
class _Night:
    """One night for `rescue`: its lows at any place (rescue.Nightly)."""

    plan: Plan
    coming: ComingNights
    position: int

    @property
    def date(self) -> date:
        return self.coming.nights[self.position]

    @property
    def told(self) -> ForecastNight | None:
        return self.coming.told[self.position]

    @property
    def wind_m_s(self) -> float | None:
        return self.told.wind_m_s if self.told else None

    @cached_property
    def _chances(self) -> dict[tuple[str, float], float]:
        return {}

    def low_c(self, place: Place) -> float:
        return float(self.coming.said_at_c(place)[self.position])

    def chance(self, place: Place, threshold_c: float) -> float:
        key = (place.name, threshold_c)
        if key not in self._chances:
            self._chances[key] = float(self.coming.chance(place, threshold_c)[self.position])
        return self._chances[key]


def _alerts_of(night: _Night, where: Whereabouts) -> list[Alert]:
    """One alert for every outdoor place where something is in danger, in scenario order."""
    pots = where.pots_by_place(night.date)
    found = []
    for place in (p for p in night.plan.places if p.outdoors):
        judged = [(plant, in_danger(night, place, plant)) for plant in where.at(place.name, night.date)]
        act, eye = ([plant for plant, level in judged if level == wanted] for wanted in ("act", "keep-watch"))
        if act or eye:
            found.append(_alert(night, place, act, eye, pots))
    return found


def _alert(night: _Night, place: Place, act: Sequence[Plant], eye: Sequence[Plant], pots: Counter[str]) -> Alert:
    plants, plan = act or eye, night.plan
    tender_c = max(plant.harm_c for plant in plants)
    done = rescues(night, place, act, plan.places, pots)
    frost = night.low_c(place) <= FREEZE_C or night.chance(place, FREEZE_C) >= ACT_CHANCE
    goals = {rescue.to for rescue in done if rescue.to}
    return Alert(
        uid=alert_uid(plan.site.name, night.date, place.name), night=night.date, place=place.name,
        forecast_low_c=night.told.low_c if night.told else None, low_c_at_place=night.low_c(place),
        chance=night.chance(place, tender_c), threshold_c=tender_c, plants=tuple(plant.name for plant in plants),
        action=_action(done, eye, frost, plan.rules.units), by=by_time(plan, night.date),
        level="act" if act else "keep-watch", frost=frost, to_place=goals.pop() if len(goals) == 1 else None)


def _action(done: Sequence[Rescue], eye: Sequence[Plant], frost: bool, units: str) -> str:
    parts = ["Frost."] if frost else []
    if done:
        parts.append(rescue_text(done, units))
    if eye:
        parts.append(f"Keep an eye on {named(eye)}." if done else f"Nothing to do yet for {named(eye)}: look again "
                     "tomorrow.")
    return " ".join(parts)


def by_time(plan: Plan, night: date) -> str:
    """The local date and time by which to be done, BEFORE_SUNSET_MIN before sunset, "YYYY-MM-DDTHH:MM"."""
    minutes: float = NO_SUNSET_BY_MIN
    light = plan.daylight
    position = (night - light.dates[0]).days
    if 0 <= position < len(light.dates) and isfinite(light.sunset_min[position]):
        minutes = min(max(float(light.sunset_min[position]) - BEFORE_SUNSET_MIN, 0.0), LATEST_BY_MIN)
    return (datetime.combine(night, time()) + timedelta(minutes=int(minutes))).isoformat(timespec="minutes")


def alert_uid(site_name: str, night: date, place: str) -> str:
    """The uid of a night's alert at a place: whatever the forecast says next, it is the same event."""
    mark = sha256("\x1f".join((site_name, night.isoformat(), place)).encode("utf-8", "surrogatepass")).hexdigest()[:8]
    return f"watch-{night.isoformat()}-{slug(place, 'place')}-{mark}@seasonplan.invalid"


def _notes(plan: Plan, forecast: Forecast | None, coming: ComingNights) -> tuple[str, ...]:
    """What the person must know about the numbers."""
    if forecast is None:
        return ("No forecast was asked for: chances are those of the night normals for the date.",)
    units, known = plan.rules.units, [t for t in coming.told if t is not None]
    notes = list(forecast.notes)
    if coming.told[0] is None:
        notes.append("The forecast says nothing about tonight; the night model answers for it.")
    if len(known) < len(forecast.nights):
        reach = f" after {day(known[-1].night)}" if known else ""
        notes.append(f"Forecast nights{reach} are too far ahead to say more than the normals.")
    if known:
        spread = temperature_span(error_sd_c(known[0].lead_days) or 0.0, units)
        notes.append(f"How far forecasts miss the night low is assumed, with low confidence: about {spread} (standard "
                     f"deviation) on {day(known[0].night)}, more after that. Chances weigh the forecast against what "
                     "is usual for the date.")
    if any(t.calm_clear is None for t in known) and any(map(in_the_open, plan.places)):
        notes.append(f"The forecast does not say which nights are clear and calm; on such a night the low in the open "
                     f"is about {temperature_span(-CLEAR_CALM_C, units)} below what is shown.")
    return tuple(notes)
