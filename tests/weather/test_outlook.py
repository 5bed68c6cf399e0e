"""The blend of forecast and climate, and how it fades."""

from dataclasses import replace
from datetime import date, timedelta
from math import erfc, hypot, sqrt

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from invented import make_night_climate, make_site
from weather.garden import GLASS, LAWN, PLACES, PORCH, make_forecast

from seasonplan.climate.process import night_chance
from seasonplan.dates import day_index
from seasonplan.model import Forecast, ForecastNight
from seasonplan.weather.lesson import UNTAUGHT_BIAS_SD_C, Lesson
from seasonplan.weather.outlook import ComingNights, coming_nights, curves
from seasonplan.weather.skill import error_sd_c

SITE = make_site()
CLIMATE = make_night_climate()
FIRST = date(2027, 6, 1)


def coming(forecast, nights, first=FIRST, site=SITE, climate=CLIMATE, lessons=None) -> ComingNights:
    return coming_nights(climate, forecast, site, PLACES, first, nights, lessons)


SURE = {place.name: Lesson(bias_sd_c=(0.0,)) for place in PLACES}
"""No bias left to be unsure of."""


def chance(found: ComingNights, place, level_c) -> np.ndarray:
    """(n,) at a place."""
    return found.chance(np.array([found.rows[place.name]])[:, None], level_c)[0]


def mean_sd(found: ComingNights, place=LAWN) -> tuple[np.ndarray, np.ndarray]:
    row = found.rows[place.name]
    return found.lows.mean_c[row], found.lows.below_c[row]


def usual(night: date) -> tuple[float, float]:
    index = day_index(night + timedelta(days=1))
    return float(CLIMATE.mean_c[index]), float(CLIMATE.sd_c[index])


def test_without_a_forecast_the_chances_are_the_climates():
    """Under a roof, where the sky has no say."""
    found = coming(None, 5)
    index = [day_index(FIRST + timedelta(days=n + 1)) for n in range(5)]
    assert chance(found, PORCH, 11.0) == pytest.approx(night_chance(CLIMATE, 10.0)[index], abs=1e-9)


def test_in_the_open_the_usual_share_of_clear_nights_is_colder():
    found = coming(None, 5)
    index = [day_index(FIRST + timedelta(days=n + 1)) for n in range(5)]
    mixed = 0.85 * night_chance(CLIMATE, 10.0)[index] + 0.15 * night_chance(CLIMATE, 12.0)[index]
    assert chance(found, LAWN, 10.0) == pytest.approx(mixed, abs=1e-9)


def test_there_is_one_curve_per_outdoor_place_and_threshold():
    found = curves(coming(make_forecast(FIRST, [9.0] * 3), 30), (5.0, 10.0))
    keys = [(night.place, night.threshold_c, night.night) for night in found]
    assert len(keys) == len(set(keys)) == 3 * 2 * 30
    assert {key[0] for key in keys} == {"porch", "cold frame", "lawn"}
    assert [night.from_forecast for night in found[:30]] == [True] * 3 + [False] * 27
    assert all(0 <= night.chance_frost <= night.chance_harm <= 1 for night in found)


def test_a_forecast_night_is_weighed_against_what_is_usual_for_the_date():
    """Worked by hand: the precision-weighted mean of two normals."""
    mean, sd = usual(FIRST)
    found, spread = mean_sd(coming(make_forecast(FIRST, [4.0]), 1, lessons=SURE))
    precision = 1 / sd**2 + 1 / error_sd_c(0)**2
    assert spread[0] == pytest.approx(precision**-0.5)
    assert found[0] == pytest.approx((mean / sd**2 + 4.0 / error_sd_c(0)**2) / precision)


def banded(low_c, p10_c, p90_c, **forecast):
    night = replace(make_forecast(FIRST, [low_c]).nights[0], p10_c=p10_c, p90_c=p90_c)
    return replace(make_forecast(FIRST, [low_c]), nights=(night,), **forecast)


def test_an_ensemble_speaks_for_itself():
    """However odd for the season, and lopsided as it is; only what its members do not differ in is added."""
    found = coming(banded(4.0, 2.0, 5.0, ensemble=True), 1, lessons=SURE)
    below, above = (hypot(side / 1.2816, 0.8) * 1.2816 for side in (2.0, 1.0))
    assert [chance(found, PORCH, level + 1.0)[0] for level in (4.0 - below, 4.0, 4.0 + above)] == \
        pytest.approx([0.1, 0.5, 0.9], abs=1e-4)


def test_an_untaught_source_may_be_off_by_some_bias():
    plain, sure = (mean_sd(coming(make_forecast(FIRST, [4.0]), 1, lessons=taught)) for taught in (None, SURE))
    assert plain[0][0] == sure[0][0] and plain[1][0] == pytest.approx(hypot(sure[1][0], UNTAUGHT_BIAS_SD_C))


def test_percentiles_of_a_table_say_how_large_the_error_is_and_the_climate_is_weighed_in():
    mean, sd = usual(FIRST)
    found, spread = mean_sd(coming(banded(4.0, 4.0 - 1.2816 * 2, 4.0 + 1.2816 * 2), 1, lessons=SURE))
    assert spread[0] == pytest.approx((1 / sd**2 + 1 / 4.0)**-0.5)
    assert found[0] == pytest.approx((mean / sd**2 + 4.0 / 4.0) * spread[0]**2)


def test_a_low_outside_its_own_band_keeps_the_bands_width():
    found = coming(banded(8.0, 2.0, 5.0, ensemble=True), 1)
    assert chance(found, PORCH, 9.0)[0] == pytest.approx(0.5) and 0.1 < chance(found, PORCH, 8.0)[0] < 0.5


