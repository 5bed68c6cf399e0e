"""Between which dates a plant may live outdoors at a place, and which condition decided.

Two policies look at the nights at or below the plant's harm threshold. "careful": the first date after which the
chance of any such night before midsummer is within harm_risk. "carry-in": the first date after which no more than
carry_in_nights such nights are to be expected, with the chance of a freeze within freeze_risk. Autumn is the mirror
image. Beyond that a plant waits for the normal low to reach its comfort threshold, where the year has at least
COMFORT_DAYS such days. Everything is an array over the planning year; a threshold at a place that is warmer by some
lift is the same as a threshold lower by that lift at the site.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass, field
from datetime import date
from typing import Any

import numpy as np

from seasonplan.dates import DAYS, day_index
from seasonplan.model import Edge, MoveDate, NightClimate, NightTables, Place, PlaceWindow, Plant, Rules

COMFORT_DAYS = 42
"""Days at or above comfort that a year must offer before a plant waits for them: six weeks (design agreement)."""
SHORTEST_STAY_DAYS = 21
"""A stay shorter than this is not worth two moves: two weeks to harden off and one to run the light down again.
Our setting."""
FREEZE_C = 0.0


def freeze_threshold_c(harm_c: float) -> float:
    """The low that must not come at all under "carry-in": 0 °C, or lower for a plant that takes frost [°C]."""
    return min(FREEZE_C, harm_c)


def site_thresholds_c(plants: Iterable[Plant], places: Iterable[Place],
                      extra_lifts_c: Sequence[float] = ()) -> np.ndarray:
    """Every threshold, as seen at the site, that the windows of these plants at these places need [°C], rising."""
    lifts = {p.night_lift_c for p in places if p.outdoors} | {0.0} | set(extra_lifts_c)
    levels = {(p.harm_c, freeze_threshold_c(p.harm_c)) for p in plants}
    return np.array(sorted({round(c - lift, 6) for pair in levels for c in pair for lift in lifts} | {0.0}))


@dataclass(frozen=True)
class Span:
    """A run of allowed dates as positions in the planning year: first day out, day of coming in (or an Edge)."""

    run: tuple[int, int] | Edge

    @property
    def start(self) -> int | None:
        return None if isinstance(self.run, Edge) else self.run[0]

    @property
    def end(self) -> int | None:
        return None if isinstance(self.run, Edge) else self.run[1]


def longest_run(allowed: np.ndarray) -> Span:
    """The longest run of true days in a planning year (the first of equals): an Edge when it is all or nothing."""
    if allowed.all():
        return Span(Edge.ALL_YEAR)
    if not allowed.any():
        return Span(Edge.NEVER)
    steps = np.flatnonzero(np.diff(np.concatenate(([0], allowed.astype(np.int8), [0]))))
    starts, ends = steps[::2], steps[1::2]
    best = int(np.argmax(ends - starts))
    return Span((int(starts[best]), int(ends[best]) - 1))


@dataclass(eq=False)
class WindowFinder:
    """Windows for many plants at one site. Results are kept by (harm, comfort, lift), so 20,000 pots cost no more
    than their distinct thresholds."""

    climate: NightClimate
    tables: NightTables
    rules: Rules
    dates: tuple[date, ...]
    _kept: dict = field(default_factory=dict)

    def __post_init__(self) -> None:
        self.index = np.array([day_index(d) for d in self.dates])
        self.next_index = (self.index + 1) % DAYS
        turn, cold = self.tables.turn_index, self.tables.cold_index
        self.in_spring = (self.index - cold) % DAYS < (turn - cold) % DAYS
        self.rows = {round(float(t), 6): k for k, t in enumerate(self.tables.thresholds_c)}

    def row(self, threshold_c: float) -> int:
        """The tables' row of a site threshold."""
        return self.rows[round(threshold_c, 6)]

    def _by_half(self, after: np.ndarray, before: np.ndarray) -> np.ndarray:
        """What is still to come after this date in spring, what has come by this date in autumn."""
        coming = after[self.next_index] * (self.next_index != self.tables.turn_index)
        return np.where(self.in_spring, coming, before[self.index])

    def chance(self, threshold_c: float) -> np.ndarray:
        """Chance of a night at or below a site threshold between each date and midsummer (either side)."""
        k = self.row(threshold_c)
        return self._once(("chance", k), lambda: self._by_half(self.tables.chance_after[k],
                                                               self.tables.chance_before[k]))

    def expected(self, threshold_c: float) -> np.ndarray:
        """Expected number of such nights between each date and midsummer (either side)."""
        k = self.row(threshold_c)
        return self._once(("expected", k), lambda: self._by_half(self.tables.expected_after[k],
                                                                 self.tables.expected_before[k]))

    def _once(self, key: tuple, work: Callable[[], Any]) -> Any:
        """What `work` gives, worked out the first time a key is asked for."""
        if key not in self._kept:
            self._kept[key] = work()
        return self._kept[key]

    def odds(self, day: date, harm_c: float, lift_c: float) -> tuple[float, float]:
        """(chance, expected number) of nights at or below harm between a date and midsummer, at a place."""
        def look() -> tuple[float, float]:
            position = min(max((day - self.dates[0]).days, 0), len(self.dates) - 1)
            level = harm_c - lift_c
            return float(self.chance(level)[position]), float(self.expected(level)[position])

        return self._once(("odds", day, harm_c, lift_c), look)

    def policy_spans(self, harm_c: float, lift_c: float) -> dict[str, Span]:
        """The dates each policy allows, before comfort: keys "careful", "carry-in"."""
        chance, expected = self.chance(harm_c - lift_c), self.expected(harm_c - lift_c)
        freeze = self.chance(freeze_threshold_c(harm_c) - lift_c)
        return {
            "careful": longest_run(chance <= self.rules.harm_risk),
            "carry-in": longest_run((expected <= self.rules.carry_in_nights) & (freeze <= self.rules.freeze_risk)),
        }

    def comfort_span(self, comfort_c: float, lift_c: float) -> Span | None:
        """When the normal low at the place is at or above comfort; None where that is under COMFORT_DAYS a year."""
        if int((self.climate.mean_c + lift_c >= comfort_c).sum()) < COMFORT_DAYS:
            return None
        return longest_run(self.climate.mean_c[self.index] + lift_c >= comfort_c)

    def window(self, harm_c: float, comfort_c: float, lift_c: float, place: str) -> PlaceWindow:
        """The window of such a plant at a place of that lift, under the rules' policy."""
        key = ("window", harm_c, comfort_c, lift_c)
        return PlaceWindow(place, *self._once(key, lambda: self._find(harm_c, comfort_c, lift_c)))

    def windows(self, harm_c: float, comfort_c: float, places: tuple[Place, ...]) -> tuple[PlaceWindow, ...]:
        """One window per place; the same object for plants that are alike."""
        key = ("windows", harm_c, comfort_c, tuple(p.name for p in places))
        return self._once(key, lambda: tuple(self.window(harm_c, comfort_c, p.night_lift_c, p.name) for p in places))

    def _find(self, harm_c: float, comfort_c: float, lift_c: float):
        spans = self.policy_spans(harm_c, lift_c)
        harm, comfort = spans[self.rules.policy], self.comfort_span(comfort_c, lift_c)
        run, reason = combine(harm, comfort, len(self.dates))
        if not isinstance(run, Edge) and run[1] - run[0] < SHORTEST_STAY_DAYS:
            run, reason = Edge.NEVER, "short"
        ends = [self._move_date(side, spans, run, harm, comfort, harm_c, lift_c) for side in (0, 1)]
        span = run if isinstance(run, Edge) else (self.dates[run[0]], self.dates[run[1]])
        return span, ends[0], ends[1], reason

    def _move_date(self, side: int, spans, run, harm: Span, comfort: Span | None, harm_c: float, lift_c: float):
        def day(span: Span) -> date | None:
            return None if isinstance(span.run, Edge) else self.dates[span.run[side]]

        position = None if isinstance(run, Edge) else run[side]
        chance = expected = None
        decided = ""
        if position is not None:
            chance = float(self.chance(harm_c - lift_c)[position])
            expected = float(self.expected(harm_c - lift_c)[position])
            decided = self._decider(side, position, harm, comfort, harm_c, lift_c)
        return MoveDate(None if position is None else self.dates[position], day(spans["careful"]),
                        day(spans["carry-in"]), chance, expected, decided)

    def _decider(self, side: int, position: int, harm: Span, comfort: Span | None, harm_c: float, lift_c: float) -> str:
        """Which condition would be broken one day further out: comfort, freeze, harm, or none (the season's edge)."""
        if comfort is not None and not isinstance(comfort.run, Edge) and comfort.run[side] == position \
                and (isinstance(harm.run, Edge) or harm.run[side] != position):
            return "comfort"
        beyond = position + (1 if side else -1)
        if not 0 <= beyond < len(self.dates):
            return "season"
        if self.rules.policy == "careful":
            return "harm"
        return "harm" if self.expected(harm_c - lift_c)[beyond] > self.rules.carry_in_nights else "freeze"


