"""How wrong forecasts of night lows are, and what turns a forecast for the screen into the low at the plants.

Everything in this block is of low confidence or our setting: replace data/forecast_error.csv with the verification of
your own station where you have it.
"""

from __future__ import annotations

from functools import cache
from math import pi, sqrt

from seasonplan.data import table
from seasonplan.model import Forecast, Place, Site
from seasonplan.units import LAPSE_C_PER_M

SD_PER_MAE = sqrt(pi / 2)
"""Standard deviation over mean absolute error of a normal distribution (exact): 1.2533."""
CLEAR_CALM_C = -2.0
"""The open ground on clear calm nights against the screen [°C]. A University of Vermont study, as a museum reports it,
found 2.2 °C between 3 in and 5 ft above ground on average; memory gives 3 to 5 °C over grass."""
UNKNOWN_SKY_SD_C = 0.94
"""Standard deviation that stands for not knowing whether a night is clear and calm [°C]: one night in three is, so
2 °C x sqrt(1/3 x 2/3). The mean is not shifted, and the person is told. Our setting."""
SHADED_BY_LEAVES = 0.5
"""A tree crown or cloth that lets through less than this share also holds the warmth in. Our setting."""
WINDY_M_S = 5.0
"""Mean wind of a night from which a cover is worth nothing [m/s]. Our setting."""
LIGHT_COVER_C, HEAVY_COVER_C = 1.0, 2.0
"""What a cover is worth for one still night [°C]; a planning assumption below the 1 to 2.8 °C that extension-linked
pages name (low to medium confidence)."""
NO_COVER_FROM_HARM_C = 13.0
"""Plants marked at this low or a higher one get no credit for a cover [°C]; the same assumption."""


@cache
def _sd_by_lead_c() -> dict[int, float]:
    return {int(row["lead_days"]): float(row["mae_c"]) * SD_PER_MAE for row in table("forecast_error")}


def error_sd_c(lead_days: int) -> float | None:
    """Standard deviation of the error of a forecast low so many nights ahead [°C], 0 = the first night; None where
    forecasts reach no farther."""
    return _sd_by_lead_c().get(max(lead_days, 0))


def site_shift_c(forecast: Forecast, site: Site) -> float:
    """What to add to a forecast low to get the site's [°C].

    A forecast for the station behind the normals is moved like the normals: by the height between the two and the
    garden's offset. One for the site's own position has the site's weather in it already: only the height of its grid
    cell over the site, where it has one, and the garden's offset count, so that no height is counted twice.
    """
    if forecast.elevation_m is None:
        return site.night_shift_c
    return site.night_offset_c + LAPSE_C_PER_M * (forecast.elevation_m - site.elevation_m)


def in_the_open(place: Place) -> bool:
    """Whether a place loses its warmth to a clear sky: outdoors, no roof, no dense crown or cloth above."""
    leafy = place.leaf_shade is not None and place.leaf_shade < SHADED_BY_LEAVES
    return place.outdoors and place.roof_deg is None and not leafy


def place_shift_c(place: Place, calm_clear: bool | None) -> float:
    """What to add to the site's low to get the low at the plants of a place [°C]."""
    return place.night_lift_c + (CLEAR_CALM_C if calm_clear and in_the_open(place) else 0.0)


def cover_credit_c(harm_c: float, wind_m_s: float | None, place: Place) -> tuple[float, float]:
    """What a light and a heavy cover are worth to a plant at a place on a night [°C]; zeros where they cannot be
    counted on. The shelter of the place and a cover together count for no more than a heavy cover alone."""
    if harm_c >= NO_COVER_FROM_HARM_C or (wind_m_s is not None and wind_m_s >= WINDY_M_S):
        return 0.0, 0.0
    left = max(HEAVY_COVER_C - place.night_lift_c, 0.0)
    return min(LIGHT_COVER_C, left), min(HEAVY_COVER_C, left)
