"""What the package knows of the world, as it is handed on: a town, and how an estimate came about."""

from __future__ import annotations

from dataclasses import dataclass
from typing import NamedTuple

import numpy as np

IMPERIAL = frozenset({"US", "PR", "GU", "VI", "AS", "MP"})
"""Countries that measure in °F, feet and inches (memory)."""


@dataclass(frozen=True)
class Town:
    """A town of the table. country, region: codes; state: the region's name where it is known, else ""."""

    name: str
    country: str
    country_name: str
    region: str
    state: str
    latitude: float
    longitude: float
    elevation_m: float
    timezone: str
    people: int

    @property
    def imperial(self) -> bool:
        return self.country in IMPERIAL

    @property
    def full_name(self) -> str:
        """As a person may type it to mean this town: "Portland, Oregon, US", "Leeds, GB"."""
        state = self.state if self.country in ("US", "CA", "AU") else ""
        return ", ".join(part for part in (self.name, state, self.country) if part)


class NearStation(NamedTuple):
    """A station that an estimate was made from."""

    name: str
    km: float
    elevation_m: float


class NearFrost(NamedTuple):
    """Days of frost at n stations near a place, which tell how far nights stray from their mean: low_c their mean
    lows and share their share of nights below 0 °C, (n, 12); latitude_deg, height_m and weight, 1 on the spot and
    less with distance, (n,)."""

    low_c: np.ndarray
    share: np.ndarray
    latitude_deg: np.ndarray
    height_m: np.ndarray
    weight: np.ndarray


@dataclass(frozen=True)
class Estimate:
    """How sure estimated normals are. error_c: nine months in ten lie within it [°C]; stations: those that count most,
    the nearest first."""

    error_c: float
    stations: tuple[NearStation, ...]
