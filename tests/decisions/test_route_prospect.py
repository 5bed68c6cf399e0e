"""Ladders of places: which place leads to which, and what that is worth."""

from dataclasses import replace
from datetime import date

import numpy as np
import pytest
from invented import make_daylight

from seasonplan.decisions.acclimation import light_rule
from seasonplan.decisions.route_prospect import ladder, prospects
from seasonplan.decisions.route_yard import make_yard
from seasonplan.model import Place

PLACES = tuple(Place(name, "outdoor") for name in ("porch", "under the tree", "steps", "lawn"))


def test_settled_plants_are_ready_for_the_next_place_but_not_for_full_sun():
    """Shares 0.2, 0.3, 0.5, 1 of open light in June; mean sky is 0.6 of clear, so a step may be up to 2.1."""
    yard = make_yard(PLACES, make_daylight(PLACES), ("sat",))
    steps = ladder(yard.day(date(2027, 6, 12)), yard)
    assert steps.diagonal().all()
    assert steps[0].tolist() == [True, True, False, False]
    assert steps[1].tolist() == [True, True, True, False]
    assert steps[3].all()


def test_a_place_is_worth_the_light_it_leads_to_less_a_discount_a_step():
    steps = np.array([[True, True, False], [True, True, True], [True, True, True]])
    light = np.array([[10.0, 9.0, 40.0]])
    long = np.array([100])
    share = light_rule().step_discount
    found = prospects(light, steps, np.array([[True, True, True]]), long)
    assert found[0] == pytest.approx([40 * share ** 2, 40 * share, 40.0])
    assert prospects(light, steps, np.array([[True, True, False]]), long)[0].tolist() == [10.0, 9.0, 40.0]


def test_steps_for_which_no_time_is_left_are_worth_nothing():
    steps = np.array([[True, True], [True, True]])
    light, ok = np.array([[10.0, 30.0]]), np.array([[True, True]])
    rule = light_rule()
    enough = int(rule.worth_days + rule.step_days)
    assert prospects(light, steps, ok, np.array([enough - 1]))[0].tolist() == [10.0, 30.0]
    assert prospects(light, steps, ok, np.array([enough]))[0, 0] == pytest.approx(30 * rule.step_discount)


def test_a_ladder_has_four_steps_at_most_and_each_takes_a_week():
    """Each place leads to the next, which gives twice as much."""
    light, steps = 2.0 ** np.arange(6)[None, :], np.eye(6, dtype=bool) | np.eye(6, k=1, dtype=bool)
    rule, all_fit = light_rule(), np.ones((1, 6), dtype=bool)
    assert prospects(light, steps, all_fit, np.array([999]))[0, :2] == pytest.approx(
        [16 * rule.step_discount ** 4, 32 * rule.step_discount ** 4])
    enough = int(rule.worth_days + 2 * rule.step_days)
    assert prospects(light, steps, all_fit, np.array([enough]))[0, 0] == pytest.approx(4 * rule.step_discount ** 2)
    assert prospects(light, steps, all_fit, np.array([enough - 1]))[0, 0] == pytest.approx(2 * rule.step_discount)


def test_a_dark_place_that_leads_nowhere_is_worth_its_own_light():
    steps = np.array([[True, False], [True, True]])
    for bearable in ([True, True], [False, False]):
        assert prospects(np.array([[0.2, 0.1]]), steps, np.array([bearable]), np.array([99]))[0, 0] == 0.2
    found = prospects(np.array([[0.2, 0.1]]), steps, np.array([[True, True]]), np.array([99]))
    assert found[0, 1] == pytest.approx(0.2 * light_rule().step_discount)


def steady_ladder(clear, mean, sun):
    """The ladder between places of steady light."""
    places = PLACES[:len(clear)]
    light = make_daylight(places)
    ones = np.ones(len(light.dates))
    values = {name: np.array(v)[:, None] * ones
              for name, v in (("clear_dli", clear), ("mean_dli", mean), ("full_sun_h", sun))}
    return ladder(100, make_yard(places, replace(light, **values), ("sat",)))


@pytest.mark.parametrize(("beyond", "ready"), [(0.0, True), (1e-9, False)])
def test_a_step_on_the_very_limit_is_one(beyond, ready):
    """Open shade of 12 mol; two hours of sun less the margin for a plant that had none; light and sun by their ratio
    for one that is used to 95 percent of 20 mol and of 5 hours."""
    rule = light_rule()
    spare = 1 - rule.margin
    assert steady_ladder((3.0, 12.0 + beyond), (1.0, 7.0), (0.0, 0.0))[0, 1] == ready
    assert steady_ladder((3.0, 9.0), (1.0, 7.0), (0.0, spare * rule.sun_step_h + beyond))[0, 1] == ready
    used = rule.settled_share * 20.0
    assert steady_ladder((34.0, spare * rule.step_ratio * used + beyond), (20.0, 40.0), (0.0, 0.0))[0, 1] == ready
    sun = spare * (rule.sun_ratio * (rule.settled_share * 5.0))
    assert steady_ladder((34.0, 40.0), (20.0, 40.0), (5.0, sun + beyond))[0, 1] == ready
