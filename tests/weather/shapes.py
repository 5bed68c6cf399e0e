"""Documents in the documented shapes of the services, filled with invented weather.

MET Norway Locationforecast 2.0: https://docs.api.met.no/doc/ForecastJSON. US National Weather Service:
https://weather-gov.github.io/api/gridpoints. Open-Meteo: https://open-meteo.com/en/docs/ensemble-api. EXAMPLES has one
of each, for the tests that hold for every source.
"""

from __future__ import annotations

import json
from collections.abc import Callable, Sequence
from datetime import UTC, date, datetime, timedelta

UNITS = {"air_pressure_at_sea_level": "hPa", "air_temperature": "celsius", "air_temperature_max": "celsius",
         "air_temperature_min": "celsius", "air_temperature_percentile_10": "celsius",
         "air_temperature_percentile_90": "celsius", "cloud_area_fraction": "%", "precipitation_amount": "mm",
         "wind_from_direction": "degrees", "wind_speed": "m/s", "wind_speed_of_gust": "m/s"}
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
                 wind_m_s: float = 1.0, cloud: float = 10.0, times: Sequence[datetime] | None = None,
                 band_c: tuple[float, float] | None = None, gust_m_s: float | None = None,
                 rain_mm: float = 0.0) -> dict:
    """A `complete` document whose temperature follows `curve`; six-hour minima are taken from it hour by hour. band_c:
    how far below and above it the percentiles are; rain_mm: per hour."""
    times = list(times or met_times(start))
    series = []
    for n, at in enumerate(times):
        entry: dict = {"time": stamp(at), "data": {"instant": {"details": {
            "air_pressure_at_sea_level": 1013.2, "air_temperature": round(curve(at), 1), "cloud_area_fraction": cloud,
            "wind_from_direction": 200.0, "wind_speed": wind_m_s}}}}
        details = entry["data"]["instant"]["details"]
        if band_c is not None:
            details["air_temperature_percentile_10"] = round(curve(at) - band_c[0], 1)
            details["air_temperature_percentile_90"] = round(curve(at) + band_c[1], 1)
        if gust_m_s is not None:
            details["wind_speed_of_gust"] = gust_m_s
        if n < len(times) - 1:
            lows = [curve(at + timedelta(hours=h)) for h in range(7)]
            entry["data"]["next_6_hours"] = {"summary": {"symbol_code": "clearsky_night"}, "details": {
                "air_temperature_max": round(max(lows), 1), "air_temperature_min": round(min(lows), 1),
                "precipitation_amount": round(6 * rain_mm, 1)}}
        if n < len(times) - 1 and times[n + 1] - at == timedelta(hours=1):
            entry["data"]["next_1_hours"] = {"details": {"precipitation_amount": rain_mm}}
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


def ensemble_document(start: datetime, curve: Curve, off_c: Sequence[float], hours: int = 168, latitude: float = 44.5,
                      longitude: float = -93.0, elevation: float = 250.0, offset_s: int = 0, **others: float) -> dict:
    """An ensemble document: one member for each of off_c, so far from `curve`. others: a variable's constant value."""
    times = [start + timedelta(hours=n) for n in range(hours)]
    units = {"time": "iso8601", "temperature_2m": "°C", "cloud_cover": "%", "wind_speed_10m": "m/s",
             "wind_gusts_10m": "m/s", "precipitation": "mm", "weather_code": "wmo code"}
    hourly: dict = {"time": [f"{at + timedelta(seconds=offset_s):%Y-%m-%dT%H:%M}" for at in times]}
    named: dict = {"time": "iso8601"}
    values = {"cloud_cover": 10.0, "wind_speed_10m": 1.0, "wind_gusts_10m": 4.0, "precipitation": 0.0,
              "weather_code": 0.0} | others
    for name in ("temperature_2m", *values):
        for n, off in enumerate(off_c):
            key = name if n == 0 else f"{name}_member{n:02d}"
            named[key] = units[name]
            hourly[key] = [round(curve(at) + off, 2) for at in times] if name == "temperature_2m" else \
                [values[name]] * hours
    return {"latitude": latitude, "longitude": longitude, "generationtime_ms": 0.3, "utc_offset_seconds": offset_s,
            "timezone": "GMT", "timezone_abbreviation": "GMT", "elevation": elevation, "hourly_units": named,
            "hourly": hourly}


def as_bytes(document: dict) -> bytes:
    return json.dumps(document).encode()


def lows_of(forecast) -> list[tuple[date, float]]:
    return [(night.night, round(night.low_c, 2)) for night in forecast.nights]


START = utc("2027-06-01T15:00")
WAVE = daily_wave(12.0, 6.0, 11.0)
EXAMPLES = {
    "met-norway": as_bytes(met_document(START, WAVE)),
    "nws": as_bytes(nws_document(nws_nights(date(2027, 6, 1), (8.0, 3.5, -0.5, 9.0)))),
    "open-meteo": as_bytes(ensemble_document(START, WAVE, (0.0, -2.0, -1.0, 1.0, 2.0, 0.5, -0.5))),
}
"""Source -> a document of it for Chicago's time zone with a first night of 1 June 2027."""
PATHS = {"met-norway": "/complete", "nws": "/gridpoints/ABC/1,2", "open-meteo": "/ensemble"}
"""Source -> where its document stands on a server."""
