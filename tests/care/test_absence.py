"""The list for days on which nobody is there."""

from datetime import date, timedelta

import pytest
from care.garden import OUT, moving, plant, scenario_of, staying, stop
from invented import make_daylight, make_night_climate

from seasonplan.care.absence import Helper
from seasonplan.care.cases import with_stays
from seasonplan.care.season import season_of
from seasonplan.model import Away

SEPTEMBER = (date(2027, 9, 4), date(2027, 9, 14))
JULY = (date(2027, 7, 10), date(2027, 7, 17))


def list_for(span, *plans, helper=True, **given):
    scenario = scenario_of(plans, **given)
    season = with_stays(season_of(scenario, 2027), plans)
    lists = Helper(season, plans, make_night_climate(), make_daylight(scenario.places)).lists([Away(*span, helper)])
    return lists[0]


def tender(**given):
    return moving(plant("Fern", count=3, harm_c=9.0, harm_hardened_c=9.0, **given))


def test_a_helper_has_a_line_for_every_day_in_summer_and_none_without_one():
    told = list_for(JULY, tender(), staying(plant("Ivy")))
    assert [day for day, _ in told.days] == [JULY[0] + timedelta(days=n) for n in range(7)]
    assert all(any("3 pots on the porch" in line for line in lines) for _, lines in told.days)
    assert sum("1 pot at the south window" in line for _, lines in told.days for line in lines) == 1
    assert list_for(JULY, tender(), helper=False).days == ()


def test_in_cool_weeks_pots_outdoors_are_looked_at_every_other_day():
    told = list_for(SEPTEMBER, tender())
    watered = [day for day, lines in told.days if any("Water outdoors" in line for line in lines)]
    assert watered == [SEPTEMBER[0] + timedelta(days=n) for n in range(0, 10, 2)]


def test_what_to_carry_at_which_forecast_where_to_and_by_when_is_said_first():
    told = list_for(SEPTEMBER, tender())
    [line] = [line for line in told.days[0][1] if line.startswith("Every evening")]
    assert "Fern from porch to south window by 19:00, out again in the morning" in line and "°C or below" in line
    watch = [lines for _, lines in told.days[1:] if any("Look well tonight" in line for line in lines)]
    assert watch and not any("Every evening" in line for lines in watch for line in lines)


def test_the_risk_that_stays_is_a_chance_with_its_plant_and_place():
    alone = list_for(SEPTEMBER, tender(), helper=False).risk
    assert alone.startswith("Nobody carries") and "Fern on the porch" in alone and "%" in alone
    assert "By the season's usual nights none" in list_for(JULY, moving(plant(harm_c=0.0, harm_hardened_c=0.0))).risk


def test_nobody_waters_is_said_where_nobody_does():
    assert any("Nobody waters 3 pots outdoors for 7 days" in line for line in list_for(JULY, tender(),
                                                                                       helper=False).before)
    assert not any("Nobody waters" in line for line in list_for(JULY, tender()).before)
    inside = list_for(JULY, staying(plant()), helper=False)
    assert not any("outdoors" in line for line in inside.before)


def test_times_outside_the_planning_year_have_no_list():
    scenario = scenario_of([tender()])
    season = with_stays(season_of(scenario, 2027), [tender()])
    helper = Helper(season, [tender()], make_night_climate(), make_daylight(scenario.places))
    assert helper.lists([Away(date(2026, 7, 1), date(2026, 7, 9)), Away(date(2028, 7, 1), date(2028, 7, 9))]) == ()


@pytest.mark.parametrize(("until", "named"), [(date(2027, 7, 12), {"porch"}), (date(2027, 8, 1), {"porch", "lawn"})])
def test_each_place_of_a_plant_counts_while_it_stands_there(until, named):
    plan = moving(plant("Fern", harm_c=14.0, harm_hardened_c=14.0),
                  stops=[stop(OUT, date(2027, 7, 12), "porch"), stop(date(2027, 7, 12), date(2027, 9, 25), "lawn")])
    [told] = [list_for((JULY[0], until), plan)]
    lines = " ".join(told.days[0][1])
    assert {place for place in ("porch", "lawn") if f"from {place}" in lines} == named
