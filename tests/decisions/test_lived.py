"""Rows as the log leaves them: parts that moved apart and joined again, plants that came and went."""

from datetime import date

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
