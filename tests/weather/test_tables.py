"""Forecasts and readings as pandas tables."""

from datetime import date, datetime, timedelta

import numpy as np
import pandas as pd
import pytest

from seasonplan.model import EarlierForecast, Reading
from seasonplan.weather.tables import as_day, from_frame, readings_of

TODAY = date(2027, 6, 1)
DAY = timedelta(days=1)


def table(**columns) -> pd.DataFrame:
    return pd.DataFrame({"night": [TODAY, TODAY + DAY], "tmin_c": [5.0, 7.5], **columns})


def test_two_columns_are_enough():
    forecast, earlier = from_frame(table(), TODAY)
    assert [(n.night, n.low_c, n.lead_days, n.calm_clear) for n in forecast.nights] == [
        (TODAY, 5.0, 0, None), (TODAY + DAY, 7.5, 1, None)]
    assert earlier == () and forecast.elevation_m is None


def test_every_column_finds_its_place():
    forecast, _ = from_frame(table(tmin_p10_c=[3.0, None], tmin_p90_c=[7.0, np.nan], calm_clear=[True, None],
                                   gust_m_s=[18.0, 3.0], tmax_c=[30.0, 31.0], rain_mm=[0.0, 45.0], wind_m_s=[2.0, 1.0],
                                   hail=[False, True]), TODAY)
    one, two = forecast.nights
    assert (one.p10_c, one.p90_c, one.calm_clear, one.gust_m_s, one.high_c) == (3.0, 7.0, True, 18.0, 30.0)
    assert (two.p10_c, two.p90_c, two.calm_clear, two.rain_mm, two.hail, two.wind_m_s) == (None, None, None, 45.0, True,
                                                                                       1.0)


@pytest.mark.parametrize("value", [TODAY, datetime(2027, 6, 1, 18), pd.Timestamp(TODAY), "2027-06-01",
                                   "2027-06-01T18:00:00Z"])
def test_dates_come_in_many_kinds(value):
    assert as_day(value) == TODAY


def test_what_is_no_date_is_refused_and_what_is_missing_is_left_out():
    assert as_day(None) is None and as_day(pd.NaT) is None and as_day(float("nan")) is None
    with pytest.raises(ValueError):
        as_day(20270601)
    forecast, _ = from_frame(pd.DataFrame({"night": [TODAY, None, TODAY + DAY], "tmin_c": [None, 3.0, 4.0]}), TODAY)
    assert [night.night for night in forecast.nights] == [TODAY + DAY]


def test_dates_of_numpy_and_of_pandas_are_understood_as_columns():
    for nights in (np.array([TODAY, TODAY + DAY], dtype="datetime64[D]"), pd.date_range(TODAY, periods=2)):
        assert [n.night for n in from_frame(table(night=nights), TODAY)[0].nights] == [TODAY, TODAY + DAY]


def test_a_missing_column_is_named():
    with pytest.raises(ValueError, match="no column 'tmin_c'; it has night"):
        from_frame(pd.DataFrame({"night": [TODAY]}), TODAY)


def test_nights_gone_by_and_rows_told_before_are_earlier_forecasts():
    past = pd.DataFrame({"night": [TODAY - DAY, TODAY, TODAY + DAY, TODAY, TODAY + DAY],
                         "tmin_c": [1.0, 2.0, 3.0, 4.0, 5.0],
                         "issued": [TODAY - DAY, TODAY - DAY, TODAY - DAY, TODAY, TODAY]})
    forecast, earlier = from_frame(past, TODAY)
    assert [(n.low_c, n.lead_days) for n in forecast.nights] == [(4.0, 0), (5.0, 1)]
    assert earlier == tuple(EarlierForecast("table", TODAY - DAY, TODAY + n * DAY, low)
                            for n, low in ((-1, 1.0), (0, 2.0), (1, 3.0)))
    undated = past.drop(columns="issued").iloc[:1]
    assert from_frame(undated, TODAY)[1] == earlier[:1] and from_frame(undated, TODAY)[0].nights == ()


def test_a_forecast_of_tomorrow_is_not_known_today():
    ahead = table(issued=[TODAY, TODAY + DAY])
    assert [n.night for n in from_frame(ahead, TODAY)[0].nights] == [TODAY]


def test_readings_come_as_a_table_or_as_they_are():
    given = (Reading(TODAY, "porch", 4.0),)
    assert readings_of(given) == (given, ()) and readings_of([]) == ((), ())
    frame = pd.DataFrame({"date": [TODAY, None, TODAY], "place": ["porch"] * 3, "tmin_c": [4.0, 5.0, None]})
    assert readings_of(frame) == (given, ())
    with pytest.raises(ValueError, match="no column 'place'"):
        readings_of(frame.drop(columns="place"))


def test_a_table_of_readings_may_say_what_had_been_forecast():
    frame = pd.DataFrame({"date": [TODAY], "place": ["porch"], "tmin_c": [4.0], "forecast_c": [5.5]})
    assert readings_of(frame)[1] == (EarlierForecast("table", TODAY - DAY, TODAY - DAY, 5.5),)
