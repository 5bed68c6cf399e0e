"""What readings teach: a cautious prior, bias by place and lead, spread, odd readings, dates."""

from datetime import date, timedelta
from statistics import fmean, pstdev

import numpy as np
import pytest
from invented import make_site
from weather.garden import LAWN, PORCH, WINDOW, garden_plant, make_forecast, make_garden, standing_at

from seasonplan import watch_report
from seasonplan.model import EarlierForecast, Reading
from seasonplan.weather.learning import NOTHING, learn
from seasonplan.weather.lesson import NOTHING_LEARNED, UNTAUGHT_BIAS_SD_C
from seasonplan.weather.skill import error_sd_c

FIRST, DAY = date(2027, 6, 1), timedelta(days=1)
SITE, PLACES = make_site(), (WINDOW, PORCH, LAWN)
SOURCE = "Invented forecast"


def season(nights, bias_c=0.0, at=("porch",), leads=1, seed=1, scale=1.0, dated=1, lift_c=None):
    """(readings, earlier): nights whose lows miss the forecasts by the table's errors and a bias."""
    rng = np.random.default_rng(seed)
    lifts = {"porch": 1.0, "lawn": 0.0} | (lift_c or {})
    readings, earlier = [], []
    for n in range(nights):
        night, low = FIRST + n * DAY, 10.0 + 4.0 * rng.standard_normal()
        readings += [Reading(night + dated * DAY, name, low + lifts[name] + 0.2 * rng.standard_normal()) for name in at]
        earlier += [EarlierForecast(SOURCE, night - lead * DAY, night,
                                    low - bias_c + scale * error_sd_c(lead) * rng.standard_normal(), False, 250.0)
                    for lead in range(leads)]
    return readings, earlier


def taught(*args, places=PLACES, **how):
    readings, earlier = season(*args, **how)
    return learn(readings, earlier, SITE, places, SOURCE)


def test_nothing_is_learned_from_three_nights_or_without_forecasts():
    assert taught(3, bias_c=-3.0) is NOTHING and taught(0) is NOTHING
    readings, earlier = season(30)
    assert learn(readings, [], SITE, PLACES, SOURCE) is learn(readings, earlier, SITE, PLACES, "another") is NOTHING


def test_a_warm_bias_of_seven_tenths_is_learned_within_thirty_nights():
    """Over a hundred gardens: most of it on average, none far off, and as sure as it says."""
    found = [taught(30, bias_c=-0.7, seed=seed).lessons["porch"].at(0) for seed in range(100)]
    learned = [bias for bias, _, _ in found]
    assert fmean(learned) == pytest.approx(-0.62, abs=0.06)
    assert pstdev(learned) < 0.35 and max(learned) < 0.3
    off = [(bias + 0.7) / sd for bias, sd, _ in found]
    assert 0.5 < pstdev(off) < 1.2


def test_an_honest_source_is_left_as_it_is():
    learned = [taught(30, seed=seed).lessons["porch"].at(0)[0] for seed in range(100)]
    assert abs(fmean(learned)) < 0.05 and pstdev(learned) < 0.3


def test_what_is_learned_grows_with_the_nights_and_so_does_sureness():
    few, some, many = (np.mean([taught(n, bias_c=-2.0, seed=seed).lessons["porch"].at(0)[:2] for seed in range(20)], 0)
                       for n in (6, 20, 100))
    assert -0.6 > few[0] > some[0] > many[0] > -2.1
    assert UNTAUGHT_BIAS_SD_C >= few[1] >= some[1] > many[1] > 0


def test_one_thermometer_teaches_the_other_places_in_part():
    lessons = taught(60, bias_c=-1.5).lessons
    porch, lawn = (lessons[name].at(0)[0] for name in ("porch", "lawn"))
    assert porch < lawn < 0.6 * porch and lessons["lawn"].at(0)[1] >= lessons["porch"].at(0)[1]


def test_two_thermometers_tell_the_source_from_a_lift_that_is_not_right():
    """The porch is 1 °C warmer than its lift says, the source is right."""
    found = taught(100, at=("porch", "lawn"), lift_c={"porch": 2.0})
    assert found.lessons["porch"].at(0)[0] == pytest.approx(1.0, abs=0.3)
    assert found.lessons["lawn"].at(0)[0] == pytest.approx(0.0, abs=0.3)
    assert found.lifts["porch"][0] > 0.3 > 0 > found.lifts["lawn"][0]