def test_the_forecasts_own_word_at_a_place_adds_everything_up():
    site = make_site(night_offset_c=-1.0)
    found = coming(make_forecast(FIRST, [5.0], calm_clear=True), 2, site=site)
    assert [found.low_c(place)[0] for place in (LAWN, PORCH, GLASS)] == pytest.approx([2.0, 5.0, 12.0])
    assert found.low_c(LAWN)[1] == pytest.approx(mean_sd(found)[0][1] - 0.15 * 2.0)


def test_what_readings_taught_moves_and_widens_the_forecast_at_their_place():
    taught = coming(make_forecast(FIRST, [5.0]), 1, lessons={"porch": Lesson((-1.5,), (0.2,), (1.5,), 30)})
    plain = coming(make_forecast(FIRST, [5.0]), 1)
    assert taught.low_c(PORCH)[0] == pytest.approx(4.5) and taught.low_c(LAWN)[0] == plain.low_c(LAWN)[0] == 5.0
    assert mean_sd(taught, PORCH)[0][0] < mean_sd(plain, PORCH)[0][0]
    assert mean_sd(taught, PORCH)[1][0] > 1.2 * mean_sd(plain, PORCH)[1][0]
    assert mean_sd(taught)[1][0] == mean_sd(plain)[1][0]


def test_the_nights_beyond_start_from_the_last_forecast_night_and_fade():
    found = coming(make_forecast(FIRST, [2.0, 2.0]), 30)
    mean, sd = mean_sd(found)
    below = np.array([usual(night)[0] for night in found.nights]) - mean
    assert below[1] > below[2] > below[4] > below[8] > 0
    assert below[2] == pytest.approx(0.7 * below[1], rel=0.05)
    assert abs(below[-1]) < 0.01 and sd[-1] == pytest.approx(4.0, abs=0.001)
    assert (np.diff(sd[1:]) > -1e-9).all()


def test_chances_beyond_follow_the_known_night_and_the_place():
    found = coming(make_forecast(FIRST, [2.0]), 4)
    mean, sd = mean_sd(found)
    by_hand = [0.5 * erfc((m - 8.0) / s / sqrt(2)) for m, s in zip(mean, sd, strict=True)]
    assert chance(found, PORCH, 9.0) == pytest.approx(by_hand, abs=1e-6)
    assert chance(found, PORCH, 9.0)[1] > 2 * chance(coming(None, 4), PORCH, 9.0)[1]


def test_a_gap_in_the_forecast_goes_on_from_the_night_before_it():
    nights = (ForecastNight(FIRST, 2.0, 0, False), ForecastNight(FIRST + timedelta(days=3), 12.0, 3, False))
    found = coming(Forecast("x", None, nights, (), 250.0), 6)
    assert [told is not None for told in found.told] == [True, False, False, True, False, False]
    alone = coming(Forecast("x", None, nights[:1], (), 250.0), 6)
    assert mean_sd(found)[0][1:3] == pytest.approx(mean_sd(alone)[0][1:3])
    assert mean_sd(found)[0][4] > mean_sd(alone)[0][4] + 1.0


def test_last_nights_forecast_still_tells_something_about_tonight():
    known = coming(make_forecast(FIRST - timedelta(days=1), [0.0]), 3)
    assert known.told == (None, None, None) and mean_sd(known)[0][0] < usual(FIRST)[0] - 2.0


def test_nights_too_far_ahead_are_left_to_the_climate():
    far = Forecast("x", None, (ForecastNight(FIRST, 0.0, 40, False),), (), 250.0)
    assert mean_sd(coming(far, 1))[0] == pytest.approx([usual(FIRST)[0]])


def test_a_lopsided_climate_keeps_its_own_chances_far_ahead():
    skewed = make_night_climate()
    skewed.details["skew"] = np.full(365, -0.6)
    found = coming(make_forecast(FIRST, [2.0]), 30, climate=skewed)
    index = day_index(found.nights[-1] + timedelta(days=1))
    assert chance(found, PORCH, 13.0)[-1] == pytest.approx(night_chance(skewed, 12.0)[index], abs=1e-3)
    assert abs(night_chance(skewed, 12.0)[index] - night_chance(CLIMATE, 12.0)[index]) > 0.005


def test_a_leap_day_is_a_night_like_any_other():
    first = date(2028, 2, 27)
    found = coming(make_forecast(first, [-3.0] * 4), 6, first)
    assert found.nights[2] == date(2028, 2, 29) and np.isfinite(chance(found, LAWN, -5.0)).all()


@given(low=st.floats(-30, 30), threshold=st.floats(-20, 20), start=st.dates(date(2026, 1, 1), date(2029, 12, 31)),
       sky=st.sampled_from([True, False, None]))
@settings(deadline=None, max_examples=60, derandomize=True)
def test_chances_stay_chances_and_rise_with_the_threshold(low, threshold, start, sky):
    found = coming(make_forecast(start, [low, low + 1], sky), 8, start)
    rows = np.array([[found.rows["lawn"]]])
    lower, higher = found.chance(rows, np.array([[threshold], [threshold + 2.0]]))
    assert ((lower >= 0) & (higher <= 1) & (higher >= lower)).all()
    sooner, later = found.acting(rows, np.array([[threshold], [threshold + 2.0]]), 1 / 21)
    assert ((sooner >= 0) & (later <= 1) & (later >= sooner)).all()
    sd = mean_sd(found)[1]
    assert (sd > 0).all() and (sd <= 4.0 + 1e-9).all()
