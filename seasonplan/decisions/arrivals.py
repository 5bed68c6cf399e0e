"""Plants that came in mid-season, and pests that are news: since when the plan knows of them."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import date, timedelta

from seasonplan.dates import TURNING_DAYS, planning_year
from seasonplan.model import Before, Plant, Scenario

TREATED = ("treat", "hand-wipe", "pest", "found-")
"""How the steps of a log begin that tell of a pest or of what was done against it."""


def known_since(scenario: Scenario, today: date, before: Before | None, first: date) -> dict[str, date | None]:
    """The day on which each plant first appeared: today for one that the plan before did not have, None for those that
    were there when the first plan was made, or long before the planning year, the first day of which is given."""
    if before is None:
        return dict.fromkeys((plant.name for plant in scenario.plants), None)
    known: Mapping[str, date | None] = before.known
    found = {plant.name: known.get(plant.name, today) for plant in scenario.plants}
    if before.year < planning_year(first, scenario.site.latitude_deg):
        opens = first - timedelta(days=TURNING_DAYS)
        return {name: day if day is None or day >= opens else None for name, day in found.items()}
    return found


def pests_since(scenario: Scenario, today: date, before: Before | None, year: int) -> dict[str, tuple[str, date]]:
    """(pest, day since which the plan knows of it) of each plant that plants.csv says has one: today where the plan
    before did not know of this pest, and not before the plant is there. A pest of the year before that the list still
    names is news again, where the log does not tell of its treatment."""
    told, is_old = {} if before is None else before.pests, before is not None and before.year < year

    def since(plant: Plant) -> date:
        pest, day = told.get(plant.name, ("", today))
        if pest != plant.pests or is_old and not _is_treated(scenario, plant, day):
            return today
        return day
    return {plant.name: (plant.pests, max(since(plant), plant.arrived or date.min))
            for plant in scenario.plants if plant.pests not in ("", "none")}


def _is_treated(scenario: Scenario, plant: Plant, since: date) -> bool:
    return any(entry.date >= since and entry.plant in ("", plant.name) and entry.step.startswith(TREATED)
               for entry in scenario.log)


def opens_on(first: date, before: Before | None, year: int, known: Mapping[str, date | None],
             ill: Mapping[str, tuple[str, date]]) -> date:
    """The first day that the plan of a year knows anything of: two months before its first day, when it may be made;
    earlier where it was made earlier and plants or pests were news then."""
    opens = first - timedelta(days=TURNING_DAYS)
    if before is not None and before.year != year:
        return opens
    return min([opens, *(day for day in known.values() if day is not None), *(day for _, day in ill.values())])
