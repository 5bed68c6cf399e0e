"""Rows as the log leaves them: parts that moved apart and joined again, plants that came and went."""

from datetime import date, timedelta

from hypothesis import given, settings
from hypothesis import strategies as st
from invented import make_plant, make_scenario

from seasonplan.dates import planning_days
from seasonplan.decisions.lived import as_lived
from seasonplan.model import LogEntry, log_note

DATES = planning_days(2027, 44.5)
SNAKE, FIG = make_plant("Snake plants", count=6), make_plant("Fig")


def day(month, number):
    return date(2027, month, number)


def entry(when, step, plant="Snake plants", place="", pots=None, cloth=None, line=0):
    return LogEntry(when, step, plant, place, log_note(pots, cloth), line)


def lived(*log):
    return as_lived(make_scenario(plants=(SNAKE, FIG), log=tuple(log)), DATES)


def rows(scenario):
    return [(plant.name, plant.count) for plant in scenario.plants]


def moves(scenario, name):
    return [(e.date, e.step, e.place) for e in scenario.log if e.plant == name]


def test_rows_that_move_as_one_are_left_alone():
    log = (entry(day(5, 29), "move-out", place="porch"), entry(day(6, 5), "leach"))
    scenario = lived(*log)
    assert scenario.plants == (SNAKE, FIG) and scenario.log == log


def test_pots_that_went_first_are_a_plant_of_their_own():
    scenario = lived(entry(day(5, 29), "move-out", place="porch", pots=2, cloth=30))
    assert rows(scenario) == [("Snake plants", 4), ("Snake plants, part 2", 2), ("Fig", 1)]
    assert [plant.row for plant in scenario.plants] == ["Snake plants", "Snake plants", ""]
    assert moves(scenario, "Snake plants, part 2") == [(day(5, 29), "move-out", "porch")]
    assert not moves(scenario, "Snake plants")
    [told] = scenario.log
    assert told.pots is None and told.cloth == 30


def test_the_others_follow_and_the_row_is_one_again_with_the_later_past():
    scenario = lived(entry(day(5, 29), "move-out", place="porch", pots=2),
                     entry(day(6, 5), "move-out", place="porch", pots=4))
    assert rows(scenario) == [("Snake plants", 6), ("Fig", 1)]
    assert moves(scenario, "Snake plants") == [(day(6, 5), "move-out", "porch")]


def test_another_cloth_keeps_them_apart():
    scenario = lived(entry(day(5, 29), "move-out", place="porch", pots=2),
                     entry(day(6, 5), "move-out", place="porch", pots=4, cloth=50))
    assert rows(scenario)[:2] == [("Snake plants", 4), ("Snake plants, part 2", 2)]


def test_a_part_that_is_named_moves_alone():
    scenario = lived(entry(day(5, 29), "move-out", place="porch", pots=2),
                     entry(day(6, 5), "move-out", place="lawn", pots=4),
                     entry(day(6, 9), "move", "Snake plants, part 2", "under the tree"))
    assert [m[2] for m in moves(scenario, "Snake plants, part 2")] == ["porch", "under the tree"]
    assert [m[2] for m in moves(scenario, "Snake plants")] == ["lawn"]


def test_coming_in_all_together_makes_them_one():
    scenario = lived(entry(day(5, 29), "move-out", place="porch", pots=2),
                     entry(day(6, 5), "move-out", place="lawn", pots=4), entry(day(9, 9), "move-in"))
    assert rows(scenario) == [("Snake plants", 6), ("Fig", 1)]


def test_pots_that_are_gone_are_fewer_and_a_row_that_is_gone_has_left():
    scenario = lived(entry(day(6, 1), "given-away", pots=2), entry(day(7, 1), "died", "Fig"))
    assert rows(scenario) == [("Snake plants", 4), ("Fig", 1)]
    assert [plant.left for plant in scenario.plants] == [None, day(7, 1)]
    scenario = lived(entry(day(6, 1), "died", pots=2, line=1), entry(day(6, 2), "died", pots=4, line=2))
    assert scenario.plants[0].left == day(6, 2)


def test_a_plant_that_arrived_is_new_even_after_one_of_its_name_died():
    [_, fig] = lived(entry(day(5, 1), "died", "Fig"), entry(day(6, 20), "arrived", "Fig")).plants
    assert (fig.arrived, fig.left) == (day(6, 20), None)


