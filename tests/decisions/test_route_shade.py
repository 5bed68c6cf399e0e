"""Where no place fits as it is: cloths, hours out, and plants that no cloth helps."""

from dataclasses import replace
from datetime import date, timedelta

import numpy as np
import pytest
from invented import make_daylight, make_plant, make_taxon
from plain_route import all_faults

from seasonplan.decisions.acclimation import light_rule
from seasonplan.decisions.route import RouteRequest, routes
from seasonplan.decisions.route_shade import CLOTHS_PERCENT, Needs, dose, hours_out, stepping_cloth
from seasonplan.model import Place, Rules

OUT, BACK = date(2027, 5, 8), date(2027, 9, 18)
DEEP_SHADE = make_taxon(sun="deep-shade", light_low_mol=2.0, light_high_mol=5.0)
SHADE = make_taxon(sun="shade", light_low_mol=2.0, light_high_mol=10.0)


def house(*outdoor: Place) -> tuple[Place, ...]:
    return (Place("south window", "indoor"), *outdoor)


def plan(taxon, places, light=None, names=("Fern",), **plant):
    light = light or make_daylight(places)
    spans = {p.name: (OUT, BACK) for p in places if p.outdoors}
    requests = [RouteRequest(make_plant(name, taxon=taxon, **plant), spans, OUT, BACK) for name in names]
    results = routes(requests, places, light, Rules())
    assert all_faults(requests, results, places, light, Rules()) == []
    return results


def steady(places, clear, mean, sun):
    """Invented light that is the same every day."""
    light = make_daylight(places)
    ones = np.ones(len(light.dates))
    clear, mean, sun = (np.array(values)[:, None] * ones for values in (clear, mean, sun))
    return replace(light, clear_dli=clear, mean_dli=mean, full_sun_h=sun, open_clear_dli=60 * ones,
                   open_mean_dli=40 * ones)


def test_the_thinnest_cloth_that_is_sold_and_fits_is_named_with_place_and_date():
    """Lawn: 44 mol clear, 9.1 mean, 5 h of full sun; 12 mol and 1.5 h are allowed: 1 - 12 / 44 = 73 %, so 80 %."""
    places = house(Place("lawn", "outdoor"))
    result = plan(SHADE, places, steady(places, (3, 44), (2, 9.1), (0, 5)))[0]
    stop = result.stops[0]
    assert (stop.shade.place, stop.shade.percent, stop.shade.until) == ("lawn", 80, stop.until)
    assert (stop.clear_dli, stop.mean_dli, stop.full_sun_h) == pytest.approx((8.8, 1.82, 1.0))
    assert "80 % shade cloth here until" in stop.why and CLOTHS_PERCENT == (30, 40, 50, 60, 70, 80, 90)


def test_a_cloth_keeps_the_first_week_gentle():
    """2.4 h of full sun: 30 % leaves 1.7, within S + 2 but not within the first week's 1.5; 40 % leaves 1.4."""
    places = house(Place("yard", "outdoor"))
    stops = plan(replace(SHADE, sun="sun"), places, steady(places, (3, 10), (2, 8), (0, 2.4)))[0].stops
    assert stops[0].shade.percent == 40 and stops[1].shade is None


def test_the_place_that_needs_the_least_cloth_is_chosen():
    places = house(Place("lawn", "outdoor"), Place("porch", "outdoor"))
    result = plan(SHADE, places, steady(places, (3, 44, 16), (2, 9.1, 8), (0, 5, 1)))[0]
    assert (result.stops[0].place, result.stops[0].shade.percent) == ("porch", 30)


@pytest.mark.parametrize(("opens_after_days", "cloths"), [(7, [None]), (14, [None]), (21, [80])])
def test_a_darker_place_that_opens_within_two_weeks_is_waited_for(opens_after_days, cloths):
    """The lawn would need an 80 % cloth; the hedge needs none but opens later, as a colder place does."""
    places = house(Place("lawn", "outdoor"), Place("hedge", "outdoor"))
    light = steady(places, (3, 44, 8), (2, 9.1, 5), (0, 5, 0.2))
    opens = OUT + timedelta(days=opens_after_days)
    request = RouteRequest(make_plant("Fern", taxon=SHADE), {"lawn": (OUT, BACK), "hedge": (opens, BACK)}, OUT, BACK)
    results = routes([request], places, light, Rules())
    assert all_faults([request], results, places, light, Rules()) == []
    first = results[0].stops[0]
    assert [first.shade.percent if first.shade else None] == cloths
    assert first.date == (OUT if cloths[0] else opens)
    assert ("waited since Sat 8 May for a fitting place" in first.why) is (cloths[0] is None)


