"""Times away: from scenario.toml and from away.csv."""

from datetime import date

from invented_files import PLACES, SITE, ZONE, faults_of, read

from seasonplan.model import Away

BLOCK = '[[away]]\nfrom = 2027-07-10\nuntil = "2027-07-18"\nhelper = true\n'


def away_of(toml="", **files):
    return read(SITE + ZONE + PLACES + toml, **files).away


def test_nobody_is_away_unless_told():
    assert away_of() == () == away_of(away="") == away_of(away="from,until\n")


def test_blocks_and_rows_are_read_in_date_order():
    found = away_of(BLOCK, away="from,until,helper\n2027-05-01,2027-05-04,\n2027-08-01,2027-08-02,yes\n")
    assert [(a.first, a.until, a.helper) for a in found] == [
        (date(2027, 5, 1), date(2027, 5, 4), False), (date(2027, 7, 10), date(2027, 7, 18), True),
        (date(2027, 8, 1), date(2027, 8, 2), True)]


def test_two_that_touch_are_fine_and_two_that_overlap_are_told():
    assert len(away_of(away="from,until\n2027-05-01,2027-05-04\n2027-05-04,2027-05-06\n")) == 2
    [fault] = faults_of(SITE + ZONE + PLACES + BLOCK, away="from,until\n2027-07-17,2027-07-20\n")
    assert fault.startswith("away.csv:2") and "2027-07-18" in fault


def test_a_day_of_coming_back_that_is_the_first_day_away_is_explained():
    [fault] = faults_of(away="from,until\n2027-07-17,2027-07-17\n")
    assert "the day of coming back" in fault


def test_a_time_of_day_is_no_date():
    [fault] = faults_of(SITE + ZONE + PLACES + "[[away]]\nfrom = 2027-07-10T08:00:00\nuntil = 2027-07-12\n")
    assert "YYYY-MM-DD" in fault


def test_a_missing_end_is_told_with_its_block():
    [fault] = faults_of(SITE + ZONE + PLACES + "[[away]]\nfrom = 2027-07-10\n")
    assert "until is missing" in fault and "the day of coming back" in fault


def test_where_it_was_read_is_no_part_of_what_it_is():
    [found] = away_of(BLOCK)
    assert found == Away(date(2027, 7, 10), date(2027, 7, 18), True, found.line) and found.line > 1
