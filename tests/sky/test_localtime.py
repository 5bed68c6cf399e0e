"""Days of 23, 24 and 25 hours, and a day that never was."""

from datetime import date

import numpy as np
import pytest

from seasonplan.sky.localtime import local_steps, midnights_s


def test_an_ordinary_day_runs_from_midnight_to_midnight():
    steps = local_steps([date(2027, 6, 1)], "America/Chicago", 10)
    assert len(steps.day) == 144
    assert steps.clock_min.tolist() == list(range(0, 1440, 10))
    assert steps.starts_s[0] == 1811826000 and steps.middle_s[0] == steps.starts_s[0] + 300


@pytest.mark.parametrize(("zone", "day", "count", "skipped", "twice"), [
    ("Europe/Berlin", date(2027, 3, 28), 138, 120, None),
    ("Europe/Berlin", date(2027, 10, 31), 150, None, 120),
    ("America/Santiago", date(2027, 9, 5), 138, 0, None),
    ("Australia/Lord_Howe", date(2027, 10, 3), 141, 120, None),
    ("Asia/Tokyo", date(2027, 3, 28), 144, None, None)])
def test_days_on_which_the_clock_is_changed(zone, day, count, skipped, twice):
    shown = local_steps([day], zone, 10).clock_min.tolist()
    assert len(shown) == count
    assert skipped is None or skipped not in shown
    assert twice is None or shown.count(twice) == 2
    assert max(shown) < 1440


def test_a_date_jumped_over_has_no_steps():
    """Samoa crossed the date line: 30 December 2011 did not happen there."""
    steps = local_steps([date(2011, 12, 29), date(2011, 12, 30), date(2011, 12, 31)], "Pacific/Apia", 10)
    assert np.bincount(steps.day, minlength=3).tolist() == [144, 0, 144]


def test_steps_of_following_days_join():
    steps = local_steps([date(2027, 10, 30), date(2027, 10, 31), date(2027, 11, 1)], "Europe/Berlin", 10)
    assert (np.diff(steps.middle_s) == 600).all()
    assert steps.ends_s[:-1].tolist() == steps.starts_s[1:].tolist() == midnights_s(
        [date(2027, 10, 31), date(2027, 11, 1)], "Europe/Berlin").tolist()


@pytest.mark.parametrize(("dates", "step"), [([], 10), ([date(2027, 1, 1)], 7)])
def test_nonsense_is_refused(dates, step):
    with pytest.raises(ValueError, match="at least one date"):
        local_steps(dates, "UTC", step)
