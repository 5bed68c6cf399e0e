"""The chance of each coming night being one that marks a plant, by the season's usual nights."""

from __future__ import annotations

from datetime import date, timedelta

import numpy as np

from seasonplan.climate.at_plant import usual_lift_c
from seasonplan.climate.process import night_chance
from seasonplan.dates import day_index
from seasonplan.model import NightClimate, Place, Plant


def harmful_nights(climate: NightClimate, plant: Plant, place: Place, out: date, first: date,
                   until: date) -> np.ndarray:
    """(nights,) chance that a plant at a place is marked in each night from the evening of `first` up to that of the
    day before `until`; out: the day it went out, which decides what it bears (model.Bearing)."""
    lift_c = usual_lift_c(place, float(climate.sd_c.mean()))
    evenings = [first + timedelta(days=n) for n in range(max((until - first).days, 0))]
    levels = np.array([plant.harm_after_c((evening - out).days) - lift_c for evening in evenings])
    if not evenings:
        return levels
    mornings = [day_index(evening + timedelta(days=1)) for evening in evenings]
    return np.diagonal(night_chance(climate, levels)[:, mornings])


def any_of(chances: np.ndarray) -> float:
    """Chance of at least one of several nights, at most: as if they were independent; cold nights come in runs, so that
    it is less."""
    return float(1 - np.prod(1 - chances))
