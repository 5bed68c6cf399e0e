"""Forecast errors, and the way from the screen to the plants."""

from dataclasses import replace
from datetime import date
from math import pi, sqrt

import pytest
from invented import make_site
from weather.garden import LAWN, PORCH, WINDOW, make_forecast

from seasonplan.data import table
from seasonplan.weather.skill import (
    cover_credit_c,
    error_sd_c,
    in_the_open,
    place_shift_c,
    site_shift_c,
)

HANDBOOK_MAE_C = (1.7, 1.9, 2.1, 2.4, 2.7, 3.0, 3.3)
"""Mean absolute error of forecast minima on days 1 to 7 (memory, low confidence): the project's figures sheet."""


def test_the_error_grows_with_lead_time_as_the_figures_say():
    sds = [error_sd_c(lead) for lead in range(7)]
    assert sds == pytest.approx([mae * sqrt(pi / 2) for mae in HANDBOOK_MAE_C])
    assert [error_sd_c(lead) for lead in range(7, 12)] == sorted((error_sd_c(n) for n in (7, 8, 9)),) + [None, None]
    assert error_sd_c(-1) == error_sd_c(0)


def test_every_row_of_the_table_says_how_sure_it_is_and_where_it_is_from():
    assert all(row["confidence"] == "low" and row["source"] for row in table("forecast_error"))


def test_a_station_forecast_is_moved_like_the_normals_and_one_for_the_site_is_not():
    site = make_site(elevation_m=350.0, station_elevation_m=250.0, night_offset_c=-0.5)
    station = make_forecast(date(2027, 6, 3), [5.0], elevation_m=None)
    assert site_shift_c(station, site) == pytest.approx(-0.5 - 0.65) == pytest.approx(site.night_shift_c)
    assert site_shift_c(replace(station, elevation_m=350.0), site) == pytest.approx(-0.5)
    assert site_shift_c(replace(station, elevation_m=450.0), site) == pytest.approx(-0.5 + 0.65)


def test_only_open_places_lose_two_degrees_on_clear_calm_nights():
    assert [in_the_open(p) for p in (LAWN, PORCH, WINDOW)] == [True, False, False]
    assert [in_the_open(replace(LAWN, leaf_shade=share)) for share in (0.3, 0.8)] == [False, True]
    assert place_shift_c(LAWN, True) == -2.0 and place_shift_c(PORCH, True) == 1.0
    assert [place_shift_c(LAWN, sky) for sky in (False, None)] == [0.0, 0.0]


@pytest.mark.parametrize(("harm_c", "wind", "credit"), [
    (10.0, 1.0, (1.0, 2.0)), (10.0, None, (1.0, 2.0)), (10.0, 6.0, (0.0, 0.0)), (13.0, 1.0, (0.0, 0.0))])
def test_a_cover_counts_on_still_nights_for_plants_that_are_not_the_most_tender(harm_c, wind, credit):
    assert cover_credit_c(harm_c, wind, LAWN) == credit


@pytest.mark.parametrize(("lift_c", "credit"), [
    (-1.0, (1.0, 2.0)), (0.5, (1.0, 1.5)), (1.5, (0.5, 0.5)), (8.0, (0.0, 0.0))])
def test_a_cover_and_a_sheltered_place_do_not_add_up_beyond_two_degrees(lift_c, credit):
    assert cover_credit_c(10.0, 1.0, replace(LAWN, night_lift_c=lift_c)) == credit
