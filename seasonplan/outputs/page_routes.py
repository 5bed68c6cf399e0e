"""Routes as strips: where plants stand through the season, the light there and what they are used to."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from math import isfinite

import numpy as np

from seasonplan import wording as w
from seasonplan.dates import MONTH_NAMES
from seasonplan.model import Daylight, Plan, PlantPlan, ShadeAdvice, Stop
from seasonplan.outputs.page_groups import STATUS_WORDS, by_route, names_of, pots

MARGIN_DAYS = 4
EVERY_DAYS = 3
"""How finely a strip's light is drawn."""
LIMIT_DAYS = 8
"""Length of the mark that shows the limit on arrival."""
HEADROOM = 1.15
BRIGHT_FROM_MOL = (5.0, 12.0, 25.0)
"""Mean light at which a place's shade turns brighter: the tops of the deep-shade, shade and part-sun bands.
Our setting, as in the catalogue."""
TINY_PERCENT = 2.2
"""A segment narrower than this shows no label."""


@dataclass(frozen=True)
class Segment:
    number: int
    place: str
    left: str
    width: str
    kind: str


@dataclass(frozen=True)
class StopView:
    place: str
    dates: str
    shade: str
    light: str
    why: str


@dataclass(frozen=True)
class RouteView:
    """One strip. left, width, dots, months in percent of its width (dots: of its height too); mean, clear, limits:
    SVG paths on a field of `days` by 100."""

    anchor: str
    names: tuple[str, ...]
    summary: str
    days: int
    mean: str
    clear: str
    limits: str
    dots: tuple[tuple[str, str], ...]
    segments: tuple[Segment, ...]
    months: tuple[tuple[str, str], ...]
    stops: tuple[StopView, ...]


def route_views(plan: Plan) -> list[RouteView]:
    """One per distinct route, in order of the first day out; all on one scale of dates."""
    groups = by_route(p for p in plan.plants if p.route)
    if not groups:
        return []
    first = min(g[0].route[0].date for g in groups) - timedelta(days=MARGIN_DAYS)
    last = max(g[0].route[-1].until for g in groups) + timedelta(days=MARGIN_DAYS)
    return [_view(plan, group, f"route-{n}", first, (last - first).days) for n, group in enumerate(groups, 1)]


def _view(plan: Plan, group: Sequence[PlantPlan], anchor: str, first: date, days: int) -> RouteView:
    route = group[0].route
    clear, mean = (_along(plan.daylight, table, route, first)
                   for table in (plan.daylight.clear_dli, plan.daylight.mean_dli))
    top = HEADROOM * max([mol for _, mol in clear] + [stop.acclimated_dli for stop in route] + [1.0])
    limits = [(stop, _height(stop.allowed_dli, top)) for stop in route
              if isfinite(stop.allowed_dli) and stop.allowed_dli <= top]
    return RouteView(
        anchor, names_of(group), _summary(group), days,
        _outline([(0 + clear[0][0], 0.0), *mean, (mean[-1][0], 0.0)], top) + "Z", _outline(clear, top),
        "".join(f"M{(s.date - first).days} {y:.0f}h{min(LIMIT_DAYS, (s.until - s.date).days)}" for s, y in limits),
        tuple((_share((s.date - first).days, days), f"{_height(s.acclimated_dli, top):.1f}") for s in route),
        tuple(_segment(n, stop, first, days) for n, stop in enumerate(route, 1)), _months(first, days),
        tuple(_stop_view(stop) for stop in route))


def _along(light: Daylight, table: np.ndarray, route: Sequence[Stop], first: date) -> list[tuple[int, float]]:
    """(day on the strip, mol) of the places a plant stands in, step by step."""
    points = []
    for stop in route:
        row, start = light.places.index(stop.place), (stop.date - light.dates[0]).days
        end = min((stop.until - light.dates[0]).days, len(light.dates)) - 1
        shown = sorted({*range(start, end, EVERY_DAYS), end})
        shift = (light.dates[0] - first).days
        points += [(n + shift, float(table[row, n])) for n in shown]
        points.append((end + 1 + shift, float(table[row, end])))
    return points


def _height(mol: float, top: float) -> float:
    return 100.0 - 100.0 * mol / top


def _outline(points: Sequence[tuple[float, float]], top: float) -> str:
    return "M" + "L".join(f"{x:g} {_height(mol, top):.0f}" for x, mol in points)


def _share(day: float, days: int) -> str:
    return f"{100 * day / days:.2f}"


def _segment(number: int, stop: Stop, first: date, days: int) -> Segment:
    length = (stop.until - stop.date).days
    kind = f"l{sum(stop.mean_dli >= start for start in BRIGHT_FROM_MOL)}"
    kind += " shade" if stop.shade else ""
    kind += " tiny" if 100 * length / days < TINY_PERCENT else ""
    return Segment(number, stop.place, _share((stop.date - first).days, days), _share(length, days), kind)


def _months(first: date, days: int) -> tuple[tuple[str, str], ...]:
    dates = [first + timedelta(days=n) for n in range(days)]
    return tuple((_share(n, days), MONTH_NAMES[d.month - 1][:3]) for n, d in enumerate(dates)
                 if d.day == 1 and n < days - 8)


def _summary(group: Sequence[PlantPlan]) -> str:
    lead = group[0]
    out, back = lead.route[0].date, lead.route[-1].until
    weeks = (back - out).days / 7
    text = f"{w.counted(pots(group), 'pot')}, indoors at {lead.plant.place}. "
    if lead.status == "moves":
        text += f"Out {w.day(out)}, in {w.day(back)}: {weeks:.0f} weeks outdoors."
    else:
        text += f"{STATUS_WORDS[lead.status].capitalize()}, {w.date_span(out, back)}."
    return text


def _stop_view(stop: Stop) -> StopView:
    text = (f"used to {w.light(stop.acclimated_dli)}; average day {w.light(stop.mean_dli)}, clear day "
            f"{w.light(stop.clear_dli)} (limit {w.light(stop.allowed_dli)}); direct sun {w.hours(stop.direct_sun_h)}, "
            f"worth {w.hours(stop.full_sun_h)} of full sun (limit {w.hours(stop.allowed_full_sun_h)}).")
    return StopView(stop.place, f"{w.day(stop.date)} to {w.day(stop.until)}", shade_words(stop.shade), text,
                    stop.why[:1].upper() + stop.why[1:])


def shade_words(shade: ShadeAdvice | None) -> str:
    """"Only under 50 % shade cloth until Sat 12 Jun (without one: 07:00 to 09:30)."; empty without advice."""
    if shade is None:
        return ""
    hours = f" (without one: {shade.hours[0]} to {shade.hours[1]})" if shade.hours else ""
    return f"Only under {shade.percent} % shade cloth until {w.day(shade.until)}{hours}."
