"""Does the planned day still look right?"""

from dataclasses import replace
from datetime import date, timedelta
from types import SimpleNamespace

import numpy as np
import pytest
from weather.garden import garden_plant, make_forecast, make_garden, standing_at

from seasonplan.model import Rules
from seasonplan.weather.advice import Prospect, move_advice, prospect
from seasonplan.weather.alerts import watch_report
from seasonplan.weather.danger import STAY_CHANCE

OUT, BACK = date(2027, 6, 12), date(2027, 9, 12)
TODAY = OUT - timedelta(days=3)


def advice(lows_c, today=TODAY, rules=None, log=(), warmer_c=3.0):
    plants = [standing_at(garden_plant("Fern", 10.0, count=2), "porch", OUT, BACK),
              standing_at(garden_plant("Ivy", 4.0), "porch", OUT, BACK)]
    plan = make_garden(plants, rules=rules or Rules(year=2027), log=log)
    summer = replace(plan.climate, mean_c=plan.climate.mean_c + warmer_c, sd_c=np.full(365, 2.5))
    return watch_report(replace(plan, climate=summer), make_forecast(today, lows_c) if lows_c else None, today).advice


def test_a_planned_move_out_still_looks_right_when_it_is_mild():
    (sentence,) = advice([17.0] * 9)
    assert sentence.startswith("The move-out of Fern and Ivy (3 pots) planned for Sat 12 Jun still looks right")
    assert "the highest chance of 10 °C or colder for Fern is" in sentence and "%" in sentence


def test_a_cold_spell_puts_the_move_off_to_the_next_move_day_that_fits():
    (sentence,) = advice([12.0, 12.0, 12.0, 4.0, 3.0, 4.0, 4.0, 3.0, 4.0])
    assert "planned for Sat 12 Jun looks too early" in sentence
    assert sentence.endswith("Sat 19 Jun looks better.")
    assert "2 nights will probably ask for carrying" in sentence


def test_any_day_of_the_week_will_do_where_the_rules_say_so():
    """Four cold nights from the 12th on, the last of them too far ahead to count on."""
    cold = [12.0, 12.0, 12.0, 3.0, 3.0, 3.0, 3.0, 16.0, 16.0]
    weekend, any_day = (advice(cold, rules=Rules(year=2027, move_days=days))[0] for days in (("sat", "sun"), ()))
    assert weekend.endswith("Sat 19 Jun looks better.") and any_day.endswith("Tue 15 Jun looks better.")


def test_when_nothing_in_sight_fits_it_says_so():
    (sentence,) = advice([8.0] * 9, warmer_c=-6.0)
    assert "no day up to" in sentence and sentence.endswith("looks better yet.")


def test_moves_far_ahead_and_moves_already_made_need_no_advice():
    assert advice([17.0] * 9, today=OUT - timedelta(days=15)) == ()
    assert advice([17.0] * 9, today=OUT) == ()
    assert len(advice([17.0] * 9, today=OUT - timedelta(days=14))) == 1


def test_a_planned_move_in_still_looks_right_when_it_is_mild():
    (sentence,) = advice([17.0] * 6, today=BACK - timedelta(days=5))
    assert sentence.startswith("The move-in of Fern and Ivy (3 pots) planned for Sun 12 Sep still looks right")


def test_cold_nights_before_the_planned_move_in_call_for_an_earlier_one():
    """From Friday 3 September the first cold night is Monday the 6th."""
    today = date(2027, 9, 3)
    (sentence,) = advice([16.0, 16.0, 16.0, 5.0, 5.0, 5.0, 5.0, 5.0, 5.0], today=today)
    assert "planned for Sun 12 Sep looks too late" in sentence and "Better go in on Mon 6 Sep" in sentence
    assert "pest check" in sentence


def test_as_many_cold_nights_as_the_person_carries_for_are_no_reason_to_come_in_early():
    cold = [16.0, 16.0, 16.0, 5.0, 5.0, 16.0, 16.0, 16.0, 16.0]
    today = date(2027, 9, 3)
    willing, unwilling = (advice(cold, today=today, rules=Rules(year=2027, carry_in_nights=n))[0] for n in (2, 1))
    assert "still looks right" in willing and "looks too late" in unwilling


def test_an_early_date_is_never_in_the_past():
    today = date(2027, 9, 6)
    (sentence,) = advice([5.0] * 6, today=today)
    assert "Better go in on Mon 6 Sep" in sentence


def test_without_a_forecast_the_normals_judge():
    (sentence,) = advice(None)
    assert "still looks right" in sentence


@pytest.mark.parametrize(("cold", "soon", "fits"), [(0, False, True), (2, False, True), (3, False, False),
                                                    (1, True, False)])
def test_the_persons_own_number_of_carries_judges(cold, soon, fits):
    it = Prospect("Fern", cold, soon, 0.5, TODAY, TODAY if cold else None, 10.0)
    assert it.fits(2.0) is fits


def test_advice_and_alerts_say_the_same():
    """A night that the alerts act on is never one on which a planned move looks right."""
    for low in (14.0, 12.0, 11.0, 10.0, 8.0, 4.0):
        plants = [standing_at(garden_plant("Fern", 10.0), "porch", TODAY + timedelta(days=1), BACK),
                  standing_at(garden_plant("Ivy", 10.0), "porch", date(2027, 5, 1), BACK)]
        report = watch_report(make_garden(plants), make_forecast(TODAY, [16.0, low, 16.0, 16.0]), TODAY)
        announced = any(alert.plants == ("Ivy",) for alert in report.alerts)
        assert not announced or "too early" in report.advice[0]


