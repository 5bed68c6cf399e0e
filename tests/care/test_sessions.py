"""Who is due together: windows of days and what shares a session, on jobs made up for the purpose.

Days are counted from Saturday 5 June 2027; the planning year is 2027.
"""

from dataclasses import replace
from datetime import date
from functools import partial

import pytest
from care import levelling
from care.garden import moving, plant, scenario_of, staying
from care.levelling import SATURDAY, due

from seasonplan.care.cases import cases_of
from seasonplan.care.job import After, Cannot
from seasonplan.care.season import season_of
from seasonplan.care.sessions import Session, Window, collect, held, joint, merged, minutes, united, windows

FIRST, LAST = date(2027, 1, 1).toordinal() - SATURDAY, date(2027, 12, 31).toordinal() - SATURDAY


job = partial(levelling.job, "a")
A_JOB = job()


def span(window):
    return window.first - SATURDAY, window.last - SATURDAY, window.ideal - SATURDAY


def found(what, ledger=(), plans=None, without=()):
    """The windows of a made-up job's first occurrence. ledger: days of other occurrences, by (kind, n) and plant."""
    plans = plans or [moving(plant("A"))]
    season = season_of(scenario_of(plans), 2027)
    needs, _ = collect([what], cases_of(plans, season, {}))
    days = {key: {m: SATURDAY + day for m, day in of.items()} for key, of in dict(ledger).items()}
    return windows(needs.get(("a", 1), []), season, days, without)


def after(dues_after, ledger, first=0, last=30, ideal=None):
    """(first, last, best) day of a window that comes after others."""
    return span(*found(job(due(first, last, ideal, after=dues_after)), ledger))


def window(first, last, ideal=None, members=(0,), **more):
    return Window(SATURDAY + first, SATURDAY + last, SATURDAY + (first if ideal is None else ideal), members, **more)


def groups(windows_, pots=(1,) * 20, pot_min=1, limit=99):
    """Who shares a session with whom."""
    return [w.members for w in merged(windows_, pots, pot_min, limit)]


def session(members, setup=0, pots_min=20.0, due_days=(0, 9), **more):
    """A session on the Saturday, named by its first plant."""
    return Session(A_JOB, 1, members[0], members, SATURDAY, (SATURDAY + due_days[0], SATURDAY + due_days[1]), setup,
                   pots_min, **more)


def test_minutes_are_rounded_up():
    assert [minutes(5, work) for work in (0, 2.5, 3.0)] == [5, 8, 8]


def test_needs_come_in_the_order_of_jobs_and_occurrences_and_refusals_in_their_own_words():
    plans = [moving(plant("A")), moving(plant("B", root_bound=True))]
    jobs = [job(due(0, 1, n=2), due(0, 1)), replace(job(Cannot("no time", "more time")), kind="b")]
    needs, refused = collect(jobs, cases_of(plans, season_of(scenario_of(plans), 2027), {}))
    assert [(key, [n.case.members for n in of]) for key, of in needs.items()] == [
        (("a", 1), [(0,), (1,)]), (("a", 2), [(0,), (1,)])]
    assert [(r.kind, r.members, r.reason, r.remedy) for r in refused] == [
        ("b", (m,), "no time", "more time") for m in (0, 1)]


def test_equal_windows_of_different_cases_are_one_and_plants_may_be_left_out():
    plans = [moving(plant("A")), moving(plant("B", root_bound=True)), moving(plant("C"))]
    assert [w.members for w in found(job(due(0, 6)), plans=plans)] == [(0, 1, 2)]
    assert [w.members for w in found(job(due(0, 6)), plans=plans, without=[0])] == [(1, 2)]
    assert found(job(due(0, 6)), plans=plans, without=(0, 1, 2)) == []


def test_a_window_is_clipped_to_the_year():
    assert span(*found(job(due(FIRST - 30, 9, ideal=FIRST - 20)))) == (FIRST, 9, FIRST)
    assert span(*found(job(due(LAST - 9, LAST + 30, ideal=LAST + 20)))) == (LAST - 9, LAST, LAST)
    assert span(*found(job(due(FIRST - 30, FIRST)))) == (FIRST, FIRST, FIRST)
    assert span(*found(job(due(LAST, LAST + 30)))) == (LAST, LAST, LAST)


@pytest.mark.parametrize("days", [(FIRST - 30, FIRST - 1), (LAST + 1, LAST + 30)])
def test_a_time_outside_the_year_is_nobodys_business(days):
    assert found(job(due(*days))) == []


