"""The rest of the sky: gusts, heat, heavy rain and hail, where the source tells them. Limits and words stand in
data/sky_limits.csv with their sources."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from functools import cache

from seasonplan.climate.at_plant import loses_to_sky
from seasonplan.data import table
from seasonplan.model import ForecastNight, Place, Plant, SkyWarning
from seasonplan.weather.danger import Danger
from seasonplan.wording import day, listed, rainfall, speed, temperature

DAYS_AHEAD = 3
"""Farther ahead such things are too unsure to be told. Our setting."""
NAMES_MOST = 6


@cache
def _limits() -> dict[str, dict[str, str]]:
    return {row["kind"]: row for row in table("sky_limits")}


@cache
def _tall_cm() -> float:
    return next(float(row["value"]) for row in table("care_figures") if row["key"] == "tall_plant_cm")


def sky_warnings(found: Danger) -> tuple[SkyWarning, ...]:
    """What the next DAYS_AHEAD days bring to the plants that stand outdoors then."""
    warnings = []
    for n, told in enumerate(found.coming.told[:DAYS_AHEAD]):
        out = [(plant, found.coming.places[row]) for plant, row in zip(found.plants, found.rows[:, n], strict=True)
               if found.coming.places[row].outdoors]
        if told is not None and out:
            warnings += list(_of_day(told, out, found.plan.rules.units))
    return tuple(warnings)


def _of_day(told: ForecastNight, out: Sequence[tuple[Plant, Place]], units: str) -> Iterator[SkyWarning]:
    on = day(told.night)
    if _reached("gusts", told.gust_m_s):
        tall = [plant for plant, _ in out if (plant.tall_cm or 0.0) >= _tall_cm() or "tall" in plant.notes.lower()]
        yield _warning("gusts", told, told.gust_m_s, tall, f"Gusts of {speed(told.gust_m_s or 0.0, units)} on {on}")
    if _reached("heat", told.high_c):
        sunny = [plant for plant, place in out if loses_to_sky(place)]
        yield _warning("heat", told, told.high_c, sunny, f"Heat of {temperature(told.high_c or 0.0, units)} on {on}")
    if told.hail:
        open_air = [plant for plant, place in out if place.roof_deg is None]
        yield _warning("hail", told, None, open_air, f"Hail is possible on {on}")
    if _reached("rain", told.rain_mm):
        dry = [plant for plant, place in out if plant.taxon.moisture == "dry" and place.roof_deg is None]
        yield _warning("rain", told, told.rain_mm, dry, f"{rainfall(told.rain_mm or 0.0, units)} of rain from {on}")


def _reached(kind: str, value: float | None) -> bool:
    return value is not None and value >= float(_limits()[kind]["limit"])


def _warning(kind, told: ForecastNight, value: float | None, plants: Sequence[Plant], lead: str) -> SkyWarning:
    row, names = _limits()[kind], listed([plant.name for plant in plants], NAMES_MOST)
    above_all = f"; above all {names}" if names else ""
    return SkyWarning(kind, told.night, value, float(row["limit"]), tuple(plant.name for plant in plants),
                      f"{lead}: {row['words']}{above_all}.", row["source"])
