"""Light from day and night temperatures against measured and typical years, each station left out of the fit.

light_from_temperatures.csv holds monthly means of the daily low and high [°C] and of global radiation [MJ m-2 d-1] of
18 stations, worked out from files that ship with packages of the Python registry (its last column names them): typical
years of four makers and the daily measurements of Wageningen, 1976 to 1999. Formula: FAO-56 eq. 50 with a coefficient
by latitude and a least span (seasonplan.sky.radiation). The half-year from April to September counts, on the southern
half from October to March. Typical years are patched from months of different years, so that a single month can be odd.
"""

import csv
from pathlib import Path

import numpy as np
import pytest

from seasonplan.dates import month_means
from seasonplan.model import Normals, Site
from seasonplan.sky import radiation
from seasonplan.sky.meansky import YEAR_DAYS, monthly_global_mj

MEAN_TOLERANCE, STATION_TOLERANCE = 0.15, 0.25
"""Asked for: the mean over all months of the half-year; the worst station's half-year."""
FITTED_WITHIN = 0.01


def stations():
    with open(Path(__file__).with_suffix(".csv").with_name("light_from_temperatures.csv"), encoding="utf-8") as text:
        for row in csv.DictReader(text):
            months = {name: np.array([float(row[f"{name}{m}"]) for m in range(1, 13)])
                      for name in ("tmin", "tmax", "ghi")}
            yield row["station"], float(row["latitude"]), months


STATIONS = list(stations())
WARM = {True: np.arange(3, 9), False: np.array([9, 10, 11, 0, 1, 2])}


def logs(latitude, months):
    """Per month of the half-year: (1, latitude^2) and the logarithm of clearness over the root of the span."""
    warm = WARM[latitude >= 0]
    above = month_means(radiation.extraterrestrial_mj(latitude, YEAR_DAYS))
    span = np.maximum(months["tmax"] - months["tmin"], radiation.LEAST_SPAN_C)
    return np.array([[1.0, latitude**2]] * 6), np.log(months["ghi"] / above / np.sqrt(span))[warm]


def fitted(rows):
    """Coefficient at the equator and its decay [degrees] of a least-squares fit."""
    known = [logs(latitude, months) for _, latitude, months in rows]
    (height, slope), *_ = np.linalg.lstsq(np.concatenate([x for x, _ in known]), np.concatenate([y for _, y in known]))
    return np.exp(height), np.sqrt(-1 / slope)


def test_the_settings_are_the_fit_to_all_stations():
    equator, decay = fitted(STATIONS)
    assert equator == pytest.approx(radiation.KRS_EQUATOR, rel=FITTED_WITHIN)
    assert decay == pytest.approx(radiation.KRS_DECAY_DEG, rel=FITTED_WITHIN)


def test_a_station_left_out_is_met_within_what_was_asked_for():
    each = []
    for left_out in STATIONS:
        equator, decay = fitted([station for station in STATIONS if station is not left_out])
        _, latitude, months = left_out
        x, measured = logs(latitude, months)
        each.append(equator * np.exp(-x[:, 1] / decay**2) / np.exp(measured) - 1)
    assert np.abs(each).mean() < MEAN_TOLERANCE
    assert np.abs(np.mean(each, axis=1)).max() < STATION_TOLERANCE


@pytest.mark.parametrize(("name", "latitude", "months"), STATIONS, ids=[name for name, *_ in STATIONS])
def test_the_plan_works_out_the_light_of_every_station_so(name, latitude, months):
    light, source, note = monthly_global_mj(Site(name, latitude, 0.0), Normals(months["tmin"], tmax_c=months["tmax"]))
    off = (light / months["ghi"] - 1)[WARM[latitude >= 0]]
    assert source == "temperatures" and "quarter" in note
    assert abs(off.mean()) < STATION_TOLERANCE
