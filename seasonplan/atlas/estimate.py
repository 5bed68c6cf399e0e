"""The normals of a place that has none of its own, from the stations round about it.

Monthly lows and highs: a regression over the nearest stations on height, latitude, shore and relief (cold air gathers
in valleys), each month for itself; a station counts less the farther it is and the more its height differs, and the
slopes are held towards what is usual. What the nearest stations still differ by is carried over within "spot_km".
Sunshine: the share of the day that the sun shines, from the nearest stations that tell it. The error is one that nine
months in ten keep at stations left out, fitted to how well the stations round about agree, their distance and their
heights (data/estimate_settings.csv; `python tests/truth/estimates.py` prints the evidence).
"""

from __future__ import annotations

from functools import cache

import numpy as np

from seasonplan.atlas.nearby import CoastPoints, Heights, coast_share, distances_km, relief
from seasonplan.atlas.tables import coast, stations, towns
from seasonplan.data import table
from seasonplan.dates import MONTH_LENGTHS, MONTH_STARTS
from seasonplan.model import Estimate, NearStation, Normals

TOLD = 3
"""So many of the stations are named to the reader: those that weigh most."""


@cache
def setting(name: str) -> float:
    """The value called `name` in data/estimate_settings.csv; KeyError when there is none."""
    return {row["name"]: float(row["value"]) for row in table("estimate_settings")}[name]


def estimated_normals(latitude: float, longitude: float, elevation_m: float, nearer_km: float = -1.0) -> Normals:
    """Normals at a place [degrees, m], with how sure they are in `estimate`. Stations within `nearer_km` are left out
    (so that what is estimated can be held against what they say)."""
    rows, km, weight = _nearest(latitude, longitude, elevation_m, nearer_km)
    here = np.array([elevation_m / 1000, latitude, _relief_at(latitude, longitude, elevation_m),
                     coast_share(CoastPoints(*coast()), latitude, longitude)])
    table_ = stations()
    there = np.stack([table_.elevation_m[rows] / 1000, table_.latitude[rows], _held(table_.relief_m[rows]),
                      table_.coast[rows]])
    offsets = (there - here[:, None]).T
    spot = np.exp(-(km**2 + (setting("height_km_per_km") * offsets[:, 0]) ** 2) / setting("spot_km") ** 2)
    low, spread = _regression(table_.low_c[:, rows], offsets, weight, spot, -setting("lapse_low"))
    high, _ = _regression(table_.high_c[:, rows], offsets, weight, spot, -setting("lapse_high"))
    error = _error_c(spread, float(km.min()), abs(float(offsets[:10, 0].mean())) * 1000)
    named = sorted(np.argsort(-weight, kind="stable")[:TOLD], key=lambda n: km[n])
    near = tuple(NearStation(table_.names[rows[n]], float(km[n]), float(table_.elevation_m[rows[n]])) for n in named)
    return Normals(low, None, np.maximum(high, low + 0.5), _sunshine_h(latitude, longitude, nearer_km), None,
                   f"estimated from {near[0].name}, {near[0].km:.0f} km", Estimate(error, near))


def _nearest(latitude: float, longitude: float, elevation_m: float,
             nearer_km: float) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
    """(rows, distances [km], weights that sum to 1) of the stations that count, the nearest first, height counted as
    distance."""
    table_ = stations()
    km = distances_km(latitude, longitude, table_.latitude, table_.longitude)
    climb = setting("height_km_per_km") * (table_.elevation_m - elevation_m) / 1000
    away = np.where(km <= nearer_km, np.inf, km**2 + climb**2)
    rows = np.argsort(away, kind="stable")[:int(setting("stations"))]
    weight = 1 / (away[rows] + setting("softening_km") ** 2)
    return rows, km[rows], weight / weight.sum()


def _regression(values: np.ndarray, offsets: np.ndarray, weight: np.ndarray, spot: np.ndarray,
                lapse: float) -> tuple[np.ndarray, float]:
    """((12,) values at the place, the weighted rms of what the stations (12, n) differ by from the regression [°C]).

    offsets: (n, 4) by how much the stations differ from the place. Slopes have a prior of mean 0 (height: `lapse`) and
    the widths of the settings; a station's own departure has "station_sd".
    """
    known = ~np.isnan(values).any(axis=0)
    values, offsets, weight, spot = values[:, known].T, offsets[known], weight[known], spot[known]
    weight = weight / weight.sum()
    design = np.column_stack([np.ones(len(offsets)), offsets])
    prior = np.array([np.inf, *(setting(f"slope_{name}") for name in ("height", "latitude", "relief", "coast"))]) ** -2
    usual = np.array([0.0, lapse, 0.0, 0.0, 0.0])
    count = weight * len(weight) / setting("station_sd") ** 2
    system = design.T @ (design * count[:, None]) + np.diag(prior)
    slopes = np.linalg.solve(system, design.T @ (values * count[:, None]) + (prior * usual)[:, None])
    left = values - design @ slopes
    carried = spot @ left / (spot.sum() + setting("spot_doubt"))
    return slopes[0] + carried, float(np.sqrt(np.mean(weight @ left**2)))


def _error_c(spread_c: float, nearest_km: float, climb_m: float) -> float:
    """What nine months in ten keep at stations left out [°C]."""
    return float(np.exp(setting("error_constant") + setting("error_spread") * np.log(spread_c + 0.1)
                        + setting("error_distance") * np.log1p(nearest_km / 50)
                        + setting("error_height") * np.log1p(climb_m / 200)))


@cache
def _heights() -> Heights:
    one, two = stations(), towns()
    return Heights(np.concatenate([one.latitude, two.latitude]), np.concatenate([one.longitude, two.longitude]),
                   np.concatenate([one.elevation_m, two.elevation_m]))


def _relief_at(latitude: float, longitude: float, elevation_m: float) -> float:
    return float(_held(relief(_heights(), latitude, longitude, elevation_m)))


def _held(relief_m: np.ndarray | float) -> np.ndarray:
    """Relief in units of its limit, beyond which it counts no further."""
    limit = setting("relief_limit_m")
    return np.clip(relief_m, -limit, limit) / limit


def _sunshine_h(latitude: float, longitude: float, nearer_km: float) -> np.ndarray | None:
    """(12,) hours of sunshine a day; None where no station within "sun_km" tells it."""
    rows, hours = stations().sparse("sun")
    km = distances_km(latitude, longitude, stations().latitude[rows], stations().longitude[rows])
    km = np.where(km <= nearer_km, np.inf, km)
    near = np.argsort(km, kind="stable")[:int(setting("sun_stations"))]
    if km[near[0]] > setting("sun_km"):
        return None
    weight = (km[near] + setting("sun_softening_km")) ** -2.0
    longest = np.maximum(day_length_h(stations().latitude[rows[near]]), 0.5)
    share = np.clip(hours[:, near].T / longest, 0.0, 1.0)
    return (weight @ share / weight.sum()) * day_length_h(np.array([latitude]))[0]


def day_length_h(latitude: np.ndarray) -> np.ndarray:
    """(n, 12) hours from sunrise to sunset in the middle of each month (FAO-56, equations 24, 25 and 34)."""
    middle = np.array(MONTH_STARTS) + np.array(MONTH_LENGTHS) / 2
    tilt = 0.409 * np.sin(2 * np.pi * middle / 365 - 1.39)
    return 24 / np.pi * np.arccos(np.clip(-np.tan(np.radians(latitude))[:, None] * np.tan(tilt), -1.0, 1.0))