@pytest.mark.parametrize("scale", [0.6, 1.8])
def test_the_spread_is_learned_too(scale):
    spread = taught(100, scale=scale).lessons["porch"].at(0)[2]
    assert abs(spread - scale) < abs(spread - 1.0)


def test_later_leads_have_a_bias_and_spread_of_their_own():
    readings, earlier = season(100, leads=7)
    colder = [one if one.night - one.issued < 5 * DAY else
              EarlierForecast(SOURCE, one.issued, one.night, one.low_c + 4.0, False, 250.0) for one in earlier]
    lesson = learn(readings, colder, SITE, PLACES, SOURCE).lessons["porch"]
    assert abs(lesson.at(0)[0]) < 0.3 and lesson.at(6)[0] < lesson.at(0)[0] - 0.2
    assert lesson.at(6)[2] > lesson.at(3)[2] and lesson.at(9) == lesson.at(6)


def test_a_thermometer_in_the_sun_for_a_day_does_little():
    readings, earlier = season(30)
    odd = [Reading(r.date, r.place, 35.0) if n == 10 else r for n, r in enumerate(readings)]
    plain, with_it = (learn(r, earlier, SITE, PLACES, SOURCE).lessons["porch"].at(0)[0] for r in (readings, odd))
    assert abs(with_it - plain) < 0.2


def test_readings_dated_by_the_evening_are_recognised_and_said_so():
    evening = taught(40, bias_c=-0.7, dated=0)
    assert evening.evenings and evening.lessons["porch"].at(0)[0] == taught(40, bias_c=-0.7).lessons["porch"].at(0)[0]
    assert not taught(40, bias_c=-0.7).evenings and not taught(6, dated=0).evenings


def test_only_the_last_nights_count():
    old, older = season(60, bias_c=-3.0), season(60, seed=2)
    later = 200 * DAY
    readings = old[0] + [Reading(r.date + later, r.place, r.tmin_c) for r in older[0]]
    earlier = old[1] + [EarlierForecast(SOURCE, e.issued + later, e.night + later, e.low_c, False, 250.0)
                        for e in older[1]]
    assert abs(learn(readings, earlier, SITE, PLACES, SOURCE).lessons["porch"].at(0)[0]) < 0.5


def test_no_lesson_is_the_plain_one():
    assert NOTHING_LEARNED.at(0) == NOTHING_LEARNED.at(9) == (0.0, UNTAUGHT_BIAS_SD_C, 1.0)


def report_after(nights, bias_c, today_low_c=11.5, read=True, at=("porch",)):
    """The report of the evening after so many nights read."""
    readings, earlier = season(nights, bias_c, at)
    today = FIRST + nights * DAY
    plan = make_garden([standing_at(garden_plant("Fern", 10.0), "porch")], PLACES, readings=tuple(readings) if read
                       else ())
    return watch_report(plan, make_forecast(today, [today_low_c, 16.0, 16.0]), today, earlier=earlier)


def test_watch_acts_on_what_was_learned_and_says_so():
    untaught, warm = report_after(40, -2.0, read=False), report_after(40, -2.0)
    assert untaught.alerts == () and warm.alerts[0].act
    assert warm.alerts[0].low_c_at_place < 11.5 + 1.0 - 1.2 and warm.alerts[0].forecast_low_c == 11.5
    [sentence] = [note for note in warm.notes if "thermometer" in note]
    assert sentence.startswith("By your thermometer at porch, 40 nights, the lows of Invented forecast are 1.")
    assert "too warm" in sentence and any("night_offset_c = -1." in note for note in warm.notes)
    assert not any("miss by about 1.3" in note for note in warm.notes)


def test_too_few_readings_are_mentioned_and_used_for_nothing():
    few = report_after(3, -3.0)
    assert not any("thermometer" in note for note in few.notes) and few.alerts == ()


def test_two_thermometers_offer_a_lift():
    notes = report_after(60, 0.0, at=("porch", "lawn")).notes
    assert sum("By your thermometer" in note for note in notes) == 2
    assert not any("night_lift_c" in note for note in notes), "both stand as they are given"
