"""The calendar by day: the jobs of a day are one event, moves and alerts their own, and no event stands double."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, timedelta

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from ics_reading import events, raw_events
from invented import by_step, make_plan, make_step

from seasonplan.model import LogEntry, Plan
from seasonplan.outputs import calendar_text
from seasonplan.outputs.calendar import render_calendar
from seasonplan.outputs.calendar_events import day_uid

SATURDAY, SUNDAY = date(2027, 5, 15), date(2027, 5, 16)


def job(kind: str, *plants: str, day: date = SATURDAY, **given):
    uid = f"2027-{kind}-{'-'.join(plants).lower().replace(' ', '-')}-1-0badcafe@seasonplan.invalid"
    return make_step(day, kind, plants, **{"uid": uid, **given})


LEACH = job("leach", "Jade", "Olive", minutes=55, detail="6 L through each.", cautions=("Slippery.",),
            amounts=(("water_l", 24.0),), why="Salts pile up.")
REPOT = job("repot", "Big fig", minutes=20, cautions=("Slippery.", "Dust."), why="Root-bound.")
TURN = job("turn", "Jade", minutes=0, why="Salts pile up.")
OUT = job("move-out", "Jade", "Olive", "Big fig", minutes=9)


def plan_of(*steps, log=(), alerts=()) -> Plan:
    plan = make_plan(steps=steps, alerts=alerts)
    return replace(plan, scenario=replace(plan.scenario, log=log))


def confirmed(calendar: bytes) -> dict[str, str]:
    """UID -> title of the events that stand."""
    return {uid: str(event["SUMMARY"]) for uid, event in events(calendar).items() if event["STATUS"] == "CONFIRMED"}


@pytest.mark.parametrize(("start", "about"), [
    ("09:28", "09:30"), ("09:32", "09:30"), ("23:58", "00:00"), ("08:00", "08:00")])
def test_a_start_is_about_the_nearest_five_minutes(start, about):
    assert calendar_text._about(start) == about


def test_the_jobs_of_a_day_are_one_event_and_moves_have_their_own():
    calendar = render_calendar(plan_of(REPOT, OUT, LEACH, TURN, job("wash", "Ivy", day=SUNDAY)), None)
    assert confirmed(calendar) == {
        OUT.uid: "Out: Jade, Olive and 3 more pots to porch",
        day_uid(2027, "Invented town", SATURDAY): "Leach 4 pots, repot Big fig, turn the pots weekly: 1 h 15 min",
        day_uid(2027, "Invented town", SUNDAY): "Wash Ivy: 30 min"}


def test_a_day_before_or_after_the_planning_year_has_an_event_beside_that_of_the_same_day_within_it():
    """A pest is treated from today, in November for the next year; the year has a day of that number, too."""
    november = date(2026, 11, 28)
    days = [november, november.replace(year=2027), date(2027, 1, 9), date(2028, 1, 9)]
    steps = [job("treat", "Jade", day=day, uid=f"2027-treat-jade-{n}-0badcafe@seasonplan.invalid")
             for n, day in enumerate(days)]
    plan = replace(plan_of(*steps), today=november)
    first = render_calendar(plan, None)
    assert {uid[:14]: event.decoded("DTSTART") for uid, event in events(first).items()} == {
        "2026-day-1128-": days[0], "2027-day-1128-": days[1], "2027-day-0109-": days[2], "2028-day-0109-": days[3]}
    assert render_calendar(plan, first) == first, "they are known again as days"
    gone = day_uid(2026, "Invented town", november)
    assert events(render_calendar(replace(plan, steps=tuple(steps[1:])), first))[gone]["STATUS"] == "CANCELLED"
    later = replace(plan, steps=tuple(steps[1:]), today=november + timedelta(days=1))
    assert events(render_calendar(later, first))[gone]["STATUS"] == "CONFIRMED", "what is past of another year stays"
    treated = replace(plan, steps=tuple(steps[1:]), scenario=replace(plan.scenario, log=(
        LogEntry(november, "treat", "Jade"),)))
    old = replace(steps[0], uid="2026-treat-jade-1-0badcafe@seasonplan.invalid")
    before = render_calendar(replace(plan, steps=(old, *steps[1:])), None)
    assert events(render_calendar(treated, before))[gone]["STATUS"] == "CONFIRMED", "it was done"


def test_a_day_lists_its_jobs_with_amounts_and_says_reasons_and_cautions_once():
    event = events(render_calendar(plan_of(LEACH, REPOT, TURN), None))[day_uid(2027, "Invented town", SATURDAY)]
    text = str(event["DESCRIPTION"])
    assert text.startswith("3 jobs, 1 h 15 min in all, start about 09:00.\n\n1. Leach: Jade, Olive, 55 min")
    for said in ("6 L through each.", "Needed: 24 L of water", "2. Repot: Big fig, 20 min", "3. Turn: Jade",
                 "Why this day: \n1 and 3: Salts pile up.\n2: Root-bound.", "Take care:\n- Slippery.\n- Dust."):
        assert said.replace(": \n", ":\n") in text.replace(": \n", ":\n"), said
    assert text.count("Slippery.") == 1 and text.count("Salts pile up.") == 1
    assert not isinstance(event["DTSTART"].dt, type(None)) and event["DTSTART"].dt == SATURDAY
    assert len(event.walk("VALARM")) == 1


def test_a_move_says_from_where_to_where():
    moves = [step for step in make_plan().steps if step.kind == "move-out" and "Jade" in step.plants]
    text = str(events(render_calendar(plan_of(*moves), None))[moves[0].uid]["DESCRIPTION"])
    assert text.startswith("From south window to porch: Jade (2 pots), Big fig") and "Under 50 % shade cloth" in text


def test_a_day_is_its_garden_and_its_date_whatever_its_jobs_are():
    first = render_calendar(plan_of(LEACH, REPOT), None)
    second = render_calendar(plan_of(LEACH), first)
    [(uid, event)] = events(second).items()
    assert uid == day_uid(2027, "Invented town", SATURDAY) and uid in raw_events(first)
    assert event["SEQUENCE"] == 1 and str(event["SUMMARY"]) == "Leach 4 pots: 55 min"
    assert render_calendar(plan_of(LEACH), second) == second
    assert day_uid(2027, "Other town", SATURDAY) != uid and "/" not in uid


def test_a_day_left_without_work_is_called_off_and_then_left_out():
    first = render_calendar(plan_of(LEACH), None)
    moved = plan_of(replace(LEACH, date=SUNDAY))
    second = render_calendar(moved, first)
    gone = events(second)[day_uid(2027, "Invented town", SATURDAY)]
    assert gone["STATUS"] == "CANCELLED" and str(gone["SUMMARY"]) == "Cancelled: Leach 4 pots: 55 min"
    assert list(events(render_calendar(moved, second))) == [day_uid(2027, "Invented town", SUNDAY)]
    back = events(render_calendar(plan_of(LEACH), render_calendar(moved, second)))
    assert back[day_uid(2027, "Invented town", SATURDAY)]["SEQUENCE"] == 2


@pytest.mark.parametrize("step", [LEACH.uid, "leach"], ids=["by uid", "by kind"])
def test_a_day_whose_jobs_were_done_stays_as_it_was(step):
    first = render_calendar(plan_of(LEACH), None)
    done = plan_of(log=(LogEntry(SUNDAY, step, "Jade" if step == "leach" else ""),))
    assert raw_events(render_calendar(done, first)) == raw_events(first)
    other = plan_of(log=(LogEntry(SUNDAY, "repot", "Jade"),))
    assert confirmed(render_calendar(other, first)) == {}, "something else was done"
    moved = plan_of(replace(LEACH, date=SUNDAY), log=done.scenario.log)
    assert list(confirmed(render_calendar(moved, first))) == [day_uid(2027, "Invented town", SUNDAY)], \
        "half done, the rest on another day: the old day no longer stands"


def test_work_on_the_whole_collection_told_plant_by_plant_was_done():
    feed = job("feed", "Jade", "Olive", minutes=12, uid="2027-feed-all-6-0badcafe@seasonplan.invalid")
    first = render_calendar(plan_of(feed), None)
    done = plan_of(log=tuple(LogEntry(SATURDAY, "feed", name) for name in feed.plants))
    assert raw_events(render_calendar(done, first)) == raw_events(first)
    started = plan_of(log=(LogEntry(SATURDAY, "feed-start", "Jade"),))
    assert confirmed(render_calendar(started, first)) == {}, "another job"


def test_going_from_day_to_step_and_back_leaves_no_double():
    by_day = plan_of(LEACH, REPOT, OUT, alerts=make_plan().alerts)
    first = render_calendar(by_day, None)
    second = render_calendar(by_step(by_day), first)
    assert {uid for uid in confirmed(second) if "alert" not in uid} == {LEACH.uid, REPOT.uid, OUT.uid}
    assert raw_events(second)[OUT.uid] == raw_events(first)[OUT.uid], "a move is the same either way"
    third = render_calendar(by_day, second)
    assert confirmed(third) == confirmed(first)
    assert events(third)[day_uid(2027, "Invented town", SATURDAY)]["SEQUENCE"] == 2
    assert set(events(render_calendar(by_day, third))) == set(events(first)), "what was called off is left out then"


def test_what_was_done_is_no_reason_to_keep_a_day_beside_its_steps():
    """By day to by step, half a day done: the other half must not stand twice."""
    first = render_calendar(plan_of(LEACH, REPOT), None)
    half = by_step(plan_of(REPOT, log=(LogEntry(SATURDAY, LEACH.uid),)))
    assert confirmed(render_calendar(half, first)) == {REPOT.uid: "Repot: Big fig"}


def test_a_reader_that_drops_our_properties_changes_nothing_that_matters():
    calendar = render_calendar(plan_of(LEACH), None)
    lines = calendar.replace(b"\r\n ", b"").split(b"\r\n")
    bare = b"\r\n".join(line for line in lines if not line.startswith(b"X-SEASONPLAN-"))
    assert b"X-SEASONPLAN-STEPS" in calendar and b"X-SEASONPLAN" not in bare
    [event] = events(render_calendar(plan_of(LEACH), bare)).values()
    assert event["SEQUENCE"] == 0
    assert confirmed(render_calendar(plan_of(), bare)) == {}
    done = plan_of(log=(LogEntry(SATURDAY, "leach"),))
    assert len(confirmed(render_calendar(done, bare))) == 1, "something was done that day"


histories = st.lists(st.tuples(st.booleans(), st.lists(st.tuples(st.integers(0, 3), st.integers(0, 2)), max_size=5)),
                     min_size=2, max_size=6)


@settings(deadline=None, max_examples=40, derandomize=True)
@given(histories)
def test_any_history_of_plans_by_day_and_by_step_shows_each_job_once(history):
    """Each planned job stands in exactly one event, by day in its own day's; nothing else stands."""
    previous = None
    for stepwise, jobs in history:
        steps = [job("repot", f"Plant {key}", day=date(2027, 5, 15 + day)) for key, day in dict(jobs).items()]
        plan = by_step(plan_of(*steps)) if stepwise else plan_of(*steps)
        previous = render_calendar(plan, previous)
        standing = {uid: event for uid, event in events(previous).items() if event["STATUS"] == "CONFIRMED"}
        if stepwise:
            assert set(standing) == {step.uid for step in steps}
        else:
            assert set(standing) == {day_uid(2027, "Invented town", step.date) for step in steps}
        for step in steps:
            [where] = [event for event in standing.values() if f"Repot: {step.plants[0]}" in
                       f"{event['SUMMARY']} {event['DESCRIPTION']}"]
            assert where["DTSTART"].dt == step.date


