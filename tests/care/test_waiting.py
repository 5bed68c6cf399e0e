from datetime import date

from care.garden import after, agenda_of, entry, moving, plant, scenario_of, steps_of
from invented import make_normals

from seasonplan.care.jobs import earliest_move_in

FOUND = date(2027, 6, 9)


def wait(*log, name="Fig", **given):
    scenario = scenario_of([moving(plant("Fig"))], log, **given)
    return earliest_move_in(plant(name), scenario.log, 2027, scenario)


def test_nothing_found_nothing_to_wait_for():
    assert wait() is None and wait(entry(FOUND, "repot", "Fig")) is None
    assert wait(entry(FOUND, "found-scale", "Other")) is None


def test_until_the_check_after_the_last_spray():
    agenda = agenda_of([moving(plant("Fig"))], [entry(FOUND, "found-scale", "Fig")])
    last = wait(entry(FOUND, "found-scale", "Fig"))
    assert last == steps_of(agenda, "pest-recheck", "Fig")[0].date
    assert last > steps_of(agenda, "treat", "Fig")[-1].date


def test_of_two_pests_the_longer_course_counts():
    both = wait(entry(FOUND, "found-scale", "Fig"), entry(after(FOUND, 1), "found-aphid", "Fig"))
    assert both == wait(entry(FOUND, "found-scale", "Fig")) > wait(entry(after(FOUND, 1), "found-aphid", "Fig"))


def test_without_a_scenario_any_day_will_do():
    log = [entry(FOUND, "found-scale", "Fig")]
    assert earliest_move_in(plant("Fig"), log, 2027) == after(FOUND, 3 * 7 + 3)


def test_a_spray_really_done_late_moves_it_and_a_clear_check_ends_it():
    late = wait(entry(FOUND, "found-scale", "Fig"), entry(date(2027, 6, 27), "treat", "Fig"))
    assert late == date(2027, 7, 24)
    assert wait(entry(FOUND, "found-scale", "Fig"), entry(date(2027, 6, 20), "pest-clear", "Fig")) is None


def test_heat_makes_it_wait_longer():
    hot = make_normals(tmax_c=[20.0] * 5 + [34.0, 34.0, 34.0] + [25.0] * 4)
    assert wait(entry(FOUND, "found-scale", "Fig"), normals=hot) > date(2027, 9, 20)


def test_finds_of_another_year_hold_nothing_back():
    assert wait(entry(date(2026, 9, 1), "found-scale", "Fig")) is None
