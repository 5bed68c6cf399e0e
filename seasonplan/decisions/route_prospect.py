"""What a place leads to: a plant may have to stand in less light now to be ready for much more in a week or two.

A plant that is settled at one place is ready for another when its light there, taken as its state, satisfies the light
rule. From place to place this makes a ladder; the prospect of a place is the light at the top of the ladder, less a
discount for every step on the way.
"""

from __future__ import annotations

import numpy as np

from seasonplan.decisions.acclimation import light_rule
from seasonplan.decisions.route_yard import Yard

MOST_STEPS = 4
"""Longest ladder looked at: shade, dappled shade, half a day of sun, full sun."""


def ladder(day: int, yard: Yard) -> np.ndarray:
    """(places, places) whether a plant settled at the first place is ready for the second, by the light of that day."""
    clear, mean, sun = yard.clear_dli[:, day], yard.mean_dli[:, day], yard.full_sun_h[:, day]
    return ready_from(mean[:, None], sun[:, None], clear, sun)


def ready_from(mean_dli: np.ndarray, full_sun_h: np.ndarray, next_clear_dli: np.ndarray,
               next_full_sun_h: np.ndarray) -> np.ndarray:
    """Whether a plant that is settled in some light is ready for other light; arrays that broadcast together."""
    rule = light_rule()
    used_dli, used_sun, spare = rule.settled_share * mean_dli, rule.settled_share * full_sun_h, 1 - rule.margin
    return (next_clear_dli <= np.maximum(spare * rule.step_ratio * used_dli, rule.floor_dli)) \
        & (next_full_sun_h <= spare * np.maximum(used_sun + rule.sun_step_h, rule.sun_ratio * used_sun))


def prospects(light: np.ndarray, steps: np.ndarray, bearable: np.ndarray, days_left: np.ndarray) -> np.ndarray:
    """(rows, places) light that each place gives or leads to, discounted by step_discount per step [mol].

    light: (rows, places) mean light. steps: a ladder. bearable: (rows, places) places that the plant could live at for
    long. days_left: (rows,) days in which more light is of use; a step takes a week.
    """
    rule = light_rule()
    best, found = light, light
    for count in range(1, MOST_STEPS + 1):
        onward = np.where(steps, np.where(bearable, best, 0.0)[:, None, :], 0.0).max(axis=2, initial=0.0)
        if (onward <= best).all():
            break
        best = np.maximum(best, onward)
        in_time = days_left >= rule.step_days * count + rule.worth_days
        found = np.where(in_time[:, None], np.maximum(found, best * rule.step_discount ** count), found)
    return found