def test_nothing_is_due_for_a_plant_before_it_comes_nor_after_it_went():
    here = [moving(plant("A", arrived=date(2027, 6, 9), left=date(2027, 6, 20)))]
    assert span(*found(job(due(0, 30)), plans=here)) == (4, 14, 4)
    assert found(job(due(0, 3)), plans=here) == [] and found(job(due(15, 30)), plans=here) == []
    assert span(*found(job(due(0, 4)), plans=here)) == (4, 4, 4)
    assert span(*found(job(due(0, 3), safety=True), plans=here)) == (4, 10, 4)


def test_what_protects_and_is_overdue_as_the_year_begins_is_done_in_its_first_week():
    overdue = due(FIRST - 30, FIRST - 1, ideal=FIRST - 20)
    assert span(*found(job(overdue, safety=True))) == (FIRST, FIRST + 6, FIRST)
    assert found(job(due(LAST + 1, LAST + 30), safety=True)) == []


def test_plants_indoors_and_outdoors_on_the_best_day_do_not_share_a_window():
    plans = [moving(plant("A")), staying(plant("B")), moving(plant("C"), out=date(2027, 6, 19))]
    assert [(w.members, w.inside) for w in found(job(due(0, 6)), plans=plans)] == [((0,), False), ((1, 2), True)]


def test_what_the_due_says_of_its_days_is_kept():
    [kept] = found(job(due(0, 6, exact=True, warm=True, optional=True, avoid=(3,))))
    assert (kept.exact, kept.warm, kept.optional, kept.avoid) == (True, True, True, (3,))
    [plain] = found(job(due(0, 6)))
    assert not (plain.exact or plain.warm or plain.optional or plain.avoid)


def test_what_comes_after_keeps_its_distance_on_both_sides_and_its_best_day():
    ledger = {("b", 1): {0: 10}}
    assert after([After("b", 1, 3)], ledger) == (13, 30, 13)
    assert after([After("b", 1, 3, 8)], ledger, ideal=25) == (13, 18, 18)
    assert after([After("b", 1, 3, 8, best=5)], ledger) == (13, 18, 15)
    assert after([After("b", 1, 3, 60)], ledger, first=20) == (20, 30, 20)


def test_what_follows_something_that_never_comes_is_free_of_it_or_falls_with_it():
    binding = After("c", 1, 4)
    assert after([After("b", 1, 9), binding], {("c", 1): {0: 3}}) == (7, 30, 7)
    assert found(job(due(0, 30, after=(binding, After("b", 1, 9, needed=True)))), {("c", 1): {0: 3}}) == []


def test_plants_whose_other_step_fell_on_different_days_get_windows_of_their_own():
    plans = [moving(plant(name)) for name in "ABC"]
    what = job(due(0, 30, after=(After("b", 1, 1),)))
    assert [(w.members, w.first - SATURDAY) for w in found(what, {("b", 1): {0: 4, 1: 9, 2: 4}}, plans)] == [
        ((0, 2), 5), ((1,), 10)]


def test_a_soft_order_holds_to_the_last_day_and_is_given_up_beyond_it():
    soft = After("b", 1, 4, soft=True)
    assert after([soft], {("b", 1): {0: 26}}) == (30, 30, 30)
    assert after([soft], {("b", 1): {0: 27}}) == (0, 30, 0)
    assert after([soft, After("c", 1, 2)], {("b", 1): {0: 27}, ("c", 1): {0: 3}}) == (5, 30, 5)


def test_windows_merge_only_where_nobody_waits_longer_than_a_week():
    one = window(0, 14)
    assert groups([one, window(0, 14, 7, (1,)), window(0, 14, 8, (2,))]) == [(0, 1), (2,)]
    assert groups([one, window(7, 30, members=(1,))]) == [(0, 1)]
    assert groups([window(0, 30, 6), window(14, 30, 9, (1,))]) == [(0,), (1,)]


@pytest.mark.parametrize("change", [{"inside": True}, {"warm": True}, {"exact": True}, {"optional": True}])
def test_windows_of_another_sort_stay_apart(change):
    assert len(groups([window(0, 14), replace(window(0, 14, members=(1,)), **change)])) == 2


def test_exact_windows_share_a_session_only_where_they_are_the_same_days():
    one, same, longer = (window(0, last, members=(m,), exact=True) for m, last in enumerate((13, 13, 14)))
    assert groups([one, same, longer]) == [(0, 1), (2,)]


@pytest.mark.parametrize("one, two, shared", [
    ((0, 8), (3, 20), False), ((0, 9), (3, 20), True),  # seven days in common
    ((0, 2), (0, 2), True), ((0, 2), (1, 3), False),  # all the days of a shorter one
    ((0, 2), (0, 20), True), ((0, 20), (1, 3), True), ((0, 2), (1, 20), False),
])
def test_windows_share_a_session_where_a_week_or_the_shorter_one_is_in_common(one, two, shared):
    assert (len(groups([window(*one), window(*two, members=(1,))])) == 1) is shared


