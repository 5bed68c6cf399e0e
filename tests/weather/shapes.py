"""Documents in the documented shapes of the two services, filled with invented weather.

MET Norway Locationforecast 2.0: https://docs.api.met.no/doc/ForecastJSON. US National Weather Service:
https://weather-gov.github.io/api/gridpoints.
"""

from __future__ import annotations

import json
from collections.abc import Callable, Sequence
from datetime import UTC, date, datetime, timedelta

UNITS = {"air_pressure_at_sea_level": "hPa", "air_temperature": "celsius", "air_temperature_max": "celsius",
         "air_temperature_min": "celsius", "cloud_area_fraction": "%", "precipitation_amount": "mm",
         "wind_from_direction": "degrees", "wind_speed": "m/s"}
Curve = Callable[[datetime], float]


def utc(text: str) -> datetime:
    return datetime.fromisoformat(text).replace(tzinfo=UTC)


def stamp(moment: datetime) -> str:
    return f"{moment:%Y-%m-%dT%H:%M:%SZ}"


def met_times(start: datetime, hourly: int = 60, six_hourly: int = 28) -> list[datetime]:
    """Hourly at first, then every six hours on the UTC sixes, as the service steps."""
    times = [start + timedelta(hours=n) for n in range(hourly)]
    at = times[-1] + timedelta(hours=1)
    while at.hour % 6:
        times.append(at)
        at += timedelta(hours=1)
    return times + [at + timedelta(hours=6 * n) for n in range(six_hourly)]


def met_document(start: datetime, curve: Curve, latitude: float = 44.5, longitude: float = -93.0, altitude: float = 250,
                 wind_m_s: float = 1.0, cloud: float = 10.0, times: Sequence[datetime] | None = None) -> dict:
    """A `complete` document whose temperature follows `curve`; six-hour minima are taken from it hour by hour."""
    times = list(times or met_times(start))
    series = []
    for n, at in enumerate(times):
        entry: dict = {"time": stamp(at), "data": {"instant": {"details": {
            "air_pressure_at_sea_level": 1013.2, "air_temperature": round(curve(at), 1), "cloud_area_fraction": cloud,
            "wind_from_direction": 200.0, "wind_speed": wind_m_s}}}}
        if n < len(times) - 1:
            lows = [curve(at + timedelta(hours=h)) for h in range(7)]
            entry["data"]["next_6_hours"] = {"summary": {"symbol_code": "clearsky_night"}, "details": {
                "air_temperature_max": round(max(lows), 1), "air_temperature_min": round(min(lows), 1),
                "precipitation_amount": 0.0}}
        series.append(entry)
    return {"type": "Feature", "geometry": {"type": "Point", "coordinates": [longitude, latitude, altitude]},
            "properties": {"meta": {"updated_at": stamp(start), "units": dict(UNITS)}, "timeseries": series}}


def daily_wave(mean_c: float, swing_c: float, lowest_hour_utc: float) -> Curve:
    """A smooth invented day: lowest at the given hour, mean - swing."""
    from math import cos, pi

    return lambda at: mean_c - swing_c * cos(2 * pi * (at.hour + at.minute / 60 - lowest_hour_utc) / 24)


def nws_document(lows: Sequence[tuple[str, float | None]], unit: str = "wmoUnit:degC",
                 updated: str = "2027-06-01T14:00:00+00:00", corner: tuple[float, float] = (-93.01, 44.49),
                 elevation_m: float = 250.0, **layers) -> dict:
    """A forecastGridData document with these (validTime, value) lows; more layers as name=(unit, values)."""
    x, y = corner
    cell = [[x, y], [x, y + 0.02], [x + 0.03, y + 0.02], [x + 0.03, y], [x, y]]
    properties: dict = {"@type": "wx:Gridpoint", "updateTime": updated,
                        "elevation": {"unitCode": "wmoUnit:m", "value": elevation_m},
                        "minTemperature": {"uom": unit, "values": [{"validTime": t, "value": v} for t, v in lows]}}
    for name, (uom, values) in layers.items():
        properties[name] = {"uom": uom, "values": [{"validTime": t, "value": v} for t, v in values]}
    return {"type": "Feature", "geometry": {"type": "Polygon", "coordinates": [cell]}, "properties": properties}


def nws_nights(first: date, lows: Sequence[float | None], start_utc: str = "01:00", hours: int = 13) -> list:
    """(validTime, value) of consecutive nights; the interval starts on the UTC date after the evening."""
    return [(f"{first + timedelta(days=n + 1)}T{start_utc}:00+00:00/PT{hours}H", low) for n, low in enumerate(lows)]


def as_bytes(document: dict) -> bytes:
    return json.dumps(document).encode()


def lows_of(forecast) -> list[tuple[date, float]]:
    return [(night.night, round(night.low_c, 2)) for night in forecast.nights]
