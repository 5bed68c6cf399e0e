"""Putting like with like for the page: plants of the same thresholds, plants on the same route, steps of one week."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from itertools import product
from string import ascii_uppercase

import numpy as np

from seasonplan.climate.exposure import Exposure
from seasonplan.dates import day_index
from seasonplan.model import Bearing, Edge, MoveDate, Plan, PlantPlan, Step

STATUS_WORDS = {"moves": "goes out and comes back", "stays-in": "stays indoors", "stays-out": "stays outdoors",
                "day-trips": "day trips"}


@dataclass(frozen=True)
class Group:
    """Plants with the same thresholds. letter: its name in the charts.

    leader: the first of them that moves (else the first of all); its dates stand for the group in the charts.
    lifts_c: night lift of the leader's first and last place. exposure: the site's nights.
    """

    letter: str
    bearing: Bearing
    plans: tuple[PlantPlan, ...]
    leader: PlantPlan
    lifts_c: tuple[float, float]
    exposure: Exposure

    @property
    def harm_c(self) -> float:
        return self.bearing.harm_c

    @property
    def comfort_c(self) -> float:
        return self.bearing.comfort_c

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
    """Every plant in the group of what it bears, the ones that take the most cold first."""
    found: dict[Bearing, list[PlantPlan]] = defaultdict(list)
    for each in plan.plants:
        found[each.plant.bearing].append(each)
    exposure = Exposure(plan.climate, plan.site_tables)
    return tuple(_group(plan, letter, key, tuple(found[key]), exposure)
                 for letter, key in zip(_letters(), sorted(found), strict=False))


def _group(plan: Plan, letter: str, bearing: Bearing, plans: tuple[PlantPlan, ...], exposure: Exposure) -> Group:
    leader = next((p for p in plans if p.out.date), plans[0])
    lifts = {place.name: place.night_lift_c for place in plan.places}
    stays = [stop.place for stop in leader.route] or [window.place for window in leader.windows] or [""]
    return Group(letter, bearing, plans, leader, (lifts.get(stays[0], 0.0), lifts.get(stays[-1], 0.0)), exposure)


def _letters() -> Iterable[str]:
    """A, B, ... Z, AA, AB, ..."""
    yield from ascii_uppercase
    yield from ("".join(pair) for pair in product(ascii_uppercase, repeat=2))


def spring_odds(plan: Plan, group: Group, days: Sequence[date]) -> tuple[np.ndarray, np.ndarray]:
    """(chance, expected number) of nights that mark it still to come before midsummer, going out on each of these
    days; 0 for days after midsummer."""
    exposure = group.exposure
    at = exposure.position(np.array([day_index(d) for d in days]))
    chance, expected = (np.append(values, 0.0) for values in exposure.going_out(group.bearing, group.lifts_c[0]))
    at = np.minimum(at, exposure.turn)
    return chance[at], expected[at]


def autumn_odds(plan: Plan, group: Group, days: Sequence[date]) -> tuple[np.ndarray, np.ndarray]:
    """(chance, expected number) of nights that mark it, come since midsummer by each of these days, for a plant that
    went out with the group; 0 for days before midsummer."""
    exposure, leader = group.exposure, group.leader
    out = leader.out.date or leader.out.careful or leader.out.carry_in
    start = 0 if out is None else int(exposure.position(np.array(day_index(out))))
    chance, expected = (np.append(0.0, values[0]) for values in exposure.coming_in(
        group.bearing, group.lifts_c[1], np.array([min(start, exposure.turn)])))
    at = exposure.position(np.array([day_index(d) for d in days])) - exposure.turn + 1
    return chance[np.maximum(at, 0)], expected[np.maximum(at, 0)]


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
