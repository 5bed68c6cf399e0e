"""One person's round over several gardens: one garden a day as far as it goes, and a day's minutes once for all of
them, with the way to each garden that is not at home."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field, replace
from datetime import date, timedelta

from seasonplan.care.jobs import REGISTRY
from seasonplan.care.shopping import shopping_list
from seasonplan.dates import is_move_day
from seasonplan.model import Plan, Round, RoundDay, Rules, Scenario, Site, Step

FORTNIGHT = 14
"""A garden's moves wait for a day of its own for the rest of a fortnight. Our setting."""
ONCE = frozenset(key for job in REGISTRY for key in job.once)
"""Amount keys of things that one has once, whatever uses them."""


@dataclass(frozen=True)
class Elsewhere:
    """What a person does in other gardens. minutes: of each day, ways included. travel_min: the way to this garden.
    limit_min: minutes that a day has for all gardens, None: this garden's own. later_days: what comes every fortnight
    comes so much later here, since the days of the other week are taken."""

    minutes: Mapping[date, int] = field(default_factory=dict)
    travel_min: int = 0
    limit_min: int | None = None
    later_days: int = 0


NOWHERE_ELSE = Elsewhere()


@dataclass(eq=False)
class Rounds:
    """The gardens of a round as they are planned one after another."""

    scenarios: Sequence[Scenario]
    work_min: dict[date, dict[str, int]] = field(default_factory=lambda: defaultdict(dict))

    @property
    def limit_min(self) -> int:
        """Minutes that a day has: the fewest that any of the gardens names."""
        return min(scenario.rules.minutes_per_day for scenario in self.scenarios)

    def add(self, site: Site, steps: Iterable[Step]) -> None:
        """Take the steps of a garden for what it asks of each day, in place of what was taken before."""
        for gardens in self.work_min.values():
            gardens.pop(site.name, None)
        for step in steps:
            gardens = self.work_min[step.date]
            gardens[site.name] = gardens.get(site.name, 0) + step.minutes

    def minutes(self, day: date, without: str = "") -> int:
        """What a day asks for in all gardens but one, ways included."""
        ways = {scenario.site.name: scenario.site.travel_minutes for scenario in self.scenarios}
        return sum(minutes + ways[name] for name, minutes in self.work_min.get(day, {}).items() if name != without)

    def elsewhere(self, site: Site) -> Elsewhere:
        """What the other gardens ask for, from the point of view of one."""
        busy = {day: minutes for day in self.work_min if (minutes := self.minutes(day, site.name))}
        number = [scenario.site.name for scenario in self.scenarios].index(site.name)
        days_a_week = len(self.scenarios[number].rules.move_days) or FORTNIGHT // 2
        return Elsewhere(busy, site.travel_minutes, self.limit_min, number // days_a_week % 2 * FORTNIGHT // 2)

    def before_moves(self, scenario: Scenario) -> Scenario:
        """A scenario whose moves keep off the days of gardens planned before it, wherever its fortnight has another
        one."""
        rules = replace(scenario.rules, minutes_per_day=self.limit_min)
        shut = {day for day in self.work_min if self.minutes(day, scenario.site.name)}
        return replace(scenario, rules=replace(rules, shut=rules.shut | _with_a_day_left(shut, rules)))


def _with_a_day_left(shut: set[date], rules: Rules) -> set[date]:
    """Days to be shut, but for fortnights (from every second Monday) that would be left without any day to move on."""
    kept: set[date] = set()
    for monday in {day - timedelta(days=(day.toordinal() - 1) % FORTNIGHT) for day in shut}:
        week = [monday + timedelta(days=n) for n in range(FORTNIGHT)]
        if any(is_move_day(day, rules.move_days, rules.shut | shut) for day in week):
            kept.update(day for day in week if day in shut)
    return kept


def together(plans: Sequence[Plan], limit_min: int) -> Round:
    """One agenda and one shopping list of gardens that were planned as one round."""
    names = tuple(plan.site.name for plan in plans)
    steps: dict[date, dict[str, list[Step]]] = defaultdict(lambda: defaultdict(list))
    for plan in plans:
        for step in plan.steps:
            steps[step.date][plan.site.name].append(step)
    ways = {plan.site.name: plan.site.travel_minutes for plan in plans}
    days = []
    for day in sorted(steps):
        gardens = tuple((name, tuple(steps[day][name])) for name in names if name in steps[day])
        travel = sum(ways[name] for name, _ in gardens)
        days.append(RoundDay(day, travel + sum(s.minutes for _, each in gardens for s in each), travel, gardens))
    everything = sorted((step for plan in plans for step in plan.steps), key=lambda step: (step.date, step.uid))
    return Round(names, tuple(days), shopping_list(_once(everything), plans[0].rules.units), limit_min)


def _once(steps: Iterable[Step]) -> list[Step]:
    """Steps in which things to have at hand (gloves, a bottle of soap) are counted in one garden only."""
    have: set[str] = set()
    found = []
    for step in steps:
        kept = tuple((key, amount) for key, amount in step.amounts if key not in ONCE or key not in have)
        have.update(key for key, _ in kept)
        found.append(replace(step, amounts=kept))
    return found
