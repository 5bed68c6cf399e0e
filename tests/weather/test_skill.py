"""Forecast errors, and the way from the screen to the plants."""

from dataclasses import replace
from datetime import date
from math import erf, sqrt

import numpy as np
import pytest
from invented import make_site
from weather.garden import LAWN, make_forecast

from seasonplan.climate.curves import normal_chance
from seasonplan.data import table
from seasonplan.weather.skill import acting_margin_c, cover_credit_c, error_sd_c, own_spread_c, site_shift_c

WITHIN_2_C = 0.865
"""Source: Met Office, accuracy of public forecasts: share of minimum temperatures of the first night that come within
2 °C, 119 sites, average over 36 months."""


def test_the_first_nights_error_is_the_published_one():
    assert erf(2.0 / error_sd_c(0) / sqrt(2)) == pytest.approx(WITHIN_2_C, abs=0.015)


def test_the_error_grows_with_lead_time():
    sds = [error_sd_c(lead) for lead in range(10)]
    assert sds == sorted(sds) and sds[6] == 3.5
    assert [error_sd_c(lead) for lead in (10, 11)] == [None, None] and error_sd_c(-1) == error_sd_c(0)


def test_every_row_of_the_table_says_where_it_is_from():
    assert all(row["source"] for row in table("forecast_error"))


def test_a_sources_own_spread_has_two_sides_and_a_floor():
    night = make_forecast(date(2027, 6, 3), [5.0]).nights[0]
    assert own_spread_c(night) is None and own_spread_c(replace(night, p10_c=4.0)) is None
    assert own_spread_c(replace(night, p10_c=5.0 - 1.2816, p90_c=5.0 + 2 * 1.2816)) == pytest.approx((1.0, 2.0))
    assert own_spread_c(replace(night, p10_c=5.0, p90_c=5.0 + 2 * 1.2816)) == pytest.approx((1.0, 1.0))
    assert own_spread_c(replace(night, p10_c=4.99, p90_c=5.01)) == (0.3, 0.3)
    assert own_spread_c(replace(night, p10_c=6.0, p90_c=6.0 + 2 * 1.2816)) == pytest.approx((1.0, 1.0))


@pytest.mark.parametrize("share", [0.0, 0.05, 0.15, 0.3, 0.5, 0.6, 0.9, 1.0])
@pytest.mark.parametrize("apart_c", [0.0, 0.5, 2.0, 4.0])
def test_the_margin_gives_the_chance_that_was_asked_for(share, apart_c):
    """Also where the spread is small beside what clear nights are colder: two bells apart, and between them hardly any
    slope."""
    sd = np.array([0.3, 0.4, 0.8, 1.3, 3.5])
    for chance in (0.01, 1 / 21, 0.3):
        margin = acting_margin_c(chance, sd, np.array([share]), np.array([apart_c]))
        got = (1 - share) * normal_chance(-margin / sd) + share * normal_chance((apart_c - margin) / sd)
        assert got == pytest.approx(np.full(5, chance), rel=1e-3)


def test_the_margin_is_exact_where_the_two_kinds_of_night_are_close_and_finite_where_nothing_lies_between():
    [margin] = acting_margin_c(0.3, np.array([1.3]), np.array([0.5]), np.array([0.5]))
    assert (normal_chance(-margin / 1.3) + normal_chance((0.5 - margin) / 1.3)) / 2 == pytest.approx(0.3, rel=1e-10)
    [apart] = acting_margin_c(0.3, np.array([0.05]), np.array([0.5]), np.array([4.0]))
    assert 3.9 < apart < 4.1


def test_a_station_forecast_is_moved_like_the_normals_and_one_for_the_site_is_not():
    site = make_site(elevation_m=350.0, station_elevation_m=250.0, night_offset_c=-0.5)
    assert site_shift_c(None, site) == pytest.approx(-0.5 - 0.5) == pytest.approx(site.night_shift_c)
    assert site_shift_c(350.0, site) == pytest.approx(-0.5)
    assert site_shift_c(450.0, site) == pytest.approx(-0.5 + 0.5)


@pytest.mark.parametrize(("harm_c", "wind", "credit"), [
    (10.0, 1.0, (1.0, 2.0)), (10.0, None, (1.0, 2.0)), (10.0, 4.9, (1.0, 2.0)), (10.0, 5.0, (0.0, 0.0)),
    (12.9, 1.0, (1.0, 2.0)), (10.0, 6.0, (0.0, 0.0)), (13.0, 1.0, (0.0, 0.0))])
def test_a_cover_counts_on_still_nights_for_plants_that_are_not_the_most_tender(harm_c, wind, credit):
    assert cover_credit_c(harm_c, wind, LAWN) == credit


@pytest.mark.parametrize(("lift_c", "credit"), [
    (-1.0, (1.0, 2.0)), (0.5, (1.0, 1.5)), (1.5, (0.5, 0.5)), (8.0, (0.0, 0.0))])
def test_a_cover_and_a_sheltered_place_do_not_add_up_beyond_two_degrees(lift_c, credit):
    assert cover_credit_c(10.0, 1.0, replace(LAWN, night_lift_c=lift_c)) == credit
