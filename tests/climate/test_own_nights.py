"""Several years of readings: the night climate and the lifts of places become the garden's own."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, timedelta

import numpy as np
import pytest
from invented import make_night_climate, make_scenario
from truth.table import lows_of, normals_of

from seasonplan.climate.nights import night_climate
from seasonplan.climate.own_nights import SEVERAL_YEARS, OwnNights, as_read, own_nights
from seasonplan.dates import day_index
from seasonplan.model import Place, Reading, Site
from seasonplan.pipeline import build_plan

CLIMATE = make_night_climate()
PORCH = Place("porch", "outdoor", night_lift_c=1.0, roof_deg=50.0)
SHED = Place("shed", "outdoor", roof_deg=40.0)


def read(years=4, off=-1.5, place="porch", lift=1.0, nights=150):
    """What a thermometer under the roof shows where the garden is off by so much."""
    return [Reading(day, place, float(CLIMATE.mean_c[day_index(day)]) + lift + off)
            for year in range(2023, 2023 + years) for n in range(nights)
            for day in [date(year, 5, 1) + timedelta(days=n)]]


def test_a_colder_garden_is_learned_from_several_years_and_not_wholly_believed():
    own = own_nights(read(), CLIMATE, [PORCH])
    assert own.years == 4 and own.nights == 600 and -1.5 < own.shift_c <= -1.3 and 0.2 < own.sd_c < 0.4
    assert own_nights(read(8), CLIMATE, [PORCH]).sd_c < own.sd_c


@pytest.mark.parametrize("readings", [[], read(SEVERAL_YEARS - 1), read(6, nights=40)])
def test_too_little_teaches_nothing(readings):
    assert own_nights(readings, CLIMATE, [PORCH]) == OwnNights()
    assert as_read(OwnNights(), CLIMATE, [PORCH], "metric") == (CLIMATE, (PORCH,))


def test_two_places_read_together_tell_their_lifts_apart():
    readings = read(off=-1.0) + read(off=0.0, place="shed", lift=0.0)
    own = own_nights(readings, CLIMATE, [PORCH, SHED])
    assert own.lifts == {"porch": -0.5, "shed": 0.5} and own.shift_c == pytest.approx(-0.5, abs=0.1)
    climate, (porch, shed) = as_read(own, CLIMATE, [PORCH, SHED], "imperial")
    assert (porch.night_lift_c, shed.night_lift_c) == (0.5, 0.5)
    assert np.allclose(climate.mean_c, CLIMATE.mean_c + own.shift_c)
    assert "4 years" in climate.notes[-1] and "°F colder than the normals say" in climate.notes[-1]


def test_a_cold_garden_goes_out_later_and_in_sooner_and_the_plan_says_why():
    base = make_scenario()
    place = next(one for one in base.places if one.outdoors)
    bare = build_plan(base, date(2027, 3, 1))
    readings = tuple(Reading(day, place.name, float(bare.climate.mean_c[day_index(day)]) - 2.0)
                     for year in range(2022, 2027) for n in range(150) for day in [date(year, 5, 1) + timedelta(n)])
    plan = build_plan(replace(base, readings=readings), date(2027, 3, 1))
    [was], [now] = ([p for p in one.plants if p.route] for one in (bare, plan))
    assert now.out.date > was.out.date and now.back.date < was.back.date
    assert any(note.startswith("Your own readings, 750 nights of 5 years") for note in plan.assumptions)


@pytest.mark.parametrize("station", ["brussels", "cordoba", "suffolk"])
def test_a_recorded_garden_three_kelvin_off_its_normals_is_found_to_a_degree(station):
    """Daily records that the aquacrop package ships: four of their years as a garden's own readings."""
    pytest.importorskip("aquacrop", reason="its records come with the extra: pip install '.[test]'")
    lows = lows_of(station)
    climate = night_climate(normals_of(lows, "month"), None, Site(station, 50.0, 0.0))
    for first in sorted(set(lows.index.year))[2::9]:
        own = lows[(lows.index.year >= first) & (lows.index.year < first + 4) & (lows.index.month > 3)
                   & (lows.index.month < 11)].dropna()
        if own.index.year.nunique() < SEVERAL_YEARS:
            continue
        readings = [Reading(day.date(), "porch", float(low) + PORCH.night_lift_c - 3.0) for day, low in own.items()]
        assert own_nights(readings, climate, [PORCH]).shift_c == pytest.approx(-3.0, abs=1.0)
