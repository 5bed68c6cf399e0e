"""The blend of forecast and climate, and how it fades."""

from datetime import date, timedelta
from math import erfc, sqrt

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from invented import make_night_climate, make_site
from weather.garden import GLASS, LAWN, PLACES, PORCH, make_forecast

from seasonplan.climate.nights import night_chance
from seasonplan.dates import day_index
from seasonplan.model import Forecast, ForecastNight
from seasonplan.weather.outlook import coming_nights, outlook
from seasonplan.weather.skill import UNKNOWN_SKY_SD_C, error_sd_c

SITE = make_site()
CLIMATE = make_night_climate()
FIRST = date(2027, 6, 1)


def usual(night: date) -> tuple[float, float]:
    index = day_index(night + timedelta(days=1))
    return float(CLIMATE.mean_c[index]), float(CLIMATE.sd_c[index])


def test_without_a_forecast_the_chances_are_the_climates():
    found = outlook(CLIMATE, None, SITE, PLACES, (10.0,), FIRST, 5)
    chances = [night.chance_harm for night in found if night.place == "lawn"]
    index = [day_index(FIRST + timedelta(days=n + 1)) for n in range(5)]
    assert chances == pytest.approx(night_chance(CLIMATE, 10.0)[index], abs=1e-9)
    assert not any(night.from_forecast for night in found)


def test_there_is_one_curve_per_outdoor_place_and_threshold():
    found = outlook(CLIMATE, make_forecast(FIRST, [9.0] * 3), SITE, PLACES, (5.0, 10.0), FIRST)
    keys = [(night.place, night.threshold_c, night.night) for night in found]
    assert len(keys) == len(set(keys)) == 3 * 2 * 30
    assert {key[0] for key in keys} == {"porch", "cold frame", "lawn"}
    assert [night.from_forecast for night in found[:30]] == [True] * 3 + [False] * 27


def test_a_forecast_night_is_weighed_against_what_is_usual_for_the_date():
    """Worked by hand: the precision-weighted mean of two normals."""
    mean, sd = usual(FIRST)
    error = error_sd_c(0)
    coming = coming_nights(CLIMATE, make_forecast(FIRST, [4.0]), SITE, FIRST, 1)
    precision = 1 / sd**2 + 1 / error**2
    assert coming.sd_c[0] == pytest.approx(precision**-0.5)
    assert coming.mean_c[0] == pytest.approx((mean / sd**2 + 4.0 / error**2) / precision)


def test_the_forecasts_own_word_at_a_place_adds_everything_up():
    site = make_site(night_offset_c=-1.0)
    coming = coming_nights(CLIMATE, make_forecast(FIRST, [5.0], calm_clear=True), site, FIRST, 2)
    assert [coming.said_at_c(place)[0] for place in (LAWN, PORCH, GLASS)] == pytest.approx([2.0, 5.0, 12.0])
    assert coming.said_at_c(LAWN)[1] == coming.mean_c[1]


def test_the_nights_beyond_start_from_the_last_forecast_night_and_fade():
    coming = coming_nights(CLIMATE, make_forecast(FIRST, [2.0, 2.0]), SITE, FIRST, 30)
    below = np.array([usual(night)[0] for night in coming.nights]) - coming.mean_c
    assert below[1] > below[2] > below[4] > below[8] > 0
    assert below[2] == pytest.approx(0.7 * below[1], rel=0.05)
    assert abs(below[-1]) < 0.01 and coming.sd_c[-1] == pytest.approx(4.0, abs=0.001)
    assert (np.diff(coming.sd_c[1:]) > -1e-9).all()


def test_chances_beyond_follow_the_known_night_and_the_place():
    coming = coming_nights(CLIMATE, make_forecast(FIRST, [2.0]), SITE, FIRST, 4)
    mean, sd = coming.at(LAWN)
    by_hand = [0.5 * erfc((m - 8.0) / s / sqrt(2)) for m, s in zip(mean, sd, strict=True)]
    assert coming.chance(LAWN, 8.0) == pytest.approx(by_hand, abs=1e-6)
    assert coming.chance(PORCH, 9.0) == pytest.approx(by_hand, abs=1e-6)
    assert coming.chance(LAWN, 8.0)[1] > 2 * coming_nights(CLIMATE, None, SITE, FIRST, 4).chance(LAWN, 8.0)[1]


