"""Open-Meteo's ensemble forecast as JSON: hourly values of every member, for any place in the world.

Shape: https://open-meteo.com/en/docs/ensemble-api - latitude, longitude, elevation (of the place that the temperatures
are for); utc_offset_seconds; hourly.time[] (local to that offset, without one of its own) and hourly.temperature_2m[]
(the control run, a member like the others) with temperature_2m_member01[] and so on; further variables alike;
hourly_units names the unit of each. An error is {"error": true, "reason": ...}.
"""

from __future__ import annotations

from collections.abc import Sequence
from datetime import UTC, datetime, timedelta
from typing import Any

import numpy as np

from seasonplan.model import Forecast, Site
from seasonplan.units import BELIEVABLE
from seasonplan.weather.night_hours import Gathered, NightHours, add_sky, assemble, nights_touched
from seasonplan.weather.reading import (
    ForecastUnreadable,
    is_percent,
    json_object,
    part,
    plain_number,
    position_note,
    speed_factor,
    temperature_unit,
)

SOURCE = "Open-Meteo ensemble"
CREDIT = "Forecast data from Open-Meteo.com (ECMWF ensemble), licence CC BY 4.0."
MODEL = "ecmwf_ifs025"
"""51 members for anywhere in the world. Our setting."""
VARIABLES = ("temperature_2m", "cloud_cover", "wind_speed_10m", "wind_gusts_10m", "precipitation", "weather_code")
ENOUGH_MEMBERS = 5
"""Fewer are no distribution. Our setting."""
LONGEST_STEP = timedelta(hours=6)
HAIL_CODES = (96.0, 99.0)
"""Thunderstorm with hail (WMO code table 4677 as the service maps it)."""
HAIL_SHARE = 0.1
"""Share of members that must tell hail for it to be told. Our setting."""
STEP = timedelta(hours=1)


def parse(content: bytes, site: Site) -> Forecast:
    """The forecast in an ensemble document. Raises ForecastUnreadable."""
    root = json_object(content)
    if root.get("error"):
        raise ForecastUnreadable("reason", f"it says: {root.get('reason')!r:.120}", "a forecast")
    times = _times(root)
    lows = _members(root, "temperature_2m", len(times))
    if lows is None or len(lows) < ENOUGH_MEMBERS:
        raise ForecastUnreadable("hourly.temperature_2m", f"{0 if lows is None else len(lows)} members",
                                 f"at least {ENOUGH_MEMBERS}, each with a value for every time")
    found, rest = Gathered(), {name: _members(root, name, len(times)) for name in VARIABLES[1:]}
    for night in nights_touched(times[0], times[-1] + STEP, site.timezone) if times else ():
        _take_night(found, night, times, lows, rest)
    _add_mean_sky(found, times, rest, site)
    height = plain_number(root.get("elevation"))
    return assemble(SOURCE, None, site, found, site.elevation_m if height is None else height,
                    (position_note([root.get("longitude"), root.get("latitude")], site), CREDIT), ensemble=True)


def _times(root: dict) -> list[datetime]:
    """The times [UTC], rising."""
    offset = plain_number(root.get("utc_offset_seconds"))
    texts = part(root, "hourly.time", list)
    try:
        found = [datetime.fromisoformat(text).replace(tzinfo=UTC) - timedelta(seconds=offset or 0.0) for text in texts]
    except (TypeError, ValueError, OverflowError):
        raise ForecastUnreadable("hourly.time", "a time that cannot be read", "2027-06-01T00:00 and so on") from None
    if any(later <= earlier for earlier, later in zip(found, found[1:], strict=False)):
        raise ForecastUnreadable("hourly.time", "times that do not rise", "one time after the other")
    return found


def _members(root: dict, name: str, count: int) -> np.ndarray | None:
    """(members, times) of a variable in our units, NaN where nothing is told; None where it is not there or its unit is
    unknown."""
    hourly, units = part(root, "hourly", dict), root.get("hourly_units")
    convert = _conversion(name, units.get(name) if isinstance(units, dict) else None)
    series = [values for key, values in sorted(hourly.items())
              if key == name or key.startswith(f"{name}_member")]
    if convert is None or not series:
        return None
    if any(not isinstance(values, list) or len(values) != count for values in series):
        raise ForecastUnreadable(f"hourly.{name}", "members of different lengths", f"{count} values each")
    found = np.array([[_number(value) for value in values] for values in series])
    found = found[~np.isnan(found).all(axis=1)]
    return convert(found) if len(found) else None


