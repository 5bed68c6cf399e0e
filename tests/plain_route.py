"""The light rule and the limits of the design agreement once more, in plain loops and with their own numbers, to check
routes by.

Nothing here is imported from the route: A and S are stepped day by day, limits are written out, pots are counted.
"""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Sequence
from datetime import date, timedelta
from typing import NamedTuple

from seasonplan.decisions.route import RouteRequest, RouteResult
from seasonplan.model import Daylight, Place, Rules, Stop

CAPS = {"deep-shade": 0.5, "shade": 1.5, "part-sun": 4.0, "sun": math.inf}
SHADE = ("deep-shade", "shade")
ROUNDING = 1e-9
WEEKDAYS = ("mon", "tue", "wed", "thu", "fri", "sat", "sun")


class Day(NamedTuple):
    """A day outdoors: what the plant is used to before it (A, S), what it gets, and what it may get."""

    day: date
    stop: Stop
    a: float
    s: float
    clear: float
    mean: float
    sun: float
    peak: float
    allowed: float
    allowed_sun: float
    allowed_peak: float


def steps_of(kind: str) -> tuple[float, float]:
    """Daily step of A and of S: "exact" for a lag's exponential, "euler" for one over the lag."""
    return (1 - math.exp(-1 / 7), 1 - math.exp(-1 / 4)) if kind == "exact" else (1 / 7, 1 / 4)


def days_of(stop: Stop) -> list[date]:
    return [stop.date + timedelta(days=n) for n in range((stop.until - stop.date).days)]


def through(stop: Stop) -> float:
    return 1 - (stop.shade.percent / 100 if stop.shade else 0)


def room_light(request: RouteRequest, daylight: Daylight, day: date) -> float:
    """Mean light of a plant's room on a day [mol]."""
    return float(daylight.mean_dli[daylight.places.index(request.plant.place)][(day - daylight.dates[0]).days])


def daily(request: RouteRequest, stops: Sequence[Stop], daylight: Daylight, kind: str = "exact",
          in_shade: bool = False) -> list[Day]:
    """Every day outdoors. A time indoors of up to a week keeps what the plant is used to."""
    step_a, step_s = steps_of(kind)
    first, out = daylight.dates[0], stops[0].date
    a, s = room_light(request, daylight, out), 0.0
    sun_class = request.plant.taxon.sun
    cap = min(CAPS[sun_class], 1.5) if in_shade else CAPS[sun_class]
    rows: list[Day] = []
    for before, stop in zip([None, *stops], stops, strict=False):
        for n in range((stop.date - before.until).days if before else 0):
            if n >= 7:
                a += step_a * (room_light(request, daylight, before.until + timedelta(days=n)) - a)
                s -= step_s * s
        if before and (stop.date - before.until).days > 7:
            out = stop.date
        p = daylight.places.index(stop.place)
        for day in days_of(stop):
            d = (day - first).days
            clear, mean, sun, peak = (through(stop) * float(values[p][d]) for values in (
                daylight.clear_dli, daylight.mean_dli, daylight.full_sun_h, daylight.peak_ppfd))
            fresh = (day - out).days < 7
            allowed_sun = min(max(s + 3, 2.2 * s), cap, 1.5 if fresh else math.inf)
            allowed_peak = 325 if fresh and sun_class in SHADE else math.inf
            rows.append(Day(day, stop, a, s, clear, mean, sun, peak, max(3.5 * a, 12), allowed_sun, allowed_peak))
            a, s = a + step_a * (mean - a), s + step_s * (sun - s)
    return rows


def faults_of(request: RouteRequest, result: RouteResult, daylight: Daylight, rules: Rules) -> list[str]:
    """Every way in which one plant's route breaks what must hold; stays that the log dictates are excused."""
    if not result.stops:
        return [] if result.blocked else [f"{request.plant.name}: no stops and no reason"]
    found = _wrong_days(request, result.stops, rules)
    logged = {stay.date for stay in request.stays}
    for kind in ("exact", "euler"):
        found += _wrong_light(request, result.stops, daylight, kind, logged, rules.summer == "in-shade")
    return [f"{request.plant.name}: {fault}" for fault in found]


def _wrong_days(request: RouteRequest, stops: Sequence[Stop], rules: Rules) -> list[str]:
    """Dates: gaps, windows, move days, the number and the length of stays."""
    found: list[str] = []
    logged, fresh, went = {stay.date for stay in request.stays}, not request.stays, stops[0].date
    known = request.stays[-1].place if request.stays else ""
    if fresh:
        found += [f"gap at {b.date}" for a, b in zip(stops, stops[1:], strict=False) if a.until != b.date]
        if not request.leave_on <= stops[0].date < stops[-1].until <= request.back_by:
            found.append(f"{stops[0].date} .. {stops[-1].until} is outside {request.leave_on} .. {request.back_by}")
        if len(stops) > 6:
            found.append(f"{len(stops)} stops")
    for before, stop in zip([None, *stops], stops, strict=False):
        if before and (stop.date - before.until).days > 7:
            went = stop.date
        length, out = (stop.until - stop.date).days, (stop.until - went).days
        if stop.date in logged or not fresh and stop is stops[0]:
            continue
        urgent = request.free_from is not None and stop.date <= request.free_from
        if rules.move_days and WEEKDAYS[stop.date.weekday()] not in rules.move_days and fresh and not urgent:
            found.append(f"moves on {stop.date}, a {WEEKDAYS[stop.date.weekday()]}")
        if request.free_from is not None and stop.date < request.free_from:
            found.append(f"moves on {stop.date}, before {request.free_from}")
        if not stop.why or length < (5 if out > 21 else 3):
            found.append(f"stays {length} days from {stop.date}")
        opens, closes = request.spans.get(stop.place, (date.max, date.min))
        if not (opens <= stop.date and stop.until <= closes) and stop.place != known:
            found.append(f"{stop.place} is closed to it within {stop.date} .. {stop.until}")
    return found


def _wrong_light(request: RouteRequest, stops: Sequence[Stop], daylight: Daylight, kind: str, logged: set[date],
                 in_shade: bool) -> list[str]:
    """Light: every day's limits, every step's size, and the figures told on arrival."""
    found = []
    high, days = request.plant.light_high_mol, daily(request, stops, daylight, kind, in_shade)
    for row in days:
        if row.stop.date in logged:
            continue
        pairs = (("clear", row.clear, row.allowed), ("sun", row.sun, row.allowed_sun), ("mean", row.mean, high),
                 ("peak", row.peak, row.allowed_peak))
        found += [f"{row.stop.place} on {row.day} ({kind}): {name} {got:.3f} of {limit:.3f}"
                  for name, got, limit in pairs if got > limit + ROUNDING]
        if row.day == row.stop.date and not row.a / 10 - ROUNDING <= row.mean <= 10 * row.a + ROUNDING:
            found.append(f"{row.stop.place} on {row.day} ({kind}): {row.mean:.3f} after {row.a:.3f}")
        stop = row.stop
        told = (stop.acclimated_dli, stop.clear_dli, stop.mean_dli, stop.full_sun_h, stop.allowed_dli,
                stop.allowed_full_sun_h)
        if kind == "exact" and row.day == stop.date and not all(
                math.isclose(x, y, rel_tol=1e-9, abs_tol=1e-9) for x, y in zip(
                    told, (row.a, row.clear, row.mean, row.sun, row.allowed, row.allowed_sun), strict=True)):
            found.append(f"figures of {row.day} say {told}, not {row[2:]}")
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
