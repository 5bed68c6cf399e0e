from datetime import date

import numpy as np
from care.garden import scenario_of
from invented import make_normals, make_site

from seasonplan.care.season import months_high_c, runs, season_of


def day(*parts):
    return date(*parts).toordinal()


def test_highs_are_the_tables_or_the_lows_plus_a_range():
    assert months_high_c(scenario_of([]))[6] == 29.0
    assumed = months_high_c(scenario_of([], normals=make_normals(tmax_c=None)))
    assert assumed[6] == 15.5 + 11
    daily = make_normals(tmin_c=np.repeat(np.arange(12.0), [31, 28, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31]),
                         tmax_c=None)
    assert months_high_c(scenario_of([], normals=daily)) == tuple(m + 11.0 for m in range(12))


def test_a_site_below_its_station_is_warmer_one_above_gets_no_credit():
    below, above = (months_high_c(scenario_of([], site=make_site(elevation_m=250.0, station_elevation_m=z)))[6]
                    for z in (1250.0, 0.0))
    assert below == 29.0 + 6.5 and above == 29.0


def test_work_days_are_the_move_days_and_any_day_without_them():
    season = season_of(scenario_of([]), 2027)
    assert {date.fromordinal(d).weekday() for d in season.workdays} == {5, 6} and len(season.workdays) == 104
    assert len(season_of(scenario_of([], move_days=()), 2028).workdays) == 366
    assert season.workdays_in(day(2027, 5, 22), day(2027, 5, 23)) == (day(2027, 5, 22), day(2027, 5, 23))
    assert season.workdays_in(day(2027, 5, 24), day(2027, 5, 28)) == ()


def test_the_limit_for_soap_is_above_32_not_at_it():
    warm = make_normals(tmax_c=np.array([20.0] * 6 + [32.0, 32.1] + [20.0] * 4))
    season = season_of(scenario_of([], normals=warm), 2027)
    assert not season.too_hot(day(2027, 7, 15)) and season.too_hot(day(2027, 8, 15))


def test_months_of_the_south_are_half_a_year_on():
    south = season_of(scenario_of([], site=make_site(latitude_deg=-34.0)), 2027)
    assert date.fromordinal(south.month_start(5)) == date(2027, 11, 1)
    assert date.fromordinal(south.month_start(7)) == date(2028, 1, 1)
    assert date.fromordinal(south.midsummer) == date(2027, 12, 21)
    north = season_of(scenario_of([]), 2027)
    assert date.fromordinal(north.month_start(5)) == date(2027, 5, 1)


def test_runs_of_whole_numbers():
    assert runs([1, 2, 3, 7, 9, 10]) == [(1, 3), (7, 7), (9, 10)] and runs([]) == []
