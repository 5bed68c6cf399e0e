"""Where the site is: a town of the package's table, or latitude and longitude. Each part may be given, and wins."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from functools import partial
from typing import Any
from zoneinfo import ZoneInfo, ZoneInfoNotFoundError, available_timezones

from seasonplan.inputs.gathering import Wrong, did_you_mean, one_of, shown
from seasonplan.inputs.toml_lines import Section
from seasonplan.inputs.towns import find_towns, nearest_town, told_apart
from seasonplan.inputs.values import line_of_text, number
from seasonplan.model import Town
from seasonplan.units import BELIEVABLE

KEYS = ("town", "latitude", "longitude", "elevation_m", "timezone")
ZONE_SLIP_H = 4.5
"""Hours between a zone's clock and the sun's above which the longitude's sign is doubted. China's far west, the widest
gap on land, is about 3 h plus daylight saving's one (memory)."""
ZONE_REACH_KM = 200.0
"""Farther from every town the clock is taken from the longitude. Our setting."""
FAR_TOWN_KM = 25.0
"""A height taken from a town farther than this is doubted. Our setting."""
LISTED = 8


@dataclass(frozen=True)
class Position:
    """Latitude north and longitude east positive [degrees], height [m], IANA zone; town: "Leeds, GB" where one was
    named, else ""; imperial: whether that town's country measures in °F and feet."""

    latitude: float
    longitude: float
    elevation_m: float
    timezone: str
    town: str
    imperial: bool


def metres(value: Any) -> float:
    """A height above the sea."""
    low, high = BELIEVABLE["elevation_m"]
    return number(value, low, high, "m", lambda found: "Is it in feet?" if found > 0 else "")


def read_position(section: Section) -> tuple[Position, list[str]]:
    """The position and what was taken from a town for it. Keys that are wrong leave a stand-in; their fault stands."""
    town = section.get("town", known_town)
    take = section.get if "town" in section.values else section.need
    needed = () if "town" in section.values else ("a town, or degrees north, -90 to 90",
                                                  'town = "Leeds, GB" is enough. South of the equator it is negative.')
    latitude = take("latitude", partial(number, low=-90, high=90, unit="degrees"), *needed)
    needed = needed and ("degrees east, -180 to 180", "West of Greenwich it is negative.")
    longitude = take("longitude", partial(number, low=-180, high=180, unit="degrees"), *needed)
    elevation = section.get("elevation_m", metres)
    zone = section.get("timezone", time_zone)
    if town is None:
        return _without_town(section, latitude, longitude, elevation, zone)
    position = Position(town.latitude if latitude is None else latitude,
                        town.longitude if longitude is None else longitude,
                        town.elevation_m if elevation is None else elevation, zone or town.timezone, town.full_name,
                        town.imperial)
    return position, _sign_doubted(section, position)


def _without_town(section: Section, latitude: float | None, longitude: float | None, elevation: float | None,
                  zone: str | None) -> tuple[Position, list[str]]:
    given = {key for key in KEYS if key in section.values}
    notes = list[str]()
    if latitude is not None and longitude is not None and not {"elevation_m", "timezone"} <= given:
        town, km = nearest_town(latitude, longitude)
        notes = _taken(town, km, given, longitude)
        elevation = town.elevation_m if elevation is None else elevation
        if "timezone" not in given:
            zone = town.timezone if km <= ZONE_REACH_KM else zone_of_longitude(longitude)
    position = Position(latitude or 0.0, longitude or 0.0, elevation or 0.0, zone or "UTC", "", False)
    return position, notes + _sign_doubted(section, position)


def _taken(town: Town, km: float, given: set[str], longitude: float) -> list[str]:
    """What was taken from the nearest town, in a sentence or two."""
    parts, keys = list[str](), list[str]()
    if "elevation_m" not in given:
        parts.append(f"the height, {town.elevation_m:.0f} m,")
        keys.append("elevation_m")
    if "timezone" not in given and km <= ZONE_REACH_KM:
        parts.append(f"the time zone, {town.timezone},")
        keys.append("timezone")
    notes = []
    if parts:
        doubt = " So far away the height may be another." if km > FAR_TOWN_KM and "elevation_m" in keys else ""
        notes = [f"Taken from the nearest town, {town.full_name}, {km:.0f} km away: {' and '.join(parts)} "
                 f"(assumed).{doubt} {' and '.join(keys)} in [site] settle{'s' if len(keys) == 1 else ''} it."]
    if "timezone" not in given and km > ZONE_REACH_KM:
        hours = round(longitude / 15)
        notes.append("No timezone was given and no town is near, so clock times are those of the longitude (assumed): "
                     f"UTC{hours:+d} h all year, without daylight saving. timezone in [site] settles it.")
    return notes


def known_town(value: Any) -> Town:
    """The one town that a text means."""
    text = line_of_text(value)
    found = find_towns(text)
    if not found.towns:
        near = f"Did you mean {one_of([f'{name}' for name in found.near])}?" if found.near else ""
        raise Wrong(f'found no town "{shown(text)}"', "a town of 15,000 people or more, as "
                    '"Leeds, GB" or "Portland, Oregon, US" (seasonplan towns WORDS looks for one), or latitude and '
                    "longitude instead", near)
    if len(found.towns) > 1:
        names = [f'"{name}"' for name in told_apart(found.towns[:LISTED])]
        more = f" and {len(found.towns) - LISTED} smaller" if len(found.towns) > LISTED else ""
        raise Wrong(f'"{shown(text)}" is the name of {len(found.towns)} towns', f"one of {', '.join(names)}{more}",
                    "The largest stands first.")
    return found.towns[0]


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


def _sign_doubted(section: Section, position: Position) -> list[str]:
    """A warning where the clock and the sun are hours apart."""
    if "timezone" not in section.values and not position.town:
        return []
    hours = hours_off_the_sun(position.timezone, position.longitude)
    return [] if hours <= ZONE_SLIP_H else [
        f"The clock of {position.timezone} is {hours:.0f} hours away from the sun's at longitude "
        f"{position.longitude:g}. Check the longitude's sign: west of Greenwich is negative."]


def hours_off_the_sun(zone: str, longitude_deg: float) -> float:
    """How far a zone's winter clock is from the mean sun's [h], 0 for zones that follow no place (UTC, Etc/...)."""
    if zone.startswith("Etc/") or "/" not in zone or zone.startswith("Antarctica/"):
        return 0.0
    offsets = [ZoneInfo(zone).utcoffset(datetime(2025, month, 1)) for month in (1, 7)]
    clock = min(offset.total_seconds() / 3600 for offset in offsets if offset is not None)
    return abs((clock - longitude_deg / 15 + 12) % 24 - 12)
