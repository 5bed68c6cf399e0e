"""Plants that came in mid-season, and pests that are news: since when the plan knows of them."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import date

from seasonplan.model import Before, Scenario


def known_since(scenario: Scenario, today: date, before: Before | None) -> dict[str, date | None]:
    """The day on which each plant first appeared: today for one that the plan before did not have, None for those that
    were there when the first plan was made."""
    if before is None:
        return dict.fromkeys((plant.name for plant in scenario.plants), None)
    known: Mapping[str, date | None] = before.known
    return {plant.name: known.get(plant.name, today) for plant in scenario.plants}


def pests_since(scenario: Scenario, today: date, before: Before | None) -> dict[str, tuple[str, date]]:
    """(pest, day since which the plan knows of it) of each plant that plants.csv says has one: today where the plan
    before did not know of this pest, and not before the plant is there."""
    told = {} if before is None else before.pests
    return {plant.name: (plant.pests, max(told[plant.name][1] if told.get(plant.name, ("",))[0] == plant.pests else
                                          today, plant.arrived or date.min))
            for plant in scenario.plants if plant.pests not in ("", "none")}
