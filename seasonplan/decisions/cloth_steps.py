"""Shade cloths as steps of kind "cloth": hanging one, changing one for another, taking one off. Nothing is lifted.

One step a day says it for all places. A cloth that hangs for a season is said once, with its size and its last day.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from datetime import date

from seasonplan import wording as w
from seasonplan.decisions.route.cloth import cloth_needed_m2, hung_cloths
from seasonplan.decisions.route.telling import the
from seasonplan.model import HungCloth, PlantPlan, Step, Stop

MINUTES_PER_CLOTH = 10
"""Hanging a cloth, taking one off, or hanging one in the place of another. Our setting."""
MINUTES_PER_PLANT = 2
"""Setting a plant under another cloth at its place. Our setting."""
NAMES_MOST = 6


@dataclass(eq=False)
class _Day:
    """What happens to cloths on one day. changed: plants that stay where they are, from one stop to the next."""

    hung: list[HungCloth] = field(default_factory=list)
    taken: list[HungCloth] = field(default_factory=list)
    changed: list[tuple[PlantPlan, Stop, Stop]] = field(default_factory=list)


def cloth_steps(plans: Sequence[PlantPlan], done: Callable[[PlantPlan, date], bool],
                uid: Callable[[str, str, int], str]) -> list[Step]:
    """One step per day on which cloths are hung, changed or taken off. done: whether a plant's move on a day is behind
    it; uid: (kind, anchor, occurrence) -> uid."""
    cloths, by_name = hung_cloths(plans), {plan.plant.name: plan for plan in plans}
    days = _days(plans, cloths)
    first_use = {cloth.percent: cloth for cloth in reversed(cloths)}
    needed, seen = cloth_needed_m2(cloths), defaultdict[str, int](int)
    steps = []
    for day in sorted(days):
        known = days[day]
        names = _names(known, day, by_name)
        anchor = _anchor(known)
        seen[anchor] += 1
        if all(done(by_name[name], day) for name in names):
            continue
        amounts = tuple((f"cloth_{c.percent}_m2", needed[c.percent]) for c in known.hung if first_use[c.percent] is c)
        steps.append(Step(
            uid=uid("cloth", anchor, seen[anchor]), date=day, start=None,
            minutes=_minutes(known),
            kind="cloth", title=_title(known), plants=names, place=" + ".join(_places(known)),
            detail="\n".join(_lines(known)), why=_why(known), amounts=amounts))
    return steps


def _days(plans: Sequence[PlantPlan], cloths: Iterable[HungCloth]) -> Mapping[date, _Day]:
    days: dict[date, _Day] = defaultdict(_Day)
    year_ends = {plan.route[-1].until for plan in plans if plan.route and plan.status == "stays-out"}
    for cloth in cloths:
        days[cloth.first].hung.append(cloth)
        if cloth.last not in year_ends:
            days[cloth.last].taken.append(cloth)
    for plan in plans:
        for before, after in zip(plan.route, plan.route[1:], strict=False):
            if before.place == after.place and before.until == after.date:
                days[after.date].changed.append((plan, before, after))
    return days


def _minutes(known: _Day) -> int:
    up, down = ([cloth.place for cloth in cloths] for cloths in (known.hung, known.taken))
    changes = sum(max(up.count(place), down.count(place)) for place in dict.fromkeys([*up, *down]))
    return MINUTES_PER_CLOTH * changes + MINUTES_PER_PLANT * len(known.changed)


def _names(known: _Day, day: date, plans: Mapping[str, PlantPlan]) -> tuple[str, ...]:
    """The plants it is about, in the order of the plans: those that a cloth is hung over or taken off on this day (not
    those that come under it later, nor those that left it), and those changed."""
    about = {name for cloth in (*known.hung, *known.taken) for name in cloth.plants
             if any(stop.shade is not None and (stop.place, stop.shade.percent) == (cloth.place, cloth.percent)
                    and day in (stop.date, stop.until) for stop in plans[name].route)}
    about |= {plan.plant.name for plan, _, _ in known.changed}
    return tuple(name for name in plans if name in about)


def _anchor(known: _Day) -> str:
    """What a step is, whatever its date: the first thing done, and where."""
    for verb, cloths in (("hang", known.hung), ("take", known.taken)):
        if cloths:
            return f"{verb} {cloths[0].percent} {cloths[0].place}"
    plan, _, after = known.changed[0]
    return f"under {_percent(after)} {plan.plant.name}"


def _places(known: _Day) -> list[str]:
    cloths = [cloth.place for cloth in (*known.hung, *known.taken)]
    return list(dict.fromkeys([*cloths, *(after.place for _, _, after in known.changed)]))


def _title(known: _Day) -> str:
    """"Hang 50 % shade cloth over the patio", "Take the shade cloth off the lawn", and the like."""
    places = [f"the {the(place)}" for place in _places(known)]
    if known.hung and known.taken:
        return f"Change the shade cloth over {w.listed(places, 2)}"
    if known.hung:
        kinds = [f"{percent} %" for percent in dict.fromkeys(cloth.percent for cloth in known.hung)]
        return f"Hang {w.listed(kinds, 2)} shade cloth over {w.listed(places, 2)}"
    if known.taken:
        return f"Take the shade cloth off {w.listed(places, 2)}"
    return f"Shade cloth over {w.listed(places, 2)}: a change for {w.counted(len(known.changed), 'plant')}"


def _lines(known: _Day) -> list[str]:
    """What to do, cloth by cloth, and which plants stand under what from now on."""
    lines = []
    for cloth in known.hung:
        long = " It hangs for the season." if cloth.season else ""
        lines.append(f"Hang {cloth.percent} % over the {the(cloth.place)}, {w.trimmed(cloth.area_m2)} m², until "
                     f"{w.day(cloth.last)}: {w.listed(cloth.plants, NAMES_MOST)}.{long}")
    lines += [f"Take the {cloth.percent} % cloth off the {the(cloth.place)}." for cloth in known.taken]
    under: dict[tuple[int, str], list[str]] = defaultdict(list)
    for plan, _, after in known.changed:
        under[_percent(after), after.place].append(plan.plant.name)
    for (percent, place), names in under.items():
        how = f"under {percent} %" if percent else "without a cloth"
        lines.append(f"From now on {how} at the {the(place)}: {w.listed(names, NAMES_MOST)}.")
    return lines


def _why(known: _Day) -> str:
    """Reasons, one per distinct sentence; a cloth that is hung for plants that come is told with their move."""
    said: dict[str, list[str]] = defaultdict(list)
    for plan, _, after in known.changed:
        said[after.why.rstrip(".")].append(plan.plant.name)
    if said:
        return "\n".join(f"{w.listed(names, NAMES_MOST)}: {text}." for text, names in said.items())
    return "More light than its plants are ready for, or than they ever take." if known.hung else \
        "Nothing stands under it any more."


def _percent(stop: Stop) -> int:
    return stop.shade.percent if stop.shade else 0