def test_a_gap_in_the_forecast_goes_on_from_the_night_before_it():
    nights = (ForecastNight(FIRST, 2.0, 0, False), ForecastNight(FIRST + timedelta(days=3), 12.0, 3, False))
    coming = coming_nights(CLIMATE, Forecast("x", None, nights, (), 250.0), SITE, FIRST, 6)
    assert [told is not None for told in coming.told] == [True, False, False, True, False, False]
    alone = coming_nights(CLIMATE, Forecast("x", None, nights[:1], (), 250.0), SITE, FIRST, 6)
    assert coming.mean_c[1:3] == pytest.approx(alone.mean_c[1:3])
    assert coming.mean_c[4] > alone.mean_c[4] + 1.0


def test_last_nights_forecast_still_tells_something_about_tonight():
    known = coming_nights(CLIMATE, make_forecast(FIRST - timedelta(days=1), [0.0]), SITE, FIRST, 3)
    assert known.told == (None, None, None) and known.mean_c[0] < usual(FIRST)[0] - 2.0


def test_nights_too_far_ahead_are_left_to_the_climate():
    far = Forecast("x", None, (ForecastNight(FIRST, 0.0, 40, False),), (), 250.0)
    assert coming_nights(CLIMATE, far, SITE, FIRST, 1).mean_c == pytest.approx([usual(FIRST)[0]])


def test_an_unknown_sky_widens_the_spread_in_the_open_and_shifts_nothing():
    known, unknown = (coming_nights(CLIMATE, make_forecast(FIRST, [9.0], sky), SITE, FIRST, 1) for sky in (False, None))
    assert unknown.at(LAWN)[0] == pytest.approx(known.at(LAWN)[0])
    assert unknown.at(LAWN)[1] ** 2 == pytest.approx(known.at(LAWN)[1] ** 2 + UNKNOWN_SKY_SD_C**2)
    assert unknown.at(PORCH)[1] == pytest.approx(known.at(PORCH)[1])


def test_chances_for_many_thresholds_are_those_of_each():
    coming = coming_nights(CLIMATE, make_forecast(FIRST, [9.0, 3.0], None), SITE, FIRST, 6)
    many = coming.chance(LAWN, np.array([0.0, 10.0]))
    assert many.shape == (2, 6)
    assert many[1] == pytest.approx(coming.chance(LAWN, 10.0))


def test_a_lopsided_climate_keeps_its_own_chances_far_ahead():
    skewed = make_night_climate()
    skewed.details["skew"] = np.full(365, -0.6)
    coming = coming_nights(skewed, make_forecast(FIRST, [2.0]), SITE, FIRST, 30)
    index = day_index(coming.nights[-1] + timedelta(days=1))
    assert coming.chance(LAWN, 12.0)[-1] == pytest.approx(night_chance(skewed, 12.0)[index], abs=1e-3)
    assert abs(night_chance(skewed, 12.0)[index] - night_chance(CLIMATE, 12.0)[index]) > 0.005


def test_a_leap_day_is_a_night_like_any_other():
    first = date(2028, 2, 27)
    coming = coming_nights(CLIMATE, make_forecast(first, [-3.0] * 4), SITE, first, 6)
    assert coming.nights[2] == date(2028, 2, 29) and np.isfinite(coming.chance(LAWN, -5.0)).all()


@given(low=st.floats(-30, 30), threshold=st.floats(-20, 20), start=st.dates(date(2026, 1, 1), date(2029, 12, 31)),
       sky=st.sampled_from([True, False, None]))
@settings(deadline=None, max_examples=60, derandomize=True)
def test_chances_stay_chances_and_rise_with_the_threshold(low, threshold, start, sky):
    coming = coming_nights(CLIMATE, make_forecast(start, [low, low + 1], sky), SITE, start, 8)
    lower, higher = coming.chance(LAWN, np.array([threshold, threshold + 2.0]))
    assert ((lower >= 0) & (higher <= 1) & (higher >= lower)).all()
    assert (coming.sd_c > 0).all() and (coming.sd_c <= 4.0 + 1e-9).all()
