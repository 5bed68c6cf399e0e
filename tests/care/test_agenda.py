"""How an agenda levels work onto days, puts it into order and says what does not fit."""

from collections import defaultdict
from dataclasses import replace
from datetime import date, timedelta

import pytest
from care.garden import (
    BACK,
    OUT,
    after,
    agenda_of,
    entry,
    move_step,
    moves_of,
    moving,
    only,
    plant,
    scenario_of,
    staying,
    steps_of,
)
from invented import make_daylight

from seasonplan.care.agenda import _refused, _timing_order, build_agenda
from seasonplan.care.jobs import REGISTRY
from seasonplan.care.sessions import Refusal, Session

NO_SUN = {job.kind for job in REGISTRY if job.no_sun}


def test_work_for_forty_plants_is_spread_over_the_weeks_and_all_of_it_fits():
    plans = [moving(plant(f"Plant {n}", root_bound=n % 4 == 0, pot_cm=20.0)) for n in range(40)]
    agenda = agenda_of(plans)
    used = defaultdict(int)
    for step in agenda.steps:
        used[step.date] += step.minutes
    assert not agenda.skipped and max(used.values()) <= 180
    assert {name for kind in ("leach", "repot") for s in steps_of(agenda, kind) for name in s.plants} == {
        p.plant.name for p in plans}


def test_one_hose_session_and_one_potting_session_on_a_day():
    """Getting ready counts once for jobs that use the same tools on one day."""
    agenda = agenda_of([moving(plant(f"Plant {n}")) for n in range(4)])
    leach, wash = steps_of(agenda, "leach")[0], steps_of(agenda, "wash")[0]
    assert leach.date == wash.date and leach.place == wash.place
    assert leach.minutes + wash.minutes == 10 + 4 * 2.5 + 4 * 2


def test_what_does_not_fit_says_what_it_would_take():
    agenda = agenda_of([moving(plant(f"Plant {n}", root_bound=True)) for n in range(30)], minutes_per_day=40)
    [skipped] = [j for j in agenda.skipped if j.kind == "repot"]
    assert skipped.plants and "find no room" in skipped.reason and "more that day" in skipped.remedy
    done = {name for s in steps_of(agenda, "repot") for name in s.plants}
    assert done | set(skipped.plants) == {f"Plant {n}" for n in range(30)} and not done & set(skipped.plants)


def test_what_found_no_room_is_told_until_its_time_is_over():
    late = [Refusal("repot", (0,), "no room", "more", date(2027, 7, 18).toordinal())]
    told = {today: _refused(late, [moving(plant())], today) for today in (None, date(2027, 7, 18), date(2027, 7, 19))}
    assert [len(found) for found in told.values()] == [1, 1, 0], "on paper all is told"


def test_safety_runs_over_rather_than_slipping():
    agenda = agenda_of([moving(plant(f"Plant {n}")) for n in range(30)], minutes_per_day=15)
    looked = {name for s in steps_of(agenda, "inspect-before-in") for name in s.plants}
    assert looked == {f"Plant {n}" for n in range(30)}
    assert any("over your 15 min" in s.why for s in steps_of(agenda, "inspect-before-in"))
    assert any(j.kind == "inspect-before-in" and "runs" in j.reason for j in agenda.skipped)


def test_moves_come_first_on_a_days_minutes_and_their_excess_is_told():
    plans = [moving(plant(f"Plant {n}")) for n in range(70)]
    agenda = agenda_of(plans)
    assert sum(s.minutes for s in agenda.steps if s.date == OUT) == 210
    assert any(j.kind == "move-out" and "30 min over" in j.reason for j in agenda.skipped)


def test_moves_stand_unchanged_in_the_agenda_but_for_cautions_and_the_last_check():
    plans = [moving(plant(pot_cm=40.0))]
    moves = moves_of(plans)
    found = [s for s in agenda_of(plans).steps if s.kind.startswith("move-")]
    assert replace(found[0], cautions=(), thing="") == moves[0]
    assert replace(found[1], cautions=(), thing="", detail="", minutes=found[1].minutes - 1) == moves[1]
    assert all(any("dolly" in c for c in s.cautions) for s in found)


