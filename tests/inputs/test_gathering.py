"""Fault gathering and nearest names, on invented words."""

import pytest

from seasonplan.errors import InputFaults
from seasonplan.inputs import gathering


def test_faults_are_raised_together_without_repeats():
    faults = gathering.Faults()
    faults.raise_if_any()
    for line in (3, 2, 3):
        faults.add("a.csv", line, "x", "found 1", "2", "Why?")
    with pytest.raises(InputFaults) as caught:
        faults.raise_if_any()
    assert str(caught.value) == "a.csv:2: x: found 1; allowed: 2. Why?\na.csv:3: x: found 1; allowed: 2. Why?"


def test_take_turns_wrong_into_a_fault():
    faults = gathering.Faults()

    def check():
        raise gathering.Wrong("found this", "that", "cause")

    assert faults.take("f", 1, "p", check) is None
    assert faults.take("f", 1, "p", lambda: 7) == 7
    assert [(f.found, f.allowed, f.cause) for f in faults.found] == [("found this", "that", "cause")]


@pytest.mark.parametrize(("word", "best"), [("tmin", "tmin_c"), ("lattitude", "latitude"), ("rootbound", "root_bound"),
                                            ("Place", "place"), ("windw_width_m", "window_width_m")])
def test_the_nearest_name_is_found(word, best):
    known = ("latitude", "longitude", "tmin_c", "tmax_c", "root_bound", "place", "pests", "window_width_m")
    assert gathering.nearest(word, known)[0] == best


def test_nothing_is_suggested_for_a_strange_word():
    assert gathering.nearest("zzzz", ("latitude", "longitude")) == []
    assert gathering.did_you_mean("zzzz", ("latitude",)) == ""


def test_what_is_shown_back_is_short_and_printable():
    assert gathering.shown("a\x07b\n\u2028") == "a\\x07b\\n\\u2028"
    assert len(gathering.shown("x" * 10_000)) == gathering.SHOWN + 1
    assert gathering.shown("日本 🌱 שלום") == "日本 🌱 שלום"


def test_names_are_the_same_beyond_case_blanks_and_composition():
    assert gathering.same_name("  Été  Door ") == gathering.same_name("e\u0301te\u0301 door")
    assert gathering.same_name("Fern 1") != gathering.same_name("Fern 2")


def test_words_in_a_row():
    assert gathering.one_of(["a"]) == "a"
    assert gathering.one_of(["a", "b", "c"]) == "a, b or c"


def many(count: int, file: str = "a.csv") -> gathering.Faults:
    faults = gathering.Faults()
    faults.bounded(lambda: [faults.add(file, n + 1, "x", "wrong") for n in range(count)])
    return faults


@pytest.mark.parametrize(("count", "last"), [
    (50, "a.csv:50: x: wrong"), (51, "a.csv: and 1 more"), (999, "a.csv: and 949 more"),
    (1000, "a.csv: and 950 more; its rest was not read"), (10**6, "a.csv: and 950 more; its rest was not read")])
def test_fifty_faults_of_a_file_are_printed_and_the_rest_counted(count, last):
    faults = many(count)
    faults.add("b.csv", 1, "y", "wrong too")
    with pytest.raises(InputFaults) as caught:
        faults.raise_if_any()
    lines = str(caught.value).splitlines()
    assert lines[:50] == [f"a.csv:{n}: x: wrong" for n in range(1, 51)]
    assert lines[-2:] == [last, "b.csv:1: y: wrong too"] and len(lines) == min(count, 51) + 1
    assert len(caught.value.faults) == min(count, 1000) + 1


def test_reading_ends_where_a_file_has_faults_enough():
    faults = many(999)
    assert faults.bounded(lambda: "read") == "read"
    assert faults.bounded(lambda: faults.add("a.csv", 9, "", "the last") or "read on") is None
    with pytest.raises(InputFaults, match="its rest was not read"):
        faults.add("a.csv", 9, "", "one more")


def test_direction_marks_are_written_out_and_those_that_names_need_are_plain():
    assert gathering.shown("a\u202eb\u200f") == "a\\u202eb\\u200f"
    assert [gathering.is_plain(c) for c in "\u200f\u061c\u200e\u202e\u2066\u2069"] == [True] * 3 + [False] * 3
