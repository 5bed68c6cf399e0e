"""The line on the other summer: days of moving, and the light of those that would notice."""

from dataclasses import replace
from datetime import timedelta

import numpy as np
import pytest
from flat_garden import BACK, OUT, ask, days, flat_garden, flat_light, flat_places
from invented import make_plant_plan, make_stop

from seasonplan.decisions.route import routes
from seasonplan.decisions.route.compare import mean_light, moving_days, other_summer
from seasonplan.model import Rules, ShadeAdvice

MEAN, SUN_H = {"room": 2.0, "porch": 6.0, "lawn": 30.0}, {"porch": 1.0, "lawn": 8.0}
LIGHT, PLACES = flat_light(MEAN, SUN_H), flat_places({"porch": None, "lawn": None})


def plan_of(request, *stays):
    """The plan of a plant with stays (first day, last day, place, cloth)."""
    route = tuple(make_stop(days(a), days(b), place, LIGHT, shade=ShadeAdvice(place, cloth, days(b)) if cloth else None)
                  for a, b, place, cloth in stays)
    return make_plant_plan(request.plant, route[0].date if route else OUT, BACK, route)


def other(*requests, summer="toward-sun"):
    rules = Rules(summer=summer)
    plans = [make_plant_plan(r.plant, OUT, BACK, result.stops)
             for r, result in zip(requests, routes(requests, PLACES, LIGHT, rules), strict=True)]
    return other_summer(requests, plans, PLACES, LIGHT, rules), plans


def test_days_of_moving_count_once_with_the_days_in_and_none_for_a_plant_that_stays_out():
    a = plan_of(ask("a"), (0, 10, "porch", 0), (10, 30, "lawn", 0))
    b = plan_of(ask("b"), (0, 12, "porch", 0), (12, 30, "lawn", 50))
    assert moving_days([a]) == 3 and moving_days([a, b]) == 4
    stays_out = make_plant_plan(a.plant, OUT, BACK, a.route, status="stays-out")
    assert moving_days([stays_out]) == 2 and moving_days([plan_of(ask("c"))]) == 0


def test_light_is_the_mean_over_days_under_the_cloths_that_hang():
    garden = flat_garden(MEAN, sun_h=SUN_H)
    assert mean_light(plan_of(ask(), (0, 10, "porch", 0), (10, 40, "lawn", 50)), garden) == pytest.approx(
        (10 * 6 + 30 * 15) / 40)
    assert mean_light(plan_of(ask()), garden) == 0.0
    assert mean_light(plan_of(ask(), (0, 1, "porch", 0)), garden) == pytest.approx(6.0)


def test_the_light_of_a_stay_is_that_of_its_middle():
    garden = flat_garden(MEAN, sun_h=SUN_H)
    rising = replace(garden.light, mean_dli=garden.light.mean_dli + 0.1 * np.arange(len(garden.dates)))
    middle = garden.day(OUT) + 20
    assert mean_light(plan_of(ask(), (0, 40, "porch", 0)), replace(garden, light=rising)) == pytest.approx(
        6 + 0.1 * middle)


def test_toward_the_sun_the_line_says_what_the_shade_would_take():
    olive, fern = ask("olive", places=("porch", "lawn")), ask("fern", "shade", places=("porch", "lawn"))
    text, plans = other(olive, fern)
    had = mean_light(plans[0], flat_garden(MEAN, sun_h=SUN_H))
    assert text.startswith("In the shade all summer: ") and "fern" not in text
    assert f"of moving instead of {moving_days(plans)}; olive gets 6 instead of {had:.0f} mol" in text
    assert text.endswith("and flowers less.")


def test_in_the_shade_the_line_says_what_the_sun_would_give():
    text, _ = other(ask("olive", places=("porch", "lawn")), ask("lime", places=("porch", "lawn")), summer="in-shade")
    assert text.startswith("Toward the sun: ") and "lime and olive get " in text and "instead of 6 mol" in text
    assert text.endswith("and flower more.")


def test_no_more_than_two_are_named_the_ones_that_would_notice_most():
    requests = [ask(name, light_high_mol=high, places=("porch", "lawn"))
                for name, high in (("a", 12.0), ("b", 45.0), ("c", 45.0))]
    text, _ = other(*requests)
    assert "b and c get" in text


def test_where_it_makes_no_difference_nothing_is_said():
    assert other(ask("fern", "shade", places=("porch", "lawn")))[0] == ""
    assert other(ask("olive", places=("porch",)))[0] == ""


def test_the_other_summer_is_worked_out_as_on_paper():
    logged = ask("olive", places=("porch", "lawn"), stays=((OUT, "porch"),), free_from=days(100))
    fresh = ask("olive", places=("porch", "lawn"))
    plans = other(fresh)[1]
    told = [other_summer([request], plans, PLACES, LIGHT, Rules()) for request in (logged, fresh)]
    assert told[0] == told[1] != ""


def test_a_year_is_long_enough_for_a_plant_that_stays_out():
    all_year = ask("olive", places=("porch", "lawn"), out=LIGHT.dates[0], back=LIGHT.dates[-1] + timedelta(days=1))
    assert other(all_year)[0].startswith("In the shade all summer: ")
