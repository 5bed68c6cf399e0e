"""Typed normals held against the stations round about, for a place in the Netherlands and one in Ohio."""

from dataclasses import replace

import numpy as np
import pytest

from seasonplan.inputs.beside import beside_stations, doubt, estimated_at
from seasonplan.model import Normals, Site

SITE = Site("yard", 52.0, 5.7, 10.0)
TOLD = estimated_at(SITE)
LOWS = TOLD.tmin_c


def doubted(lows, units="metric"):
    return beside_stations(Normals(np.asarray(lows, dtype=float)), SITE, units).doubt


def test_lows_like_those_of_the_stations_raise_no_doubt():
    assert doubted(LOWS) == doubted(LOWS + 1.0) == doubted(LOWS - 2.0) == ""


@pytest.mark.parametrize(("lows", "question"), [
    (LOWS * 1.8 + 32, "Are they in °F? Then the column's name is tmin_f."),
    ((LOWS - 32) / 1.8, "Are they in °C after all? Then the column's name is tmin_c."),
    ((LOWS + TOLD.tmax_c) / 2, "Are they mean temperatures rather than night lows?"),
    (LOWS + 12.0, "Are they in °F, mean temperatures, or another town's?"),
    (np.roll(LOWS, 6), "Are they in °F, mean temperatures, or another town's?")])
def test_lows_far_off_raise_the_question_that_fits(lows, question):
    asked = doubted(lows)
    assert asked.endswith(question) and TOLD.estimate.stations[0].name in asked


def test_a_doubt_names_the_worst_month_in_the_units_asked_for():
    lows = LOWS.copy()
    lows[[0, 1, 2]] += (9.0, 20.0, 9.0)
    assert "February" in doubted(lows) and "°F, by" in doubted(lows, "imperial") and "°C, by" in doubted(lows)


def test_two_months_far_off_may_be_true():
    lows = LOWS.copy()
    lows[:2] += 20.0
    assert doubted(lows) == ""


def test_what_was_not_given_is_taken_from_the_stations_and_what_was_is_not():
    bare = beside_stations(Normals(LOWS), SITE, "metric")
    assert bare.from_stations == ("tmax_c", "sunshine_h") and bare.near_frost is not None
    assert np.array_equal(bare.tmax_c, TOLD.tmax_c) and np.array_equal(bare.sunshine_h, TOLD.sunshine_h)
    own = Normals(LOWS, None, LOWS + 7.0, None, np.full(12, 9.0))
    kept = beside_stations(own, SITE, "metric")
    assert kept.from_stations == () and kept.sunshine_h is None
    assert np.array_equal(kept.tmax_c, own.tmax_c) and np.array_equal(kept.ghi_mj, own.ghi_mj)


def test_highs_from_the_stations_are_never_below_the_lows_given():
    warm = beside_stations(Normals(LOWS + 40.0), SITE, "metric")
    assert np.all(warm.tmax_c > warm.tmin_c)


def test_the_height_of_the_station_that_was_named_counts():
    high = replace(SITE, elevation_m=1510.0)
    assert np.mean(estimated_at(high).tmin_c) < np.mean(LOWS) - 4
    assert np.array_equal(estimated_at(replace(high, station_elevation_m=10.0)).tmin_c, LOWS)


def test_doubt_counts_in_errors_of_the_estimate():
    sure, unsure = (replace(TOLD, estimate=replace(TOLD.estimate, error_c=error)) for error in (1.0, 4.0))
    assert doubt(LOWS + 8.0, sure, "metric") and not doubt(LOWS - 8.0, unsure, "metric")
