"""[site] and [rules] of scenario.toml."""

from __future__ import annotations

from datetime import datetime
from functools import partial
from typing import Any
from zoneinfo import ZoneInfo, ZoneInfoNotFoundError, available_timezones

from seasonplan.dates import WEEKDAYS
from seasonplan.inputs.gathering import Wrong, did_you_mean, one_of, shown
from seasonplan.inputs.toml_lines import Section
from seasonplan.inputs.values import choice, described, flag, line_of_text, number, whole
from seasonplan.model import Rules, Site
from seasonplan.units import BELIEVABLE

SITE_KEYS = ("name", "latitude", "longitude", "elevation_m", "timezone", "station_elevation_m", "night_offset_c",
             "travel_minutes", "normals", "record", "readings")
RULE_KEYS = ("year", "policy", "harm_risk", "carry_in_nights", "freeze_risk", "carries_per_harm", "move_days",
             "minutes_per_day", "children", "pets", "units", "calendar")
FULL_DAYS = ("monday", "tuesday", "wednesday", "thursday", "friday", "saturday", "sunday")
OFFSET_C = (-15.0, 15.0)
YEARS = (1950, 2199)
LEAST_RISK, MOST_RISK = 0.001, 0.9
CARRIES = (1, 1000)
"""From a plant worth one carry to one that is never to be risked. Our setting."""
ZONE_SLIP_H = 4.5
"""Hours between a zone's clock and the sun's above which the longitude's sign is doubted. China's far west, the widest
gap on land, is about 3 h plus daylight saving's one (memory)."""


def read_site(section: Section) -> tuple[Site, list[str]]:
    """The site and what had to be assumed about it. Keys that are wrong leave a stand-in; their fault stands."""
    section.only(SITE_KEYS)
    name = section.need("name", line_of_text, "a name for the place, in quotes")
    latitude = section.need("latitude", partial(number, low=-90, high=90, unit="degrees"),
                            "degrees north, -90 to 90", "South of the equator it is negative.")
    longitude = section.need("longitude", partial(number, low=-180, high=180, unit="degrees"),
                             "degrees east, -180 to 180", "West of Greenwich it is negative.")
    low, high = BELIEVABLE["elevation_m"]
    metres = partial(number, low=low, high=high, unit="m", hint=_maybe_feet)
    elevation = section.need("elevation_m", metres, f"metres above the sea, {low:g} to {high:g}",
                             "Any map with heights shows it.")
    station = section.get("station_elevation_m", metres)
    offset = section.get("night_offset_c", partial(number, low=OFFSET_C[0], high=OFFSET_C[1], unit="°C"))
    travel = section.get("travel_minutes", partial(whole, low=0, high=720, unit="minutes"))
    zone, notes = _zone(section, longitude)
    return Site(name or "", latitude or 0.0, longitude or 0.0, elevation or 0.0, zone, station, offset or 0.0,
                travel or 0), notes


def _maybe_feet(value: float) -> str:
    return "Is it in feet?" if value > 0 else ""


def _zone(section: Section, longitude: float | None) -> tuple[str, list[str]]:
    zone = section.get("timezone", time_zone)
    if "timezone" not in section.values:
        zone = zone_of_longitude(longitude or 0.0)
        hours = round((longitude or 0.0) / 15)
        return zone, [f"No timezone was given, so clock times are those of the longitude (assumed): UTC{hours:+d} h all"
                      " year, without daylight saving. timezone in [site] settles it."]
    if zone and longitude is not None and hours_off_the_sun(zone, longitude) > ZONE_SLIP_H:
        return zone, [f"The clock of {zone} is {hours_off_the_sun(zone, longitude):.0f} hours away from the sun's at "
                      f"longitude {longitude:g}. Check the longitude's sign: west of Greenwich is negative."]
    return zone or "UTC", []


