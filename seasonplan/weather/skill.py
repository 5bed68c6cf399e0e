"""How wrong forecasts of night lows are, and what turns a forecast into the low at the site.

data/forecast_error.csv holds the errors by lead with their sources: replace it with the verification of your own
station where you have it, or let a thermometer's readings teach it.
"""

from __future__ import annotations

from functools import cache

import numpy as np

from seasonplan.climate.curves import normal_chance
from seasonplan.data import table
from seasonplan.model import ForecastNight, Place, Site
from seasonplan.units import LAPSE_C_PER_M

PERCENTILE_Z = 1.2816
"""The 10th and 90th percentiles of a normal distribution lie so many sd from its mean (exact to the digits)."""
ENSEMBLE_EXTRA_SD_C = 0.8
"""What the members of an ensemble do not differ in: a grid cell's air is not a garden's [°C]. That raw ensembles spread
too little near the ground in the first days is known (memory); the number is our setting, and readings correct it."""
LEAST_OWN_SD_C = 0.3
"""A source that claims less spread than a thermometer's error is taken to have this much [°C]. Our setting."""
WINDY_M_S = 5.0
"""Mean wind of a night from which a cover is worth nothing [m/s]. Our setting."""
LIGHT_COVER_C, HEAVY_COVER_C = 1.0, 2.0
"""What a cover is worth for one still night [°C]; a planning assumption below the 1 to 2.8 °C that extension-linked
pages name (low to medium confidence)."""
NO_COVER_FROM_HARM_C = 13.0
"""Plants marked at this low or a higher one get no credit for a cover [°C]; the same assumption."""


@cache
def _sd_by_lead_c() -> dict[int, float]:
    return {int(row["lead_days"]): float(row["sd_c"]) for row in table("forecast_error")}


def error_sd_c(lead_days: int) -> float | None:
    """Standard deviation of the error of a forecast low so many nights ahead [°C], 0 = the first night; None where
    forecasts reach no farther."""
    return _sd_by_lead_c().get(max(lead_days, 0))


def own_spread_c(night: ForecastNight) -> tuple[float, float] | None:
    """The sd on the colder and on the warmer side by the source's own percentiles [°C]; None where it gives none."""
    if night.p10_c is None or night.p90_c is None:
        return None
    sides = ((night.low_c - night.p10_c) / PERCENTILE_Z, (night.p90_c - night.low_c) / PERCENTILE_Z)
    if min(sides) <= 0:                               # the low stands outside its own band: only the width is of use
        sides = ((night.p90_c - night.p10_c) / 2 / PERCENTILE_Z,) * 2
    return max(sides[0], LEAST_OWN_SD_C), max(sides[1], LEAST_OWN_SD_C)


def site_shift_c(elevation_m: float | None, site: Site) -> float:
    """What to add to a forecast low to get the site's [°C]. elevation_m: see Forecast.

    A forecast for the station behind the normals is moved like the normals: by the height between the two and the
    garden's offset. One for the site's own position has the site's weather in it already: only the height of its grid
    cell over the site, where it has one, and the garden's offset count, so that no height is counted twice.
    """
    if elevation_m is None:
        return site.night_shift_c
    return site.night_offset_c + LAPSE_C_PER_M * (elevation_m - site.elevation_m)


def acting_margin_c(least_chance: float, sd_c: np.ndarray, share: np.ndarray, apart_c: np.ndarray) -> np.ndarray:
    """How far over a level the expected low may lie for the chance of that level to be `least_chance` [°C].

    sd_c: of the low; share: chance of a clear calm night, which is apart_c colder. Arrays that fit each other. It lies
    between the margins of the two kinds of night: Newton's method on their mixture, halved where it would leave that.
    """
    sd_c, share, apart_c = np.broadcast_arrays(sd_c, share, apart_c)
    least = _normal_margin(least_chance) * sd_c
    most, margin = least + apart_c, least + share * apart_c
    for _ in range(MARGIN_STEPS if (apart_c > 0).any() and ((share > 0) & (share < 1)).any() else 0):
        at = (-margin / sd_c, (apart_c - margin) / sd_c)
        over = (1 - share) * normal_chance(at[0]) + share * normal_chance(at[1]) - least_chance
        slope = ((1 - share) * np.exp(-at[0]**2 / 2) + share * np.exp(-at[1]**2 / 2)) / (sd_c * np.sqrt(2 * np.pi))
        least, most = np.where(over > 0, margin, least), np.where(over > 0, most, margin)
        margin = margin + over / np.maximum(slope, 1e-9)
        margin = np.where((margin < least) | (margin > most), (least + most) / 2, margin)
    return margin


MARGIN_STEPS = 8
"""Steps from the margin of the mean shift; the chance is then within 1 % of what was asked for."""


@cache
def _normal_margin(least_chance: float) -> float:
    """How many sd over a level the mean of a normal distribution lies whose chance of that level is `least_chance`."""
    at = np.linspace(-6.0, 6.0, 12001)
    return float(-np.interp(least_chance, normal_chance(at), at))


def cover_credit_c(harm_c: float, wind_m_s: float | None, place: Place) -> tuple[float, float]:
    """What a light and a heavy cover are worth to a plant at a place on a night [°C]; zeros where they cannot be
    counted on. The shelter of the place and a cover together count for no more than a heavy cover alone."""
    if harm_c >= NO_COVER_FROM_HARM_C or (wind_m_s is not None and wind_m_s >= WINDY_M_S):
        return 0.0, 0.0
    left = max(HEAVY_COVER_C - place.night_lift_c, 0.0)
    return min(LIGHT_COVER_C, left), min(HEAVY_COVER_C, left)
