"""What every day at every position is worth to plants, so that a stay costs the same however its days are cut."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from seasonplan.decisions.route.garden import Garden
from seasonplan.decisions.route.groups import NEVER, Groups
from seasonplan.decisions.route.light_rule import SLACK, light_rule

LEAST_ROOM_DLI = 0.05
"""A room is taken to have at least this light [mol]."""
NEARLY_BEST = 0.8
"""A plant's brightest place counts as open when a place with this part of its light is open."""
SPARE = 1.01
"""What a plan keeps above the share of light asked for, since light falls from day to day."""


@dataclass(frozen=True, eq=False)
class Daily:
    """Groups (G), days of the year (D) and positions (K), which are rising numbers of the garden's.

    wanted: (G, D) the light that counts as all of it [mol]. missing, dark: (G, D + 1, K) what has added up before each
    day of the price of the light missing, and of being too dark for a sun plant. opens: (G,) day on which the brightest
    place opens to it. waiting: (G,) price of a day of its window that it spends indoors.
    """

    positions: np.ndarray
    wanted: np.ndarray
    missing: np.ndarray
    dark: np.ndarray
    opens: np.ndarray
    waiting: np.ndarray


def make_daily(garden: Garden, groups: Groups, positions: np.ndarray, in_shade: bool) -> Daily:
    """What the days of the year are worth at some of a garden's positions."""
    wanted = _wanted(garden, groups, in_shade)
    through = 1 - garden.percent[positions, None] / 100
    light = (through * garden.light.mean_dli[garden.rows[garden.place[positions]]]).T
    had = light / np.maximum(wanted, LEAST_ROOM_DLI)[..., None]
    np.minimum(had, 1.0, out=had)
    dark, sunny = np.zeros(had.shape), ~(groups.shade | in_shade)
    dark[sunny] = _dark(had[sunny])
    np.subtract(1.0, had, out=had)
    return Daily(positions, wanted, _summed(np.square(had, out=had)), _summed(dark),
                 *_best_places(garden, groups, in_shade))


def _summed(values: np.ndarray) -> np.ndarray:
    """(G, D + 1, K) from (G, D, K): what has added up before each day, and in all."""
    found = np.zeros((values.shape[0], values.shape[1] + 1, values.shape[2]))
    np.cumsum(values, axis=1, out=found[:, 1:])
    return found


def _dark(share: np.ndarray) -> np.ndarray:
    """Price of a day after four weeks by the share of its light that a sun plant has."""
    rule = light_rule()
    short = share * (-1 / (rule.bright_share * SPARE))
    short += 1.0
    too_dark = short > 0
    short += 0.5
    short *= rule.price_too_dark * too_dark
    return short


def _wanted(garden: Garden, groups: Groups, in_shade: bool) -> np.ndarray:
    """(G, D) light that counts as all a plant could have: that of the brightest place it can bear, under no more cloth
    than it needs; a shade plant is content in the middle of its range, and with the brightest place that needs no
    cloth."""
    light, sun_h = (values[garden.rows].T for values in (garden.light.mean_dli, garden.light.full_sun_h))
    through = _through(groups.light_high[:, None, None], groups.sun_cap[:, None, None], light, sun_h)
    day = np.arange(len(garden.dates))[:, None]
    open_to = (groups.opens[:, None] <= day) & (day < groups.closes[:, None]) & has_room(garden.room, groups)[:, None]
    light = np.where(open_to, light, 0.0)
    best = (light * through).max(axis=2, initial=0.0)
    if not (groups.shade.any() or in_shade):
        return best
    without = np.where(through > 1 - SLACK, light, 0.0).max(axis=2, initial=0.0)
    shaded = np.where(without > 0, without, best)
    if in_shade:
        return shaded
    content = ((groups.light_low + groups.light_high) / 2)[:, None]
    return np.where(groups.shade[:, None], np.minimum(shaded, content), best)


def has_room(room: np.ndarray, groups: Groups) -> np.ndarray:
    """(G, ..., P) whether places with room (..., P) could take one plant of each, or hold it by the log."""
    shape = (-1, *(1,) * room.ndim)
    return (groups.pots.reshape(shape) <= room) | (groups.here.reshape(shape) == np.arange(room.shape[-1]))


def _best_places(garden: Garden, groups: Groups, in_shade: bool) -> tuple[np.ndarray, np.ndarray]:
    """(G,) the day on which the place opens that is about the brightest a plant can bear, and the price of a day of its
    window that it spends indoors, both by the light four weeks after it could go out."""
    rule = light_rule()
    day = np.minimum(groups.leave + int(rule.bright_within_days), len(garden.dates) - 1)
    light, sun_h = (values[garden.rows][:, day].T for values in (garden.light.mean_dli, garden.light.full_sun_h))
    had = light * _through(groups.light_high[:, None], groups.sun_cap[:, None], light, sun_h)
    had = np.where((groups.closes > groups.opens) & (groups.pots[:, None] <= garden.room), had, 0.0)
    most = had.max(axis=1, initial=0.0)
    opens = np.where(had >= NEARLY_BEST * most[:, None], groups.opens, NEVER).min(axis=1, initial=NEVER)
    content = np.where(groups.shade & ~np.array(in_shade), (groups.light_low + groups.light_high) / 2, np.inf)
    indoors = garden.light.mean_dli[groups.indoor, day] / np.maximum(np.minimum(most, content), LEAST_ROOM_DLI)
    return opens, rule.price_waiting + (1 - np.minimum(indoors, 1.0)) ** 2


def _through(light_high: np.ndarray, sun_cap: np.ndarray, light: np.ndarray, sun_h: np.ndarray) -> np.ndarray:
    """Share of a place's light that plants can bear under no more cloth than they need."""
    return np.minimum(1.0, np.minimum(light_high / np.maximum(light, 1e-9), sun_cap / np.maximum(sun_h, 1e-9)))
