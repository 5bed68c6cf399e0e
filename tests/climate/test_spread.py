"""The estimated spread: its formula, and that its coefficients are what the months it was fitted to give."""

import csv
from pathlib import Path

import numpy as np
import pytest

from seasonplan.climate.curves import month_curve
from seasonplan.climate.fitted import fitted
from seasonplan.climate.spread import drift_variance, estimated_sd, recorded_sd
from seasonplan.dates import DAYS

MONTHS = Path(__file__).parent.parent / "truth" / "night_sd_months.csv"
NAMES = ("sd_constant", "sd_log_range", "sd_mean", "sd_warm", "sd_latitude")
FULL_WEIGHT_YEARS = 20.0


def places():
    with open(MONTHS, encoding="utf-8") as file:
        rows = list(csv.DictReader(file))
    for name in dict.fromkeys(row["station"] for row in rows):
        mine = [row for row in rows if row["station"] == name]
        yield (float(mine[0]["latitude_deg"]), min(float(mine[0]["years"]), FULL_WEIGHT_YEARS) / FULL_WEIGHT_YEARS,
               *(np.array([float(row[column]) for row in mine]) for column in ("tmin_c", "tmin_sd_c")))


def design(latitude, lows):
    warm = 3 * np.log1p(np.exp((lows - 14) / 3))
    return np.stack([np.ones(12), np.full(12, np.log(np.ptp(lows))), lows, warm, np.full(12, abs(latitude))], axis=1)


def fit(chosen):
    left = np.concatenate([np.sqrt(w) * design(lat, lows) for lat, w, lows, _ in chosen])
    right = np.concatenate([np.sqrt(w) * np.log(sd) for _, w, _, sd in chosen])
    return np.linalg.lstsq(left, right, rcond=None)[0]


def test_the_coefficients_are_those_of_the_fit():
    assert np.allclose(fit(list(places())), [fitted(name) for name in NAMES], rtol=0.01, atol=1e-4)


def test_the_error_stated_is_that_of_places_left_out():
    every, squares, weights = list(places()), 0.0, 0.0
    assert len(every) == 21
    for n, (latitude, weight, lows, sd) in enumerate(every):
        error = design(latitude, lows) @ fit(every[:n] + every[n + 1:]) - np.log(sd)
        squares, weights = squares + weight * np.mean(error**2), weights + weight
    assert np.sqrt(squares / weights) == pytest.approx(fitted("sd_error"), abs=0.01)


def test_the_formula():
    for latitude, _, lows, _ in places():
        assert np.allclose(estimated_sd(lows, latitude), np.exp(design(latitude, lows) @ [fitted(n) for n in NAMES]))
        assert np.array_equal(estimated_sd(lows, -latitude), estimated_sd(lows, latitude))


@pytest.mark.parametrize("latitude,lows", [
    (0.0, np.full(12, 23.5)), (90.0, -20 + 17 * np.cos(np.arange(12))),
    (-16.5, np.r_[np.full(6, 4.0), np.full(6, -1.0)]),
    (25.0, 12 + 12 * np.cos(np.arange(12)))])
def test_estimates_stay_believable_at_odd_places(latitude, lows):
    assert np.all((estimated_sd(lows, latitude) > 0.5) & (estimated_sd(lows, latitude) < 12))


def test_drift_of_a_straight_climb():
    climb = np.arange(DAYS) * 0.2
    assert drift_variance(climb)[0] == pytest.approx(0.04 * (31**2 - 1) / 12)
    assert np.all(drift_variance(np.ones(DAYS)) < 1e-12)


def test_recorded_spread_of_invented_years():
    rng = np.random.default_rng(8)
    usual, spread = month_curve(np.arange(12.0)), 2 + np.cos(2 * np.pi * np.arange(DAYS) / DAYS)
    lows = usual + spread * rng.normal(0, 1, (60, DAYS))
    lows[:, 40:50] = np.nan
    assert np.max(np.abs(recorded_sd(lows, usual + 1.5) - spread)) < 0.25
