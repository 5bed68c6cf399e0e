"""The turn of the planning year: which season a day belongs to, and what is taken over from the one before.

A season that somebody lives by lasts until the last of its steps is done or its time is over, at the longest until its
year ends; only then does the plan of the next one begin. What goes on over the year's end (treatment, time apart) the
next plan takes over from the log; a plant that the log leaves outdoors comes in first; what lapses is said once
(decisions.notices).
"""

from __future__ import annotations

from datetime import date, timedelta

from seasonplan.dates import TURNING_DAYS, next_season_year, planning_start, planning_year
from seasonplan.decisions.going import Going
from seasonplan.model import Before, Scenario


def seasons(scenario: Scenario, today: date, before: Before | None) -> tuple[int, ...]:
    """The years to plan, the first of which has anything to do: the year that the rules name, else the usual one;
    before it the year that ends, where it has been lived by: its plan is at hand, or its log was begun in time."""
    latitude, rules = scenario.site.latitude_deg, scenario.rules
    usual, running = next_season_year(today, latitude), planning_year(today, latitude)
    if rules.year is not None or usual == running:
        return (usual if rules.year is None else rules.year,)
    first = planning_start(running, latitude)
    opens = planning_start(usual, latitude) - timedelta(days=TURNING_DAYS)
    lived = before.year == running if before is not None else any(first <= e.date < opens for e in scenario.log)
    return (running, usual) if lived else (usual,)


def left_out(going: Going) -> frozenset[str]:
    """Plants that the log of the year before left outdoors though their time there was over, in a kept season."""
    return frozenset(plant.name for plant in going.scenario.plants if going.carried(plant) is not None)
