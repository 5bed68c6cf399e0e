"""The one line on where the nights come from and how sure the dates are, and what it says of each kind of input."""

import re

import numpy as np
import pytest
from invented import COLD_TOWN_SD_C, COLD_TOWN_TMIN_C, make_normals, make_site

from seasonplan.climate.nights import night_climate
from seasonplan.climate.sureness import nights_line
from seasonplan.model import Estimate, NearStation

LOWEST_C = COLD_TOWN_TMIN_C - 1.84 * COLD_TOWN_SD_C
NEAR = Estimate(1.9, (NearStation("Highfield", 21.0, 120.0),))


def line(units="metric", **told):
    normals = make_normals(tmin_c=COLD_TOWN_TMIN_C, **{"tmin_sd_c": None, "source": "n.csv"} | told)
    return nights_line(normals, night_climate(normals, None, make_site()), units)


def days(text):
    return int(re.search(r"dates ±(\d+) days", text)[1])


@pytest.mark.parametrize("told, words", [
    ({"tmin_sd_c": COLD_TOWN_SD_C}, "from its standard deviations: dates ±4 days two times in three"),
    ({"tmin_lowest_c": LOWEST_C}, "from its mean lowest nights: dates ±4 days two times in three"),
    ({"tmin_sd_c": COLD_TOWN_SD_C, "tmin_lowest_c": LOWEST_C},
     "from its standard deviations and mean lowest nights: dates ±4 days two times in three"),
    ({}, "assumed: dates ±")])
def test_the_line_says_what_the_spread_comes_from(told, words):
    assert line(**told).startswith(f"Nights from n.csv, their spread {words}")


def test_less_told_is_less_sure():
    assert days(line(tmin_lowest_c=LOWEST_C)) < days(line()) < days(line(estimate=NEAR))


@pytest.mark.parametrize("units, words", [("metric", "Highfield, 21 km, and others: lows ±1.9 °C"),
                                          ("imperial", "Highfield, 13 miles, and others: lows ±3.4 °F")])
def test_estimated_nights_say_from_where_and_how_sure(units, words):
    assert words in line(units, estimate=NEAR)


def test_a_note_stands_by_assumed_spreads_only():
    for told, noted in (({}, True), ({"tmin_lowest_c": LOWEST_C}, False), ({"tmin_sd_c": np.full(12, 4.0)}, False)):
        normals = make_normals(tmin_c=COLD_TOWN_TMIN_C, **{"tmin_sd_c": None} | told)
        notes = night_climate(normals, None, make_site()).notes
        assert bool(notes) == noted and all("tmin_lowest_c" in note for note in notes)
