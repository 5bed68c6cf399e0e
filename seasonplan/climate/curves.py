"""Smooth curves round the year, and the normal distribution, in plain NumPy.

`month_curve` is the smoothest periodic curve (least sum of squared second differences over the 365 days) whose
monthly means equal twelve given numbers exactly. It depends linearly on them, so one 365 x 12 matrix serves every
station.
"""

from __future__ import annotations

import math
from functools import cache

import numpy as np

from seasonplan.dates import DAYS, MONTH_LENGTHS

KEPT_HARMONICS = 8
"""Waves per year kept of daily values; faster ones (under about 45 days) are chance in a few decades of weather."""
_TABLE_END = 8.5
_TABLE_STEPS = 17_000


def month_curve(monthly: np.ndarray) -> np.ndarray:
    """(..., 12) monthly means to the (..., 365) daily values of the smoothest periodic curve that has those means."""
    return np.asarray(monthly, dtype=float) @ _spread_matrix().T


def smooth_days(daily: np.ndarray, harmonics: int = KEPT_HARMONICS) -> np.ndarray:
    """(..., 365) daily values with the waves faster than `harmonics` per year taken out; the yearly mean stays."""
    waves = np.fft.rfft(np.asarray(daily, dtype=float), axis=-1)
    waves[..., harmonics + 1:] = 0.0
    return np.fft.irfft(waves, n=DAYS, axis=-1)


def year_curve(values: np.ndarray) -> np.ndarray:
    """A daily curve from (12,) monthly means or (365,) daily values; (365,)."""
    values = np.asarray(values, dtype=float)
    return month_curve(values) if values.shape[-1] == 12 else smooth_days(values)


@cache
def _month_boxes() -> np.ndarray:
    """(12, 365): row m averages over month m."""
    month_of_day = np.repeat(np.arange(12), MONTH_LENGTHS)
    return (month_of_day == np.arange(12)[:, None]) / np.array(MONTH_LENGTHS)[:, None]


@cache
def _spread_matrix() -> np.ndarray:
    """(365, 12): monthly means to the smoothest curve, by Lagrange multipliers in the Fourier domain."""
    boxes = _month_boxes()
    roughness = (2 - 2 * np.cos(2 * np.pi * np.arange(DAYS // 2 + 1) / DAYS)) ** 2
    softened = np.fft.rfft(boxes, axis=1)
    softened[:, 0] = 0.0
    softened[:, 1:] /= roughness[1:]
    shapes = np.fft.irfft(softened, n=DAYS, axis=1)
    system = np.zeros((13, 13))
    system[:12, :12] = boxes @ shapes.T
    system[:12, 12] = system[12, :12] = 1.0
    weights = np.linalg.solve(system, np.eye(13)[:, :12])
    return shapes.T @ weights[:12] + weights[12]


def normal_chance(z: np.ndarray) -> np.ndarray:
    """Chance that a standard normal is at or below z; any shape, infinities allowed. Error below 5e-8."""
    at, chance = _normal_table()
    return np.interp(z, at, chance, left=0.0, right=1.0)


@cache
def _normal_table() -> tuple[np.ndarray, np.ndarray]:
    at = np.linspace(-_TABLE_END, _TABLE_END, _TABLE_STEPS + 1)
    return at, np.array([0.5 * math.erfc(-z / math.sqrt(2.0)) for z in at.tolist()])
