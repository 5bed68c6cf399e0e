"""Promises and dates at places left out, against dates and days of frost that weather services published.

    cd tests; python -m truth.left_out [EVERY]

Last freezes of spring: last_freezes.csv, 378 stations of 13 US states, taken as they come in the lists of the states
(every station up to every fifth): the dates after which half and nine in ten of the years still have 32 °F or less, and
for eight states the days free of it that half of the years exceed. NOAA National Centers for Environmental Information,
U.S. Climate Normals 1981-2010, products ANN-TMIN-PRBLST-T32FP50, -T32FP90 and ANN-TMIN-PRBGSL-T32FP50. The package's
lows are of 1991-2020, so every estimate is moved back by what was added to the US stations' months (PERIOD_C).

Days of frost: those of the WMO climatological normals 1991-2020 that the package carries. EVERY 1 takes all 3,000
stations (half a minute), the default every fourth.

Each place is known by position and height alone, and all stations within OWN_KM are left out, of lows and of frost.
"""

from __future__ import annotations

import csv
import sys
from collections.abc import Sequence
from dataclasses import replace
from datetime import date
from pathlib import Path
from statistics import NormalDist
from typing import NamedTuple

import numpy as np
from truth.estimates import region_of

from seasonplan.atlas.estimate import estimated_normals
from seasonplan.atlas.frost import near_frost
from seasonplan.atlas.tables import stations
from seasonplan.climate.crossings import autumn_index, spring_index
from seasonplan.climate.nights import night_climate
from seasonplan.climate.passage import many_night_tables
from seasonplan.climate.process import night_chance
from seasonplan.climate.sureness import nights_line
from seasonplan.dates import DAYS, MONTH_LENGTHS, day_index, month_means
from seasonplan.model import NightClimate, Normals, Site
from seasonplan.units import fahrenheit_to_c

OWN_KM = 15.0
"""Stations so near are left out: they may be the same one."""
HIGH_M = 1000.0
FREEZING_C = fahrenheit_to_c(32.5)
"""Read in whole °F, 32 is any low below 32.5."""
FROST_C = -0.05
"""Lows are read to 0.1 °C, and a day of frost is one below zero."""
PERIOD_C = np.array([0.5, 0.4, 0.3, 0.3, 0.3, 0.3, 0.3, 0.3, 0.5, 0.4, 0.1, 0.8])
"""What 1991-2020 was warmer by than 1981-2010, by month, at the 548 US stations that have both."""
NINE_IN_TEN_SD = 1.2816
FEBRUARY_DAYS = 28.25
SHARES = (0.005, 0.02, 0.06, 0.14, 0.3, 0.5, 0.8)


class Published(NamedTuple):
    """A station's position [degrees, m], its last freeze of spring in half and in nine of ten years (day indices), and
    the first one of autumn in half of them (NaN where it is not told)."""

    station: str
    state: str
    latitude: float
    longitude: float
    height_m: float
    half: int
    nine_in_ten: int
    autumn: float

    @property
    def where(self) -> tuple[float, float, float]:
        return self.latitude, self.longitude, self.height_m

    def share_after(self, day: float) -> float:
        """Share of years with a freeze later than the day, as if the dates were normal: their middle is published and
        their early tenth; at the station of test_published_freeze_dates.py the late tenth is as far out."""
        sd = (self.half - self.nine_in_ten) / NINE_IN_TEN_SD
        return 1 - NormalDist(self.half, sd).cdf(day + 0.5)


class FrostMonths(NamedTuple):
    """By station and month (n, 12): the share of nights with frost that is promised and that was counted, whether the
    nights warm; by station (n,) region and height [m]."""

    promised: np.ndarray
    counted: np.ndarray
    warming: np.ndarray
    region: np.ndarray
    height_m: np.ndarray


def published() -> list[Published]:
    with open(Path(__file__).parent / "last_freezes.csv", encoding="utf-8") as file:
        return [_read(row) for row in csv.DictReader(file)]


def _read(row: dict[str, str]) -> Published:
    half, nine = (day_index(date(2001, *map(int, row[f"last_freeze_{name}"].split("/"))))
                  for name in ("half", "nine_in_ten"))
    free = row["free_days_half"]
    return Published(row["station"], row["state"], float(row["latitude_deg"]), float(row["longitude_deg"]),
                     float(row["height_m"]), half, nine, half + float(free) if free else np.nan)


def from_town(place: Published) -> Normals:
    """What a person gets who names a town, of the years of the published dates."""
    found = estimated_normals(*place.where, nearer_km=OWN_KM)
    return replace(found, tmin_c=found.tmin_c - PERIOD_C, near_frost=near_frost(*place.where, nearer_km=OWN_KM))


def bare(place: Published, frost: bool = True) -> Normals:
    """The station's own twelve lows, with days of frost near by or without."""
    table = stations()
    row = int(np.argmin((table.latitude - place.latitude) ** 2 + (table.longitude - place.longitude) ** 2))
    return Normals(table.low_c[:, row] - PERIOD_C,
                   near_frost=near_frost(*place.where, nearer_km=OWN_KM) if frost else None)


def climate_of(place: Published, normals: Normals, height_m: float | None = None) -> NightClimate:
    height_m = place.height_m if height_m is None else height_m
    return night_climate(normals, None, Site(place.station, place.latitude, place.longitude, height_m))


