"""The mean of each month's lowest night, which many national tables print, and the spread of nights that it tells.

How far the lowest of a month's nights lies below their mean depends on how far nights stray (about 1.84 sd, 1.70 to
1.99 as the month warms or cools and nights are skewed), on how much one night resembles the next, and on nothing else
in the night model. So the mean lowest of a climate is computed, by the recursion of climate.passage over the nights
of the month, and the sd is the one with which it equals the number given. Dates rest on the cold tail, which the
lowest night tells more directly than a sd does: where warm nights stray farther than cold ones (a positive skew), a
sd alone puts the last cold nights of spring too late.
"""

from __future__ import annotations

from collections.abc import Callable

import numpy as np

from seasonplan.climate.curves import month_curve
from seasonplan.climate.fitted import fitted
from seasonplan.climate.passage import stay_above
from seasonplan.climate.process import standard_levels
from seasonplan.climate.spread import LEAST_SHARE
from seasonplan.dates import DAYS, MONTH_LENGTHS, MONTH_STARTS, month_means
from seasonplan.model import NightClimate

SCALED_LEVELS = np.arange(-7.5, 2.0, 0.25)
"""Levels over which the chance that the lowest is above is added up, in sd from the month's mean."""
USUAL_DEPTH = 1.84
LEAST_SD_C, MOST_SD_C = 0.2, 20.0
STEPS, OVERSHOOT = 6, 1.1
"""Steps of the search for the sd, each by the ratio of the depths to a power that makes up for the part of a depth
that is the month's own warming or cooling. tests/climate/test_lowest.py holds what is left below 0.01 °C."""
KEPT_WAVES = 4
"""Waves a year kept of the monthly sds; a month's lowest night of 30 years is known to about 7 % of the sd."""


def mean_lowest(climate: NightClimate) -> np.ndarray:
    """(12,) mean of the lowest night of each calendar month [°C]."""
    month_c, sd_c = month_means(climate.mean_c), month_means(climate.sd_c)
    levels_c = month_c[:, None] + sd_c[:, None] * SCALED_LEVELS
    z = np.full((max(MONTH_LENGTHS), *levels_c.shape), -np.inf)
    lag, share = np.zeros_like(z), np.zeros_like(z)
    by_day = standard_levels(climate, np.repeat(levels_c, MONTH_LENGTHS, axis=0).T)
    for month, (first, length) in enumerate(zip(MONTH_STARTS, MONTH_LENGTHS, strict=True)):
        days = slice(first, first + length)
        z[:length, month] = by_day[:, days].T
        lag[:length, month] = climate.lag1[days, None]
        share[:, month] = np.broadcast_to(climate.details.get("year_share", 0.0), (DAYS,))[first]
    above = stay_above(z.reshape(len(z), -1), lag.reshape(len(z), -1), share.reshape(len(z), -1))[-1]
    return levels_c[:, 0] + _area(above.reshape(levels_c.shape), levels_c)


def sd_from_lowest(lowest_c: np.ndarray, with_sd: Callable[[np.ndarray], NightClimate]) -> np.ndarray:
    """(12,) monthly sd [°C] with which the climate's mean lowest nights are lowest_c (12,).

    with_sd: the climate with a given daily sd (365,). Held between LEAST_SD_C and MOST_SD_C.
    """
    month_c = month_means(with_sd(np.ones(DAYS)).mean_c)
    depth = np.maximum(month_c - lowest_c, LEAST_SD_C)
    sd_c = depth / USUAL_DEPTH
    for _ in range(STEPS):
        found = month_c - mean_lowest(with_sd(_daily(sd_c)))
        sd_c = np.clip(sd_c * (depth / found) ** OVERSHOOT, LEAST_SD_C, MOST_SD_C)
    return sd_c


def smooth_sd(monthly_c: np.ndarray) -> np.ndarray:
    """(365,) sd [°C] from monthly ones (12,), the chance of single months calmed."""
    return _daily(np.exp(_calmed(np.log(monthly_c))))


def both_told(given_c: np.ndarray, told_c: np.ndarray) -> np.ndarray:
    """(365,) sd [°C] from a sd given, (365,), and the one that the lowest nights tell, (12,): their geometric mean with
    the weight "both_sd" on the latter. Dates rest on the cold tail, which a warm tail of another length does not move.
    """
    ratio = np.exp(_calmed(np.log(told_c / month_means(given_c))))
    return given_c * _daily(ratio ** fitted("both_sd"))


def _daily(monthly_c: np.ndarray) -> np.ndarray:
    return np.maximum(month_curve(monthly_c), LEAST_SHARE * monthly_c.min())


def _calmed(monthly: np.ndarray) -> np.ndarray:
    waves = np.fft.rfft(monthly)
    waves[KEPT_WAVES + 1:] = 0.0
    return np.fft.irfft(waves, n=12)


def _area(heights: np.ndarray, at: np.ndarray) -> np.ndarray:
    """(N,) areas under (N, K) heights by trapezoids: numpy before 2 has no `trapezoid`."""
    return np.asarray((np.diff(at, axis=1) * (heights[:, 1:] + heights[:, :-1]) / 2.0).sum(axis=1))