def test_the_cloth_comes_off_when_the_plant_is_used_to_the_light():
    places = house(Place("porch", "outdoor"))
    sun = replace(SHADE, sun="sun", light_high_mol=30.0)
    stops = plan(sun, places, steady(places, (3, 20), (2, 13), (0, 1)))[0].stops
    assert [stop.shade.percent if stop.shade else None for stop in stops] == [40, None]
    assert stops[1].place == "porch" and "the cloth comes off" in stops[1].why


def test_a_cloth_is_chosen_to_last_rather_than_to_be_changed():
    places = house(Place("porch", "outdoor"))
    light = steady(places, (3, 11), (2, 8), (0, 1.6))
    rising = light.full_sun_h * np.linspace(1.0, 1.9, len(light.dates))
    stops = plan(SHADE, places, replace(light, full_sun_h=np.where(light.full_sun_h > 0, rising, 0.0)))[0].stops
    assert len(stops) <= 2


def test_shaded_plants_take_room_too():
    places = house(Place("porch", "outdoor", room_for=2))
    results = plan(DEEP_SHADE, places, steady(places, (3, 16), (2, 8), (0, 1)), names=("A", "B", "C"))
    assert [bool(r.stops) for r in results] == [True, True, False] and "No room" in results[2].blocked


def test_where_no_cloth_is_enough_the_plant_stays_in_with_day_trips():
    places = house(Place("lawn", "outdoor"))
    result = plan(DEEP_SHADE, places, steady(places, (3, 60), (2, 30), (0, 8)))[0]
    assert not result.stops
    assert "even under 90 % shade cloth" in result.blocked and "Day trips suit it: out there at 07:00" in result.blocked


def test_hours_out_are_told_beside_a_cloth():
    places = house(Place("porch", "outdoor"))
    light = steady(places, (3, 16), (2, 8), (0, 1))
    stop = plan(SHADE, places, light)[0].stops[0]
    spans, sun = light.sun_spans[1][(OUT - light.dates[0]).days], stop.shade.hours
    assert spans and sun[0] == "07:00"
    allowed = 12 / 16 * sum(until - since for since, until in spans) / light_rule().peak_over_mean
    hours, minutes = map(int, sun[1].split(":"))
    assert 60 * hours + minutes - 7 * 60 == allowed // 10 * 10


def test_hours_out_begin_with_the_sun_and_stay_on_the_safe_side():
    """Four hours of sun, half of it allowed, as strong all along as at its strongest: 120 / 1.571 = 76 minutes."""
    assert hours_out([(425, 665)], (360.0, 1200.0), 0.5) == (430, 500)
    assert hours_out([(425, 545), (1000, 1120)], (360.0, 1200.0), 0.5) == (430, 500)
    assert hours_out([(425, 665)], (360.0, 1200.0), 0.05) is None
    assert hours_out([(425, 665)], (float("nan"), float("nan")), 0.5) is None


def test_hours_out_without_direct_sun_begin_at_sunrise():
    assert hours_out([], (361.0, 1081.0), 0.5) == (370, 590)


def test_the_dose_is_the_share_of_the_day_that_the_tightest_limit_allows():
    spare = 1 - light_rule().margin
    assert dose(Needs(2.0, 0.0, 50.0, 9.0, 7), 48.0, 10.0, 0.0) == pytest.approx(12 / 48)
    assert dose(Needs(2.0, 0.0, 5.0, 9.0, 7), 12.0, 10.0, 0.0) == pytest.approx(0.5)
    assert dose(Needs(2.0, 0.0, 50.0, 9.0, 7), 12.0, 10.0, 6.0) == pytest.approx(1.5 / 6)
    assert dose(Needs(20.0, 2.0, 50.0, 9.0, 0), 12.0, 10.0, 8.8) == pytest.approx(spare * 4.4 / 8.8)
    assert dose(Needs(2.0, 0.0, 50.0, 9.0, 0), 0.0, 0.0, 0.0) == 1.0


def test_a_stepping_cloth_fits_now_and_leads_to_the_open():
    """Used to 12 mol and 1.4 h: full sun of 58 mol and 7 h is too much, and so is 4 h under cloth to 7 h without."""
    settled = Needs(12.0, 1.4, 60.0, 24.0, 0)
    assert stepping_cloth(settled, 58.0, 44.0, 7.0) is None
    assert stepping_cloth(settled, 30.0, 24.0, 4.0) == 30
    assert stepping_cloth(replace(settled, light_high=20.0), 30.0, 24.0, 4.0) is None


def test_a_plant_left_in_too_little_light_is_told_which_cloth_would_be_the_step_it_lacks():
    places = house(Place("porch", "outdoor"), Place("east steps", "outdoor"))
    light = steady(places, (3, 14, 30), (4, 11, 22), (0, 1.2, 4))
    result = plan(make_taxon(sun="sun", light_low_mol=18.0, light_high_mol=50.0), places, light)[0]
    assert {stop.place for stop in result.stops} == {"porch"}
    assert "The east steps under 30 % shade cloth" in result.reason and "leaf_shade = 0.7" in result.reason
