"""Days of the year, the leap day, and the planning year in either hemisphere.

Climate lives on a year of 365 days, index 0 = 1 January, 364 = 31 December; 29 February shares the index of
28 February. A planning year is a run of real dates: 1 January to 31 December of `year` in the north, 1 July of
`year` to 30 June of `year` + 1 in the south, so that a warm season never straddles its edge.
"""

from __future__ import annotations

from collections.abc import Collection
from datetime import date, timedelta

import numpy as np

DAYS = 365
MONTH_STARTS = (0, 31, 59, 90, 120, 151, 181, 212, 243, 273, 304, 334)
MONTH_LENGTHS = (31, 28, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31)
MONTH_NAMES = ("January", "February", "March", "April", "May", "June", "July", "August", "September", "October",
               "November", "December")
TURNING_DAYS = 61
"""So many days before a planning year begins its plan may be made, and what is lived counts for it."""
WEEKDAYS = ("mon", "tue", "wed", "thu", "fri", "sat", "sun")


def month_means(values: np.ndarray) -> np.ndarray:
    """(..., 12) means over the months of (..., 365) daily values; twelve values are taken as they are."""
    values = np.asarray(values, dtype=float)
    if values.shape[-1] == len(MONTH_LENGTHS):
        return values
    return np.add.reduceat(values, MONTH_STARTS, axis=-1) / np.array(MONTH_LENGTHS)


def day_index(day: date) -> int:
    """Index 0..364 of a date in the 365-day climate year; 29 February counts as 28 February."""
    return MONTH_STARTS[day.month - 1] + min(day.day, MONTH_LENGTHS[day.month - 1]) - 1


def month_day(index: int) -> tuple[int, int]:
    """Month and day of a climate-year index (taken modulo 365)."""
    index %= DAYS
    month = max(m for m in range(12) if MONTH_STARTS[m] <= index)
    return month + 1, index - MONTH_STARTS[month] + 1


def index_label(index: int) -> str:
    """"MM-DD" of a climate-year index."""
    month, day = month_day(index)
    return f"{month:02d}-{day:02d}"


def is_south(latitude_deg: float) -> bool:
    """Whether the planning year runs July to June. The equator itself counts as north."""
    return latitude_deg < 0


def planning_start(year: int, latitude_deg: float) -> date:
    """First day of the planning year."""
    return date(year, 7, 1) if is_south(latitude_deg) else date(year, 1, 1)


def planning_days(year: int, latitude_deg: float) -> tuple[date, ...]:
    """Every date of the planning year, 365 or 366 of them."""
    start, end = planning_start(year, latitude_deg), planning_start(year + 1, latitude_deg)
    return tuple(start + timedelta(days=n) for n in range((end - start).days))


def next_season_year(today: date, latitude_deg: float) -> int:
    """The year to plan when none is given: the planning year of today, or the one after it in its last two months."""
    return planning_year(today + timedelta(days=TURNING_DAYS), latitude_deg)


def planning_year(day: date, latitude_deg: float) -> int:
    """The planning year that holds a day."""
    return day.year - 1 if is_south(latitude_deg) and day.month < 7 else day.year


def midsummer(year: int, latitude_deg: float) -> date:
    """The summer solstice's usual day: 21 June, or 21 December of the planning year in the south."""
    return date(year, 12, 21) if is_south(latitude_deg) else date(year, 6, 21)


def is_move_day(day: date, move_days: tuple[str, ...], shut: Collection[date] = ()) -> bool:
    """Whether moves are allowed on this date: on these days of the week (an empty tuple allows any), unless shut."""
    return (not move_days or WEEKDAYS[day.weekday()] in move_days) and day not in shut


def next_move_day(day: date, move_days: tuple[str, ...], shut: Collection[date] = ()) -> date:
    """The first allowed day on or after `day`."""
    while not is_move_day(day, move_days, shut):
        day += timedelta(days=1)
    return day


def previous_move_day(day: date, move_days: tuple[str, ...], shut: Collection[date] = ()) -> date:
    """The last allowed day on or before `day`."""
    while not is_move_day(day, move_days, shut):
        day -= timedelta(days=1)
    return day
