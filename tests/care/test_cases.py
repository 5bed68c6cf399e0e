from datetime import date

import pytest
from care.garden import BACK, OUT, after, moving, plant, scenario_of, staying, stop

from seasonplan.care.cases import cases_of, with_stays
from seasonplan.care.logbook import Done, Find, PlantLog
from seasonplan.care.season import season_of

MIDDLE = date(2027, 7, 3)


def season():
    return season_of(scenario_of([]), 2027)


def cases(plans, logs=None):
    return cases_of(plans, season(), logs or {})


def test_like_plants_are_one_case_whatever_their_names_and_numbers():
    [case] = cases([moving(plant("A", count=3, pot_cm=12.0)), moving(plant("B", pot_cm=14.0))])
    assert case.members == (0, 1)


@pytest.mark.parametrize("facts", [
    {"root_bound": True}, {"last_leached": date(2027, 3, 1)}, {"last_repotted": date(2027, 3, 1)},
    {"notes": "dusty"}, {"notes": "leggy"}, {"pot_cm": 40.0}, {"group": "cactus"}, {"cuttings": "soil"},
    {"moisture": "dry"}, {"soap_sensitive": "yes"}, {"toxic_people": "none", "toxic_pets": "none"},
    {"key": "hedera-inventa"}], ids=str)
def test_every_fact_that_a_rule_looks_at_makes_a_case_of_its_own(facts):
    assert len(cases([moving(plant("A")), moving(plant("B", **facts))])) == 2


def test_other_dates_places_and_statuses_are_cases_of_their_own():
    like = plant("A")
    plans = [moving(like), moving(like, OUT, after(BACK, -7)), moving(like, after(OUT, 7)), staying(like),
             staying(like, "stays-out"), moving(like, stops=[stop(OUT, BACK, "lawn")])]
    assert len(cases(plans)) == len(plans)


@pytest.mark.parametrize("log", [PlantLog(finds=[Find(739_000, "scale")]), PlantLog(clears=[739_000]),
                                 PlantLog(done=[Done(739_000, "treat")]), PlantLog(before=[Done(700, "leach")])],
                         ids=["find", "clear", "spray", "history"])
def test_what_the_log_says_makes_a_case_of_its_own(log):
    assert len(cases([moving(plant("A")), moving(plant("B"))], {"B": log})) == 2


def test_a_step_into_more_sun_is_noticed_and_one_into_less_is_not():
    stops = [stop(OUT, MIDDLE, "porch", 0.2), stop(MIDDLE, date(2027, 8, 7), "lawn", 5.0),
             stop(date(2027, 8, 7), BACK, "porch", 0.2)]
    [case] = cases([moving(plant(), stops=stops)])
    assert case.sun_steps == (MIDDLE.toordinal(),)


def test_outdoors_or_not():
    [moves, stays_in, stays_out] = cases([moving(plant("A")), staying(plant("B")), staying(plant("C"), "stays-out")])
    days = [OUT.toordinal() - 1, OUT.toordinal(), BACK.toordinal() - 1, BACK.toordinal()]
    assert [moves.outdoors(d) for d in days] == [False, True, True, False]
    assert not any(map(stays_in.outdoors, days)) and all(map(stays_out.outdoors, days))


def test_the_season_of_a_collection_runs_from_its_first_out_to_its_last_in():
    plans = [moving(plant("A")), moving(plant("B"), after(OUT, 14), after(BACK, 14)), staying(plant("C"))]
    found = with_stays(season(), plans)
    assert found.outside == (OUT.toordinal(), BACK.toordinal() + 13) and found.first_back == BACK.toordinal()
    assert with_stays(season(), plans[2:]).outside is None
    all_year = with_stays(season(), [staying(plant("D"), "stays-out")])
    assert all_year.outside == (all_year.first, all_year.last) and all_year.first_back is None
