"""Days of the climate year, the planning year in either hemisphere, and the days that somebody has."""

from datetime import date, timedelta

import numpy as np
import pytest

from seasonplan import dates

YEAR_2027 = [date(2027, 1, 1) + timedelta(days=n) for n in range(365)]


def test_every_day_has_its_index_and_back():
    assert [dates.day_index(day) for day in YEAR_2027] == list(range(dates.DAYS)) == list(range(365))
    assert [dates.month_day(n) for n in range(365)] == [(day.month, day.day) for day in YEAR_2027]
    assert dates.month_day(365) == (1, 1) and dates.month_day(-1) == (12, 31)


def test_the_leap_day_shares_the_day_before_it():
    assert dates.day_index(date(2028, 2, 29)) == dates.day_index(date(2028, 2, 28)) == 58
    assert dates.day_index(date(2028, 3, 1)) == 59


def test_labels_have_two_digits_each():
    assert [dates.index_label(n) for n in (0, 58, 59, 364)] == ["01-01", "02-28", "03-01", "12-31"]


def test_month_means_of_days_and_of_months():
    daily = np.array([day.month for day in YEAR_2027], dtype=float)
    assert dates.month_means(daily).tolist() == list(range(1, 13))
    assert dates.month_means(np.arange(365.0))[[0, 1, 11]].tolist() == [15.0, 44.5, 349.0]
    assert dates.month_means(np.array([daily, daily * 2])).shape == (2, 12)
    assert dates.month_means(np.array([daily] * 12)).shape == (12, 12)
    assert dates.month_means(np.array([daily] * 12))[:, 0].tolist() == [1.0] * 12
    assert dates.month_means(np.arange(12)).tolist() == list(range(12))


@pytest.mark.parametrize(("latitude", "first", "last"), [
    (0.0, date(2027, 1, 1), date(2027, 12, 31)), (-0.01, date(2027, 7, 1), date(2028, 6, 30)),
    (50.0, date(2027, 1, 1), date(2027, 12, 31)), (-50.0, date(2027, 7, 1), date(2028, 6, 30))])
def test_the_planning_year_runs_january_to_december_or_july_to_june(latitude, first, last):
    days = dates.planning_days(2027, latitude)
    assert (days[0], days[-1]) == (first, last) == (dates.planning_start(2027, latitude), last)
    assert all((b - a).days == 1 for a, b in zip(days, days[1:], strict=False))
    assert len(days) == (366 if latitude < 0 else 365)
    assert len(dates.planning_days(2028, latitude)) == (365 if latitude < 0 else 366)


@pytest.mark.parametrize(("today", "latitude", "year"), [
    (date(2027, 10, 31), 50, 2027), (date(2027, 11, 1), 50, 2028), (date(2027, 1, 1), 50, 2027),
    (date(2027, 4, 30), -50, 2026), (date(2027, 5, 1), -50, 2027), (date(2027, 12, 31), -50, 2027),
    (date(2028, 1, 1), -50, 2027), (date(2027, 11, 1), 0, 2028), (date(2027, 11, 1), -50, 2027)])
def test_the_season_that_is_next_turns_two_months_before_the_planning_year(today, latitude, year):
    assert dates.next_season_year(today, latitude) == year


def test_midsummer_is_the_solstice_of_the_half_of_the_earth():
    assert dates.midsummer(2027, 0) == dates.midsummer(2027, 60) == date(2027, 6, 21)
    assert dates.midsummer(2027, -1) == date(2027, 12, 21)


def test_days_to_move_on():
    saturday, weekend = date(2027, 5, 8), ("sat", "sun")
    assert [dates.is_move_day(saturday + timedelta(days=n), weekend) for n in range(-1, 3)] == [
        False, True, True, False]
    assert dates.is_move_day(date(2027, 5, 12), ()) and dates.is_move_day(date(2027, 5, 12), ("wed",))
    assert [dates.next_move_day(day, weekend) for day in (saturday, date(2027, 5, 10))] == [
        saturday, date(2027, 5, 15)]
    assert [dates.previous_move_day(day, weekend) for day in (saturday, date(2027, 5, 14))] == [
        saturday, date(2027, 5, 9)]
