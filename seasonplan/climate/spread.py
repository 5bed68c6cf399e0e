"""How much the low of one night differs from what is normal for its date: the day-to-day standard deviation.

Given with the normals, else measured on the record, else estimated. The estimate is

    log sd = constant + a log(range) + b m + c warm(m) + d |latitude| + e height + f season,
    warm(m) = 3 log(1 + exp((m - 14) / 3)),

with m the month's normal low [°C], range the warmest minus the coldest month, at least NARROWEST_RANGE_C, height in km
and season the yearly wave's sine: one at the middle of autumn, minus one at the middle of spring, less where the wave
is below EVEN_WAVE_C. Nights vary more where the year swings more, and less when they are warm and moist. High up they
vary less: cold air that streams off has little above it to be mixed with, so the coldest nights are near the usual
ones (our reading; the numbers are what days of frost show). The coefficients and their error are in
data/night_model.csv; the daily range was tried too and helps nothing that height does not.
"""

from __future__ import annotations

import numpy as np

from seasonplan.climate.curves import month_curve, smooth_days
from seasonplan.climate.fitted import fitted
from seasonplan.dates import DAYS, month_means

NARROWEST_RANGE_C = 2.0
LEAST_SHARE = 0.5
"""A smooth curve through uneven monthly values never falls below this share of the smallest of them."""
MOST_DRIFT = 0.7
"""Share of the variance that drift can be; a sd that would be more cannot be of the kind it is said to be."""
WARM_C, WARM_STEP_C = 14.0, 3.0
HIGHEST_M, EVEN_WAVE_C = 3000.0, 3.0


def given_sd(mean_c: np.ndarray, sd_c: np.ndarray, kind: str = "") -> np.ndarray:
    """(365,) sd [°C] from given daily values (365,) or monthly ones (12,); mean_c: (365,) the normal lows.

    kind: what the sd is. "about-daily-mean": about the normal of the date, as it is. "all-nights": over all nights of
    the month, so the warming or cooling within the month ("drift") is in it and is taken out. "within-month": the mean
    of single years' sd over the month's nights; drift is taken out, and what a month's mean differs from year to year
    is put in ("within_month_share"). "": not said. Daily values are then about the date's normal; of monthly ones half
    of the drift ("drift_counted") is taken out, though no more than a small share of the variance ("drift_most").
    """
    sd_c = np.asarray(sd_c, dtype=float)
    if kind in ("", "about-daily-mean") and len(sd_c) == DAYS:
        return np.maximum(smooth_days(sd_c), LEAST_SHARE * sd_c.min())
    monthly_c = np.sqrt(month_means(sd_c**2)) if len(sd_c) == DAYS else sd_c
    free = _free_of_drift(monthly_c, drift_variance(mean_c), kind)
    return np.maximum(month_curve(free), LEAST_SHARE * free.min())


def _free_of_drift(sd_c: np.ndarray, drift: np.ndarray, kind: str) -> np.ndarray:
    """(12,) sd of one night about the normal of its date from the monthly sd of that kind."""
    if kind == "about-daily-mean":
        return sd_c
    if not kind:
        return np.sqrt(sd_c**2 - np.minimum(fitted("drift_counted") * drift, fitted("drift_most") * sd_c**2))
    free = sd_c**2 - np.minimum(drift, MOST_DRIFT * sd_c**2)
    return np.sqrt(free / (fitted("within_month_share") if kind == "within-month" else 1.0))


def drift_variance(mean_c: np.ndarray) -> np.ndarray:
    """Variance of the normal low itself over each month [°C^2]: (365,) to (12,)."""
    return np.maximum(month_means(mean_c**2) - month_means(mean_c) ** 2, 0.0)


def recorded_sd(lows_c: np.ndarray, mean_c: np.ndarray) -> np.ndarray:
    """(365,) sd [°C] of recorded lows (years, 365) about the record's own mean for the date.

    mean_c: (365,) the shape of the year; each month's mean departure from it is taken out, so that normals of
    another period do no harm.
    """
    departures = np.asarray(lows_c) - mean_c
    known = ~np.isnan(departures)
    count = month_means(known.sum(axis=0))
    mean = month_means(np.where(known, departures, 0.0).sum(axis=0)) / count
    square = month_means(np.where(known, departures**2, 0.0).sum(axis=0)) / count
    monthly = np.sqrt(square - mean**2)
    return np.maximum(month_curve(monthly), LEAST_SHARE * monthly.min())


def estimated_sd(monthly_c: np.ndarray, latitude_deg: float, height_m: float) -> np.ndarray:
    """(12,) estimated monthly sd [°C] from the monthly normal lows (12,) [°C]; see the module for the formula."""
    monthly_c = np.asarray(monthly_c, dtype=float)
    swing = np.log(max(float(np.ptp(monthly_c)), NARROWEST_RANGE_C))
    warm = WARM_STEP_C * np.log1p(np.exp((monthly_c - WARM_C) / WARM_STEP_C))
    height_km = min(max(height_m, 0.0), HIGHEST_M) / 1000
    return np.exp(fitted("sd_constant") + fitted("sd_log_range") * swing + fitted("sd_mean") * monthly_c
                  + fitted("sd_warm") * warm + fitted("sd_latitude") * abs(latitude_deg)
                  + fitted("sd_height") * height_km + fitted("sd_season") * _season(monthly_c))


def _season(monthly_c: np.ndarray) -> np.ndarray:
    """(12,) sine of the yearly wave: positive while nights cool."""
    wave = np.fft.rfft(monthly_c)[1] / 6
    return np.sin(2 * np.pi * np.arange(12) / 12 + np.angle(wave)) * min(1.0, abs(wave) / EVEN_WAVE_C)
