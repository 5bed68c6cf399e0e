"""Shade cloths: what is on sale, what hangs where and when, and how much of it a garden needs."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Sequence
from datetime import date, timedelta
from math import ceil

from seasonplan.decisions.route.light_rule import light_rule
from seasonplan.model import HungCloth, Plant, PlantPlan, Stop

CLOTHS_PERCENT = (20, 30, 40, 50, 60, 70, 80, 90)
"""Shade cloths on sale: percent of the light kept off. Common practice, no source. A cloth sold as 80 % left 340 of
1685 umol m-2 s-1 (Journal of Environmental Horticulture 5:102-104, 1987), so percentages are taken as they are
printed."""
SPREAD, LEAST_SPREAD_M = 2.0, 0.5
"""A plant takes a square as wide as so many of its pots, and at least so wide [m]. Our setting."""
ASSUMED_POT_CM = 15.0
"""Of a plant whose pot is not given, as elsewhere."""
SAME_DAYS = 7
"""A cloth that is needed again within so many days stays up. Our setting."""


def hung_cloths(plans: Iterable[PlantPlan]) -> tuple[HungCloth, ...]:
    """Every cloth over a place, from the day it is hung to the day it comes off, in date order. Stays under the same
    cloth that follow each other share it; its area is that of the pots under it when there are most, in half
    square metres."""
    stays: dict[tuple[str, int], list[tuple[Plant, Stop]]] = defaultdict(list)
    for plan in plans:
        for stop in plan.route:
            if stop.shade is not None:
                stays[stop.place, stop.shade.percent].append((plan.plant, stop))
    found = [_cloth(place, percent, run) for (place, percent), known in stays.items() for run in _runs(known)]
    return tuple(sorted(found, key=lambda cloth: (cloth.first, cloth.place, cloth.percent)))


def _runs(stays: Sequence[tuple[Plant, Stop]]) -> list[list[tuple[Plant, Stop]]]:
    """Stays parted where the cloth would hang over nothing for longer than SAME_DAYS."""
    runs: list[list[tuple[Plant, Stop]]] = []
    until = date.min
    for plant, stop in sorted(stays, key=lambda stay: stay[1].date):
        if not runs or stop.date > until + timedelta(days=SAME_DAYS):
            runs.append([])
            until = stop.until
        runs[-1].append((plant, stop))
        until = max(until, stop.until)
    return runs


def _cloth(place: str, percent: int, stays: Sequence[tuple[Plant, Stop]]) -> HungCloth:
    first, last = min(stop.date for _, stop in stays), max(stop.until for _, stop in stays)
    areas = [(stop.date, stop.until, area_m2(plant)) for plant, stop in stays]
    most = max(sum(area for since, until, area in areas if since <= day < until) for day in {a[0] for a in areas})
    names = tuple(dict.fromkeys(plant.name for plant, _ in stays))
    return HungCloth(place, percent, first, last, ceil(2 * most) / 2, names,
                     (last - first).days >= light_rule().season_cloth_days)


def area_m2(plant: Plant) -> float:
    """Ground that a plant's pots take [m2]."""
    wide_m = max(SPREAD * (plant.pot_cm or ASSUMED_POT_CM) / 100, LEAST_SPREAD_M)
    return plant.count * wide_m ** 2


def cloth_needed_m2(cloths: Iterable[HungCloth]) -> dict[int, float]:
    """Square metres to have of each percentage: what hangs at once when most does."""
    known = tuple(cloths)
    return {percent: round(max(sum(other.area_m2 for other in known if other.percent == percent
                                   and other.first <= cloth.first < other.last)
                               for cloth in known if cloth.percent == percent), 1)
            for percent in sorted({cloth.percent for cloth in known})}
