"""Forecasts held against the person's own thermometers: what a source gets wrong at a garden, and how sure that is.

Every reading is paired with what the source had said of its night. The mean miss of a place is the source's bias at the
garden plus the place's own (a lift that is not quite right); both start from zero with a prior spread and are worked
out together (normal prior, normal error: Gelman et al., Bayesian Data Analysis, section 3.5; from memory), so that what
one place teaches the others share in part. A few nights teach nothing: the first UNHEARD of each place are not counted,
and misses of neighbouring nights are alike. Later leads start from what the first ones taught.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from datetime import date, timedelta
from functools import cache
from math import hypot, sqrt
from statistics import fmean, pvariance
from typing import NamedTuple

import numpy as np

from seasonplan.climate.at_plant import plant_shift
from seasonplan.model import EarlierForecast, Place, Reading, Site
from seasonplan.weather.lesson import UNTAUGHT_BIAS_SD_C, Lesson
from seasonplan.weather.skill import error_sd_c, site_shift_c

SOURCE_SD_C, PLACE_SD_C = 0.9, 0.45
"""Prior spread of a source's bias at a garden, and of a place's beyond it [°C]. Our setting."""
LEAD_SD_C = 0.3
"""Prior spread of a later lead's bias about the first one's [°C]. Our setting."""
UNHEARD = 3
"""So many nights teach nothing."""
LIKE_YESTERDAY = 0.4
"""Correlation of the misses of neighbouring nights. Our setting; forecasts of honest error in
tests/truth/watch_seasons.py have 0.5."""
PRIOR_NIGHTS = 20
"""The table's spread counts for as much as so many nights of one's own. Our setting."""
LATELY_NIGHTS = 90
"""Older nights are left out: sources change, and so does the season. Our setting."""
FIRST_LEADS = 3
"""A night's shortest lead below this stands for the source."""
ODD_SDS = 3.0
"""A miss beyond so many sd counts as so many: a thermometer in the sun, a slip of the pen. Our setting."""
SAME_DATE_NIGHTS, CLEARLY_BETTER = 10, 0.6
"""From so many nights on, dates of readings are taken as the evenings' where the misses then vary this much less."""


Guess = tuple[float, float]
"""A number and how sure it is, its sd [°C]."""


class Miss(NamedTuple):
    """How much colder (negative) a night was at a place than forecast so many days ahead, bounded; and the usual sd of
    such a miss [°C]."""

    place: str
    night: date
    lead_days: int
    tamed_c: float
    usual_sd_c: float


@dataclass(frozen=True)
class Learned:
    """lessons: by the name of the place. source_c: the bias that all places share, and its sd [°C]; lifts: what each
    place is warmer beyond it than its lift says, and the sd; nights: how many nights were read at each place; evenings:
    whether readings are dated by the evening."""

    lessons: Mapping[str, Lesson] = field(default_factory=dict)
    source_c: Guess = (0.0, SOURCE_SD_C)
    lifts: Mapping[str, Guess] = field(default_factory=dict)
    nights: Mapping[str, int] = field(default_factory=dict)
    evenings: bool = False


NOTHING = Learned()


def learn(readings: Sequence[Reading], earlier: Sequence[EarlierForecast], site: Site, places: Sequence[Place],
          source: str) -> Learned:
    """What the readings teach about a source, for every outdoor place."""
    told = [one for one in earlier if one.source == source]
    if not readings or not told:
        return NOTHING
    misses, evenings = _dated(readings, told, site, places)
    first = _firsts(misses)
    by_place = _grouped(first, lambda miss: miss.place)
    names = [place.name for place in places if place.outdoors]
    biases, shared, lifts = _biases(by_place, names)
    centred = [(miss, miss.tamed_c - biases[miss.place][0]) for miss in misses if miss.place in biases]
    spread = _spread([(miss, miss.tamed_c - biases[miss.place][0]) for miss in first], 1.0)
    count = {name: len(by_place.get(name, ())) for name in names}
    if max(count.values(), default=0) <= UNHEARD:
        return NOTHING
    leads = [_lead(centred, lead, spread) for lead in range(max(miss.lead_days for miss in misses) + 1)]
    lessons = {name: _lesson(biases[name], leads, count[name] or max(count.values())) for name in names}
    return Learned(lessons, shared, lifts, {name: n for name, n in count.items() if n}, evenings)


def _dated(readings: Sequence[Reading], told: Sequence[EarlierForecast], site: Site,
           places: Sequence[Place]) -> tuple[list[Miss], bool]:
    """The misses, readings dated by the morning or, where that is plainly what the person does, by the evening."""
    soon = [one for one in told if (one.night - one.issued).days < FIRST_LEADS]
    morning, evening = (_misses(readings, by, site, places, timedelta(days=back))
                        for by, back in ((told, 1), (soon, 0)))
    firsts = [_firsts(misses) for misses in (morning, evening)]
    if min(map(len, firsts)) < SAME_DATE_NIGHTS:
        return morning, False
    varies = [pvariance([miss.tamed_c for miss in first]) for first in firsts]
    if varies[1] < CLEARLY_BETTER * varies[0]:
        return _misses(readings, told, site, places, timedelta(days=0)), True
    return morning, False


