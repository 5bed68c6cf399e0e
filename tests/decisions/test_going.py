"""From which day a plant may be moved in a season on its way."""

from dataclasses import replace
from datetime import date, timedelta

import numpy as np
import pytest
from invented import make_night_climate, make_plant, make_scenario

from seasonplan.dates import DAYS, planning_days
from seasonplan.decisions.going import Going, going_of, joined, out_again, overdue, still_there
from seasonplan.model import Alert, Before, LogEntry, LoggedStay, PlantPlan, SeenStep
from seasonplan.model.found import MoveDate

DATES = planning_days(2027, 44.5)
FIRST, LAST = DATES[0], DATES[-1]
FERN = make_plant("Fern", harm_c=10.0, harm_hardened_c=8.0)
CLIMATE = make_night_climate()
TURN = next(day for day in DATES if day.timetuple().tm_yday == CLIMATE.turn_index + 1)
UP = timedelta(days=1)


def day(month, number):
    return date(2027, month, number)


def going(*log, plant=FERN, climate=CLIMATE, **given):
    scenario = make_scenario(plants=(plant,), log=tuple(LogEntry(*entry) for entry in log))
    return Going(scenario, climate, DATES, **given)


def alert(night, out=None, plants=("Fern",)):
    return Alert("a", night, "porch", 5.0, 5.0, 0.9, 10.0, plants, "Take it in.", "2027-06-01T20:00", out_again=out)


def test_nothing_is_free_later_on_paper_and_from_today_in_a_season_that_is_kept():
    assert going().free_from(FERN) is None
    assert going(today=day(5, 10)).free_from(FERN) == day(5, 10)
    assert going(today=day(5, 10), begun=day(5, 20)).free_from(FERN) == day(5, 20)


def test_the_day_after_its_last_move_is_the_first_that_is_free_only_where_the_season_is_kept():
    moved = (day(5, 20), "move-out", "Fern", "porch")
    assert going(moved, today=day(5, 20)).free_from(FERN) == day(5, 21)
    assert going(moved, today=day(6, 20)).free_from(FERN) == day(6, 20)
    assert going(moved).free_from(FERN) is None
    assert going(moved, (day(6, 1), "move", "Fern", "lawn"), today=day(6, 1)).free_from(FERN) == day(6, 2)


def test_moves_that_are_not_to_be_looked_at_are_not():
    log = ((day(5, 20), "move-out", "Fern", "porch"), (day(6, 1), "move", "Fern", "lawn"))
    assert [stay.place for stay in going(*log, told=1).stays(FERN)] == ["porch"]
    assert [stay.place for stay in going(*log).stays(FERN)] == ["porch", "lawn"]


def test_one_that_joined_stands_apart_for_a_fortnight():
    new = replace(FERN, arrived=day(5, 10))
    assert going().apart_until(new) == day(5, 24) == going(today=day(5, 11)).free_from(new)
    assert going().apart_until(FERN) is None and going().apart_until(replace(FERN, arrived=FIRST)) is None
    assert going().apart_until(replace(FERN, arrived=FIRST + UP)) == FIRST + 15 * UP


def test_it_is_in_for_good_from_the_turn_on_unless_it_was_a_rescue():
    out = (day(5, 20), "move-out", "Fern", "porch")
    assert going().in_for_good(FERN) is None and going(out).in_for_good(FERN) is None
    assert going(out, (TURN - UP, "move-in", "Fern")).in_for_good(FERN) is None
    assert going(out, (TURN, "move-in", "Fern")).in_for_good(FERN) == TURN
    autumn = TURN + 30 * UP
    assert going(out, (autumn, "rescue", "Fern")).in_for_good(FERN) is None
    assert going(out, (autumn, "rescue")).in_for_good(FERN) is None
    assert going(out, (autumn, "move-in", "Fern"), (autumn, "rescue", "Other")).in_for_good(FERN) == autumn
    assert going(out, (autumn, "move-in", "Fern"), (autumn - UP, "rescue", "Fern")).in_for_good(FERN) == autumn


