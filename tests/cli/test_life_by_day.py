"""A part of the season that tests/season_by_day.py plays: late in May, rescued, bought, ill, away in July."""

from datetime import date

import season_by_day


def test_no_day_of_a_season_contradicts_its_log_or_jumps_without_a_reason():
    days = list(season_by_day.played(date(2027, 5, 15), date(2027, 7, 26), every_day=False))
    assert [f"{day}: {each}" for day, _, wrong, moved in days for each in (*wrong, *moved)] == []
    done = [line for _, line, _, _ in days]
    assert any("rescue" in line for line in done) and any("found-aphid" in line for line in done)
    assert any("new-plant" in line for line in done) and any("treat" in line for line in done)
