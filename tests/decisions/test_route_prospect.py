"""Ladders of places: which place leads to which, and what that is worth."""

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
