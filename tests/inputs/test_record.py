"""nights.csv: plain daily records."""

from datetime import date
from functools import partial

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from invented_files import faults_in, taken

from seasonplan.inputs.record import at_once, read_record


def record(text):
    return taken(partial(read_record, "nights.csv", text.encode()))


def faults_of(text):
    return faults_in(partial(read_record, "nights.csv", text.encode()))


def test_a_plain_record_is_sorted_and_keeps_its_gaps():
    found = record("date,tmin_c,tmax_c\n2020-01-03,,4\n2020-01-01,-3.5,2\n2019-12-31,-4,\n")
    assert found.dates.astype(str).tolist() == ["2019-12-31", "2020-01-01", "2020-01-03"]
    assert np.isnan(found.tmin_c).tolist() == [False, False, True]
    assert found.tmin_c[:2].tolist() == [-4, -3.5] and found.tmax_c[1:].tolist() == [2, 4]


def test_a_record_in_fahrenheit_without_highs():
    found = record("date;tmin_f\n2020-01-01;50,5\n2020-01-02;32\n")
    assert found.tmin_c == pytest.approx([10.277777, 0])
    assert np.isnan(found.tmax_c).all()


ROWS = st.dictionaries(st.dates(date(1000, 1, 1), date(2999, 12, 31)), st.tuples(
    st.one_of(st.just(""), st.decimals(-70, 20, places=1).map(str)),
    st.one_of(st.just(""), st.decimals(20, 60, places=2).map(str))),
    min_size=1, max_size=12)


@settings(deadline=None, max_examples=40, derandomize=True)
@given(ROWS, st.booleans(), st.sampled_from(["\n", "\r\n"]), st.booleans())
def test_whole_columns_and_single_rows_read_the_same(rows, with_highs, ending, last_ending):
    """The quick way through an ordinary record against the careful one, which an extra blank line enforces."""
    lines = ["date,tmin_c" + ",tmax_c" * with_highs, *(
        f"{day},{low}" + f",{high}" * with_highs for day, (low, high) in rows.items())]
    text = ending.join(lines) + ending * last_ending
    quick, careful = at_once(text.encode()), record("\n" + text)
    assert quick is not None and at_once(("\n" + text).encode()) is None
    for one, other in ((quick.dates, careful.dates), (quick.tmin_c, careful.tmin_c), (quick.tmax_c, careful.tmax_c)):
        np.testing.assert_array_equal(one, other)
    assert quick.dates.dtype == careful.dates.dtype == np.dtype("datetime64[D]")


@pytest.mark.parametrize("body", [
    "2020-01-01,1\n2020-01-01,2", "2020-02-30,1", "2020-01-01,71", "2020-01-01,nan", "2020-01-01,1e1", "2020-01-01,1,2",
    "2020-01-01", "2020-01-01 ,1", "", "0001-01-01,1"])
def test_anything_unusual_is_left_to_the_careful_reader(body):
    assert at_once(f"date,tmin_c\n{body}\n".encode()) is None


def test_a_high_below_the_low_is_left_to_the_careful_reader():
    assert at_once(b"date,tmin_c,tmax_c\n2020-01-01,5,5\n") is not None
    assert at_once(b"date,tmin_c,tmax_c\n2020-01-01,5,4\n") is None


@pytest.mark.parametrize(("text", "words"), [
    ("date,tmin_c\n2020-01-01,65\n", "csv:2: row 1, tmin_c: found 65; allowed: -70 to 45 °C. Is the column in °F?"),
    ("date,tmin_c\n2020-01-01,1\n2020-01-01,1\n", "nights.csv:3: row 2, date: 2020-01-01 stands on line 2 already"),
    ("date,tmin_c,tmax_c\n2020-01-01,5,4\n", "nights.csv:2: row 1, tmax_c: 4 °C is below tmin, 5 °C"),
    ("date,tmin_c,tmin_f\n2020-01-01,5,41\n", "both tmin_c and tmin_f"),
    ("date,tmax_c\n2020-01-01,5\n", "the night lows are missing"),
    ("day,tmin_c\n2020-01-01,5\n", "the column date is missing"),
    ("date,tmin_c\n1/2/2020,5\n", "a date as YYYY-MM-DD"),
    ("date,tmin_c\n", "there is no night in it"),
    ("date,tmin_c\n2020-01-01,NA\n", "found NA"),
])
def test_faults(text, words):
    assert any(words in fault for fault in faults_of(text)), faults_of(text)


@settings(deadline=None, max_examples=40, derandomize=True)
@given(st.dictionaries(st.dates(), st.floats(-70, 45), min_size=1, max_size=20))
def test_round_trip(nights):
    found = record("date,tmin_c\n" + "".join(f"{day},{low!r}\n" for day, low in nights.items()))
    assert dict(zip(found.dates.tolist(), found.tmin_c.tolist(), strict=True)) == nights
    assert found.dates.tolist() == sorted(nights)
