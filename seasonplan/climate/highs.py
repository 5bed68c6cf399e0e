"""The normal high of every day, worked out once for all who ask whether a day is warm, cool or too hot."""

from __future__ import annotations

import numpy as np

from seasonplan.climate.curves import year_curve
from seasonplan.model import Normals, Site

DAILY_RANGE_C = 11.0
"""Normal high over normal low where the normals give no highs [°C]; flagged by care. Our setting."""
DIGITS = 3
"""Decimals kept, so that a table's 32 °C all year is not a rounding error more on some days."""
DAY_LAPSE_C_PER_M = 0.0065
"""Days are so much colder with height [°C/m]: the standard atmosphere, ISO 2533:1975, table of layers."""


def normal_highs_c(normals: Normals, site: Site) -> np.ndarray:
    """(365,) normal highs at the site [°C], through the same smooth curve as the lows.

    The station's, moved by height; `night_offset_c` has no part in it: a cold hollow is cold at night.
    """
    highs_c = year_curve(normals.tmin_c) + DAILY_RANGE_C if normals.tmax_c is None else year_curve(normals.tmax_c)
    above_m = 0.0 if site.station_elevation_m is None else site.elevation_m - site.station_elevation_m
    return np.round(highs_c - DAY_LAPSE_C_PER_M * above_m, DIGITS)
