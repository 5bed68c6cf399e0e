"""The recursion against answers known in closed form, multivariate normals, and a brute-force grid of its own."""

import math
from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from invented import COLD_TOWN_TMIN_C, make_normals, make_site
from scipy.stats import multivariate_normal, norm

from seasonplan.climate.nights import night_climate
from seasonplan.climate.passage import LARGEST_LAG, many_night_tables, night_tables, stay_above
from seasonplan.climate.process import night_chance, standard_levels
from seasonplan.dates import DAYS

WANTED = 1e-3
"""Accuracy the design asks of first-passage probabilities."""
THRESHOLDS_C = np.array([-30.0, -8.0, 0.0, 5.0, 10.0, 13.0, 18.0, 40.0])


def climate_of(**given):
    climate = night_climate(make_normals(), None, make_site())
    details = {**climate.details, **given.pop("details", {})}
    return replace(climate, details=details, **given)


def column(values):
    return np.asarray(values, dtype=float)[:, None]


def stay(levels, lag, share=0.0):
    levels = column(levels)
    return stay_above(levels, np.full(levels.shape, lag), np.full(levels.shape, share))[:, 0]


def dense_stay(levels, lag, states=1201, end=6.0):
    """Brute force: a full transition matrix between fine states, one matrix product per night."""
    at = np.linspace(-end, end, states)
    step = at[1] - at[0]
    kernel = norm.pdf(at[:, None], lag * at[None, :], math.sqrt(1 - lag**2)) * step
    mass, stayed = norm.pdf(at) * step, []
    for s, level in enumerate(levels):
        mass = (kernel @ mass if s else mass) * np.clip((at + step / 2 - level) / step, 0, 1)
        stayed.append(mass.sum())
    return np.array(stayed)


def test_independent_nights_multiply():
    levels = np.linspace(-3, 0.5, 40)
    assert np.max(np.abs(stay(levels, 0.0) - np.cumprod(1 - norm.cdf(levels)))) < WANTED


@pytest.mark.parametrize("lag", [0.2, 0.65, LARGEST_LAG])
def test_two_and_three_nights_above_the_mean(lag):
    """Orthant probabilities: 1/4 + asin(r)/2pi, and 1/8 + (sum of the three arcsines)/4pi."""
    found = stay([0.0, 0.0, 0.0], lag)
    assert abs(found[1] - (0.25 + math.asin(lag) / (2 * math.pi))) < WANTED
    assert abs(found[2] - (0.125 + (2 * math.asin(lag) + math.asin(lag**2)) / (4 * math.pi))) < WANTED


@pytest.mark.parametrize("share", [0.03, 0.15])
def test_a_yearly_part_changes_how_correlation_fades(share):
    lag = 0.65
    far = share + (1 - share) * ((lag - share) / (1 - share)) ** 2
    found = stay([0.0, 0.0, 0.0], lag, share)
    assert abs(found[1] - (0.25 + math.asin(lag) / (2 * math.pi))) < WANTED
    assert abs(found[2] - (0.125 + (2 * math.asin(lag) + math.asin(far)) / (4 * math.pi))) < WANTED


def test_five_nights_against_the_multivariate_normal():
    lag, levels = 0.65, np.array([-1.4, -0.9, -1.1, -0.3, -2.0])
    spread = lag ** np.abs(np.subtract.outer(np.arange(5), np.arange(5)))
    exact = multivariate_normal(np.zeros(5), spread, seed=1).cdf(-levels)
    assert abs(stay(levels, lag)[-1] - exact) < WANTED / 2


@pytest.mark.parametrize("lag", [0.3, 0.65, 0.85])
def test_a_season_against_brute_force(lag):
    levels = -4 + 4.5 * np.sin(np.pi * np.arange(150) / 149) ** 2 + 0.2 * np.sin(np.arange(150))
    assert np.max(np.abs(stay(levels, lag) - dense_stay(levels, lag))) < WANTED


def test_the_strongest_correlation_leaves_little_but_the_worst_night():
    levels = np.full(6, -1.0)
    alone, apart = 1 - norm.cdf(-1.0), (1 - norm.cdf(-1.0)) ** 6
    held = stay(levels, 0.9999)[-1]
    assert apart < held < alone and held == pytest.approx(stay(levels, LARGEST_LAG)[-1])
    assert abs(held - dense_stay(levels, LARGEST_LAG)[-1]) < WANTED


def test_seasonal_correlation_is_used_night_by_night():
    lags, levels = column([0.0, 0.0, 0.8]), column([0.0, 0.0, 0.0])
    found = stay_above(levels, lags, np.zeros((3, 1)))[:, 0]
    assert np.allclose(found, [0.5, 0.25, 0.5 * (0.25 + math.asin(0.8) / (2 * math.pi))], atol=WANTED)


def test_tables_take_each_nights_own_correlation():
    """One night in spring and one in autumn hang on the night before: only spans across them feel it."""
    lags = np.zeros(DAYS)
    lags[[150, 250]] = 0.8
    climate = climate_of(lag1=lags, details={"year_share": np.zeros(DAYS)})
    tables, chance = night_tables(climate, [8.0]), night_chance(climate, 8.0)
    for first, last, found in ((149, climate.turn_index - 1, tables.chance_after[0, 149]),
                               (climate.turn_index, 250, tables.chance_before[0, 250])):
        levels = standard_levels(climate, np.full((1, DAYS), 8.0))[0, first:last + 1]
        pair = 149 - first if first == 149 else 249 - first
        both = multivariate_normal(np.zeros(2), [[1, 0.8], [0.8, 1]]).cdf(-levels[pair:pair + 2])
        others = np.delete(1 - chance[first:last + 1], [pair, pair + 1])
        assert abs(1 - both * np.prod(others) - found) < WANTED
    free = 1 - np.prod(1 - chance[150:climate.turn_index])
    assert abs(tables.chance_after[0, 150] - free) < WANTED / 10
    assert abs(tables.chance_before[0, 249] - (1 - np.prod(1 - chance[climate.turn_index:250]))) < WANTED / 10


