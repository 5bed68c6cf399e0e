"""Where the sun is and how strong a clear sky shines: the only door to pvlib, which is imported late and whole.

Position: NREL solar position algorithm (Reda and Andreas 2004, Solar Energy 76:577-589) as implemented by pvlib.spa.
Clear sky: Ineichen and Perez 2002, Solar Energy 73:151-157 (pvlib.clearsky), with the monthly Linke turbidity
climatology that pvlib ships (Remund and others 2003), air mass after Kasten and Young 1989.

A year of steps would cost the full algorithm 0.45 s. The sun's right ascension, declination and the sidereal time are
smooth, so they are computed every six hours and interpolated; only the turn of the Earth is done at every step. The
test compares both ways: they differ by less than 0.001 degrees.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from typing import Any

import numpy as np

from seasonplan.dates import day_index
from seasonplan.model import Site
from seasonplan.sky.localtime import Steps, local_steps
from seasonplan.sky.monthly import between_months
from seasonplan.units import BELIEVABLE

STEP_MIN = 10
NODES_PER_DAY = 4
TEMPERATURE_C = 12.0
"""For refraction only; pvlib's default."""
HORIZON_REFRACTION_DEG = 0.5667
"""Refraction at sunrise and sunset in the algorithm; pvlib's default."""
RISE_DEG = -0.8333
"""True height of the sun's centre when its upper edge touches the horizon: refraction 34', radius 16'."""
SOLAR_CONSTANT_W = 1366.1
"""[W m-2], pvlib's default."""


@dataclass(frozen=True, eq=False)
class ClearSky:
    """Daylight steps of a site under clear sky, n of them, and the sun's times.

    day (n,): index into the dates. middle_s (n,): middle of the step, seconds since 1970 UTC. clock_min (n,): local
    clock at its start. azimuth_deg (n,) from north over east; elevation_deg (n,) with refraction. beam_normal_w,
    diffuse_w, global_w (n,): W m-2, beam on a plane facing the sun, the others horizontal.
    sunrise_min, sunset_min (dates,): local clock minutes, NaN where there is none; sunlit_h (dates,): hours with the
    sun's edge above the horizon.
    """

    day: np.ndarray
    middle_s: np.ndarray
    clock_min: np.ndarray
    azimuth_deg: np.ndarray
    elevation_deg: np.ndarray
    beam_normal_w: np.ndarray
    diffuse_w: np.ndarray
    global_w: np.ndarray
    sunrise_min: np.ndarray
    sunset_min: np.ndarray
    sunlit_h: np.ndarray
    step_min: int


def clear_sky(site: Site, dates: Sequence[date], step_min: int = STEP_MIN) -> ClearSky:
    """Sun and clear-sky irradiance at the middle of every daylight step of the local dates. ValueError: bad site."""
    check_site(site)
    steps = local_steps(dates, site.timezone, step_min)
    azimuth, elevation, apparent = _turning_sun(site, steps)
    rise, sets, sunlit = _rise_and_set(steps, elevation, len(dates))
    up = apparent > 0
    day = steps.day[up]
    beam, diffuse, whole = _ineichen(site, dates, day, apparent[up])
    return ClearSky(day, steps.middle_s[up], steps.clock_min[up], azimuth[up], apparent[up], beam, diffuse, whole,
                    rise, sets, sunlit, step_min)


def load() -> Any:
    """pvlib, imported when the sun is first asked for: it takes 0.8 s, most of it scipy's."""
    import pvlib

    return pvlib


def check_site(site: Site) -> None:
    """ValueError unless latitude, longitude and elevation are finite and on Earth (pvlib takes any number)."""
    for name, value in (("latitude", site.latitude_deg), ("longitude", site.longitude_deg),
                        ("elevation_m", site.elevation_m)):
        low, high = BELIEVABLE[name]
        if not low <= value <= high:
            raise ValueError(f"{name} is {value}, allowed {low:g} to {high:g}")