def test_gloves_and_soap_are_listed_once_with_the_first_step_that_needs_them():
    agenda = agenda_of([moving(plant("Sick", pests="scale"))])
    carrying = [s for s in agenda.steps if "labelled_soap_bottle" in dict(s.amounts)]
    assert carrying == [steps_of(agenda, "treat")[0]]
    [item] = [i for i in agenda.shopping if i.unit == "pair"]
    assert item.amount == 1 and item.needed_by == steps_of(agenda, "treat")[0].date


def test_a_plant_that_lives_outdoors_all_year_keeps_its_yearly_jobs():
    agenda = agenda_of([staying(plant(root_bound=True), "stays-out")])
    kinds = {s.kind for s in (*agenda.steps, *agenda.habits)}
    assert {"inspect", "wash", "repot", "feed-start", "feed", "water-daily", "midsummer-review"} <= kinds
    assert "move-in" not in kinds


def test_a_thousand_alike_pots_are_planned_quickly_and_whole():
    plans = [moving(plant(f"Plant {n}")) for n in range(1000)]
    agenda = agenda_of(plans, minutes_per_day=20_000)
    assert len(only(agenda, "midsummer-review").plants) == 1000 and len(agenda.steps) < 60


@pytest.mark.parametrize("sunny, note", [(True, "Direct sun there "), (False, "No direct sun there that day.")])
def test_work_that_shuns_the_sun_says_whether_its_place_has_any_that_day(sunny, note):
    plans, light = [moving(plant("Sick", pests="scale"))], make_daylight()
    if not sunny:
        light = replace(light, sun_spans=tuple(tuple(() for _ in row) for row in light.sun_spans))
    steps = build_agenda(scenario_of(plans), plans, light, 2027, moves_of(plans)).steps
    assert {note in s.why for s in steps if s.kind in NO_SUN} == {True}


def test_within_a_day_what_needs_shade_chooses_its_time_first():
    def session(kind):
        return Session(next(job for job in REGISTRY if job.kind == kind), 1, 0, (0,), 1, (1, 1), 5, 1.0)

    found = sorted(map(session, ("inspect", "leach", "treat")), key=_timing_order)
    assert [s.job.kind for s in found] == ["treat", "leach", "inspect"]


@pytest.mark.parametrize("apart_days, shared", [(6, True), (20, False)])
def test_plants_due_within_a_week_of_each_other_share_a_session(apart_days, shared):
    plans = [moving(plant(name, root_bound=True), after(OUT, days)) for name, days in (("A", 0), ("B", apart_days))]
    assert (steps_of(agenda_of(plans), "repot")[0].plants == ("A", "B")) is shared


@pytest.mark.parametrize("minutes, told", [(179, []), (180, []), (181, ["1 min"]), (185, ["5 min"])])
def test_a_day_of_carrying_is_over_its_limit_from_the_first_minute_on(minutes, told):
    plans = [moving(plant())]
    moves = [move_step("move-out", OUT, plans, minutes)]
    agenda = build_agenda(scenario_of(plans), plans, make_daylight(), 2027, moves)
    over = [j for j in agenda.skipped if j.kind == "move-out"]
    assert [j.remedy.split(" more")[0] for j in over] == told
    assert all(f"runs {much} over your 3 h" in j.reason for j, much in zip(over, told, strict=True))


def test_a_day_of_several_moves_that_runs_over_is_told_once_by_the_first_of_them_with_all_plants():
    plans = [moving(plant("A")), moving(plant("B"), back=OUT)]
    moves = [move_step("move-out", OUT, plans[:1], 100), move_step("move-in", OUT, plans, 100)]
    skipped = build_agenda(scenario_of(plans), plans, make_daylight(), 2027, moves).skipped
    assert [(j.kind, j.plants) for j in skipped if "carrying" in j.reason] == [("move-out", ("A", "B"))]


def test_on_the_day_of_coming_in_the_move_leads_then_work_by_the_clock():
    plans = [moving(plant("A", pests="scale"))]
    agenda = agenda_of(plans, [entry(date(2027, 9, 18), "found-scale", "A")])
    steps = [s for s in agenda.steps if s.date == BACK]
    assert steps[0].kind == "move-in" and len(steps) > 1
    starts = [s.start for s in steps[1:]]
    assert all(starts) and starts == sorted(starts) and BACK in {s.date for s in steps_of(agenda, "quarantine")}


