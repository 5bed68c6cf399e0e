from datetime import date

from care.garden import OUT, agenda_of, moving, plant, steps_of

from seasonplan.care.things import with_things
from seasonplan.model import Step

DAY = date(2027, 6, 5)


def step(kind, start=None, minutes=20, day=DAY):
    return Step(f"{kind}-{start}-{day}", day, start, minutes, kind, kind, (), "porch", "", "")


def things(*steps):
    """The kinds of each thing."""
    found = {}
    for each in with_things(steps):
        found.setdefault(each.thing, []).append(each.kind)
    return list(found.values())


def test_a_wave_with_its_cloths_and_stakes_is_one_thing_and_what_needs_other_tools_another():
    wave = [step("cloth"), step("move-out"), step("move"), step("secure-wind", "10:00")]
    assert things(*wave, step("repot", "10:20")) == [["cloth", "move-out", "move", "secure-wind"], ["repot"]]
    assert things(step("isolate", "09:00"), step("move-out")) == [["isolate"], ["move-out"]]


def test_what_is_done_without_a_pause_is_one_thing_and_what_comes_hours_later_or_next_day_another():
    assert things(step("leach", "09:00"), step("wash", "09:30")) == [["leach", "wash"]]
    assert things(step("leach", "09:00"), step("wash", "19:30")) == [["leach"], ["wash"]]
    assert things(step("feed", "09:00"), step("feed", "09:20", day=date(2027, 6, 6))) == [["feed"], ["feed"]]
    assert things(*(step("feed", at, day=date(2027, 6, day)) for at, day in (
        ("09:00", 5), ("09:00", 6), ("09:20", 6), ("09:40", 6)))) == [["feed"], ["feed"] * 3]


def test_a_quarter_of_an_hour_between_is_a_breath_and_more_is_a_pause():
    assert things(step("leach", "09:00"), step("wash", "09:35")) == [["leach", "wash"]]
    assert things(step("leach", "09:00"), step("wash", "09:36")) == [["leach"], ["wash"]]


def test_what_has_no_time_goes_with_what_has_none_of_that_day():
    assert things(step("leach"), step("wash")) == [["leach", "wash"]]
    assert things(step("leach"), step("wash", "09:00")) == things(step("leach", "09:00"), step("wash")) == [
        ["leach"], ["wash"]]


def test_feeding_and_the_first_feed_of_others_are_one_thing_though_another_stands_between_in_the_list():
    assert things(step("feed-start", "09:00"), step("treat", "09:05"), step("feed", "09:20")) == [
        ["feed-start", "feed"], ["treat"]]


def test_plants_at_two_places_are_sprayed_in_one_go_where_the_sun_allows_it():
    plans = [moving(plant("Here", pests="scale")), moving(plant("There", place="stair landing", pests="scale"))]
    first = steps_of(agenda_of(plans), "treat")[0]
    assert set(first.plants) == {"Here", "There"} and [part[0] for part in first.parts] == first.place.split(" + ")
    assert first.parts[0][1] == first.start and sum(part[2] for part in first.parts) == first.minutes
    assert f"at the {first.parts[1][0]} from {first.parts[1][1]}" in first.detail


def test_work_that_has_a_day_alone_joins_other_work_with_the_same_tools():
    out = date(2027, 5, 30)
    plans = [moving(plant("Big fig", root_bound=True)), moving(plant("Late fig", root_bound=True), out)]
    repots = steps_of(agenda_of(plans), "repot")
    assert len({s.date for s in repots}) == 1 and repots[0].date > OUT
