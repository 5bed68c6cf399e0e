"""The light rule of the design agreement once more, in plain loops and with its own numbers, to check routes by.

Nothing here is imported from the route: A and S are stepped day by day, limits are written out, pots are counted.
"""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Sequence
from datetime import date, timedelta

from seasonplan.decisions.route import RouteRequest, RouteResult
from seasonplan.model import Daylight, Place, Rules, Stop

CAPS = {"deep-shade": 0.5, "shade": 1.5, "part-sun": 4.0, "sun": math.inf}
ROUNDING = 1e-9


def steps_of(kind: str) -> tuple[float, float]:
    """Daily step of A and of S: "exact" for a lag's exponential, "euler" for one over the lag."""
    return (1 - math.exp(-1 / 7), 1 - math.exp(-1 / 4)) if kind == "exact" else (1 / 7, 1 / 4)


def days_of(stop: Stop) -> list[date]:
    return [stop.date + timedelta(days=n) for n in range((stop.until - stop.date).days)]


def daily(request: RouteRequest, stops: Sequence[Stop], daylight: Daylight, kind: str = "exact"):
    """One tuple per day outdoors: (date, stop, A, S, clear, mean, full sun, allowed clear, allowed full sun)."""
    step_a, step_s = steps_of(kind)
    first = daylight.dates[0]
    a, s = float(daylight.mean_dli[daylight.places.index(request.plant.place)][(stops[0].date - first).days]), 0.0
    cap = CAPS[request.plant.taxon.sun]
    rows = []
    for stop in stops:
        p = daylight.places.index(stop.place)
        through = 1 - (stop.shade.percent / 100 if stop.shade and stop.shade.percent else 0)
        span = slice((stop.date - first).days, (stop.until - first).days)
        light = zip(*((through * values[p][span]).tolist() for values in (daylight.clear_dli, daylight.mean_dli,
                                                                          daylight.full_sun_h)), strict=True)
        for n, (clear, mean, sun) in enumerate(light):
            day = stop.date + timedelta(days=n)
            allowed_sun = min(max(s + 2, 2.2 * s), cap)
            if (day - stops[0].date).days < 7:
                allowed_sun = min(allowed_sun, 1.5)
            rows.append((day, stop, a, s, clear, mean, sun, max(3.5 * a, 12), allowed_sun))
            a, s = a + step_a * (mean - a), s + step_s * (sun - s)
    return rows


def faults_of(request: RouteRequest, result: RouteResult, daylight: Daylight, rules: Rules) -> list[str]:
    """Every way in which one plant's route breaks what must hold; stays that the log dictates are excused."""
    stops, name = result.stops, request.plant.name
    if not stops:
        return [] if result.blocked else [f"{name}: no stops and no reason"]
    logged = {stay.date for stay in request.stays}
    found = [f"{name}: gap at {b.date}" for a, b in zip(stops, stops[1:], strict=False) if a.until != b.date]
    if not logged and not (request.leave_on <= stops[0].date and stops[-1].until <= request.back_by):
        found.append(f"{name}: outside {request.leave_on} .. {request.back_by}")
    closings = {request.back_by, *(span[1] for span in request.spans.values())}
    days = daily(request, stops, daylight)
    for stop in stops:
        weekday = ("mon", "tue", "wed", "thu", "fri", "sat", "sun")[stop.date.weekday()]
        if rules.move_days and weekday not in rules.move_days and stop.date not in {request.leave_on, *logged}:
            found.append(f"{name}: moves on {stop.date}, a {weekday}")
        if (stop.until - stop.date).days < 1 or not stop.why:
            found.append(f"{name}: empty stop on {stop.date}")
        if (stop.until - stop.date).days < 3 and stop.until not in closings and stop.date not in logged:
            found.append(f"{name}: short stop on {stop.date}")
        if stop.date in logged:
            continue
        opens, closes = request.spans.get(stop.place, (date.max, date.min))
        if not (opens <= stop.date and stop.until <= closes):
            found.append(f"{name}: {stop.place} is closed to it within {stop.date} .. {stop.until}")
    for kind, rows in (("exact", days), ("euler", daily(request, stops, daylight, "euler"))):
        for day, stop, _, _, clear, mean, sun, allowed, allowed_sun in rows:
            if stop.date not in logged and (
                    clear > allowed + ROUNDING or sun > allowed_sun + ROUNDING
                    or mean > request.plant.light_high_mol + ROUNDING):
                found.append(f"{name}: {stop.place} on {day} ({kind}): clear {clear:.3f} of {allowed:.3f}, sun "
                             f"{sun:.3f} of {allowed_sun:.3f}, mean {mean:.3f} of {request.plant.light_high_mol}")
    for day, stop, a, _, clear, mean, sun, allowed, allowed_sun in days:
        if day != stop.date:
            continue
        told = (stop.acclimated_dli, stop.clear_dli, stop.mean_dli, stop.full_sun_h, stop.allowed_dli,
                stop.allowed_full_sun_h)
        if not all(math.isclose(x, y, rel_tol=1e-9, abs_tol=1e-9)
                   for x, y in zip(told, (a, clear, mean, sun, allowed, allowed_sun), strict=True)):
            found.append(f"{name}: figures of {day} say {told}")
    return found


def overfull(requests: Sequence[RouteRequest], results: Sequence[RouteResult], places: Sequence[Place]) -> list[str]:
    """Every place and day with more pots than room."""
    pots = Counter()
    for request, result in zip(requests, results, strict=True):
        for stop in result.stops:
            for day in days_of(stop):
                pots[stop.place, day] += request.plant.count
    room = {p.name: p.room_for for p in places}
    return [f"{place} on {day}: {count} pots" for (place, day), count in sorted(pots.items())
            if room[place] is not None and count > room[place]]


def all_faults(requests, results, places, daylight, rules) -> list[str]:
    """Everything wrong with the routes of a collection."""
    each = [fault for request, result in zip(requests, results, strict=True)
            for fault in faults_of(request, result, daylight, rules)]
    return each + overfull(requests, results, places)