def test_where_it_stands():
    on = going()
    assert not on.stands_outdoors(()) and on.stands_outdoors([LoggedStay(day(5, 1), "porch", 0)])
    assert not on.stands_outdoors([LoggedStay(day(5, 1), "porch", 0), LoggedStay(day(5, 9), "south window", 0)])
    assert not on.stands_outdoors([LoggedStay(day(5, 1), "an attic", 0)])


def test_a_move_is_behind_it_once_it_is_past_or_logged():
    plan = PlantPlan(FERN, "moves", "", *[MoveDate(None, None, None, None, None)] * 2, (), ())
    log = (day(5, 20), "move-out", "Fern", "porch")
    assert not going(log).is_done(plan, day(5, 20))
    on = going(log, today=day(5, 20))
    assert [on.is_done(plan, day(5, n)) for n in (19, 20, 21)] == [True, True, False]
    assert not going(today=day(5, 20)).is_done(plan, day(5, 20))


OUT = (day(5, 20), "move-out", "Fern", "porch")
IN = (day(6, 3), "rescue", "Fern", "south window")


def test_only_one_that_was_rescued_goes_out_again():
    assert going().out_again(FERN, ()) is None
    assert going(OUT).out_again(FERN, going(OUT).stays(FERN)) is None
    back = (TURN + UP, "move-in", "Fern", "south window")
    assert going(OUT, back).out_again(FERN, going(OUT, back).stays(FERN)) is None
    only_in = going((day(5, 3), "move", "Fern", "south window"))
    assert only_in.out_again(FERN, only_in.stays(FERN)) is None


def test_what_watch_said_that_evening_or_later_goes_before_what_is_usual():
    def told(*alerts):
        on = going(OUT, (day(5, 27), "move", "Fern", "lawn"), IN, alerts=alerts)
        return on.out_again(FERN, on.stays(FERN))

    usual = told()
    assert usual is not None and usual > day(6, 3)
    assert told(alert(day(6, 3), day(6, 9))) == day(6, 9)
    assert told(alert(day(6, 3), day(6, 9)), alert(day(6, 4), day(6, 12)), alert(day(6, 5))) == day(6, 12)
    assert told(alert(day(6, 2), day(6, 9))) == told(alert(day(6, 3), day(6, 9), ("Other",))) == told(
        alert(day(6, 3))) == usual


@pytest.mark.parametrize(("places", "lift_c"), [(("lawn", "lawn", "porch"), 1.0), (("porch", "lawn", "lawn"), None)])
def test_what_is_usual_is_asked_for_the_place_it_stood_at_last_and_all_the_days_it_was_out(monkeypatch, places, lift_c):
    asked = []
    monkeypatch.setattr("seasonplan.decisions.going.out_again", lambda *given: asked.append(given) or day(7, 7))
    on = going(*((when, "move", "Fern", place) for when, place in zip((day(5, 3), day(5, 10), day(5, 20)), places,
                                                                      strict=True)), IN)
    on = replace(on, scenario=replace(on.scenario, rules=replace(on.scenario.rules, carries_per_harm=9.0)))
    assert on.out_again(FERN, on.stays(FERN)) == day(7, 7)
    [(climate, plant, found_c, went_in, days_out, chance)] = asked
    assert (climate, plant, went_in, days_out, chance) == (CLIMATE, FERN, day(6, 3), 31, 0.1)
    assert found_c == lift_c if lift_c is not None else found_c < 0


def steady(mean_c, sd_c=2.0, lag=0.0):
    """A climate of the same nights all year, each by itself."""
    return replace(make_night_climate(np.full(DAYS, mean_c), sd_c), lag1=np.full(DAYS, lag))


def test_the_longer_cold_hangs_on_the_longer_it_waits_and_a_fortnight_at_most():
    waits = [(out_again(steady(20.0, lag=lag), FERN, 0.0, day(6, 3), 0, 0.05) - day(6, 4)).days
             for lag in (0.0, 0.9, 0.97, 0.999)]
    assert waits[0] == 0 < waits[1] < waits[2] < waits[3] == 14


