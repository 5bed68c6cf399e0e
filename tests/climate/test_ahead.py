from dataclasses import replace
from datetime import date

import numpy as np
import pytest
from invented import make_normals, make_site

from seasonplan.climate.ahead import nights_ahead
from seasonplan.climate.nights import night_climate
from seasonplan.dates import DAYS, day_index

CLIMATE = night_climate(make_normals(), None, make_site())
START = date(2027, 5, 10)


def plain(lag=0.65):
    return replace(CLIMATE, lag1=np.full(DAYS, lag), details={})


def test_the_departure_halves_and_halves_again():
    climate, first = plain(0.5), day_index(START)
    low = climate.mean_c[first] - 2 * climate.sd_c[first]
    mean, sd = nights_ahead(climate, START, low, 0.0, 3)
    days = first + 1 + np.arange(3)
    assert np.allclose((mean - climate.mean_c[days]) / climate.sd_c[days], [-1.0, -0.5, -0.25])
    assert np.allclose(sd / climate.sd_c[days], np.sqrt(1 - np.array([0.25, 0.0625, 0.015625])))


def test_far_ahead_only_the_year_is_left():
    low = CLIMATE.mean_c[day_index(START)] - 10.0
    mean, sd = nights_ahead(CLIMATE, START, low, 0.0, 60)
    share, day = CLIMATE.details["year_share"][0], (day_index(START) + 60) % DAYS
    departure = -10.0 / CLIMATE.sd_c[day_index(START)]
    assert (mean[-1] - CLIMATE.mean_c[day]) / CLIMATE.sd_c[day] == pytest.approx(share * departure, abs=1e-6)
    assert sd[-1] == pytest.approx(CLIMATE.sd_c[day] * np.sqrt(1 - share**2))
    plain_mean, plain_sd = nights_ahead(plain(), START, low, 0.0, 60)
    assert plain_mean[-1] == pytest.approx(CLIMATE.mean_c[day]) and plain_sd[-1] == pytest.approx(CLIMATE.sd_c[day])


def test_the_first_night_has_the_climates_own_correlation():
    first = day_index(START)
    low = CLIMATE.mean_c[first] + CLIMATE.sd_c[first]
    mean, _ = nights_ahead(CLIMATE, START, low, 0.0, 1)
    assert (mean[0] - CLIMATE.mean_c[first + 1]) / CLIMATE.sd_c[first + 1] == pytest.approx(CLIMATE.lag1[first + 1])


def test_an_unsure_start_leaves_the_next_nights_less_sure():
    sure, unsure = (nights_ahead(CLIMATE, START, 3.0, error, 5) for error in (0.0, 2.0))
    assert np.array_equal(sure[0], unsure[0]) and np.all(unsure[1] > sure[1])
    first = day_index(START)
    passed_on = CLIMATE.lag1[first + 1] * 2.0 * CLIMATE.sd_c[first + 1] / CLIMATE.sd_c[first]
    assert unsure[1][0] ** 2 - sure[1][0] ** 2 == pytest.approx(passed_on**2)


def test_many_starts_at_once_and_new_year():
    lows, errors = np.array([[0.0, 5.0], [9.0, -4.0]]), np.array([[0.0, 1.0], [2.0, 3.0]])
    mean, sd = nights_ahead(CLIMATE, date(2027, 12, 28), lows, errors, 7)
    assert mean.shape == sd.shape == (2, 2, 7)
    alone = nights_ahead(CLIMATE, date(2027, 12, 28), -4.0, 3.0, 7)
    assert np.allclose(mean[1, 1], alone[0]) and np.allclose(sd[1, 1], alone[1])
    assert nights_ahead(CLIMATE, START, 1.0, 0.0, 0)[0].shape == (0,)
