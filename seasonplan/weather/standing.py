"""What stands where on a night: the plan's moves, and the log's where the log says otherwise."""

from __future__ import annotations

from bisect import bisect_right
from collections import Counter
from collections.abc import Mapping, Sequence, Set
from dataclasses import dataclass, field
from datetime import date
from weakref import WeakKeyDictionary

import numpy as np

from seasonplan.model import LogEntry, Place, Plan, Plant, PlantPlan, Step

ALWAYS_OUT_DAYS = 365
"""A plant that stands outdoors since before the season counts as out for so long. Our setting."""


@dataclass(frozen=True)
class Whereabouts:
    """The place of every plant on any night. arrivals: per plant the dates of arrival and the places, in date order;
    logged: the plants whose arrival on a date is known from the log."""

    plants: tuple[Plant, ...]
    arrivals: dict[str, tuple[list[date], list[str]]]
    logged: dict[date, set[str]] = field(default_factory=dict)

    def place_of(self, plant: Plant, night: date) -> str:
        """The name of the place where a plant stands on the night that begins on a date."""
        dates, places = self.arrivals[plant.name]
        after = bisect_right(dates, night)
        return places[after - 1] if after else plant.place

    def at(self, place: str, night: date) -> list[Plant]:
        """The plants that stand at a place, in plants.csv order."""
        return [plant for plant in self.plants if self.place_of(plant, night) == place]

    def pots_by_place(self, night: date) -> Counter[str]:
        """How many pots stand at each place."""
        pots: Counter[str] = Counter()
        for plant in self.plants:
            pots[self.place_of(plant, night)] += plant.count
        return pots


    def leaves_on(self, plant: Plant, day: date) -> bool:
        """Whether a plan, and no log, has the plant leave its indoor place on that very day."""
        dates, places = self.arrivals[plant.name]
        here = bisect_right(dates, day) - 1
        return here >= 0 and dates[here] == day and plant.name not in self.logged.get(day, ()) and \
            (here == 0 or places[here - 1] == plant.place)

    def out_since(self, plant: Plant, night: date, outdoors: Set[str]) -> date | None:
        """The day on which the plant's stay outdoors of that night began; None where it began before any arrival that
        is known, or where it stands indoors."""
        dates, places = self.arrivals[plant.name]
        since = None
        for n in range(bisect_right(dates, night) - 1, -1, -1):
            if places[n] not in outdoors:
                return since
            since = dates[n]
        return None if plant.place in outdoors else since


@dataclass(frozen=True, eq=False)
class Standing:
    """Who stands where, and what low does each harm, night by night; worked out once for each plan and night."""

    where: Whereabouts
    places: Mapping[str, Place]
    rows: Mapping[str, int]
    _nights: dict[date, tuple[tuple[int, ...], tuple[float, ...]]] = field(default_factory=dict)

    def on(self, nights: Sequence[date]) -> tuple[np.ndarray, np.ndarray]:
        """Row of the place, and the harmful low [°C], of every plant on each night: (plants, nights) each."""
        columns = [self._nights.get(night) or self._night(night) for night in nights]
        return np.array([rows for rows, _ in columns], dtype=int).T, np.array([harm for _, harm in columns]).T

    def _night(self, night: date) -> tuple[tuple[int, ...], tuple[float, ...]]:
        outdoors = {name for name, place in self.places.items() if place.outdoors}
        found = [(self.where.place_of(plant, night), plant) for plant in self.where.plants]
        rows = tuple(self.rows[place] for place, _ in found)
        harms = []
        for place, plant in found:
            since = self.where.out_since(plant, night, outdoors)
            days = ALWAYS_OUT_DAYS if since is None and place in outdoors else (night - since).days if since else 0
            harms.append(plant.harm_after_c(days))
        self._nights[night] = rows, tuple(harms)
        return self._nights[night]


_standing: WeakKeyDictionary[Plan, Standing] = WeakKeyDictionary()


def standing(plan: Plan) -> Standing:
    """The standing of a plan; kept as long as the plan is, since a season of warnings asks for it every evening."""
    if plan not in _standing:
        _standing[plan] = Standing(whereabouts(plan), {place.name: place for place in plan.places},
                                   {place.name: n for n, place in enumerate(plan.places)})
    return _standing[plan]


def whereabouts(plan: Plan) -> Whereabouts:
    """The latest arrival counts, planned or logged; of two on one day the logged one."""
    arrivals, steps = {}, {step.uid: step for step in plan.steps}
    known: dict[date, set[str]] = {}
    for found in plan.plants:
        logged = [(entry.date, place) for entry in plan.scenario.log
                  if (place := _logged_place(entry, steps.get(entry.step), found))]
        for day, _ in logged:
            known.setdefault(day, set()).add(found.plant.name)
        events = sorted([*_planned(found), *logged], key=lambda event: event[0])     # of one day the logged one last
        arrivals[found.plant.name] = ([day for day, _ in events], [place for _, place in events])
    return Whereabouts(tuple(found.plant for found in plan.plants), arrivals, known)


def _planned(found: PlantPlan) -> list[tuple[date, str]]:
    """(date, place) of each planned arrival; where a stay ends and none follows on that day, the way back in."""
    starts = {stop.date for stop in found.route}
    return [(stop.date, stop.place) for stop in found.route] + \
        [(stop.until, found.plant.place) for stop in found.route if stop.until not in starts]


def _logged_place(entry: LogEntry, step: Step | None, found: PlantPlan) -> str:
    """Where a log entry says a plant went; "" when it says nothing about this plant's place. step: the plan's step of
    that uid, if there is one."""
    if entry.move_kind is None or not _concerns(entry, step, found.plant):
        return ""
    return entry.place or (found.plant.place if entry.move_kind == "move-in" else _place_of_step(step, found))


def _concerns(entry: LogEntry, step: Step | None, plant: Plant) -> bool:
    if entry.plant:
        return entry.plant == plant.name
    return step is None or plant.name in step.plants


def _place_of_step(step: Step | None, found: PlantPlan) -> str:
    """Where a plant goes by a step of the plan; "" when the plan does not say."""
    return next((stop.place for stop in found.route if step is not None and stop.date == step.date), "")
