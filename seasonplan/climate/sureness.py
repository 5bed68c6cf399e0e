"""How sure the dates are, in days and in a sentence.

Where the spread of nights was given, what is left is mostly chance: at the stations of tests/truth/test_aquacrop.py
the median and 1-in-10 dates fall 3 to 5 days from those of the years behind the normals. Where it was estimated, its
error adds: a date sits about two sd below the mean curve there, so a share e of error moves it by 2 e sd / slope days.
"""

from __future__ import annotations

import numpy as np

from seasonplan.climate.fitted import fitted
from seasonplan.dates import DAYS

DATE_ERROR_DAYS = 4.0
"""Typical error of a date with the spread given; see tests/truth/table.py, which prints it by station."""
SD_BELOW_MEAN = 2.0
LONGEST_ERROR_DAYS = 45.0
FLATTEST_C_PER_DAY = 1e-3


def notes_on(mean_c: np.ndarray, sd_c: np.ndarray, turn: int, cold: int, sd_source: str) -> tuple[str, ...]:
    """What the person should know about the dates; mean_c and sd_c (365,) [°C]."""
    if sd_source == "normals":
        return ()
    if sd_source == "record":
        return ("The normals give no day-to-day spread of night lows; it was measured on the record.",)
    spring, autumn = (date_error_days(mean_c, sd_c, _middle(a, b)) for a, b in ((cold, turn), (turn, cold)))
    share = round(100 * fitted("sd_error"))
    return (f"The day-to-day spread of night lows is assumed: {sd_c.min():.1f} to {sd_c.max():.1f} °C, estimated from "
            f"the monthly lows and the latitude, right to about {share} %. With twelve numbers alone, spring dates are "
            f"sure to about {spring:.0f} days and autumn dates to about {autumn:.0f}; a column tmin_sd_c or a daily "
            f"record makes that about {DATE_ERROR_DAYS:.0f}.",)


def date_error_days(mean_c: np.ndarray, sd_c: np.ndarray, days: np.ndarray) -> float:
    """Typical error [days] of a date around the given day indices when the spread was estimated."""
    slope = float(np.mean(np.abs(np.roll(mean_c, -1) - np.roll(mean_c, 1))[days])) / 2
    shift = SD_BELOW_MEAN * fitted("sd_error") * float(np.mean(sd_c[days])) / max(slope, FLATTEST_C_PER_DAY)
    return min(float(np.hypot(DATE_ERROR_DAYS, shift)), LONGEST_ERROR_DAYS)


def _middle(start: int, end: int) -> np.ndarray:
    """Day indices of the middle half of the span from `start` to `end`."""
    length = (end - start) % DAYS
    return (start + np.arange(length // 4, length - length // 4)) % DAYS
