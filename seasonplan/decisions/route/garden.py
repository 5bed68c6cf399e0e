"""The garden as arrays over the planning year: outdoor places, each without a cloth and under every cloth on sale.

A position is a place with the cloth over it; positions of a place follow one another, the bare place first.
"""

from __future__ import annotations

from collections.abc import Collection, Iterable, Sequence
from dataclasses import dataclass
from datetime import date, timedelta

import numpy as np

from seasonplan.dates import is_move_day
from seasonplan.decisions.route.cloth import CLOTHS_PERCENT
from seasonplan.decisions.route.light_rule import Intervals, intervals
from seasonplan.model import Daylight, Place

NO_LIMIT = 10**9
"""Room of a place that gives none [pots]."""


@dataclass(frozen=True, eq=False)
class Garden:
    """Arrays (places, days) of outdoor places; day numbers count from the first date of the planning year.

    rows: (places,) their rows in the daylight. room: (places,) pots. place, percent: (positions,) the place of each
    position and the cloth over it. move_day: (days,) whether moves are possible.
    """

    dates: tuple[date, ...]
    names: tuple[str, ...]
    light: Daylight
    rows: np.ndarray
    room: np.ndarray
    place: np.ndarray
    percent: np.ndarray
    move_day: np.ndarray

    def day(self, when: date) -> int:
        """Day number of a date; may lie outside the planning year."""
        return (when - self.dates[0]).days

    def date(self, day: int) -> date:
        """Date of a day number."""
        return self.dates[0] + timedelta(days=int(day))

    def position(self, place: int, percent: int) -> int:
        """A place under a cloth, 0 for none."""
        return int(np.flatnonzero((self.place == place) & (self.percent == percent))[0])

    def move_after(self, day: int) -> int:
        """The first move day on or after a day; the day after the planning year where there is none."""
        later = np.flatnonzero(self.move_day[day:])
        return day + int(later[0]) if later.size else len(self.dates)

    def lights(self, place: int, percent: int, day: int) -> tuple[float, float, float]:
        """Clear-sky and mean-sky light [mol] and full-sun hours of a place under a cloth on a day."""
        row, through = self.rows[place], 1 - percent / 100
        return tuple(through * float(values[row, day])  # type: ignore[return-value]
                     for values in (self.light.clear_dli, self.light.mean_dli, self.light.full_sun_h))

    def intervals(self, days: np.ndarray, positions: np.ndarray) -> Intervals:
        """What standing at some of the positions between days asks and does."""
        through = 1 - self.percent[positions, None] / 100
        rows, light = self.rows[self.place[positions]], self.light
        return intervals(days, *(through * values[rows] for values in (
            light.clear_dli, light.mean_dli, light.full_sun_h, light.peak_ppfd)))


def make_garden(places: Sequence[Place], light: Daylight, move_days: tuple[str, ...],
                hung: Iterable[int] = (), shut: Collection[date] = ()) -> Garden:
    """The garden of a scenario; ValueError when the light lacks one of its outdoor places. hung: percentages of cloths
    that hang by the log, on sale or not; shut: days without moves."""
    outdoor = [p for p in places if p.outdoors]
    rows = np.array([light.places.index(p.name) for p in outdoor], dtype=int)
    room = np.array([NO_LIMIT if p.room_for is None else p.room_for for p in outdoor], dtype=int)
    levels = sorted({0, *CLOTHS_PERCENT, *hung})
    return Garden(light.dates, tuple(p.name for p in outdoor), light, rows, room,
                  np.repeat(np.arange(len(outdoor)), len(levels)), np.tile(levels, len(outdoor)),
                  np.array([is_move_day(d, move_days, shut) for d in light.dates]))
