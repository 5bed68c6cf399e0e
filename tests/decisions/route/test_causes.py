"""Why a plant goes where it goes, in the words of its stops."""

from datetime import date, timedelta

from invented import make_daylight, make_places, make_plant, make_taxon

from seasonplan.decisions.route import RouteRequest, routes
from seasonplan.model import Rules

PLACES = make_places()
OUT, BACK = date(2027, 5, 15), date(2027, 9, 25)
SPANS = {p.name: (OUT, BACK) for p in PLACES if p.outdoors}


def test_a_darker_cloth_in_the_last_weeks_is_said_to_run_the_light_down_and_the_first_stop_to_be_gentle():
    plant = make_plant(taxon=make_taxon(sun="sun", light_low_mol=12.0, light_high_mol=45.0), light_high_mol=45.0)
    only = {"lawn": SPANS["lawn"]}
    (found,) = routes([RouteRequest(plant, only, OUT, BACK)], PLACES, make_daylight(PLACES), Rules())
    first, last = found.stops[0], found.stops[-1]
    assert first.why.startswith("a gentle first place") and "% shade cloth until" in first.why
    assert last.shade is not None and last.until - last.date <= timedelta(days=42)
    assert last.why.startswith("runs the light down before it comes in on")
    assert all(stop.why.startswith(("used to", "a gentle", "runs the light down")) for stop in found.stops)


def test_a_plant_that_finds_no_way_in_time_lacks_days_not_shade():
    plant = make_plant(taxon=make_taxon(sun="shade"))
    week = {name: (OUT, OUT + timedelta(days=2)) for name in SPANS}
    (found,) = routes([RouteRequest(plant, week, OUT, OUT + timedelta(days=2))], PLACES, make_daylight(PLACES), Rules())
    assert found.stops == () and "1.00" not in found.blocked