def test_what_takes_no_minutes_is_a_habit_and_no_step():
    agenda = agenda_of([moving(plant(root_bound=True, pests="scale"))], children=True, pets=True)
    kinds = {job.kind for job in REGISTRY if job.is_reminder}
    assert agenda.habits and {s.kind for s in agenda.habits} <= kinds and all(s.minutes == 0 for s in agenda.habits)
    assert not {s.kind for s in agenda.steps} & kinds and all(s.minutes > 0 for s in agenda.steps)


def test_a_habit_begins_on_a_day_that_has_work_where_one_is_near():
    agenda = agenda_of([moving(plant(f"Plant {n}", pot_cm=45.0, root_bound=True)) for n in range(6)], pets=True)
    days = {s.date for s in agenda.steps}
    assert {s.kind for s in agenda.habits if s.date in days} >= {"quarantine", "deter-pets", "turn", "water-daily"}
    for habit in agenda.habits:
        assert habit.due[0] - timedelta(days=7) <= habit.date <= habit.due[1]
    assert only(agenda, "heavy-lift").date < OUT and only(agenda, "last-repot").date <= date(2027, 7, 19)


def test_what_may_be_left_out_gives_way_to_what_may_not():
    plans = [moving(plant(f"Plant {n}", cuttings="water")) for n in range(20)]
    roomy, tight = agenda_of(plans), agenda_of(plans, minutes_per_day=25)
    assert {s.kind for s in roomy.steps if s.optional} == {"wash", "cuttings", "pot-up-cuttings", "feed",
                                                            "inspect-roots"}
    assert all(s.optional == bool(int(s.uid.split("-all-")[1].split("-")[0]) % 2) for s in steps_of(roomy, "feed"))
    assert {j.kind for j in tight.skipped} & {"wash", "cuttings"} and {s.kind for s in tight.steps} >= {"leach", "feed"}
    assert not {j.kind for j in tight.skipped} & {"leach", "feed-start"}


def test_a_uid_names_the_first_plant_or_all_and_counts_from_one():
    agenda = agenda_of([moving(plant("Big fig", salt_sensitive=True)), moving(plant("Ivy"))])
    first, second = steps_of(agenda, "leach")
    assert [s.uid.rsplit("-", 1)[0] for s in (first, second)] == ["2027-leach-all-1", "2027-leach-all-2"]
    assert only(agenda, "feed-start").uid.startswith("2027-feed-start-big-fig-1-")


def test_heavy_pots_have_their_caution_where_they_are_carried_and_only_there():
    agenda = agenda_of([moving(plant("Big fig", pot_cm=45.0, pests="scale"))])
    told = {s.kind for s in agenda.steps if any("dolly" in c for c in s.cautions)}
    assert {"isolate", "inspect-before-in"} <= told
    assert not told & {"wash", "feed-start", "treat", "inspect", "leach"}


def late_find(*more):
    """What is said of a plant that comes in on 25 September with scale found a week before."""
    log = [entry(date(2027, 9, 18), "found-scale", "Fig"), *more]
    plans = [moving(plant("Fig")), *(moving(plant(f"Plant {n}", root_bound=True)) for n in range(30))]
    skipped = agenda_of(plans, log, minutes_per_day=40).skipped
    return [j.kind for j in skipped if "before the last check" in j.reason or "find no room" in j.reason]


def test_what_cannot_be_is_told_before_what_finds_no_room_and_neither_hides_the_other():
    kinds = late_find()
    assert kinds[0] == "inspect-before-in" and kinds[1:].count("repot") == 1 and "inspect-before-in" not in kinds[1:]


def test_what_cannot_be_is_not_told_of_plants_it_was_done_for():
    day = date(2027, 9, 24)
    assert "inspect-before-in" not in late_find(entry(day, "inspect-before-in", "Fig"))
    assert "inspect-before-in" in late_find(entry(day, "wash", "Fig"))
    assert "inspect-before-in" in late_find(entry(day, "inspect-before-in", "Plant 3"))
