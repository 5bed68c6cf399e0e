"""Every kind of job there is, in the order in which days are given out: what protects something first, what
may be left out this year last.

To add a kind: one Job in one of the lists gathered here, and one test of its rule.
"""

from __future__ import annotations

from seasonplan import wording as w
from seasonplan.care import jobs_autumn, jobs_feed, jobs_home, jobs_pests, jobs_pots, jobs_wash
from seasonplan.care.figures import pot_figure
from seasonplan.care.job import Job
from seasonplan.care.logbook import log_steps
from seasonplan.care.waiting import earliest_move_in
from seasonplan.climate.highs import DAILY_RANGE_C
from seasonplan.model import Scenario

__all__ = ["MOVE_KINDS", "REGISTRY", "all_kinds", "any_time_kinds", "assumptions", "earliest_move_in", "known_kinds"]

MOVE_KINDS = ("move-out", "move", "move-in", "cloth", "day-trips")
"""Kinds of steps that other rooms make; the log may name them too."""

_ALL = (*jobs_pests.JOBS, *jobs_autumn.JOBS, *jobs_home.JOBS, *jobs_pests.LOOK, *jobs_wash.LEACH, *jobs_pots.JOBS,
        *jobs_feed.JOBS, *jobs_wash.WASH)
REGISTRY: tuple[Job, ...] = tuple(sorted(_ALL, key=lambda job: job.spare))


def all_kinds() -> tuple[str, ...]:
    """Every kind of job, in the registry's order."""
    return tuple(job.kind for job in REGISTRY)


def any_time_kinds() -> frozenset[str]:
    """Kinds that are seen to their end, whatever the season."""
    return frozenset(job.kind for job in REGISTRY if job.any_time)


def known_kinds() -> tuple[str, ...]:
    """Every word that a log entry's step may be, besides a step's uid."""
    return (*all_kinds(), *MOVE_KINDS, *log_steps())


def assumptions(scenario: Scenario) -> tuple[str, ...]:
    """What the jobs took for granted because nothing was said, as sentences."""
    notes = []
    units = scenario.rules.units
    if "tmax_c" in scenario.normals.from_stations:
        notes.append("The normals give no highs: those of stations round about are taken for spraying and watering.")
    if scenario.normals.tmax_c is None:
        span = w.temperature_span(DAILY_RANGE_C, units)
        notes.append(f"The normals give no highs: limits for spraying and watering take the normal low plus {span}.")
    unsized = [p for p in scenario.plants if p.pot_cm is None]
    if unsized:
        size = w.length(pot_figure("assumed_pot_cm"), units)
        notes.append(f"{w.counted(len(unsized), 'plant')} without a pot size: {size} taken for water, mix and weight.")
    return tuple(notes)
