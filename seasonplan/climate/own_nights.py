"""Several years of a person's own readings make the night climate the garden's own.

A garden's mean miss against the normals, over whole seasons, moves the climate; what one place misses beyond the others
on the same nights moves its lift. Both start from zero with a prior spread (normal prior, normal error: Gelman et al.,
Bayesian Data Analysis, section 2.5; from memory). A forecast is not moved by it: watch learns that by itself.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date
from math import sqrt
from statistics import fmean

from seasonplan.climate.at_plant import plant_shift
from seasonplan.dates import day_index
from seasonplan.model import NightClimate, Place, Reading
from seasonplan.wording import counted, listed, temperature_span

SEVERAL_YEARS, NIGHTS_OF_A_YEAR, NIGHTS_OF_A_MONTH = 3, 60, 8
"""From so many years on, each with so many nights read, in months with so many. Our setting."""
SEASON_SD_C = 0.6
"""Spread of the mean low of April to October from year to year [°C]: 0.58 over the stations that the `aquacrop` package
ships (their month means spread by 1.1)."""
GARDEN_SD_C, PLACE_SD_C = 1.0, 0.45
"""Prior spread of a garden about its normals, and of a place about its lift [°C]. Our setting."""
NIGHT_SD_C = 1.0
"""Spread of the difference of two places from night to night, neighbouring nights alike [°C]. Our setting."""
STEP_C = 0.1
"""Readings move the plan in steps of so much, so that one more night seldom moves a date."""


@dataclass(frozen=True)
class OwnNights:
    """shift_c: the garden against its normals [°C], sd_c: how sure; lifts: by place what to add to its lift; years,
    nights: what it is learned from. Nothing is learned: zero."""

    shift_c: float = 0.0
    sd_c: float = GARDEN_SD_C
    lifts: Mapping[str, float] | None = None
    years: int = 0
    nights: int = 0


def own_nights(readings: Sequence[Reading], climate: NightClimate, places: Sequence[Place]) -> OwnNights:
    """What the readings say of the garden's nights, once they are of several years."""
    shifts = {place.name: plant_shift(place).on(None) for place in places if place.outdoors}
    nights: dict[date, dict[str, float]] = defaultdict(dict)
    for one in readings:
        if one.place in shifts:
            nights[one.date][one.place] = one.tmin_c - float(climate.mean_c[day_index(one.date)]) - shifts[one.place]
    seasons = _seasons({day: fmean(misses.values()) for day, misses in nights.items()})
    if len(seasons) < SEVERAL_YEARS:
        return OwnNights()
    sure = len(seasons) / SEASON_SD_C**2
    share = sure / (sure + GARDEN_SD_C**-2)
    return OwnNights(_stepped(share * fmean(seasons)), sqrt(1 / (sure + GARDEN_SD_C**-2)), _lifts(nights), len(seasons),
                     len(nights))


def _seasons(misses: Mapping[date, float]) -> list[float]:
    """The mean miss of each year that has enough nights, its months weighing alike."""
    months: dict[int, dict[int, list[float]]] = defaultdict(lambda: defaultdict(list))
    for day, miss in misses.items():
        months[day.year][day.month].append(miss)
    found = []
    for of_year in months.values():
        full = [fmean(those) for those in of_year.values() if len(those) >= NIGHTS_OF_A_MONTH]
        if full and sum(map(len, of_year.values())) >= NIGHTS_OF_A_YEAR:
            found.append(fmean(full))
    return found


def _lifts(nights: Mapping[date, Mapping[str, float]]) -> dict[str, float]:
    """By place what its lift lacks, from the nights on which several places were read."""
    apart: dict[str, list[float]] = defaultdict(list)
    for misses in nights.values():
        for name, miss in misses.items() if len(misses) > 1 else ():
            apart[name].append(miss - fmean(misses.values()))
    found = {}
    for name, those in apart.items():
        sure = len(those) / NIGHT_SD_C**2 / 2         # neighbouring nights are alike
        found[name] = _stepped(sure / (sure + PLACE_SD_C**-2) * fmean(those))
    return found


def _stepped(value_c: float) -> float:
    return round(round(value_c / STEP_C) * STEP_C, 1)


def as_read(own: OwnNights, climate: NightClimate, places: Sequence[Place],
            units: str) -> tuple[NightClimate, tuple[Place, ...]]:
    """The climate and the places as the readings have them, with a sentence for the person."""
    if not own.years:
        return climate, tuple(places)
    lifts = {name: lift for name, lift in (own.lifts or {}).items() if lift}
    moved = tuple(replace(place, night_lift_c=round(place.night_lift_c + lifts.get(place.name, 0.0), 2))
                  for place in places)
    garden = f"{temperature_span(abs(own.shift_c), units)} {'warmer' if own.shift_c > 0 else 'colder'} than" \
        if own.shift_c else "no colder or warmer than"
    told = [f"{name} ({'+' if lift > 0 else ''}{temperature_span(lift, units)})" for name, lift in lifts.items()]
    note = (f"Your own readings, {counted(own.nights, 'night')} of {own.years} years, make the garden's nights "
            f"{garden} the normals say (± {temperature_span(own.sd_c, units)})"
            f"{f' and change the lift of {listed(told)}' if told else ''}: dates go by that.")
    return replace(climate, mean_c=climate.mean_c + own.shift_c, notes=(*climate.notes, note)), moved
