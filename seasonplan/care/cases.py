"""A case: plants in the same situation, which the rules look at once.

With forty pots nearly every plant is its own case; with twenty thousand there are still only as many cases as there
are kinds of plants, pots and routes.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date
from functools import cached_property

from seasonplan.care.amounts import pot_cm_of
from seasonplan.care.carried import days_of, new_on
from seasonplan.care.figures import days, figure, mentions, pot_figure, taxon_traits
from seasonplan.care.lifting import lift_of
from seasonplan.care.logbook import RECHECK, TREAT, WIPE, Find, PlantLog
from seasonplan.care.season import Season
from seasonplan.care.treatment import Course, courses, day_finders
from seasonplan.model import Plant, PlantPlan, Taxon

WEEK = 6
CLEAR_WITHIN = 60
"""A check that found nothing ends the course before it, if it is no more days old. Our setting."""
SUN_STEP_H = 0.5
"""A change of place that adds at least so many full-sun hours is a sun step. Our setting."""
SUCCULENTS = ("succulent", "cactus")
RULE_TRAITS = frozenset({"vine", "no-wash", "no-pot"})
"""Traits that decide whether and when a job is due; the others only change its words."""


@dataclass(frozen=True, eq=False)
class Case:
    """Plants in one situation. plan: any of them; members: their positions in plants.csv order, rising.

    out, back: days of going out and coming in, None for plants that do not move (or not both ways). finds: pests that
    the list (from the day since which it is known) or the log reports, by day; clears: days of a check that found none;
    treated, wiped, checked: days of sprays, of wiping and of the check after them that the log records. joined: the day
    it arrived in this season. gone: the day it left. new_on: the day it arrived, where it may still stand apart for
    that; came_in: the day it came in for the winter, where that was just before the planning year.
    """

    plan: PlantPlan
    members: tuple[int, ...]
    season: Season
    out: int | None
    back: int | None
    last_leached: int | None
    last_repotted: int | None
    finds: tuple[Find, ...] = ()
    clears: tuple[int, ...] = ()
    treated: tuple[int, ...] = ()
    wiped: tuple[int, ...] = ()
    checked: tuple[int, ...] = ()
    joined: int | None = None
    gone: int | None = None
    new_on: int | None = None
    came_in: int | None = None

    @cached_property
    def courses(self) -> tuple[Course, ...]:
        """The courses of treatment that the list and the log call for."""
        if not self.finds:
            return ()
        return tuple(courses(self.finds, self.clears, self.treated, *day_finders(self.season), self.wiped,
                             self.checked))

    def is_over(self, course: Course) -> bool:
        """Whether a course of treatment is behind it: all its sprays were given, or a check found nothing."""
        last, today = max((*course.sprays, *course.wipes), default=course.end), self.season.today
        return today is not None and last < today or any(
            course.find.day <= clear <= course.end + CLEAR_WITHIN for clear in self.clears)

    @property
    def plant(self) -> Plant:
        return self.plan.plant

    @property
    def taxon(self) -> Taxon:
        return self.plan.plant.taxon

    @cached_property
    def traits(self) -> frozenset[str]:
        return taxon_traits(self.taxon.key)

    @property
    def moves(self) -> bool:
        return self.plan.status == "moves"

    @property
    def goes_out(self) -> bool:
        """Whether it lives outdoors for a part of the year or all of it."""
        return self.plan.status in ("moves", "stays-out")

    @property
    def is_succulent(self) -> bool:
        return self.taxon.group in SUCCULENTS

    @property
    def start(self) -> int:
        """Where its season of jobs begins: going out, else a day in spring, or the day it joined."""
        return self.out if self.out is not None else max(self.season.start, self.joined or 0)

    @property
    def end(self) -> int:
        """Where it ends: coming in, else a day in autumn."""
        return self.back if self.back is not None else self.season.end

    def outdoors(self, day: int) -> bool:
        """Whether it stands outdoors on a day."""
        if self.plan.status != "moves":
            return self.plan.status == "stays-out"
        return (self.out is None or self.out <= day) and (self.back is None or day < self.back)

    def draining(self, first: int, last: int) -> list[tuple[int, int]]:
        """(first, last) of the days between two on which water may run through its pot: not in a room into which it has
        only just come from outdoors."""
        if self.back is None or last < self.back or first >= self.back + days("leach_after_in_days"):
            return [(first, last)] if first <= last else []
        later = self.back + days("leach_after_in_days")
        return [span for span in ((first, self.back - 1), (max(first, later), last)) if span[1] - span[0] >= WEEK]

    def notes_say(self, use: str) -> bool:
        """Whether its notes hold a word for something ("dusty", "leggy" ...)."""
        return mentions(self.plant.notes, use)

    @cached_property
    def sun_steps(self) -> tuple[int, ...]:
        """Days on which it is moved into clearly more sun."""
        found, before = [], 0.0
        for stop in self.plan.route:
            if stop.full_sun_h >= before + SUN_STEP_H:
                found.append(stop.date.toordinal())
            before = stop.full_sun_h
        return tuple(found)

    def prune_gap(self, day: int) -> int:
        """Days between two prunings: from six weeks in bright light to twelve in dim, by where it stands on a day."""
        least, most = days("prune_gap_least_days"), days("prune_gap_most_days")
        low, high = self.taxon.light_low_mol, self.taxon.light_high_mol
        light = next((s.mean_dli for s in self.plan.route if s.date.toordinal() <= day < s.until.toordinal()), low)
        dim = 1 - min(max((light - low) / max(high - low, 1e-9), 0.0), 1.0)
        return round(least + dim * (most - least))


def cases_of(plans: Sequence[PlantPlan], season: Season, logs: Mapping[str, PlantLog]) -> list[Case]:
    """The cases of a collection, in the order of their first plants. logs: what the log and the list say, by plant
    name."""
    groups: dict[tuple, tuple[dict, list[int]]] = {}
    for position, plan in enumerate(plans):
        facts = _facts(plan, logs.get(plan.plant.name), season)
        _, members = groups.setdefault(_key(plan, facts), (facts, []))
        members.append(position)
    return [Case(plans[members[0]], tuple(members), season, **facts) for facts, members in groups.values()]


def _facts(plan: PlantPlan, log: PlantLog | None, season: Season) -> dict:
    plant = plan.plant
    log = log or PlantLog()
    moves = plan.status == "moves"
    return {
        "out": _day(plan.out.date) if moves else None,
        "back": _day(plan.back.date) if moves else None,
        "last_leached": _latest(_day(plant.last_leached), log.last_before("leach")),
        "last_repotted": _latest(_day(plant.last_repotted), log.last_before("repot")),
        "finds": tuple(log.finds),
        "clears": tuple(log.clears),
        "treated": days_of(log.done, TREAT),
        "wiped": days_of(log.done, WIPE),
        "checked": days_of(log.done, RECHECK),
        "joined": None if plant.arrived is None or plant.arrived.toordinal() < season.first else _day(plant.arrived),
        "gone": _day(plant.left),
        "new_on": new_on(plan, season),
        "came_in": season.came_in(plant.name),
    }


def _key(plan: PlantPlan, facts: dict) -> tuple:
    """All that any rule looks at; plants alike in it are one case."""
    plant, taxon = plan.plant, plan.plant.taxon
    dusty, leggy = (mentions(plant.notes, "dusty"), mentions(plant.notes, "leggy")) if plant.notes else (False, False)
    traits = taxon_traits(taxon.key) & RULE_TRAITS
    pruned = (taxon.light_low_mol, taxon.light_high_mol) if leggy or "vine" in traits else ()
    route = tuple((s.date, s.until, s.place) for s in plan.route)
    return (traits, taxon.group in SUCCULENTS, taxon.soap_sensitive == "yes", taxon.moisture == "dry",
            taxon.salt_sensitive, taxon.cuttings == "water", taxon.toxic_people, taxon.toxic_pets, pruned, plan.status,
            lift_of(plant).how, is_large(plant), is_tall(plant), plant.root_bound, dusty, leggy, route,
            *facts.values())


def is_large(plant: Plant) -> bool:
    """Whether its pot is of a size that only a dolly moves, and wind takes."""
    return pot_cm_of(plant) >= pot_figure("tall_from_cm")


def is_tall(plant: Plant) -> bool:
    """Whether wind takes its crown: by its height, or by what its notes say of it."""
    return plant.tall_cm >= figure("tall_plant_cm") if plant.tall_cm is not None else mentions(plant.notes, "tall")


def _day(value: date | None) -> int | None:
    return None if value is None else value.toordinal()


def _latest(*values: int | None) -> int | None:
    return max((v for v in values if v is not None), default=None)


def with_stays(season: Season, plans: Sequence[PlantPlan]) -> Season:
    """The season with what its plants' stays outdoors say about it."""
    spans = [(season.first, season.last) for p in plans if p.status == "stays-out"]
    spans += [(_day(p.out.date) or season.first, (_day(p.back.date) or season.last + 1) - 1)
              for p in plans if p.status == "moves"]
    if not spans:
        return season
    backs = [p.back.date.toordinal() for p in plans if p.status == "moves" and p.back.date]
    return replace(season, outside=(min(s[0] for s in spans), max(s[1] for s in spans)),
                   first_back=min(backs, default=None))
