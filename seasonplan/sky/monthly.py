"""Twelve monthly means against the 365-day year."""

from __future__ import annotations

import numpy as np

from seasonplan.dates import DAYS, MONTH_LENGTHS, MONTH_STARTS

MONTH_OF_DAY = np.repeat(np.arange(12), MONTH_LENGTHS)
MONTH_MIDDLES = np.array(MONTH_STARTS) + np.array(MONTH_LENGTHS) / 2


def by_month(daily: np.ndarray) -> np.ndarray:
    """Monthly means (12,) of a 365-day series."""
    return np.bincount(MONTH_OF_DAY, daily, 12) / np.array(MONTH_LENGTHS)


def monthly_mean(values: np.ndarray) -> np.ndarray:
    """(12,) from monthly (12,) or daily (365,) values."""
    values = np.asarray(values, float)
    return values if len(values) == 12 else by_month(values)


def between_months(nodes: np.ndarray) -> np.ndarray:
    """Straight lines between values (12,) at the middles of the months, round the year (365,)."""
    return np.interp(np.arange(DAYS) + 0.5, MONTH_MIDDLES, nodes, period=DAYS)
