from seasonplan.care.logbook import Find
from seasonplan.care.treatment import EPISODE, courses, kind_of, pest

FOUND = 1000


def any_day(day):
    return day


def weekly(day):
    """Days divisible by seven are work days."""
    return day + -day % 7


def course(pest_key="scale", clears=(), treated=(), workday=any_day, spray=any_day):
    [only] = courses([Find(FOUND, pest_key)], clears, treated, workday, spray)
    return only


def test_sprays_at_the_least_gap_from_the_find_and_a_check_two_days_after():
    found = course()
    assert found.sprays == (1000, 1007, 1014, 1021) and found.recheck == 1023 and found.wipes == (1000,)


def test_on_a_weekly_work_day_every_gap_is_a_week():
    found = course("aphid", workday=weekly, spray=weekly)
    assert found.sprays == (1001, 1008, 1015) and found.recheck == 1022


def test_repeats_count_from_the_day_it_was_really_done():
    found = course(treated=[("treat-scale", 1003), ("treat-scale", 1012), ("treat-aphid", 1004)])
    assert found.sprays == (1003, 1012, 1019, 1026)


def test_a_clear_check_ends_the_course():
    found = course(clears=[1010])
    assert found.sprays == (1000, 1007) and found.recheck is None


def test_the_first_of_two_ends_counts():
    first, _ = courses([Find(1000, "scale"), Find(1010, "scale")], [1004], (), any_day, any_day)
    assert first.sprays == (1000,)


def test_heat_delays_the_sprays_and_wiping_bridges_it():
    found = course(spray=lambda day: max(day, 1100))
    assert found.sprays[0] == 1100 and found.wipes == (1000, 1007, 1014, 1021) and found.recheck == 1123


def test_a_year_without_a_spray_day_is_wiped_and_checked():
    found = course(spray=lambda day: None)
    assert found.sprays == () and len(found.wipes) == pest("scale").count and found.recheck == 1023


def test_a_new_find_of_the_same_pest_replaces_the_rest():
    first, second = courses([Find(1000, "scale"), Find(1010, "scale")], (), (), any_day, any_day)
    assert first.sprays == (1000, 1007) and second.sprays[0] == 1010 and first.recheck is None
    assert (first.n(1), second.n(1)) == (1, 1 + EPISODE)


def test_another_pest_runs_beside_it_and_a_listed_one_counts_as_the_first():
    one, two = courses([Find(1000, "scale"), Find(1010, "aphid")], (), (), any_day, any_day, known_before=True)
    assert len(one.sprays) == 4 and (one.number, two.number) == (2, 3)


def test_an_unheard_of_pest_is_treated_as_unknown():
    assert kind_of("triffid") == kind_of("unknown") == "treat-unknown"
