"""What lies round about a place: distances, the shore, and whether it stands above or below the country near it."""

from __future__ import annotations

from typing import NamedTuple

import numpy as np

EARTH_KM = 6371.0
SHORE_KM = 30.0
"""Over so many km inland the sea is felt less by a factor e. Chosen on stations left out;
10 to 80 do nearly as well."""
COUNTRY_KM, COUNTRY_POINTS, SAME_SPOT_KM = 20.0, 25, 1.0
"""Heights of so many known points about a place count, those nearer more, by a factor e for every COUNTRY_KM."""
LONE = 0.05
"""Weight of an unknown country as high as the place itself, where few heights are known."""


class CoastPoints(NamedTuple):
    latitude: np.ndarray
    longitude: np.ndarray


class Heights(NamedTuple):
    """Points of known height above the sea [m]."""

    latitude: np.ndarray
    longitude: np.ndarray
    height_m: np.ndarray


def distances_km(latitude: float, longitude: float, latitudes: np.ndarray, longitudes: np.ndarray) -> np.ndarray:
    """Great-circle distances from one place [degrees] to many (haversine formula, textbook)."""
    there, here = np.radians(latitudes), np.radians(latitude)
    half_lat, half_lon = (there - here) / 2, np.radians(longitudes - longitude) / 2
    square = np.sin(half_lat) ** 2 + np.cos(there) * np.cos(here) * np.sin(half_lon) ** 2
    return 2 * EARTH_KM * np.arcsin(np.sqrt(np.clip(square, 0.0, 1.0)))


def coast_share(shore: CoastPoints, latitude: float, longitude: float) -> float:
    """How much of the sea is felt: 1 on the shore, less by a factor e for every SHORE_KM."""
    return float(np.exp(-distances_km(latitude, longitude, *shore).min() / SHORE_KM))


def relief(heights: Heights, latitude: float, longitude: float, height_m: float) -> float:
    """How far a place stands above the towns and stations round about [m], below them negative."""
    near = np.abs(heights.latitude - latitude) < 3.0
    if near.sum() <= COUNTRY_POINTS:
        near[:] = True
    km = distances_km(latitude, longitude, heights.latitude[near], heights.longitude[near])
    nearest = np.argsort(km, kind="stable")[:COUNTRY_POINTS]
    weight = np.exp(-km[nearest] / COUNTRY_KM) * (km[nearest] > SAME_SPOT_KM)
    above = height_m - heights.height_m[near][nearest]
    return float((weight @ above) / (weight.sum() + LONE))
