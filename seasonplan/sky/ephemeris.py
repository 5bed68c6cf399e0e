"""Where the sun is: the NREL solar position algorithm (Reda and Andreas 2004, Solar Energy 76:577-589; report
NREL/TP-560-34302, whose equations are numbered below), with pvlib's figures and order of work (BSD 3-Clause, see
data/pvlib_licence.txt). Carried here because pvlib brings pandas, scipy and requests along: 0.45 s of every command.

Times are seconds since 1970 UTC, angles degrees. `tests/sky/` holds every function to pvlib's own.
"""

from __future__ import annotations

from functools import cache

import numpy as np

from seasonplan.data import table

FLATTENING = 0.99664719
"""Polar over equatorial radius of the Earth."""
EARTH_RADIUS_M = 6378140.0
SUN_RADIUS_DEG = 0.26667
HORIZON_REFRACTION_DEG = 0.5667
"""Refraction at sunrise and sunset, the algorithm's usual value."""
PARALLAX_DEG = 8.794 / 3600
"""Of the sun at the horizon, at its mean distance (equation 33 with R = 1)."""
OBLIQUITY_ARCSEC = (84381.448, -4680.93, -1.55, 1999.25, -51.38, -249.67, -39.05, 7.12, 27.87, 5.79, 2.45)
MEAN_ARGUMENTS_DEG = ((297.85036, 445267.111480, -0.0019142, 1 / 189474),
                      (357.52772, 35999.050340, -0.0001603, -1 / 300000),
                      (134.96298, 477198.867398, 0.0086972, 1 / 56250),
                      (93.27191, 483202.017538, -0.0036825, 1 / 327270),
                      (125.04452, -1934.136261, 0.0020708, 1 / 450000))
"""Equations 15 to 19, powers of the century: of the moon's elongation, the sun's and the moon's anomaly, the moon's
latitude and its node."""


def celestial(utc_s: np.ndarray, delta_t_s: float) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
    """Apparent sidereal time at Greenwich, right ascension and declination of the sun, seen from the Earth's centre,
    each (n,). delta_t_s: terrestrial minus universal time."""
    day = utc_s / 86400 + 2440587.5
    century = (day - 2451545) / 36525
    century_tt = (day + delta_t_s / 86400 - 2451545) / 36525
    longitude, latitude, radius = (_series(name, century_tt / 10) for name in ("longitude", "latitude", "radius"))
    psi, epsilon = _nutation(century_tt)
    tilt = np.radians(_powers(century_tt / 100, OBLIQUITY_ARCSEC) / 3600 + epsilon)
    sun = np.radians((np.degrees(longitude) + 180.0) % 360 + psi - 20.4898 / (3600 * radius))
    beside = -latitude
    sidereal = (280.46061837 + 360.98564736629 * (day - 2451545) + 0.000387933 * century**2
                - century**3 / 38710000) % 360 + psi * np.cos(tilt)
    ascension = np.degrees(np.arctan2(np.sin(sun) * np.cos(tilt) - np.tan(beside) * np.sin(tilt), np.cos(sun))) % 360
    declination = np.degrees(np.arcsin(np.sin(beside) * np.cos(tilt) + np.cos(beside) * np.sin(tilt) * np.sin(sun)))
    return sidereal, ascension, declination