def test_a_night_is_safe_as_soon_as_its_chance_is_within_the_limit():
    """Harm 10 °C, sd 2, lag 0.5: n nights on the low is 20 - 10 * 0.5**n, its sd 2 * sqrt(1 - 0.25**n); the chance of
    harm is P(Z < -10 (1 - 0.5**n) / sd): 1.9e-3 for the first, 5.4e-5 the second, 5e-6 the third, and falling."""
    climate = steady(20.0, lag=0.5)
    assert [(out_again(climate, FERN, 0.0, day(6, 3), 0, limit) - day(6, 4)).days
            for limit in (2e-3, 1.8e-3, 6e-5, 5e-5, 4e-6)] == [0, 1, 1, 2, 3]


def test_two_more_nights_must_be_safe_before_it_goes_out_and_no_more():
    """Night 1 is under the morning of 5 June. One night of a wide spread doubles the departure that is left: 42 % where
    20 % are usual; the nights round it are safe."""
    def answer(wide, lag=0.5):
        climate = steady(20.0, lag=lag)
        sd_c = climate.sd_c.copy()
        sd_c[wide.timetuple().tm_yday - 1] = 12.0
        return out_again(replace(climate, sd_c=sd_c), FERN, 0.0, day(6, 3), 0, 0.05)

    assert [answer(day(6, n)).day for n in (5, 6, 7, 8)] == [5, 6, 7, 4]
    assert answer(day(6, 6), lag=0.0) == day(6, 4)


def test_a_warmer_place_is_as_good_as_a_hardier_plant():
    hardier = replace(FERN, harm_c=FERN.harm_c - 2, harm_hardened_c=FERN.harm_hardened_c - 2)
    for lag in (0.9, 0.97):
        climate = steady(14.0, lag=lag)
        found = [out_again(climate, plant, lift_c, day(6, 3), 60, 0.05) for plant, lift_c in
                 ((FERN, 2.0), (hardier, 0.0), (FERN, -2.0))]
        assert found[0] == found[1] != found[2]


def test_where_harm_is_usual_it_waits_no_longer_than_until_nights_are_as_usual():
    assert out_again(steady(9.0), FERN, 0.0, day(6, 3), 0, 0.05) == day(6, 4)
    assert out_again(steady(9.0, lag=0.99), FERN, 0.0, day(6, 3), 0, 0.05) == day(6, 4)


def test_plants_that_are_news_joined_on_the_day_the_plan_first_knew_of_them():
    def arrived(known, plant=FERN):
        return joined(make_scenario(plants=(plant,)), known, DATES, FIRST).plants[0].arrived

    assert arrived({}) is None and arrived({"Fern": None}) is None
    assert arrived({"Fern": FIRST - UP}) is None and arrived({"Fern": FIRST}) == FIRST
    assert arrived({"Fern": FIRST + UP}) == FIRST + UP
    assert arrived({"Fern": LAST}) == LAST and arrived({"Fern": LAST + UP}) is None
    assert arrived({"Fern": day(6, 1)}, replace(FERN, arrived=day(5, 1))) == day(5, 1)
    assert arrived({"Fern": day(6, 1)}, replace(FERN, name="Fern, part 2", row="Fern")) == day(6, 1)


def test_those_that_left_are_gone_by_today_or_by_the_years_first_day_and_said():
    def left(when, today=None):
        found = still_there(make_scenario(plants=(replace(FERN, left=when), make_plant("Other"))), DATES, today)
        return [plant.name for plant in found.plants], found.assumptions

    gone = ["Other"], ("Fern left on Thu 10 Jun: nothing is planned for it.",)
    assert left(day(6, 10), day(6, 10)) == left(day(6, 10), day(7, 1)) == gone
    assert left(day(6, 10)) == left(day(6, 10), day(6, 9)) == left(None, day(7, 1)) == (["Fern", "Other"], ())
    assert left(FIRST + UP)[0] == left(FIRST + UP, FIRST - 9 * UP)[0] == ["Fern", "Other"]
    assert left(FIRST)[0] == left(FIRST - UP)[0] == left(FIRST, FIRST - 9 * UP)[0] == ["Other"]


