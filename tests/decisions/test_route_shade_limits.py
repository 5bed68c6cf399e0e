"""Cloths, hours out and doses on their very limits and just beyond them."""

import math
from dataclasses import replace

import numpy as np
import pytest
from invented import make_daylight

from seasonplan.decisions.acclimation import light_rule
from seasonplan.decisions.route_shade import (
    Needs,
    best_cloth,
    cloth_spells,
    dose,
    hours_at,
    hours_out,
    stepping_cloth,
)
from seasonplan.decisions.route_yard import Yard, make_yard
from seasonplan.model import Place

DAY, END = 200, 300
SPARE = 1 - light_rule().margin
LARGE = Needs(30.0, 9.0, 90.0, math.inf, 0)
"""A plant that takes anything."""


def yard_of(*lights, change_on: int | None = None, factor: float = 1.0) -> Yard:
    """Places of steady light (clear, mean, full-sun hours), all of it times `factor` from one day on."""
    places = (Place("south window", "indoor"), *(Place(f"place {n}", "outdoor") for n in range(len(lights))))
    light = make_daylight(places)
    days = np.ones(len(light.dates))
    if change_on is not None:
        days[change_on:] = factor
    clear, mean, sun = (np.array(v)[:, None] * days for v in zip((3.0, 2.0, 0.0), *lights, strict=True))
    return make_yard(places, replace(light, clear_dli=clear, mean_dli=mean, full_sun_h=sun), ("sat",))


def chosen(yard: Yard, needs: Needs, days: int = 7, usable=None, end: int = END):
    usable = np.ones(len(yard.names), dtype=bool) if usable is None else np.array(usable)
    return best_cloth(needs, cloth_spells(DAY, yard), days, usable, DAY, end, yard)


@pytest.mark.parametrize(("most", "percent"), [(9.8, 30), (9.79, 40), (7.0, 50), (6.99, 60), (1.4, 90)])
def test_the_thinnest_cloth_within_what_the_plant_takes_is_chosen(most, percent):
    """14 mol: seven tenths are 9.8, six tenths 8.4, half 7, four tenths 5.6, a tenth 1.4."""
    assert chosen(yard_of((20.0, 14.0, 0.0)), replace(LARGE, light_high=most)) == (percent, 0)


def test_where_the_thickest_cloth_is_too_little_there_is_none():
    assert chosen(yard_of((20.0, 14.0, 0.0)), replace(LARGE, light_high=1.39)) is None
    assert chosen(yard_of((20.0, 14.0, 0.0)), LARGE, usable=[False]) is None


def test_a_cloth_of_a_day_with_a_brighter_second_one_is_chosen_for_both():
    yard = yard_of((20.0, 14.0, 0.0), change_on=DAY + 3, factor=2.0)
    needs = replace(LARGE, light_high=9.8)
    assert chosen(yard, needs, days=3, end=DAY + 3) == (30, 0) and chosen(yard, needs, days=4, end=DAY + 3) == (70, 0)


@pytest.mark.parametrize(("cap", "percent"), [(2.8, 30), (2.79, 40)])
def test_full_sun_under_a_cloth_is_within_the_sun_class(cap, percent):
    assert chosen(yard_of((20.0, 14.0, 4.0)), replace(LARGE, sun_cap=cap)) == (percent, 0)


@pytest.mark.parametrize(("first_days", "percent"), [(0, 30), (-3, 30), (1, 30), (2, 50), (7, 50), (9, 50)])
def test_under_a_cloth_the_first_days_are_gentle_as_long_as_they_last(first_days, percent):
    """Two hours of full sun on the first day, three after it: the first week's hour and a half asks for 50 %."""
    yard = yard_of((10.0, 7.0, 2.0), change_on=DAY + 1, factor=1.5)
    assert chosen(yard, replace(LARGE, first_days=first_days)) == (percent, 0)


@pytest.mark.parametrize(("used", "percent"), [(60.0 * 0.7 / 3.5 / SPARE, 30), (60.0 * 0.7 / 3.5 / SPARE - 1e-6, 40)])
def test_the_light_rule_holds_under_a_cloth(used, percent):
    assert chosen(yard_of((60.0, 14.0, 0.0)), replace(LARGE, dli=used), days=1) == (percent, 0)


@pytest.mark.parametrize(("used_sun", "percent"), [(3.5 * 0.7 / SPARE - 2, 30), (3.5 * 0.7 / SPARE - 2 - 1e-6, 40)])
def test_the_sun_rule_holds_under_a_cloth(used_sun, percent):
    assert chosen(yard_of((10.0, 7.0, 3.5)), replace(LARGE, sun_h=used_sun), days=1) == (percent, 0)


def test_a_state_of_either_stepping_must_do():
    yard = yard_of((60.0, 14.0, 3.5))
    enough = np.array([30.0, 30.0])
    short = np.array([30.0, 5.0])
    assert chosen(yard, replace(LARGE, dli=enough))[0] == 30 and chosen(yard, replace(LARGE, dli=short))[0] > 30
    assert chosen(yard, replace(LARGE, sun_h=short - 5.0))[0] > 30


def test_of_places_that_take_the_same_cloth_the_brightest_usable_one_is_chosen():
    yard = yard_of((20.0, 12.0, 0.0), (20.0, 14.0, 0.0), (20.0, 13.0, 0.0), (20.0, 30.0, 0.0))
    needs = replace(LARGE, light_high=9.8)
    assert chosen(yard, needs) == (30, 1)
    assert chosen(yard, needs, usable=[True, False, True, True]) == (30, 2)
    assert chosen(yard, needs, usable=[False, False, False, True]) == (70, 3)


