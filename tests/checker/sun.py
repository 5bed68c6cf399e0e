"""Where the sun stands, from the short formulas of Meeus, Astronomical Algorithms, chapter 25 (memory): good to a few
hundredths of a degree, and none of it the program's."""

from __future__ import annotations

import math
from datetime import UTC, datetime


def position(when: datetime, latitude_deg: float, longitude_deg: float) -> tuple[float, float]:
    """(azimuth from north over east, elevation without refraction) in degrees at an instant that knows its zone."""
    d = (when - datetime(2000, 1, 1, 12, tzinfo=UTC)).total_seconds() / 86400
    anomaly = math.radians(357.529 + 0.98560028 * d)
    longitude = math.radians(280.459 + 0.98564736 * d + 1.915 * math.sin(anomaly) + 0.020 * math.sin(2 * anomaly))
    tilt = math.radians(23.439 - 0.00000036 * d)
    ascension = math.atan2(math.cos(tilt) * math.sin(longitude), math.cos(longitude))
    declination = math.asin(math.sin(tilt) * math.sin(longitude))
    sidereal = math.radians((280.46061837 + 360.98564736629 * d + longitude_deg) % 360)
    hour, latitude = sidereal - ascension, math.radians(latitude_deg)
    elevation = math.asin(math.sin(latitude) * math.sin(declination)
                          + math.cos(latitude) * math.cos(declination) * math.cos(hour))
    azimuth = math.atan2(-math.sin(hour), math.tan(declination) * math.cos(latitude)
                         - math.sin(latitude) * math.cos(hour))
    return math.degrees(azimuth) % 360, math.degrees(elevation)


POINTS = {name: n * 22.5 for n, name in enumerate(
    ["n", "nne", "ne", "ene", "e", "ese", "se", "sse", "s", "ssw", "sw", "wsw", "w", "wnw", "nw", "nnw"])}
WORDS = {"north": 0, "north-east": 45, "east": 90, "south-east": 135, "south": 180, "south-west": 225, "west": 270,
         "north-west": 315}


def shines_on(place: dict, azimuth_deg: float, elevation_deg: float) -> bool:
    """Whether the sun at a position reaches a place outdoors: not behind its wall, below its horizon or above the edge
    of its roof, which stands at arctan(tan roof_deg * cos of the angle from where the place faces)."""
    if elevation_deg <= max(place.get("horizon_deg", 0.0), 0.0):
        return False
    faces = place.get("faces")
    bearing = faces if isinstance(faces, int | float) else {**POINTS, **WORDS}.get(str(faces).strip().lower(), 0.0)
    turn = math.radians((azimuth_deg - bearing + 180) % 360 - 180)
    if place.get("wall_behind") and math.cos(turn) <= 0:
        return False
    roof = place.get("roof_deg")
    if roof is None or roof >= 90:
        return True
    edge = math.degrees(math.atan(math.tan(math.radians(roof)) * math.cos(turn)))
    return elevation_deg < edge


EDGE_DEG = 3.0
"""A plant is no point: so near an edge it may be in sun or shade."""
WEAK_SUN_DEG, LOW_SUN_DEG, DENSE = 6.0, 35.0, 0.25
"""Below the first, through leaves below the second, through dense leaves at any elevation it may be weaker than
sunshine (120 W m-2, WMO-No. 8): in air of Linke turbidity 6 the beam from 35 degrees has 520 W m-2 by Kasten's formula
(memory), a quarter of which are 130."""


def shines_surely(place: dict, azimuth_deg: float, elevation_deg: float) -> bool:
    """The same, for all positions around."""
    leaves = place.get("leaf_shade", 1.0)
    if elevation_deg < WEAK_SUN_DEG or leaves < DENSE or leaves < 1.0 and elevation_deg < LOW_SUN_DEG:
        return False
    return all(shines_on(place, azimuth_deg + aside, elevation_deg + up)
               for aside in (-EDGE_DEG, EDGE_DEG) for up in (-EDGE_DEG, EDGE_DEG))
