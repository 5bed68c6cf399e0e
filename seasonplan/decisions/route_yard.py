"""The outdoor places as arrays over the planning year: light, room, and when moves are possible."""

from __future__ import annotations

from collections.abc import Collection, Sequence
from dataclasses import dataclass
from datetime import date, timedelta

import numpy as np

from seasonplan.dates import is_move_day
from seasonplan.decisions.acclimation import Spell, light_rule, spell
from seasonplan.model import Daylight, Place

HORIZON_DAYS = 10
"""How far a spell looks ahead: past the longest wait for a move day (9 days)."""
NO_LIMIT = 10**9
"""Room of a place that gives none [pots]."""


@dataclass(frozen=True, eq=False)
class Yard:
    """Arrays (places, days); day numbers count from the first date of the planning year.

    room: (places,) pots. share: mean light over open ground's. spells: (places, days, HORIZON_DAYS + 1 ...), each
    looking ahead from its day. worth_mean_dli, worth_full_sun_h: the most of the worth_days from each day on.
    move_day: (days,) whether moves are possible. next_move, next_free: (days,) the first move day after a day, and the
    first on which a plant that arrives that day may leave again.
    """

    dates: tuple[date, ...]
    names: tuple[str, ...]
    rows: np.ndarray
    light: Daylight
    clear_dli: np.ndarray
    mean_dli: np.ndarray
    full_sun_h: np.ndarray
    share: np.ndarray
    room: np.ndarray
    spells: Spell
    worth_mean_dli: np.ndarray
    worth_full_sun_h: np.ndarray
    move_day: np.ndarray
    next_move: np.ndarray
    next_free: np.ndarray

    def day(self, when: date) -> int:
        """Day number of a date; may lie outside the planning year."""
        return (when - self.dates[0]).days

    def date(self, day: int) -> date:
        """Date of a day number."""
        return self.dates[0] + timedelta(days=int(day))

    def lights(self, place: int, day: int) -> tuple[float, float, float]:
        """Clear-sky and mean-sky light [mol] and full-sun hours of a place on a day."""
        return (float(self.clear_dli[place, day]), float(self.mean_dli[place, day]), float(self.full_sun_h[place, day]))

    def days_ahead(self, day: int, values: np.ndarray) -> np.ndarray:
        """Values (places, days) of the next HORIZON_DAYS days, the last day repeated past the end of the year."""
        ahead = np.minimum(np.arange(day, day + HORIZON_DAYS), len(self.dates) - 1)
        return values[:, ahead]


def make_yard(places: Sequence[Place], light: Daylight, move_days: tuple[str, ...],
              shut: Collection[date] = ()) -> Yard:
    """The yard of a scenario; ValueError when the light lacks one of its outdoor places."""
    outdoor = [p for p in places if p.outdoors]
    rows = np.array([light.places.index(p.name) for p in outdoor], dtype=int)
    clear, mean, sun = (getattr(light, name)[rows] for name in ("clear_dli", "mean_dli", "full_sun_h"))
    allowed = np.array([is_move_day(d, move_days, shut) for d in light.dates])
    room = np.array([NO_LIMIT if p.room_for is None else p.room_for for p in outdoor], dtype=int)
    worth = int(light_rule().worth_days)
    return Yard(light.dates, tuple(p.name for p in outdoor), rows, light, clear, mean, sun,
                mean / np.maximum(light.open_mean_dli, 1e-6), room,
                spell(*(_ahead(values, HORIZON_DAYS) for values in (clear, mean, sun))),
                _ahead(mean, worth).max(axis=-1), _ahead(sun, worth).max(axis=-1), allowed,
                *_next_moves(light.dates, move_days, shut))


def _ahead(values: np.ndarray, days: int) -> np.ndarray:
    """(places, days of the year, days) what lies ahead of every day; the last day is repeated past the end."""
    padded = np.concatenate([values, np.repeat(values[:, -1:], days - 1, axis=1)], axis=1)
    return np.lib.stride_tricks.sliding_window_view(padded, days, axis=1)


def _next_moves(dates: Sequence[date], move_days: tuple[str, ...], shut: Collection[date]) -> tuple[np.ndarray,
                                                                                                    np.ndarray]:
    """(days,) first move day after each day, and first at least min_stop_days after it; the pattern goes on past the
    end of the year."""
    stop = int(light_rule().min_stop_days)
    count = len(dates)
    possible = [is_move_day(dates[0] + timedelta(days=n), move_days, shut) for n in range(count + HORIZON_DAYS)]
    following = np.zeros(count + HORIZON_DAYS, dtype=int)
    ahead = count + HORIZON_DAYS
    for n in range(count + HORIZON_DAYS - 1, -1, -1):
        following[n] = ahead
        ahead = n if possible[n] else ahead
    return following[:count], following[stop - 1:count + stop - 1]
