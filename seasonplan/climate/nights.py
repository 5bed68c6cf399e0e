"""The night lows of a site as a random process through the year.

The low of day d is mean_d + sd_d s, and s is nearly normal: a standard normal z stands behind it through a
Cornish-Fisher expansion with a small skewness (the cold tail is longer in spring than in autumn, in spring longer
towards the subtropics and shorter towards the pole, and longer where nights vary little) and slightly lighter tails
than the normal's. Behind the nights of a half-year, z = sqrt(w) y +
sqrt(1 - w) x: y is the half-year's own departure, x passes from night to night with a fixed correlation. The numbers
are in data/night_model.csv; `details` of a NightClimate holds them by day: "year_share" (w), "skew", each (365,), and
"excess_kurtosis".
"""

from __future__ import annotations

import numpy as np

from seasonplan.climate.curves import normal_chance, year_curve
from seasonplan.climate.fitted import fitted
from seasonplan.climate.spread import estimated_sd, given_sd, recorded_sd
from seasonplan.climate.sureness import notes_on
from seasonplan.climate.years import month_lows, year_matrix
from seasonplan.dates import DAYS, month_means
from seasonplan.model import NightClimate, Normals, Record, Site

NEAREST_ENDS_DAYS = 60
FLAT_RANGE_C = 0.05
NORTH_MIDSUMMER, SOUTH_MIDSUMMER = 171, 354
"""Day indices of the usual solstices, 21 June and 21 December."""
NIGHTS_FOR_SD = 75
"""Nights that a record must hold in every calendar month before its spread is used: about two and a half years."""
LATITUDE_STEP_DEG = 10.0
"""Skewness in spring changes with latitude over so many degrees to either side of the even one, and no further."""
FAR_OUT = 6.0
"""Beyond so many sd the expansion is carried on in a straight line."""


def night_climate(normals: Normals | None, record: Record | None, site: Site) -> NightClimate:
    """The night climate at the site from its station's normals and record, the station's shift applied.

    Mean: the normals, else the record; a record with NIGHTS_FOR_SD nights of every month wins over estimated normals
    ("estimated"). Spread: the normals, else such a record, else the estimate of climate.spread ("assumed"). ValueError
    when there are neither normals nor a record with every month in it.
    """
    lows = None if record is None else year_matrix(record)
    mean_c, mean_source = _station_mean(normals, lows)
    sd_c, sd_source = _station_sd(normals, lows, mean_c, site.latitude_deg)
    turn, cold = season_ends(mean_c, site.latitude_deg)
    details = {"year_share": np.full(DAYS, fitted("year_share")), "skew": _skewness(sd_c, turn, site.latitude_deg),
               "excess_kurtosis": fitted("excess_kurtosis")}
    return NightClimate(mean_c + site.night_shift_c, sd_c, np.full(DAYS, fitted("lag1")), turn, cold, mean_source,
                        sd_source, details, notes_on(normals, mean_c, sd_c, turn, cold, mean_source, sd_source))


def _station_mean(normals: Normals | None, lows: np.ndarray | None) -> tuple[np.ndarray, str]:
    counts, means = month_lows(lows if lows is not None else np.full((1, DAYS), np.nan))
    if normals is not None and normals.estimate is None:
        return year_curve(normals.tmin_c), "normals"
    if normals is not None and counts.min() < NIGHTS_FOR_SD:
        return year_curve(normals.tmin_c), "estimated"
    if not np.all(counts):
        raise ValueError("neither normals nor a record with nights in every month")
    return year_curve(means), "record"


def _station_sd(normals: Normals | None, lows: np.ndarray | None, mean_c: np.ndarray,
                latitude_deg: float) -> tuple[np.ndarray, str]:
    if normals is not None and normals.tmin_sd_c is not None:
        return given_sd(mean_c, normals.tmin_sd_c), "normals"
    if lows is not None and month_lows(lows)[0].min() >= NIGHTS_FOR_SD:
        return recorded_sd(lows, mean_c), "record"
    return year_curve(estimated_sd(month_means(mean_c), latitude_deg)), "assumed"


def season_ends(mean_c: np.ndarray, latitude_deg: float) -> tuple[int, int]:
    """The day the nights are warmest, and the day they are coldest, at least NEAREST_ENDS_DAYS from it.

    A year flatter than FLAT_RANGE_C has neither: then the summer solstice, and the day half a year from it.
    """
    if np.ptp(mean_c) < FLAT_RANGE_C:
        turn = SOUTH_MIDSUMMER if latitude_deg < 0 else NORTH_MIDSUMMER
        return turn, (turn + DAYS // 2) % DAYS
    turn = int(np.argmax(mean_c))
    away = np.arange(NEAREST_ENDS_DAYS, DAYS - NEAREST_ENDS_DAYS + 1)
    return turn, int((turn + away[np.argmin(mean_c[(turn + away) % DAYS])]) % DAYS)


def _skewness(sd_c: np.ndarray, turn: int, latitude_deg: float) -> np.ndarray:
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
    return normal_behind(near, skew, kurtosis) + np.where(scaled == near, 0.0, scaled - near)


def normal_behind(scaled: np.ndarray, skew: np.ndarray | float, kurtosis: np.ndarray | float) -> np.ndarray:
    """The standard normal value with the same chance as a value of mean 0 and variance 1 with this skewness and
    excess kurtosis: the inverse Cornish-Fisher expansion to second order (coefficients from memory; the mean, sd and
    skewness that come of them are tested)."""
    square = scaled * scaled
    return scaled * (1 - kurtosis / 24 * (square - 3) + skew**2 / 36 * (4 * square - 7)) - skew / 6 * (square - 1)


def night_chance(climate: NightClimate, thresholds_c: float | np.ndarray) -> np.ndarray:
    """Chance of a low <= threshold [°C] on each day of the year: (365,) for a number, (k, 365) for (k,) thresholds."""
    return normal_chance(standard_levels(climate, np.asarray(thresholds_c, dtype=float)[..., None] + np.zeros(DAYS)))