def _number(value: Any) -> float:
    number = plain_number(value)
    return np.nan if number is None else number


def _conversion(name: str, unit: Any):
    """From the document's unit to ours, for whole arrays; None for an unknown one."""
    if name == "temperature_2m":
        to_c = temperature_unit(str(unit).replace("°", ""), f"hourly_units.{name}")
        low, high = BELIEVABLE["tmin_c"][0], BELIEVABLE["tmax_c"][1]
        zero, one = to_c(0.0), to_c(1.0)
        return lambda values: np.where((c := zero + (one - zero) * values) < low, np.nan, np.where(c > high, np.nan, c))
    factor = speed_factor(unit) if name.startswith("wind") else 1.0 if \
        (is_percent(unit) if name == "cloud_cover" else unit == "mm" if name == "precipitation" else True) else None
    return None if factor is None else lambda values: values * factor


def _take_night(found: Gathered, night: NightHours, times: Sequence[datetime], lows: np.ndarray, rest: dict) -> None:
    """The night's low, member by member, and what the day before it brings by most of them."""
    hours = [n for n, at in enumerate(times) if night.start <= at <= night.end]
    day = [n for n, at in enumerate(times) if night.day_start <= at < night.end]
    if day:
        found.add(night.evening, high_c=_middle(lows, day, np.nanmax), hail=_hail(rest["weather_code"], day),
                  gust_m_s=_middle(rest["wind_gusts_10m"], day, np.nanmax),
                  rain_mm=_middle(rest["precipitation"], day, np.nansum))
    if not hours or not _covers(times, hours, night):
        return
    members = lows[:, hours]
    whole = members[~np.isnan(members).any(axis=1)].min(axis=1)
    if len(whole) >= ENOUGH_MEMBERS:
        p10, middle, p90 = (float(value) for value in np.quantile(whole, (0.1, 0.5, 0.9)))
        found.lows_c[night.evening] = middle
        found.add(night.evening, p10_c=p10, p90_c=p90)


def _covers(times: Sequence[datetime], hours: Sequence[int], night: NightHours) -> bool:
    """Whether the hours leave no gap in the core of the night."""
    at = [times[n] for n in hours]
    gaps = [later - earlier for earlier, later in zip(at, at[1:], strict=False)]
    return at[0] <= night.core_start and at[-1] >= night.core_end and all(gap <= LONGEST_STEP for gap in gaps)


def _middle(members: np.ndarray | None, hours: Sequence[int], what) -> float | None:
    """The median over the members of the day's highest or sum; None where any hour is missing in most of them."""
    if members is None:
        return None
    told = members[:, hours]
    told = told[~np.isnan(told).any(axis=1)]
    return float(np.median(what(told, axis=1))) if len(told) else None


def _hail(codes: np.ndarray | None, hours: Sequence[int]) -> bool | None:
    if codes is None:
        return None
    return bool(np.isin(codes[:, hours], HAIL_CODES).any(axis=1).mean() >= HAIL_SHARE)


def _add_mean_sky(found: Gathered, times: Sequence[datetime], rest: dict, site: Site) -> None:
    """Calm and clear by the members' mean wind and cloud."""
    pieces = []
    for name in ("wind_speed_10m", "cloud_cover"):
        members = rest[name]
        means = [] if members is None else [float(np.nanmean(column)) if not np.isnan(column).all() else np.nan
                                            for column in members.T]
        ends = [*times[1:], times[-1] + STEP] if times else []
        pieces.append([(begin, end, mean) for begin, end, mean in zip(times, ends, means, strict=False)
                       if not np.isnan(mean)])
    if times:
        add_sky(found, nights_touched(times[0], times[-1] + STEP, site.timezone), *pieces)
