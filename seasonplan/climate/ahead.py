"""The nights after a known one: they start from what it was and fade into what is usual for the season."""

from __future__ import annotations

from datetime import date, timedelta

import numpy as np

from seasonplan.dates import DAYS, day_index
from seasonplan.model import NightClimate


def nights_ahead(climate: NightClimate, start: date, known_low_c: float | np.ndarray,
                 known_sd_c: float | np.ndarray, nights: int) -> tuple[np.ndarray, np.ndarray]:
    """Mean and standard deviation of the lows [°C] of the `nights` nights that follow the night `start`.

    known_low_c, known_sd_c: low of the night `start` at the site and its standard error (0 = observed), numbers or
    arrays of one shape (...,); the answers are (..., nights). Each low is normal given the known one: with c the
    correlation over the gap, mean = m_d + sd_d c z and variance = sd_d^2 (1 - c^2 + c^2 s^2), where z and s are the
    known departure and its error in units of that night's sd.
    """
    first = day_index(start)
    days = np.array([day_index(start + timedelta(days=n + 1)) for n in range(nights)], dtype=int)
    link = _correlation(climate, first, days)
    departure = (np.asarray(known_low_c, dtype=float)[..., None] - climate.mean_c[first]) / climate.sd_c[first]
    error = np.asarray(known_sd_c, dtype=float)[..., None] / climate.sd_c[first]
    mean = climate.mean_c[days] + climate.sd_c[days] * link * departure
    spread = climate.sd_c[days] * np.sqrt(1 - link**2 + (link * error) ** 2)
    return mean, spread + np.zeros_like(mean)


def _correlation(climate: NightClimate, first: int, days: np.ndarray) -> np.ndarray:
    """Correlation of the night `first` with each of `days` that follow it one by one: (len(days),)."""
    share = np.broadcast_to(climate.details.get("year_share", 0.0), (DAYS,))
    fast = np.cumprod((climate.lag1[days] - share[days]) / (1 - share[days]))
    return np.sqrt(share[first] * share[days]) + np.sqrt((1 - share[first]) * (1 - share[days])) * fast
