"""What the other rule of summer would give: everything in the shade, or everything toward the sun."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from datetime import timedelta

import numpy as np

from seasonplan import wording as w
from seasonplan.decisions.route.aim import make_aim
from seasonplan.decisions.route.garden import Garden, make_garden
from seasonplan.decisions.route.groups import make_groups
from seasonplan.decisions.route.past import INDOORS
from seasonplan.decisions.route.request import RouteRequest
from seasonplan.decisions.route.search import search
from seasonplan.decisions.route.shared import moving, share
from seasonplan.model import Daylight, Place, PlantPlan, Rules

WORTH_TELLING = 1.2
"""A plant is named where one summer gives it so many times the light of the other. Our setting."""
NAMED = 2


def other_summer(requests: Sequence[RouteRequest], plans: Sequence[PlantPlan], places: Sequence[Place],
                 daylight: Daylight, rules: Rules) -> str:
    """One sentence: days of moving and the light of the plants that would notice; "" where it makes no difference. The
    other summer is worked out as on paper, its days roughly, and without sharing out room."""
    shade = rules.summer != "in-shade"
    garden = make_garden(places, daylight, rules.move_days, shut=rules.shut)
    paper = [replace(request, stays=(), free_from=None) for request in requests]
    groups = make_groups(paper, garden, shade)
    shared = share(garden, groups, shade, roughly=True)
    aim = make_aim(garden, groups, shared.days, shared.positions, shade)
    routes = search(aim)
    days = int(np.count_nonzero((moving(routes.stands, groups.ends) & np.isfinite(routes.cost)[:, None]).any(axis=0)))
    light = {}
    for group, members in enumerate(groups.members):
        stands = routes.stands[group]
        out = stands != INDOORS
        if out.any() and not groups.shade[group]:
            mean = np.average(aim.spans.mean_dli[np.flatnonzero(out), stands[out]], weights=aim.spans.lengths[out])
            light.update({paper[n].plant.name: float(mean) for n in members})
    had = {plan.plant.name: mean_light(plan, garden) for plan in plans if plan.plant.name in light and plan.route}
    return _sentence(shade, days, moving_days(plans), light, had)


def moving_days(plans: Sequence[PlantPlan]) -> int:
    """Days on which some plant is carried or gets another cloth."""
    days = {stop.date for plan in plans for stop in plan.route}
    return len(days | {plan.route[-1].until for plan in plans if plan.route and plan.status == "moves"})


def mean_light(plan: PlantPlan, garden: Garden) -> float:
    """Mean light over a plant's time outdoors [mol a day]."""
    total, days = 0.0, 0
    for stop in plan.route:
        place, percent = garden.names.index(stop.place), stop.shade.percent if stop.shade else 0
        middle = garden.day(stop.date + timedelta(days=(stop.until - stop.date).days // 2))
        length = (stop.until - stop.date).days
        total += length * garden.lights(place, percent, min(middle, len(garden.dates) - 1))[1]
        days += length
    return total / max(days, 1)


def _sentence(shade: bool, days: int, now: int, light: dict[str, float], had: dict[str, float]) -> str:
    """shade: the other summer is the one in the shade; light, had: of that and of this summer, by plant."""
    change = {name: max(had[name], light[name]) / max(min(had[name], light[name]), 0.1) for name in had
              if (light[name] < had[name]) == shade}
    order = sorted(change, key=lambda name: (-change[name], name))
    named = [name for name in order if change[name] >= WORTH_TELLING][:NAMED]
    if not named:
        return ""
    then, before = (sum(values[name] for name in named) / len(named) for values in (light, had))
    get, do = ("gets", "grows and flowers") if len(named) == 1 else ("get", "grow and flower")
    lead = "In the shade all summer" if shade else "Toward the sun"
    return (f"{lead}: {w.counted(days, 'day')} of moving instead of {now}; {w.listed(named)} {get} {then:.0f} instead "
            f"of {before:.0f} mol of light a day, {do} {'less' if shade else 'more'}.")
