"""MET Norway Locationforecast 2.0, `complete` as JSON.

Shape: https://docs.api.met.no/doc/ForecastJSON - properties.meta.updated_at and .units; properties.timeseries[] with
`time` and data.instant.details (air_temperature, wind_speed, cloud_area_fraction) and, where it is told,
data.next_6_hours.details.air_temperature_min. Steps are hourly at first and six-hourly later on.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta
from itertools import pairwise
from typing import Any

from seasonplan.model import Forecast, Site
from seasonplan.weather.night_hours import (
    Gathered,
    NightHours,
    Piece,
    assemble,
    covered,
    nights_touched,
    sky_by_night,
)
from seasonplan.weather.reading import (
    believable_low,
    instant,
    is_percent,
    json_object,
    part,
    plain_number,
    position_note,
    speed_factor,
    temperature_unit,
)

SOURCE = "MET Norway Locationforecast 2.0"
CREDIT = "Forecast data from MET Norway, licence CC BY 4.0."
SIX_HOURS, ONE_HOUR = timedelta(hours=6), timedelta(hours=1)
LONGEST_INSTANT = timedelta(hours=3)
"""Temperatures at single instants stand for the time up to the next one when that is no farther. Our setting."""


@dataclass(frozen=True)
class _Step:
    """One entry: temperature at `at`, lowest of the six hours that follow [°C]; wind [m/s], cloud [%]; until: the next
    entry's time."""

    at: datetime
    until: datetime
    temperature_c: float | None
    lowest_c: float | None
    wind_m_s: float | None
    cloud_percent: float | None


def parse(content: bytes, site: Site) -> Forecast:
    """The forecast in a `complete` document. Raises ForecastUnreadable."""
    root = json_object(content)
    units = part(root, "properties.meta.units", dict)
    to_c = temperature_unit(units.get("air_temperature"), "properties.meta.units.air_temperature")
    found = Gathered()
    steps = list(_steps(part(root, "properties.timeseries", list), units, to_c, found.faulty))
    nights = nights_touched(steps[0].at, steps[-1].at + SIX_HOURS, site.timezone) if steps else []
    for night in nights:
        low = _night_low_c(steps, night)
        if low is not None:
            found.lows_c[night.evening] = low
    found.sky.update(sky_by_night(nights, _pieces(steps, "wind_m_s"), _pieces(steps, "cloud_percent")))
    issued = instant(part(root, "properties.meta.updated_at", str), "properties.meta.updated_at")
    point = root.get("geometry", {}).get("coordinates") if isinstance(root.get("geometry"), dict) else None
    return assemble(SOURCE, issued, site, found, _height_m(point, site), (position_note(point, site), CREDIT))


def _height_m(point: Any, site: Site) -> float:
    """The height the temperatures are for: the third coordinate; the site's where it is missing."""
    height = plain_number(point[2]) if isinstance(point, list) and len(point) > 2 else None
    return site.elevation_m if height is None else height


def _steps(series: Sequence[Any], units: dict, to_c: Callable[[float], float], faulty: list[str]) -> Iterator[_Step]:
    times = [instant(entry.get("time") if isinstance(entry, dict) else None, f"properties.timeseries[{n}].time")
             for n, entry in enumerate(series)]
    order = sorted(range(len(times)), key=times.__getitem__)
    ends = [times[after] for _, after in pairwise(order)] + [times[order[-1]]] if order else []
    lowest_to_c = temperature_unit(units.get("air_temperature_min", units["air_temperature"]),
                                   "properties.meta.units.air_temperature_min")
    to_m_s = speed_factor(units.get("wind_speed"))
    for n, until in zip(order, ends, strict=True):
        now = _details(series[n], "instant")
        wind, cloud = plain_number(now.get("wind_speed")), plain_number(now.get("cloud_area_fraction"))
        yield _Step(times[n], until, _low(now.get("air_temperature"), to_c, times[n], faulty),
                    _low(_details(series[n], "next_6_hours").get("air_temperature_min"), lowest_to_c, times[n], faulty),
                    None if wind is None or to_m_s is None else wind * to_m_s,
                    cloud if is_percent(units.get("cloud_area_fraction")) else None)


def _details(entry: dict, span: str) -> dict:
    found: Any = entry
    for key in ("data", span, "details"):
        found = found.get(key) if isinstance(found, dict) else None
    return found if isinstance(found, dict) else {}


def _low(value: Any, to_c: Callable[[float], float], at: datetime, faulty: list[str]) -> float | None:
    number = plain_number(value)
    if number is None and value is None:
        return None
    if number is None or not believable_low(to_c(number)):
        faulty.append(f"{value!r:.20} at {at:%Y-%m-%d %H:%M} UTC")
        return None
    return to_c(number)


def _night_low_c(steps: Sequence[_Step], night: NightHours) -> float | None:
    """Lowest temperature told for the night [°C]; None where its core hours are not all told."""
    told, stretches = [], []
    for step in steps:
        gap = step.until - step.at
        if step.temperature_c is not None and night.start <= step.at <= night.end:
            told.append(step.temperature_c)
        if step.temperature_c is not None and gap <= LONGEST_INSTANT:
            stretches.append((step.at, step.until))
        if step.lowest_c is not None:
            stretches.append((step.at, step.at + SIX_HOURS))
            if _counts(step.at, gap, night):
                told.append(step.lowest_c)
    return min(told) if told and covered(stretches, night.core_start, night.core_end) else None


def _counts(at: datetime, gap: timedelta, night: NightHours) -> bool:
    """Whether a six-hour minimum is the night's: all of it inside, or most of it where entries are sparse."""
    if gap > ONE_HOUR:
        return night.start <= at + SIX_HOURS / 2 <= night.end
    return night.start <= at and at + SIX_HOURS <= night.end


def _pieces(steps: Sequence[_Step], name: str) -> list[Piece]:
    return [(step.at, min(step.until, step.at + SIX_HOURS), value) for step in steps
            if (value := getattr(step, name)) is not None]
