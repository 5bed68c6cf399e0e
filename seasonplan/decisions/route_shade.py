"""What to do where no place fits as it is: a shade cloth of a percentage that is sold, or hours out.

Under a cloth of p percent all light of a place is (1 - p/100) of what it was: a cloth sold as 80 % left 340 of
1685 umol m-2 s-1 (Journal of Environmental Horticulture 5:102-104, 1987).
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np

from seasonplan.decisions.acclimation import SLACK, Spell, light_rule, spell
from seasonplan.decisions.route_yard import Yard

CLOTHS_PERCENT = (30, 40, 50, 60, 70, 80, 90)
"""Shade cloths on sale. Common practice, no source."""
CLOCK_STEP_MIN = 10
"""Hours out are given to ten minutes, on the safe side."""
LEAST_OUTING_MIN = 20
"""A shorter outing is not worth carrying a pot. Our setting."""


@dataclass(frozen=True)
class Needs:
    """One plant's state (a number, or one per stepping) and limits on a day, as in the light rule. first_days: how many
    days the first-days limit still holds."""

    dli: float | np.ndarray
    sun_h: float | np.ndarray
    light_high: float
    sun_cap: float
    first_days: int


def cloth_spells(day: int, yard: Yard) -> Spell:
    """(cloths, places, days + 1) the spells that begin on a day, under each cloth."""
    through = (1 - np.array(CLOTHS_PERCENT) / 100)[:, None, None]
    return spell(*(through * yard.days_ahead(day, values) for values in (yard.clear_dli, yard.mean_dli,
                                                                         yard.full_sun_h)))


def best_cloth(needs: Needs, ahead: Spell, days: int, usable: np.ndarray, day: int, end: int,
               yard: Yard) -> tuple[int, int] | None:
    """(percent, place) of the thinnest cloth under which a usable place fits for `days` days from a day on, if possible
    one that is enough for cloth_days; the brightest place of equals. None where even the thickest is too little.

    ahead: cloth_spells of the day; usable: (places,) bool; end: the day the plant comes in.
    """
    fits = usable & _fits(needs, ahead, days)
    lasts = fits & _enough_for_season(needs, day, end, yard)
    fits = lasts if lasts.any() else fits
    rows = np.flatnonzero(fits.any(axis=1))
    if not rows.size:
        return None
    return CLOTHS_PERCENT[rows[0]], int(np.argmax(np.where(fits[rows[0]], yard.mean_dli[:, day], -np.inf)))


def _fits(needs: Needs, ahead: Spell, days: int) -> np.ndarray:
    """(cloths, places) whether no day of a spell breaks a limit."""
    gentle = min(max(needs.first_days, 0), days)
    return (needs.dli >= ahead.least_dli[..., days, :]).all(-1) \
        & (needs.sun_h >= ahead.least_sun_h[..., days, :]).all(-1) \
        & (ahead.top_mean_dli[..., days] <= needs.light_high + SLACK) \
        & (ahead.top_full_sun_h[..., days] <= needs.sun_cap + SLACK) \
        & (ahead.top_full_sun_h[..., gentle] <= light_rule().first_sun_h + SLACK)


def _enough_for_season(needs: Needs, day: int, end: int, yard: Yard) -> np.ndarray:
    """(cloths, places) whether each cloth keeps a place within the plant's own ceilings for cloth_days."""
    through = (1 - np.array(CLOTHS_PERCENT) / 100)[:, None]
    until = min(day + int(light_rule().cloth_days), end)
    return (through * yard.mean_dli[:, day:until].max(axis=1) <= needs.light_high + SLACK) \
        & (through * yard.full_sun_h[:, day:until].max(axis=1) <= needs.sun_cap + SLACK)


def hours_out(spans: Sequence[tuple[int, int]], daylight_min: tuple[float, float],
              dose: float) -> tuple[int, int] | None:
    """(out, back) in minutes after midnight for an outing that gives at most a share `dose` of the day's light.

    spans: direct sun at the place; daylight_min: sunrise and sunset (NaN where the sun does not rise). The outing
    begins with the direct sun. Light is taken to be as strong all along as it is at its strongest (peak_over_mean),
    so the true dose is smaller. None where it would be shorter than LEAST_OUTING_MIN.
    """
    sunrise, sunset = daylight_min
    if not (math.isfinite(sunrise) and math.isfinite(sunset)):
        return None
    start = math.ceil((spans[0][0] if spans else sunrise) / CLOCK_STEP_MIN) * CLOCK_STEP_MIN
    sunny = sum(until - since for since, until in spans) or sunset - sunrise
    length = dose * min(sunny, sunset - sunrise) / light_rule().peak_over_mean
    back = math.floor((start + length) / CLOCK_STEP_MIN) * CLOCK_STEP_MIN
    return (start, back) if back - start >= LEAST_OUTING_MIN and back < sunset else None


def dose(needs: Needs, clear_dli: float, mean_dli: float, full_sun_h: float) -> float:
    """The share of a day's light at a place that a plant of one state may have: 1 where all of it fits."""
    rule = light_rule()
    used_dli, used_sun_h = float(needs.dli), float(needs.sun_h)
    sun_limit = min(max(used_sun_h + rule.sun_step_h, rule.sun_ratio * used_sun_h) * (1 - rule.margin), needs.sun_cap,
                    rule.first_sun_h if needs.first_days > 0 else math.inf)
    clear_limit = max(rule.step_ratio * used_dli * (1 - rule.margin), rule.floor_dli)
    pairs = ((clear_limit, clear_dli), (needs.light_high, mean_dli), (sun_limit, full_sun_h))
    return min([1.0] + [limit / light for limit, light in pairs if light > 0])


def hours_at(place: int, day: int, needs: Needs, yard: Yard) -> tuple[int, int] | None:
    """hours_out for a plant at a place on a day."""
    light = yard.light
    daylight_min = (float(light.sunrise_min[day]), float(light.sunset_min[day]))
    return hours_out(light.sun_spans[yard.rows[place]][day], daylight_min, dose(needs, *yard.lights(place, day)))


def stepping_cloth(settled: Needs, clear_dli: float, mean_dli: float, full_sun_h: float) -> int | None:
    """The thinnest cloth under which a plant could go to a brighter place now and, once used to that, stand there
    without it.

    None where no cloth helps: the place is beyond the plant's own ceilings, or the step from cloth to none is too big.
    """
    open_light = (clear_dli, mean_dli, full_sun_h)
    for percent in CLOTHS_PERCENT:
        under = [(1 - percent / 100) * light for light in open_light]
        later = replace(settled, dli=under[1], sun_h=under[2])
        if dose(settled, *under) == 1 and dose(later, *open_light) == 1:
            return percent
    return None
