"""The nights to come as distributions: the forecast where there is one, the night model after it.

A forecast low is the true low plus an error (skill), so what it says is weighed against what is usual for the date:
with forecast f of error sd e and a climate of mean m and sd s, the low is normal with mean m + w (f - m) and variance
w e^2, where w = s^2 / (s^2 + e^2). (Normal prior, normal error: Gelman et al., Bayesian Data Analysis, section 2.5;
from memory.) After the last forecast night, and in gaps, the night model goes on from the last known one.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import date, timedelta

import numpy as np

from seasonplan.climate.ahead import nights_ahead
from seasonplan.climate.curves import normal_chance
from seasonplan.climate.nights import standard_levels
from seasonplan.dates import DAYS, day_index
from seasonplan.model import Forecast, ForecastNight, NightClimate, OutlookNight, Place, Site
from seasonplan.weather.skill import UNKNOWN_SKY_SD_C, error_sd_c, in_the_open, place_shift_c, site_shift_c

FREEZE_C = 0.0


def climate_day(night: date) -> date:
    """The date under which a night's low stands in daily records and normals: the morning after its evening."""
    return night + timedelta(days=1)


@dataclass(frozen=True, eq=False)
class ComingNights:
    """The lows at the site of consecutive nights. mean_c, sd_c (n,) [°C]; told: the forecast night behind each, None
    where the model speaks; said_c (n,): the forecast's own word for the site, the mean where it has none; index (n,):
    climate day of each low."""

    climate: NightClimate
    nights: tuple[date, ...]
    mean_c: np.ndarray
    sd_c: np.ndarray
    told: tuple[ForecastNight | None, ...]
    said_c: np.ndarray
    index: np.ndarray

    def shift_c(self, place: Place) -> np.ndarray:
        """What the lows at the plants of a place differ from the site's on each night [°C]: (n,)."""
        return np.array([place_shift_c(place, t.calm_clear if t else None) for t in self.told])

    def said_at_c(self, place: Place) -> np.ndarray:
        """The lows to be expected at the plants of a place by the forecast's own word [°C]: (n,)."""
        return self.said_c + self.shift_c(place)

    def at(self, place: Place) -> tuple[np.ndarray, np.ndarray]:
        """Mean and sd of the lows at the plants of a place [°C]: (n,), (n,)."""
        unsure = np.array([t is not None and t.calm_clear is None and in_the_open(place) for t in self.told])
        return self.mean_c + self.shift_c(place), np.sqrt(self.sd_c**2 + unsure * UNKNOWN_SKY_SD_C**2)

    def chance(self, place: Place, threshold_c: float | np.ndarray) -> np.ndarray:
        """Chance of a low <= threshold at the plants of a place on each night: (n,), or (k, n) for (k,) thresholds.

        Beyond the forecast the threshold is taken on the climate's own scale, lopsided as it may be, so that far
        ahead the chance is the climate's exactly.
        """
        mean, sd = self.at(place)
        levels = np.asarray(threshold_c, dtype=float)[..., None]
        scaled = (levels - mean) / sd
        beyond = np.flatnonzero([t is None for t in self.told])
        if len(beyond):
            usual, site_mean = on_days(self.climate, self.index[beyond]), self.mean_c[beyond]
            standard = standard_levels(usual, levels - (mean[beyond] - site_mean))
            scaled[..., beyond] = (standard - (site_mean - usual.mean_c) / usual.sd_c) * usual.sd_c / sd[beyond]
        return normal_chance(scaled)


def on_days(climate: NightClimate, index: np.ndarray) -> NightClimate:
    """The climate with the days of `index` (n,) in place of the 365 of the year."""
    details = {name: value[index] if np.shape(value) == (DAYS,) else value for name, value in climate.details.items()}
    return replace(climate, mean_c=climate.mean_c[index], sd_c=climate.sd_c[index], lag1=climate.lag1[index],
                   details=details)


def coming_nights(climate: NightClimate, forecast: Forecast | None, site: Site, first_night: date,
                  nights: int) -> ComingNights:
    """The distribution of the site's low on each of `nights` nights from `first_night` on."""
    dates = tuple(first_night + timedelta(days=n) for n in range(nights))
    index = np.array([day_index(climate_day(d)) for d in dates], dtype=int)
    mean, sd = climate.mean_c[index].copy(), climate.sd_c[index].copy()
    told: list[ForecastNight | None] = [None] * nights
    shift = site_shift_c(forecast, site) if forecast is not None else 0.0
    usable = {(night.night - first_night).days: night for night in (forecast.nights if forecast is not None else ())
              if error_sd_c(night.lead_days) is not None}
    for position, night in usable.items():
        low_c, low_sd_c = weighed(climate, night, night.low_c + shift)
        if 0 <= position < nights:
            mean[position], sd[position], told[position] = low_c, low_sd_c, night
        start, end = max(position + 1, 0), min([nights, *(p for p in usable if p > position)])
        if start < end:
            ahead = nights_ahead(climate, climate_day(night.night), low_c, low_sd_c, end - position - 1)
            mean[start:end], sd[start:end] = (part[start - end:] for part in ahead)
    said = np.array([m if night is None else night.low_c + shift for night, m in zip(told, mean, strict=True)])
    return ComingNights(climate, dates, mean, sd, tuple(told), said, index)


def weighed(climate: NightClimate, night: ForecastNight, low_c: float) -> tuple[float, float]:
    """Mean and sd of the low at the site [°C], given its forecast there and what is usual for the date."""
    usual, error_c = day_index(climate_day(night.night)), error_sd_c(night.lead_days) or 0.0
    mean, sd = float(climate.mean_c[usual]), float(climate.sd_c[usual])
    weight = sd**2 / (sd**2 + error_c**2)
    return mean + weight * (low_c - mean), error_c * math.sqrt(weight)


def outlook(climate: NightClimate, forecast: Forecast | None, site: Site, places: Sequence[Place],
            thresholds: Sequence[float], first_night: date, nights: int = 30) -> tuple[OutlookNight, ...]:
    """One curve of chance per outdoor place and threshold [°C], night by night, in the order given."""
    return curves(coming_nights(climate, forecast, site, first_night, nights), places, thresholds)


def curves(coming: ComingNights, places: Sequence[Place], thresholds: Sequence[float]) -> tuple[OutlookNight, ...]:
    """The same for nights that are known already."""
    found = []
    for place in (p for p in places if p.outdoors):
        mean, sd = (values.tolist() for values in coming.at(place))
        frost, *harms = coming.chance(place, np.array([FREEZE_C, *thresholds])).tolist()
        for threshold, harm in zip(thresholds, harms, strict=True):
            found += [OutlookNight(night, place.name, threshold, mean[n], sd[n], harm[n], frost[n],
                                   coming.told[n] is not None) for n, night in enumerate(coming.nights)]
    return tuple(found)
