"""What stands where: plan and log."""

from dataclasses import replace
from datetime import date, timedelta

from invented import make_plan
from weather.garden import BACK, OUT, garden_plant, make_garden, standing_at

from seasonplan.model import LogEntry
from seasonplan.weather.standing import whereabouts

DAY = timedelta(days=1)


def fern_and_fig(*log: LogEntry):
    plan = make_garden([standing_at(garden_plant("Fern", 10.0, count=2), "porch"),
                        standing_at(garden_plant("Fig", 5.0), "")], log=log)
    return plan, whereabouts(plan)


def test_the_plans_route_is_followed_and_its_end_is_exclusive():
    plan, where = fern_and_fig()
    fern = plan.plants[0].plant
    nights = (OUT - DAY, OUT, BACK - DAY, BACK)
    assert [where.place_of(fern, night) for night in nights] == ["south window", "porch", "porch", "south window"]


def test_pots_are_counted_where_they_stand():
    plan, where = fern_and_fig()
    assert where.pots_by_place(OUT) == {"porch": 2, "south window": 1}
    assert [p.name for p in where.at("porch", OUT)] == ["Fern"]


def test_a_logged_move_counts_from_its_day_until_the_plans_next_move():
    plan, where = fern_and_fig(LogEntry(date(2027, 6, 1), "move", "Fern", "lawn"))
    fern = plan.plants[0].plant
    assert [where.place_of(fern, date(2027, 6, n)) for n in (1, 2)] == ["lawn", "lawn"]
    assert where.place_of(fern, date(2027, 5, 31)) == "porch" and where.place_of(fern, BACK) == "south window"


def test_the_log_wins_on_the_day_of_a_planned_move():
    plan, where = fern_and_fig(LogEntry(OUT, "move-out", "Fern", "lawn"))
    assert where.place_of(plan.plants[0].plant, OUT) == "lawn"


def test_a_plant_that_went_out_against_the_plan_stands_where_the_log_says():
    plan, where = fern_and_fig(LogEntry(date(2027, 6, 1), "move-out", "Fig", "lawn"))
    assert where.place_of(plan.plants[1].plant, date(2027, 6, 10)) == "lawn"


def test_a_move_in_without_a_place_goes_to_the_plants_own():
    plan, where = fern_and_fig(LogEntry(date(2027, 6, 1), "move-in", "Fern"))
    assert where.place_of(plan.plants[0].plant, date(2027, 6, 2)) == "south window"


def test_entries_that_are_no_moves_or_name_no_place_change_nothing():
    plan, where = fern_and_fig(LogEntry(date(2027, 6, 1), "repot", "Fern", "north room"),
                               LogEntry(date(2027, 6, 2), "2027-remove-moss-fern-1-abcd1234@x", "Fern", "lawn"),
                               LogEntry(date(2027, 6, 3), "move", "Fern"))
    assert where.place_of(plan.plants[0].plant, date(2027, 6, 9)) == "porch"


def test_an_entry_without_a_plant_means_the_plants_of_its_step():
    plan = make_plan()
    step = next(s for s in plan.steps if s.kind == "move-in" and "Jade" in s.plants)
    early = replace(plan.scenario, log=(LogEntry(date(2027, 7, 1), step.uid),))
    where = whereabouts(replace(plan, scenario=early))
    july = {p.plant.name: where.place_of(p.plant, date(2027, 7, 2)) for p in plan.plants}
    assert july["Jade"] == july["Ivy"] == "south window" and july["Lemon"] == "lawn"


def test_a_step_done_early_without_a_place_goes_where_the_plan_sends_each_plant():
    plan = make_plan()
    step = next(s for s in plan.steps if s.kind == "move-out" and "Jade" in s.plants)
    early = replace(plan.scenario, log=(LogEntry(step.date - 5 * DAY, step.uid),))
    where = whereabouts(replace(plan, scenario=early))
    jade = next(p.plant for p in plan.plants if p.plant.name == "Jade")
    assert where.place_of(jade, step.date - 3 * DAY) == "porch"
