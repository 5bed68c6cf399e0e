"""Windows, sessions and their days, with jobs made up for the purpose."""

from dataclasses import replace
from datetime import date

import pytest
from care.garden import moving, plant, scenario_of

from seasonplan.care.cases import cases_of
from seasonplan.care.job import After, Cannot, Due, Job, Told
from seasonplan.care.level import Board, Leveller
from seasonplan.care.season import season_of
from seasonplan.care.sessions import Session, Window, collect, merged, minutes, united, windows

SATURDAY = date(2027, 6, 5).toordinal()
NOWHERE = Window(SATURDAY, SATURDAY + 14, SATURDAY, (0,))


def job(kind, *dues, family="hose", setup=5, pot=10, **more):
    """A made-up job that is due for every plant."""
    return Job(kind, family, lambda case: dues, lambda scene: Told(kind, kind, kind), "invented", setup, pot, **more)


def due(first, last, ideal=None, n=1, **more):
    """Days after Saturday 5 June."""
    return Due(n, SATURDAY + first, SATURDAY + last, SATURDAY + (first if ideal is None else ideal), **more)


def level(jobs, plants=1, limit=60, **given):
    plans = [moving(plant(f"Plant {k}")) for k in range(plants)]
    season = season_of(scenario_of(plans, minutes_per_day=limit, **given), 2027)
    leveller = Leveller(season, [1] * plants, Board(limit))
    needs, refused = collect(jobs, cases_of(plans, season, {}))
    leveller.refused += refused
    leveller.run(needs)
    return leveller


def days(leveller, kind):
    return [s.day - SATURDAY for s in leveller.sessions if s.job.kind == kind]


def test_the_nearest_day_with_room_is_taken():
    first, second = job("a", due(0, 13)), job("b", due(0, 13), family="potting", pot=50)
    assert days(level([first, second]), "b") == [1]
    assert days(level([first, second], limit=70), "b") == [0]


def test_a_later_best_day_is_chosen_over_the_first():
    assert days(level([job("a", due(0, 20, ideal=15))]), "a") == [15]


def test_the_same_tools_on_a_day_draw_work_to_it():
    assert days(level([job("a", due(7, 7)), job("b", due(0, 13, ideal=8))]), "b") == [7]
    assert days(level([job("a", due(7, 7)), job("b", due(0, 13, ideal=8), family="potting")]), "b") == [8]


def test_getting_ready_is_paid_once_a_day_for_the_same_tools():
    sessions = level([job("a", due(0, 0)), job("b", due(0, 0))]).sessions
    assert [s.minutes for s in sessions] == [15, 10]


def test_what_comes_after_keeps_its_distance_on_both_sides():
    close = due(0, 60, after=(After("a", 1, 6, 8, needed=True),))
    assert days(level([job("a", due(0, 6)), job("b", close)]), "b") == [7]
    far = due(0, 60, ideal=50, after=(After("a", 1, 6, 8),))
    assert days(level([job("a", due(0, 6)), job("b", far)]), "b") == [8]


def test_what_needs_another_step_falls_with_it_what_does_not_stays():
    needed, free = (due(0, 13, after=(After("never", 1, 1, needed=flag),)) for flag in (True, False))
    assert days(level([job("b", needed)]), "b") == [] and days(level([job("b", free)]), "b") == [0]


def test_a_soft_order_is_given_up_where_it_leaves_no_day():
    late = job("a", due(0, 20, ideal=20))
    soft = job("b", due(0, 13, after=(After("a", 1, 1, soft=True),)))
    assert days(level([late, soft]), "b") == [0]


def test_the_best_day_after_another_step():
    gap = due(0, 60, after=(After("a", 1, 1, 40, best=21),))
    assert days(level([job("a", due(0, 0)), job("b", gap)]), "b") == [21]


def test_too_much_for_a_day_is_spread_in_the_order_of_the_plants():
    leveller = level([job("a", due(0, 13))], plants=12, limit=65)
    assert days(leveller, "a") == [0, 1]
    assert [s.members for s in leveller.sessions] == [tuple(range(6)), tuple(range(6, 12))]


def test_what_finds_no_day_is_refused_with_what_it_would_take():
    leveller = level([job("a", due(0, 1))], plants=20, limit=65)
    [refusal] = leveller.refused
    assert refusal.members == tuple(range(12, 20)) and "1 h 25 min" in refusal.reason
    assert "has 0 min left" in refusal.reason and "1 h 25 min more that day" in refusal.remedy


def test_what_protects_something_makes_the_day_run_over():
    leveller = level([job("a", due(0, 1), safety=True)], plants=20, limit=65)
    assert not leveller.refused and sum(len(s.members) for s in leveller.sessions) == 20
    assert [s.over_min for s in leveller.sessions if s.forced] == [80]