def zone_of_longitude(longitude_deg: float) -> str:
    """The whole-hour zone of the tz database for a longitude. Its Etc names count hours west of Greenwich positive."""
    west = -round(longitude_deg / 15)
    return f"Etc/GMT{west:+d}" if west else "Etc/GMT"


def time_zone(value: Any) -> str:
    """An IANA zone name that this machine's tz database knows."""
    name = line_of_text(value)
    try:
        ZoneInfo(name)
        known = "/" in name or name == "UTC" or name in available_timezones()
    except (ZoneInfoNotFoundError, ValueError, OSError):
        known = False
    if known:
        return name
    zones = available_timezones()
    by_city = [zone for zone in sorted(zones) if zone.split("/")[-1].casefold() == name.casefold().replace(" ", "_")]
    raise Wrong(f'found "{shown(name)}"', 'an IANA name such as "Europe/Berlin" or "America/Denver"',
                f"Did you mean {one_of(by_city[:2])}?" if by_city else did_you_mean(name, zones))


def hours_off_the_sun(zone: str, longitude_deg: float) -> float:
    """How far a zone's winter clock is from the mean sun's [h], 0 for zones that follow no place (UTC, Etc/...)."""
    if zone.startswith("Etc/") or "/" not in zone or zone.startswith("Antarctica/"):
        return 0.0
    offsets = [ZoneInfo(zone).utcoffset(datetime(2025, month, 1)) for month in (1, 7)]
    clock = min(offset.total_seconds() / 3600 for offset in offsets if offset is not None)
    return abs((clock - longitude_deg / 15 + 12) % 24 - 12)


def read_rules(section: Section) -> Rules:
    """[rules]; every key has a default."""
    section.only(RULE_KEYS)
    usual = Rules()
    risk = partial(number, low=LEAST_RISK, high=MOST_RISK)
    given: dict[str, Any] = {
        "year": section.get("year", partial(whole, low=YEARS[0], high=YEARS[1])),
        "policy": section.get("policy", partial(choice, allowed=("careful", "carry-in"))),
        "harm_risk": section.get("harm_risk", partial(risk, hint=_maybe_percent)),
        "carry_in_nights": section.get("carry_in_nights", partial(number, low=0, high=60, unit="nights")),
        "freeze_risk": section.get("freeze_risk", partial(risk, hint=_maybe_percent)),
        "carries_per_harm": section.get("carries_per_harm", partial(number, low=CARRIES[0], high=CARRIES[1],
                                                                    unit="carries")),
        "move_days": section.get("move_days", week_days),
        "minutes_per_day": section.get("minutes_per_day", partial(whole, low=10, high=1440, unit="minutes")),
        "children": section.get("children", flag),
        "pets": section.get("pets", flag),
        "units": section.get("units", partial(choice, allowed=("metric", "imperial"))),
        "calendar": section.get("calendar", partial(choice, allowed=("by-day", "by-step"))),
    }
    return Rules(**{key: getattr(usual, key) if value is None else value for key, value in given.items()})


def _maybe_percent(value: float) -> str:
    return "Is it in percent? 0.10 is 10 %." if 1 <= value <= 100 else ""


def week_days(value: Any) -> tuple[str, ...]:
    """Days of the week in the order of the week, as three letters."""
    allowed = f'a list of {one_of(WEEKDAYS)}, each in quotes; an empty list means any day'
    if not isinstance(value, list):
        cause = 'Write ["sat"] with brackets.' if isinstance(value, str) else ""
        raise Wrong(f"found {described(value)}", allowed, cause)
    days = []
    for day in value:
        word = day.strip().casefold() if isinstance(day, str) else ""
        if word in FULL_DAYS:
            word = word[:3]
        if word not in WEEKDAYS:
            raise Wrong(f"found {described(day)}", allowed, did_you_mean(word, WEEKDAYS))
        if word in days:
            raise Wrong(f"{word} stands there twice", allowed)
        days.append(word)
    return tuple(day for day in WEEKDAYS if day in days)
