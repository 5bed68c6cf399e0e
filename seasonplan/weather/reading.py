"""Taking forecasts apart: JSON, instants, units, the position they are for. Nothing is guessed and nothing repaired."""

from __future__ import annotations

import json
from collections.abc import Callable
from datetime import UTC, datetime
from math import asin, cos, isfinite, radians, sin, sqrt
from typing import Any

from seasonplan.model import Site
from seasonplan.units import BELIEVABLE, fahrenheit_to_c

EARTH_RADIUS_KM = 6371.0
NEARBY_KM, WRONG_PLACE_KM = 10.0, 50.0
"""Farther than the first the person is told, farther than the second the forecast is refused. Our setting."""
TEMPERATURE_UNITS: dict[str, Callable[[float], float]] = {
    "celsius": float, "degC": float, "C": float,
    "fahrenheit": fahrenheit_to_c, "degF": fahrenheit_to_c, "F": fahrenheit_to_c,
    "kelvin": lambda kelvin: kelvin - 273.15, "K": lambda kelvin: kelvin - 273.15,
}
SPEED_TO_M_S = {"m/s": 1.0, "m_s-1": 1.0, "km/h": 1 / 3.6, "km_h-1": 1 / 3.6, "kt": 0.514444, "mi_h-1": 0.44704}
PERCENT_UNITS = ("%", "percent")


class ForecastUnreadable(ValueError):
    """A forecast that cannot be used. place: where in it ("properties.meta.units"); found, allowed: what stands there
    and what may; cause: a hint, may be empty."""

    def __init__(self, place: str, found: str, allowed: str, cause: str = ""):
        self.place, self.found, self.allowed, self.cause = place, found, allowed, cause
        super().__init__(f"{place}: {found}" if place else found)


def json_object(content: bytes) -> dict[str, Any]:
    """The JSON object in `content`. Raises ForecastUnreadable when it is cut off or something else."""
    try:
        found = json.loads(content)
    except (ValueError, RecursionError) as error:
        where = f"line {error.lineno}" if isinstance(error, json.JSONDecodeError) else ""
        raise ForecastUnreadable(where, "the JSON is cut off or damaged", "a whole JSON document") from None
    if not isinstance(found, dict):
        raise ForecastUnreadable("", f"JSON of the kind {type(found).__name__}", "a JSON object")
    return found


def part(tree: Any, path: str, kind: type) -> Any:
    """The part of a JSON tree at a dotted path. Raises ForecastUnreadable when it is missing or of another kind."""
    for key in path.split("."):
        tree = tree.get(key) if isinstance(tree, dict) else None
    if not isinstance(tree, kind):
        what = "it is missing" if tree is None else f"found a {type(tree).__name__}"
        raise ForecastUnreadable(path, what, "an object" if kind is dict else "a list" if kind is list else "text")
    return tree


def instant(text: Any, place: str) -> datetime:
    """An ISO 8601 instant with its offset, in UTC."""
    try:
        found = datetime.fromisoformat(text)
        if found.tzinfo is not None:
            return found.astimezone(UTC)
    except (TypeError, ValueError, OverflowError):
        pass
    raise ForecastUnreadable(place, f"found {text!r:.60}", "an ISO 8601 time with its offset from UTC")


def temperature_unit(name: Any, place: str) -> Callable[[float], float]:
    """The conversion to °C for a unit as the service names it (a prefix like `wmoUnit:` is dropped)."""
    found = TEMPERATURE_UNITS.get(_bare(name))
    if found is None:
        raise ForecastUnreadable(place, f"found the unit {name!r:.60}" if name else "the unit is missing",
                                 "celsius, fahrenheit or kelvin")
    return found


def speed_factor(name: Any) -> float | None:
    """What turns a speed into m/s; None for an unknown unit."""
    return SPEED_TO_M_S.get(_bare(name))


def is_percent(name: Any) -> bool:
    """Whether a unit is percent."""
    return _bare(name) in PERCENT_UNITS


def _bare(name: Any) -> str:
    return name.rpartition(":")[2] if isinstance(name, str) else ""


def plain_number(value: Any) -> float | None:
    """A finite JSON number; None for null, text, true, NaN."""
    if isinstance(value, bool) or not isinstance(value, (int, float)) or not isfinite(value):
        return None
    return float(value)


def believable_low(value_c: float) -> bool:
    """Whether a night low [°C] can be real."""
    low, high = BELIEVABLE["tmin_c"]
    return low <= value_c <= high


def distance_km(latitude_deg: float, longitude_deg: float, site: Site) -> float:
    """Great-circle distance from the site (haversine formula); the date line is no obstacle."""
    north = radians(latitude_deg - site.latitude_deg) / 2
    east = radians(longitude_deg - site.longitude_deg) / 2
    across = cos(radians(latitude_deg)) * cos(radians(site.latitude_deg)) * sin(east) ** 2
    return 2 * EARTH_RADIUS_KM * asin(min(1.0, sqrt(sin(north) ** 2 + across)))


def position_note(point: Any, site: Site) -> str:
    """A sentence when the forecast's [longitude, latitude, ...] is some way off; raises when it is elsewhere."""
    numbers = [plain_number(v) for v in point[:2]] if isinstance(point, list) else []
    if len(numbers) != 2 or numbers[0] is None or numbers[1] is None:
        return "The forecast does not say which place it is for."
    away = distance_km(numbers[1], numbers[0], site)
    if away > WRONG_PLACE_KM:
        raise ForecastUnreadable("geometry.coordinates", f"the forecast is for a place {away:.0f} km from {site.name}",
                                 f"a forecast for a place within {WRONG_PLACE_KM:.0f} km",
                                 "Is it another site's, or are latitude and longitude mixed up?")
    return f"The forecast is for a place {away:.0f} km from the site." if away > NEARBY_KM else ""