def test_exact_days_are_kept_whatever_they_cost_even_no_work_days():
    assert days(level([job("a", due(3, 3, exact=True))], limit=5), "a") == [3]
    assert days(level([job("a", due(2, 9, exact=True))], limit=5), "a") == [7]


def test_no_work_day_in_its_time_is_told_unless_it_is_optional():
    assert "none of your days" in level([job("a", due(2, 4))]).refused[0].reason
    assert not level([job("a", due(2, 4, optional=True))]).refused


def test_days_outside_the_year_are_nobodys_business_unless_they_protect():
    before, beyond = due(-400, -390), due(400, 410)
    assert not level([job("a", before, beyond)]).sessions and not level([job("a", before, beyond)]).refused
    kept = level([job("a", before, safety=True)]).sessions
    assert len(kept) == 1 and kept[0].day >= date(2027, 1, 1).toordinal()


def test_reminders_take_no_minutes():
    leveller = level([job("note", due(0, 6), setup=0, pot=0)], limit=0)
    assert days(leveller, "note") == [0] and leveller.sessions[0].minutes == 0


def test_a_job_that_cannot_be_is_refused_in_its_own_words():
    assert level([job("a", Cannot("no time", "more time"))]).refused[0].remedy == "more time"


def test_a_step_for_the_whole_collection_is_one_and_names_no_plant():
    leveller = level([job("all", due(0, 6), whole=True)], plants=5)
    assert [(s.anchor, len(s.members)) for s in leveller.sessions] == [(-1, 5)]


def test_minutes_are_rounded_up():
    assert [minutes(5, work) for work in (0, 2.5, 3.0)] == [5, 8, 8]


def test_windows_merge_only_where_nobody_waits_long():
    near, far = replace(NOWHERE, ideal=SATURDAY + 7, members=(1,)), replace(NOWHERE, ideal=SATURDAY + 8, members=(2,))
    assert [w.members for w in merged([NOWHERE, near, far], [1, 1, 1], 1, 99)] == [(0, 1), (2,)]
    late = replace(NOWHERE, first=SATURDAY + 8, last=SATURDAY + 30, ideal=SATURDAY + 8, members=(3,))
    assert len(merged([NOWHERE, late], [1] * 4, 1, 99)) == 2


@pytest.mark.parametrize("change", [{"inside": True}, {"warm": True}, {"exact": True}, {"optional": True}])
def test_windows_of_another_sort_stay_apart(change):
    assert len(merged([NOWHERE, replace(NOWHERE, members=(1,), **change)], [1, 1], 1, 99)) == 2


def test_windows_with_too_few_days_in_common_stay_apart():
    early = replace(NOWHERE, last=SATURDAY + 8)
    late = replace(NOWHERE, first=SATURDAY + 3, last=SATURDAY + 20, members=(1,))
    assert len(merged([early, late], [1, 1], 1, 99)) == 2
    assert len(merged([replace(early, last=SATURDAY + 9), late], [1, 1], 1, 99)) == 1


def test_windows_merge_only_up_to_the_limit_of_work():
    two = replace(NOWHERE, members=(1,))
    assert len(merged([NOWHERE, two], [1, 1], 10, 20)) == 1 and len(merged([NOWHERE, two], [1, 1], 10, 19)) == 2


def test_what_merged_windows_have_in_common():
    two = replace(NOWHERE, first=SATURDAY + 3, last=SATURDAY + 10, ideal=SATURDAY + 3, members=(1,), avoid=(7,))
    [both] = merged([two, NOWHERE], [1, 1], 1, 99)
    assert (both.first - SATURDAY, both.last - SATURDAY, both.ideal - SATURDAY) == (3, 10, 3)
    assert both.members == (0, 1) and both.avoid == (7,)


def test_equal_windows_of_different_cases_are_one():
    plans = [moving(plant("A")), moving(plant("B", root_bound=True))]
    season = season_of(scenario_of(plans), 2027)
    needs, _ = collect([job("a", due(0, 6))], cases_of(plans, season, {}))
    [window] = windows(needs["a", 1], season, {}, ())
    assert window.members == (0, 1) and windows(needs["a", 1], season, {}, (0, 1)) == []


def test_sessions_of_one_day_are_united_under_the_first_of_their_names():
    one = Session(job("a"), 1, 4, (4, 6), SATURDAY, (SATURDAY, SATURDAY + 9), 5, 20.0)
    two = Session(one.job, 1, 2, (2, 5), SATURDAY, (SATURDAY - 3, SATURDAY + 3), 0, 20.0, forced=True)
    elsewhere, inside = replace(two, day=SATURDAY + 1), replace(two, inside=True)
    both, *others = united([two, one, elsewhere, inside])
    assert (both.anchor, both.members, both.minutes, both.forced) == (2, (2, 4, 5, 6), 45, True)
    assert both.due == (SATURDAY, SATURDAY + 3) and others == [elsewhere, inside]
