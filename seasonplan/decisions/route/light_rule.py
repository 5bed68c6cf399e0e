"""The light rule, once: what a plant is used to, and what it may be given next.

A plant carries two numbers. A [mol m-2 d-1]: the light it is used to, a first-order lag of `dli_lag_days` on the
mean-sky daily light, starting from its indoor place's light. S [full-sun hours per day]: the direct sun it is used to,
the same with `sun_lag_days` on the clear-sky full-sun hours, starting from 0 (sun through glass does not count). Both
are taken before a day's own light and stepped once a day:

    A(d + 1) = A(d) + (1 - exp(-1 / lag)) * (mean_dli(d) - A(d))

A lag can also be stepped with 1 / lag for 1 - exp(-1 / lag). Plans report the first and keep every limit under both:
the search carries the smaller of the two (STEPPINGS), which is on the safe side of each.

On day d it may stand only where clear_dli <= max(step_ratio * A, floor_dli) and full_sun_h <= max(S + sun_step_h,
sun_ratio * S), where its sun class allows the full-sun hours, and in its first days outdoors where full_sun_h <=
first_sun_h and, for shade plants, the peak is at most first_peak_ppfd. Light above its light_high is met with a cloth.
It never goes to more than jump_ratio times the light it is used to, nor to less than that part of it. A plan keeps
`margin` below the limits that depend on the plant's state.

All numbers are in data/light_rule.csv, each with its source or "our setting".
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from functools import cache
from types import SimpleNamespace

import numpy as np

from seasonplan.data import table

STEPPINGS = 2
SLACK = 1e-9
"""Rounding allowed in every comparison of light with a limit."""
SHADE_CLASSES = ("deep-shade", "shade")


@cache
def light_rule() -> SimpleNamespace:
    """Every row of data/light_rule.csv as an attribute, a float."""
    return SimpleNamespace(**{row["key"]: float(row["value"]) for row in table("light_rule")})


def kept_shares(lag_days: float) -> np.ndarray:
    """(STEPPINGS,) share of a state that is left after one day without light."""
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


def allowed_full_sun_h(used_sun_h: float, days_out: int, cap_h: float) -> float:
    """Full-sun hours that a plant used to `used_sun_h` may get. days_out: 0 on the day it goes out; cap_h: of its sun
    class."""
    rule = light_rule()
    limit = min(max(used_sun_h + rule.sun_step_h, rule.sun_ratio * used_sun_h), cap_h)
    return min(limit, rule.first_sun_h) if days_out < rule.first_days else limit


@dataclass(frozen=True, eq=False)
class Intervals:
    """What standing at each position from one day of a list to the next asks and does; arrays (intervals, positions).

    days: (intervals + 1,) the days. need_dli, need_sun_h: the smallest A and S on arrival with which no day breaks the
    rule (margin kept; -inf where any will do). kept_*, gain_*: (STEPPINGS, ...) the state at the end is state * kept +
    gain. first_dli, last_dli, mean_dli: mean-sky light on the first day, the last, and on average. first_sun_h: on the
    first. top_dli, top_sun_h: the most of mean-sky light and full-sun hours; early_sun_h, early_ppfd: the most of
    full-sun hours and clear-sky peak in the first `first_days` of it.
    """

    days: np.ndarray
    need_dli: np.ndarray
    need_sun_h: np.ndarray
    kept_dli: np.ndarray
    kept_sun: np.ndarray
    gain_dli: np.ndarray
    gain_sun_h: np.ndarray
    first_dli: np.ndarray
    first_sun_h: np.ndarray
    last_dli: np.ndarray
    mean_dli: np.ndarray
    top_dli: np.ndarray
    top_sun_h: np.ndarray
    early_sun_h: np.ndarray
    early_ppfd: np.ndarray

    @property
    def lengths(self) -> np.ndarray:
        """(intervals,) days in each."""
        return np.diff(self.days)

    def after(self, interval: int, position: np.ndarray, dli: np.ndarray, sun_h: np.ndarray) -> tuple:
        """A and S after an interval at positions, the smaller one of both steppings."""
        kept_dli, kept_sun = self.kept_dli[:, interval], self.kept_sun[:, interval]
        gain_dli, gain_sun = self.gain_dli[:, interval], self.gain_sun_h[:, interval]
        return (np.minimum(dli * kept_dli[0] + gain_dli[0][position], dli * kept_dli[1] + gain_dli[1][position]),
                np.minimum(sun_h * kept_sun[0] + gain_sun[0][position], sun_h * kept_sun[1] + gain_sun[1][position]))


def intervals(days: np.ndarray, clear_dli: np.ndarray, mean_dli: np.ndarray, full_sun_h: np.ndarray,
              peak_ppfd: np.ndarray) -> Intervals:
    """The Intervals between rising days, given light (positions, days of the year)."""
    rule = light_rule()
    spare = 1 - rule.margin
    lengths = np.diff(days)
    ahead = np.arange(lengths.max())
    last = days[:-1, None] + lengths[:, None] - 1
    at = np.minimum(days[:-1, None] + ahead, last)
    inside = ahead < lengths[:, None]
    clear, mean, sun, peak = (values.T[at] for values in (clear_dli, mean_dli, full_sun_h, peak_ppfd))
    needed_dli = np.where(clear > rule.floor_dli + SLACK, clear / (spare * rule.step_ratio), -np.inf)
    needed_sun = np.minimum(sun / spare - rule.sun_step_h, sun / (spare * rule.sun_ratio))
    count = inside.sum(axis=1)
    need_dli, kept_dli, gain_dli = _lagged(needed_dli, mean, inside, rule.dli_lag_days)
    need_sun, kept_sun, gain_sun = _lagged(needed_sun, sun, inside, rule.sun_lag_days)
    average = np.einsum("ilk,il->ik", mean, inside.astype(float)) / count[:, None]
    return Intervals(np.asarray(days), need_dli, need_sun, kept_dli, kept_sun, gain_dli, gain_sun, mean[:, 0],
                     sun[:, 0], mean[:, -1], average, mean.max(axis=1), sun.max(axis=1), *(
                         values[:, :int(rule.first_days)].max(axis=1) for values in (sun, peak)))


def _lagged(needed: np.ndarray, light: np.ndarray, inside: np.ndarray, lag_days: float) -> tuple:
    """(need, kept (STEPPINGS, intervals), gain (STEPPINGS, ...)) of a state that lags behind light.

    needed: (intervals, days, positions) the state that a day asks for; light: the same shape; inside: (intervals, days)
    which days count.
    """
    count = inside.sum(axis=1)
    need, kept, gains = np.full(light[:, 0].shape, -np.inf), [], []
    for share in kept_shares(lag_days):
        powers = share ** np.arange(light.shape[1] + 1)
        added = (1 - share) * light / powers[1:, None]          # of each day's light, as if it came before the first
        total = np.cumsum(added, axis=1)
        asked = np.where(inside[..., None], needed / powers[:-1, None] - (total - added), -np.inf)
        need = np.maximum(need, asked.max(axis=1))
        kept.append(powers[count])
        gains.append(total[np.arange(len(count)), count - 1] * powers[count, None])
    return need, np.array(kept), np.array(gains)