def test_a_job_for_some_pots_counts_when_all_have_had_it():
    first = entry(day(6, 1), "leach", pots=2)
    assert lived(first).log == ()
    assert [e.date for e in lived(first, entry(day(6, 3), "leach", pots=4)).log] == [day(6, 3)]
    assert rows(lived(first)) == [("Snake plants", 6), ("Fig", 1)]


def test_a_job_for_the_pots_left_behind_is_theirs_alone():
    scenario = lived(entry(day(5, 29), "move-out", place="porch", pots=2), entry(day(6, 1), "leach", pots=4))
    assert [(e.step, e.plant) for e in scenario.log][-1] == ("leach", "Snake plants") and len(scenario.log) == 2


def test_a_pest_on_some_pots_is_a_pest_on_all():
    assert len(lived(entry(day(6, 1), "found-scale", pots=1)).log) == 1


def test_a_name_like_that_of_a_part_is_not_taken_twice():
    other = make_plant("Snake plants, part 2")
    scenario = as_lived(make_scenario(plants=(SNAKE, other), log=(
        entry(day(5, 29), "move-out", place="porch", pots=2),)), DATES)
    assert len({plant.name for plant in scenario.plants}) == 3


def test_a_row_left_alone_keeps_its_log_to_the_letter_also_of_years_before():
    log = (LogEntry(DATES[0] - timedelta(days=200), "move-out", "Snake plants", "porch", "no cloth; wobbly"),
           LogEntry(day(5, 29), "move-out", "Snake plants", "porch", "no cloth; wobbly"))
    assert lived(*log).log == log


def test_the_planning_year_is_taken_from_its_first_day_to_its_last():
    before, first, last = DATES[0] - timedelta(days=1), DATES[0], DATES[-1]
    assert [len(lived(entry(when, "move-out", place="porch", pots=2)).plants) for when in (before, first)] == [2, 3]
    late = entry(last + timedelta(days=1), "died", pots=1)
    assert rows(lived(late)) == rows(lived()) and rows(lived(late, entry(last, "died", pots=1)))[0] == (
        "Snake plants", 5)
    assert lived(entry(last, "died", pots=1)).plants[0].row == ""


def test_a_move_of_everything_moves_every_part():
    all_out = entry(day(5, 29), "move-out", "", "porch")
    assert rows(lived(all_out, entry(day(6, 5), "move", place="lawn", pots=2)))[:2] == [
        ("Snake plants", 4), ("Snake plants, part 2", 2)]
    assert rows(lived(all_out, entry(day(6, 5), "move", place="lawn", pots=2),
                      entry(day(6, 9), "move", "Snake plants, part 2", "porch"))) == [("Snake plants", 6), ("Fig", 1)]


PORCH = entry(day(5, 29), "move-out", place="porch", pots=2)                       # part 2 goes to the porch
LAWN = entry(day(6, 5), "move-out", place="lawn", pots=4)                          # the others to the lawn


def test_parts_that_join_have_the_past_of_those_that_are_out_for_less_long():
    joined = lived(PORCH, LAWN, entry(day(6, 20), "move", "Snake plants, part 2", "lawn"))
    assert rows(joined)[0] == ("Snake plants", 6)
    assert moves(joined, "Snake plants") == [(day(6, 5), "move-out", "lawn")]
    was_in = lived(PORCH, LAWN, entry(day(6, 10), "move-in", "Snake plants, part 2"),
                   entry(day(6, 20), "move-out", "Snake plants, part 2", "lawn"))
    assert [m[0] for m in moves(was_in, "Snake plants")] == [day(5, 29), day(6, 10), day(6, 20)]


def test_pots_that_died_are_taken_from_one_part_after_the_other():
    assert rows(lived(PORCH, entry(day(6, 9), "died", pots=3)))[:2] == [
        ("Snake plants", 1), ("Snake plants, part 2", 2)]
    [kept, gone, _] = lived(PORCH, entry(day(6, 9), "died", pots=5)).plants
    assert (kept.left, gone.left, gone.count) == (day(6, 9), None, 1)


