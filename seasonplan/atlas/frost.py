"""The stations near a place that count their days of frost."""

from __future__ import annotations

import numpy as np

from seasonplan.atlas.estimate import setting
from seasonplan.atlas.nearby import distances_km
from seasonplan.atlas.tables import stations
from seasonplan.dates import MONTH_LENGTHS
from seasonplan.model import NearFrost

FEBRUARY_DAYS = 28.25


def near_frost(latitude: float, longitude: float, elevation_m: float, nearer_km: float = -1.0) -> NearFrost | None:
    """Those that count most, a difference of height counted as distance; None where there is none within "frost_km".
    Stations within `nearer_km` are left out."""
    table = stations()
    rows, days = table.sparse("frost")
    km = distances_km(latitude, longitude, table.latitude[rows], table.longitude[rows])
    away = np.hypot(km, setting("height_km_per_km") * (table.elevation_m[rows] - elevation_m) / 1000)
    away = np.where(km <= nearer_km, np.inf, away)
    nearest = np.argsort(away, kind="stable")[:int(setting("frost_stations"))]
    nearest = nearest[away[nearest] <= setting("frost_km")]
    if not len(nearest):
        return None
    lengths = np.array(MONTH_LENGTHS, dtype=float)
    lengths[1] = FEBRUARY_DAYS
    return NearFrost(table.low_c[:, rows[nearest]].T, days[:, nearest].T / lengths, table.latitude[rows[nearest]],
                     table.elevation_m[rows[nearest]], 1 / (1 + (away[nearest] / setting("frost_half_km")) ** 2))
