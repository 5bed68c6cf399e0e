"""The US National Weather Service's raw forecast of a grid cell, `forecastGridData`.

Shape: https://weather-gov.github.io/api/gridpoints - properties.minTemperature with `uom` and values[] of `validTime`
(an ISO 8601 interval: start/duration) and `value` (null = nothing told); temperature, maxTemperature, skyCover,
windSpeed, windGust, quantitativePrecipitation and weather alike. Not every office fills every layer.
"""

from __future__ import annotations

import re
from collections.abc import Callable
from datetime import UTC, date, datetime, time, timedelta
from typing import Any
from zoneinfo import ZoneInfo

from seasonplan.model import Forecast, Site
from seasonplan.weather.night_hours import (
    Gathered,
    Piece,
    add_sky,
    assemble,
    covered,
    highest_over,
    nights_touched,
    sum_over,
)
from seasonplan.weather.reading import (
    ForecastUnreadable,
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

SOURCE = "US National Weather Service"
DURATION = re.compile(r"P(?:(\d{1,2})W)?(?:(\d{1,3})D)?(?:T(?:(\d{1,4})H)?(?:(\d{1,5})M)?(?:(\d{1,6})S)?)?")
SPEEDS = ("windSpeed", "windGust")
MIDDLE_OF_NIGHT = time(1, 30)
"""Halfway between evening and morning (night_hours); an interval's low belongs to the nights whose middle it holds."""


def parse(content: bytes, site: Site) -> Forecast:
    """The forecast in a forecastGridData document. Raises ForecastUnreadable."""
    root = json_object(content)
    part(root, "properties", dict)
    found, notes = Gathered(), [position_note(_corner(root), site)]
    if isinstance(root["properties"].get("minTemperature"), dict):
        _add_minima(root, site, found)
    else:
        _add_hourly_lows(root, site, found)
        notes.append("This grid cell tells no night lows, so they are the lowest of its hourly temperatures.")
    _add_sky(root, site, found)
    issued = instant(part(root, "properties.updateTime", str), "properties.updateTime")
    return assemble(SOURCE, issued, site, found, _height_m(root, site), notes)


def _add_minima(root: dict, site: Site, found: Gathered) -> None:
    layer = part(root, "properties.minTemperature", dict)
    to_c = temperature_unit(layer.get("uom"), "properties.minTemperature.uom")
    for start, end, value in _intervals(layer, "properties.minTemperature"):
        evenings = _evenings(start, end, site.timezone)
        found.asked.update(evenings)
        number = plain_number(value)
        if number is None or not believable_low(to_c(number)):
            if value is not None:
                found.faulty.append(f"{value!r:.20} at {start:%Y-%m-%d %H:%M} UTC")
            continue
        for evening in evenings:
            found.lows_c[evening] = min(to_c(number), found.lows_c.get(evening, 99.0))


def _add_hourly_lows(root: dict, site: Site, found: Gathered) -> None:
    """Night lows out of the temperatures hour by hour, where the core hours of the night are told."""
    layer = part(root, "properties.temperature", dict)
    to_c = temperature_unit(layer.get("uom"), "properties.temperature.uom")
    hours = [(start, end, to_c(number)) for start, end, value in _intervals(layer, "properties.temperature")
             if (number := plain_number(value)) is not None and believable_low(to_c(number))]
    if not hours:
        return
    first, last = min(piece[0] for piece in hours), max(piece[1] for piece in hours)
    for night in nights_touched(first, last, site.timezone):
        held = [value for start, end, value in hours if start < night.end and end > night.start]
        if held and covered([(start, end) for start, end, _ in hours], night.core_start, night.core_end):
            found.lows_c[night.evening] = min(held)


def interval(text: Any, place: str) -> tuple[datetime, datetime]:
    """Start and end [UTC] of an ISO 8601 interval: start/duration or start/end."""
    begin, _, rest = text.partition("/") if isinstance(text, str) else ("", "", "")
    start = instant(begin, place)
    if not rest.startswith("P"):
        end = instant(rest, place)
    else:
        told = DURATION.fullmatch(rest)
        numbers = [int(n or 0) for n in told.groups()] if told else []
        end = start + timedelta(**dict(zip(("weeks", "days", "hours", "minutes", "seconds"), numbers, strict=False)))
    if end <= start:
        raise ForecastUnreadable(place, f"found {text!r:.60}", "an ISO 8601 interval that lasts some time")
    return start, end


def _intervals(layer: dict, place: str) -> list[tuple[datetime, datetime, Any]]:
    values = part(layer, "values", list)
    entries = [v if isinstance(v, dict) else {} for v in values]
    return [(*interval(entry.get("validTime"), f"{place}.values[{n}].validTime"), entry.get("value"))
            for n, entry in enumerate(entries)]


def _evenings(start: datetime, end: datetime, timezone: str) -> list[date]:
    """The nights an interval speaks of: those whose middle it holds, else the one its own middle falls into."""
    zone = ZoneInfo(timezone)
    first = start.astimezone(zone).date() - timedelta(days=1)
    nights = [first + timedelta(days=n) for n in range((end - start).days + 3)]
    held = [night for night in nights if start <= _middle(night, zone) < end]
    own = (start + (end - start) / 2).astimezone(zone) - timedelta(hours=12)
    return held or [own.date()]


def _middle(evening: date, zone: ZoneInfo) -> datetime:
    return datetime.combine(evening + timedelta(days=1), MIDDLE_OF_NIGHT, zone).astimezone(UTC)


def _add_sky(root: dict, site: Site, found: Gathered) -> None:
    """Wind, cloud, gusts, highs, rain and hail, where the document tells them in units we know."""
    names = (*SPEEDS, "skyCover", "quantitativePrecipitation", "maxTemperature")
    layers = {name: _pieces(root, name) for name in names}
    told = [piece for pieces in layers.values() for piece in pieces] + _hail(root)
    if not told:
        return
    nights = nights_touched(min(piece[0] for piece in told), max(piece[1] for piece in told), site.timezone)
    add_sky(found, nights, layers["windSpeed"], layers["skyCover"])
    for night in nights:
        found.add(night.evening, gust_m_s=highest_over(layers["windGust"], night),
                  high_c=highest_over(layers["maxTemperature"], night),
                  rain_mm=sum_over(layers["quantitativePrecipitation"], night),
                  hail=True if highest_over(_hail(root), night) else None)


def _hail(root: dict) -> list[Piece]:
    """The times for which the `weather` layer speaks of hail: value is a list of weather with attributes."""
    layer = root["properties"].get("weather")
    if not isinstance(layer, dict) or not isinstance(layer.get("values"), list):
        return []
    return [(start, end, 1.0) for start, end, value in _intervals(layer, "properties.weather")
            if isinstance(value, list) and any("hail" in str(part).casefold() for part in value)]


def _pieces(root: dict, name: str) -> list[Piece]:
    layer = root["properties"].get(name)
    if not isinstance(layer, dict) or not isinstance(layer.get("values"), list):
        return []
    convert = _conversion(name, layer.get("uom"))
    if convert is None:
        return []
    return [(start, end, convert(number)) for start, end, value in _intervals(layer, f"properties.{name}")
            if (number := plain_number(value)) is not None]


def _conversion(name: str, unit: Any) -> Callable[[float], float] | None:
    """What turns a layer's values into ours; None for a unit that we do not know."""
    if name == "maxTemperature":
        try:
            return temperature_unit(unit, "")
        except ForecastUnreadable:
            return None
    factor = speed_factor(unit) if name in SPEEDS else 1.0 if \
        (is_percent(unit) if name == "skyCover" else str(unit).endswith(":mm")) else None
    return None if factor is None else lambda value: value * factor


def _corner(root: dict) -> Any:
    """One corner of the grid cell [longitude, latitude] (cells are 2.5 km wide); None when it is not told."""
    geometry: Any = root.get("geometry")
    try:
        return geometry["coordinates"][0][0] if geometry["type"] == "Polygon" else geometry["coordinates"]
    except (TypeError, KeyError, IndexError):
        return None


def _height_m(root: dict, site: Site) -> float:
    """Height of the grid cell; the site's where it is not told in metres."""
    told = root["properties"].get("elevation")
    metres = isinstance(told, dict) and str(told.get("unitCode")).endswith(":m")
    height = plain_number(told.get("value")) if metres else None
    return site.elevation_m if height is None else height
