"""What every rule may know about the year: days to work on, heat, midsummer, and when the collection is outdoors.

Days are whole numbers (date.toordinal) throughout this room; dates appear only in finished steps.
"""

from __future__ import annotations

import math
from bisect import bisect_left
from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date
from functools import cached_property, lru_cache

from seasonplan.care.figures import days, figure
from seasonplan.climate.highs import normal_highs_c
from seasonplan.dates import DAYS, TURNING_DAYS, day_index, is_move_day, is_south, midsummer, planning_days
from seasonplan.model import LogEntry, Place, Rules, Scenario


@dataclass(frozen=True, eq=False)
class Season:
    """A planning year at a site. first, last, midsummer: days; highs_c: the normal high
    of each day from the first [°C].

    outside: (first day, last day) on which any plant stands outdoors, None when none ever does. first_back: the first
    day on which one comes in. today: in a season that is kept, the first day on which anything may still be done; None
    on paper. begun: the day on which its log begins, None = the planning year's first. later_days: by which what comes
    every fortnight is later, where one person keeps several gardens. opens: the first day on which this plan may date
    what waits for no season: pests, and plants that are new.
    """

    scenario: Scenario
    year: int
    first: int
    last: int
    midsummer: int
    highs_c: tuple[float, ...]
    outside: tuple[int, int] | None = None
    first_back: int | None = None
    today: int | None = None
    begun: int | None = None
    later_days: int = 0
    opens: int = 0

    @property
    def rules(self) -> Rules:
        return self.scenario.rules

    @property
    def remembers(self) -> int:
        """The first day of which the log still matters for what goes on: a year before."""
        return self.first - DAYS

    @property
    def closes(self) -> int:
        """The last such day: what began in the year is planned to its end."""
        return self.last + TURNING_DAYS

    @cached_property
    def shut(self) -> frozenset[int]:
        """Days without work, whatever the day of the week."""
        return frozenset(day.toordinal() for day in self.rules.shut)

    @cached_property
    def places(self) -> dict[str, Place]:
        return {place.name: place for place in self.scenario.places}

    @cached_property
    def workdays(self) -> tuple[int, ...]:
        """The days on which the person works on plants, rising: of the year, and round about it."""
        rules = self.rules
        return tuple(d for d in range(self.remembers, self.closes + 1)
                     if is_move_day(date.fromordinal(d), rules.move_days, rules.shut))

    def came_in(self, plant: str) -> int | None:
        """The day on which the log has a plant come in for the winter, where that is shortly before the year, when its
        plan may be made; None where it has not."""
        last = max((self._moves_before[name] for name in (plant, "") if name in self._moves_before),
                   key=lambda entry: (entry.date, entry.line), default=None)
        if last is None or last.move_kind != "move-in" or last.date.toordinal() < self.opens:
            return None
        return last.date.toordinal()

    @cached_property
    def _moves_before(self) -> dict[str, LogEntry]:
        """The last move before the year of each plant, "" = of all."""
        return {entry.plant: entry for entry in self.scenario.log
                if entry.move_kind in ("move-out", "move", "move-in") and entry.date.toordinal() < self.first}

    def workdays_in(self, first: int, last: int, past: bool = False) -> tuple[int, ...]:
        """Work days from `first` through `last`; in a season that is kept those to come, unless those of the past are
        asked for too."""
        if self.today is not None and not past:
            first = max(first, self.today)
        return self.workdays[bisect_left(self.workdays, first):bisect_left(self.workdays, last + 1)]

    def high_c(self, day: int) -> float:
        """Normal high of a day [°C]; of one outside the year, that of the same time of the year."""
        n = day - self.first
        return self.highs_c[n if 0 <= n < len(self.highs_c) else n % DAYS]

    @cached_property
    def ever_too_hot(self) -> bool:
        """Whether any day's normal high forbids soap."""
        return max(self.highs_c) > figure("soap_most_high_c")

    def too_hot(self, day: int) -> bool:
        """Whether soap is ruled out by the day's normal high."""
        return self.ever_too_hot and self.high_c(day) > figure("soap_most_high_c")

    def cool(self, day: int) -> bool:
        """Whether it counts as cool weather for succulents."""
        return self.high_c(day) < figure("cool_high_c")

    def open_day(self, day: int, back: bool = True) -> int:
        """A day itself, or where it is shut the last open day before it that is to come, else the next one; this at
        once where nothing may be done before the day."""
        first = max(self.opens, self.today or self.opens) if back else day
        earlier = next((d for d in range(day, first - 1, -1) if d not in self.shut), None)
        return earlier if earlier is not None else next(d for d in range(day, day + len(self.shut) + 1)
                                                        if d not in self.shut)

    @cached_property
    def growth(self) -> int:
        """The first day of growth by the light: the day grows past so many hours, or the season's start where days are
        never short."""
        lengths = [day_length_h(self.scenario.site.latitude_deg, date.fromordinal(d).timetuple().tm_yday)
                   for d in range(self.first, self.midsummer + 1)]
        if min(lengths) >= figure("growth_short_day_h"):
            return self.start
        return self.first + next((n for n, hours in enumerate(lengths) if hours >= figure("growth_day_h")), 0)

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


def day_length_h(latitude_deg: float, day_of_year: int) -> float:
    """Hours from sunrise to sunset (FAO-56 equations 24, 25 and 34), 0 or 24 beyond the polar circles."""
    declination = 0.409 * math.sin(2 * math.pi / 365 * day_of_year - 1.39)
    level = -math.tan(math.radians(latitude_deg)) * math.tan(declination)
    return 24 / math.pi * math.acos(min(max(level, -1.0), 1.0))


@lru_cache(maxsize=2)
def season_of(scenario: Scenario, year: int) -> Season:
    """The season of a scenario's planning year, nothing known yet about its plants."""
    latitude = scenario.site.latitude_deg
    dates = planning_days(year, latitude)
    return Season(scenario, year, dates[0].toordinal(), dates[-1].toordinal(), midsummer(year, latitude).toordinal(),
                  tuple(normal_highs_c(scenario.normals, scenario.site)[[day_index(day) for day in dates]].tolist()),
                  opens=dates[0].toordinal() - TURNING_DAYS)


def runs(values: Iterable[int]) -> list[tuple[int, int]]:
    """(first, last) of every unbroken run in rising whole numbers."""
    found: list[tuple[int, int]] = []
    for value in values:
        if found and value == found[-1][1] + 1:
            found[-1] = (found[-1][0], value)
        else:
            found.append((value, value))
    return found
