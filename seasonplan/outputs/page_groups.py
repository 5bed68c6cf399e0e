"""Putting like with like: plants that leave and come back on the same terms, and what the nights hold for them."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date

import numpy as np

from seasonplan import wording as w
from seasonplan.climate.at_plant import season_lift
from seasonplan.climate.exposure import Exposure
from seasonplan.dates import day_index
from seasonplan.model import Bearing, MoveDate, Plan, PlantPlan

STATUS_WORDS = {"moves": "goes out and comes back", "stays-in": "stays indoors", "stays-out": "stays outdoors",
                "day-trips": "day trips"}


@dataclass(frozen=True)
class Group:
    """Plants that go out and come back with the same thresholds, days and odds: what is said of one holds for all.

    lifts_c: night lift of its first and last place. exposure: the site's nights.
    """

    plans: tuple[PlantPlan, ...]
    lifts_c: tuple[float, float]
    exposure: Exposure

    @property
    def bearing(self) -> Bearing:
        return self.plans[0].plant.bearing

    @property
    def out(self) -> MoveDate:
        return self.plans[0].out

    @property
    def back(self) -> MoveDate:
        return self.plans[0].back

    @property
    def names(self) -> tuple[str, ...]:
        return names_of(self.plans)

    @property
    def stay(self) -> tuple[date, date]:
        """Its days out and back in."""
        if self.out.date is None or self.back.date is None:
            raise ValueError(f"{self.names[0]} has no dates")
        return self.out.date, self.back.date


def harm_words(bearing: Bearing, units: str) -> str:
    """At what low it is marked: fresh from indoors, and once hardened where that differs."""
    fresh, hardened = (w.temperature(c, units) for c in bearing.harms)
    return f"marked at {fresh}" + ("" if fresh == hardened else f", hardened at {hardened}")


def pots(plans: Iterable[PlantPlan]) -> int:
    """Pots of some plants."""
    return sum(p.plant.count for p in plans)


def names_of(plans: Iterable[PlantPlan]) -> tuple[str, ...]:
    """Names of some plants, in their order."""
    return tuple(p.plant.name for p in plans)


def groups_that_go(plan: Plan) -> tuple[Group, ...]:
    """Every plant that goes out and comes back, with those alike, the first out first."""
    found: dict[tuple, list[PlantPlan]] = defaultdict(list)
    for each in plan.plants:
        if each.out.date is not None and each.back.date is not None:
            ends = (each.route[0].place, each.route[-1].place) if each.route else ("", "")
            found[each.plant.bearing, each.out, each.back, ends].append(each)
    lifts = {place.name: season_lift(place, plan.climate).harm_c for place in plan.places}
    exposure = Exposure(plan.climate, plan.site_tables)
    groups = [Group(tuple(plans), (lifts.get(key[-1][0], 0.0), lifts.get(key[-1][1], 0.0)), exposure)
              for key, plans in found.items()]
    return tuple(sorted(groups, key=lambda group: (group.stay[0], -group.stay[1].toordinal())))


def spring_odds(group: Group, days: Sequence[date]) -> tuple[np.ndarray, np.ndarray]:
    """(chance, expected number) of nights that mark it still to come before midsummer, going out on each of these
    days; 0 for days after midsummer."""
    exposure = group.exposure
    at = exposure.position(np.array([day_index(d) for d in days]))
    chance, expected = (np.append(values, 0.0) for values in exposure.going_out(group.bearing, group.lifts_c[0]))
    at = np.minimum(at, exposure.turn)
    return chance[at], expected[at]


def autumn_odds(group: Group, days: Sequence[date]) -> tuple[np.ndarray, np.ndarray]:
    """(chance, expected number) of nights that mark it, come since midsummer by each of these days, for a plant that
    went out with the group; 0 for days before midsummer."""
    exposure = group.exposure
    start = int(exposure.position(np.array(day_index(group.stay[0]))))
    chance, expected = (np.append(0.0, values[0]) for values in exposure.coming_in(
        group.bearing, group.lifts_c[1], np.array([min(start, exposure.turn)])))
    at = exposure.position(np.array([day_index(d) for d in days])) - exposure.turn + 1
    return chance[np.maximum(at, 0)], expected[np.maximum(at, 0)]
