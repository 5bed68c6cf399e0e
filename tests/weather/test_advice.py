"""Does the planned day still look right?"""

from dataclasses import replace
from datetime import date, timedelta

import numpy as np
import pytest
from weather.garden import garden_plant, make_forecast, make_garden, standing_at

from seasonplan.model import Rules
from seasonplan.weather.advice import Prospect
from seasonplan.weather.alerts import watch_report

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
