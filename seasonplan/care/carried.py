"""What a planning year takes over from the one before: treatment that still goes on, plants that are new, time apart.

The log is one log, and a pest knows no New Year: a course of treatment found in December goes on in January with the
sprays that are left. Entries of the old year that belong to such a thing count as this season's; all others are past.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace

from seasonplan.care.logbook import RECHECK, TREAT, WIPE, Done, PlantLog
from seasonplan.care.season import Season
from seasonplan.care.treatment import all_finds, courses, day_finders
from seasonplan.model import PlantPlan

NEW_PLANT, APART_END = "new-plant", "quarantine-end"


def of_this_season(logs: Mapping[str, PlantLog], plans: Sequence[PlantPlan], season: Season, kinds: frozenset[str],
                   ill_since: Mapping[str, int]) -> dict[str, PlantLog]:
    """The logs as this season has them: with the pest that plants.csv names among the finds, found on the day since
    which it is known (ill_since; else of its find, or the season's first), and without what was over before its plan
    could be made. kinds: those of a treatment."""
    found = {}
    for plan in plans:
        name, log = plan.plant.name, logs.get(plan.plant.name, PlantLog())
        finds = [find for find in log.finds if find.day >= season.remembers]
        usual = min((find.day for find in finds if find.pest == plan.plant.pests), default=season.first)
        log = replace(log, finds=list(all_finds(plan.plant.pests, ill_since.get(name, usual), finds)))
        if log != PlantLog():
            found[name] = _cut(log, plan, season, kinds)
    return found


def _cut(log: PlantLog, plan: PlantPlan, season: Season, kinds: frozenset[str]) -> PlantLog:
    begins = dict.fromkeys(kinds, since := running_since(log, season))
    if (new := new_on(plan, season)) is not None:
        begins[NEW_PLANT] = new
    if (came := season.came_in(plan.plant.name)) is not None:
        begins[APART_END] = came
    mine = [done for done in log.before if done.day >= begins.get(done.kind, season.first)]
    return PlantLog([find for find in log.finds if find.day >= since], [day for day in log.clears if day >= since],
                    [*mine, *log.done], [done for done in log.before if done not in mine])


def running_since(log: PlantLog, season: Season) -> int:
    """The day from which finds count: of the earliest course of treatment that is not over when the plan may first be
    made, else that day itself."""
    if all(find.day >= season.opens for find in log.finds):
        return season.opens
    done = [*log.before, *log.done]
    sprayed, wiped, checked = (days_of(done, kind) for kind in (TREAT, WIPE, RECHECK))
    found = courses(log.finds, log.clears, sprayed, *day_finders(season), wiped, checked)
    return min((course.find.day for course in found if course.end >= season.opens), default=season.opens)


def days_of(done: Sequence[Done], kind: str) -> tuple[int, ...]:
    """The days on which a kind of job was done."""
    return tuple(each.day for each in done if each.kind == kind)


def new_on(plan: PlantPlan, season: Season) -> int | None:
    """The day it joined, where that is in this season or in the weeks before it in which its plan may be made."""
    arrived = plan.plant.arrived
    return arrived.toordinal() if arrived is not None and arrived.toordinal() >= season.opens else None
