"""What single values may be."""

from datetime import date, datetime

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from seasonplan.inputs import values
from seasonplan.inputs.gathering import Wrong


def wrong(check, *args, **kwargs) -> Wrong:
    with pytest.raises(Wrong) as caught:
        check(*args, **kwargs)
    return caught.value


@pytest.mark.parametrize("value", [True, "1", None, [1], {}, date(2027, 1, 1), float("nan"), float("inf"), 10**400])
def test_numbers_of_the_wrong_kind_are_refused(value):
    assert "0 to 9" in wrong(values.number, value, 0, 9).allowed


def test_numbers_in_range_are_taken_as_floats():
    assert values.number(3, 0, 9) == 3.0 and isinstance(values.number(3, 0, 9), float)
    assert values.number(9, 0, 9) == 9.0
    assert wrong(values.number, 9.0001, 0, 9, "m").allowed == "0 to 9 m"


def test_a_quoted_number_is_explained():
    assert wrong(values.number, " 44.5 ", 0, 90).cause == "Write it without quotes."


@pytest.mark.parametrize("value", [1.5, True, "2", 0, 11])
def test_whole_numbers(value):
    assert "1 to 10" in wrong(values.whole, value, 1, 10).allowed
    assert values.whole(10, 1, 10) == 10


@pytest.mark.parametrize("text", ["nan", "inf", "1_000", "0x10", "12 °C", "--3", "1e", "٣", "1,5", "1.234,5", "", "x"])
def test_cells_that_are_no_numbers(text):
    assert wrong(values.text_number, text, -1e9, 1e9).found.startswith("found")


@pytest.mark.parametrize(("text", "value"), [("5", 5), ("-5.25", -5.25), ("+.5", 0.5), ("−12", -12), ("1e1", 10),
                                             ("5.", 5)])
def test_cells_that_are_numbers(text, value):
    assert values.text_number(text, -100, 100) == value


@settings(deadline=None, max_examples=60, derandomize=True)
@given(st.floats(-70, 45))
def test_numbers_survive_being_written(value):
    assert values.text_number(repr(value), -70, 45) == value


def test_whole_numbers_as_spreadsheets_write_them():
    assert values.text_whole("3.0", 1, 9) == 3
    assert "whole" in wrong(values.text_whole, "3.5", 1, 9).allowed


def test_dates_are_iso_and_exist():
    assert values.text_day("2024-02-29") == date(2024, 2, 29)
    for text in ("2023-02-29", "2023-2-1", "01/02/2023", "20230201", "2023-02-01T00:00", "0000-01-01"):
        assert "date" in wrong(values.text_day, text).allowed


def test_lines_of_text():
    assert values.line_of_text("  Grünlilie 🌿 ") == "Grünlilie 🌿"
    assert values.line_of_text("x" * 10_000) == "x" * 10_000
    assert values.line_of_text("‏עץ לימון") == "‏עץ לימון"
    for text in ("", "  ", "a\nb", "a\x00b", "a\u2028b", "a\x85b", "\u200b", 5, None, datetime(2027, 1, 1)):
        assert wrong(values.line_of_text, text).found


def test_notes_keep_their_lines():
    assert values.notes_text("one\r\ntwo\tx ") == "one\ntwo\tx"
    assert "control" in wrong(values.notes_text, "a\x07").found


def test_choices_and_flags():
    assert values.choice(" Double ", ["single", "double"]) == "double"
    assert wrong(values.choice, "duble", ["single", "double"]).cause == "Did you mean double?"
    assert wrong(values.choice, 3, ["single", "double"]).allowed == '"single" or "double"'
    assert values.flag(True) is True and wrong(values.flag, 1).allowed
    assert [values.text_yes_no(word) for word in ("Yes", "n", "TRUE", "false")] == [True, False, True, False]
    assert wrong(values.text_yes_no, "maybe").allowed == "yes or no"


def test_temperature_columns_are_read_by_their_name():
    assert values.celsius_in("tmin_c", -70, 45)("10") == 10
    assert values.celsius_in("tmin_f", -70, 45)("50") == pytest.approx(10)
    assert wrong(values.celsius_in("tmin_c", -70, 45), "71.2").cause == "Is the column in °F?"
    assert wrong(values.celsius_in("tmin_c", -70, 45), "7100").cause == ""
    assert wrong(values.celsius_in("tmin_f", -70, 45), "200").allowed == "-94 to 113 °F"


def test_a_date_that_a_spreadsheet_made_a_number_of_is_explained():
    found = wrong(values.text_day, "46517")
    assert found.found == "found 46517" and "2027-05-10" in found.cause
    assert wrong(values.text_day, "465170").cause == "" == wrong(values.text_day, "04651").cause


def test_a_date_in_another_form_counts_in_the_log_where_it_can_mean_one_day_only():
    for text in ("29.5.2027", "29.05.2027", "29/05/2027", "05/29/2027", "2027/5/29", "2027.05.29", "2027-5-29"):
        assert values.plain_day(text) == date(2027, 5, 29), text
        assert wrong(values.text_day, text).cause == "Write 2027-05-29 for 29 May."
    assert wrong(values.plain_day, "3.4.2027").cause == "Write 2027-04-03 for 3 April or 2027-03-04 for 4 March."
    assert values.plain_day("4.4.2027") == date(2027, 4, 4)
    for text in ("31.02.2027", "1.2.27", "29-5.2027.", "2027-13-14", "5.2027"):
        assert wrong(values.plain_day, text).cause == ""
