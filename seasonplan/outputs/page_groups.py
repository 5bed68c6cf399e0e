"""Putting like with like for the page: plants of the same thresholds, plants on the same route, steps of one week."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from itertools import product
from string import ascii_uppercase

import numpy as np

from seasonplan.dates import DAYS, day_index
from seasonplan.model import Edge, MoveDate, Plan, PlantPlan, Step

LEVEL_MATCH_C = 0.05
"""A threshold of the tables within this of the one asked for is the one asked for [°C]."""
STATUS_WORDS = {"moves": "goes out and comes back", "stays-in": "stays indoors", "stays-out": "stays outdoors",
                "day-trips": "day trips"}

@dataclass(frozen=True)
class Group:
    """Plants with the same two thresholds. letter: its name in the charts.

    leader: the first of them that moves (else the first of all); its dates stand for the group in the charts.
    spring_row, autumn_row: rows of the site tables for its harm threshold at the leader's first and last place.
    """

    letter: str
    harm_c: float
    comfort_c: float
    plans: tuple[PlantPlan, ...]
    leader: PlantPlan
    spring_row: int
    autumn_row: int

    @property
    def pots(self) -> int:
        return pots(self.plans)

    @property
    def names(self) -> tuple[str, ...]:
        return names_of(self.plans)

    @property
    def out_days(self) -> tuple[date, ...]:
        return tuple(sorted({p.out.date for p in self.plans if p.out.date}))

    @property
    def back_days(self) -> tuple[date, ...]:
        return tuple(sorted({p.back.date for p in self.plans if p.back.date}))

    @property
    def moves(self) -> bool:
        return self.leader.out.date is not None and self.leader.back.date is not None

    @property
    def stay(self) -> tuple[date, date]:
        """The leader's days out and back in; only of a group that moves."""
        if self.leader.out.date is None or self.leader.back.date is None:
            raise ValueError(f"group {self.letter} has no dates")
        return self.leader.out.date, self.leader.back.date

    @property
    def allowed(self) -> tuple[date, date] | None:
        """The longest span any outdoor place offers its leader; None where no place has dated ends."""
        spans = [w.span for w in self.leader.windows if not isinstance(w.span, Edge)]
        return max(spans, key=lambda span: span[1] - span[0]) if spans else None


def pots(plans: Iterable[PlantPlan]) -> int:
    """Pots of some plants."""
    return sum(p.plant.count for p in plans)


def names_of(plans: Iterable[PlantPlan]) -> tuple[str, ...]:
    """Names of some plants, in their order."""
    return tuple(p.plant.name for p in plans)


def threshold_groups(plan: Plan) -> tuple[Group, ...]:
    """Every plant in the group of its (harm, comfort), the ones that take the most cold first."""
    found: dict[tuple[float, float], list[PlantPlan]] = defaultdict(list)
    for each in plan.plants:
        found[each.plant.harm_c, each.plant.comfort_c].append(each)
    return tuple(_group(plan, letter, *key, tuple(found[key]))
                 for letter, key in zip(_letters(), sorted(found), strict=False))


def _group(plan: Plan, letter: str, harm_c: float, comfort_c: float, plans: tuple[PlantPlan, ...]) -> Group:
    leader = next((p for p in plans if p.out.date), plans[0])
    lifts = {place.name: place.night_lift_c for place in plan.places}
    stays = [stop.place for stop in leader.route] or [window.place for window in leader.windows] or [""]
    rows = [_row(plan.site_tables.thresholds_c, harm_c, lifts.get(stays[end], 0.0)) for end in (0, -1)]
    return Group(letter, harm_c, comfort_c, plans, leader, *rows)


def _row(thresholds_c: np.ndarray, harm_c: float, lift_c: float) -> int:
    """The row of the harm threshold as seen at the site from a place of this lift, else of the threshold itself."""
    near = [int(np.argmin(np.abs(thresholds_c - level))) for level in (harm_c - lift_c, harm_c)]
    return near[0] if abs(thresholds_c[near[0]] - (harm_c - lift_c)) < LEVEL_MATCH_C else near[1]


def _letters() -> Iterable[str]:
    """A, B, ... Z, AA, AB, ..."""
    yield from ascii_uppercase
    yield from ("".join(pair) for pair in product(ascii_uppercase, repeat=2))


def spring_odds(plan: Plan, group: Group, days: Sequence[date]) -> tuple[np.ndarray, np.ndarray]:
    """(chance, expected number) of nights at or below harm still to come before midsummer after each of these days."""
    tables = plan.site_tables
    after = (np.array([day_index(d) for d in days]) + 1) % DAYS
    return tables.chance_after[group.spring_row][after], tables.expected_after[group.spring_row][after]


def autumn_odds(plan: Plan, group: Group, days: Sequence[date]) -> tuple[np.ndarray, np.ndarray]:
    """(chance, expected number) of nights at or below harm that have come since midsummer by each of these days."""
    tables = plan.site_tables
    at = np.array([day_index(d) for d in days])
    return tables.chance_before[group.autumn_row][at], tables.expected_before[group.autumn_row][at]


def by_route(plans: Iterable[PlantPlan]) -> list[tuple[PlantPlan, ...]]:
    """Plants that stand in the same places on the same dates, coming from the same room, in order of first day out."""
    found: dict[tuple, list[PlantPlan]] = defaultdict(list)
    for each in plans:
        found[each.status, each.plant.place, each.route].append(each)
    return sorted((tuple(group) for group in found.values()), key=lambda g: (_start(g[0]), -pots(g)))


def _start(plan: PlantPlan) -> date:
    return plan.route[0].date if plan.route else plan.out.date or date.max


def by_row(plans: Iterable[PlantPlan], together: bool) -> list[tuple[PlantPlan, ...]]:
    """Rows of the plants' table: one each, or (together) plants of one kind with the same answer in one row."""
    found: dict[tuple, list[PlantPlan]] = defaultdict(list)
    for n, each in enumerate(plans):
        key = (each.plant.taxon.key, each.status, each.out, each.back, each.reason, each.plant.harm_c,
               each.plant.comfort_c) if together else (n,)
        found[key].append(each)
    return [tuple(group) for group in found.values()]


def by_week(steps: Iterable[Step]) -> list[tuple[date, tuple[Step, ...]]]:
    """Steps by the Monday of their week, in date order."""
    found: dict[date, list[Step]] = defaultdict(list)
    for step in sorted(steps, key=lambda s: s.date):
        found[step.date - timedelta(days=step.date.weekday())].append(step)
    return [(monday, tuple(week)) for monday, week in found.items()]


def waves(plan: Plan) -> list[tuple[str, date, tuple[PlantPlan, ...]]]:
    """("out" | "in", day, plants) for every day on which plants leave the house or come back, in date order."""
    found: dict[tuple[date, str], list[PlantPlan]] = defaultdict(list)
    for each in plan.plants:
        ends: tuple[tuple[str, MoveDate], ...] = (("out", each.out), ("in", each.back))
        for way, move in ends:
            if each.status == "moves" and move.date:
                found[move.date, way].append(each)
    return [(way, day, tuple(found[day, way])) for day, way in sorted(found, key=lambda key: (key[0], key[1] == "in"))]
