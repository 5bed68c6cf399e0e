"""When a season is kept, and what the note of a log entry tells."""

from datetime import date, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st

from seasonplan.model import Away, LogEntry, LoggedStay, is_kept, log_note
from seasonplan.model.life import part_of, told_of

FIRST, LAST = date(2027, 1, 1), date(2027, 12, 31)
JUNE = date(2027, 6, 10)


def entry(day, note=""):
    return LogEntry(day, "leach", "Fig", note=note)


@pytest.mark.parametrize(("logged", "today", "kept"), [
    ([], JUNE, False),
    ([JUNE], JUNE, True),
    ([JUNE + timedelta(days=1)], JUNE, False),
    ([date(2026, 6, 10)], JUNE, False),
    ([FIRST], FIRST, True),
    ([date(2026, 12, 31)], FIRST, True), ([date(2026, 11, 1)], JUNE, True), ([date(2026, 10, 31)], JUNE, False),
    ([date(2026, 11, 1)], date(2026, 11, 1), True), ([date(2026, 10, 31)], date(2026, 10, 31), False),
    ([date(2026, 12, 3)], date(2026, 12, 2), False), ([date(2026, 12, 2)], date(2026, 12, 2), True),
    ([JUNE], LAST, True),
    ([JUNE], LAST + timedelta(days=1), False),
    ([date(2026, 6, 10), JUNE], date(2027, 7, 1), True)])
def test_a_season_is_kept_from_its_first_entry_on(logged, today, kept):
    assert is_kept([entry(day) for day in logged], FIRST, LAST, today) is kept


@given(st.none() | st.integers(1, 999), st.none() | st.integers(0, 99),
       st.sampled_from(["", "dry", "2 pots fell over", "cloth", "50 %; new saucer", "no cloth yet"]))
def test_a_note_reads_back_as_it_was_written(pots, cloth, remark):
    read = entry(JUNE, log_note(pots, cloth, remark))
    assert (read.pots, read.cloth, read.remark) == (pots, cloth, remark)


@pytest.mark.parametrize("note", ["2 pots fell over", "a cloth 50 % over it", "pots", "Next pot size; 2 pots",
                                  "-1 pots"])
def test_a_remark_is_no_number_of_pots(note):
    assert (entry(JUNE, note).pots, entry(JUNE, note).cloth, entry(JUNE, note).remark) == (None, None, note)


def test_the_words_for_pots_and_cloth():
    assert entry(JUNE, "1 pot").pots == 1 and entry(JUNE, "3 pots;cloth 30%").cloth == 30
    assert entry(JUNE, "no cloth").cloth == 0 and entry(JUNE, "2 pots; windy").remark == "windy"


@pytest.mark.parametrize(("step", "kind"), [
    ("move-out", "move-out"), ("move-in", "move-in"), ("rescue", "move-in"), ("move", "move"),
    ("2027-move-out-fig-1-0011aabb", "move-out"), ("leach", None), ("moved", None), ("arrived", None)])
def test_what_counts_as_a_move(step, kind):
    assert LogEntry(JUNE, step).move_kind == kind


def test_one_is_back_on_the_day_that_ends_a_time_away():
    away = Away(JUNE, JUNE + timedelta(days=2))
    assert [away.holds(JUNE + timedelta(days=n)) for n in (-1, 0, 1, 2)] == [False, True, True, False]


@pytest.mark.parametrize(("pots", "words"), [(None, "dry"), (1, "1 pot; dry"), (2, "2 pots; dry")])
def test_one_pot_is_no_pots(pots, words):
    assert log_note(pots, remark="dry") == words


@pytest.mark.parametrize(("name", "row"), [
    ("Fig", ("Fig", 1)), ("Fig, part 2", ("Fig", 2)), ("Fig, part 13 of it", ("Fig", 13)),
    ("Fig, part 0", ("Fig, part 0", 1)), ("Fig, part 2, part 3", ("Fig, part 2", 3))])
def test_the_row_of_a_part(name, row):
    assert part_of(name) == row


def test_what_is_not_told_is_nothing_and_days_are_in_order():
    plain, stay, away = LogEntry(JUNE, "leach"), LoggedStay(JUNE, "porch"), Away(JUNE, JUNE + timedelta(days=2))
    assert (plain.line, plain.pots, stay.cloth, away.helper, away.line) == (0, None, 0, False, 0)
    later = JUNE + timedelta(days=1)
    assert sorted([LogEntry(later, "a"), plain])[0] == plain
    assert sorted([LoggedStay(later, "a"), stay])[0] == stay and sorted([Away(later, later), away])[0] == away


@pytest.mark.parametrize("step", ["cloth", "2027-cloth-hang-50-porch-1-0123abcd@seasonplan.invalid"])
def test_another_cloth_is_told_where_the_place_is(step):
    assert LogEntry(date(2027, 6, 5), step, "Fig", "porch").move_kind == "cloth"
    assert LogEntry(date(2027, 6, 5), step, "Fig").move_kind is None


def test_of_which_plants_a_log_tells_some_steps_between_two_days_and_at_a_place():
    log = [LogEntry(date(2027, 6, n), step, plant, place) for n, step, plant, place in (
        (1, "feed", "Fig", "porch"), (2, "feed", "Fern", "lawn"), (3, "leach", "Ivy", "lawn"), (4, "feed", "", ""))]

    def told(first, last, *steps, **given):
        return told_of(log, steps or ("feed",), date(2027, 6, first), date(2027, 6, last), **given)

    assert told(1, 4) == {"Fig", "Fern", ""} and told(1, 3) == {"Fig", "Fern"} and told(2, 3) == {"Fern"}
    assert told(1, 2, "feed", "leach") == {"Fig", "Fern"} and told(3, 3, "feed", "leach") == {"Ivy"}
    assert told(1, 4, place="lawn") == {"Fern"} and told(5, 9) == set()
