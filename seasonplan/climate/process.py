"""The night lows of a site as a random process through the year.

The low of day d is mean_d + sd_d s, and s is nearly normal: a standard normal z stands behind it through a
Cornish-Fisher expansion with a small skewness (the cold tail is longer in spring than in autumn, in spring longer
towards the subtropics and shorter towards the pole, and longer where nights vary little) and slightly lighter tails
than the normal's. Behind the nights of a half-year, z = sqrt(w) y +
sqrt(1 - w) x: y is the half-year's own departure, x passes from night to night with a fixed correlation. The numbers
are in data/night_model.csv; `details` of a NightClimate holds them by day: "year_share" (w), "skew", each (365,), and
"excess_kurtosis".

Where the sd is an estimate, "spread_doubt" (365,) holds the share d of it that it may be wrong by (sd). That is the
same for all nights of a half-year, too: a level z sd from the mean may as well be z (1 + d v) sd from it, v standard
normal. So chances are those of a departure with the variance w + (z d)^2 in common, all of it held in one number by
level: levels are given in units of the root of 1 + (z d)^2, and `shared` says what is in common of that unit's square.
"""

from __future__ import annotations

from dataclasses import replace

import numpy as np

from seasonplan.climate.curves import normal_chance
from seasonplan.climate.fitted import fitted
from seasonplan.dates import DAYS
from seasonplan.model import NightClimate

LATITUDE_STEP_DEG = 10.0
"""Skewness in spring changes with latitude over so many degrees to either side of the even one, and no further."""
FAR_OUT = 6.0
"""Beyond so many sd the expansion is carried on in a straight line, and the doubt about the spread grows no more."""


def with_spread(climate: NightClimate, sd_c: np.ndarray, latitude_deg: float) -> NightClimate:
    """The climate with this sd (365,) [°C] and the skewness that goes with it."""
    skew = usual_skewness(sd_c, climate.turn_index, latitude_deg)
    return replace(climate, sd_c=sd_c, details=climate.details | {"skew": skew})


def usual_skewness(sd_c: np.ndarray, turn: int, latitude_deg: float) -> np.ndarray:
    """(365,) skewness of the lows: by season, in spring by latitude, and by how narrow the spread is.

    Cold outbreaks leave a long cold tail equatorward of the storm tracks, warm spells a long warm one poleward.
    """
    season = np.sin(2 * np.pi * (np.arange(DAYS) - turn) / DAYS)
    poleward = np.clip((abs(latitude_deg) - fitted("skew_even_latitude")) / LATITUDE_STEP_DEG, -1.0, 1.0)
    return (fitted("skew_swing") * season + fitted("skew_poleward") * poleward * (1 - season) / 2
            + fitted("skew_narrow") * np.minimum(np.log(sd_c / sd_c.mean()), 0.0))


def standard_levels(climate: NightClimate, levels_c: np.ndarray) -> np.ndarray:
    """Where levels [°C at the site], (..., 365), stand on the scale of the standard normal behind each day's low.

    Same shape; infinite levels stay infinite. Climates without "skew" or "excess_kurtosis" are plain normal.
    """
    scaled = (np.asarray(levels_c, dtype=float) - climate.mean_c) / climate.sd_c
    skew, kurtosis = climate.details.get("skew", 0.0), climate.details.get("excess_kurtosis", 0.0)
    near = np.clip(scaled, -FAR_OUT, FAR_OUT)
    standard = normal_behind(near, skew, kurtosis) + np.where(scaled == near, 0.0, scaled - near)
    return standard / np.sqrt(1 + (np.clip(standard, -FAR_OUT, FAR_OUT) * _doubt(climate)) ** 2)


def shared(climate: NightClimate, standard: np.ndarray) -> np.ndarray:
    """The share of the variance that all nights of a half-year have in common at levels of standard_levels: the same
    shape, (..., 365)."""
    share, most = climate.details.get("year_share", 0.0), (FAR_OUT * _doubt(climate)) ** 2
    near = np.clip(standard, -FAR_OUT, FAR_OUT)
    return share + (1 - share) * np.minimum((near * _doubt(climate)) ** 2, most / (1 + most))


def _doubt(climate: NightClimate) -> np.ndarray:
    return np.asarray(climate.details.get("spread_doubt", 0.0))


def normal_behind(scaled: np.ndarray, skew: np.ndarray | float, kurtosis: np.ndarray | float) -> np.ndarray:
    """The standard normal value with the same chance as a value of mean 0 and variance 1 with this skewness and
    excess kurtosis: the inverse Cornish-Fisher expansion to second order (coefficients from memory; the mean, sd and
    skewness that come of them are tested)."""
    square = scaled * scaled
    return scaled * (1 - kurtosis / 24 * (square - 3) + skew**2 / 36 * (4 * square - 7)) - skew / 6 * (square - 1)


def night_chance(climate: NightClimate, thresholds_c: float | np.ndarray) -> np.ndarray:
    """Chance of a low <= threshold [°C] on each day of the year: (365,) for a number, (k, 365) for (k,) thresholds."""
    return normal_chance(standard_levels(climate, np.asarray(thresholds_c, dtype=float)[..., None] + np.zeros(DAYS)))
