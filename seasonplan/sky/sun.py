"""Where the sun is and how strong a clear sky shines, by the functions of pvlib that this needs, carried here.

Position: NREL solar position algorithm (sky/ephemeris.py). Clear sky: Ineichen and Perez 2002, Solar Energy 73:151-157,
with the monthly Linke turbidity climatology (Remund and others 2003) read from the table that pvlib ships, air mass
after Kasten and Young 1989, Applied Optics 28:4735. pvlib itself is not imported: see sky/ephemeris.py.

A year of steps would cost the full algorithm 0.45 s. The sun's right ascension, declination and the sidereal time are
smooth, so they are computed every six hours and interpolated; only the turn of the Earth is done at every step. The
test compares both ways: they differ by less than 0.001 degrees.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from importlib.util import find_spec
from pathlib import Path

import numpy as np

from seasonplan.dates import day_index
from seasonplan.model import Site
from seasonplan.sky.ephemeris import celestial, delta_t_s, refraction_deg, seen_from
from seasonplan.sky.localtime import Steps, local_steps
from seasonplan.sky.monthly import between_months
from seasonplan.units import BELIEVABLE

STEP_MIN = 10
NODES_PER_DAY = 4
TEMPERATURE_C = 12.0
"""For refraction only; pvlib's default."""
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


def check_site(site: Site) -> None:
    """ValueError unless latitude, longitude and elevation are finite and on Earth (pvlib takes any number)."""
    for name, value in (("latitude", site.latitude_deg), ("longitude", site.longitude_deg),
                        ("elevation_m", site.elevation_m)):
        low, high = BELIEVABLE[name]
        if not low <= value <= high:
            raise ValueError(f"{name} is {value}, allowed {low:g} to {high:g}")


def _turning_sun(site: Site, steps: Steps) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
    """Azimuth, true and apparent elevation at every step: celestial coordinates interpolated, the rest in full."""
    fractions = np.arange(NODES_PER_DAY + 1) / NODES_PER_DAY
    nodes = np.unique(steps.starts_s[:, None] + (steps.ends_s - steps.starts_s)[:, None] * fractions)
    sidereal, ascension, declination = (np.interp(steps.middle_s, nodes, np.unwrap(c, period=360.0))
                                        for c in celestial(nodes, _delta_t_s(nodes)))
    azimuth, elevation = seen_from(site.latitude_deg, site.elevation_m, sidereal + site.longitude_deg - ascension,
                                   declination)
    return azimuth, elevation, elevation + refraction_deg(elevation, _pressure_pa(site.elevation_m), TEMPERATURE_C)


def _delta_t_s(utc_s: np.ndarray) -> float:
    """Terrestrial minus universal time in the middle of a span [s]."""
    month = int(np.datetime64(int(np.mean(utc_s)), "s").astype("datetime64[M]").astype(int))
    return delta_t_s(1970 + (month + 0.5) / 12)


def _pressure_pa(height_m: float) -> float:
    """Of the air at a height above the sea, in the standard atmosphere (as pvlib.atmosphere.alt2pres)."""
    return 100 * ((44331.514 - height_m) / 11880.516) ** (1 / 0.1902632)


def _ineichen(site: Site, dates: Sequence[date], day: np.ndarray,
              elevation_deg: np.ndarray) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
    """Beam on a plane facing the sun, diffuse and global on the ground [W m-2] for elevations above 0."""
    turbidity = between_months(_monthly_turbidity(site))[[day_index(d) for d in dates]][day]
    beyond_w = _extraterrestrial_beam_w(dates)[day]
    upward = np.sin(np.radians(elevation_deg))
    air_mass = _pressure_pa(site.elevation_m) / 101325 / (upward + 0.50572 * (6.07995 + elevation_deg) ** -1.6364)
    fh1, fh2 = np.exp(-site.elevation_m / 8000), np.exp(-site.elevation_m / 1250)
    cg1, cg2 = 5.09e-5 * site.elevation_m + 0.868, 3.92e-5 * site.elevation_m + 0.0387
    whole = cg1 * beyond_w * upward * np.exp(-cg2 * air_mass * (fh1 + fh2 * (turbidity - 1)))
    beam = (0.664 + 0.163 / fh1) * beyond_w * np.exp(-0.09 * air_mass * (turbidity - 1))
    most = whole * np.maximum((1 - (0.1 - 0.2 * np.exp(-turbidity)) / (0.1 + 0.882 / fh1)) / upward, 0)
    beam = np.minimum(beam, most)
    return beam, whole - beam * upward, whole


def _monthly_turbidity(site: Site) -> np.ndarray:
    """Linke turbidity of the site's grid cell, (12,): twentieths, in cells of 5 minutes of arc from 90 N and 180 W on,
    in the file that pvlib.clearsky.lookup_linke_turbidity reads."""
    import h5py

    found = find_spec("pvlib")
    assert found is not None and found.origin is not None
    with h5py.File(Path(found.origin).parent / "data" / "LinkeTurbidities.h5", "r") as table:
        grid = table["LinkeTurbidity"]
        rows, columns, _ = grid.shape
        return grid[_cell(site.latitude_deg, 90, -90, rows), _cell(site.longitude_deg, -180, 180, columns)] / 20


def _cell(at_deg: float, first_deg: float, last_deg: float, cells: int) -> int:
    """The cell whose middle is nearest; on the edge of two the one that pvlib takes, to its last rounding."""
    per_degree = cells / (last_deg - first_deg)
    return min(max(round((at_deg - (first_deg + 1 / per_degree / 2)) * per_degree), 0), cells - 1)


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
