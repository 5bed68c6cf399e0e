"""What days of frost near a place tell of the spread of its nights.

A month with mean low m > 0 in which a share p of nights falls below 0 °C has the sd that puts m just so far above
freezing: as far as climate.process puts the chance p, the drift of the month's own mean taken out. How much wider or
narrower than estimated that is, at stations round about, is carried over to the months of the place that are like
theirs, less with distance, season and warmth.
"""

from __future__ import annotations

from statistics import NormalDist

import numpy as np

from seasonplan.climate.fitted import fitted
from seasonplan.climate.process import normal_behind, usual_skewness
from seasonplan.climate.spread import estimated_sd
from seasonplan.dates import DAYS, MONTH_LENGTHS, MONTH_STARTS
from seasonplan.model import NearFrost

LEAST_SHARE, MOST_SHARE = 0.05, 0.40
"""Shares of frosty nights that tell the sd: fewer are the far tail's doing, more hardly depend on it."""
WARMER_C = 1.0
"""Freezing must lie so far below the mean low to tell the sd."""
MOST_LOG = 1.0
"""No station changes the estimate by more than a factor e."""
STEPS = 12
_MIDDLES = np.array(MONTH_STARTS) + np.array(MONTH_LENGTHS) // 2


def spread_factor(monthly_c: np.ndarray, near: NearFrost) -> tuple[np.ndarray, float]:
    """((12,) what to multiply the estimated sd by at a place with these mean lows [°C], how much is known, 0 to 1)."""
    told = told_logs(near)
    months = np.arange(12)
    apart = np.abs(months[:, None] - months)
    apart = np.minimum(apart, 12 - apart)[:, None, :]
    warmer_c = monthly_c[:, None, None] - near.low_c
    weight = near.weight[:, None] * np.exp(-(apart / fitted("frost_months")) ** 2
                                           - (warmer_c / fitted("frost_degrees")) ** 2)
    weight = np.where(np.isnan(told), 0.0, weight)
    known = weight.sum(axis=(1, 2))
    log = (weight * np.nan_to_num(told)).sum(axis=(1, 2)) / (known + fitted("frost_doubt"))
    return np.exp(log), float(np.max(known / (known + fitted("frost_doubt"))))


def told_logs(near: NearFrost) -> np.ndarray:
    """(n, 12) log of the sd that the frost of each station's months tells over the one estimated; NaN where it tells
    nothing."""
    skew = np.stack([_skew(*one) for one in zip(near.low_c, near.latitude_deg, strict=True)])
    usual = np.stack([estimated_sd(*one) for one in zip(near.low_c, near.latitude_deg, near.height_m, strict=True)])
    tells = (near.share > LEAST_SHARE) & (near.share < MOST_SHARE) & (near.low_c > WARMER_C)
    depth = np.where(tells, -_scaled_of(np.where(tells, near.share, 0.1), skew), 1.0)
    drift = ((np.roll(near.low_c, -1, axis=1) - np.roll(near.low_c, 1, axis=1)) / 2) ** 2 / 12
    variance = (near.low_c / depth) ** 2 - drift
    tells &= (depth > 0) & (variance > 0)
    log = np.log(np.where(tells, variance, 1.0)) / 2 - np.log(usual)
    return np.where(tells, np.clip(log, -MOST_LOG, MOST_LOG), np.nan)


def _skew(low_c: np.ndarray, latitude_deg: float) -> np.ndarray:
    """(12,) skewness in the middle of each month, of nights that vary alike through the year."""
    return usual_skewness(np.ones(DAYS), int(_MIDDLES[np.argmax(low_c)]), latitude_deg)[_MIDDLES]


def _scaled_of(chance: np.ndarray, skew: np.ndarray) -> np.ndarray:
    """How many sd from the mean the value lies that is undercut with these chances: normal_behind turned round."""
    wanted = np.vectorize(NormalDist().inv_cdf)(chance)
    scaled = wanted
    for _ in range(STEPS):
        scaled = scaled + wanted - normal_behind(scaled, skew, fitted("excess_kurtosis"))
    return scaled
