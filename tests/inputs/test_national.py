"""The US national by-station normals, in files of our own making that follow the documented format.

Checked against NOAA NCEI, readme.txt of the 1981-2010 normals, sections IV (units: tenths of °F) and V (special
values), and the column names and two-digit dates of the 1991-2020 by-station files. The normals of station
USW00094765 (Lebanon Municipal Airport, New Hampshire) are its published ones of 1991-2020; all other values are
invented.
"""

from datetime import date, timedelta
from functools import partial

import pytest
from invented_files import faults_in, taken

from seasonplan.inputs.normals import read_normals

LEBANON_TMIN_F = (9.3, 11.0, 20.7, 31.9, 43.7, 52.4, 57.8, 56.2, 48.6, 37.4, 27.7, 18.1)
LEBANON_TMAX_F = (30.3, 33.9, 43.0, 56.6, 69.7, 77.9, 82.7, 81.1, 72.9, 59.8, 46.8, 35.5)


def celsius(values_f):
    return [(value - 32) / 1.8 for value in values_f]


def by_station(dates="{m:02d}", tmin="{v:>8.1f}", extra=""):
    """A monthly file as the archive gives it: quoted, padded, with flags beside each value."""
    header = ('"STATION","DATE","LATITUDE","LONGITUDE","ELEVATION","NAME","month","MLY-TMIN-NORMAL",'
              '"meas_flag_MLY-TMIN-NORMAL","MLY-TMAX-NORMAL","MLY-TMIN-STDDEV"\n')
    rows = [f'"USW00094765","{dates.format(m=m)}","43.6264","-72.3047","182.3","LEBANON MUNICIPAL AIRPORT, NH US",'
            f'"{m:02d}","{tmin.format(v=v)}"," ","{x:>8.1f}","     3.1"{extra}\n'
            for m, (v, x) in enumerate(zip(LEBANON_TMIN_F, LEBANON_TMAX_F, strict=True), start=1)]
    return header + "".join(rows)


def tenths(dates="2010{m:02d}"):
    """A monthly file of 1981-2010: whole tenths of °F, year 2010 standing for any."""
    return ("STATION,STATION_NAME,ELEVATION,LATITUDE,LONGITUDE,DATE,MLY-TMIN-NORMAL,MLY-TMAX-NORMAL\n"
            + "".join(f"GHCND:USX1,INVENTED 2 N,466.3,48.0,-98.0,{dates.format(m=m)},{round(v * 10)},{round(x * 10)}\n"
                      for m, (v, x) in enumerate(zip(LEBANON_TMIN_F, LEBANON_TMAX_F, strict=True), start=1)))


def daily(first=date(2023, 1, 1), days=365, low="{n:>7.1f}", spread="    10.0", dates="%m-%d"):
    rows = [(first + timedelta(days=n), 30 + n / 10) for n in range(days)]
    return ('"STATION","DATE","DLY-TMIN-NORMAL","DLY-TMIN-STDDEV","DLY-TMAX-NORMAL"\n'
            + "".join(f'"USX1","{day.strftime(dates)}","{low.format(n=n)}","{spread}","{n + 20:.1f}"\n'
                      for day, n in rows))


def normals(text):
    return taken(partial(read_normals, "normals.csv", text.encode()))


def faults_of(text):
    return faults_in(partial(read_normals, "normals.csv", text.encode()))


@pytest.mark.parametrize("dates", ["{m:02d}", "{m}", "2010-{m:02d}", "2010{m:02d}", "{m:02d}-01"])
def test_a_monthly_file_of_1991_2020(dates):
    found = normals(by_station(dates))
    assert found.tmin_c == pytest.approx(celsius(LEBANON_TMIN_F))
    assert found.tmax_c == pytest.approx(celsius(LEBANON_TMAX_F))
    assert "in °F" in found.source


def test_the_spread_of_monthly_means_is_not_taken_for_that_of_nights():
    assert normals(by_station()).tmin_sd_c is None


@pytest.mark.parametrize("dates", ["2010{m:02d}", "2010-{m:02d}", "{m:02d}", "2010-{m:02d}-01T00:00:00"])
def test_a_monthly_file_of_1981_2010_is_in_tenths(dates):
    found = normals(tenths(dates))
    assert found.tmin_c == pytest.approx(celsius(LEBANON_TMIN_F))
    assert found.tmax_c == pytest.approx(celsius(LEBANON_TMAX_F))
    assert "tenths of °F" in found.source


@pytest.mark.parametrize(("first", "days", "dates"), [
    (date(2023, 1, 1), 365, "%m-%d"), (date(2024, 1, 1), 366, "%m-%d"), (date(2010, 1, 1), 365, "%Y%m%d"),
    (date(2024, 1, 1), 366, "%Y-%m-%d")])
def test_a_daily_file(first, days, dates):
    found = normals(daily(first, days, dates=dates))
    assert found.tmin_c.shape == found.tmin_sd_c.shape == (365,)
    assert found.tmin_c[0] == pytest.approx((30 - 32) / 1.8)
    assert found.tmin_c[-1] == pytest.approx((30 + (days - 1) / 10 - 32) / 1.8)
    assert found.tmin_sd_c == pytest.approx(10 / 1.8)
    assert found.tmax_c.shape == (12,)


def test_a_daily_file_in_tenths():
    found = normals(daily(low="{n:.0f}", spread="100").replace('.0"\n', '"\n').replace(".", ""))
    assert found.tmin_sd_c == pytest.approx(10 / 1.8)
    assert found.tmin_c[0] == pytest.approx((3.0 - 32) / 1.8)


@pytest.mark.parametrize("special", ["-9999", "-7777", "-6666", "-8888.0", "-5555.0", " -9999.0", ""])
def test_a_special_value_is_missing_never_a_temperature(special):
    [found] = faults_of(by_station().replace("    57.8", special))
    assert found.startswith("normals.csv:8: MLY-TMIN-NORMAL: found ")
    assert "Does the station measure temperature?" in found


def test_special_values_in_an_optional_column_leave_it_out():
    assert normals(by_station().replace("    82.7", "-9999.0")).tmax_c is None
    assert normals(daily(spread="-7777.0")).tmin_sd_c is None


def test_a_station_without_temperature_says_so_for_each_month():
    assert len(faults_of(by_station(tmin="-9999.0"))) == 12


@pytest.mark.parametrize(("text", "words"), [
    (by_station().replace('"07"', '"06"'), "stands there twice"),
    ("\n".join(by_station().splitlines()[:-1]), "December is missing"),
    (by_station().replace("    57.8", "   157.8"), "found 157.8; allowed: -94 to 113 °F"),
    (by_station().replace("    57.8", "   warm"), "found warm"),
    (by_station("{m}-{m}").replace('"12-12"', '"13-13"').replace('"12","    18.1"', '"13","    18.1"'), "a month"),
    (daily(days=300), "is missing, 65 in all"),
    (daily().replace('"03-05"', '"0305x"'), "a month and day"),
])
def test_faults(text, words):
    assert any(words in fault for fault in faults_of(text)), faults_of(text)