@pytest.mark.parametrize(("brightens_after", "percent"), [(62, 70), (63, 30)])
def test_a_cloth_is_chosen_for_nine_weeks(brightens_after, percent):
    yard = yard_of((20.0, 14.0, 0.0), change_on=DAY + brightens_after, factor=2.0)
    assert chosen(yard, replace(LARGE, light_high=9.8)) == (percent, 0)
    sunny = yard_of((20.0, 14.0, 4.0), change_on=DAY + brightens_after, factor=2.0)
    assert chosen(sunny, replace(LARGE, sun_cap=2.8)) == (percent, 0)


@pytest.mark.parametrize(("end", "percent"), [(DAY + 41, 70), (DAY + 40, 30)])
def test_a_cloth_need_not_last_longer_than_the_plant_is_out(end, percent):
    yard = yard_of((20.0, 14.0, 0.0), change_on=DAY + 40, factor=2.0)
    assert chosen(yard, replace(LARGE, light_high=9.8), end=end) == (percent, 0)


def test_a_cloth_that_is_just_enough_now_is_not_where_the_light_still_rises_a_little():
    """30 % leave 9.80 of 14 mol now and 9.835 of 14.05 later; the plant takes 9.82."""
    yard = yard_of((20.0, 14.0, 0.0), change_on=DAY + 40, factor=14.05 / 14)
    assert chosen(yard, replace(LARGE, light_high=9.82)) == (40, 0)


def test_where_no_cloth_lasts_the_one_for_now_is_taken():
    yard = yard_of((20.0, 14.0, 0.0), change_on=DAY + 40, factor=20.0)
    assert chosen(yard, replace(LARGE, light_high=9.8)) == (30, 0)


# ---- hours out


@pytest.mark.parametrize(("share", "back"), [(20.0, 440), (19.9, None), (29.9, 440), (30.0, 450), (10.0, None)])
def test_an_outing_takes_twenty_minutes_at_least_and_full_tens(share, back):
    """Of a hundred minutes of sun, so many when it is as strong all along as at its strongest."""
    part = share * light_rule().peak_over_mean / 100 + 1e-12
    found = hours_out([(420, 520)], (360.0, 1200.0), part)
    assert found == (None if back is None else (420, back))


@pytest.mark.parametrize(("sun_from", "start"), [(420, 420), (421, 430), (430, 430)])
def test_an_outing_begins_on_the_next_full_ten_minutes_of_sun(sun_from, start):
    assert hours_out([(sun_from, sun_from + 300)], (360.0, 1200.0), 0.5)[0] == start


@pytest.mark.parametrize("daylight", [(math.nan, 1200.0), (360.0, math.nan), (math.nan, math.nan)])
def test_where_the_sun_does_not_rise_or_set_no_hours_are_given(daylight):
    assert hours_out([(420, 720)], daylight, 1.0) is None


def test_hours_at_a_place_are_those_of_its_own_sun():
    """make_daylight lets the sun come at 07:00 for four hours; half an hour's worth of the dose is allowed."""
    yard = yard_of((24.0, 14.0, 0.0), (12.0, 7.0, 0.0))
    tender = replace(LARGE, dli=1.0, sun_h=0.0)
    assert hours_at(0, DAY, tender, yard) == hours_out([(420, 660)], (360.0, 1200.0), 0.5) == (420, 490)
    assert hours_at(1, DAY, tender, yard) == (420, 570)
    assert hours_at(0, DAY, replace(tender, light_high=14 / 4), yard) == (420, 450)


# ---- dose


def test_a_dose_is_a_share_of_the_clear_light_that_the_plant_s_state_allows():
    assert dose(replace(LARGE, dli=10.0), 70.0, 30.0, 0.0) == pytest.approx(SPARE * 35 / 70)
    assert dose(replace(LARGE, dli=1.0), 24.0, 14.0, 0.0) == 0.5
    assert dose(replace(LARGE, dli=10.0), SPARE * 35, 30.0, 0.0) == 1.0


def test_a_dose_of_sun_is_the_least_of_the_state_the_class_and_the_first_days():
    used = replace(LARGE, sun_h=1.0)
    assert dose(used, 10.0, 7.0, 6.0) == pytest.approx(SPARE * 3 / 6)
    assert dose(replace(used, sun_cap=1.2), 10.0, 7.0, 6.0) == pytest.approx(0.2)
    assert dose(replace(used, first_days=1), 10.0, 7.0, 6.0) == pytest.approx(0.25)
    assert dose(replace(used, sun_h=5.0), 10.0, 7.0, 22.0) == pytest.approx(SPARE * 0.5)
    assert dose(replace(used, sun_cap=0.5), 10.0, 7.0, 0.8) == pytest.approx(0.5 / 0.8)


def test_the_stepping_cloth_fits_under_and_after_it():
    """30 mol clear of 24, 4 h: the open place asks the state under the cloth for 30 / 3.5 / 0.99 = 8.66 mol and 4 h."""
    settled = Needs(12.0, 1.4, 60.0, 24.0, 0)
    assert stepping_cloth(settled, 36.0, 24.0, 4.0) == 30
    assert stepping_cloth(settled, 30.0, 12.0, 4.0) is None
    assert stepping_cloth(replace(settled, dli=5.0), 30.0, 24.0, 4.0) == 50
    assert stepping_cloth(replace(settled, sun_cap=3.9), 30.0, 24.0, 4.0) is None


@pytest.mark.parametrize(("clear", "percent"), [(59.3, 30), (59.5, 40)])
def test_the_thinnest_stepping_cloth_lets_through_its_percentage(clear, percent):
    """Used to 12 mol, 41.58 are allowed: 0.7 * 59.3 = 41.5, 0.7 * 59.5 = 41.7."""
    assert stepping_cloth(Needs(12.0, 0.0, 60.0, 24.0, 0), clear, 30.0, 0.0) == percent
