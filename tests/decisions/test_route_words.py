"""What people read about a route: stops with times and numbers, readiness, and why a plant stays in."""

from dataclasses import replace
from datetime import date

import numpy as np
import pytest
from invented import make_daylight, make_plant, make_taxon

from seasonplan.decisions.route import RouteRequest, routes
from seasonplan.decisions.route_stops import the
from seasonplan.model import Place, Rules

OUT, BACK = date(2027, 5, 8), date(2027, 10, 2)
PLACES = (Place("south window", "indoor"),
          *(Place(name, "outdoor") for name in ("porch", "under the tree", "steps", "lawn")))
SPANS = {p.name: (OUT, BACK) for p in PLACES if p.outdoors}
SUN = make_taxon(sun="sun", light_low_mol=18.0, light_high_mol=50.0)


def olive(places=PLACES, light=None, spans=None, taxon=SUN, leave=OUT, back=BACK):
    request = RouteRequest(make_plant("Olive", taxon=taxon), SPANS if spans is None else spans, leave, back)
    return routes([request], places, light or make_daylight(places), Rules())[0]


@pytest.mark.parametrize(("name", "ready"), [
    ("porch", "porch"), ("the lawn", "lawn"), ("under the tree", "spot under the tree"),
    ("Behind the house", "spot Behind the house"), ("north wall", "north wall")])
def test_place_names_take_an_article(name, ready):
    assert the(name) == ready


def test_the_first_stop_tells_sun_and_light():
    why = olive().stops[0].why
    assert why == ("the brightest place with room that it may have at first; direct sun 07:00 to 08:24; "
                   "light 1.7 -> 5.7 mol a day")


def test_a_stop_tells_since_when_the_plant_was_ready_for_it():
    """On 16 June A is 16.66 and the lawn's 57.87 mol ask for 57.87 / 3.5 / 0.99 = 16.70; on 17 June 16.76 of 16.75."""
    stop = next(s for s in olive().stops if s.place == "lawn")
    assert stop.date == date(2027, 6, 19) and stop.why.endswith("; ready since Thu 17 Jun")


def test_a_place_without_direct_sun_says_so():
    light = make_daylight(PLACES)
    dark = replace(light, sun_spans=tuple(tuple(() for _ in light.dates) for _ in PLACES))
    assert "; no direct sun; " in olive(light=dark).stops[0].why


def test_a_late_change_of_the_suns_path_is_named():
    places = (PLACES[0], Place("porch", "outdoor"), Place("yard", "outdoor"))
    light = make_daylight(places)
    day = np.arange(len(light.dates))
    swap = np.where(day < 200, 1.0, 0.5)
    rows = np.array([6 * np.ones(len(day)), 11 * swap, 9.8 * np.ones(len(day))])
    light = replace(light, clear_dli=rows, mean_dli=rows * 0.8, full_sun_h=rows * 0)
    result = olive(places, light, {"porch": (OUT, BACK), "yard": (OUT, BACK)})
    assert [s.place for s in result.stops[:2]] == ["porch", "yard"] and result.stops[1].date.month == 7
    assert "the sun's path of this season" in result.stops[1].why


def test_a_closing_place_is_named_with_its_date():
    spans = {"porch": (OUT, BACK), "under the tree": (OUT, date(2027, 6, 16))}
    stops = olive(spans=spans).stops
    assert stops[-1].place == "porch" and "it may be at the spot under the tree until Wed 16 Jun only" in stops[-1].why


def test_coming_in_early_is_explained():
    """The tree closes six days before the porch, which gives more light by then."""
    light = make_daylight(PLACES)
    brighter = light.clear_dli.copy()
    brighter[1, 240:] *= 3
    light = replace(light, clear_dli=brighter, mean_dli=0.6 * brighter)
    spans = {"porch": (OUT, BACK), "under the tree": (OUT, date(2027, 9, 26))}
    result = olive(light=light, spans=spans)
    assert result.stops[-1].until == date(2027, 9, 26)
    assert result.reason.startswith("It comes in on Sun 26 Sep already")


def test_a_descent_that_cannot_be_finished_is_told():
    spans = {"under the tree": (OUT, BACK)}
    result = olive(spans=spans, taxon=replace(SUN, light_low_mol=4.0))
    assert "could not be run down to 20 % of open light" in result.reason
    assert "at the spot under the tree it still has 30 %" in result.reason


def test_a_plant_whose_places_close_before_a_move_day_stays_in():
    spans = {"porch": (date(2027, 5, 10), date(2027, 5, 14))}
    result = olive(spans=spans, leave=date(2027, 5, 15), back=date(2027, 5, 15))
    assert result.blocked == "No outdoor place is open to it long enough between two move days (15 May to 15 May)."
