"""A daily record laid out year by year."""

from __future__ import annotations

import numpy as np

from seasonplan.dates import DAYS, MONTH_LENGTHS, MONTH_STARTS
from seasonplan.model import Record


def year_matrix(record: Record, first_index: int = 0) -> np.ndarray:
    """Lows by year and day [°C], NaN = missing: (years, 365), column 0 = day `first_index` of the climate year.

    Each row runs from that day of one calendar year to the day before it in the next; years without any night are
    left out. Of 28 and 29 February the colder night counts, on the index they share.
    """
    dates = record.dates.astype("datetime64[D]")
    if len(dates) == 0:
        return np.empty((0, DAYS))
    years = dates.astype("datetime64[Y]")
    months = (dates.astype("datetime64[M]") - years.astype("datetime64[M]")).astype(int)
    in_month = (dates - dates.astype("datetime64[M]").astype("datetime64[D]")).astype(int)
    index = np.array(MONTH_STARTS)[months] + np.minimum(in_month, np.array(MONTH_LENGTHS)[months] - 1)
    day = (years.astype(int) - int(years[0].astype(int)) + 1) * DAYS + index - first_index
    lows = np.full((int(day.max()) // DAYS + 1) * DAYS, np.inf)
    given = ~np.isnan(record.tmin_c)
    np.minimum.at(lows, day[given], record.tmin_c[given])
    matrix = np.where(np.isinf(lows), np.nan, lows).reshape(-1, DAYS)
    return matrix[~np.isnan(matrix).all(axis=1)]


def month_lows(lows_c: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
    """Number of recorded nights and mean low [°C] of each calendar month; lows_c: (years, 365) from 1 January.

    Both (12,); the mean of a month without nights is NaN.
    """
    known = ~np.isnan(lows_c)
    edges = np.array(MONTH_STARTS)
    counts = np.add.reduceat(known.sum(axis=0), edges)
    sums = np.add.reduceat(np.where(known, lows_c, 0.0).sum(axis=0), edges)
    return counts, np.where(counts > 0, sums / np.maximum(counts, 1), np.nan)
