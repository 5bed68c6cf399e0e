"""The expansion behind skewed nights against a skewed distribution that scipy knows exactly."""

import numpy as np
import pytest
from scipy.stats import gamma, norm

from seasonplan.climate.process import FAR_OUT, normal_behind, standard_levels
from seasonplan.dates import DAYS
from seasonplan.model import NightClimate

SHAPE = 100.0
"""A gamma distribution of this shape has skewness 2 / sqrt(100) = 0.2 and excess kurtosis 6 / 100."""


@pytest.mark.parametrize("side", [1, -1])
def test_a_gamma_distribution_is_met_to_two_sd_and_a_half(side):
    z = np.linspace(-2.5, 2.5, 11)
    scaled = side * (gamma.ppf(norm.cdf(side * z), SHAPE) - SHAPE) / np.sqrt(SHAPE)
    assert normal_behind(scaled, side * 0.2, 0.06) == pytest.approx(z, abs=0.006)


def test_a_normal_night_stands_where_it_stands():
    assert np.array_equal(normal_behind(np.arange(-3.0, 4.0), 0.0, 0.0), np.arange(-3.0, 4.0))


def test_beyond_six_sd_it_goes_on_in_a_straight_line():
    climate = NightClimate(np.zeros(DAYS), np.ones(DAYS), np.zeros(DAYS), 200, 20, "normals", "normals",
                           {"skew": np.full(DAYS, 0.2), "excess_kurtosis": -0.1})
    at, beyond, never = (standard_levels(climate, np.full(DAYS, level)) for level in (FAR_OUT, FAR_OUT + 2, np.inf))
    assert np.allclose(beyond, at + 2) and np.all(never == np.inf)
