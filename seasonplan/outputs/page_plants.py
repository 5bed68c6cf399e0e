"""Plants as the page shows them: each group on one route with its dates, how sure they are, its summer as one line."""

from __future__ import annotations

import re
from collections import defaultdict
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, timedelta

import numpy as np

from seasonplan import wording as w
from seasonplan.climate.at_plant import season_lift
from seasonplan.climate.exposure import HARDENED, Exposure
from seasonplan.dates import day_index
from seasonplan.model import MoveDate, Plan, PlantPlan, ShadeAdvice, Stop
from seasonplan.outputs.calendar_text import pots_label
from seasonplan.outputs.daybook import DayBook, capital
from seasonplan.outputs.page_groups import STATUS_WORDS, pots
from seasonplan.outputs.pictures import Field, Picture, Shape, weekly
from seasonplan.outputs.pictures_season import season_span

ROOM_DAYS = 5
"""Days before and after its stay outdoors for which a line shows the plant's room."""
NIGHTS_SHOWN = 0.02
"""Weeks with fewer nights to rescue it from carry no tick."""
TICK_TALL = 60.0
"""Height of the tick of one such night a week, in percent of the picture."""
LABEL_DAYS = 16
"""A stay shorter than this has its number for a label and no name: it would not fit on a phone."""
LEAST_DAYS = 4
"""A shorter stay is drawn so wide, that its number can be read."""
SAID_BESIDE = re.compile(r"light [\d.]+ -> |\d+ % shade cloth until ")
"""What the texts of a stay say in words and the page from the records."""


@dataclass(frozen=True)
class StopView:
    """A stay: where, when, under what, and its light in numbers."""

    number: int
    place: str
    dates: str
    cloth: str
    light: str
    why: str


@dataclass(frozen=True)
class PlantView:
    """Plants that share a route and its reasons. odds: how sure its days are."""

    anchor: str
    names: tuple[str, ...]
    kinds: str
    summary: str
    limits: str
    odds: str
    reason: str
    stops: tuple[StopView, ...]
    picture: Picture | None


def plant_views(book: DayBook) -> list[PlantView]:
    """One for all plants with the same answer in every respect, in order of the first day out; stayers last."""
    found: dict[tuple, list[PlantPlan]] = defaultdict(list)
    for each in book.plan.plants:
        plant = each.plant
        found[each.status, plant.place, each.route, each.out, each.back, each.reason, plant.harm_c,
              plant.harm_hardened_c, plant.comfort_c].append(each)
    groups = sorted(found.values(), key=lambda g: (not g[0].route, g[0].route[0].date if g[0].route else date.max))
    return [_view(book, group, f"plant-{n}") for n, group in enumerate(groups, 1)]


def _view(book: DayBook, group: Sequence[PlantPlan], anchor: str) -> PlantView:
    plan, lead = book.plan, group[0]
    kinds = dict.fromkeys(each.plant.taxon.botanical for each in group)
    return PlantView(anchor, tuple(pots_label(each.plant) for each in group), w.listed(list(kinds), 4),
                     _summary(group), _limits(lead, plan.rules.units), _odds(lead), lead.brief or lead.reason,
                     tuple(_stop_view(n, stop) for n, stop in enumerate(lead.route, 1)),
                     summer_picture(book, lead) if lead.route else None)


def _summary(group: Sequence[PlantPlan]) -> str:
    lead = group[0]
    where = f"{w.counted(pots(group), 'pot')}, indoors at {lead.plant.place}"
    if lead.status == "moves" and lead.out.date and lead.back.date:
        weeks = (lead.back.date - lead.out.date).days / 7
        return f"Out {w.day(lead.out.date)}, in {w.day(lead.back.date)}: {weeks:.0f} weeks outdoors. {where}."
    return f"{STATUS_WORDS[lead.status].capitalize()}. {where}."


def _limits(lead: PlantPlan, units: str) -> str:
    plant = lead.plant
    hardened = "" if plant.harm_hardened_c >= plant.harm_c else \
        f", once hardened at {w.temperature(plant.harm_hardened_c, units)}"
    return (f"One night at {w.temperature(plant.harm_c, units)} marks it{hardened}; nights should usually stay above "
            f"{w.temperature(plant.comfort_c, units)}.")


def _odds(lead: PlantPlan) -> str:
    """How sure both ends of its season are, from the record that the plan prints."""
    if lead.out.date is None or lead.back.date is None:
        return ""
    return (f"A night that marks it: {_chance(lead.out)} still to come when it goes out; {_chance(lead.back)} by the "
            "day it comes in.")


def _chance(end: MoveDate) -> str:
    if end.chance_of_harm is None or end.expected_cold_nights is None:
        return "chance not known"
    return f"chance {w.percent(end.chance_of_harm)}, {w.few_nights(end.expected_cold_nights)} such nights to expect,"


def _stop_view(number: int, stop: Stop) -> StopView:
    light = (f"{w.light(stop.mean_dli)} a day, used to {w.light(stop.acclimated_dli)}; clear days "
             f"{w.light(stop.clear_dli)} of at most {w.light(stop.allowed_dli)}, full sun {w.hours(stop.full_sun_h)} "
             f"of at most {w.hours(stop.allowed_full_sun_h)}")
    return StopView(number, stop.place, f"{w.short_day(stop.date)} to {w.short_day(stop.until)}",
                    cloth_line(stop.shade), light, _not_said_beside(stop.why))