def combine(harm: Span, comfort: Span | None, days: int) -> tuple[tuple[int, int] | Edge, str]:
    """Harm and comfort together: the run of dates (or an Edge) and a reason key for the reader.

    Reason keys: "cool" (harm alone decides: nights stay cooler than it likes), "both", "all-year", "never".
    """
    if harm.run is Edge.NEVER:
        return Edge.NEVER, "never"
    if comfort is None or comfort.run is Edge.ALL_YEAR:
        return harm.run, ("cool" if comfort is None else "all-year" if harm.run is Edge.ALL_YEAR else "both")
    if comfort.run is Edge.NEVER:
        return Edge.NEVER, "never"
    first, last = comfort.run
    if not isinstance(harm.run, Edge):
        first, last = max(first, harm.run[0]), min(last, harm.run[1])
    elif first == 0 and last == days - 1:
        return Edge.ALL_YEAR, "all-year"
    return ((first, last), "both") if first < last else (Edge.NEVER, "never")


def place_windows(finder: WindowFinder, plant: Plant, places: Sequence[Place]) -> tuple[PlaceWindow, ...]:
    """One window per outdoor place that suits the plant's need for shelter, in the places' order."""
    return finder.windows(plant.harm_c, plant.comfort_c, suitable_places(plant, places))


def suitable_places(plant: Plant, places: Sequence[Place]) -> tuple[Place, ...]:
    """Outdoor places the taxon may stand in: a taxon that wants shelter keeps off open ground where there is
    anything else."""
    outdoor = tuple(p for p in places if p.outdoors)
    if plant.taxon.summer_outdoors != "sheltered":
        return outdoor
    return tuple(p for p in outdoor if is_sheltered(p)) or outdoor


def is_sheltered(place: Place) -> bool:
    """Whether wind and driving rain are broken: a wall behind (a place that faces somewhere has one unless it says it
    has none), a roof, or a tree crown."""
    wall = place.wall_behind if place.wall_behind is not None else place.faces_deg is not None
    return wall or (place.roof_deg is not None and place.roof_deg < 90) or \
        (place.leaf_shade is not None and place.leaf_shade < 1)