NIGHTS = [TODAY + timedelta(days=n) for n in range(30)]
FERN = garden_plant("Fern", 10.0)


def look(*cold, out=True, route=(("porch", 3, 60),), status="moves", lawn=(), **rules):
    """A danger of thirty nights of which some will surely be acted on, everywhere or (lawn) there only, for one plant
    that goes on its way by day, outdoors from today's evening on where `out` says so."""
    [stop] = standing_at(FERN, "porch", OUT, BACK).route
    plan = replace(standing_at(FERN, "porch", OUT, BACK), status=status, route=tuple(
        replace(stop, place=place, date=TODAY + timedelta(days=a), until=TODAY + timedelta(days=b))
        for place, a, b in route))
    table = {row: np.array([1.0 if n in nights else 0.0 for n in range(30)]) for row, nights in
             enumerate((cold, {*cold, *lawn}))}
    coming = SimpleNamespace(nights=NIGHTS, rows={"porch": 0, "lawn": 1},
                             chance=lambda row, harm: table[row[0, 0]][None],
                             acting=lambda row, harm, least: table[row[0, 0]][None])
    return SimpleNamespace(
        plants=[FERN], plan=SimpleNamespace(plants=(plan,), rules=Rules(
            year=2027, **{"move_days": (), "carry_in_nights": 0, **rules})), coming=coming, least=0.05,
        outdoors=np.array([[out is True or n in out for n in range(30)]]) if out else np.zeros((1, 30), dtype=bool),
        harm_c=np.full((1, 30), 10.0), chance=table[0][None], acting=table[0][None])


def words(*given, **more):
    return [sentence.split("planned for ")[1] for sentence in move_advice(look(*given, **more))]


@pytest.mark.parametrize(("acting", "cold", "soon", "first"), [
    ((0, 0, 1, 0, 0, 0), 1, True, 2), ((0, 0, 0, 1, 0, 0), 1, True, 3), ((0, 0, 0, 0, 1, 1), 2, False, 4),
    ((1, 1, 0, 0, 0, 0), 0, False, None), ((0, 0, 0, 0, 0, STAY_CHANCE), 1, False, 5),
    ((0, 0, 0, 0, 0, STAY_CHANCE - 0.01), 0, False, None)])
def test_nights_from_the_third_to_the_sixth(acting, cold, soon, first):
    found = look()
    found.acting, found.chance = (np.array([acting + (0,) * 24], dtype=float) for _ in range(2))
    it = prospect(found, 0, None, range(2, 6))
    assert (it.cold, it.soon, it.first_cold) == (cold, soon, None if first is None else NIGHTS[first])
    assert it.worst == max(acting[2:]) and it.worst_night == NIGHTS[2 + int(np.argmax(acting[2:]))]


def test_seven_nights_after_the_move_out_are_judged_at_the_first_place():
    assert words(9, out=False)[0].startswith("Sat 12 Jun looks too early")
    assert words(10, out=False)[0].startswith("Sat 12 Jun still looks right")
    on = {"out": False, "route": (("porch", 3, 10), ("lawn", 10, 60))}
    assert words(lawn=(5,), **on)[0].startswith("Sat 12 Jun still looks right")
    assert words(5, **on)[0].startswith("Sat 12 Jun looks too early")


def test_the_next_day_that_fits_is_named_up_to_a_week_before_the_last_night_in_sight():
    def better(*cold, **more):
        return words(*cold, out=False, **more)[0].split("; ")[-1]

    assert better(3) == "Sun 13 Jun looks better." and better(6) == "Wed 16 Jun looks better."
    assert better(9) == "Sat 19 Jun looks better." and better(3, 6) == "Wed 16 Jun looks better."
    assert better(*range(3, 23)) == "Fri 2 Jul looks better."
    assert better(*range(3, 24)) == "no day up to Fri 2 Jul looks better yet."
    assert better(3, move_days=("sat",)) == "Sat 19 Jun looks better."


def test_only_plants_that_move_out_from_indoors_or_in_from_outdoors_from_tomorrow_on_are_asked_about():
    assert words(out=False, status="stays-out") == [] == words(out=False, route=())
    assert words(out=False, route=(("porch", 0, 60),)) == [] == words(route=(("porch", -9, 0),)) == words()
    assert len(words(out=False, route=(("porch", 1, 60),))) == 1 == len(words(route=(("porch", -9, 1),)))
    way = (("porch", -20, 5), ("lawn", 5, 9))
    assert [each.split(" still")[0] for each in words(route=way, out={0})] == ["Fri 18 Jun"]
    assert words(route=way, out={1}) == []


def test_nights_before_the_move_in_are_counted_and_that_of_its_day_is_not():
    way = (("porch", -20, 9),)
    assert words(8, route=way)[0].startswith("Fri 18 Jun looks too late") and "Thu 17 Jun" in words(8, route=way)[0]
    assert words(9, route=way)[0].startswith("Fri 18 Jun still looks right")
    assert words(0, route=way)[0].startswith("Fri 18 Jun looks too late")
