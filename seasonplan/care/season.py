"""What every rule may know about the year: days to work on, heat, midsummer, and when the collection is outdoors.

Days are whole numbers (date.toordinal) throughout this room; dates appear only in finished steps.
"""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date
from functools import cached_property

import numpy as np

from seasonplan.care.figures import days, figure
from seasonplan.dates import MONTH_LENGTHS, MONTH_STARTS, is_move_day, is_south, midsummer, planning_days
from seasonplan.model import Place, Rules, Scenario
from seasonplan.units import LAPSE_C_PER_M


@dataclass(frozen=True, eq=False)
class Season:
    """A planning year at a site. first, last, midsummer: days; months_high_c: (12,) normal highs [°C].

    outside: (first day, last day) on which any plant stands outdoors, None when none ever does. first_back: the first
    day on which one comes in.
    """

    scenario: Scenario
    year: int
    first: int
    last: int
    midsummer: int
    months_high_c: tuple[float, ...]
    outside: tuple[int, int] | None = None
    first_back: int | None = None

    @property
    def rules(self) -> Rules:
        return self.scenario.rules

    @cached_property
    def places(self) -> dict[str, Place]:
        return {place.name: place for place in self.scenario.places}

    @cached_property
    def workdays(self) -> tuple[int, ...]:
        """The days of the year on which the person works on plants, rising."""
        move_days = self.rules.move_days
        return tuple(d for d in range(self.first, self.last + 1) if is_move_day(date.fromordinal(d), move_days))

    def workdays_in(self, first: int, last: int) -> tuple[int, ...]:
        """Work days from `first` through `last`."""
        return self.workdays[bisect_left(self.workdays, first):bisect_left(self.workdays, last + 1)]

    def high_c(self, day: int) -> float:
        """Normal high of the day's month [°C]."""
        return self.months_high_c[date.fromordinal(day).month - 1]

    @cached_property
    def months_too_hot(self) -> frozenset[int]:
        """Months whose normal high forbids soap."""
        return frozenset(m + 1 for m, high in enumerate(self.months_high_c) if high > figure("soap_most_high_c"))

    def too_hot(self, day: int) -> bool:
        """Whether soap is ruled out by the month's normal high."""
        return bool(self.months_too_hot) and date.fromordinal(day).month in self.months_too_hot

    def cool(self, day: int) -> bool:
        """Whether it counts as cool weather for succulents."""
        return self.high_c(day) < figure("cool_high_c")

    @cached_property
    def hot_spans(self) -> tuple[tuple[int, int], ...]:
        """Unbroken spans of months so hot that pots outdoors are looked at daily, while any plant is outdoors."""
        hot = {m + 1 for m, high in enumerate(self.months_high_c) if high >= figure("water_daily_high_c")}
        if self.outside is None or not hot:
            return ()
        first, last = self.outside
        return tuple(runs(d for d in range(first, last + 1) if date.fromordinal(d).month in hot))

    @property
    def start(self) -> int:
        """Where the season's jobs begin for a plant that does not move."""
        return self.midsummer - days("season_start_before_midsummer_days")

    @property
    def end(self) -> int:
        """Where they end for it."""
        return self.midsummer + days("season_end_after_midsummer_days")

    def month_start(self, northern_month: int) -> int:
        """The first day of the season's month that is called so in the north (May: November in the south)."""
        south = is_south(self.scenario.site.latitude_deg)
        month = (northern_month + 5) % 12 + 1 if south else northern_month
        year = self.year + 1 if south and month < 7 else self.year
        return date(year, month, 1).toordinal()


def season_of(scenario: Scenario, year: int) -> Season:
    """The season of a scenario's planning year, nothing known yet about its plants."""
    latitude = scenario.site.latitude_deg
    dates = planning_days(year, latitude)
    return Season(scenario, year, dates[0].toordinal(), dates[-1].toordinal(), midsummer(year, latitude).toordinal(),
                  months_high_c(scenario))


def months_high_c(scenario: Scenario) -> tuple[float, ...]:
    """Normal high of each month at the site [°C]: the table's, else its lows plus an assumed daily range.

    A site below its station is warmer by the standard lapse; a site above it gets no credit, so that the heat limit
    stays on the safe side.
    """
    normals, site = scenario.normals, scenario.site
    high = np.asarray(normals.tmax_c if normals.tmax_c is not None else
                      monthly(normals.tmin_c) + figure("assumed_daily_range_c"), dtype=float)
    below = 0.0 if site.station_elevation_m is None else site.station_elevation_m - site.elevation_m
    return tuple(float(c) for c in high + LAPSE_C_PER_M * max(below, 0.0))


def monthly(values: np.ndarray) -> np.ndarray:
    """(12,) means of a table of 12 months or 365 days."""
    values = np.asarray(values, dtype=float)
    if len(values) == len(MONTH_LENGTHS):
        return values
    return np.array([values[start:start + length].mean()
                     for start, length in zip(MONTH_STARTS, MONTH_LENGTHS, strict=True)])


def runs(values: Iterable[int]) -> list[tuple[int, int]]:
    """(first, last) of every unbroken run in rising whole numbers."""
    found: list[tuple[int, int]] = []
    for value in values:
        if found and value == found[-1][1] + 1:
            found[-1] = (found[-1][0], value)
        else:
            found.append((value, value))
    return found