@pytest.mark.parametrize("share", [0.03, 0.12])
def test_tables_against_brute_force(share):
    climate = climate_of(details={"year_share": np.full(DAYS, share)})
    tables = night_tables(climate, [5.0])
    days = (climate.turn_index - 1 - np.arange(150)) % DAYS
    levels = standard_levels(climate, np.full((1, DAYS), 5.0))[0, days]
    fast = (climate.lag1[0] - share) / (1 - share)
    nodes, weights = np.polynomial.hermite_e.hermegauss(15)
    by_node = [dense_stay((levels - math.sqrt(share) * y) / math.sqrt(1 - share), fast, 601) for y in nodes]
    exact = 1 - np.tensordot(weights / weights.sum(), by_node, 1)
    assert np.max(np.abs(tables.chance_after[0, days] - exact)) < WANTED


def test_expected_numbers_are_sums_of_single_nights():
    climate = climate_of()
    tables = night_tables(climate, THRESHOLDS_C)
    chance, day = night_chance(climate, THRESHOLDS_C), 130
    assert np.allclose(tables.expected_after[:, day], chance[:, day:climate.turn_index].sum(axis=1))
    autumn = 260
    assert np.allclose(tables.expected_before[:, autumn], chance[:, climate.turn_index:autumn + 1].sum(axis=1))


def test_halves_and_bounds():
    climate = climate_of()
    tables = night_tables(climate, THRESHOLDS_C)
    spring = (climate.cold_index + np.arange((climate.turn_index - climate.cold_index) % DAYS)) % DAYS
    autumn = np.setdiff1d(np.arange(DAYS), spring)
    assert not tables.chance_after[:, autumn].any() and not tables.chance_before[:, spring].any()
    for chance, expected in ((tables.chance_after, tables.expected_after),
                             (tables.chance_before, tables.expected_before)):
        assert np.all((chance >= 0) & (chance <= 1)) and np.all(chance <= expected + 1e-12)
        assert np.all(np.diff(chance, axis=0) >= -1e-6)
    assert np.all(np.diff(tables.chance_after[:, spring], axis=1) <= 0)


def test_what_cannot_happen_is_nought_and_what_must_is_one():
    tables = night_tables(climate_of(), [-90.0, -60.0, 45.0, np.inf, -np.inf])
    assert np.all(tables.chance_after[:2] < 1e-9) and np.all(tables.chance_before[:2] < 1e-9)
    assert not tables.chance_after[4].any() and not tables.expected_before[4].any()
    assert np.allclose(tables.chance_after[2:4, tables.turn_index - 1], 1)
    assert np.allclose(tables.chance_before[2:4, tables.turn_index], 1)
    assert np.isfinite(tables.chance_after).all() and np.isfinite(tables.expected_after).all()


def test_south_mirrors_north():
    half = 6
    north = night_tables(climate_of(), THRESHOLDS_C)
    rolled = make_normals(tmin_c=np.roll(COLD_TOWN_TMIN_C, half), tmin_sd_c=np.roll(make_normals().tmin_sd_c, half))
    south = night_tables(night_climate(rolled, None, make_site(latitude_deg=-44.5)), THRESHOLDS_C)
    assert abs((south.turn_index - north.turn_index) % DAYS - 182) <= 3
    off_north, off_south = north.turn_index - 60, (south.turn_index - 60) % DAYS
    assert np.max(np.abs(north.chance_after[:, off_north] - south.chance_after[:, off_south])) < 0.03


def test_many_sites_give_what_each_gives():
    warm = night_climate(make_normals(tmin_c=COLD_TOWN_TMIN_C + 9), None, make_site())
    varied = climate_of(lag1=np.linspace(0.5, 0.75, DAYS))
    limits = [[0.0, 10.0], [5.0], np.linspace(-5, 15, 7)]
    together = many_night_tables([climate_of(), warm, varied], limits)
    for climate, levels, found in zip((climate_of(), warm, varied), limits, together, strict=True):
        alone = night_tables(climate, levels)
        assert np.allclose(found.chance_after, alone.chance_after, atol=1e-4)
        assert np.allclose(found.chance_before, alone.chance_before, atol=1e-4)
        assert np.array_equal(found.expected_after, alone.expected_after)
    assert many_night_tables([], []) == []


def test_two_runs_agree_to_the_bit():
    first, second = night_tables(climate_of(), THRESHOLDS_C), night_tables(climate_of(), THRESHOLDS_C)
    assert first.chance_after.tobytes() == second.chance_after.tobytes()


@settings(deadline=None, max_examples=25, derandomize=True)
@given(st.floats(-40, 30), st.floats(0, 25), st.floats(0.3, 12), st.floats(-90, 90), st.integers(0, 364))
def test_any_climate_gives_clean_chances(level, swing, sd, latitude, phase):
    mean = level + swing * np.cos(2 * np.pi * (np.arange(DAYS) - phase) / DAYS)
    normals = make_normals(tmin_c=mean, tmin_sd_c=np.full(DAYS, sd))
    tables = night_tables(night_climate(normals, None, make_site(latitude_deg=latitude)), [-4.0, 5.0, 13.0])
    for values in (tables.chance_after, tables.chance_before):
        assert np.all((values >= 0) & (values <= 1))
