"""Published medians of the last freeze of spring at 104 stations, met from twelve bare monthly lows.

Source: NOAA National Centers for Environmental Information, U.S. Climate Normals 1981-2010, product
ANN-TMIN-PRBLST-T32FP50 (the date after which half of the years still have 32 °F or less) for the cooperative stations
of Idaho, Georgia and Iowa that have monthly normals too; lows in °C, medians month/day. These dates had no part in
fitting the estimated sd; US days of frost had, and without them its term for height is the same to a seventh.
Idaho is mountains (33 stations above 1,000 m), Iowa a plain, Georgia the subtropics.
"""

import csv
from datetime import date
from pathlib import Path

import numpy as np
import pytest

from seasonplan.atlas.frost import near_frost
from seasonplan.climate.crossings import spring_index
from seasonplan.climate.fitted import fitted
from seasonplan.climate.nights import night_climate
from seasonplan.climate.passage import many_night_tables
from seasonplan.climate.spread import estimated_sd
from seasonplan.dates import day_index
from seasonplan.model import Normals, Site
from seasonplan.units import fahrenheit_to_c

FREEZING_C = fahrenheit_to_c(32.5)
"""Read in whole °F, 32 is any low below 32.5."""
HIGH_M = 1000.0
OWN_KM = 15.0
"""Stations so near are left out: they may be the same one."""
HIGH_MAE_DAYS, ALL_MAE_DAYS, BIAS_DAYS = 4.0, 4.5, 2.5
"""The project asks for 6 days above 1,000 m, 7 from twelve bare numbers, and a bias of 2.5."""


def stations():
    with open(Path(__file__).parent / "last_freezes.csv", encoding="utf-8") as file:
        return list(csv.DictReader(file))


def climate_at(row, height_m, frost=False):
    lows = np.array([float(row[f"tmin_{month}_c"]) for month in range(1, 13)])
    where = float(row["latitude_deg"]), float(row["longitude_deg"]), height_m
    normals = Normals(lows, near_frost=near_frost(*where, nearer_km=OWN_KM) if frost else None)
    return night_climate(normals, None, Site(row["station"], *where))


def errors(rows, at_height=lambda row: float(row["height_m"]), frost=False):
    climates = [climate_at(row, at_height(row), frost) for row in rows]
    tables = many_night_tables(climates, [np.array([FREEZING_C])] * len(rows))
    published = [day_index(date(2001, *map(int, row["last_freeze_median"].split("/")))) for row in rows]
    return np.array([spring_index(table, 0, 50) for table in tables]) - published


def test_last_freezes_of_all():
    found = errors(stations())
    assert len(found) == 104 and np.mean(np.abs(found)) <= ALL_MAE_DAYS and abs(found.mean()) <= BIAS_DAYS


def test_last_freezes_in_the_mountains():
    high = [row for row in stations() if float(row["height_m"]) > HIGH_M]
    found, as_if_low = errors(high), errors(high, at_height=lambda row: 0.0)
    assert len(high) == 33 and np.mean(np.abs(found)) <= HIGH_MAE_DAYS and abs(found.mean()) <= BIAS_DAYS
    assert as_if_low.mean() > 5.0, "without its height a mountain's dates are late"


def test_last_freezes_as_a_person_gets_them_with_days_of_frost_near_by():
    found = errors(stations(), frost=True)
    high = found[[float(row["height_m"]) > HIGH_M for row in stations()]]
    assert np.mean(np.abs(found)) <= ALL_MAE_DAYS and abs(found.mean()) <= BIAS_DAYS
    assert np.mean(np.abs(high)) <= HIGH_MAE_DAYS and abs(high.mean()) <= BIAS_DAYS


def test_a_station_is_known_by_its_own_height():
    row = max(stations(), key=lambda row: float(row["height_m"]))
    lows = np.array([float(row[f"tmin_{month}_c"]) for month in range(1, 13)])
    latitude, height = float(row["latitude_deg"]), float(row["height_m"])
    below = night_climate(Normals(lows), None, Site("valley", latitude, 0.0, 300.0, station_elevation_m=height))
    at_it = night_climate(Normals(lows), None, Site("station", latitude, 0.0, height))
    assert np.array_equal(below.sd_c, at_it.sd_c)
    widened = np.exp(fitted("sd_error") ** 2 / 2) * estimated_sd(lows, latitude, height)
    assert at_it.sd_c.mean() == pytest.approx(widened.mean(), rel=0.01)
