"""Nights that mark a plant which bears more the longer it has been outdoors: how many to expect, how likely any.

A plant that goes out on one day meets the first nights fresh from indoors and later ones hardened (model.Bearing), so
its threshold moves with the day it went. The expected number is the sum of the nights' own chances. The chance of any
is the chance that goes with the same expected number at a fixed threshold on the same day, read from the night tables
between whole degrees: cold nights come in runs, as likely so around a threshold that moves by a tenth of a degree a
night as around one that stands. tests/climate/test_exposure.py holds it against the full recursion.

Days are positions 0..364 counted from the coldest day of the year: spring up to the turn, autumn from it on.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, field
from functools import cached_property

import numpy as np

from seasonplan.climate.process import night_chance
from seasonplan.dates import DAYS
from seasonplan.model import Bearing, NightClimate, NightTables
from seasonplan.model.given import HARDENING_DAYS

HARDENED = int(HARDENING_DAYS[1])
"""Days outdoors after which a plant bears all it ever will."""
TINY = 1e-9
"""Below so many expected nights the chance of any is that number."""
SURE = 1e-12


def site_level_c(harm_c: np.ndarray | float, lift_c: float) -> np.ndarray | float:
    """The low at the site on a night that brings a plant at a place of this lift to harm_c [°C].

    The one place where a threshold at the plant becomes one at the site.
    """
    return harm_c - lift_c


def ladder_c(bearings: Iterable[Bearing], lifts_c: Iterable[float]) -> np.ndarray:
    """The whole degrees at the site between which every threshold of these plants at these lifts lies, freezing
    included [°C]."""
    lifts = list(lifts_c)
    levels = [float(site_level_c(c, lift)) for bearing in bearings for lift in lifts
              for c in (bearing.harm_c, bearing.hardened_c, bearing.freeze_c)]
    return np.arange(np.floor(min(levels, default=0.0)), np.ceil(max(levels, default=0.0)) + 2)


@dataclass(eq=False)
class Exposure:
    """The nights of one site for plants that harden. `tables` holds at least the rows of `ladder_c`."""

    climate: NightClimate
    tables: NightTables
    _kept: dict = field(default_factory=dict)

    @cached_property
    def turn(self) -> int:
        """Position of the turn: so many days are spring."""
        return (self.climate.turn_index - self.climate.cold_index) % DAYS

    @cached_property
    def order(self) -> np.ndarray:
        """(365,) day index of each position."""
        return (self.climate.cold_index + np.arange(DAYS)) % DAYS

    def position(self, day_index: np.ndarray) -> np.ndarray:
        """Positions of day indices."""
        return (day_index - self.climate.cold_index) % DAYS

    @cached_property
    def _nodes(self) -> tuple[np.ndarray, np.ndarray]:
        """(whole degrees, positions): log of the expected number, and log(-log(1 - chance)), still to come after a day
        of spring, come by a day of autumn."""
        whole = self.tables.thresholds_c == np.round(self.tables.thresholds_c)
        parts = [self._by_half(after[whole], before[whole]) for after, before in (
            (self.tables.expected_after, self.tables.expected_before),
            (self.tables.chance_after, self.tables.chance_before))]
        expected, chance = np.maximum(parts[0], TINY), np.clip(parts[1], TINY, 1 - SURE)
        return np.log(expected), np.log(-np.log1p(-chance))

    def _by_half(self, after: np.ndarray, before: np.ndarray) -> np.ndarray:
        """(rows, positions) from two tables (rows, day index): what comes after the day in spring, by it in autumn."""
        coming = np.zeros_like(after)
        coming[:, :self.turn - 1] = after[:, self.order[1:self.turn]]
        coming[:, self.turn:] = before[:, self.order[self.turn:]]
        return coming

    def chance_of_any(self, expected: np.ndarray, at: np.ndarray) -> np.ndarray:
        """The chance of any night where so many are expected (..., n) at positions (n,)."""
        log_expected, log_rate = self._nodes[0][:, at], self._nodes[1][:, at]
        wanted = np.log(np.maximum(expected, TINY))
        below = np.zeros(wanted.shape, dtype=int)
        for row in log_expected[1:-1]:
            below += row <= wanted
        column = np.arange(len(at))
        low, high = log_expected[below, column], log_expected[below + 1, column]
        share = np.clip((wanted - low) / np.maximum(high - low, SURE), 0.0, 1.0)
        rate = log_rate[below, column] * (1 - share) + log_rate[below + 1, column] * share
        chance = -np.expm1(-np.exp(rate))
        return np.where(expected <= TINY, expected, np.minimum(chance, expected))

    def night_chance(self, bearing: Bearing, lift_c: float) -> np.ndarray:
        """(HARDENED + 1, positions): the chance that one night marks a plant that has been out for 0, 1, 2 ... days."""
        def work() -> np.ndarray:
            levels, days = np.unique(bearing.after_c(np.arange(HARDENED + 1)), return_inverse=True)
            return night_chance(self.climate, site_level_c(levels, lift_c))[:, self.order][days]

        return self._once(("night", bearing.harms, lift_c), work)

    def going_out(self, bearing: Bearing, lift_c: float) -> tuple[np.ndarray, np.ndarray]:
        """(chance, expected) (turn,): nights still to come before the turn that mark a plant which goes out on each day
        of spring, from the night after."""
        def work() -> tuple[np.ndarray, np.ndarray]:
            nights = self.night_chance(bearing, lift_c)[:, :self.turn]
            expected = np.zeros(self.turn)
            late = self.turn - HARDENED
            if late > 0:
                expected[:late] = np.cumsum(nights[HARDENED, ::-1])[::-1][HARDENED:]
            for days in range(1, min(HARDENED, self.turn)):
                expected[:-days] += nights[days, days:]
            return self.chance_of_any(expected, np.arange(self.turn)), expected

        return self._once(("out", bearing.harms, lift_c), work)

    def coming_in(self, bearing: Bearing, lift_c: float, out: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
        """(chance, expected) (len(out), 365 - turn): nights since the turn, by each day of autumn, that mark a plant
        which went out at position `out`. Nights before it went count as if it had stood there fresh."""
        autumn = np.arange(self.turn, DAYS)
        nights = self.night_chance(bearing, lift_c)
        days = np.clip(autumn - np.asarray(out)[:, None], 0, HARDENED)
        expected = np.cumsum(nights[days, autumn], axis=1)
        return self.chance_of_any(expected, autumn), expected

    def fixed(self, level_c: float, lift_c: float) -> tuple[np.ndarray, np.ndarray]:
        """(chance, expected) (365,) at a threshold that stands still: still to come after each day of spring, come by
        each day of autumn."""
        def work() -> tuple[np.ndarray, np.ndarray]:
            night = night_chance(self.climate, site_level_c(level_c, lift_c))[self.order]
            expected = np.zeros(DAYS)
            expected[:self.turn - 1] = np.cumsum(night[1:self.turn][::-1])[::-1]
            expected[self.turn:] = np.cumsum(night[self.turn:])
            return self.chance_of_any(expected, np.arange(DAYS)), expected

        return self._once(("fixed", level_c, lift_c), work)

    def _once(self, key: tuple, work):
        if key not in self._kept:
            self._kept[key] = work()
        return self._kept[key]
