"""FAO-56 radiation equations as plain functions of arrays.

Source of every equation unless named otherwise: Allen, Pereira, Raes and Smith 1998, Crop evapotranspiration, FAO
Irrigation and Drainage Paper 56, chapter 3. Latitudes in degrees, energies in MJ m-2 per day, durations in hours.
Poleward of the polar circles the sunset hour angle is 0 in the polar night and pi in the polar day, so that no
equation gives NaN.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike

SOLAR_CONSTANT_MJ_PER_MIN = 0.0820
"""Solar constant [MJ m-2 min-1], eq. 21."""
ANGSTROM_A, ANGSTROM_B = 0.25, 0.50
"""Share of extraterrestrial radiation on overcast days, and what clear days add; FAO-56's values, eq. 35."""
KRS_EQUATOR, KRS_DECAY_DEG, LEAST_SPAN_C = 0.187, 109.0, 6.5
"""The adjustment coefficient of eq. 50 [°C^-0.5] by latitude, 0.187 * exp(-(latitude / 109)^2), and the span of day and
night [°C] below which a narrow one is the sea's doing and no longer tells of clouds.

Fitted, April to September (southern stations: October to March), to 18 stations from 57 N to 34 S. With each station
left out of its own fit the light errs by 9 % a month, by at most 18 % over a station's half-year and by 33 % in the
worst single month, the monsoon (tests/truth/test_light_from_temperatures.py). FAO-56's own choice between 0.16 inland
and 0.19 on coasts does worse however coasts are told: Aberdeen has 0.15, Miami 0.22. Dark winters of the north come
out up to half too bright."""


def inverse_distance(day_of_year: ArrayLike) -> np.ndarray:
    """Inverse relative distance Earth-Sun [-], eq. 23. day_of_year: 1..366."""
    return 1 + 0.033 * np.cos(2 * np.pi / 365 * np.asarray(day_of_year))


def declination_rad(day_of_year: ArrayLike) -> np.ndarray:
    """Solar declination [rad], eq. 24."""
    return 0.409 * np.sin(2 * np.pi / 365 * np.asarray(day_of_year) - 1.39)


def sunset_angle_rad(latitude_deg: ArrayLike, day_of_year: ArrayLike) -> np.ndarray:
    """Sunset hour angle [rad], eq. 25; 0 where the sun stays down, pi where it stays up."""
    cosine = -np.tan(np.radians(latitude_deg)) * np.tan(declination_rad(day_of_year))
    return np.arccos(np.clip(cosine, -1.0, 1.0))


def extraterrestrial_mj(latitude_deg: ArrayLike, day_of_year: ArrayLike) -> np.ndarray:
    """Radiation on a horizontal plane above the atmosphere, Ra [MJ m-2 d-1], eq. 21."""
    phi, delta = np.radians(latitude_deg), declination_rad(day_of_year)
    sunset = sunset_angle_rad(latitude_deg, day_of_year)
    day_part = sunset * np.sin(phi) * np.sin(delta) + np.cos(phi) * np.cos(delta) * np.sin(sunset)
    minutes = 24 * 60 / np.pi
    return np.maximum(minutes * SOLAR_CONSTANT_MJ_PER_MIN * inverse_distance(day_of_year) * day_part, 0.0)


def daylight_hours(latitude_deg: ArrayLike, day_of_year: ArrayLike) -> np.ndarray:
    """Longest possible sunshine, N [h], eq. 34."""
    return 24 / np.pi * sunset_angle_rad(latitude_deg, day_of_year)


def from_sunshine_mj(sunshine_h: ArrayLike, possible_h: ArrayLike, extraterrestrial: ArrayLike) -> np.ndarray:
    """Global radiation from hours of bright sunshine, Rs [MJ m-2 d-1], eq. 35; where possible_h is 0, 0."""
    sunshine, possible = np.broadcast_arrays(np.asarray(sunshine_h, float), np.asarray(possible_h, float))
    share = np.divide(sunshine, possible, out=np.zeros(sunshine.shape), where=possible > 0)
    return (ANGSTROM_A + ANGSTROM_B * share) * np.asarray(extraterrestrial)


def krs(latitude_deg: ArrayLike) -> np.ndarray:
    """Adjustment coefficient of eq. 50 at a latitude [°C^-0.5]; see KRS_EQUATOR."""
    return KRS_EQUATOR * np.exp(-(np.asarray(latitude_deg) / KRS_DECAY_DEG) ** 2)


def from_temperature_mj(tmax_c: ArrayLike, tmin_c: ArrayLike, extraterrestrial: ArrayLike,
                        coefficient: ArrayLike) -> np.ndarray:
    """Global radiation from the day's temperature range, Rs [MJ m-2 d-1], eq. 50 (Hargreaves and Samani).

    ValueError where tmax_c is below tmin_c.
    """
    span = np.asarray(tmax_c, float) - np.asarray(tmin_c, float)
    if np.any(span < 0):
        raise ValueError("tmax_c is below tmin_c")
    return coefficient * np.sqrt(span) * np.asarray(extraterrestrial)


def clear_sky_mj(extraterrestrial: ArrayLike, elevation_m: float = 0.0) -> np.ndarray:
    """Global radiation of a clear day, Rso [MJ m-2 d-1], eq. 37."""
    return (0.75 + 2e-5 * elevation_m) * np.asarray(extraterrestrial)


def diffuse_share(clearness: ArrayLike, sunset_rad: ArrayLike) -> np.ndarray:
    """Diffuse share of monthly mean global radiation from its clearness index Rs/Ra.

    Erbs, Klein and Duffie 1982, Solar Energy 28:293-302, as given by Duffie and Beckman, Solar Engineering of Thermal
    Processes, eq. 2.12.1: one cubic for sunset hour angles up to 81.4 degrees, one above, for clearness 0.3 to 0.8;
    beyond that range the value at its end is taken.
    """
    k = np.clip(clearness, 0.3, 0.8)
    short = 1.391 - 3.560 * k + 4.189 * k**2 - 2.137 * k**3
    long = 1.311 - 3.022 * k + 3.427 * k**2 - 1.821 * k**3
    return np.where(np.asarray(sunset_rad) <= np.radians(81.4), short, long)
