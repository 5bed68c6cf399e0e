"""Parts of the stories that tests/season_by_day.py plays: late in May, rescued, bought, ill, away in July; and in the
south over the end of the planning year: ill before and over it, a tick taken back, bought in winter."""

from datetime import date

import season_by_day
from season_by_day import YEAR


def test_no_day_of_a_season_contradicts_its_log_or_jumps_without_a_reason():
    days = list(season_by_day.played(date(2027, 5, 15), date(2027, 7, 26), every_day=False))
    assert [f"{day}: {each}" for day, _, wrong, moved in days for each in (*wrong, *moved)] == []
    done = [line for _, line, _, _ in days]
    assert any("rescue" in line for line in done) and any("found-aphid" in line for line in done)
    assert any("new-plant" in line for line in done) and any("treat" in line for line in done)


def test_nothing_vanishes_and_nothing_is_asked_twice_where_one_planning_year_ends_and_the_next_begins():
    days = list(season_by_day.played(date(2027, 6, 16), date(2027, 7, 27), False, YEAR))
    assert [f"{day}: {each}" for day, _, wrong, moved in days for each in (*wrong, *moved)] == []
    work = [line for day, line, _, _ in days if "done" in line]
    told = " ".join(work)
    assert told.count("treat") == 5 and "undo treat of 2027-06-27" in told            # four sprays, one taken back
    assert told.count("isolate") == 1 and told.count("new-plant") == 2
