"""Which day a session falls on, with jobs made up for the purpose; days are counted from Saturday 5 June."""

from dataclasses import replace
from datetime import date

import numpy as np
import pytest
from care.levelling import SATURDAY, days, due, each, job, level, placed
from invented import make_normals, make_site

from seasonplan.care.job import After, Cannot
from seasonplan.care.level import Board
from seasonplan.care.sessions import Session
from seasonplan.climate.highs import normal_highs_c
from seasonplan.dates import day_index


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


def test_a_board_keeps_the_minutes_and_the_tools_of_its_days():
    board, hose = Board(60), Session(job("a"), 1, 0, (0,), SATURDAY, (SATURDAY, SATURDAY), 5, 10.0)
    assert (board.free(SATURDAY), board.setup(job("b"), SATURDAY)) == (60, 5)
    board.book(hose)
    assert (board.free(SATURDAY), board.setup(job("b"), SATURDAY)) == (45, 0)
    assert (board.free(SATURDAY + 1), board.setup(job("b"), SATURDAY + 1)) == (60, 5)
    assert board.setup(job("c", family="potting"), SATURDAY) == 5
    board.book(hose, -1)
    assert (board.free(SATURDAY), board.setup(job("b"), SATURDAY)) == (60, 5)


def test_a_reminder_takes_no_room_and_gets_nothing_ready():
    note = job("note", due(0, 6), setup=0, pot=0, family="hose")
    leveller = level([note, job("a", due(0, 0))])
    assert [(s.minutes, s.forced) for s in leveller.sessions] == [(0, False), (15, False)]
    assert days(level([job("a", due(0, 0)), note], limit=15), "note") == [0]
    assert days(level([job("a", due(0, 0)), note], limit=5), "note") == [0]


def test_tools_already_out_draw_work_from_within_two_weeks_and_a_day_to_avoid_counts_thirty_further():
    def chosen(second, **more):
        return days(level([job("a", due(7, 7)), job("b", due(0, 13, **second), **more)]), "b")

    far = [job("a", due(15, 15)), job("b", due(0, 30, ideal=0))]
    assert chosen({"ideal": 0}) == chosen({"ideal": 3}) == [7] and days(level(far), "b") == [0]
    jobs = [job("a", due(7, 7)), job("b", due(0, 13, ideal=2))]
    assert days(level(jobs, move_days=("sat",)), "b") == [7]
    assert chosen({"ideal": 3}, safety=True) == [7] and chosen({"ideal": 3}, setup=0, pot=0) == [1]
    assert chosen({"ideal": 3}, safety=True, soap=True) == [1]
    sun = SATURDAY + 13
    assert chosen({"ideal": 8, "avoid": (sun,)}) == [1] and chosen({"ideal": 8, "avoid": (sun + 1,)}) == [7]
    month = [due(0, 60, avoid=(SATURDAY + 6, SATURDAY + 16, SATURDAY + until - 6)) for until in (28, 29)]
    assert [days(level([job("b", one)], move_days=()), "b") for one in month] == [[29], [0]]


def test_of_days_equally_near_the_earlier_is_taken():
    assert days(level([job("a", due(0, 13, ideal=4))]), "a") == [1]


def test_work_is_not_cut_into_pieces_under_a_quarter_of_an_hour():
    def sessions(pot, limit):
        return placed(level([job("a", due(0, 8), pot=pot, setup=0)], plants=3, limit=limit))

    assert sessions(15, 20) == [(0, (0,)), (1, (1,)), (7, (2,))]
    assert sessions(14, 20) == []
    assert sessions(7, 15) == [] and sessions(7, 20) == []
    assert sessions(8, 16) == [(0, (0, 1)), (1, (2,))]


def test_what_is_left_of_spread_work_goes_to_a_day_that_was_too_small_for_the_whole():
    busy = job("b", due(0, 0, exact=True), setup=0, pot=3, family="potting")
    leveller = level([busy, job("a", due(0, 1), setup=0)], plants=4, limit=30)
    assert placed(leveller, "a") == [(1, (0, 1, 2)), (0, (3,))] and not leveller.refused


def test_a_piece_fills_its_day_to_the_minute_with_the_pots_of_its_plants():
    one = job("a", due(0, 7))
    assert placed(level([one], plants=3, limit=35, pots=[1, 2, 3])) == [(0, (0, 1)), (1, (2,))]
    assert placed(level([one], plants=3, limit=34, pots=[1, 2, 3])) == []
    assert placed(level([one], plants=3, limit=25, pots=[2, 2, 1])) == [(0, (0,)), (1, (1,)), (7, (2,))]


