from datetime import date

import pytest
from care.garden import entry, moving, plant

from seasonplan.care.logbook import Done, Find, log_steps, pest_of, place_on, read_entries
from seasonplan.care.uids import step_uid

KINDS = frozenset({"repot", "leach", "wash", "wash-soap"})
PLANS = [moving(plant("Fig")), moving(plant("Soap dish"))]
FIRST, LAST = date(2027, 1, 1).toordinal(), date(2027, 12, 31).toordinal()


def read(*entries, planned=None):
    return read_entries(entries, PLANS, FIRST, LAST, KINDS, planned or {})


@pytest.mark.parametrize("step, note, pest", [
    ("found-scale", "", "scale"), ("found-spider-mite", "", "spider-mite"), ("found-mites", "", "spider-mite"),
    ("found-thrips", "", "unknown"), ("pest", "mealybug on the stem", "mealybug"),
    ("pest", "Spider mite", "spider-mite"), ("pest", "", "unknown"), ("repot", "scale", None),
    ("pest-clear", "", None)])
def test_pests_by_step_or_by_note(step, note, pest):
    assert pest_of(step, note) == pest


def test_finds_and_clears_of_one_plant_or_of_a_place():
    logs = read(entry(date(2027, 6, 5), "Found Scale", "Fig"), entry(date(2027, 6, 9), "pest", "", "aphids", "porch"),
                entry(date(2027, 6, 20), "pest-clear", "Fig"))
    june = date(2027, 6, 1).toordinal()
    assert logs["Fig"].finds == [Find(june + 4, "scale"), Find(june + 8, "aphid")]
    assert logs["Fig"].clears == [june + 19] and logs["Soap dish"].finds == [Find(june + 8, "aphid")]


def test_jobs_by_kind_for_one_plant_or_for_all():
    logs = read(entry(date(2027, 6, 5), "repot", "Fig"), entry(date(2027, 6, 6), "leach"))
    assert [d.kind for d in logs["Fig"].done] == ["repot", "leach"] and len(logs["Soap dish"].done) == 1


def test_jobs_by_uid_of_a_planned_step_or_as_it_stands():
    uid = step_uid("Invented town", 2027, "wash", "Soap dish", 2)
    day = date(2027, 6, 5)
    planned = read(entry(day, uid), planned={uid: ("wash", 2, ["Fig", "Soap dish"])})
    assert planned["Fig"].done == planned["Soap dish"].done == [Done(day.toordinal(), "wash", 2)]
    stray = read(entry(day, step_uid("Invented town", 2027, "repot", "Fig", 1001)))
    assert stray["Fig"].done == [Done(day.toordinal(), "repot", 1)] and "Soap dish" not in stray


def test_earlier_years_are_history_and_later_ones_nothing():
    logs = read(entry(date(2026, 9, 1), "leach", "Fig"), entry(date(2028, 1, 1), "repot", "Fig"))
    assert logs["Fig"].last_before("leach") == date(2026, 9, 1).toordinal()
    assert not logs["Fig"].done and logs["Fig"].last_before("repot") is None


def test_other_words_are_left_alone():
    assert read(entry(date(2027, 6, 5), "watered", "Fig"), entry(date(2027, 6, 5), "move-in", "Fig")) == {}


def test_where_a_plant_stands():
    assert place_on(PLANS[0], date(2027, 7, 1)) == "porch"
    assert place_on(PLANS[0], date(2027, 9, 25)) == "south window"
    assert {"pest", "found-scale", "pest-clear"} <= set(log_steps())
