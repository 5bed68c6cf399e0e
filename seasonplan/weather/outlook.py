"""The nights to come as distributions: the forecast where there is one, the night model after it.

A forecast of one number is the true low plus an error (skill), so what it says is weighed against what is usual for
the date: with forecast f of error sd e and a climate of mean m and sd s, the low is normal with mean m + w (f - m) and
variance w e^2, where w = s^2 / (s^2 + e^2). (Normal prior, normal error: Gelman et al., Bayesian Data Analysis, section
2.5; from memory.) Percentiles in a table say how large e is. An ensemble is a distribution already: it
is taken as it is and not pulled to the climate.
What readings taught (Lesson) moves and widens either; without any, the source may
be off at this garden by an unknown bias. After the last forecast night, and in gaps, the night model goes
on from the last known one.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date, timedelta
from functools import cached_property
from math import hypot

import numpy as np

from seasonplan.climate.ahead import nights_ahead
from seasonplan.climate.at_plant import clear_share, plant_shift
from seasonplan.climate.curves import normal_chance
from seasonplan.climate.process import standard_levels
from seasonplan.dates import DAYS, day_index
from seasonplan.model import Forecast, ForecastNight, NightClimate, OutlookNight, Place, Site
from seasonplan.weather.lesson import NOTHING_LEARNED, Lesson
from seasonplan.weather.skill import ENSEMBLE_EXTRA_SD_C, acting_margin_c, error_sd_c, own_spread_c, site_shift_c

FREEZE_C = 0.0
JUMPINESS = 0.5
"""Share of the evening's error that is new and not a rest of the earlier one: 0 for a source that only ever gets
better, 1 for one that starts afresh every day. Our setting."""
LEAST_SD_C = 0.1
"""Keeps divisions apart from zero [°C]; no forecast is that sure."""


def climate_day(night: date) -> date:
    """The date under which a night's low stands in daily records and normals: the morning after its evening."""
    return night + timedelta(days=1)


@dataclass(frozen=True, eq=False)
class SiteNights:
    """The screen's lows on consecutive nights, as one place's lesson has them; arrays (n,) [°C].

    said_c: the forecast's own word, the model's mean where it has none; mean_c with below_c and above_c, the sd of
    either side: the distribution; evening_sd_c: what the sd will be when the evening of each night has come.
    """

    said_c: np.ndarray
    mean_c: np.ndarray
    below_c: np.ndarray
    above_c: np.ndarray
    evening_sd_c: np.ndarray


