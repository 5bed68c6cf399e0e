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
from seasonplan.decisions.log_state import standing
from seasonplan.model import Before, Plan, Scenario


def seasons(scenario: Scenario, today: date, before: Before | None) -> tuple[int, ...]:
    """The years to plan, the first of which has anything to do: the year that the rules name, else the usual one;
    before it the year that ends, where it has been lived by: its plan is at hand, its log was begun in time, or the log
    leaves a plant outdoors."""
    latitude, rules = scenario.site.latitude_deg, scenario.rules
    usual, running = next_season_year(today, latitude), planning_year(today, latitude)
    if rules.year is not None or usual == running:
        return (usual if rules.year is None else rules.year,)
    first = planning_start(running, latitude)
    opens = planning_start(usual, latitude) - timedelta(days=TURNING_DAYS)
    lived = any(first <= e.date < opens for e in scenario.log) if before is None else \
        before.year == running or any(standing(scenario, plant, planning_start(usual, latitude)) is not None
                                      for plant in scenario.plants)
    return (running, usual) if lived else (usual,)


def is_on(plan: Plan, before: Before | None) -> bool:
    """Whether a season still has anything to do; where the next one has begun already, a plant to carry in."""
    begun = before is not None and before.year > plan.year
    return any(step.date >= plan.today and (step.kind == "move-in" or not begun) for step in plan.steps)


def left_out(going: Going) -> frozenset[str]:
    """Plants that the log of the year before left outdoors though their time there was over, in a kept season."""
    return frozenset(plant.name for plant in going.scenario.plants if going.carried(plant) is not None)