def test_a_piece_pays_for_getting_ready_only_where_the_tools_are_not_out_yet():
    little, much = job("a", due(0, 0)), job("b", due(0, 1))
    assert placed(level([little, much], plants=5, limit=100), "b") == [(1, (0, 1, 2, 3, 4))]
    leveller = level([each("a", due(0, 0), *[None] * 4), much], plants=5, limit=45, apart=True)
    assert placed(leveller, "b") == [(0, (0, 1, 2)), (1, (3, 4))]


def test_a_day_is_filled_to_its_last_minute_and_no_further():
    assert days(level([job("a", due(0, 1))], limit=15), "a") == [0]
    leveller = level([job("a", due(0, 1), pot=9.5)], limit=14)
    assert not leveller.sessions and leveller.refused


def test_plants_share_a_session_up_to_three_quarters_of_a_day():
    dues = [due(0, 13 + k) for k in range(5)]
    leveller = level([each("a", *dues, pot=12)], plants=5, apart=True)
    assert placed(leveller) == [(0, (0, 1, 2)), (1, (3, 4))]
    assert placed(level([each("a", *dues, pot=10)], plants=5, apart=True, limit=54)) == [(0, (0, 1, 2)), (1, (3, 4))]


def test_what_protects_runs_over_on_the_emptiest_day_then_the_nearest_then_the_earliest():
    guard = job("a", due(0, 8, ideal=8), safety=True)
    assert days(level([guard], limit=5), "a") == [8]
    assert days(level([job("a", due(0, 8, ideal=4), safety=True)], limit=5), "a") == [1]
    assert days(level([job("a", due(0, 8, ideal=1), safety=True)], limit=5), "a") == [1]
    busy = [job("b", due(8, 8, exact=True), setup=0, pot=2, family="potting"), guard]
    assert days(level(busy, limit=5), "a") == [7]


def test_a_day_runs_over_by_all_that_is_on_it_and_only_forced_steps_say_so():
    leveller = level([job("a", due(0, 0, exact=True)), job("b", due(0, 0, exact=True), family="potting")], limit=20)
    assert [(s.job.kind, s.forced, s.over_min) for s in leveller.sessions] == [("a", False, 0), ("b", True, 10)]
    exact = level([job("a", due(0, 0, exact=True)), job("b", due(0, 0, exact=True), family="potting")], limit=30)
    assert [(s.forced, s.over_min) for s in exact.sessions] == [(False, 0), (False, 0)]


def test_exact_steps_are_on_the_first_work_day_of_their_time_not_the_nearest():
    assert days(level([job("a", due(2, 9, ideal=9, exact=True))]), "a") == [7]
    assert days(level([job("a", due(2, 9, ideal=8, exact=True))], move_days=("sun",)), "a") == [8]


def test_soap_waits_for_a_day_that_is_not_too_hot_and_succulents_for_a_warm_one():
    hot = {"normals": make_normals(tmax_c=np.array([20.0] * 4 + [33.0, 36.0, 33.0] + [20.0] * 5))}
    [day] = days(level([job("a", due(0, 80), no_sun=True, soap=True)], **hot), "a")
    highs = normal_highs_c(hot["normals"], make_site())
    first = next(n for n in range(80) if highs[day_index(date.fromordinal(SATURDAY + n))] <= 32)
    assert first <= day < first + 7 and first > 28
    assert days(level([job("a", due(0, 60))], **hot), "a") == [0]
    assert days(level([job("a", due(0, 60), no_sun=True, soap=True)]), "a") == [0]
    cool = {"normals": make_normals(tmax_c=np.array([0.0] * 6 + [30.0] * 6))}
    [day] = days(level([job("a", due(0, 60, warm=True))], **cool), "a")
    highs = normal_highs_c(cool["normals"], make_site())
    first = next(n for n in range(60) if highs[day_index(date.fromordinal(SATURDAY + n))] >= 18)
    assert first <= day < first + 7 and first > 7
    assert days(level([job("a", due(0, 60))], **cool), "a") == [0]


@pytest.mark.parametrize("what, highs, why, remedy", [
    (job("a", due(0, 20), no_sun=True, soap=True), 33.0, "above 32 °C all through its time", "damp cloth"),
    (job("a", due(0, 20, warm=True)), 5.0, "too cool all through its time", "warm room"),
    (job("a", due(2, 4)), 20.0, "none of your days falls into its time", "one more day"),
])
def test_why_no_day_will_do(what, highs, why, remedy):
    [refusal] = level([what], normals=make_normals(tmax_c=np.full(12, highs))).refused
    assert why in refusal.reason and remedy in refusal.remedy and refusal.members == (0,)
    assert not level([replace(what, due=lambda case: [replace(d, optional=True) for d in what.due(case)])],
                     normals=make_normals(tmax_c=np.full(12, highs))).refused


