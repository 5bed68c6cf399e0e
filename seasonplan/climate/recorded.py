"""The same dates and counts straight from a daily record: what happened, year by year, without a model.

A half-year (coldest day to warmest, or back) of one year counts when at most MISSING_SHARE of its nights are
missing; the nights that are missing then count as not cold. Both halves need USABLE_YEARS such years.
"""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from seasonplan.climate.years import year_matrix
from seasonplan.dates import DAYS
from seasonplan.model import NightClimate, NightTables, Record, Site

USABLE_YEARS = 15
MISSING_SHARE = 0.05


def recorded_tables(record: Record, site: Site, thresholds_c: Sequence[float] | np.ndarray,
                    climate: NightClimate) -> NightTables | None:
    """Shares of recorded years with a night <= each threshold [°C at the site], by day; None under 15 usable years.

    The station's lows are shifted to the site. Halves and their ends are those of `climate`.
    """
    thresholds = np.atleast_1d(np.asarray(thresholds_c, dtype=float))
    lows = year_matrix(record, climate.cold_index) + site.night_shift_c
    length = (climate.turn_index - climate.cold_index) % DAYS
    spring, autumn = _usable(lows[:, :length]), _usable(lows[:, length:])
    if min(len(spring), len(autumn)) < USABLE_YEARS:
        return None
    after, before, expected_after, expected_before = (np.zeros((len(thresholds), DAYS)) for _ in range(4))
    spring_days = (climate.turn_index - 1 - np.arange(length)) % DAYS
    autumn_days = (climate.turn_index + np.arange(DAYS - length)) % DAYS
    after[:, spring_days], expected_after[:, spring_days] = _had_and_count(spring[:, ::-1], thresholds)
    before[:, autumn_days], expected_before[:, autumn_days] = _had_and_count(autumn, thresholds)
    return NightTables(thresholds, after, before, expected_after, expected_before,
                       climate.turn_index, climate.cold_index, "record")


def _usable(half: np.ndarray) -> np.ndarray:
    return half[np.isnan(half).mean(axis=1) <= MISSING_SHARE]


def _had_and_count(half: np.ndarray, thresholds: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
    """Share of years that have had a cold night by each column, and mean number of them: (thresholds, columns)."""
    cold = np.cumsum(half[None] <= thresholds[:, None, None], axis=2)
    return (cold > 0).mean(axis=1), cold.mean(axis=1)