def test_days_in_common_are_those_of_all_that_joined_before():
    chain = [window(0, 20), window(4, 20, members=(1,)), window(0, 11, 5, members=(2,)), window(5, 20, 6, (3,))]
    assert groups(chain) == [(0, 1, 2, 3)]
    assert groups([*chain, window(6, 30, 7, (4,))]) == [(0, 1, 2, 3), (4,)]


def test_windows_merge_only_up_to_the_limit_of_work():
    one, two, three = (window(0, 14, members=(m,)) for m in range(3))
    assert groups([one, two, three], (2, 1, 1), 10, 30) == [(0, 1), (2,)]
    assert groups([one, two], (2, 1), 10, 29) == [(0,), (1,)]


def test_a_window_looks_for_company_among_the_last_eight():
    """The nearest first; one that lies further back than eight is not asked, so that work grows with the windows."""
    def one_then(full):
        small, late = window(0, 14), window(0, 14, members=(19,))
        return [small, *(window(0, 14, members=(m,)) for m in range(1, 1 + full)), late]

    pots = (1, *(2,) * 18, 1)
    assert groups(one_then(7), pots, 10, 20)[0] == (0, 19)
    assert groups(one_then(8), pots, 10, 20)[0] == (0,)
    both_open = [window(0, 14), window(0, 14, 8, (1,)), window(0, 14, 5, (2,))]
    assert groups([*both_open[:2], replace(both_open[2], ideal=SATURDAY + 8)]) == [(0,), (1, 2)]


def test_windows_come_by_their_best_days_and_then_by_their_first_plants():
    one, two = window(0, 14, members=(0, 9)), window(0, 14, members=(5,), warm=True)
    assert groups([two, one]) == [(0, 9), (5,)]
    assert groups([one, window(0, 14, 1, (5,), inside=True), window(0, 20, 9, (6,))]) == [(0, 9), (6,), (5,)]


def test_what_merged_windows_have_in_common():
    two = window(3, 10, members=(1,), avoid=(7, 5))
    [both] = merged([two, window(0, 14, avoid=(7,))], [1, 1], 1, 99)
    assert span(both) == (3, 10, 3) and both.members == (0, 1) and both.avoid == (5, 7)
    [earlier] = merged([window(0, 14, 4, (1,)), window(0, 14, 6)], [1, 1], 1, 99)
    assert span(earlier) == (0, 14, 4)
    [shorter] = merged([window(0, 14, 6), window(0, 6, 6, members=(1,))], [1, 1], 1, 99)
    assert span(shorter) == (0, 6, 6)


def test_a_window_holds_its_first_and_its_last_day():
    both = [window(0, 4, members=(0, 1)), window(2, 6, members=(2,))]
    assert [held(both, SATURDAY + day) for day in (-1, 0, 2, 4, 5, 6, 7)] == [0, 2, 3, 3, 1, 1, 0]


def test_windows_that_hold_a_day_become_one_and_the_others_stay():
    one, two, three = window(0, 4, members=(1,)), window(2, 6, members=(0,)), window(5, 9, members=(2,))
    common, others = joint([one, two, three], SATURDAY + 4)
    assert (span(common), common.members, others) == ((2, 4, 2), (0, 1), [three])


def test_sessions_of_one_day_are_united_under_the_first_of_their_names():
    one, two = session((4, 6), setup=5, due_days=(0, 9)), session((2, 5), due_days=(-3, 3), forced=True)
    elsewhere, inside = replace(two, day=SATURDAY + 1), replace(two, inside=True)
    both, *others = united([one, two, elsewhere, inside])
    assert (both.anchor, both.members, both.minutes, both.forced) == (2, (2, 4, 5, 6), 45, True)
    assert both.due == (SATURDAY, SATURDAY + 3) and others == [elsewhere, inside]
    assert united([one, two]) == united([two, one])


def test_united_sessions_are_forced_only_where_one_of_them_was():
    [both] = united([session((1,)), session((2,))])
    assert (both.forced, both.redated, both.over_min) == (False, False, 0)
    [three] = united([session((m,), pots_min=2.5) for m in range(3)])
    assert three.members == (0, 1, 2) and three.minutes == 8


def test_other_occurrences_and_kinds_on_a_day_are_not_united():
    one = session((1,))
    assert len(united([one, replace(one, n=2), replace(one, job=replace(one.job, kind="b"))])) == 3
