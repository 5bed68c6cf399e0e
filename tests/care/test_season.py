from datetime import date

import numpy as np
import pytest
from care.garden import scenario_of
from invented import make_normals, make_site

from seasonplan.care.season import runs, season_of


def day(*parts):
    return date(*parts).toordinal()


def test_work_days_are_the_move_days_and_any_day_without_them():
    season = season_of(scenario_of([]), 2027)
    whole = season.workdays_in(season.first, season.last)
    assert {date.fromordinal(d).weekday() for d in season.workdays} == {5, 6} and len(whole) == 104
    leap = season_of(scenario_of([], move_days=()), 2028)
    assert len(leap.workdays_in(leap.first, leap.last)) == 366
    assert leap.workdays_in(leap.opens, leap.closes) == tuple(range(leap.first - 61, leap.last + 62))
    assert season.workdays_in(day(2027, 5, 22), day(2027, 5, 23)) == (day(2027, 5, 22), day(2027, 5, 23))
    assert season.workdays_in(day(2027, 5, 24), day(2027, 5, 28)) == ()


def test_the_limit_for_soap_is_above_32_not_at_it():
    at, above = (season_of(scenario_of([], normals=make_normals(tmax_c=np.full(12, high))), 2027)
                 for high in (32.0, 32.001))
    assert not at.ever_too_hot and not at.too_hot(day(2027, 7, 15))
    assert above.ever_too_hot and above.too_hot(day(2027, 7, 15))


def test_a_day_is_too_hot_by_its_own_normal_high_not_its_month_s():
    warm = make_normals(tmax_c=np.array([5.0, 8, 13, 18, 24, 30, 34, 31, 25, 18, 10, 6]))
    season = season_of(scenario_of([], normals=warm), 2027)
    assert [season.too_hot(day(2027, 6, d)) for d in (1, 30)] == [False, True]
    assert [season.too_hot(day(2027, 8, d)) for d in (1, 31)] == [True, False]
    assert season.high_c(day(2027, 7, 15)) == pytest.approx(34, abs=1)


def test_days_beyond_the_planning_year_have_the_high_of_their_time_of_year():
    season = season_of(scenario_of([]), 2027)
    assert season.high_c(season.first - 40) == season.high_c(season.last - 39) != season.high_c(season.first)
    assert season.high_c(season.last + 40) == season.high_c(season.first + 39)


def test_months_of_the_south_are_half_a_year_on():
    south = season_of(scenario_of([], site=make_site(latitude_deg=-34.0)), 2027)
    assert date.fromordinal(south.month_start(5)) == date(2027, 11, 1)
    assert date.fromordinal(south.month_start(7)) == date(2028, 1, 1)
    assert date.fromordinal(south.midsummer) == date(2027, 12, 21)
    north = season_of(scenario_of([]), 2027)
    assert date.fromordinal(north.month_start(5)) == date(2027, 5, 1)


def test_runs_of_whole_numbers():
    assert runs([1, 2, 3, 7, 9, 10]) == [(1, 3), (7, 7), (9, 10)] and runs([]) == []