def test_so_many_pots_are_taken_from_as_many_parts_as_it_needs():
    scenario = lived(PORCH, entry(day(6, 5), "move-out", place="lawn", pots=3),
                     entry(day(6, 9), "move-out", place="under the tree", pots=3))
    assert rows(scenario) == [("Snake plants", 3), ("Snake plants, part 3", 3), ("Fig", 1)]
    assert moves(scenario, "Snake plants") == [(day(6, 9), "move-out", "under the tree")]


def counts(*log):
    return [count for name, count in rows(lived(*log)) if name != "Fig"]


def test_pots_that_are_not_there_yet_are_meant_first_and_then_those_that_can_go_that_way():
    assert counts(PORCH, entry(day(6, 9), "move-out", place="porch", pots=3)) == [1, 5]
    assert counts(PORCH, LAWN, entry(day(6, 9), "move", place="lawn", pots=1)) == [5, 1]
    assert counts(PORCH, entry(day(6, 9), "move-in", pots=1)) == [4, 1, 1]
    one_in = (entry(day(5, 29), "move-out", place="lawn", pots=4), entry(day(6, 5), "move-out", place="porch", pots=2),
              entry(day(6, 7), "move-in", "Snake plants, part 2"))                 # two on the porch, four in again
    assert counts(*one_in) == [2, 4]
    assert counts(*one_in, entry(day(6, 9), "move", place="porch", pots=1)) == [3, 3]
    assert counts(*one_in, entry(day(6, 9), "move-out", place="lawn", pots=1)) == [2, 3, 1]


def test_pots_that_came_in_without_a_place_are_in_their_own_and_those_that_went_without_one_are_apart():
    assert counts(PORCH, LAWN, entry(day(9, 1), "move-in", "Snake plants, part 2", line=1),
                  entry(day(9, 2), "move-in", pots=4, line=2)) == [6]
    assert counts(PORCH, LAWN, entry(day(9, 1), "move", "Snake plants, part 2", line=1),
                  entry(day(9, 2), "move", pots=4, line=2)) == [4, 2]


def test_no_cloth_told_is_no_cloth_and_two_cloths_are_two():
    def on_the_porch(*cloths):
        return counts(*(entry(day(6, n), "move-out", place="porch", pots=pots, cloth=cloth)
                        for n, pots, cloth in zip((1, 2), (2, 4), cloths, strict=True)))

    assert on_the_porch(None, 0) == on_the_porch(0, None) == on_the_porch(50, 50) == [6]
    assert on_the_porch(30, 50) == on_the_porch(None, 50) == [4, 2]


def leached(*pots):
    return [e.date.day for e in lived(*(entry(day(6, n), "leach", pots=each) for n, each in enumerate(pots, 1))).log]


def test_a_job_done_in_parts_is_counted_anew_once_all_have_had_it():
    assert leached(2, 4, 2, 4) == [2, 4] and leached(2, 4, 2, 3) == [2] and leached(6, 3, 3) == [1, 3]
    assert leached(2, 6, 4) == [2]
    apart = lived(PORCH, entry(day(6, 1), "leach", "Snake plants, part 2", pots=1), entry(day(6, 2), "leach", pots=5))
    assert [e.step for e in apart.log] == ["move-out"]


ENTRIES = st.builds(entry, st.sampled_from([day(m, 3) for m in range(4, 11)]),
                    st.sampled_from(["move-out", "move", "move-in", "rescue", "died", "given-away", "arrived", "leach",
                                     "found-scale", "begin", "nonsense"]),
                    st.sampled_from(["Snake plants", "Snake plants, part 2", "Snake plants, part 9", "Fig", ""]),
                    st.sampled_from(["", "porch", "lawn", "south window"]), st.none() | st.integers(1, 9),
                    st.none() | st.sampled_from([0, 50]), st.integers(0, 30))


@settings(deadline=None, derandomize=True)
@given(st.lists(ENTRIES, max_size=14))
def test_any_log_leaves_rows_with_pots_and_names_of_their_own(log):
    scenario = lived(*log)
    names = [plant.name for plant in scenario.plants]
    assert len(set(names)) == len(names) and all(plant.count >= 1 for plant in scenario.plants)
    assert sum(p.count for p in scenario.plants if p.name.startswith("Snake")) <= 6
    assert {e.plant for e in scenario.log} <= {"", *names}
    assert "Fig" in names and any(name.startswith("Snake plants") for name in names)