def _misses(readings: Sequence[Reading], told: Sequence[EarlierForecast], site: Site, places: Sequence[Place],
            back: timedelta) -> list[Miss]:
    shifts = {place.name: plant_shift(place) for place in places if place.outdoors}
    lows: dict[date, dict[str, float]] = defaultdict(dict)
    for reading in readings:
        if reading.place in shifts:
            lows[reading.date - back][reading.place] = reading.tmin_c
    since = max(lows, default=date.min) - timedelta(days=LATELY_NIGHTS) if lows else date.min
    shift_c = cache(lambda name, sky, elevation_m: site_shift_c(elevation_m, site) + shifts[name].on(sky))
    found = []
    for one in told:
        if one.night in lows and one.night >= since:
            lead = (one.night - one.issued).days
            usual = error_sd_c(lead) or error_sd_c(0) or 1.0
            for name, low in lows[one.night].items():
                miss = low - one.low_c - shift_c(name, one.calm_clear, one.elevation_m)
                found.append(Miss(name, one.night, lead, min(max(miss, -ODD_SDS * usual), ODD_SDS * usual), usual))
    return found


def _firsts(misses: Iterable[Miss]) -> list[Miss]:
    """Of each night and place the miss of the shortest lead, where that is one of the first."""
    best: dict[tuple[str, date], Miss] = {}
    for miss in misses:
        key = (miss.place, miss.night)
        if miss.lead_days < FIRST_LEADS and (key not in best or miss.lead_days < best[key].lead_days):
            best[key] = miss
    return list(best.values())


def _grouped(misses: Iterable[Miss], key) -> dict:
    found = defaultdict(list)
    for miss in misses:
        found[key(miss)].append(miss)
    return found


def _heard(nights: int) -> float:
    """How many independent nights so many stand for."""
    return max(nights - UNHEARD, 0) * (1 - LIKE_YESTERDAY) / (1 + LIKE_YESTERDAY)


def _biases(by_place: Mapping[str, Sequence[Miss]],
            names: Sequence[str]) -> tuple[dict[str, Guess], Guess, dict[str, Guess]]:
    """The bias of each place, that of the source alone, and that of each place beyond it."""
    heard = [name for name in names if _heard(len(by_place.get(name, ()))) > 0]
    precision = np.diag([SOURCE_SD_C**-2, *[PLACE_SD_C**-2] * len(names)])
    weighted = np.zeros(len(names) + 1)
    for name in heard:
        misses = by_place[name]
        off = [miss.tamed_c for miss in misses]
        usual = fmean(miss.usual_sd_c**2 for miss in misses)
        sure = _heard(len(misses)) / max(usual, pvariance(off))
        parts = np.zeros(len(names) + 1)
        parts[0] = parts[1 + names.index(name)] = 1.0
        precision += sure * np.outer(parts, parts)
        weighted += sure * fmean(off) * parts
    covers = np.linalg.inv(precision)
    means = covers @ weighted
    sums = [(float(means[0] + means[1 + n]), sqrt(covers[0, 0] + covers[1 + n, 1 + n] + 2 * covers[0, 1 + n]))
            for n in range(len(names))]
    lifts = [(float(means[1 + n]), sqrt(covers[1 + n, 1 + n])) for n in range(len(names))]
    source = float(means[0]), sqrt(covers[0, 0])
    return dict(zip(names, sums, strict=True)), source, dict(zip(names, lifts, strict=True))


def _spread(centred: Sequence[tuple[Miss, float]], prior: float) -> float:
    """The misses' sd as a share of the usual one, a prior share counting for PRIOR_NIGHTS."""
    squares = sum((off / miss.usual_sd_c) ** 2 for miss, off in centred)
    return sqrt((PRIOR_NIGHTS * prior**2 + squares) / (PRIOR_NIGHTS + len(centred)))


def _lead(centred: Sequence[tuple[Miss, float]], lead: int, spread: float) -> tuple[float, float, float]:
    """(bias beyond that of the first nights, its sd, spread) of one lead."""
    own = [(miss, off) for miss, off in centred if miss.lead_days == lead]
    if lead < FIRST_LEADS or not own:
        return 0.0, 0.0 if lead < FIRST_LEADS else LEAD_SD_C, _spread(own, spread)
    heard = _heard(len(own)) / own[0][0].usual_sd_c**2
    sure = heard / (heard + LEAD_SD_C**-2)
    return sure * fmean(off for _, off in own), LEAD_SD_C * sqrt(1 - sure), _spread(own, spread)


def _lesson(bias: Guess, leads: Sequence[tuple[float, float, float]], nights: int) -> Lesson:
    return Lesson(tuple(bias[0] + more for more, _, _ in leads),
                  tuple(min(hypot(bias[1], sd), UNTAUGHT_BIAS_SD_C) for _, sd, _ in leads),
                  tuple(spread for _, _, spread in leads), nights)