def test_a_time_that_other_steps_leave_nothing_of_is_told_as_its_first_day():
    late = job("b", due(0, 6, after=(After("a", 1, 9, needed=True),)))
    [refusal] = level([job("a", due(0, 0)), late]).refused
    assert "(14 Jun)" in refusal.reason and "none of your days" in refusal.reason


def test_what_finds_no_room_says_what_there_is_on_the_emptiest_day_and_what_it_would_take():
    busy = job("b", due(0, 0, exact=True), setup=0, pot=8)
    [refusal] = level([busy, job("a", due(0, 1), setup=5, pot=30, family="potting")], limit=20).refused
    assert refusal.reason == ("its 35 min find no room from 5 Jun to 6 Jun: the emptiest day, Sun 6 Jun, "
                              "has 20 min left")
    assert refusal.remedy == "15 min more that day, or 35 min on another day of that time"


def test_a_single_day_without_room_is_told_as_that():
    busy = job("b", due(0, 0, exact=True), setup=0, pot=8)
    [refusal] = level([busy, job("a", due(0, 0), setup=5, pot=30, family="potting")], limit=20).refused
    assert refusal.reason == "its 35 min find no room on Sat 5 Jun, which has 12 min left"
    assert refusal.remedy == "23 min more that day"


def test_days_that_run_over_have_nothing_left():
    busy = job("b", due(0, 0, exact=True), due(1, 1, n=2, exact=True), pot=30)
    [refusal] = level([busy, job("a", due(0, 1), setup=5, pot=30, family="potting")], limit=20).refused
    assert "has 0 min left" in refusal.reason and "35 min more that day" in refusal.remedy


def test_a_single_day_that_is_too_hot_for_soap_is_told_as_that():
    [refusal] = level([job("a", due(0, 0), no_sun=True, soap=True)], normals=make_normals(tmax_c=[33.0] * 12)).refused
    assert "no soap and no spray then" in refusal.reason


def test_plants_of_one_occurrence_that_find_no_room_are_refused_together():
    jobs = [each("a", due(0, 1), due(0, 1, ideal=1), due(21, 29), pot=30)]
    [refusal] = level(jobs, plants=3, limit=20, apart=True).refused
    assert refusal.members == (0, 1, 2) and "from 5 Jun to 4 Jul" in refusal.reason
    assert "1 h 35 min" in refusal.reason and "the emptiest day, Sat 5 Jun" in refusal.reason


def test_a_step_for_all_is_on_the_day_that_most_of_them_can():
    dues = [due(0, 6, ideal=0), due(0, 8, ideal=8), due(7, 13, ideal=7), due(7, 13, ideal=7)]
    leveller = level([each("all", *dues, whole=True)], plants=4, apart=True)
    assert [(s.day - SATURDAY, s.members, s.anchor) for s in leveller.sessions] == [(8, (1, 2, 3), -1), (0, (0,), 0)]


def test_a_step_for_all_waits_for_those_who_can_later():
    dues = [due(7, 20), due(7, 20), due(14, 20)]
    assert placed(level([each("all", *dues, whole=True)], plants=3, apart=True)) == [(14, (0, 1, 2))]


def test_every_step_for_all_is_named_so_and_its_name_is_not_taken():
    leveller = level([job("all", due(0, 6), due(7, 13, n=2), whole=True), job("every", due(0, 6), whole=True)])
    assert [(s.anchor, s.redated) for s in leveller.sessions] == [(-1, False)] * 3


def test_a_second_step_for_all_is_dropped_where_it_is_optional():
    dues = [due(0, 6, optional=True), due(7, 13, optional=True), due(7, 13, optional=True)]
    assert placed(level([each("all", *dues, whole=True)], plants=3, apart=True)) == [(7, (1, 2))]


def test_a_step_for_all_passes_over_those_for_whom_no_day_will_do():
    dues = [due(2, 4), due(2, 4), due(7, 13)]
    leveller = level([each("all", *dues, whole=True)], plants=3, apart=True)
    assert placed(leveller) == [(7, (2,))] and [r.members for r in leveller.refused] == [(0, 1)]


def test_of_equal_groups_the_step_for_all_follows_the_earlier():
    leveller = level([each("all", due(7, 13), due(0, 6), whole=True)], plants=2, apart=True)
    assert [(s.day - SATURDAY, s.members, s.anchor) for s in leveller.sessions] == [(0, (1,), -1), (7, (0,), 0)]
