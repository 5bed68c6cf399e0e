"""Local dates and clock times against time in seconds since 1970 UTC: days of 23, 24 and 25 hours."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import UTC, date, datetime, time, timedelta
from zoneinfo import ZoneInfo

import numpy as np

DAY_S = 86400


@dataclass(frozen=True, eq=False)
class Steps:
    """Equal steps through local dates. day (n,): index into the dates; middle_s (n,): seconds since 1970 UTC of the
    middle of the step; clock_min (n,): local clock at its start, minutes after midnight; starts_s, ends_s (dates,):
    the local midnights before and after each date; step_min: length of a step."""

    day: np.ndarray
    middle_s: np.ndarray
    clock_min: np.ndarray
    starts_s: np.ndarray
    ends_s: np.ndarray
    step_min: int


def midnights_s(dates: Sequence[date], timezone: str) -> np.ndarray:
    """Local midnight at the start of each date [s since 1970 UTC] -> (n,) float."""
    zone = ZoneInfo(timezone)
    return np.array([datetime.combine(day, time(), zone).timestamp() for day in dates])


def local_steps(dates: Sequence[date], timezone: str, step_min: int) -> Steps:
    """Steps of step_min minutes from local midnight to local midnight of every date.

    step_min divides an hour. A date that the zone left out (a jump over the date line) has no steps.
    """
    if not dates or 60 % step_min:
        raise ValueError("at least one date, and a step that divides an hour")
    starts = midnights_s(dates, timezone)
    ends = midnights_s([day + timedelta(days=1) for day in dates], timezone)
    counts = np.rint((ends - starts) / (60 * step_min)).astype(int)
    day = np.repeat(np.arange(len(dates)), counts)
    number = np.arange(len(day)) - np.repeat(np.cumsum(counts) - counts, counts)
    clock = number * float(step_min)
    for odd in np.flatnonzero(ends - starts != DAY_S).tolist():
        within = day == odd
        clock[within] = _clock_minutes(dates[odd], starts[odd] + 60.0 * clock[within], timezone)
    return Steps(day, starts[day] + 60.0 * step_min * (number + 0.5), clock, starts, ends, step_min)


def _clock_minutes(day: date, instants_s: np.ndarray, timezone: str) -> list[float]:
    """What the clock shows at each instant of a day on which it is changed [minutes after that day's midnight]."""
    zone, midnight = ZoneInfo(timezone), datetime.combine(day, time())
    shown = [datetime.fromtimestamp(s, UTC).astimezone(zone).replace(tzinfo=None) for s in instants_s.tolist()]
    return [(moment - midnight).total_seconds() / 60 for moment in shown]
