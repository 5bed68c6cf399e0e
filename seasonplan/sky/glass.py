"""What window glass and curtains let through.

Glass: Fresnel reflection at both faces of every pane and absorption along the refracted path, for unpolarised light
(Duffie and Beckman, Solar Engineering of Thermal Processes, eqs. 5.1.1 to 5.1.8 and 5.2.2); the absorption is set so
that light falling in squarely gets through as data/glazing.csv says.
"""

from __future__ import annotations

from functools import cache

import numpy as np

from seasonplan.data import table
from seasonplan.sky.settings import settings

TABLE_STEP_DEG = 1.0


def surface_reflectance(incidence_deg: np.ndarray, index: float) -> tuple[np.ndarray, np.ndarray]:
    """Reflectance of one air-glass surface for light polarised across and along the plane of incidence (5.1.1-5.1.2).

    incidence_deg: 0 to below 90, any shape.
    """
    inside = _refracted_rad(incidence_deg, index)
    outside = np.maximum(np.radians(incidence_deg), 1e-6)
    inside = np.maximum(inside, 1e-6 / index)
    across = (np.sin(inside - outside) / np.sin(inside + outside)) ** 2
    along = (np.tan(inside - outside) / np.tan(inside + outside)) ** 2
    return across, along


def pane_transmittance(incidence_deg: np.ndarray, panes: int, normal: float, index: float) -> np.ndarray:
    """Transmittance of `panes` panes that let `normal` through at incidence 0, at other angles (5.1.8, 5.2.2)."""
    angles = np.append(0.0, np.ravel(incidence_deg))
    passed = np.mean([(1 - r) / (1 + (2 * panes - 1) * r) for r in surface_reflectance(angles, index)], axis=0)
    absorbed = (normal / passed[0]) ** (1 / np.cos(_refracted_rad(angles, index)))
    return (passed * absorbed)[1:].reshape(np.shape(incidence_deg))


def glass_transmittance(glazing: str, cos_incidence: np.ndarray) -> np.ndarray:
    """Transmittance of a glazing of data/glazing.csv for the cosine of the angle of incidence; 0 from behind."""
    cosines, values = _curve(glazing)
    return np.interp(cos_incidence, cosines, values, left=0.0)


def curtain_shares(curtain: str) -> tuple[float, float]:
    """What a curtain of data/curtains.csv lets through in all, and the part of that which it does not scatter."""
    row = _row("curtains", curtain)
    return float(row["transmittance"]), float(row["direct_share"])


@cache
def _curve(glazing: str) -> tuple[np.ndarray, np.ndarray]:
    row, angles = _row("glazing", glazing), np.arange(0.0, 90.0, TABLE_STEP_DEG)
    values = pane_transmittance(angles, int(row["panes"]), float(row["transmittance_normal"]),
                                settings().glass_refractive_index)
    return np.append(0.0, np.cos(np.radians(angles[::-1]))), np.append(0.0, values[::-1])


def _refracted_rad(incidence_deg: np.ndarray, index: float) -> np.ndarray:
    return np.arcsin(np.sin(np.radians(incidence_deg)) / index)


def _row(name: str, key: str) -> dict[str, str]:
    rows = {row["key"]: row for row in table(name)}
    if key not in rows:
        raise ValueError(f"{key!r} is not in {name}.csv; allowed: {', '.join(rows)}")
    return rows[key]
