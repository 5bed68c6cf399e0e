"""A forecast as a small table."""

from datetime import date

import pytest
from invented import make_site
from weather.shapes import lows_of

from seasonplan.errors import InputFaults
from seasonplan.weather.sources import read_forecast

SITE = make_site()


def test_a_table_names_nights_by_their_evening():
    forecast = read_forecast(b"date,tmin_c\n2027-06-03,-1.0\n2027-06-02,8\n", SITE, "forecast.csv")
    assert lows_of(forecast) == [(date(2027, 6, 2), 8.0), (date(2027, 6, 3), -1.0)]
    assert forecast.source == "forecast.csv" and forecast.issued is None and forecast.elevation_m is None
    assert not forecast.notes


def test_a_spreadsheet_table_in_fahrenheit_with_extras():
    text = "date;tmin_f;calm_clear;wind_m_s\r\n2027-06-03;30,2;yes;0,5\r\n2027-06-04;50;;\r\n"
    first, second = read_forecast(text.encode("utf-8-sig"), SITE, "forecast.csv").nights
    assert first.low_c == pytest.approx(-1.0) and first.calm_clear is True and first.wind_m_s == 0.5
    assert second.low_c == pytest.approx(10.0) and second.calm_clear is None and second.wind_m_s is None


def test_every_fault_of_a_table_is_told_with_its_line():
    text = b"date,tmin_c\n2027-06-03,71\n3.6.2027,5\n2027-06-05,\n2027-06-06,cold\n2027-06-07,4\n2027-06-07,5\n"
    with pytest.raises(InputFaults) as caught:
        read_forecast(text, SITE, "forecast.csv")
    assert [fault.line for fault in caught.value.faults] == [2, 3, 4, 5, 7]
    assert "Is the column in °F?" in str(caught.value)


def test_a_night_missing_in_a_table_is_told():
    forecast = read_forecast(b"date,tmin_c\n2027-06-01,8\n2027-06-04,9\n", SITE, "forecast.csv")
    assert len(forecast.nights) == 2
    assert "Wed 2 Jun and Thu 3 Jun" in forecast.notes[0]


def test_every_column_of_a_table_finds_its_place():
    text = b"night,tmin_c,tmin_p10_c,tmin_p90_c,tmax_c,gust_m_s,rain_mm,hail\n2027-06-03,5,3,7,31.5,18,40,yes\n"
    [night] = read_forecast(text, SITE, "forecast.csv").nights
    assert (night.low_c, night.p10_c, night.p90_c, night.high_c) == (5.0, 3.0, 7.0, 31.5)
    assert (night.gust_m_s, night.rain_mm, night.hail) == (18.0, 40.0, True)
    warm = read_forecast(b"date,tmin_f,tmax_f\n2027-06-03,50,95\n", SITE, "forecast.csv").nights[0]
    assert warm.high_c == pytest.approx(35.0)


@pytest.mark.parametrize("text, told", [
    (b"date,night,tmin_c\n2027-06-03,2027-06-03,5\n", "both date and night"),
    (b"date,tmin_c,gust_m_s\n2027-06-03,5,-3\n", "gust_m_s"), (b"date,tmin_c,rain_mm\n2027-06-03,5,wet\n", "rain_mm")])
def test_what_is_wrong_in_the_other_columns_is_told(text, told):
    with pytest.raises(InputFaults, match=told):
        read_forecast(text, SITE, "forecast.csv")