def _turning_sun(site: Site, steps: Steps) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
    """Azimuth, true and apparent elevation at every step: celestial coordinates interpolated, the rest in full."""
    spa, pressure_pa = load().spa, load().atmosphere.alt2pres(site.elevation_m)
    fractions = np.arange(NODES_PER_DAY + 1) / NODES_PER_DAY
    nodes = np.unique(steps.starts_s[:, None] + (steps.ends_s - steps.starts_s)[:, None] * fractions)
    coordinates = spa.solar_position(nodes, 0.0, 0.0, 0.0, 0.0, 0.0, _delta_t_s(nodes), 0.0, sst=True)
    sidereal, ascension, declination = (np.interp(steps.middle_s, nodes, np.unwrap(c, period=360.0))
                                        for c in coordinates)
    hour_angle = spa.local_hour_angle(sidereal, site.longitude_deg, ascension)
    u = spa.uterm(site.latitude_deg)
    x, y = (term(u, site.latitude_deg, site.elevation_m) for term in (spa.xterm, spa.yterm))
    parallax = spa.equatorial_horizontal_parallax(1.0)
    shift = spa.parallax_sun_right_ascension(x, parallax, hour_angle, declination)
    declination = spa.topocentric_sun_declination(declination, x, y, parallax, shift, hour_angle)
    hour_angle = spa.topocentric_local_hour_angle(hour_angle, shift)
    elevation = spa.topocentric_elevation_angle_without_atmosphere(site.latitude_deg, declination, hour_angle)
    lift = spa.atmospheric_refraction_correction(pressure_pa / 100, TEMPERATURE_C, elevation, HORIZON_REFRACTION_DEG)
    westward = spa.topocentric_astronomers_azimuth(hour_angle, declination, site.latitude_deg)
    return spa.topocentric_azimuth_angle(westward), elevation, elevation + lift


def _delta_t_s(utc_s: np.ndarray) -> float:
    """Terrestrial minus universal time in the middle of a span [s]."""
    middle = np.datetime64(int(np.mean(utc_s)), "s").astype("datetime64[M]").astype(int)
    return float(load().spa.calculate_deltat(1970 + middle // 12, middle % 12 + 1))


def _ineichen(site: Site, dates: Sequence[date], day: np.ndarray,
              elevation_deg: np.ndarray) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
    """Beam on a plane facing the sun, diffuse and global on the ground [W m-2] for elevations above 0."""
    pvlib, zenith = load(), 90 - elevation_deg
    turbidity = between_months(_monthly_turbidity(site))[[day_index(d) for d in dates]]
    pressure_pa = pvlib.atmosphere.alt2pres(site.elevation_m)
    air_mass = pvlib.atmosphere.get_absolute_airmass(pvlib.atmosphere.get_relative_airmass(zenith), pressure_pa)
    sky = pvlib.clearsky.ineichen(zenith, air_mass, turbidity[day], altitude=site.elevation_m,
                                  dni_extra=_extraterrestrial_beam_w(dates)[day])
    return sky["dni"], sky["dhi"], sky["ghi"]


def _monthly_turbidity(site: Site) -> np.ndarray:
    """Linke turbidity of the site's grid cell, (12,). Asked by month: pvlib's daily form warns under pandas 3."""
    import pandas as pd

    months = pd.date_range("2001-01-01", periods=12, freq="MS", tz="UTC")
    table = load().clearsky.lookup_linke_turbidity(months, site.latitude_deg, site.longitude_deg,
                                                   interp_turbidity=False)
    return table.to_numpy()


def _extraterrestrial_beam_w(dates: Sequence[date]) -> np.ndarray:
    """Irradiance facing the sun above the atmosphere [W m-2], (dates,). Spencer 1971, Search 2:172 (Fourier series)."""
    b = 2 * np.pi * (np.array([d.timetuple().tm_yday for d in dates]) - 1) / 365
    return SOLAR_CONSTANT_W * (1.00011 + 0.034221 * np.cos(b) + 0.00128 * np.sin(b) + 0.000719 * np.cos(2 * b)
                               + 0.000077 * np.sin(2 * b))


def _rise_and_set(steps: Steps, elevation_deg: np.ndarray, days: int) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
    """First rise and last set of each date [clock min, NaN = none] and hours with the sun's edge up."""
    height = elevation_deg - RISE_DEG
    ahead, step_s = height[1:], 60.0 * steps.step_min
    here = height[:-1]
    joined = np.diff(steps.middle_s) == step_s
    crossing = np.flatnonzero(joined & ((here > 0) != (ahead > 0)))
    part = here[crossing] / (here[crossing] - ahead[crossing])
    inside = crossing + (part >= 0.5)
    clock = steps.clock_min[inside] + steps.step_min * (part + 0.5 - (part >= 0.5))
    rising = here[crossing] <= 0
    rise, sets = np.full(days, np.nan), np.full(days, np.nan)
    rise[steps.day[inside[rising]][::-1]] = clock[rising][::-1]
    sets[steps.day[inside[~rising]]] = clock[~rising]
    lit = (height > 0).astype(float)
    gain = np.where(rising, 0.5 - part, part - 0.5)
    np.add.at(lit, inside, gain)
    return rise, sets, np.bincount(steps.day, lit, days) * steps.step_min / 60
