"""From a station's normals or record to the night climate of the site (climate.process says what that is)."""

from __future__ import annotations

from dataclasses import replace

import numpy as np

from seasonplan.climate.curves import year_curve
from seasonplan.climate.fitted import fitted
from seasonplan.climate.frost import spread_factor
from seasonplan.climate.lowest import both_told, sd_from_lowest, smooth_sd
from seasonplan.climate.process import with_spread
from seasonplan.climate.spread import estimated_sd, given_sd, recorded_sd
from seasonplan.climate.sureness import doubt_on_lowest, notes_on
from seasonplan.climate.years import month_lows, year_matrix
from seasonplan.dates import DAYS, month_means
from seasonplan.model import NearFrost, NightClimate, Normals, Record, Site

NEAREST_ENDS_DAYS = 60
FLAT_RANGE_C = 0.05
NORTH_MIDSUMMER, SOUTH_MIDSUMMER = 171, 354
"""Day indices of the usual solstices, 21 June and 21 December."""
KNOWN_WELL = 0.5
"""Share known of the spread (climate.frost) from which its error is that of places with days of frost near by."""
NINE_IN_TEN_SD = 1.645
"""Nine in ten of normal errors lie within so many sd (textbook)."""
NIGHTS_FOR_SD = 75
"""Nights that a record must hold in every calendar month before its spread is used: about two and a half years."""


def night_climate(normals: Normals | None, record: Record | None, site: Site) -> NightClimate:
    """The night climate at the site from its station's normals and record, the station's shift applied.

    Mean: the normals, else the record; a record with NIGHTS_FOR_SD nights of every month wins over estimated normals
    ("estimated"). Spread: the normals (their sd, the mean of each month's lowest night, or both), else such a record,
    else the estimate of climate.spread ("assumed"). ValueError when there are neither normals nor a record with every
    month in it.
    """
    lows = None if record is None else year_matrix(record)
    mean_c, mean_source = _station_mean(normals, lows)
    turn, cold = season_ends(mean_c, site.latitude_deg)
    year_share, lag1 = np.full(DAYS, fitted("year_share")), np.full(DAYS, fitted("lag1"))
    bare = NightClimate(mean_c, np.ones(DAYS), lag1, turn, cold, mean_source, "assumed",
                        {"year_share": year_share, "excess_kurtosis": fitted("excess_kurtosis")})
    climate = _with_told_spread(bare, normals, lows, site)
    climate = replace(climate, mean_c=mean_c + site.night_shift_c, notes=notes_on(normals, climate) + climate.notes)
    if normals is None or normals.estimate is None or mean_source != "estimated":
        return climate
    return _unsure_of_mean(climate, normals.estimate.error_c / NINE_IN_TEN_SD)


def _unsure_of_mean(climate: NightClimate, error_sd_c: float) -> NightClimate:
    """The climate with what its mean may be wrong by [sd, °C] counted as a departure that all nights of a half-year
    share, so that chances are those of places about which no more is known."""
    sd_c = np.hypot(climate.sd_c, error_sd_c)
    own = (climate.sd_c / sd_c) ** 2
    details = {"year_share": 1 - own * (1 - climate.details["year_share"])}
    if "spread_doubt" in climate.details:
        details["spread_doubt"] = climate.details["spread_doubt"] * own
    return replace(climate, sd_c=sd_c, lag1=1 - own * (1 - climate.lag1), details=climate.details | details)


def _station_mean(normals: Normals | None, lows: np.ndarray | None) -> tuple[np.ndarray, str]:
    counts, means = month_lows(lows if lows is not None else np.full((1, DAYS), np.nan))
    if normals is not None and normals.estimate is None:
        return year_curve(normals.tmin_c), "normals"
    if normals is not None and counts.min() < NIGHTS_FOR_SD:
        return year_curve(normals.tmin_c), "estimated"
    if not np.all(counts):
        raise ValueError("neither normals nor a record with nights in every month")
    return year_curve(means), "record"


def _with_told_spread(bare: NightClimate, normals: Normals | None, lows: np.ndarray | None,
                      site: Site) -> NightClimate:
    """The climate with its spread, from the best that tells of it (sd_source: "normals" for a sd given, "lowest",
    "sd-and-lowest", "record" or "assumed")."""
    given = None if normals is None or normals.tmin_sd_c is None else given_sd(
        bare.mean_c, normals.tmin_sd_c, normals.sd_kind)
    if normals is not None and normals.tmin_lowest_c is not None:
        told = sd_from_lowest(normals.tmin_lowest_c, lambda sd_c: with_spread(bare, sd_c, site.latitude_deg))
        usual = _usual_sd(bare.mean_c, site) if given is None else given
        sd_c = smooth_sd(told) if given is None else both_told(given, told)
        return replace(with_spread(bare, sd_c, site.latitude_deg), notes=doubt_on_lowest(told, usual),
                       sd_source="lowest" if given is None else "sd-and-lowest")
    if given is not None:
        return replace(with_spread(bare, given, site.latitude_deg), sd_source="normals")
    if lows is not None and month_lows(lows)[0].min() >= NIGHTS_FOR_SD:
        return replace(with_spread(bare, recorded_sd(lows, bare.mean_c), site.latitude_deg), sd_source="record")
    return _with_estimated_spread(bare, None if normals is None else normals.near_frost, site)


def _with_estimated_spread(bare: NightClimate, near: NearFrost | None, site: Site) -> NightClimate:
    """The estimate from lows, latitude, height and season, put right by the days of frost near by.

    The sd is the mean of all it may be, a little more than the likeliest. What a half-year's may be wrong by is counted
    in every chance (climate.process), so that dates of rare nights lie farther out.
    """
    factor, known = (1.0, 0.0) if near is None else spread_factor(month_means(bare.mean_c), near)
    wrong = float(np.interp(known, (0.0, KNOWN_WELL), (fitted("sd_error"), fitted("frost_sd_error"))))
    sd_c = _usual_sd(bare.mean_c, site) * factor * np.exp(wrong**2 / 2)
    climate = with_spread(bare, year_curve(sd_c), site.latitude_deg)
    return replace(climate, sd_source="assumed",
                   details=climate.details | {"sd_error": wrong, "spread_doubt": np.full(DAYS, fitted("spread_doubt"))})


def _usual_sd(mean_c: np.ndarray, site: Site) -> np.ndarray:
    return estimated_sd(month_means(mean_c), site.latitude_deg, site.normals_height_m)


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
