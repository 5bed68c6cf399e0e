"""The estimated spread: its formula, and that its coefficients are what the months it was fitted to give."""

import numpy as np
import pytest
from truth.frost_days import NAMES, both, design, fit, frost_months, left_out, recorded_months

from seasonplan.climate.curves import month_curve
from seasonplan.climate.fitted import fitted
from seasonplan.climate.spread import drift_variance, estimated_sd, given_sd, recorded_sd
from seasonplan.dates import DAYS, month_means


@pytest.fixture(scope="module")
def months():
    return both(recorded_months(), frost_months())


def test_the_coefficients_are_those_of_the_fit(months):
    assert len(months.log_sd) > 5000
    assert np.allclose(fit(months), [fitted(name) for name in NAMES], rtol=0.01, atol=1e-4)


def test_the_error_stated_is_that_of_places_left_out(months):
    """Between that of a recorded place left out, with neighbours in the fit, and that of its region left out."""
    recorded = np.arange(len(months.log_sd)) < 21 * 12
    place = np.where(recorded, np.arange(len(months.log_sd)) // 12, -1).astype(str)
    errors = [np.sqrt(np.average(left_out(kind)[recorded] ** 2, weights=months.weight[recorded]))
              for kind in (months._replace(region=place), months)]
    assert errors[0] < fitted("sd_error") < errors[1] < fitted("sd_error") + 0.04


def test_height_makes_nights_more_alike_at_regions_left_out(months):
    flat = months._replace(design=np.where(np.array(NAMES) == "sd_height", 0.0, months.design))
    high = (months.height_m > 1500) & (months.height_m < 3000)
    with_it, without = (abs(np.average(left_out(kind)[high], weights=months.weight[high])) for kind in (months, flat))
    assert with_it < 0.06 and without > 0.18


@pytest.mark.parametrize("latitude, height_m, lows", [
    (40.4, 1029.0, np.array([-10.8, -9, -4.7, 0.1, 6.8, 12.4, 15.3, 14.2, 8.1, 1.3, -5.1, -9.9])),
    (-31.4, 4200.0, np.array([17.1, 16.4, 14.9, 11.4, 7.6, 4.2, 3.6, 5.1, 8, 11.6, 14.2, 16.3])),
    (52.0, -5.0, np.array([0.1, 0, 1.9, 4, 7.6, 10.5, 12.7, 12.4, 10, 6.8, 3.4, 1.2]))])
def test_the_formula(latitude, height_m, lows):
    likeliest = np.exp(design(lows, latitude, height_m) @ [fitted(name) for name in NAMES])
    assert np.allclose(estimated_sd(lows, latitude, height_m), likeliest)
    assert np.array_equal(estimated_sd(lows, -latitude, height_m), estimated_sd(lows, latitude, height_m))


@pytest.mark.parametrize("latitude,lows", [
    (0.0, np.full(12, 23.5)), (90.0, -20 + 17 * np.cos(np.arange(12))),
    (-16.5, np.r_[np.full(6, 4.0), np.full(6, -1.0)]),
    (25.0, 12 + 12 * np.cos(np.arange(12)))])
def test_estimates_stay_believable_at_odd_places(latitude, lows):
    for height_m in (-400.0, 0.0, 6000.0):
        found = estimated_sd(lows, latitude, height_m)
        assert np.all((found > 0.5) & (found < 12))


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
