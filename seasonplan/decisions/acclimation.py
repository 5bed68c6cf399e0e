"""What light a plant is used to outdoors, and what it may be given next: the light rule.

A plant carries two numbers. A [mol m-2 d-1]: the light it is used to, a first-order lag of `dli_lag_days` on the
mean-sky daily light, starting from its indoor place's light on the day it leaves. S [full-sun hours per day]: the
direct sun it is used to, the same with `sun_lag_days` on the clear-sky full-sun hours, starting from 0 (sun through
glass does not count). Both are taken before a day's own light and stepped once a day:

    A(d + 1) = A(d) + (1 - exp(-1 / lag)) * (mean_dli(d) - A(d))

A lag can also be stepped with 1 / lag for 1 - exp(-1 / lag). Plans report the first and keep every limit under both:
arrays of states end in an axis of these two STEPPINGS.

On day d it may stand where clear_dli <= max(step_ratio * A, floor_dli) and full_sun_h <= max(S + sun_step_h,
sun_ratio * S), where its taxon allows the light (mean_dli <= light_high_mol, full_sun_h <= the sun class's cap) and,
in its first days outdoors, full_sun_h <= first_sun_h. A plan keeps `margin` below the first two limits.

All numbers are in data/light_rule.csv, each with its source or "our setting".
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from functools import cache
from types import SimpleNamespace

import numpy as np

from seasonplan.data import table

STEPPINGS = 2
SLACK = 1e-9
"""Rounding allowed in every comparison of light with a limit."""


@cache
def light_rule() -> SimpleNamespace:
    """Every row of data/light_rule.csv as an attribute, a float."""
    return SimpleNamespace(**{row["key"]: float(row["value"]) for row in table("light_rule")})


def kept_shares(lag_days: float) -> np.ndarray:
    """(STEPPINGS,) share of an acclimated state that is left after one day without light."""
    return np.array([math.exp(-1.0 / lag_days), 1.0 - 1.0 / lag_days])


def sun_cap_h(sun_class: str) -> float:
    """Full-sun hours a sun class takes at most; infinity for "sun". KeyError for a class that does not exist."""
    rule = light_rule()
    return {"deep-shade": rule.sun_cap_deep_shade_h, "shade": rule.sun_cap_shade_h,
            "part-sun": rule.sun_cap_part_sun_h, "sun": math.inf}[sun_class]


def allowed_clear_dli(used_dli: float) -> float:
    """Clear-sky light that a plant used to `used_dli` may get [mol]."""
    rule = light_rule()
    return max(rule.step_ratio * used_dli, rule.floor_dli)


def allowed_full_sun_h(used_sun_h: float, days_out: int, sun_class: str) -> float:
    """Full-sun hours that a plant used to `used_sun_h` may get. days_out: 0 on the day it goes out."""
    rule = light_rule()
    limit = min(max(used_sun_h + rule.sun_step_h, rule.sun_ratio * used_sun_h), sun_cap_h(sun_class))
    return min(limit, rule.first_sun_h) if days_out < rule.first_days else limit


@dataclass(frozen=True, eq=False)
class Spell:
    """What standing at a place for 0, 1, 2 ... days from some day on asks and does.

    least_dli, least_sun_h: (..., days + 1, STEPPINGS) the smallest A and S on arrival with which no day breaks the
    rule (margin kept; -inf where any will do). gain_dli, gain_sun_h: the same shape, what the days add, so that the
    state after j days is state * kept ** j + gain[j]. top_mean_dli, top_full_sun_h: (..., days + 1) the brightest of
    these days.
    """

    least_dli: np.ndarray
    least_sun_h: np.ndarray
    gain_dli: np.ndarray
    gain_sun_h: np.ndarray
    top_mean_dli: np.ndarray
    top_full_sun_h: np.ndarray


def spell(clear_dli: np.ndarray, mean_dli: np.ndarray, full_sun_h: np.ndarray) -> Spell:
    """The Spell of consecutive days: three arrays (..., days)."""
    rule = light_rule()
    spare = 1 - rule.margin
    clear, mean, sun = (np.moveaxis(values, -1, 0) for values in (clear_dli, mean_dli, full_sun_h))
    needed_dli = np.where(clear > rule.floor_dli + SLACK, clear / (spare * rule.step_ratio), -np.inf)
    needed_sun = np.minimum(sun / spare - rule.sun_step_h, sun / (spare * rule.sun_ratio))
    gain_dli, gain_sun = _gains(mean, rule.dli_lag_days), _gains(sun, rule.sun_lag_days)
    found = (_least(needed_dli, gain_dli, rule.dli_lag_days), _least(needed_sun, gain_sun, rule.sun_lag_days),
             gain_dli, gain_sun)
    return Spell(*(np.moveaxis(values, 0, -2) for values in found),
                 *(np.moveaxis(_running_top(values), 0, -1) for values in (mean, sun)))


def _gains(light: np.ndarray, lag_days: float) -> np.ndarray:
    """(days + 1, ..., STEPPINGS) what 0, 1, 2 ... days of light (days, ...) add to a state."""
    kept = kept_shares(lag_days)
    gains = np.zeros((len(light) + 1, *light.shape[1:], STEPPINGS))
    for day, step in enumerate(light[..., None] * (1 - kept)):
        np.multiply(gains[day], kept, out=gains[day + 1])
        gains[day + 1] += step
    return gains


def _least(needed: np.ndarray, gains: np.ndarray, lag_days: float) -> np.ndarray:
    """(days + 1, ..., STEPPINGS) the state on arrival that is enough for the first j days, given what each needs."""
    grow = kept_shares(lag_days) ** -np.arange(len(needed))[:, None]
    return _running_top((needed[..., None] - gains[:-1]) * grow.reshape(len(needed), *[1] * (needed.ndim - 1), -1))


def _running_top(values: np.ndarray) -> np.ndarray:
    """Largest of the first 0, 1, 2 ... entries; -inf of none."""
    top = np.empty((len(values) + 1, *values.shape[1:]))
    top[0] = -np.inf
    np.maximum.accumulate(values, axis=0, out=top[1:])
    return top


def state_after(state: np.ndarray, gain: np.ndarray, days: int, lag_days: float) -> np.ndarray:
    """(..., STEPPINGS) states after `days` days, given what these days add (a Spell's gain at that number of days)."""
    return state * kept_shares(lag_days) ** days + gain


@cache
def _slow_genera() -> dict[str, float]:
    return {row["genus"]: float(row["descent_days"]) for row in table("leaf_droppers")}


def slow_descent_days(botanical: str) -> float | None:
    """Days of shade before coming in for a genus that drops its leaves (data/leaf_droppers.csv), None for others."""
    words = botanical.lower().replace("×", " ").split()
    return _slow_genera().get(words[0]) if words else None


def descent_days(botanical: str, back: int, move_days: Sequence[int]) -> int:
    """Length of the autumn descent [days] of a plant that comes in on day `back`.

    move_days: rising day numbers on which moves are possible. The short descent is stretched where it would leave room
    for one move only.
    """
    rule = light_rule()
    slow = slow_descent_days(botanical)
    if slow is not None:
        return int(slow)
    usable = [d for d in move_days if back - rule.descent_days <= d <= back - rule.min_stop_days]
    two_steps = bool(usable) and usable[-1] - usable[0] >= rule.min_stop_days
    return int(rule.descent_days if two_steps else rule.descent_days_weekly)


def descent_share(days_left: np.ndarray, length: np.ndarray, last_chance: np.ndarray) -> np.ndarray:
    """Share of open light that plants may still have so many days before they come in; 1 before the descent.

    length: of the descent [days], 0 for none. last_chance: no later move is possible, so the last level counts already.
    """
    rule = light_rule()
    levels = np.where(last_chance | (3 * days_left <= length), rule.descent_share_last,
                      np.where(3 * days_left <= 2 * length, rule.descent_share_second, rule.descent_share_first))
    return np.where(days_left <= length, levels, 1.0)