@dataclass(frozen=True, eq=False)
class ComingNights:
    """The nights to come at every place. told: the forecast night behind each, None where the model speaks; index (n,):
    climate day of each low; share (n,): chance that the night is clear and calm; at_site: one per place."""

    climate: NightClimate
    nights: tuple[date, ...]
    places: tuple[Place, ...]
    told: tuple[ForecastNight | None, ...]
    index: np.ndarray
    share: np.ndarray
    at_site: tuple[SiteNights, ...]

    @cached_property
    def rows(self) -> dict[str, int]:
        """The row of each place in arrays over places."""
        return {place.name: n for n, place in enumerate(self.places)}

    @cached_property
    def beyond(self) -> np.ndarray:
        """Positions of the nights for which the model speaks."""
        return np.flatnonzero([night is None for night in self.told])

    @cached_property
    def usual(self) -> NightClimate:
        """The climate on the nights for which the model speaks."""
        return on_days(self.climate, self.index[self.beyond])

    @cached_property
    def lows(self) -> SiteNights:
        """The lows as the place's lesson has them, each array (places, n)."""
        return SiteNights(*(np.array([getattr(site, name) for site in self.at_site])
                            for name in ("said_c", "mean_c", "below_c", "above_c", "evening_sd_c")))

    @cached_property
    def shifts_c(self) -> tuple[np.ndarray, np.ndarray]:
        """(places,) what to add for the plants on ordinary and on clear calm nights; infinite indoors, where no night
        does harm."""
        inside = np.array([0.0 if place.outdoors else np.inf for place in self.places])
        shifts = [plant_shift(place) for place in self.places]
        return (inside + np.array([s.ordinary_c for s in shifts]), inside + np.array([s.clear_c for s in shifts]))

    def low_c(self, place: Place) -> np.ndarray:
        """The lows to be expected at the plants of a place, by the forecast's own word [°C]: (n,)."""
        shift = plant_shift(place)
        return self.lows.said_c[self.rows[place.name]] + (1 - self.share) * shift.ordinary_c \
            + self.share * shift.clear_c

    def chance(self, rows: np.ndarray, levels_c: np.ndarray | float) -> np.ndarray:
        """Chance of a low at or below a level at the plants of a place: rows of places (..., n) or (..., 1) and levels
        that fit them [°C] give (..., n).

        Beyond the forecast the level is taken on the climate's own scale, lopsided as it may be, so that far ahead the
        chance is the climate's exactly.
        """
        found = 0.0
        for shift, share in zip(self.shifts_c, (1 - self.share, self.share), strict=True):
            found = found + share * normal_chance(self._scaled(rows, levels_c - shift[rows]))
        return np.asarray(found)

    @cached_property
    def freezing(self) -> np.ndarray:
        """Chance of a freeze at the plants of each place: (places, n)."""
        return self.chance(np.arange(len(self.places))[:, None], FREEZE_C)

    def acting(self, rows: np.ndarray, levels_c: np.ndarray, least_chance: float) -> np.ndarray:
        """Chance that, when its evening has come, a night is judged to have at least `least_chance` of a low at or
        below the level: same shapes as `chance`.

        The mean that the evening's forecast will give is itself normal about today's mean: what the spread loses until
        then is the variance of where the mean goes, and as forecasts forget what they knew, JUMPINESS of the evening's.
        """
        positions = np.arange(len(self.nights))
        ordinary, clear = (shift[rows] for shift in self.shifts_c)
        apart = np.where(np.isfinite(ordinary), ordinary - np.where(np.isfinite(clear), clear, 0.0), 0.0)
        evening = self.lows.evening_sd_c[rows, positions]
        margin = acting_margin_c(least_chance, evening, self.share, apart)
        mean, sd = self.lows.mean_c[rows, positions], self.lows.below_c[rows, positions]
        drift = np.sqrt(np.maximum(sd**2 - evening**2, LEAST_SD_C**2) + JUMPINESS * evening**2)
        return normal_chance((levels_c - ordinary + margin - mean) / drift)

    def _scaled(self, rows: np.ndarray, levels_c: np.ndarray) -> np.ndarray:
        """Levels at the site, (..., n), on the scale of the standard normal behind each night's low."""
        positions = np.arange(len(self.nights))
        mean = self.lows.mean_c[rows, positions]
        gap = levels_c - mean
        scaled = gap / np.where(gap < 0, self.lows.below_c[rows, positions], self.lows.above_c[rows, positions])
        if len(self.beyond):
            usual, moved = self.usual, mean[..., self.beyond] - self.usual.mean_c
            standard = standard_levels(usual, np.broadcast_to(levels_c, scaled.shape)[..., self.beyond])
            sd = self.lows.below_c[rows, positions][..., self.beyond]
            scaled[..., self.beyond] = (standard - moved / usual.sd_c) * usual.sd_c / sd
        return scaled


def on_days(climate: NightClimate, index: np.ndarray) -> NightClimate:
    """The climate with the days of `index` (n,) in place of the 365 of the year."""
    details = {name: value[index] if np.shape(value) == (DAYS,) else value for name, value in climate.details.items()}
    return replace(climate, mean_c=climate.mean_c[index], sd_c=climate.sd_c[index], lag1=climate.lag1[index],
                   details=details)


