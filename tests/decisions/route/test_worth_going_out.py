"""That a plant goes out for more light, stays as long as that takes, and never goes up again on its way in."""

from dataclasses import replace
from datetime import date, timedelta
from itertools import pairwise

import numpy as np
import pytest
from invented import make_daylight, make_places, make_plant, make_taxon
from plain_route import all_faults

from seasonplan.decisions.route import RouteRequest, routes
from seasonplan.model import LoggedStay, Rules

PLACES = make_places()
LIGHT = make_daylight(PLACES)
OUT, BACK = date(2027, 5, 15), date(2027, 9, 25)
SPANS = {p.name: (OUT, BACK) for p in PLACES if p.outdoors}


def with_room_light(mol):
    """The same garden with another light in its rooms: one figure, or one for each day."""
    mean = LIGHT.mean_dli.copy()
    mean[[LIGHT.places.index(p.name) for p in PLACES if not p.outdoors]] = mol
    return replace(LIGHT, mean_dli=mean)


def planned(light, *, sun="sun", low=12.0, high=45.0, botanical="Ficus elastica", **given):
    rules = Rules(**given.pop("rules", {}))
    plant = make_plant("Fig", taxon=replace(make_taxon(sun=sun, light_low_mol=low, light_high_mol=high),
                                            botanical=botanical), light_high_mol=high)
    request = replace(RouteRequest(plant, SPANS, OUT, BACK, weight_kg=2.0), **given)
    (found,) = routes([request], PLACES, light, rules)
    assert all_faults([request], [found], PLACES, light, rules) == []
    return found


def light_of(stop, light):
    through = 1 - stop.shade.percent / 100 if stop.shade else 1.0
    return through * light.mean_dli[light.places.index(stop.place)][(stop.date - light.dates[0]).days]


@pytest.mark.parametrize("reach", [0.3, 0.5])
def test_the_long_descent_of_a_leaf_dropper_never_goes_up_though_a_low_sun_reaches_its_room(reach):
    days = np.arange(len(LIGHT.dates))
    first = (BACK - LIGHT.dates[0]).days - 56
    light = with_room_light(np.where(days > first, 8.0 + reach * (days - first), 8.0)[None, :])
    stops = planned(light, botanical="Citrus limon").stops
    last = [stop for stop in stops if stop.until > BACK - timedelta(days=40)]
    opens = [light.open_mean_dli[(stop.date - light.dates[0]).days] for stop in last]
    shares = [light_of(stop, light) / sky for stop, sky in zip(last, opens, strict=True)]
    assert all(later <= before * 1.05 for before, later in pairwise(shares)), shares


@pytest.mark.parametrize(("sun", "low", "high"), [("sun", 20.0, 50.0), ("shade", 15.0, 50.0)])
def test_a_plant_stays_in_where_its_room_is_brighter_than_any_place_and_says_so(sun, low, high):
    found = planned(with_room_light(40.0), sun=sun, low=low, high=high)
    assert found.stops == ()
    assert found.blocked.startswith("Stays in: outdoors it would have") and "40 mol where it stands" in found.blocked


@pytest.mark.parametrize("given", [{"cool_nights": True}, {"rules": {"summer": "in-shade"}},
                                   {"stays": (LoggedStay(OUT, "lawn", 0),), "free_from": OUT + timedelta(days=10)},
                                   {"sun": "shade", "low": 3.0, "high": 10.0}])
def test_it_goes_out_all_the_same_for_cool_nights_in_the_shade_of_summer_by_the_log_or_out_of_too_much_light(given):
    assert planned(with_room_light(40.0), **given).stops


def test_a_plant_that_would_stand_under_a_cloth_all_the_time_in_less_than_it_needs_stays_in():
    back = OUT + timedelta(days=35)
    given = {"sun": "part-sun", "low": 4.0, "high": 15.0, "spans": {name: (OUT, back) for name in SPANS},
             "back_by": back}
    assert "under a cloth" in planned(with_room_light(0.3), **given).blocked
    assert planned(with_room_light(6.0), **given).stops


def test_a_sun_plant_that_stays_in_too_little_light_says_what_holds_it_back():
    assert planned(LIGHT).reason == ""
    assert "out of its room it cannot get used to more in that time" in planned(with_room_light(0.2)).reason
    small = tuple(replace(p, room_for=1) if p.name == "lawn" else p for p in PLACES)
    taxon = make_taxon(sun="sun", light_low_mol=12.0, light_high_mol=45.0)
    pair = [RouteRequest(make_plant(name, taxon=taxon, light_high_mol=45.0), SPANS, OUT, BACK) for name in ("A", "B")]
    told = [found.reason for found in routes(pair, small, LIGHT, Rules())]
    assert "" in told and any("others have the room" in reason for reason in told)


@pytest.mark.parametrize("weeks", [7, 8, 9])
@pytest.mark.parametrize(("room", "sun", "high"), [(2.0, "sun", 45.0), (3.0, "part-sun", 20.0)])
def test_a_sun_plant_is_not_fetched_in_before_its_bright_weeks_which_would_be_a_way_round_them(weeks, room, sun, high):
    back = OUT + timedelta(weeks=weeks)
    spans = {name: (OUT, back) for name in SPANS}
    stops = planned(with_room_light(room), botanical="Olea europaea", sun=sun, high=high, spans=spans,
                    back_by=back).stops
    assert (stops[-1].until - stops[0].date).days >= 42


def test_the_room_of_a_plant_that_stays_in_goes_to_another():
    """A plant of a room brighter than the porch would have it first, by its name, and needs it less."""
    light = with_room_light(6.0)
    places = tuple(replace(p, room_for=1) if p.outdoors else p for p in PLACES)
    rooms = np.array([p.outdoors for p in PLACES])
    light = replace(light, mean_dli=np.where(rooms[:, None], np.minimum(light.mean_dli, 5.0), light.mean_dli))
    taxon = replace(make_taxon(sun="part-sun", light_low_mol=4.0, light_high_mol=15.0), botanical="Inventia media")
    bright = RouteRequest(make_plant("A", taxon=taxon, light_high_mol=15.0), {"porch": (OUT, BACK)}, OUT, BACK)
    cool = replace(bright, plant=replace(bright.plant, name="B"), cool_nights=True)
    alone, other = routes([bright, cool], places, light, Rules())
    assert alone.blocked.startswith("Stays in") and other.stops and not other.blocked
