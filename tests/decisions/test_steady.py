"""A plan stays: what is done as planned changes nothing, what is done otherwise changes only those plants."""

from dataclasses import replace
from datetime import date, timedelta
from functools import cache
from pathlib import Path

import pytest

from seasonplan import build_plan, load_scenario
from seasonplan.decisions.route import RouteResult
from seasonplan.decisions.steady import moves_of
from seasonplan.model import Alert, Before, LogEntry, Stop, log_note

SCENARIOS = Path(__file__).parent.parent.parent / "scenarios"
MARCH = date(2027, 3, 1)


def stop(out, until, place="porch"):
    return Stop(date.fromisoformat(out), date.fromisoformat(until), place, 1.0, 1.0, 1.0, 1.0, 1.0, 1.0, 1.0, "")


@cache
def read(name):
    """A shipped garden without a log and without pests, and its plan on paper."""
    found = load_scenario(SCENARIOS / name)
    found = replace(found, log=(), plants=tuple(replace(plant, pests="none") for plant in found.plants))
    return found, build_plan(found, MARCH)


def as_planned(plan, until, late=(), left_out=()):
    """The log of a person who did everything before a day on its day. late: plants whose moves were a week late;
    left_out: plants that were not moved."""
    log = [LogEntry(MARCH, "begin")]
    log += [LogEntry(step.date, step.kind, name) for step in plan.steps for name in step.plants
            if MARCH <= step.date < until and step.kind not in ("move-out", "move", "move-in", "cloth")]
    for each in plan.plants:
        name = each.plant.name
        for day, place, cloth in moves_of(RouteResult(each.route)):
            on = day + timedelta(days=7) if name in late else day
            if on < until and name not in left_out:
                log.append(LogEntry(on, "move" if place else "move-in", name, place or each.plant.place,
                                    log_note(None, cloth) if place else ""))
    return tuple(sorted(log, key=lambda e: (e.date, e.plant)))


def ways(plan):
    return {each.plant.name: moves_of(RouteResult(each.route)) for each in plan.plants}


@pytest.mark.parametrize("name", ["fallowmere", "skerry-head"])
def test_a_season_kept_as_planned_keeps_its_plan(name):
    scenario, paper = read(name)
    moves = [(step.uid, step.date, step.plants) for step in paper.steps if step.kind.startswith("move")]
    for today in (date(2027, 6, 21), date(2027, 9, 4)):
        plan = build_plan(replace(scenario, log=as_planned(paper, today)), today)
        assert ways(plan) == ways(paper), today
        assert [(step.uid, step.date, step.plants) for step in plan.steps if step.kind.startswith("move")] == [
            each for each in moves if each[1] >= today]


def test_a_plant_that_was_late_is_planned_anew_and_the_others_keep_theirs():
    (scenario, paper), today = read("fallowmere"), date(2027, 6, 21)
    plan = build_plan(replace(scenario, log=as_planned(paper, today, late=("Gardenia",))), today)
    moved = {name for name, way in ways(plan).items() if way != ways(paper)[name]}
    assert moved == {"Gardenia"}
    first = ways(plan)["Gardenia"][0][0]
    assert first == ways(paper)["Gardenia"][0][0] + timedelta(days=7)


def test_a_move_that_was_missed_is_dated_from_today_on():
    (scenario, paper), today = read("fallowmere"), date(2027, 7, 7)
    plan = build_plan(replace(scenario, log=as_planned(paper, today, left_out=("Moth orchids",))), today)
    assert {name for name, way in ways(plan).items() if way != ways(paper)[name]} == {"Moth orchids"}
    assert ways(plan)["Moth orchids"][0][0] >= today > ways(paper)["Moth orchids"][0][0]


def test_days_go_by_and_nothing_jumps():
    """A plant out of step keeps the plan that was made after the last that is known of it."""
    scenario, paper = read("fallowmere")
    log = as_planned(paper, date(2027, 6, 21), late=("Gardenia", "Red hibiscus"))
    plans = [build_plan(replace(scenario, log=log), date(2027, 6, 21) + timedelta(days=n)) for n in (0, 2, 4)]
    assert ways(plans[0]) == ways(plans[1]) == ways(plans[2])


def test_one_that_was_late_and_then_followed_its_new_plan_keeps_that():
    scenario, paper = read("fallowmere")
    first = as_planned(paper, date(2027, 6, 21), late=("Gardenia",))
    anew, today = build_plan(replace(scenario, log=first), date(2027, 6, 21)), date(2027, 8, 1)
    since = tuple(entry for entry in as_planned(anew, today) if entry.date >= date(2027, 6, 21))
    plan = build_plan(replace(scenario, log=(*first, *since)), today)
    assert ways(plan) == ways(anew) and len(ways(anew)["Gardenia"]) > 2


def test_one_that_was_rescued_stays_in_as_long_as_watch_said():
    """The forecast of that evening knows more of the coming nights than what is usual."""
    (scenario, paper), today = read("fallowmere"), date(2027, 6, 17)
    log = (*as_planned(paper, today), LogEntry(date(2027, 6, 16), "rescue", "Hallway ficus"))
    known = dict.fromkeys((each.plant.name for each in paper.plants), None)
    told = Alert("", date(2027, 6, 16), "lawn", 5.0, 5.0, 0.9, 7.0, ("Hallway ficus",), "", "",
                 out_again=date(2027, 7, 1))

    def back(alerts):
        plan = build_plan(replace(scenario, log=log), today, Before(2027, known, {}, alerts))
        return next(day for day, place, _ in ways(plan)["Hallway ficus"] if place and day > today)

    assert back(()) < told.out_again <= back((told,)) < date(2027, 7, 12)


def test_one_that_is_gone_leaves_the_others_where_they_are():
    (scenario, paper), today = read("fallowmere"), date(2027, 6, 24)
    log = (*as_planned(paper, today), LogEntry(date(2027, 6, 22), "died", "Big lemon"))
    plan = build_plan(replace(scenario, log=log), today)
    others = {name: way for name, way in ways(paper).items() if name != "Big lemon"}
    assert ways(plan) == others


def test_the_moves_of_a_way_with_days_indoors_between():
    way = RouteResult((stop("2027-05-01", "2027-05-09"), stop("2027-05-09", "2027-06-01", "lawn"),
                       stop("2027-06-04", "2027-09-01", "lawn")))
    assert [(f"{day:%m-%d}", place) for day, place, _ in moves_of(way)] == [
        ("05-01", "porch"), ("05-09", "lawn"), ("06-01", ""), ("06-04", "lawn"), ("09-01", "")]


@pytest.mark.parametrize("name", ["fallowmere", "skerry-head"])
def test_a_day_of_moving_that_was_missed_is_made_up_for_on_the_next(name):
    """All other days of moving stay what they were: nobody gets more of them for having been a day late."""
    scenario, paper = read(name)
    days = sorted({day for way in ways(paper).values() for day, _, _ in way})
    missed = days[2]
    today = missed + timedelta(days=1)
    plan = build_plan(replace(scenario, log=as_planned(paper, missed)), today)
    now = sorted({day for way in ways(plan).values() for day, _, _ in way if day >= today})
    new = set(now) - set(days)
    assert len(new) == 1 and min(now) in new and (min(now) - missed).days <= 7
    others = [one for one, way in ways(paper).items() if missed not in [day for day, _, _ in way]]
    assert others and {one: ways(plan)[one] for one in others} == {one: ways(paper)[one] for one in others}
