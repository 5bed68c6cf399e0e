"""The expansion behind skewed nights against a skewed distribution that scipy knows exactly."""

from dataclasses import replace

import numpy as np
import pytest
from scipy.stats import gamma, norm

from seasonplan.climate.passage import night_tables
from seasonplan.climate.process import normal_behind, shared, standard_levels, usual_skewness
from seasonplan.dates import DAYS
from seasonplan.model import NightClimate

MIXED_ERROR = 0.02
SHAPE = 100.0
"""A gamma distribution of this shape has skewness 2 / sqrt(100) = 0.2 and excess kurtosis 6 / 100."""


@pytest.mark.parametrize("side", [1, -1])
def test_a_gamma_distribution_is_met_to_two_sd_and_a_half(side):
    z = np.linspace(-2.5, 2.5, 11)
    scaled = side * (gamma.ppf(norm.cdf(side * z), SHAPE) - SHAPE) / np.sqrt(SHAPE)
    assert normal_behind(scaled, side * 0.2, 0.06) == pytest.approx(z, abs=0.006)


def test_a_hardly_skewed_distribution_is_met_to_the_second_order():
    """Gamma of shape 1e8: skewness 2e-4, excess kurtosis 6e-8; what is left is of the third order, 8e-12."""
    z = np.linspace(-3.0, 3.0, 13)
    assert normal_behind((gamma.ppf(norm.cdf(z), 1e8) - 1e8) / 1e4, 2e-4, 6e-8) == pytest.approx(z, abs=4e-10)


def test_only_spreads_narrower_than_the_years_lengthen_the_cold_tail():
    sd_c = np.where(np.arange(DAYS) < 180, 2.0, 4.0)
    usual, mixed = (usual_skewness(sd, 200, 45.0) for sd in (np.full(DAYS, 3.0), sd_c))
    assert np.array_equal(mixed[180:], usual[180:]) and np.all(mixed[:180] < usual[:180])


@pytest.mark.parametrize(("rest", "w"), [({}, 0.0), ({"year_share": np.full(DAYS, 0.1)}, 0.1)])
def test_what_nights_have_in_common_is_the_years_share_and_the_doubt_about_the_spread(rest, w):
    """A level z sd out, of a spread that may be wrong by the share d: variance 1 + (z d)^2, of it w + (z d)^2 in
    common; from six sd on the doubt grows no more."""
    climate = NightClimate(np.zeros(DAYS), np.ones(DAYS), np.zeros(DAYS), 200, 20, "normals", "assumed",
                           rest | {"spread_doubt": np.full(DAYS, 0.2)})
    for z, counted in ((0.0, 0.0), (1.0, 1.0), (-3.0, 3.0), (6.0, 6.0), (9.0, 6.0), (-40.0, 6.0)):
        doubt = (0.2 * counted) ** 2
        found = shared(climate, standard_levels(climate, np.full(DAYS, z)))
        assert found == pytest.approx(np.full(DAYS, (w + doubt) / (1 + doubt)))


def test_a_normal_night_stands_where_it_stands():
    assert np.array_equal(normal_behind(np.arange(-3.0, 4.0), 0.0, 0.0), np.arange(-3.0, 4.0))


def test_beyond_six_sd_it_goes_on_in_a_straight_line():
    climate = NightClimate(np.zeros(DAYS), np.ones(DAYS), np.zeros(DAYS), 200, 20, "normals", "normals",
                           {"skew": np.full(DAYS, 0.2), "excess_kurtosis": -0.1})
    before, at, beyond, never = (standard_levels(climate, np.full(DAYS, level)) for level in (5.0, 6.0, 8.0, np.inf))
    assert np.allclose(beyond, at + 2) and np.all(never == np.inf) and np.all(np.abs(at - before - 1) > 0.01)


def test_a_doubt_about_the_spread_gives_the_mean_chances_of_all_it_may_be():
    """Against the tables of the spreads themselves, weighed by Gauss and Hermite."""
    rest = {"year_share": np.full(DAYS, 0.05), "skew": np.zeros(DAYS)}
    mean_c = 8 - 9 * np.cos(2 * np.pi * (np.arange(DAYS) - 20) / DAYS)
    sure = NightClimate(mean_c, np.full(DAYS, 3.0), np.full(DAYS, 0.65), 202, 20, "normals", "assumed", rest)
    unsure = replace(sure, details=rest | {"spread_doubt": np.full(DAYS, 0.2)})
    nodes, weights = np.polynomial.hermite_e.hermegauss(7)
    levels_c = np.array([0.0, 5.0, 10.0])
    of_each = [night_tables(replace(sure, sd_c=sure.sd_c / (1 + 0.2 * v)), levels_c) for v in nodes]
    for name in ("chance_after", "chance_before", "expected_after", "expected_before"):
        mixed = np.tensordot(weights / weights.sum(), np.array([getattr(one, name) for one in of_each]), 1)
        assert getattr(night_tables(unsure, levels_c), name) == pytest.approx(mixed, abs=MIXED_ERROR)
    assert np.abs(night_tables(sure, levels_c).chance_after - night_tables(unsure, levels_c).chance_after).max() > 0.03