def _not_said_beside(why: str) -> str:
    """A stay's reasons without the light and the cloth, which the page gives beside them from the same record."""
    parts = [part for part in why.split("; ") if not SAID_BESIDE.match(part)]
    return capital("; ".join(parts))


def cloth_line(shade: ShadeAdvice | None) -> str:
    """"50 % cloth until Sat 12 Jun"; empty without advice."""
    return "" if shade is None else f"{shade.percent} % cloth until {w.day(shade.until)}"


def summer_picture(book: DayBook, plan: PlantPlan) -> Picture:
    """A plant's summer as one line: its height is the light where it stands, weekly; hatched under cloth; at the foot,
    ticks as tall as the number of nights in that week on which it must be carried in."""
    light, route = book.plan.daylight, plan.route
    first, days = season_span(book)
    shift = (light.dates[0] - first).days
    room = light.places.index(plan.plant.place) if plan.plant.place in light.places else None
    points: list[tuple[float, float]] = []
    hatched: list[list[tuple[float, float]]] = []
    if room is not None:
        points += _room_points(light, room, route[0].date, -ROOM_DAYS, shift)
    for stop in route:
        stay = _stay_points(light, stop, shift)
        points += stay
        if stop.shade is not None:
            end = (min(stop.shade.until, stop.until) - first).days
            hatched.append([point for point in stay if point[0] <= end])
    if room is not None and plan.status == "moves":
        points += _room_points(light, room, route[-1].until, ROOM_DAYS, shift)
    field = Field(first, days, 0.0, _top(book))
    points = [(min(max(x, 0.0), days), _height(mol)) for x, mol in points]
    shapes = [Shape(field.line([*points, (points[-1][0], 0), (points[0][0], 0)]) + "z", "under")]
    for some in (stay for stay in hatched if len(stay) > 1):
        top = [(x, _height(mol)) for x, mol in some]
        shapes.append(Shape(field.line([*top, (top[-1][0], 0), (top[0][0], 0)]) + "z", "cloth"))
    shapes += [Shape(field.line(points), "light"), *_ticks(book.plan, plan, field)]
    return Picture(days, 4.2, _words(plan), tuple(shapes), (), field.months(), _stays(plan, field))


def _height(mol: float) -> float:
    """Light on a compressed scale, so that a room shows beside a lawn."""
    return float(np.sqrt(mol))


def _top(book: DayBook) -> float:
    """One height for all plants of a garden: the brightest average day that any of them gets."""
    return _height(max((stop.mean_dli for p in book.plan.plants for stop in p.route), default=1.0)) * 1.25


def _stay_points(light, stop: Stop, shift: int) -> list[tuple[float, float]]:
    """(day, mol) weekly through a stay, what is under a cloth as the cloth lets it through."""
    row = light.places.index(stop.place)
    start, end = (stop.date - light.dates[0]).days, min((stop.until - light.dates[0]).days, len(light.dates) - 1)
    found = []
    for n in weekly(start, end):
        day = light.dates[n]
        under = stop.shade is not None and day < stop.shade.until
        through = 1 - stop.shade.percent / 100 if under and stop.shade else 1.0
        found.append((float(n + shift), float(light.mean_dli[row, n]) * through))
    return found


def _room_points(light, row: int, day: date, by: int, shift: int) -> list[tuple[float, float]]:
    n = min(max((day - light.dates[0]).days, 0), len(light.dates) - 1)
    other = min(max(n + by, 0), len(light.dates) - 1)
    return [(float(k + shift), float(light.mean_dli[row, k])) for k in sorted((n, other))]


def _ticks(plan: Plan, each: PlantPlan, field: Field) -> list[Shape]:
    """One tick a week: how many nights that mark the plant by then to expect where it stands."""
    exposure = Exposure(plan.climate, plan.site_tables)
    lifts = {place.name: season_lift(place, plan.climate).harm_c for place in plan.places}
    path = ""
    for stop in each.route:
        chances = exposure.night_chance(each.plant.bearing, lifts.get(stop.place, 0.0))
        for n in weekly(0, (stop.until - stop.date).days - 1):
            day = stop.date + timedelta(days=n)
            out = min((day - each.route[0].date).days, HARDENED)
            nights = 7 * float(chances[out, exposure.position(np.array(day_index(day)))])
            if nights >= NIGHTS_SHOWN:
                path += f"M{field.x(day):g} 100v-{max(min(nights, 1.0) * TICK_TALL, 4):.0f}"
    return [Shape(path, "rescue")] if path else []


def _stays(plan: PlantPlan, field: Field) -> tuple[tuple[int, str], ...]:
    """(days, words) of each stay, and of what lies before and between them."""
    found, at = [], 0
    for n, stop in enumerate(plan.route, 1):
        start, end = int(field.x(stop.date)), int(field.x(stop.until))
        if start > at:
            found.append((start - at, ""))
        text = f"{n} {stop.place}, {w.light(stop.mean_dli)}" if end - start >= LABEL_DAYS else f"{n}"
        found.append((max(end - start, LEAST_DAYS), text))
        at = max(end, start + LEAST_DAYS)
    return tuple([*found, (max(field.days - at, 0), "")])


def _words(plan: PlantPlan) -> str:
    stays = "; ".join(f"{stop.place} from {w.short_day(stop.date)}, {w.light(stop.mean_dli)} a day"
                      + (f" without its {stop.shade.percent} % cloth" if stop.shade else "") for stop in plan.route)
    return f"{plan.plant.name}: {stays}; until {w.short_day(plan.route[-1].until)}."