def test_moves_that_were_due_are_open_from_where_the_log_begins_until_today():
    before = Before(2027, {}, {}, seen=tuple(
        SeenStep(f"2027-move-out-{name}-1-0123abcd@seasonplan.invalid", "move-out", (when,), (name,), {})
        for name, when in (("a", day(5, 1)), ("b", day(5, 9)), ("c", day(5, 10)), ("d", FIRST - UP), ("e", FIRST))))
    assert overdue(going(), before) == {} == overdue(going(today=day(5, 10)), None)
    assert set(overdue(going(today=day(5, 10)), before)) == {"a", "b", "e"}
    assert set(overdue(going(today=day(5, 10), begun=day(5, 1)), before)) == {"a", "b"}
    assert set(overdue(going(today=day(5, 10), begun=day(5, 2)), before)) == {"b"}


@pytest.mark.parametrize(("log", "begun"), [
    ((), None), (((day(5, 3), "leach"),), None), (((day(5, 3), "begin"), (day(4, 2), "begin")), day(4, 2)),
    (((FIRST, "begin"),), FIRST), (((FIRST - UP, "begin"), (day(5, 3), "begin")), day(5, 3))])
def test_a_season_begins_with_the_first_begin_of_its_year(log, begun):
    scenario = make_scenario(plants=(FERN,), log=tuple(LogEntry(*entry) for entry in log))
    found = going_of(scenario, CLIMATE, DATES, day(5, 10))
    assert (found.today, found.begun) == (day(5, 10) if log else None, begun)
    assert going_of(scenario, CLIMATE, DATES, day(3, 1) if begun != FIRST else FIRST - UP).begun is None


def test_a_season_is_kept_through_its_last_day():
    scenario = make_scenario(plants=(FERN,), log=(LogEntry(day(5, 3), "leach"), LogEntry(LAST, "begin")))
    found = going_of(scenario, CLIMATE, DATES, LAST)
    assert (found.today, found.begun) == (LAST, LAST)
    assert going_of(scenario, CLIMATE, DATES, LAST + UP).today is None


LAST_YEAR = (date(2026, 6, 1), "move-out", "Fern", "lawn", "cloth 30 %")


def test_one_that_the_year_before_left_outdoors_stands_there_as_the_year_begins():
    there = LoggedStay(FIRST, "lawn", 30)
    on = going(LAST_YEAR, today=day(1, 9), kept=True)
    assert on.carried(FERN) == there and on.stays(FERN) == (there,) and on.stands_outdoors(on.stays(FERN))
    assert going(LAST_YEAR, today=day(1, 9)).carried(FERN) is None and going(LAST_YEAR).stays(FERN) == ()
    moved = going(LAST_YEAR, (day(1, 5), "move", "Fern", "porch"), today=day(1, 9), kept=True)
    assert moved.carried(FERN) is None and [stay.place for stay in moved.stays(FERN)] == ["porch"]


def test_its_move_indoors_of_the_year_before_is_open_still():
    autumn = date(2026, 10, 9)

    def told(*moves):
        return Before(2027, {}, {}, seen=tuple(
            SeenStep(f"2026-{kind}-{name}-{n}-0123abcd@seasonplan.invalid", kind, (when,), (name,), {})
            for name, kind, n, when in moves))

    on = going(LAST_YEAR, today=day(1, 9), kept=True)
    before = told(("Fern", "move-in", 3, autumn), ("Other", "move-in", 2, autumn))
    assert overdue(on, before) == {"Fern": ("move-in", 0, autumn)}
    assert overdue(going(LAST_YEAR, today=day(1, 9)), before) == {}
    assert overdue(on, told(("Fern", "move", 3, autumn), ("Other", "move-in", 2, day(1, 5)))) == {
        "Fern": ("move", 3, autumn), "Other": ("move-in", 2, day(1, 5))}


def test_a_season_is_kept_from_its_first_day():
    scenario = make_scenario(plants=(FERN,), log=(LogEntry(FIRST, "leach"),))
    assert going_of(scenario, CLIMATE, DATES, FIRST).today == FIRST
    assert going_of(scenario, CLIMATE, DATES, FIRST).kept and not going_of(scenario, CLIMATE, DATES, FIRST - UP).kept
    for days, kept in ((61, True), (62, False)):
        early = FIRST - days * UP
        assert going_of(replace(scenario, log=(LogEntry(early, "leach"),)), CLIMATE, DATES, early).kept == kept
