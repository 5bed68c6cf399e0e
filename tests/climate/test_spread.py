"""The estimated spread: its formula, and that its coefficients are what the months it was fitted to give."""

import csv
from pathlib import Path

import numpy as np
import pytest

from seasonplan.climate.curves import month_curve
from seasonplan.climate.fitted import fitted
from seasonplan.climate.spread import drift_variance, estimated_sd, given_sd, recorded_sd
from seasonplan.dates import DAYS, month_means

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


MEAN_C = 5.0 - 9.0 * np.cos(2 * np.pi * (np.arange(DAYS) - 20) / DAYS)
"""A year of night lows that warms and cools by 5 °C in its steepest months."""
SD_C = np.array([4.5, 4.4, 4.2, 4.0, 3.8, 3.6, 3.4, 3.4, 3.6, 3.9, 4.2, 4.4])


@pytest.mark.parametrize("kind, printed", [
    ("about-daily-mean", SD_C),
    ("all-nights", np.sqrt(SD_C**2 + drift_variance(MEAN_C))),
    ("within-month", np.sqrt(fitted("within_month_share") * SD_C**2 + drift_variance(MEAN_C)))])
def test_a_sd_of_a_declared_kind_is_that_about_the_date(kind, printed):
    assert np.allclose(month_means(given_sd(MEAN_C, printed, kind)), SD_C, rtol=1e-9)


def test_drift_is_taken_out_only_of_the_kind_that_has_it():
    plain, all_nights, within, unsaid = (month_means(given_sd(MEAN_C, SD_C, kind))
                                         for kind in ("about-daily-mean", "all-nights", "within-month", ""))
    assert np.allclose(plain, SD_C) and np.all(all_nights < plain)
    assert np.all((unsaid < plain) & (unsaid > all_nights))
    assert np.allclose(within * np.sqrt(fitted("within_month_share")), all_nights)
    assert all_nights[3] < plain[3] - 0.2 and all_nights[0] > plain[0] - 0.05


def test_a_sd_smaller_than_the_months_drift_is_not_taken_to_nothing():
    found = given_sd(MEAN_C, np.full(12, 0.8), "all-nights")
    assert np.all(found > 0.8 * np.sqrt(0.3) / 2) and np.all(np.isfinite(found))


def test_daily_values_of_a_monthly_kind_are_taken_by_the_month():
    steps = SD_C[np.minimum(np.arange(DAYS) // 31, 11)]
    by_month = given_sd(MEAN_C, np.sqrt(month_means(steps**2)), "all-nights")
    assert np.allclose(given_sd(MEAN_C, steps, "all-nights"), by_month)
    assert np.allclose(given_sd(MEAN_C, steps, "about-daily-mean"), given_sd(MEAN_C, steps))
