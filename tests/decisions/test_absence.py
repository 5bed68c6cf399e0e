"""Times away in the days of a plant's season."""

from datetime import date, timedelta

import pytest
from invented import make_night_climate, make_plant, make_scenario

from seasonplan.decisions.absence import Absence, days_away
from seasonplan.model import Away, Rules

SPRING, AUTUMN = date(2027, 5, 29), date(2027, 9, 11)
SPANS = {"porch": (date(2027, 5, 20), date(2027, 9, 20))}
TENDER = make_plant("Tender", harm_c=11.0, harm_hardened_c=10.0)


def around(first, until, plant=TENDER, helper=False, outdoors=False):
    away = (Away(first, until, helper),)
    scenario = make_scenario(plants=(plant,), away=away, rules=Rules(year=2027, shut=days_away(away)))
    return Absence(scenario, make_night_climate()).around(plant, SPANS, SPRING, AUTUMN, outdoors)


def test_days_away_leave_out_the_day_of_coming_back():
    assert days_away([Away(date(2027, 7, 1), date(2027, 7, 3))]) == {date(2027, 7, 1), date(2027, 7, 2)}


def test_a_risky_time_at_the_beginning_puts_going_out_off():
    assert around(date(2027, 6, 1), date(2027, 6, 12)) == (date(2027, 6, 12), AUTUMN)


def test_a_risky_time_at_the_end_brings_coming_in_forward():
    assert around(date(2027, 9, 1), date(2027, 9, 8)) == (SPRING, date(2027, 8, 29))


def test_a_plant_that_stands_out_already_is_not_put_off():
    assert around(date(2027, 6, 1), date(2027, 6, 12), outdoors=True) == (SPRING, AUTUMN)


@pytest.mark.parametrize("given", [{"helper": True}, {"plant": make_plant("Tough", harm_c=-5.0, harm_hardened_c=-5.0)}])
def test_with_a_helper_or_without_risk_nothing_changes(given):
    assert around(date(2027, 6, 1), date(2027, 6, 12), **given) == (SPRING, AUTUMN)


def test_in_the_middle_of_the_season_it_stays():
    assert around(date(2027, 7, 20), date(2027, 7, 30)) == (SPRING, AUTUMN)


def test_a_time_away_outside_its_season_is_nothing_to_it():
    assert around(date(2027, 5, 1), SPRING) == around(AUTUMN, AUTUMN + timedelta(days=9)) == (SPRING, AUTUMN)
