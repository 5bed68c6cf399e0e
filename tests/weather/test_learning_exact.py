"""What the same miss every night teaches, by hand: a normal prior, a normal likelihood, one or two places."""

from datetime import date, timedelta
from math import hypot, sqrt

import pytest
from invented import make_site
from weather.garden import LAWN, PORCH

from seasonplan.model import EarlierForecast, Reading
from seasonplan.weather.learning import NOTHING, learn
from seasonplan.weather.lesson import UNTAUGHT_BIAS_SD_C
from seasonplan.weather.skill import error_sd_c

FIRST, DAY = date(2027, 6, 1), timedelta(days=1)
SOURCE_VAR, PLACE_VAR = 0.9 ** 2, 0.45 ** 2


def taught(nights, misses, places=(PORCH,), at="porch", dated=1, apart=1, low=10.0):
    """misses: by lead, how much colder than forecast every night was."""
    told, read = [], []
    for n in range(nights):
        night = FIRST + n * apart * DAY
        read.append(Reading(night + dated * DAY, at, low + next(p for p in places if p.name == at).night_lift_c))
        told += [EarlierForecast("S", night - lead * DAY, night, low - (miss(n) if callable(miss) else miss), False,
                                 250.0) for lead, miss in misses.items()]
    return learn(read, told, make_site(), places, "S")


def by_hand(nights, miss_c):
    """(bias, its sd, spread) of the first nights: so many nights less three stand for 0.6 / 1.4 of themselves."""
    usual = error_sd_c(0)
    sure = (nights - 3) * 0.6 / 1.4 / usual ** 2
    whole = sure + 1 / (SOURCE_VAR + PLACE_VAR)
    bias = sure * miss_c / whole
    squares = nights * ((miss_c - bias) / usual) ** 2
    of_all = (20 + squares) / (20 + nights)           # the table's counts for 20 nights, and so does this for each lead
    return bias, 1 / sqrt(whole), sqrt((20 * of_all + squares) / (20 + nights))


@pytest.mark.parametrize(("nights", "miss_c"), [(4, -1.0), (5, -1.0), (10, 0.8), (40, -2.0)])
def test_one_thermometer_teaches_a_source(nights, miss_c):
    found = taught(nights, {0: miss_c})
    bias, sd, spread = by_hand(nights, miss_c)
    assert found.lessons["porch"].at(0) == pytest.approx((bias, min(sd, UNTAUGHT_BIAS_SD_C), spread))
    assert found.source_c[0] == pytest.approx(bias * SOURCE_VAR / (SOURCE_VAR + PLACE_VAR))
    assert found.lifts["porch"][0] == pytest.approx(bias * PLACE_VAR / (SOURCE_VAR + PLACE_VAR))
    assert found.nights == {"porch": nights} and not found.evenings and taught(3, {0: miss_c}) is NOTHING


def test_a_place_without_a_thermometer_has_what_the_source_is_off_by_and_its_own_doubt():
    found = taught(12, {0: -1.0}, places=(PORCH, LAWN))
    sure = 9 * 0.6 / 1.4 / error_sd_c(0) ** 2
    source_var = SOURCE_VAR - SOURCE_VAR ** 2 / (SOURCE_VAR + PLACE_VAR + 1 / sure)
    bias, sd, _ = found.lessons["lawn"].at(0)
    assert (bias, sd) == pytest.approx((found.source_c[0], min(sqrt(source_var + PLACE_VAR), UNTAUGHT_BIAS_SD_C)))
    assert found.source_c[1] == pytest.approx(sqrt(source_var))
    assert found.lifts["lawn"] == pytest.approx((0.0, 0.45)) and found.nights == {"porch": 12}
    far = taught(400, {0: -1.0}, places=(PORCH, LAWN), at="lawn").lessons["porch"].at(0)
    assert far[0] == pytest.approx(taught(400, {0: -1.0}, places=(PORCH, LAWN), at="lawn").source_c[0])


def test_later_leads_have_their_own_bias_from_the_fourth_night_on():
    found = taught(20, {0: -1.0, 2: -1.0, 3: -2.0, 4: -1.0}).lessons["porch"]
    bias, sd, _ = by_hand(20, -1.0)
    assert found.at(2)[:2] == found.at(0)[:2] == pytest.approx((bias, min(sd, UNTAUGHT_BIAS_SD_C)))
    heard = 17 * 0.6 / 1.4 / error_sd_c(3) ** 2
    sure = heard / (heard + 1 / 0.09)
    assert found.at(3)[:2] == pytest.approx((bias + sure * (-2.0 - bias), min(
        hypot(sd, 0.3 * sqrt(1 - sure)), UNTAUGHT_BIAS_SD_C)))
    long = taught(85, {0: -1.0, 3: -2.0}).lessons["porch"]
    heard = 82 * 0.6 / 1.4 / error_sd_c(3) ** 2
    assert long.at(3)[1] == pytest.approx(hypot(by_hand(85, -1.0)[1], 0.3 * sqrt(1 - heard / (heard + 1 / 0.09))))
    assert long.at(3)[1] < UNTAUGHT_BIAS_SD_C and NOTHING.source_c == (0.0, 0.9)
    assert taught(20, {0: -1.0, 4: -1.0}).lessons["porch"].at(3)[1] == pytest.approx(
        min(hypot(sd, 0.3), UNTAUGHT_BIAS_SD_C))
    assert taught(20, {3: -2.0}) is NOTHING and taught(20, {2: -2.0}).nights == {"porch": 20}


def test_a_miss_of_more_than_three_usual_ones_counts_as_three():
    usual = error_sd_c(0)
    for miss_c in (3.01 * usual, 9.0 * usual):
        assert taught(10, {0: miss_c}).lessons["porch"].at(0)[0] == pytest.approx(by_hand(10, 3 * usual)[0])
    assert taught(10, {0: 2.9 * usual}).lessons["porch"].at(0)[0] == pytest.approx(by_hand(10, 2.9 * usual)[0])


def test_nights_of_the_last_ninety_days_count():
    assert [taught(n, {0: -1.0}, apart=9).nights["porch"] for n in (10, 11, 12)] == [10, 11, 11]
    assert taught(8, {0: -1.0}, apart=13).nights == {"porch": 7}


def test_readings_are_the_mornings_unless_ten_nights_say_clearly_otherwise():
    """The forecast swings with the lows of its nights; dated by the evening they fall together, by the morning not."""
    def swings(nights, dated):
        told, read = [], []
        for n in range(nights):
            night, low = FIRST + n * DAY, 10.0 + 5.0 * (n % 2)
            told.append(EarlierForecast("S", night, night, low, False, 250.0))
            read.append(Reading(night + dated * DAY, "porch", low + PORCH.night_lift_c))
        return learn(read, told, make_site(), (PORCH,), "S").evenings

    assert swings(11, 0) and not swings(11, 1) and not swings(9, 0)
    assert not taught(12, {0: lambda n: 1.0 if n % 2 else -1.0}).evenings and not taught(12, {0: -1.0}).evenings
