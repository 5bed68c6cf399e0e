"""Names of cold spells, who is still in, and when a calendar rings."""

from datetime import date, datetime

import pytest

from seasonplan.model import Alert
from seasonplan.weather.spells import spell_uid, still_in, with_alarms, with_spells

SITE = "Invented town"


def day(number):
    return date(2027, 10, number)


def alert(number, *, uid="a", plants=("Fern",), by="2027-10-01T20:00", out=None, **given):
    return Alert(uid, day(number), "porch", 2.0, 3.0, 0.9, 10.0, plants, "Take it in.", by,
                 out_again=None if out is None else day(out), **given)


def spells(nights, before=()):
    """Which nights share a name: the names by number, in the order in which they appear; "old" for those of before."""
    names = [one.spell for one in with_spells([alert(n) for n in nights], before, SITE)]
    return ["old" if name == "old" else list(dict.fromkeys(names)).index(name) for name in names]


@pytest.mark.parametrize(("nights", "found"), [
    ((1,), [0]), ((1, 2), [0, 0]), ((1, 3), [0, 0]), ((1, 4), [0, 1]), ((1, 3, 5, 7), [0, 0, 0, 0]),
    ((1, 10, 12), [0, 1, 1]), ((12, 1, 10, 1), [0, 1, 0, 1])])
def test_nights_with_at_most_one_mild_one_between_are_one_spell(nights, found):
    assert spells(nights) == found


@pytest.mark.parametrize(("nights", "out", "goes_on"), [
    ((13,), None, True), ((14,), None, False), ((14,), 14, True), ((15,), 14, False), ((9,), None, True),
    ((8,), None, False), ((5, 7, 9), None, True), ((11,), None, True), ((20,), 14, False), ((1,), 14, False)])
def test_a_spell_goes_on_under_its_name_where_it_touches_the_nights_or_the_days_in_of_the_last_report(
        nights, out, goes_on):
    """The last report: nights 10 and 12, out again on a day, so that the plants are in until the day before."""
    before = [alert(10, spell="old", out=out), alert(12, spell="old", out=out)]
    assert set(spells(nights, before)) == ({"old"} if goes_on else {0})


def test_a_name_is_given_once_and_that_of_two_spells_which_became_one_is_the_first_by_name():
    assert spells((9, 13), [alert(10, spell="old"), alert(12, spell="old")]) == ["old", 1]
    two = [alert(10, spell="old"), alert(14, spell="older")]
    assert spells((11, 13), two) == ["old", "old"]


def test_the_name_of_a_spell_is_the_same_on_every_machine_and_day():
    assert spell_uid(SITE, day(5)) == "watch-2027-10-05-invented-town-ebcfa356@seasonplan.invalid"
    assert {one.spell for one in with_spells([alert(7), alert(5)], (), SITE)} == {spell_uid(SITE, day(5))}
    assert spell_uid("Other town", day(5)) != spell_uid(SITE, day(5)) != spell_uid(SITE, day(6))


def test_who_is_still_in_tonight():
    assert still_in([alert(9, out=10)], day(10)).keys() == {"Fern"}          # to go out today at the soonest
    assert not still_in([alert(9, out=9)], day(10)) and still_in([alert(9)], day(10))
    assert not still_in([alert(10)], day(10)) and not still_in([alert(9, level="keep-watch")], day(10))
    assert still_in([alert(5)], day(15)) and not still_in([alert(5)], day(16))
    both = [alert(9, uid="later"), alert(8, uid="sooner", plants=("Fern", "Jade"))]
    assert {name: one.uid for name, one in still_in(both, day(10)).items()} == {"Fern": "later", "Jade": "sooner"}


def rings(written, *, by="20:00", before=(), **given):
    [found] = with_alarms([alert(1, by=f"2027-10-01T{by}", **given)], datetime.fromisoformat(f"2027-10-01T{written}"),
                          before)
    return found.alarm and found.alarm.removeprefix("2027-10-01T")


@pytest.mark.parametrize(("written", "by", "alarm"), [
    ("10:00", "20:00", "18:00"), ("17:00", "20:00", "18:00"), ("17:30", "20:00", "18:30"), ("17:31", "20:00", "18:35"),
    ("17:34:30", "20:00", "18:35"), ("17:35:30", "20:00", "18:40"), ("17:33:01", "20:00", "18:35"),
    ("17:59:59", "20:00", "19:00"), ("18:45", "20:00", "19:45"), ("18:46", "20:00", None), ("18:45", "19:59", None),
    ("18:44:01", "20:00", "19:45"), ("17:07", "20:07", "18:10"), ("10:00", "20:07", "18:07")])
def test_it_rings_two_hours_before_but_an_hour_after_the_file_was_written_and_a_quarter_before_at_the_latest(
        written, by, alarm):
    assert rings(written, by=by) == alarm


def test_an_hour_that_stands_in_the_file_stays_and_only_what_is_to_be_carried_rings():
    told = [alert(1, alarm="2027-10-01T17:00")]
    assert rings("18:50", before=told) == "17:00" == rings("10:00", before=told)
    assert rings("10:00", before=told, level="keep-watch") is None is rings("10:00", level="keep-watch")
    assert rings("10:00", stays=True) is None and rings("10:00", before=[alert(1, uid="b", alarm="x")]) == "18:00"
