"""Moves as steps: one per day and kind, listing which plant goes where and why that day.

Cautions (weight, wind, poison) are added where the steps join the others, in care.

kinds: "move-out" (a wave leaves the house), "move" (plants change places outdoors), "move-in" (a wave comes back),
"day-trips" (the span in which a plant is carried out for the day), "cloth" (see cloth_steps).
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Callable, Collection, Mapping, Sequence
from dataclasses import replace
from datetime import date
from functools import cache
from typing import NamedTuple

from seasonplan import wording as w
from seasonplan.decisions import reasons
from seasonplan.decisions.cloth_steps import cloth_steps
from seasonplan.decisions.going import LEFT_OUT
from seasonplan.model import PlantPlan, Rules, ShadeAdvice, Step, Stop

MINUTES_PER_POT_MOVED = 3
"""Carrying one pot to its place and coming back. Our setting."""
SHORTEST_MOVE_MIN = 10
NAMES_IN_TITLE = 2

Done = Callable[[PlantPlan, date], bool]
Uid = Callable[[str, str, int], str]
"""(kind, anchor plant, occurrence) -> uid."""


class _Leg(NamedTuple):
    """One plant changing places on one day."""

    plan: PlantPlan
    day: date
    kind: str
    to_place: str
    occurrence: int
    stop: Stop | None
    from_place: str


def legs_of(plan: PlantPlan, left_out: bool = False) -> list[_Leg]:
    """Every change of place of a plant, in date order. left_out: it stands outdoors since the year before."""
    legs, here = list[_Leg](), plan.plant.place
    for n, stop in enumerate(plan.route):
        before = plan.route[n - 1] if n else None
        if before is not None and before.until < stop.date:         # carried in for cold nights between the two
            here = plan.plant.place
        kind = "move-out" if here == plan.plant.place else "move"
        if here == stop.place:
            continue                                                # another cloth over it: nothing is carried
        again = sum(leg.kind == kind for leg in legs) + 1                # out again after a rescue is a move of its own
        legs.append(_Leg(plan, stop.date, kind, stop.place, again if kind == "move-out" else max(n, 1), stop, here))
        here = stop.place
    if plan.route and plan.status == "moves" and plan.route[-1].until != plan.plant.left:
        legs.append(_Leg(plan, plan.route[-1].until, "move-in", plan.plant.place, LEFT_OUT if left_out else 1, None,
                         here))
    return legs


def move_steps(plans: Sequence[PlantPlan], rules: Rules, uid: Uid, done: Done = lambda plan, day: False,
               open_since: Mapping[str, tuple[str, int, date]] | None = None,
               left_out: Collection[str] = ()) -> tuple[Step, ...]:
    """All move steps of a collection, in date order; plants keep the order of `plans`.

    done: whether a move of a plant on a day is behind it. open_since: a move (kind, occurrence) that was due, and the
    day it was, by plant: the first of its moves that is not done is marked, where it is that one. left_out: plants that
    stand outdoors since the year before and come in first.
    """
    groups: dict[tuple[date, str], list[_Leg]] = defaultdict(list)
    due: dict[tuple[date, str], date] = {}
    for plan in plans:
        legs = [leg for leg in legs_of(plan, plan.plant.name in left_out) if not done(plan, leg.day)]
        for leg in legs:
            groups[leg.day, leg.kind].append(leg)
        kind, occurrence, since = (open_since or {}).get(plan.plant.name, ("", 0, date.max))
        if legs and (legs[0].kind, legs[0].occurrence) == (kind, occurrence):
            first = legs[0].day, legs[0].kind
            due[first] = min(since, due.get(first, since))
    moves = [replace(_step(day, kind, legs, rules, uid), open_since=due.get((day, kind)))
             for (day, kind), legs in groups.items()]
    steps = [*moves, *cloth_steps(plans, done, uid), *_trip_steps(plans, rules, uid, done)]
    return tuple(sorted(steps, key=lambda step: (step.date, step.kind, step.uid)))


def _trip_steps(plans: Sequence[PlantPlan], rules: Rules, uid: Uid, done: Done) -> list[Step]:
    """One step per span of day trips, on its first day, as long as that has not gone by."""
    spans: dict[tuple[date, date], list[PlantPlan]] = defaultdict(list)
    for plan in plans:
        if plan.trips is not None and not done(plan, plan.trips[0]):
            spans[plan.trips].append(plan)
    return [_trip_step(first, last, group, rules, uid) for (first, last), group in spans.items()]


def _trip_step(first: date, last: date, group: Sequence[PlantPlan], rules: Rules, uid: Uid) -> Step:
    names = tuple(plan.plant.name for plan in group)
    high = w.temperature(reasons.TRIP_HIGH_C, rules.units)
    return Step(
        uid=uid("day-trips", names[0], 1), date=first, start=None, minutes=0, kind="day-trips", plants=names,
        title=f"Day trips from today: {w.listed(names, NAMES_IN_TITLE)}", place=group[0].plant.place,
        detail=f"Until {w.day(last)}: out into shade on days above {high}, back in by evening. {w.listed(names)}.",
        why="Nights here do not let them live outdoors; warm days do them good all the same.")


def _step(day: date, kind: str, legs: list[_Leg], rules: Rules, uid: Uid) -> Step:
    names = tuple(leg.plan.plant.name for leg in legs)
    targets = list(dict.fromkeys(leg.to_place for leg in legs))
    pots = sum(leg.plan.plant.count for leg in legs)
    return Step(
        uid=uid(kind, names[0], legs[0].occurrence), date=day, start=None,
        minutes=max(SHORTEST_MOVE_MIN, MINUTES_PER_POT_MOVED * pots), kind=kind,
        title=_title(kind, names, pots, targets), plants=names, place=" + ".join(targets),
        detail=_detail(kind, legs, targets), why=_why(kind, legs, rules))


def _title(kind: str, names: Sequence[str], pots: int, targets: Sequence[str]) -> str:
    verb = {"move-out": "Out", "move": "Move", "move-in": "In"}[kind]
    who = w.listed(names, NAMES_IN_TITLE) if len(names) <= NAMES_IN_TITLE else w.counted(pots, "pot")
    where = w.listed(targets, NAMES_IN_TITLE)
    return f"{verb}: {who} to {where}"


def _detail(kind: str, legs: Sequence[_Leg], targets: Sequence[str]) -> str:
    lines = []
    for target in targets:
        here = [leg for leg in legs if leg.to_place == target]
        items = [f"{_label(leg)} (from {leg.from_place})" if kind != "move-out" else _label(leg) for leg in here]
        lines.append(f"To {target}: {w.listed(items)}.")
    shaded: dict[ShadeAdvice, list[str]] = defaultdict(list)
    for leg in legs:
        if leg.stop is not None and leg.stop.shade is not None:
            shaded[leg.stop.shade].append(leg.plan.plant.name)
    lines += [shade_sentence(shade, names) for shade, names in shaded.items()]
    return "\n".join(lines)


def shade_sentence(shade: ShadeAdvice, names: Sequence[str]) -> str:
    """Which plants stand under which cloth there, and until when."""
    return f"{w.listed(names)}: under {shade.percent} % shade cloth at {shade.place} until {w.day(shade.until)}."


def _label(leg: _Leg) -> str:
    plant = leg.plan.plant
    return plant.name if plant.count == 1 else f"{plant.name} ({plant.count} pots)"


def _why(kind: str, legs: Sequence[_Leg], rules: Rules) -> str:
    """Reasons, one per distinct sentence, each naming the plants it holds for where there is more than one."""
    said: dict[str, list[str]] = defaultdict(list)
    out, back = cache(reasons.out_sentence), cache(reasons.back_sentence)
    for leg in legs:
        for sentence in _sentences(kind, leg, rules, out, back):
            said[sentence].append(leg.plan.plant.name)
    if len(said) == 1:
        return f"{_capital(next(iter(said)))}."
    return "\n".join(f"{w.listed(names, 4)}: {sentence}." for sentence, names in said.items())


def _sentences(kind: str, leg: _Leg, rules: Rules, out: Callable[..., str], back: Callable[..., str]) -> list[str]:
    """out, back: reasons.out_sentence and back_sentence, kept for plants that are alike."""
    plan = leg.plan
    if kind == "move-in":
        return [back(plan.plant.bearing, plan.back, rules, leg.from_place)]
    light = [leg.stop.why.rstrip(".")] if leg.stop and leg.stop.why else []
    if kind == "move-out" and plan.status == "moves":
        return [out(plan.plant.bearing, plan.out, rules, leg.to_place)] + light
    return light or ["the next place on its way"]


def _capital(text: str) -> str:
    return text[:1].upper() + text[1:]