def coming_nights(climate: NightClimate, forecast: Forecast | None, site: Site, places: Sequence[Place],
                  first_night: date, nights: int, lessons: Mapping[str, Lesson] | None = None) -> ComingNights:
    """The distribution of the low on each of `nights` nights from `first_night` on. lessons: by the place's name."""
    dates = tuple(first_night + timedelta(days=n) for n in range(nights))
    index = np.array([day_index(climate_day(d)) for d in dates], dtype=int)
    usable = {(night.night - first_night).days: night for night in (forecast.nights if forecast is not None else ())
              if error_sd_c(night.lead_days) is not None}
    told = tuple(usable.get(n) for n in range(nights))
    share = np.array([clear_share(night.calm_clear if night is not None else None) for night in told])
    shift = site_shift_c(forecast.elevation_m, site) if forecast is not None else 0.0
    kept: dict[Lesson, SiteNights] = {}
    for lesson in (lessons_of := [(lessons or {}).get(place.name, NOTHING_LEARNED) for place in places]):
        if lesson not in kept:
            kept[lesson] = _site_nights(climate, usable, shift, first_night, index, lesson,
                                        forecast is not None and forecast.ensemble)
    return ComingNights(climate, dates, tuple(places), told, index, share, tuple(kept[one] for one in lessons_of))


def _site_nights(climate: NightClimate, usable: Mapping[int, ForecastNight], shift_c: float, first_night: date,
                 index: np.ndarray, lesson: Lesson, ensemble: bool) -> SiteNights:
    nights = len(index)
    mean, below = climate.mean_c[index].copy(), climate.sd_c[index].copy()
    above, said = below.copy(), mean.copy()
    _, bias_sd_c, spread = lesson.at(0)
    first_c = (error_sd_c(0) or 0.0) * spread
    evening = np.array([hypot(_pulled_sd_c(climate.sd_c[day], first_c), bias_sd_c) for day in index])
    for position, night in sorted(usable.items()):
        forecast_c = night.low_c + shift_c + lesson.at(night.lead_days)[0]
        low = weighed(climate, night, forecast_c, lesson, ensemble)
        if 0 <= position < nights:
            mean[position], below[position], above[position] = low
            said[position], evening[position] = forecast_c, min(evening[position], below[position])
        start, end = max(position + 1, 0), min([nights, *(p for p in usable if p > position)])
        if start < end:
            ahead = nights_ahead(climate, climate_day(night.night), low[0], (low[1] + low[2]) / 2, end - position - 1)
            mean[start:end], below[start:end] = (part[start - end:] for part in ahead)
            above[start:end], said[start:end] = below[start:end], mean[start:end]
    return SiteNights(said, mean, below, above, evening)


def weighed(climate: NightClimate, night: ForecastNight, forecast_c: float, lesson: Lesson = NOTHING_LEARNED,
            ensemble: bool = False) -> tuple[float, float, float]:
    """Mean of the low at the site, and its sd on the colder and on the warmer side [°C], given the forecast there."""
    table_c, (_, bias_sd_c, spread) = error_sd_c(night.lead_days) or 0.0, lesson.at(night.lead_days)
    below, above = (side * spread for side in own_spread_c(night) or (table_c, table_c))
    if ensemble:
        below, above = (hypot(side, ENSEMBLE_EXTRA_SD_C) for side in (below, above))
    else:
        usual, error_c = day_index(climate_day(night.night)), (below + above) / 2
        mean, sd = float(climate.mean_c[usual]), float(climate.sd_c[usual])
        forecast_c = mean + sd**2 / (sd**2 + error_c**2) * (forecast_c - mean)
        below, above = (side * _pulled_sd_c(sd, error_c) / error_c for side in (below, above))
    return forecast_c, hypot(below, bias_sd_c), hypot(above, bias_sd_c)


def _pulled_sd_c(climate_sd_c: float, error_c: float) -> float:
    return error_c * climate_sd_c / hypot(climate_sd_c, error_c)


def curves(coming: ComingNights, thresholds: Sequence[float]) -> tuple[OutlookNight, ...]:
    """One curve of chance per outdoor place and threshold [°C], night by night, in the order given."""
    found = []
    for place in (p for p in coming.places if p.outdoors):
        rows = np.array([[coming.rows[place.name]]])
        low = coming.low_c(place).tolist()
        sd = coming.lows.below_c[rows[0, 0]].tolist()
        frost, *harms = coming.chance(rows, np.array([FREEZE_C, *thresholds])[:, None]).tolist()
        for threshold, harm in zip(thresholds, harms, strict=True):
            found += [OutlookNight(night, place.name, threshold, low[n], sd[n], harm[n], frost[n],
                                   coming.told[n] is not None) for n, night in enumerate(coming.nights)]
    return tuple(found)
