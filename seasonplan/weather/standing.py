"""What stands where on a night: the plan's moves, and the log's where the log says otherwise."""

from __future__ import annotations

from bisect import bisect_right
from collections import Counter
from dataclasses import dataclass
from datetime import date

from seasonplan.model import LogEntry, Plan, Plant, PlantPlan, Step


@dataclass(frozen=True)
class Whereabouts:
    """The place of every plant on any night. arrivals: per plant the dates of arrival and the places, in date order."""

    plants: tuple[Plant, ...]
    arrivals: dict[str, tuple[list[date], list[str]]]

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


def whereabouts(plan: Plan) -> Whereabouts:
    """The latest arrival counts, planned or logged; of two on one day the logged one."""
    arrivals, steps = {}, {step.uid: step for step in plan.steps}
    for found in plan.plants:
        logged = [(entry.date, 1, place) for entry in plan.scenario.log
                  if (place := _logged_place(entry, steps.get(entry.step), found))]
        events = sorted([*_planned(found), *logged], key=lambda event: event[:2])
        arrivals[found.plant.name] = ([event[0] for event in events], [event[2] for event in events])
    return Whereabouts(tuple(found.plant for found in plan.plants), arrivals)


def _planned(found: PlantPlan) -> list[tuple[date, int, str]]:
    """(date, 0, place) of each planned arrival; where a stay ends and none follows on that day, the way back in."""
    starts = {stop.date for stop in found.route}
    return [(stop.date, 0, stop.place) for stop in found.route] + \
        [(stop.until, 0, found.plant.place) for stop in found.route if stop.until not in starts]


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
