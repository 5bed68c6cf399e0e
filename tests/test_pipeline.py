"""The stages in order: which season, times away, several gardens of one person, pests of a row and of its parts."""

from collections import Counter
from dataclasses import replace
from datetime import date, timedelta

import pytest
from invented_files import PLACES, SITE, ZONE, read

from seasonplan import pipeline
from seasonplan.care.waiting import earliest_move_in
from seasonplan.dates import planning_days
from seasonplan.decisions import going
from seasonplan.decisions.arrivals import pests_since
from seasonplan.decisions.lived import as_lived
from seasonplan.model import Away, Before, SeenStep
from seasonplan.pipeline import build_round, last_check, with_jobs, with_moves

MARCH = date(2027, 3, 1)
PLANTS = ("name,taxon,count,pot_cm,place,pests\nLemon,Citrus x limon,1,30,south window,none\n"
          "Ferns,Boston fern,3,20,south window,scale\nIvy,pothos,1,15,south window,none\n")
SPLIT = "date,step,plant,place,note\n2027-06-05,move-out,Ferns,porch,1 pot\n"


def garden(name="Invented yard", rules="", plants=PLANTS, **given):
    return read(SITE.replace("Invented yard", name) + ZONE + rules + PLACES, plants, **given)


def moving_days(plan):
    steps = plan.moves if hasattr(plan, "moves") else plan.steps
    return {step.date for step in steps if step.kind.startswith("move")}


@pytest.mark.parametrize(("rules", "today", "year"), [
    ("", date(2027, 10, 31), 2027), ("", date(2027, 11, 1), 2028), ("[rules]\nyear = 2029\n", date(2027, 11, 1), 2029)])
def test_the_year_is_the_rules_or_the_next_season(rules, today, year):
    assert with_moves(garden(rules=rules), today, None).year == year


def test_nobody_moves_on_days_away_nor_on_days_that_are_shut():
    scenario = garden()
    free = moving_days(with_moves(scenario, MARCH, None))
    first, last = min(free), max(free)
    away = replace(scenario, away=(Away(first, first + timedelta(days=1), helper=True),),
                   rules=replace(scenario.rules, shut=frozenset({last})))
    assert moving_days(with_moves(away, MARCH, None)).isdisjoint({first, last})


@pytest.fixture(scope="module")
def three():
    """The plans of three gardens of one person, and what the jobs of each were told of the others."""
    gardens = [garden(name, "[rules]\nmove_days = []\n", PLANTS.replace("scale", "none"))
               for name in ("First yard", "Second yard", "Third yard")]
    told, real = [], pipeline.with_jobs
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(pipeline, "with_jobs", lambda *half: told.append(half) or real(*half))
        return build_round(gardens, [MARCH] * 3), told


def minutes(steps):
    taken = Counter()
    for step in steps:
        taken[step.date] += step.minutes
    return +taken


def test_each_garden_keeps_off_the_days_of_all_before_it(three):
    first, second, third = map(moving_days, three[0])
    assert first and second and third
    assert first.isdisjoint(second) and second.isdisjoint(third) and first.isdisjoint(third)


def test_jobs_mind_the_moves_of_every_other_garden_and_the_jobs_of_those_before_it(three):
    (first, second, _), told = three
    (_, one), (half_2, two), (half_3, other) = told
    assert one.minutes == minutes([*half_2.moves, *half_3.moves])
    assert two.minutes == minutes([*first.steps, *half_3.moves])
    assert other.minutes == minutes([*first.steps, *second.steps])


def test_what_a_garden_was_told_before_goes_to_that_garden():
    gardens = [garden("First yard"), garden("Second yard")]
    told = [None, Before(2027, known={"Lemon": None, "Ferns": None}, pests={"Ferns": ("scale", date(2027, 2, 1))})]
    first, second = build_round(gardens, [MARCH] * 2, told)
    assert first.known["Ivy"] is None and second.known["Ivy"] == MARCH
    assert first.pests["Ferns"] == ("scale", MARCH) and second.pests["Ferns"] == ("scale", date(2027, 2, 1))
    with pytest.raises(ValueError):
        build_round(gardens, [MARCH] * 2, told[:1])


def test_a_pest_of_a_row_holds_back_every_part_of_it():
    """The last check before coming in counts from the day since which the pest is known, for the row and its parts."""
    whole = garden(log=SPLIT)
    scenario = as_lived(whole, planning_days(2027, 44.5))
    ill = pests_since(whole, date(2027, 8, 1), None, 2027)
    check = last_check(scenario, 2027, ill)
    by_name = {plant.name: plant for plant in scenario.plants}
    assert by_name["Ferns, part 2"].row == "Ferns" and check(by_name["Lemon"]) is None
    for name in ("Ferns", "Ferns, part 2"):
        since = earliest_move_in(by_name[name], scenario.log, 2027, scenario, date(2027, 8, 1))
        assert check(by_name[name]) == since and since > date(2027, 8, 8)


def test_a_pest_is_news_on_every_part_of_its_row():
    """They are set apart on the day since which it is known, and treated from then on."""
    plan = with_jobs(with_moves(garden(log=SPLIT), date(2027, 6, 10), None))
    apart = [step for step in plan.steps if step.kind == "isolate"]
    assert [(step.date, step.plants) for step in apart] == [
        (date(2027, 6, 10), ("Ferns",)), (date(2027, 6, 10), ("Ferns, part 2",))]
    assert {name for step in plan.steps if step.kind == "treat" for name in step.plants} == {"Ferns", "Ferns, part 2"}


def test_a_move_that_was_due_in_a_season_that_is_kept_is_open_since_the_day_the_last_plan_told():
    begun = garden(log="date,step,plant,place,note\n2027-05-01,begin,,,\n")
    due = ("Lemon", "Ferns", "Ivy")
    before = Before(2027, dict.fromkeys(due), {}, seen=(
        SeenStep("2027-move-out-lemon-1-0123abcd@seasonplan.invalid", "move-out", (date(2027, 5, 22),), due, {}),))

    def since(scenario, told):
        return {step.open_since for step in with_moves(scenario, date(2027, 7, 20), told).moves
                if step.kind == "move-out"}
    assert since(begun, before) == {date(2027, 5, 22)}
    assert since(begun, None) == since(garden(), before) == {None}


def test_a_log_of_years_is_looked_through_once_for_each_plant(monkeypatch):
    """And not for each look of the route at it: a plan's time does not grow with every line of the log."""
    asked, told = [], going.logged_stays
    monkeypatch.setattr(going, "logged_stays",
                        lambda scenario, plant, dates: asked.append(plant.name) or told(scenario, plant, dates))
    log = "date,step,plant,place,note\n2027-06-05,move-out,Lemon,porch,no cloth\n"
    with_moves(garden(log=log), date(2027, 6, 20), None)
    assert set(asked) == {"Lemon", "Ferns", "Ivy"} and max(map(asked.count, asked)) <= 8, asked
