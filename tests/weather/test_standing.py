"""What stands where: plan and log."""

from dataclasses import replace
from datetime import date, timedelta

from invented import make_plan
from weather.garden import BACK, OUT, garden_plant, make_garden, standing_at

from seasonplan.model import LogEntry
from seasonplan.weather.standing import Whereabouts, standing, whereabouts

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


def test_of_two_moves_on_one_day_the_later_line_of_the_log_counts():
    log = [LogEntry(date(2027, 6, 1), "move", "Fern", place) for place in ("lawn", "cold frame")]
    plan, where = fern_and_fig(*log)
    assert where.place_of(plan.plants[0].plant, date(2027, 6, 1)) == "cold frame"


FERN = garden_plant("Fern", 10.0)
D1, D2, D3, D4 = (date(2027, 5, 10) + n * 10 * DAY for n in range(4))
MOVED = {"Fern": ([D1, D2, D3, D4], ["porch", "lawn", "south window", "porch"])}
OUTDOORS = {"porch", "lawn"}


def test_it_leaves_on_the_days_that_a_plan_has_it_go_out_and_no_log_tells():
    where = Whereabouts((FERN,), MOVED)
    assert [day for n in range(-1, 40) if where.leaves_on(FERN, day := D1 + n * DAY)] == [D1, D4]
    assert not Whereabouts((FERN,), MOVED, {D1: {"Fern"}}).leaves_on(FERN, D1)
    assert Whereabouts((FERN,), MOVED, {D1: {"Fig"}, D2: {"Fern"}}).leaves_on(FERN, D1)
    assert not Whereabouts((FERN,), {"Fern": ([], [])}).leaves_on(FERN, D1)
    plan, where = fern_and_fig(LogEntry(OUT - 3 * DAY, "move-out", "Fern", "lawn"))
    assert not where.leaves_on(plan.plants[0].plant, OUT - 3 * DAY)
    for told in ((), (LogEntry(OUT, "move-out", "Fern", "lawn"),)):
        plan, where = fern_and_fig(*told)
        assert where.leaves_on(plan.plants[0].plant, OUT) == (not told)


def test_a_stay_outdoors_goes_on_from_place_to_place_and_begins_anew_after_a_stay_indoors():
    where = Whereabouts((FERN,), MOVED)
    nights = (D1 - DAY, D1, D2 - DAY, D2, D3 - DAY, D3, D4 - DAY, D4, D4 + 90 * DAY)
    assert [where.out_since(FERN, night, OUTDOORS) for night in nights] == [None, D1, D1, D1, D1, None, None, D4, D4]
    always = replace(FERN, place="lawn")
    assert Whereabouts((always,), {"Fern": ([D1], ["porch"])}).out_since(always, D2, OUTDOORS) is None


def test_what_harms_a_plant_falls_with_its_days_outdoors_and_one_that_is_always_out_is_hardened():
    out, inside = (garden_plant(name, harm_c, harm_hardened_c=harm_c - 3) for name, harm_c in (("A", 9.0), ("B", 5.0)))
    always = replace(out, name="Olive", place="lawn")
    plan = make_garden([standing_at(out, "porch"), standing_at(inside, ""), standing_at(always, "")])
    nights = (OUT - DAY, OUT, OUT + 28 * DAY, OUT + 60 * DAY)
    rows, harms = standing(plan).on(nights)
    names = [place.name for place in plan.places]
    assert [names[row] for row in rows[0]] == ["south window", "porch", "porch", "porch"]
    assert {names[row] for row in rows[1]} == {"south window"} and {names[row] for row in rows[2]} == {"lawn"}
    assert harms[0].tolist() == [out.harm_after_c(n) for n in (0, 0, 28, 60)]
    assert out.harm_c > out.harm_after_c(28) > out.harm_after_c(60) == out.harm_hardened_c
    assert set(harms[1]) == {inside.harm_c} and set(harms[2]) == {always.harm_hardened_c} != {always.harm_c}
    assert standing(plan).on(nights)[1].tolist() == harms.tolist() and standing(plan) is standing(plan)
