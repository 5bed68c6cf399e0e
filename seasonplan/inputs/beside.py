"""Normals beside what the stations round about say: what was not given is taken from them, what is far off is doubted.

Everything given wins. Lows are doubted that are off by DOUBTED_ERRORS times the estimate's error in DOUBTED_MONTHS
months, or lie all year like mean temperatures: of 775 stations left out the first doubts none and the second one, and
together they find 97 in a hundred of those whose mean temperatures are given for their lows
(tests/truth/estimates.py prints it).
"""

from __future__ import annotations

from dataclasses import replace

import numpy as np

from seasonplan import wording as w
from seasonplan.atlas.estimate import estimated_normals
from seasonplan.atlas.frost import near_frost
from seasonplan.dates import MONTH_NAMES, month_means
from seasonplan.model import Normals, Site

DOUBTED_ERRORS, DOUBTED_MONTHS = 3.0, 3
LIKE_MEANS_ERRORS, LIKE_MEANS_MONTHS = 1.3, 10
LEAST_SPAN_C = 0.5
FITS_ERRORS = 2.0
"""Off by less than so many errors on average, lows fit."""


def estimated_at(site: Site) -> Normals:
    """Normals from the stations round about, at the height of the site or of the station that was named."""
    where = site.latitude_deg, site.longitude_deg, site.normals_height_m
    return replace(estimated_normals(*where), near_frost=near_frost(*where))


def beside_stations(given: Normals, site: Site, units: str) -> Normals:
    """Given normals with the highs and sunshine they lack, days of frost near by, and a doubt where there is one."""
    told = estimated_at(site)
    missing = {}
    if given.tmax_c is None:
        assert told.tmax_c is not None
        missing["tmax_c"] = np.maximum(told.tmax_c, month_means(given.tmin_c) + LEAST_SPAN_C)
    if given.sunshine_h is None and given.ghi_mj is None and told.sunshine_h is not None:
        missing["sunshine_h"] = told.sunshine_h
    return replace(given, **missing, near_frost=told.near_frost, from_stations=tuple(missing),
                   doubt=doubt(month_means(given.tmin_c), told, units))


def doubt(given_c: np.ndarray, told: Normals, units: str) -> str:
    """A question about monthly lows (12,) [°C] far from what the stations tell, else ""."""
    assert told.estimate is not None and told.tmax_c is not None
    error_c, off = told.estimate.error_c, given_c - told.tmin_c
    off_mean = np.abs(given_c - (told.tmin_c + told.tmax_c) / 2)
    like_means = bool((off_mean < np.abs(off)).sum() >= LIKE_MEANS_MONTHS
                      and np.abs(off).mean() > LIKE_MEANS_ERRORS * error_c and off_mean.mean() < FITS_ERRORS * error_c)
    if not like_means and (np.abs(off) > DOUBTED_ERRORS * error_c).sum() < DOUBTED_MONTHS:
        return ""
    worst = int(np.argmax(np.abs(off)))
    near = told.estimate.stations[0]
    fits = [question for question, otherwise in (
        ("Are they in °F? Then the column's name is tmin_f.", (given_c - 32) / 1.8),
        ("Are they in °C after all? Then the column's name is tmin_c.", given_c * 1.8 + 32))
        if np.abs(otherwise - told.tmin_c).mean() < FITS_ERRORS * error_c]
    question = fits[0] if fits else "Are they mean temperatures rather than night lows?" if like_means else \
        "Are they in °F, mean temperatures, or another town's?"
    return (f"The night lows given are far from what stations round about say: {MONTH_NAMES[worst]} "
            f"{w.temperature(float(given_c[worst]), units)}, by {near.name}, {w.distance(near.km, units)} away, and "
            f"others {w.temperature(float(told.tmin_c[worst]), units)}. {question}")
