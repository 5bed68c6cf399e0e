"""Plants as groups: what is alike in everything the route looks at shares one entry, and one route where room
allows."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, fields

import numpy as np

from seasonplan.data import table
from seasonplan.decisions.route.garden import Garden
from seasonplan.decisions.route.light_rule import SHADE_CLASSES, light_rule, sun_cap_h
from seasonplan.decisions.route.past import INDOORS, Past, past_of
from seasonplan.decisions.route.request import RouteRequest

NEVER = 10**7
"""A day number past every plan."""
HEAVY_STEP_KG, HEAVIEST_KG = 15.0, 30.0
"""Pots are priced by weight in these steps, and no higher than this. Our setting."""


@dataclass(frozen=True, eq=False)
class Groups:
    """One entry per group. members: request numbers in order of plant name; requests: the first of each.

    shade: class shade or deep-shade. indoor: row of the indoor place in the daylight. pots: per plant. leave, back: the
    first day out, the last day by which it is in. ends: whether it comes in at all. not_before: no earlier in. opens,
    closes: (groups, places) days between which a place may be used (closes exclusive). slow_days: of shade before it
    comes in. price_move: of one pot. past: what the log brought about, None for the plan on paper.
    """

    members: tuple[tuple[int, ...], ...]
    requests: tuple[RouteRequest, ...]
    shade: np.ndarray
    sun_cap: np.ndarray
    light_low: np.ndarray
    light_high: np.ndarray
    indoor: np.ndarray
    pots: np.ndarray
    leave: np.ndarray
    back: np.ndarray
    ends: np.ndarray
    not_before: np.ndarray
    opens: np.ndarray
    closes: np.ndarray
    slow_days: np.ndarray
    price_move: np.ndarray
    past: tuple[Past | None, ...]

    def __len__(self) -> int:
        return len(self.requests)

    @property
    def here(self) -> np.ndarray:
        """(groups,) the place at which each stands by the log, whatever its room; INDOORS for none."""
        return np.array([INDOORS if past is None or past.ended else past.here.place for past in self.past], dtype=int)

    @property
    def plants(self) -> np.ndarray:
        """(groups,) how many plants each has."""
        return np.array([len(m) for m in self.members], dtype=int)

    def take(self, numbers: Sequence[int] | np.ndarray) -> Groups:
        """Some of the groups."""
        at = np.asarray(numbers, dtype=int)
        picked = {f.name: values[at] if isinstance(values := getattr(self, f.name), np.ndarray)
                  else tuple(values[n] for n in at.tolist()) for f in fields(self)}
        return Groups(**picked)  # type: ignore[arg-type]


def make_groups(requests: Sequence[RouteRequest], garden: Garden, in_shade: bool) -> Groups:
    """The groups of a collection, in the order of their first plant's name. in_shade: nothing stands in the sun."""
    rule = light_rule()
    by_name = sorted(range(len(requests)), key=lambda n: (requests[n].plant.name, n))
    members: dict[tuple, list[int]] = {}
    for n in by_name:
        members.setdefault(_likeness(requests[n], garden.names), []).append(n)
    firsts = tuple(requests[m[0]] for m in members.values())
    plants = [request.plant for request in firsts]
    spans = [[request.spans.get(name) for name in garden.names] for request in firsts]
    pasts = tuple(past_of(request, garden) for request in firsts)
    opens = np.array([[NEVER if s is None else max(garden.day(s[0]), 0) for s in row] for row in spans], dtype=int)
    closes = np.array([[-1 if s is None else garden.day(s[1]) for s in row] for row in spans], dtype=int)
    shape = len(firsts), len(garden.names)
    opens, closes = opens.reshape(shape), closes.reshape(shape)
    caps = np.array([sun_cap_h(p.taxon.sun) for p in plants])
    leave = np.array([max(garden.day(r.leave_on), 0) for r in firsts], dtype=int)
    back = np.array([garden.day(r.back_by) for r in firsts], dtype=int)
    for n, (request, past) in enumerate(zip(firsts, pasts, strict=True)):
        if request.free_from is not None:
            leave[n] = max(leave[n], garden.day(request.free_from))
        if past is not None:
            leave[n] = NEVER if past.ended else max(leave[n], past.free)
            if past.here.place != INDOORS:
                by = garden.move_after(past.free)
                back[n], closes[n, past.here.place] = max(back[n], by), max(closes[n, past.here.place], by)
                opens[n, past.here.place] = min(opens[n, past.here.place], past.free)
    return Groups(
        tuple(tuple(m) for m in members.values()), firsts,
        np.array([p.taxon.sun in SHADE_CLASSES for p in plants], dtype=bool),
        np.minimum(caps, rule.shade_sun_h) if in_shade else caps,
        np.array([p.taxon.light_low_mol for p in plants]), np.array([p.light_high_mol for p in plants]),
        np.array([garden.light.places.index(p.place) for p in plants], dtype=int),
        np.array([p.count for p in plants], dtype=int), leave, np.minimum(back, len(garden.dates)),
        back < len(garden.dates),
        np.array([0 if r.not_before is None else garden.day(r.not_before) for r in firsts], dtype=int),
        opens, closes, np.array([slow_days(p.taxon.botanical) for p in plants]),
        np.array([rule.price_move + rule.price_kg * _heavy_kg(r.weight_kg) for r in firsts]),
        pasts)


def _likeness(request: RouteRequest, names: tuple[str, ...]) -> tuple:
    plant, taxon = request.plant, request.plant.taxon
    return (taxon.sun, taxon.light_low_mol, plant.light_high_mol, plant.place, plant.count, slow_days(taxon.botanical),
            request.leave_on, request.back_by, request.not_before, request.stays, request.free_from,
            request.cool_nights, _heavy_kg(request.weight_kg), tuple(map(request.spans.get, names)))


def _heavy_kg(weight_kg: float) -> float:
    return min(HEAVY_STEP_KG * round(weight_kg / HEAVY_STEP_KG), HEAVIEST_KG)


def slow_days(botanical: str) -> int:
    """Days of shade before coming in for a genus that drops its leaves (data/leaf_droppers.csv), 0 for others."""
    words = botanical.lower().replace("×", " ").split()
    return next((int(float(row["descent_days"])) for row in table("leaf_droppers") if row["genus"] in words[:1]), 0)
