"""normals.csv in its plain forms: monthly and daily, °C and °F."""

from datetime import date, timedelta
from functools import partial

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from invented_files import LOWS_C, NORMALS, faults_in, taken

from seasonplan.dates import DAYS, MONTH_LENGTHS
from seasonplan.inputs.gathering import Faults
from seasonplan.inputs.normals import read_normals


def normals(text):
    return taken(partial(read_normals, "normals.csv", text.encode()))


def faults_of(text):
    return faults_in(partial(read_normals, "normals.csv", text.encode()))


def daily(header="month,day,tmin_c", leap=False, row=lambda day: f"{LOWS_C[day.month - 1]:g}"):
    days = [date(2024 if leap else 2023, 1, 1) + timedelta(days=n) for n in range(366 if leap else 365)]
    return header + "\n" + "".join(f"{day.month},{day.day},{row(day)}\n" for day in days)


def test_twelve_rows():
    found = normals(NORMALS)
    assert found.tmin_c.tolist() == list(LOWS_C)
    assert (found.tmin_sd_c, found.tmax_c, found.sunshine_h, found.ghi_mj) == (None, None, None, None)
    assert found.source == "normals.csv"


def test_rows_in_any_order_and_months_by_name():
    lines = NORMALS.splitlines()
    shuffled = "\n".join([lines[0], *reversed(lines[1:])]).replace("7,15.5", "July,15.5").replace("1,-12", "Jan,-12")
    assert normals(shuffled).tmin_c.tolist() == list(LOWS_C)


def test_every_column_in_fahrenheit_and_its_units():
    rows = [(m, low * 9 / 5 + 32, 7.2, low * 9 / 5 + 50, 6.5, 18.0) for m, low in enumerate(LOWS_C, start=1)]
    found = normals("month,tmin_f,tmin_sd_f,tmax_f,sunshine_h,ghi_mj\n"
                    + "".join(",".join(str(value) for value in row) + "\n" for row in rows))
    assert found.tmin_c == pytest.approx(LOWS_C)
    assert found.tmin_sd_c == pytest.approx(4.0)
    assert found.tmax_c == pytest.approx(np.array(LOWS_C) + 10)
    assert (found.sunshine_h.tolist(), found.ghi_mj.tolist()) == ([6.5] * 12, [18.0] * 12)


@pytest.mark.parametrize("leap", [False, True])
def test_daily_rows_with_and_without_the_leap_day(leap):
    found = normals(daily(leap=leap))
    assert found.tmin_c.shape == (DAYS,)
    assert found.tmin_c[[0, 58, 59, 364]].tolist() == [-12, -10.5, -5, -9]


def test_the_leap_day_is_left_out_in_any_order():
    lines = daily(leap=True).splitlines()
    shuffled = "\n".join([lines[0], *reversed(lines[1:])]).replace("2,29,-10.5", "2,29,30")
    assert normals(shuffled).tmin_c.tolist() == normals(daily()).tmin_c.tolist()


def test_daily_extras_become_monthly_means_but_the_spread_stays_daily():
    text = daily("month,day,tmin_c,tmin_sd_c,tmax_c", row=lambda day: f"{LOWS_C[day.month - 1]},4,{20 + day.day / 10}")
    found = normals(text)
    assert found.tmin_sd_c.shape == (DAYS,)
    assert found.tmax_c == pytest.approx([20 + (n + 1) / 20 for n in MONTH_LENGTHS])


def test_an_optional_column_left_empty_is_not_given():
    assert normals(NORMALS.replace("\n", ",\n").replace("tmin_c,", "tmin_c,tmax_c")).tmax_c is None


def test_spreadsheet_normals_with_decimal_commas():
    assert normals(NORMALS.replace(",", ";").replace(".", ",")).tmin_c.tolist() == list(LOWS_C)


@pytest.mark.parametrize(("text", "words"), [
    (NORMALS.replace("7,15.5", "7,71.2"), "normals.csv:8: row 7 (July), tmin_c: found 71.2; allowed: -70 to 45 °C. Is"),
    (NORMALS.replace("tmin_c", "tmin"), "unknown column tmin"),
    (NORMALS.replace("12,-9\n", "12,-9\n12,-9\n"), "normals.csv:14: row 13 (December): December stands on line 13"),
    (NORMALS.replace("7,15.5", "Juli,15.5"), "found Juli; allowed: 1 to 12"),
    (NORMALS.replace("7,15.5\n", "").replace("8,14.4\n", ""), "July, August are missing; allowed: 12 rows"),
    (daily().replace("\n6,15,", "\n6,14,"), "14 June stands on line"),
    (daily().replace("\n2,28,", "\n2,30,"), "found 30; allowed: 1 to 29"),
    ("month,day,tmin_c\n" + NORMALS.replace("\n", "\n1,", 1).split("\n", 1)[1], "missing"),
])
def test_faults(text, words):
    assert any(words in fault for fault in faults_of(text)), faults_of(text)


def test_what_is_wrong_gives_no_normals():
    assert read_normals("n", NORMALS.replace("15.5", "x").encode(), Faults()) is None


@settings(deadline=None, max_examples=60, derandomize=True)
@given(st.lists(st.floats(-70, 45), min_size=12, max_size=12))
def test_round_trip(lows):
    text = "month,tmin_c\n" + "".join(f"{m},{low!r}\n" for m, low in enumerate(lows, start=1))
    assert normals(text).tmin_c.tolist() == lows


@settings(deadline=None, max_examples=80, derandomize=True)
@given(st.text(alphabet="month,dayti_cfsx0123456789.-;\n\"", max_size=80))
def test_any_text_is_read_or_refused(text):
    faults = Faults()
    found = read_normals("normals.csv", ("month,tmin_c\n" + text).encode(), faults)
    assert (found is None) == bool(faults.found)


def lowest(column="tmin_lowest_c", depth=6.0, conversion=lambda c: c):
    return f"month,tmin_c,{column}\n" + "".join(
        f"{month},{low:g},{conversion(low - depth):g}\n" for month, low in enumerate(LOWS_C, start=1))


def test_mean_lowest_nights():
    assert np.allclose(normals(lowest()).tmin_lowest_c, np.array(LOWS_C) - 6.0)
    found = normals(lowest("tmin_lowest_f", conversion=lambda c: c * 1.8 + 32.0)).tmin_lowest_c
    assert np.allclose(found, np.array(LOWS_C) - 6.0, atol=0.01)
    assert normals(NORMALS).tmin_lowest_c is None and normals(NORMALS).sd_kind == ""


def test_mean_lowest_nights_of_daily_rows_are_the_months():
    text = daily("month,day,tmin_c,tmin_lowest_c", row=lambda day: f"{LOWS_C[day.month - 1]:g},{-25 + day.month}")
    assert np.allclose(normals(text).tmin_lowest_c, np.arange(1, 13) - 25.0)


def test_a_lowest_night_above_the_mean_is_told():
    found = faults_of(lowest(depth=-1.0))
    assert len(found) == 12 and "is not below tmin" in found[0] and "the wrong way round?" in found[0]
    assert "below" in faults_of(lowest(depth=0.0))[0]
