"""What the aim brings about in an ordinary garden: a porch, a tree and a lawn."""

from dataclasses import replace
from datetime import date, timedelta

import pytest
from invented import make_daylight, make_places, make_plant, make_taxon
from plain_route import all_faults

from seasonplan.decisions.route import RouteRequest, routes
from seasonplan.model import Rules

PLACES = make_places()
LIGHT = make_daylight(PLACES)
OUT, BACK = date(2027, 5, 15), date(2027, 9, 25)
SPANS = {p.name: (OUT, BACK) for p in PLACES if p.outdoors}
CAPS = {"sun": 24.0, "part-sun": 4.0}
KINDS = {"sun": (12.0, 45.0), "part-sun": (5.0, 20.0), "shade": (3.0, 10.0)}


def request(name, kind, **given):
    low, high = KINDS[kind]
    weight = given.pop("weight_kg", 2.0)
    plant = make_plant(name, taxon=make_taxon(sun=kind, light_low_mol=low, light_high_mol=high), light_high_mol=high)
    return replace(RouteRequest(plant, SPANS, OUT, BACK, weight_kg=weight), **given)


def planned(*requests, **rules):
    given = Rules(**rules)
    found = routes(requests, PLACES, LIGHT, given)
    assert all_faults(requests, found, PLACES, LIGHT, given) == []
    return found


def light_on(stops, day):
    stop = next(s for s in stops if s.date <= day < s.until)
    through = 1 - stop.shade.percent / 100 if stop.shade else 1.0
    return through * LIGHT.mean_dli[LIGHT.places.index(stop.place)][(day - LIGHT.dates[0]).days]


@pytest.mark.parametrize("kind", ["sun", "part-sun"])
def test_a_sun_plant_has_seven_tenths_of_what_it_can_bear_within_four_weeks(kind):
    (found,) = planned(request("Olive", kind))
    day = found.stops[0].date + timedelta(days=28)
    row, column = LIGHT.places.index("lawn"), (day - LIGHT.dates[0]).days
    lawn, sun_h = LIGHT.mean_dli[row][column], LIGHT.full_sun_h[row][column]
    assert light_on(found.stops, day) >= 0.7 * min(lawn, KINDS[kind][1], lawn * min(1.0, CAPS[kind] / sun_h))
    assert len(found.stops) <= 6


def test_in_the_shade_all_summer_a_sun_plant_has_no_more_sun_than_a_shade_plant_and_fewer_stops():
    (sunny,), (shady,) = planned(request("Olive", "sun")), planned(request("Olive", "sun"), summer="in-shade")
    assert max(stop.full_sun_h for stop in shady.stops) <= 1.5 < max(stop.full_sun_h for stop in sunny.stops)
    assert len(shady.stops) <= len(sunny.stops)


def test_two_plants_that_could_go_out_days_apart_share_their_days():
    early, late = request("Fig", "sun"), request("Palm", "sun", leave_on=OUT + timedelta(days=7))
    together = planned(early, late)
    days = [{stop.date for stop in result.stops} | {result.stops[-1].until} for result in together]
    alone = [{stop.date for stop in result.stops} for one in (early, late) for result in planned(one)]
    assert len(days[0] | days[1]) <= len(alone[0] | alone[1]) + 1
    assert days[0] & days[1]


def test_a_heavy_pot_moves_no_more_often_than_a_light_one():
    (light,), (heavy,) = planned(request("Fig", "sun")), planned(request("Fig", "sun", weight_kg=40.0))
    assert len({stop.place for stop in heavy.stops}) <= len({stop.place for stop in light.stops})


def test_a_plant_may_not_come_in_before_its_last_check():
    held = BACK - timedelta(days=6)
    (found,) = planned(request("Fig", "sun", not_before=held))
    assert found.stops[-1].until >= held
