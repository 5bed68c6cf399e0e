"""The mean of each month's lowest night: against order statistics, against drawn years, and back to the sd."""

import re
from dataclasses import replace

import numpy as np
import pytest
from invented import COLD_TOWN_SD_C, COLD_TOWN_TMIN_C, make_normals, make_site
from scipy.integrate import quad
from scipy.stats import norm

from seasonplan.climate.crossings import spring_index
from seasonplan.climate.curves import month_curve
from seasonplan.climate.fitted import fitted
from seasonplan.climate.lowest import both_told, mean_lowest, sd_from_lowest, smooth_sd
from seasonplan.climate.nights import night_climate
from seasonplan.climate.passage import night_tables
from seasonplan.climate.process import with_spread
from seasonplan.dates import DAYS, MONTH_LENGTHS, month_means
from seasonplan.model import NightClimate

LOWEST_OF_THIRTY = 2.0428
"""Mean depth of the lowest of thirty independent standard normals. H. L. Harter 1961, Biometrika 48:151 (memory)."""


def climate(mean_c=COLD_TOWN_TMIN_C, sd_c=COLD_TOWN_SD_C, **kwargs):
    return night_climate(make_normals(tmin_c=mean_c, tmin_sd_c=sd_c, sd_kind="about-daily-mean"), None,
                         make_site(**kwargs))


def told(lowest_c, sd_c=None, **kwargs):
    return night_climate(make_normals(tmin_sd_c=sd_c, tmin_lowest_c=np.asarray(lowest_c), **kwargs), None, make_site())


def test_independent_nights_are_order_statistics():
    flat = NightClimate(np.full(DAYS, 8.0), np.full(DAYS, 3.0), np.zeros(DAYS), 200, 20, "normals", "normals")
    depth = (8.0 - mean_lowest(flat)) / 3.0
    for month, nights in enumerate(MONTH_LENGTHS):
        exact = quad(lambda x, n=nights: x * n * norm.pdf(x) * norm.cdf(x) ** (n - 1), -9, 9)[0]
        assert depth[month] == pytest.approx(exact, abs=2e-3)
    assert depth[3] == pytest.approx(LOWEST_OF_THIRTY, abs=2e-3)


@pytest.mark.parametrize("lag, share", [(0.65, 0.05), (0.8, 0.0), (0.3, 0.2)])
def test_correlated_nights_of_drifting_months_are_those_of_drawn_years(lag, share):
    town = replace(climate(), lag1=np.full(DAYS, lag))
    town = replace(town, details={"year_share": np.full(DAYS, share)})
    rng, years = np.random.default_rng(5), 40_000
    fast = (lag - share) / (1 - share)
    own, found = rng.normal(size=years), mean_lowest(town)
    for month, first in ((3, 90), (6, 181)):
        state, lowest = rng.normal(size=years), np.full(years, np.inf)
        for day in range(first, first + MONTH_LENGTHS[month]):
            state = fast * state + np.sqrt(1 - fast**2) * rng.normal(size=years)
            night = town.mean_c[day] + town.sd_c[day] * (np.sqrt(share) * own + np.sqrt(1 - share) * state)
            lowest = np.minimum(lowest, night)
        assert found[month] == pytest.approx(lowest.mean(), abs=4 * lowest.std() / np.sqrt(years) + 0.01)


def test_the_sd_found_gives_the_lowest_nights_back():
    town = climate()
    lowest = mean_lowest(town)
    sd_c = sd_from_lowest(lowest, lambda sd_c: with_spread(town, sd_c, 45.0))
    assert np.max(np.abs(sd_c / COLD_TOWN_SD_C - 1)) < 0.005
    assert np.max(np.abs(mean_lowest(with_spread(town, month_curve(sd_c), 45.0)) - lowest)) < 0.01


@pytest.mark.parametrize("depth_c", [0.4, 2.0, 30.0])
def test_any_depth_gives_a_sd(depth_c):
    found = told(COLD_TOWN_TMIN_C - depth_c)
    assert np.all((found.sd_c > 0.05) & (found.sd_c <= 25.0))


def test_a_depth_beyond_belief_is_held_at_the_believable_sd():
    town = climate()
    for depth_c, held in ((90.0, 20.0), (0.01, 0.2)):
        found = sd_from_lowest(COLD_TOWN_TMIN_C - depth_c, lambda sd_c: with_spread(town, sd_c, 45.0))
        assert np.allclose(found, held)


def test_lowest_nights_alone_make_the_climate():
    lowest = mean_lowest(climate())
    found = told(lowest)
    assert found.sd_source == "lowest" and found.notes == ()
    assert np.max(np.abs(mean_lowest(found) - lowest)) < 0.15
    colder = told(lowest - 1.0)
    assert np.all(colder.sd_c > found.sd_c)


def test_single_odd_months_are_calmed():
    monthly = np.full(12, 4.0)
    monthly[4] = 6.0
    calm = month_means(smooth_sd(monthly))
    assert 5.0 < calm[4] < 5.8 and abs(np.log(calm).mean() - np.log(monthly).mean()) < 0.01


def test_a_sd_and_lowest_nights_that_agree_change_nothing():
    lowest = mean_lowest(climate())
    both = told(lowest, COLD_TOWN_SD_C, sd_kind="about-daily-mean")
    assert both.sd_source == "sd-and-lowest"
    assert np.allclose(both.sd_c, climate().sd_c, rtol=0.01)
    assert np.allclose(both.details["skew"], climate().details["skew"], atol=0.02)


@pytest.mark.parametrize("ratio", [0.8, 1.25])
def test_a_cold_tail_of_another_length_moves_the_sd_most_of_the_way(ratio):
    found = both_told(np.full(DAYS, 4.0), np.full(12, 4.0 * ratio))
    assert np.allclose(found, 4.0 * ratio ** fitted("both_sd"))
    assert abs(found[0] - 4.0 * ratio) < abs(found[0] - 4.0)


def test_lowest_nights_milder_than_the_sd_says_make_spring_dates_earlier():
    town, milder = climate(), mean_lowest(climate()) + 1.0
    both, alone = told(milder, COLD_TOWN_SD_C, sd_kind="about-daily-mean"), told(milder)
    dates = [spring_index(night_tables(found, [0.0]), 0, 10) for found in (town, both, alone)]
    assert dates[0] > dates[1] > dates[2]


def test_a_lowest_night_ever_is_doubted():
    deep = COLD_TOWN_TMIN_C - 3.3 * COLD_TOWN_SD_C
    for found in (told(deep), told(deep, COLD_TOWN_SD_C)):
        assert "the lowest ever recorded?" in found.notes[0] and re.search(r"lies 1\.[78] times", found.notes[0])
    near = told(COLD_TOWN_TMIN_C - 0.8 * COLD_TOWN_SD_C)
    assert "only 0.3 times" in near.notes[0] and "each year's lowest night" in near.notes[0]
