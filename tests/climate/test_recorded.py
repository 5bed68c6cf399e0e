from datetime import date, timedelta

import numpy as np
import pytest
from invented import make_normals, make_site

from seasonplan.climate.crossings import autumn_index, spring_index
from seasonplan.climate.nights import night_climate
from seasonplan.climate.recorded import USABLE_YEARS, recorded_tables
from seasonplan.climate.years import month_lows, year_matrix
from seasonplan.dates import DAYS, day_index
from seasonplan.model import Record

CLIMATE = night_climate(make_normals(), None, make_site())


def record_with(last, first, years=20, start=2000):
    """Lows of 15 °C, but one night of -2 °C on 10 May + last[n] days and one on 20 September + first[n] of year n."""
    begin, end = date(start, 1, 1), date(start + years, 2, 1)
    dates = [begin + timedelta(days=n) for n in range((end - begin).days)]
    lows = np.full(len(dates), 15.0)
    for n in range(years):
        for base, shift in ((date(start + n, 5, 10), last[n]), (date(start + n, 9, 20), first[n])):
            lows[(base + timedelta(days=int(shift)) - dates[0]).days] = -2.0
    return Record(np.array(dates, dtype="datetime64[D]"), lows, np.full(len(lows), np.nan))


def test_dates_come_straight_from_the_years():
    record = record_with(np.arange(20), np.arange(20))
    tables = recorded_tables(record, make_site(), [0.0], CLIMATE)
    assert tables.source == "record"
    spring, autumn = day_index(date(2001, 5, 10)), day_index(date(2001, 9, 20))
    assert spring_index(tables, 0, 10) == spring + 17 and spring_index(tables, 0, 50) == spring + 9
    assert autumn_index(tables, 0, 10) == autumn + 1 and autumn_index(tables, 0, 50) == autumn + 9
    assert tables.expected_after[0, 120] == pytest.approx(1.0)
    assert tables.expected_before[0, autumn + 9] == pytest.approx(0.5)


def test_the_station_is_shifted_to_the_site():
    record = record_with(np.zeros(20, int), np.zeros(20, int))
    warmer = recorded_tables(record, make_site(night_offset_c=3.0), [0.0, 1.0], CLIMATE)
    assert not warmer.chance_after[0].any() and warmer.chance_after[1].any()


def test_fewer_than_fifteen_years_give_nothing():
    enough, short = (record_with(np.zeros(n, int), np.zeros(n, int), years=n) for n in (USABLE_YEARS, USABLE_YEARS - 1))
    assert recorded_tables(enough, make_site(), [0.0], CLIMATE) is not None
    assert recorded_tables(short, make_site(), [0.0], CLIMATE) is None
    empty = Record(np.array([], dtype="datetime64[D]"), np.array([]), np.array([]))
    assert recorded_tables(empty, make_site(), [0.0], CLIMATE) is None


def test_years_with_many_missing_nights_do_not_count():
    record = record_with(np.zeros(20, int), np.zeros(20, int))
    lows = record.tmin_c.copy()
    years = record.dates.astype("datetime64[Y]").astype(int) + 1970
    month = record.dates.astype("datetime64[M]").astype(int) % 12
    lows[(years == 2003) & (month == 2)] = np.nan
    lows[(years == 2004) & (month == 2) & (np.arange(len(lows)) % 8 == 0)] = np.nan
    holed = recorded_tables(Record(record.dates, lows, record.tmax_c), make_site(), [0.0], CLIMATE)
    full = recorded_tables(record, make_site(), [0.0, 14.9], CLIMATE)
    assert holed.expected_after[0, 60] == pytest.approx(1.0)
    lows[(years >= 2003) & (years <= 2009) & (month == 2)] = np.nan
    assert recorded_tables(Record(record.dates, lows, record.tmax_c), make_site(), [0.0], CLIMATE) is None
    assert full.chance_after[0, 60] == 1.0


def test_southern_years_run_across_new_year():
    shifted = make_normals(tmin_c=np.roll(make_normals().tmin_c, 6))
    climate = night_climate(shifted, None, make_site(latitude_deg=-44.5))
    dates = np.datetime64("2000-01-01") + np.arange(365 * 22)
    lows = np.where((dates.astype("datetime64[M]").astype(int) % 12 == 10), -3.0, 9.0)  # Novembers are cold
    record = Record(dates, lows, np.full(len(lows), np.nan))
    tables = recorded_tables(record, make_site(latitude_deg=-44.5), [0.0], climate)
    assert spring_index(tables, 0, 50) == day_index(date(2001, 11, 30)) and not tables.chance_before[0].any()


def test_year_matrix_places_every_night():
    dates = np.datetime64("1999-12-30") + np.arange(5)
    matrix = year_matrix(Record(dates, np.arange(5.0), np.full(5, np.nan)))
    assert matrix.shape == (2, DAYS) and matrix[0, 363:].tolist() == [0.0, 1.0]
    assert matrix[1, :3].tolist() == [2.0, 3.0, 4.0]
    turned = year_matrix(Record(dates, np.arange(5.0), np.full(5, np.nan)), first_index=364)
    assert [row[row == row].tolist() for row in turned] == [[0.0], [1.0, 2.0, 3.0, 4.0]] and turned[1, 0] == 1.0


def test_month_lows_count_and_average():
    dates = np.datetime64("2001-01-01") + np.arange(40)
    counts, means = month_lows(year_matrix(Record(dates, np.r_[np.full(31, 2.0), np.full(9, np.nan)], np.zeros(40))))
    assert counts.tolist() == [31] + [0] * 11 and means[0] == 2.0 and np.isnan(means[1:]).all()