def dates_of(climates: Sequence[NightClimate], percent: float) -> tuple[np.ndarray, np.ndarray]:
    """The last freeze of spring that so many percent of years exceed and the first of autumn that they have by then, as
    day indices that run on past the turn of the year; NaN where there is none."""
    tables = many_night_tables(climates, [np.array([FREEZING_C])] * len(climates))
    spring, autumn = (np.array([np.nan if (day := index(one, 0, percent)) is None else day for one in tables])
                      for index in (spring_index, autumn_index))
    return np.where(spring > 300, spring - DAYS, spring), np.where(autumn < 100, autumn + DAYS, autumn)


def stated_days(normals: Normals, climate: NightClimate) -> float:
    """The error of dates that every output names."""
    return float(nights_line(normals, climate, "metric").split("dates ±")[1].split(" days")[0])


def frost_months(every: int, spread: float = 1.0) -> FrostMonths:
    """At every so many stations that count their frost; spread: what the model's sd is multiplied by, to try the test.
    """
    table, lengths, found = stations(), np.array(MONTH_LENGTHS, dtype=float), []
    lengths[1] = FEBRUARY_DAYS
    rows, days = table.sparse("frost")
    for k in range(0, len(rows), every):
        where = tuple(float(of[rows[k]]) for of in (table.latitude, table.longitude, table.elevation_m))
        normals = replace(estimated_normals(*where, nearer_km=OWN_KM), near_frost=near_frost(*where, nearer_km=OWN_KM))
        climate = night_climate(normals, None, Site("", *where))
        promised = month_means(night_chance(replace(climate, sd_c=climate.sd_c * spread), FROST_C))
        warming = np.roll(normals.tmin_c, -1) > np.roll(normals.tmin_c, 1)
        found.append((promised, days[:, k] / lengths, warming, region_of(*where[:2]), where[2]))
    return FrostMonths(*(np.array(each) for each in zip(*found, strict=True)))


def _freezes(places: list[Published], told, name: str) -> None:
    normals = [told(place) for place in places]
    climates = [climate_of(*both) for both in zip(places, normals, strict=True)]
    stated = np.array([stated_days(*both) for both in zip(normals, climates, strict=True)])
    spring, autumn = dates_of(climates, 50)
    rare = {percent: dates_of(climates, percent)[0] for percent in (5, 10, 20)}
    late, first = spring - [p.half for p in places], autumn - [p.autumn for p in places]
    kept = {percent: np.array([100 * p.share_after(day) for p, day in zip(places, of, strict=True)])
            for percent, of in rare.items()}
    state, high = np.array([p.state for p in places]), np.array([p.height_m > HIGH_M for p in places])
    print(f"\n| {name} | stations | spring, days (bias) | autumn, days (bias) | stated | held, spring / autumn, % | "
          "5 / 10 / 20 % came true |\n|---|---|---|---|---|---|---|")
    for group in (*sorted(set(state)), "above 1,000 m", "all"):
        of = high if group == "above 1,000 m" else (state == group) | (group == "all")
        told_autumn = of & ~np.isnan(first)
        fall = (f"{np.abs(first[told_autumn]).mean():.1f} ({first[told_autumn].mean():+.1f})",
                f"{100 * np.mean((np.abs(first) <= stated)[told_autumn]):.0f}") if told_autumn.any() else ("-", "-")
        print(f"| {group} | {of.sum()} | {np.abs(late[of]).mean():.1f} ({late[of].mean():+.1f}) | {fall[0]} | "
              f"{stated[of].mean():.1f} | {100 * np.mean(np.abs(late[of]) <= stated[of]):.0f} / {fall[1]} | "
              f"{' / '.join(f'{each[of].mean():.0f}' for each in kept.values())} |")
    for low, high_ in ((0, 6.5), (6.5, 8), (8, 12), (12, 99)):
        of = (stated >= low) & (stated < high_)
        if of.any():
            print(f"- stated {low} to {high_}: {of.sum()}, stated {stated[of].mean():.1f}, spring error "
                  f"{np.abs(late[of]).mean():.1f}, nine in ten within {np.quantile(np.abs(late[of]), 0.9):.0f}")


def _frost(every: int) -> None:
    found = frost_months(every)
    print(f"\n| {len(found.region)} stations that count frost | "
          f"{' | '.join(f'{100 * a:g} to {100 * b:g} %' for a, b in zip(SHARES, SHARES[1:], strict=False))} |"
          f"\n|---{'|---' * (len(SHARES) - 1)}|")
    for group in ("all", "spring", "autumn", "above 1,000 m", *sorted(set(found.region))):
        of = {"all": np.ones_like(found.warming), "spring": found.warming, "autumn": ~found.warming,
              "above 1,000 m": (found.height_m > HIGH_M)[:, None]}.get(group, (found.region == group)[:, None])
        inside = [of & (found.promised >= low) & (found.promised < high) for low, high in
                  zip(SHARES, SHARES[1:], strict=False)]
        cells = [f"{100 * found.promised[k].mean():.1f} -> {100 * found.counted[k].mean():.1f} ({k.sum()})"
                 if k.any() else "-" for k in inside]
        print(f"| {group} | {' | '.join(cells)} |")


def main(every: int) -> None:
    places = published()
    _freezes(places, from_town, "a town alone")
    _freezes(places, bare, "twelve lows, days of frost near by")
    _freezes(places, lambda place: bare(place, frost=False), "twelve lows")
    _frost(every)


if __name__ == "__main__":
    main(int(sys.argv[1]) if len(sys.argv) > 1 else 4)
