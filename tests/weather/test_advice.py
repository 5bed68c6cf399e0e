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
    assert "of 10 °C or colder" in sentence and "%" in sentence


def test_a_cold_spell_puts_the_move_off_to_the_next_move_day_that_fits():
    (sentence,) = advice([12.0, 12.0, 12.0, 4.0, 3.0, 4.0, 4.0, 3.0, 4.0])
    assert "planned for Sat 12 Jun looks too early" in sentence
    assert sentence.endswith("Sat 19 Jun looks better.")
    assert "the forecast has 6 nights of 10 °C or colder for Fern" in sentence


def test_any_day_of_the_week_will_do_where_the_rules_say_so():
    """Four cold nights from the 12th on: from Monday the 14th on there are two left, which the policy accepts."""
    cold = [12.0, 12.0, 12.0, 3.0, 3.0, 3.0, 3.0, 16.0, 16.0]
    weekend, any_day = (advice(cold, rules=Rules(year=2027, move_days=days))[0] for days in (("sat", "sun"), ()))
    assert weekend.endswith("Sat 19 Jun looks better.") and any_day.endswith("Mon 14 Jun looks better.")


def test_when_nothing_in_sight_fits_it_says_so():
    strict = Rules(year=2027, policy="careful", harm_risk=0.0001)
    (sentence,) = advice([8.0] * 9, rules=strict)
    assert "no day up to" in sentence and sentence.endswith("looks better yet.")


def test_moves_far_ahead_and_moves_already_made_need_no_advice():
    assert advice([17.0] * 9, today=OUT - timedelta(days=15)) == ()
    assert advice([17.0] * 9, today=OUT) == ()
    assert len(advice([17.0] * 9, today=OUT - timedelta(days=14))) == 1


def test_a_planned_move_in_still_looks_right_when_it_is_mild():
    (sentence,) = advice([17.0] * 6, today=BACK - timedelta(days=5))
    assert sentence.startswith("The move-in of Fern and Ivy (3 pots) planned for Sun 12 Sep still looks right")


def test_cold_nights_before_the_planned_move_in_call_for_an_earlier_one():
    """From Friday 3 September the first cold night is Monday the 6th: the move day before it is Sunday the 5th."""
    today = date(2027, 9, 3)
    (sentence,) = advice([16.0, 16.0, 16.0, 5.0, 5.0, 5.0, 5.0, 5.0, 5.0], today=today)
    assert "planned for Sun 12 Sep looks too late" in sentence and "Better go in on Sun 5 Sep" in sentence
    assert "pest check" in sentence


def test_the_forecasts_word_alone_is_enough_for_an_earlier_move_in():
    """8.9 °C is 9.9 on the porch: below the limit by the forecast's word, of little chance against a warm September."""
    (sentence,) = advice([16.0, 16.0, 16.0, *[8.9] * 6], today=date(2027, 9, 3))
    assert "the forecast has 6 nights of 10 °C or colder for Fern" in sentence and "go in on Sun 5 Sep" in sentence


def test_what_the_normals_expect_is_not_put_in_the_forecasts_mouth():
    (sentence,) = advice(None, warmer_c=-4.0)
    assert "looks too early" in sentence and "the forecast has" not in sentence


def test_an_early_date_is_never_in_the_past():
    today = date(2027, 9, 6)
    (sentence,) = advice([5.0] * 6, today=today)
    assert "Better go in on Mon 6 Sep" in sentence


def test_without_a_forecast_the_normals_judge():
    (sentence,) = advice(None)
    assert "still looks right" in sentence


@pytest.mark.parametrize(("it", "careful", "carry_in"), [
    (Prospect(0.3, 0, TODAY, 0.09, 0.0), True, True), (Prospect(1.9, 0, TODAY, 0.5, 0.0), False, True),
    (Prospect(2.1, 0, TODAY, 0.5, 0.0), False, False), (Prospect(0.3, 0, TODAY, 0.09, 0.03), True, False),
    (Prospect(0.3, 1, TODAY, 0.09, 0.0), False, True), (Prospect(0.3, 3, TODAY, 0.09, 0.0), False, False)])
def test_the_persons_own_policy_judges(it, careful, carry_in):
    assert it.fits(Rules(policy="careful")) is careful and it.fits(Rules(policy="carry-in")) is carry_in