def seen_from(latitude_deg: float, height_m: float, hour_angle_deg: np.ndarray,
              declination_deg: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
    """Azimuth from north over east and true elevation of the sun, seen from a place (equations 34 to 47).
    hour_angle_deg: local, westward."""
    latitude, hour, down = np.radians(latitude_deg), np.radians(hour_angle_deg), np.radians(declination_deg)
    reduced, height = np.arctan(FLATTENING * np.tan(latitude)), height_m / EARTH_RADIUS_M
    x = (np.cos(reduced) + height * np.cos(latitude)) * np.sin(np.radians(PARALLAX_DEG))
    y = (FLATTENING * np.sin(reduced) + height * np.sin(latitude)) * np.sin(np.radians(PARALLAX_DEG))
    across = np.cos(down) - x * np.cos(hour)
    shift = np.arctan2(-x * np.sin(hour), across)
    down = np.arctan2((np.sin(down) - y) * np.cos(shift), across)
    hour = hour - shift
    elevation = np.arcsin(np.sin(latitude) * np.sin(down) + np.cos(latitude) * np.cos(down) * np.cos(hour))
    westward = np.arctan2(np.sin(hour), np.cos(hour) * np.sin(latitude) - np.tan(down) * np.cos(latitude))
    return (np.degrees(westward) + 180) % 360, np.degrees(elevation)


def refraction_deg(elevation_deg: np.ndarray, pressure_pa: float, temperature_c: float) -> np.ndarray:
    """How much higher the sun stands to the eye (equation 42); 0 where it is wholly below the horizon."""
    above = elevation_deg >= -(SUN_RADIUS_DEG + HORIZON_REFRACTION_DEG)
    bent = np.radians(elevation_deg + 10.3 / (elevation_deg + 5.11))
    return (pressure_pa / 101000 * 283 / (273 + temperature_c) * 1.02) / (60 * np.tan(bent)) * above


def delta_t_s(year: float) -> float:
    """Terrestrial minus universal time [s]: Espenak and Meeus, Five Millennium Canon of Solar Eclipses (NASA/TP-2006-
    214141), its polynomials from 1986 on; before that its parabola of all ages, 13 s too much at most since 1950."""
    if 2005 <= year < 2050:
        return 62.92 + 0.32217 * (year - 2000) + 0.005589 * (year - 2000)**2
    if 1986 <= year < 2005:
        t = year - 2000
        return 63.86 + 0.3345 * t - 0.060374 * t**2 + 0.0017275 * t**3 + 0.000651814 * t**4 + 0.00002373599 * t**5
    return -20 + 32 * ((year - 1820) / 100)**2 - (0.5628 * (2150 - year) if 2050 <= year < 2150 else 0)


def _powers(x: np.ndarray, factors: tuple[float, ...]) -> np.ndarray:
    total = np.zeros_like(x)
    for factor in reversed(factors):
        total = total * x + factor
    return total


@cache
def _terms(quantity: str) -> tuple[np.ndarray, ...]:
    """Periodic terms of a quantity by power of time, each (terms, 3): amplitude, phase, frequency."""
    rows = [row for row in table("sun_terms") if row["quantity"] == quantity]
    return tuple(np.array([[float(row[key]) for key in "abc"] for row in rows if int(row["power"]) == power])
                 for power in range(1 + max(int(row["power"]) for row in rows)))


def _series(quantity: str, millennium: np.ndarray) -> np.ndarray:
    """Heliocentric longitude, latitude [radians] or distance [astronomical units] of the Earth (equations 9 to 12)."""
    total = np.zeros_like(millennium)
    for power, terms in enumerate(_terms(quantity)):
        waves = terms[:, :1] * np.cos(terms[:, 1:2] + terms[:, 2:] * millennium)
        total += waves.sum(0) * millennium**power
    return total / 10**8


@cache
def _nutation_terms() -> tuple[np.ndarray, np.ndarray]:
    """Multiples of the five arguments (63, 5), and a, b, c, d (63, 4)."""
    rows = [list(row.values()) for row in table("sun_nutation")]
    return (np.array([[float(cell) for cell in row[:5]] for row in rows]),
            np.array([[float(cell) for cell in row[5:9]] for row in rows]))


def _nutation(century: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
    """Nutation in longitude and in obliquity [degrees], each (n,) (equations 15 to 23)."""
    multiples, abcd = _nutation_terms()
    angle = np.radians(multiples @ np.array([_powers(century, factors) for factors in MEAN_ARGUMENTS_DEG]))
    a, b, c, d = abcd.T[:, :, None]
    return (((a + b * century) * np.sin(angle)).sum(0) / 36000000,
            ((c + d * century) * np.cos(angle)).sum(0) / 36000000)
