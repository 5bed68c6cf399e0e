"""readings.csv: the person's own thermometers."""

from datetime import date

import pytest
from invented import make_places

from seasonplan.errors import InputFaults
from seasonplan.inputs.gathering import Faults
from seasonplan.inputs.readings import read_readings, with_reading
from seasonplan.model import Reading


def read(text: str):
    faults = Faults()
    found = read_readings("readings.csv", text.encode(), make_places(), faults)
    faults.raise_if_any()
    return found


def faults_of(text: str) -> str:
    with pytest.raises(InputFaults) as caught:
        read(text)
    return str(caught.value)


def test_readings_come_by_date_and_places_as_the_scenario_writes_them():
    found = read("date,place,tmin_c\n2027-06-02,Lawn,4.5\n2027-06-01, porch ,6.25\n")
    assert [(r.date, r.place, r.tmin_c, r.line) for r in found] == [
        (date(2027, 6, 1), "porch", 6.25, 3), (date(2027, 6, 2), "lawn", 4.5, 2)]


def test_fahrenheit_and_a_spreadsheets_semicolons_are_understood():
    assert read("date,place,tmin_f\n2027-06-01,lawn,41\n")[0].tmin_c == pytest.approx(5.0)
    assert read("date;place;tmin_c\n2027-06-01;lawn;5,5\n")[0].tmin_c == 5.5


def test_an_empty_file_holds_no_reading():
    assert read("") == read("\n") == read("date,place,tmin_c\n") == ()


@pytest.mark.parametrize("text, told", [
    ("date,place,tmin_c\n2027-06-01,porhc,5\n", "Did you mean porch?"),
    ("date,place,tmin_c\n2027-06-01,south window,5\n", "south window is an indoor place"),
    ("date,place,tmin_c\n2027-06-01,lawn,5\n2027-06-01,LAWN,6\n", "stands on line 2 too"),
    ("date,place,tmin_c\n2027-06-01,lawn,warm\n", "readings.csv:2"),
    ("date,place,tmin_c\n2027-06-01,lawn,55\n", "°F"),
    ("date,place\n2027-06-01,lawn\n", "a column tmin_c or tmin_f"),
    ("date,place,tmin_c\n01.06.2027,lawn,5\n", "readings.csv:2"),
])
def test_what_is_wrong_is_told_with_its_line(text, told):
    assert told in faults_of(text)


@pytest.mark.parametrize("text, line", [
    ("", "2027-06-03,lawn,4.44"), ("date,place,tmin_f\n2027-06-02,lawn,41\n", "2027-06-03,lawn,40.0"),
    ("date;place;tmin_c\n2027-06-02;lawn;4,5\n", "2027-06-03;lawn;4,44"),
    ("tmin_c,place,date\r\n4.5,lawn,2027-06-02\r\n", "4.44,lawn,2027-06-03")])
def test_a_reading_is_added_in_the_files_own_words(text, line):
    more = with_reading(text, (), Reading(date(2027, 6, 3), "lawn", 40 / 9))
    assert more.splitlines()[-1] == line and read(more)[-1].tmin_c == pytest.approx(40 / 9, abs=0.01)
    assert more.startswith(text.rstrip("\n"))
