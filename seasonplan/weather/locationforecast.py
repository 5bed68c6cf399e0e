"""MET Norway Locationforecast 2.0, `complete` as JSON.

Shape: https://docs.api.met.no/doc/ForecastJSON - properties.meta.updated_at and .units; properties.timeseries[] with
`time` and data.instant.details (air_temperature with its 10th and 90th percentile, wind_speed, wind_speed_of_gust,
cloud_area_fraction) and, where they are told, data.next_1_hours and data.next_6_hours with details.air_temperature_min,
air_temperature_max and precipitation_amount. Steps are hourly at first and six-hourly later on. The `compact` product
is the same without percentiles, gusts and six-hour minima.
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
    add_sky,
    assemble,
    covered,
    highest_over,
    nights_touched,
    sum_over,
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
    """One entry: temperature at `at` with its percentiles, lowest and highest of the six hours that follow [°C]; wind
    and gust [m/s], cloud [%], rain until the next entry [mm]; until: the next entry's time."""

    at: datetime
    until: datetime
    temperature_c: float | None
    lowest_c: float | None
    highest_c: float | None
    band_c: tuple[float, float] | None
    wind_m_s: float | None
    gust_m_s: float | None
    cloud_percent: float | None
    rain_mm: float | None


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
            _add_band(found, steps, night, low)
        found.add(night.evening, high_c=highest_over(_highs(steps), night), rain_mm=sum_over(_pieces(steps, "rain_mm"),
                  night), gust_m_s=highest_over(_pieces(steps, "gust_m_s"), night))
    add_sky(found, nights, _pieces(steps, "wind_m_s"), _pieces(steps, "cloud_percent"))
    issued = instant(part(root, "properties.meta.updated_at", str), "properties.meta.updated_at")
    point = root.get("geometry", {}).get("coordinates") if isinstance(root.get("geometry"), dict) else None
    notes = (_compact_note(steps, nights, found), position_note(point, site), CREDIT)
    return assemble(SOURCE, issued, site, found, _height_m(point, site), notes, ensemble=True)


def _compact_note(steps: Sequence[_Step], nights: Sequence[NightHours], found: Gathered) -> str:
    """A sentence where nights are missing because the document never had what they need."""
    if any(step.lowest_c is not None for step in steps) or len(found.lows_c) == len(nights):
        return ""
    return ("This is the compact product, which tells no lows of the later nights: save the `complete` one, or let "
            "seasonplan fetch it.")


def _add_band(found: Gathered, steps: Sequence[_Step], night: NightHours, low_c: float) -> None:
    """The percentiles of the night's low: as far from it as those of its coldest hour are from that hour's."""
    hours = [step for step in steps if night.start <= step.at <= night.end and step.band_c is not None
             and step.temperature_c is not None]
    if hours:
        coldest = min(hours, key=lambda step: step.temperature_c or 0.0)
        assert coldest.band_c is not None and coldest.temperature_c is not None
        p10, p90 = (low_c + edge - coldest.temperature_c for edge in coldest.band_c)
        found.add(night.evening, p10_c=p10, p90_c=p90)


def _highs(steps: Sequence[_Step]) -> list[Piece]:
    at = [(step.at, step.at + ONE_HOUR, step.temperature_c) for step in steps if step.temperature_c is not None]
    return at + [(step.at, step.at + SIX_HOURS, step.highest_c) for step in steps if step.highest_c is not None]


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
        now, later = _details(series[n], "instant"), _details(series[n], "next_6_hours")
        wind, gust = (plain_number(now.get(name)) for name in ("wind_speed", "wind_speed_of_gust"))
        low, high = (_low(later.get(f"air_temperature_{end}"), lowest_to_c, times[n], faulty)
                     for end in ("min", "max"))
        band = [plain_number(now.get(f"air_temperature_percentile_{p}")) for p in (10, 90)]
        yield _Step(
            times[n], until, _low(now.get("air_temperature"), to_c, times[n], faulty), low, high,
            None if band[0] is None or band[1] is None else (to_c(band[0]), to_c(band[1])),
            None if wind is None or to_m_s is None else wind * to_m_s,
            None if gust is None or to_m_s is None else gust * to_m_s,
            plain_number(now.get("cloud_area_fraction")) if is_percent(units.get("cloud_area_fraction")) else None,
            _rain_mm(series[n], until - times[n], units))


def _rain_mm(entry: dict, gap: timedelta, units: dict) -> float | None:
    """Rain until the next entry, where it is told for just that long."""
    if units.get("precipitation_amount") != "mm" or gap not in (ONE_HOUR, SIX_HOURS):
        return None
    span = "next_1_hours" if gap == ONE_HOUR else "next_6_hours"
    return plain_number(_details(entry, span).get("precipitation_amount"))


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
