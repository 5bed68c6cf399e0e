"""The spread of nights from days of frost, on invented stations whose spread is known."""

import numpy as np
import pytest

from seasonplan.climate.curves import year_curve
from seasonplan.climate.frost import spread_factor, told_logs
from seasonplan.climate.nights import night_climate
from seasonplan.climate.process import night_chance, with_spread
from seasonplan.climate.spread import estimated_sd
from seasonplan.dates import DAYS, month_means
from seasonplan.model import NearFrost, NightClimate, Normals, Site

LOWS_C = 8.0 - 9.0 * np.cos(2 * np.pi * (np.arange(12) - 0.5) / 12)
LATITUDE, HEIGHT_M = 48.0, 700.0
TEN = 10.0
"""Weight of ten stations on the spot."""
MODEL_C = 0.03
"""Largest difference in log sd between the day-by-day model and one value a month."""


def frost_of(factor: float, weight: float = 1.0, latitude: float = LATITUDE) -> NearFrost:
    """A station whose nights vary `factor` times as much as estimated, its frost counted day by day by the model."""
    mean = year_curve(LOWS_C)
    bare = NightClimate(mean, np.ones(DAYS), np.full(DAYS, 0.65), int(mean.argmax()), int(mean.argmin()), "normals",
                        "assumed", {"excess_kurtosis": -0.1})
    climate = with_spread(bare, year_curve(estimated_sd(month_means(mean), latitude, HEIGHT_M)) * factor, latitude)
    return NearFrost(LOWS_C[None], month_means(night_chance(climate, 0.0))[None], np.array([latitude]),
                     np.array([HEIGHT_M]), np.array([weight]))


@pytest.mark.parametrize("factor", [0.8, 1.0, 1.3])
@pytest.mark.parametrize("latitude", [LATITUDE, -LATITUDE])
def test_frost_tells_the_spread_that_made_it(factor, latitude):
    told = told_logs(frost_of(factor, latitude=latitude))
    known = told[~np.isnan(told)]
    assert 2 <= len(known) <= 8 and known == pytest.approx(np.full(len(known), np.log(factor)), abs=MODEL_C)


def test_months_without_frost_or_full_of_it_tell_nothing():
    told = told_logs(frost_of(1.0))[0]
    assert np.isnan(told[5:8]).all() and np.isnan(told[LOWS_C < 1.0]).all()


def test_the_factor_is_carried_to_months_alike_and_fades_to_none_in_summer():
    factor, known = spread_factor(LOWS_C, frost_of(1.4, weight=TEN))
    assert known > 0.5 and factor[3] > 1.15 and 1.0 < factor[6] < 1.05
    assert factor.max() < 1.4
    far, less = spread_factor(LOWS_C, frost_of(1.4, weight=0.05))
    assert less < 0.3 * known and far.max() < factor.max()


def test_a_station_without_frost_changes_nothing():
    warm = NearFrost(LOWS_C[None] + 25, np.zeros((1, 12)), np.array([10.0]), np.zeros(1), np.ones(1))
    factor, known = spread_factor(LOWS_C, warm)
    assert known == 0.0 and np.all(factor == 1.0)


def test_only_an_estimated_spread_is_put_right():
    site, near = Site("yard", LATITUDE, 9.0, HEIGHT_M), frost_of(1.4, weight=TEN)
    plain, right = (night_climate(Normals(LOWS_C, near_frost=one), None, site) for one in (None, near))
    assert right.sd_c[100] > 1.15 * plain.sd_c[100] and right.sd_source == plain.sd_source == "assumed"
    assert "days of frost near by" in right.notes[0] and "days of frost" not in plain.notes[0]
    assert right.details["sd_error"] < plain.details["sd_error"]
    given = [night_climate(Normals(LOWS_C, np.full(12, 4.0), near_frost=one), None, site) for one in (None, near)]
    assert np.array_equal(given[0].sd_c, given[1].sd_c)


def test_december_is_next_to_january():
    near = frost_of(1.4, weight=TEN)
    only = np.zeros((1, 12))
    only[0, 11] = 0.2                                                  # frost in December alone, nights of 4 °C
    factor, _ = spread_factor(LOWS_C, near._replace(low_c=np.full((1, 12), 4.0), share=only))
    changed = np.abs(np.log(factor))
    assert changed[0] > changed[1] > changed[2] and changed[0] > 2 * changed[2] > 0


def test_frost_tells_less_of_months_much_warmer_than_its_own():
    near = frost_of(1.4, weight=TEN)
    same, warmer = (np.abs(np.log(spread_factor(LOWS_C + by, near)[0])).max() for by in (0.0, 16.0))
    assert warmer < 0.3 * same
