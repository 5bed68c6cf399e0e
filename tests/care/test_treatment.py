from types import SimpleNamespace

import pytest

from seasonplan.care.logbook import Find
from seasonplan.care.treatment import all_finds, courses, day_finders, pest

FOUND = 1000


def any_day(day):
    return day


def weekly(day):
    """Days divisible by seven are work days."""
    return day + -day % 7


def course(pest_key="scale", clears=(), treated=(), workday=any_day, spray=any_day):
    [only] = courses([Find(FOUND, pest_key)], clears, treated, workday, spray)
    return only


def test_sprays_at_the_least_gap_from_the_find_and_a_check_three_days_after():
    found = course()
    assert found.sprays == (1000, 1007, 1014, 1021) and found.recheck == 1024 and found.wipes == ()


def test_on_a_weekly_work_day_every_gap_is_a_week():
    found = course("aphid", workday=weekly, spray=weekly)
    assert found.sprays == (1001, 1008, 1015) and found.recheck == 1022


def test_repeats_count_from_the_day_it_was_really_done():
    found = course(treated=[1003, 1012])
    assert found.sprays == (1003, 1012, 1019, 1026)


def test_a_check_that_was_made_stays_on_its_day():
    """Not put off from day to day like one that is still to come, nor made by one before the last spray."""
    late = {"treated": (1000, 1007, 1014, 1021), "workday": lambda day: max(day, 1060)}
    [course_made] = courses([Find(FOUND, "scale")], (), late["treated"], late["workday"], any_day, checked=(1010, 1030))
    assert course_made.recheck == course_made.end == 1030 and course(**late).recheck == 1060


def test_a_clear_check_ends_the_course():
    found = course(clears=[1010])
    assert found.sprays == (1000, 1007) and found.recheck is None


def test_the_first_of_two_ends_counts():
    first, _ = courses([Find(1000, "scale"), Find(1010, "scale")], [1004], (), any_day, any_day)
    assert first.sprays == (1000,)


def test_heat_delays_the_sprays_and_wiping_bridges_it():
    found = course(spray=lambda day: max(day, 1100))
    assert found.sprays[0] == 1100 and found.wipes == (1000, 1007, 1014, 1021) and found.recheck == 1124


@pytest.mark.parametrize(("first", "wipes"), [
    (1014, ()), (1015, (1000, 1007, 1014)), (1021, (1000, 1007, 1014, 1021))])
def test_a_fortnight_is_waited_for_a_spray_and_not_a_day_more(first, wipes):
    found = course(spray=lambda day: max(day, first))
    assert found.wipes == wipes and found.sprays[:2] == (first, first + 7)


def test_what_is_done_on_the_day_of_a_find_a_clear_check_or_the_last_spray_counts():
    assert course(clears=[1007]).sprays == (1000, 1007) and course(clears=[1000]).sprays == (1000,)
    [found] = courses([Find(FOUND, "scale")], (), (), any_day, any_day, checked=[1021])
    assert found.recheck == 1021


@pytest.mark.parametrize(("other", "before", "goes_on"), [
    (1007, (1000,), True), (1008, (1000, 1007), True), (1024, (1000, 1007, 1014, 1021), True),
    (1025, (1000, 1007, 1014, 1021), False)])
def test_a_new_find_takes_over_from_its_day_until_the_check_of_the_other_is_made(other, before, goes_on):
    first, second = courses([Find(1000, "scale"), Find(other, "aphid")], (), (), any_day, any_day)
    assert first.sprays == before and second.goes_on == goes_on and first.recheck == (None if goes_on else 1024)


def test_of_three_finds_each_ends_where_the_next_begins():
    finds = [Find(day, "scale") for day in (1000, 1010, 1018)]
    assert [c.sprays for c in courses(finds, (), (), any_day, any_day)] == [
        (1000, 1007), (1014,), (1021, 1028, 1035, 1042)]


def test_the_gap_of_two_pests_is_the_longer_one():
    assert course("aphid").gap == pest("aphid").gap_least < pest("scale").gap_least
    one, two = courses([Find(1000, "scale"), Find(1010, "aphid")], (), (), any_day, any_day)
    assert two.gap == one.gap == pest("scale").gap_least


def test_work_days_come_from_the_season_and_spray_days_are_the_cool_ones_of_them():
    season = SimpleNamespace(closes=20, workdays_in=lambda first, last: range(first + first % 2, last + 1, 2),
                             too_hot=lambda day: day < 9)
    work, spray = day_finders(season)
    assert (work(3), spray(3), work(20), work(21), spray(21)) == (4, 10, 20, None, None)


def test_a_year_without_a_spray_day_is_wiped_and_checked():
    found = course(spray=lambda day: None)
    assert found.sprays == () and len(found.wipes) == pest("scale").count and found.recheck == 1024


def test_a_new_find_of_the_same_pest_replaces_the_rest():
    first, second = courses([Find(1000, "scale"), Find(1010, "scale")], (), (), any_day, any_day)
    assert first.sprays == (1000, 1007) and second.sprays[0] == 1014 and first.recheck is None
    assert (first.n(1), second.n(1), second.n(3)) == (1, 11, 13)


def test_another_pest_runs_beside_it_and_a_listed_one_counts_as_the_first():
    finds = all_finds("mealybug", 990, [Find(1000, "scale"), Find(1010, "aphid")])
    listed, one, two = courses(finds, (), (), any_day, any_day)
    assert listed.find == Find(990, "mealybug") and (listed.number, one.number, two.number) == (1, 2, 3)


def test_a_find_while_a_course_runs_is_treated_together_with_the_other():
    one, two = courses([Find(1000, "scale"), Find(1010, "aphid")], (), [1000, 1010, 1018], any_day, any_day)
    assert one.sprays == (1000, 1007) and one.recheck is None and one.pests == ("scale",)
    assert two.pests == ("aphid", "scale") and two.sprays == (1010, 1018, 1025, 1032)
    assert two.recheck == 1035 and two.goes_on
    first, second = courses([Find(1000, "scale"), Find(1050, "aphid")], (), (), any_day, any_day)
    assert first.recheck == 1024 and not second.goes_on
    assert second.pests == ("aphid",) and second.sprays == (1050, 1057, 1064)


def test_wiping_that_was_done_counts_too():
    found = courses([Find(1000, "scale")], (), (), any_day, lambda day: max(day, 1060), [1004])[0]
    assert found.wipes[:2] == (1004, 1011)


def test_a_listed_pest_that_the_log_reports_too_is_one_find():
    assert all_finds("scale", 990, [Find(1000, "scale")]) == (Find(1000, "scale"),)
    assert all_finds("none", 990, [Find(1000, "scale")]) == (Find(1000, "scale"),) and all_finds("", 990, []) == ()


def test_an_unheard_of_pest_is_treated_as_unknown():
    assert pest("triffid") == pest("unknown")


def test_a_second_pest_found_the_day_after_a_spray_waits_for_the_next_one_which_serves_both():
    for sprayed in ((), (1000, 1007)):
        one, two = courses([Find(1000, "scale"), Find(1008, "aphid")], (), sprayed, any_day, any_day)
        assert one.sprays == (1000, 1007) and set(two.pests) == {"scale", "aphid"}
        assert two.sprays == (1014, 1021, 1028, 1035)
    cleared = courses([Find(1000, "scale"), Find(1008, "aphid")], (1007,), (1000, 1007), any_day, any_day)
    assert cleared[1].pests == ("aphid",) and cleared[1].sprays[0] == 1008
