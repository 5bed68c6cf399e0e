"""Twelve monthly means against the 365-day year."""

from __future__ import annotations

import numpy as np

from seasonplan.dates import DAYS, MONTH_LENGTHS, MONTH_STARTS

MONTH_MIDDLES = np.array(MONTH_STARTS) + np.array(MONTH_LENGTHS) / 2


def between_months(nodes: np.ndarray) -> np.ndarray:
    """Straight lines between values (12,) at the middles of the months, round the year (365,)."""
    return np.interp(np.arange(DAYS) + 0.5, MONTH_MIDDLES, nodes, period=DAYS)