@pytest.mark.parametrize("stepwise", [False, True], ids=["by day", "by step"])
def test_habits_are_said_in_the_event_of_their_day_and_have_one_of_their_own_only_on_a_day_without_work(stepwise):
    plan = replace(plan_of(LEACH, OUT), habits=(TURN, replace(TURN, uid=f"other-{TURN.uid}", date=SUNDAY)))
    found = events(render_calendar(by_step(plan) if stepwise else plan, None))
    assert len(found) == 3 and all(str(event["DESCRIPTION"]).count("From now on: ") < 2 for event in found.values())
    assert sum(str(event["DESCRIPTION"]).count("From now on: ") for event in found.values()) == 2


def test_a_spray_ahead_that_is_not_needed_any_more_is_called_off_though_one_before_it_was_done():
    days = [date(2027, 3, 6), date(2027, 3, 13)]
    sprays = [job("treat", "Jade", day=day, uid=f"2027-treat-jade-{n}-0badcafe@seasonplan.invalid")
              for n, day in enumerate(days, 1)]
    first = render_calendar(replace(plan_of(*sprays), today=days[0]), None)
    log = (LogEntry(days[0], "treat", "Jade"), LogEntry(days[0], "pest-clear", "Jade"))
    for today, status in ((days[0], "CANCELLED"), (days[1], "CONFIRMED")):
        after = events(render_calendar(replace(plan_of(log=log), today=today), first))
        assert after[day_uid(2027, "Invented town", days[0])]["STATUS"] == "CONFIRMED"
        assert after[day_uid(2027, "Invented town", days[1])]["STATUS"] == status
