"""The normal high of a day: the table's, else the low's and a range; moved by height, never by the garden's nights."""

import numpy as np
import pytest
from invented import COLD_TOWN_TMAX_C, COLD_TOWN_TMIN_C, make_normals, make_site

from seasonplan.climate.highs import normal_highs_c
from seasonplan.dates import month_means


def test_highs_are_the_table_s_or_the_lows_plus_a_range():
    assert month_means(normal_highs_c(make_normals(), make_site())) == pytest.approx(COLD_TOWN_TMAX_C, abs=1e-3)
    without = normal_highs_c(make_normals(tmax_c=None), make_site())
    assert month_means(without) == pytest.approx(COLD_TOWN_TMIN_C + 11, abs=1e-3)


def test_the_garden_s_cold_nights_do_not_move_its_days():
    plain, hollow = (normal_highs_c(make_normals(), make_site(night_offset_c=c)) for c in (0.0, 3.0))
    assert np.array_equal(plain, hollow)
    plain, hollow = (normal_highs_c(make_normals(tmax_c=None), make_site(night_offset_c=c)) for c in (0.0, -3.0))
    assert np.array_equal(plain, hollow)


def test_a_site_below_its_station_is_warmer_and_one_above_it_cooler():
    plain, below, above = (normal_highs_c(make_normals(), make_site(elevation_m=250.0, station_elevation_m=z))
                           for z in (None, 1250.0, 0.0))
    assert below - plain == pytest.approx(np.full(365, 6.5), abs=2e-3)
    assert above - plain == pytest.approx(np.full(365, -1.625), abs=2e-3)


def test_a_flat_year_of_the_limit_is_on_no_day_a_rounding_error_above_it():
    highs = normal_highs_c(make_normals(tmax_c=np.full(12, 32.0)), make_site())
    assert set(highs) == {32.0}
    odd = normal_highs_c(make_normals(), make_site())
    assert np.array_equal(odd, np.round(odd, 3))
