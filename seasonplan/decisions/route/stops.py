"""From the ways that were found to stops with their figures and causes, and to what else is to be said."""

from __future__ import annotations

from dataclasses import dataclass, replace
from enum import Enum, auto
from functools import cached_property
from itertools import pairwise
from typing import NamedTuple

import numpy as np

from seasonplan.decisions.route import telling, waves
from seasonplan.decisions.route.aim import make_aim
from seasonplan.decisions.route.daily import Daily, make_daily
from seasonplan.decisions.route.garden import NO_LIMIT, Garden
from seasonplan.decisions.route.groups import Groups
from seasonplan.decisions.route.light_rule import SLACK, Intervals, allowed_clear_dli, allowed_full_sun_h, light_rule
from seasonplan.decisions.route.past import INDOORS, LoggedStop, Past, too_much
from seasonplan.decisions.route.request import RouteResult
from seasonplan.decisions.route.search import search
from seasonplan.decisions.route.shared import Shared
from seasonplan.decisions.route.sharing import Given
from seasonplan.model import ShadeAdvice, Stop

ABOUT = 1.05
"""Shares of open light that differ by less than this factor are the same, as the sun's path changes."""
SOON_DAYS = 14
"""A place that cold nights close within so many days is left for that reason."""
LITTLE = 0.5
"""A plant that stands under a cloth all the time, in less than this share of the least it needs, need not go out."""


class Cause(Enum):
    """Why a plant goes to a place, or gets another cloth."""

    FIRST = auto()
    BRIGHTER = auto()
    THINNER = auto()
    OPEN = auto()
    COVERED = auto()
    RELIEVED = auto()
    DESCENT = auto()
    TOO_BRIGHT = auto()
    CLOSING = auto()
    CROWDED = auto()
    BETTER = auto()
    LOGGED = auto()
    LOGGED_TOO_MUCH = auto()


class Arrival(NamedTuple):
    """One arrival at a place. dli, sun_h: what the plant is used to on that day; days_out: since it went out."""

    day: int
    place: int
    percent: int
    dli: float
    sun_h: float
    days_out: int
    cause: Cause


@dataclass(frozen=True, eq=False)
class Teller:
    """Makes the results of a garden's ways."""

    garden: Garden
    groups: Groups
    shared: Shared
    in_shade: bool

    @cached_property
    def spans(self) -> Intervals:
        """What standing anywhere through the intervals does, for all positions of the garden."""
        return self.garden.intervals(self.shared.days, np.arange(len(self.garden.place)))

    @cached_property
    def daily(self) -> Daily:
        """What days are worth to all groups at the garden's positions in use."""
        return make_daily(self.garden, self.groups, self.shared.positions, self.in_shade)

    def result(self, one: Given) -> RouteResult:
        """The stops of plants that go one way, with their reasons; or why they never go out."""
        arrivals = self.arrivals(one)
        if not arrivals:
            blocked, lacks = telling.blocked(self, one)
            return RouteResult((), blocked=blocked, lacks=lacks)
        end = one.until if one.found else self._cut_short(arrivals[-1], self.groups.past[one.group])
        if self.stays_in(one):
            return RouteResult((), blocked=telling.no_gain(self, one))
        stops, before = [], None
        for n, arrival in enumerate(arrivals):
            until = arrivals[n + 1].day if n + 1 < len(arrivals) else end
            if arrival.place != INDOORS:
                stops.append(self.stop(one.group, arrival, before, until, end))
            before = arrival
        if stops and one.found and telling.too_dark_a_room(self, one.group, stops[-1]):
            stops[-1] = replace(stops[-1], why=f"{stops[-1].why}; no place is as dark as its room")
        return RouteResult(tuple(stops), telling.reason(self, one, [a for a in arrivals if a.place != INDOORS], end))

    def _cut_short(self, last: Arrival, past: Past | None) -> int:
        """The day until which a plant without a way on stands where the log says: the next on which it can come in."""
        next_day = min(max(last.day + 1, past.free if past else 0), len(self.garden.dates) - 1)
        return last.day if last.place == INDOORS else self.garden.move_after(next_day)

    def stays_in(self, one: Given) -> bool:
        """Whether a plant that could stay in, and would like more light, would go out for no more than its room has, or
        would stand under a cloth all the time in far less than it needs."""
        groups, n = self.groups, one.group
        if (one.stands == INDOORS).all() or self.in_shade or groups.past[n] is not None \
                or groups.requests[n].cool_nights or not groups.ends[n]:
            return False
        content = (groups.light_low[n] + groups.light_high[n]) / 2 if groups.shade[n] else np.inf
        lights, stands = self.lights(one), one.stands[one.stands != INDOORS]
        if (self.garden.percent[stands] > 0).all() and max(lights)[0] < LITTLE * groups.light_low[n]:
            return True
        return all(outdoors <= min(indoors, content) and indoors <= groups.light_high[n]
                   for outdoors, indoors in lights)

    def lights(self, one: Given) -> list[tuple[float, float]]:
        """(outdoors, in its room) mean light a day through each interval that a plant is out [mol]."""
        room = self.garden.light.mean_dli[self.groups.indoor[one.group]]
        return [(float(self.spans.mean_dli[step, position]), float(room[day:until].mean()))
                for step, (position, (day, until)) in enumerate(zip(one.stands.tolist(), pairwise(
                    self.shared.days.tolist()), strict=True)) if position != INDOORS]

    def gets_bright(self, group: int, shared: bool) -> bool:
        """Whether a plant that had the garden to itself would stand bright after four weeks. shared: on the garden's
        days of moving and under its cloths, else on any day and under any cloth."""
        rule, alone = light_rule(), self.groups.take([group])
        days = self.shared.days if shared else waves.candidates(self.garden, alone)
        positions = self.shared.positions if shared else np.arange(len(self.garden.place))
        known = (self.daily, np.array([group])) if shared else ()
        aim = make_aim(self.garden, alone, days, positions, self.in_shade, None, *known)
        stands = search(aim).stands[0]
        out = np.flatnonzero(stands != INDOORS)
        if not out.size:
            return False
        day = int(max(days[out[0]] + rule.bright_within_days, aim.daily.opens[aim.row[0]] + rule.ready_days))
        step = int(np.searchsorted(days, day, side="right")) - 1
        if step not in out or day >= len(self.garden.dates):
            return False
        at = positions[stands[step]]
        had = self.garden.lights(int(self.garden.place[at]), int(self.garden.percent[at]), day)[1]
        return had >= rule.bright_share * float(aim.daily.wanted[aim.row[0], day])

    def arrivals(self, one: Given) -> list[Arrival]:
        """Every arrival in order: first those of the log (with those indoors in between), then the planned ones."""
        past = self.groups.past[one.group]
        found = [] if past is None else [self._logged(one.group, stay) for stay in past.stays]
        days, used, sun, out = self.shared.days, 0.0, 0.0, -1
        if past is not None:
            at = min(int(days[min(int(np.searchsorted(days, past.free)), len(days) - 1)]), len(past.dli) - 1)
            used, sun, out = float(past.dli[at, 0]), float(past.sun_h[at, 0]), past.out
        before = INDOORS if past is None or past.here.place == INDOORS else self.garden.position(
            past.here.place, past.here.percent)
        for step, position in enumerate(one.stands.tolist()):
            if position == INDOORS:
                continue
            day = int(days[step])
            if before == INDOORS and past is None:
                out, used = day, float(self.garden.light.mean_dli[self.groups.indoor[one.group], day])
            elif before == INDOORS and past is not None:
                out = day if day - past.here.day > light_rule().hardened_days else out
                used, sun = float(past.dli[day, 0]), float(past.sun_h[day, 0])
            if position != before:
                place, percent = int(self.garden.place[position]), int(self.garden.percent[position])
                cause = self.cause(one, step, position, before)
                found.append(Arrival(day, place, percent, used, sun, day - out, cause))
            used = float(used * self.spans.kept_dli[0, step] + self.spans.gain_dli[0, step, position])
            sun = float(sun * self.spans.kept_sun[0, step] + self.spans.gain_sun_h[0, step, position])
            before = position
        return found

    def _logged(self, group: int, stay: LoggedStop) -> Arrival:
        too = stay.place != INDOORS and too_much(self.groups.requests[group], self.garden, stay)
        return Arrival(stay.day, stay.place, stay.percent, stay.dli, stay.sun_h, stay.days_out,
                       Cause.LOGGED_TOO_MUCH if too else Cause.LOGGED)

    def cause(self, one: Given, step: int, position: int, before: int) -> Cause:
        """Why a plant goes from one position to another at the beginning of an interval."""
        garden, spans, group = self.garden, self.spans, one.group
        if before == INDOORS:
            return Cause.FIRST
        light, old = spans.first_dli[step, position], spans.first_dli[step, before]
        past = self.groups.past[group]
        if past is not None and past.urgent and light < old and int(self.shared.days[step]) == past.free:
            return Cause.RELIEVED
        coming_in = bool(self.groups.ends[group]) and light < old and self._goes_down(one, step)
        if coming_in:
            return Cause.DESCENT
        if garden.place[position] == garden.place[before]:
            if light < old:
                return Cause.DESCENT if self._late(one, step) else Cause.COVERED
            return Cause.THINNER if garden.percent[position] else Cause.OPEN
        day, until = self.shared.days[step:step + 2]
        if self.groups.closes[group, garden.place[before]] < min(until, day + SOON_DAYS):
            return Cause.CLOSING
        if light > old:
            return Cause.BRIGHTER
        if one.gave_way and self.garden.room[garden.place[before]] < NO_LIMIT:
            return Cause.CROWDED
        passes = spans.top_dli[step, before] > self.groups.light_high[group] + SLACK \
            or spans.top_sun_h[step, before] > self.groups.sun_cap[group] + SLACK
        return Cause.TOO_BRIGHT if passes else Cause.BETTER

    def _goes_down(self, one: Given, step: int) -> bool:
        """Whether a plant goes only down from an interval on until it comes in, in the last weeks."""
        days, sky = self.shared.days, np.maximum(self.garden.light.open_mean_dli, 1e-6)
        shares = [self.spans.first_dli[n, p] / float(sky[days[n]]) for n, p in enumerate(one.stands.tolist())
                  if n >= step and p != INDOORS]
        return self._late(one, step) and all(b <= a * ABOUT for a, b in pairwise(shares))

    def _late(self, one: Given, step: int) -> bool:
        """Whether an interval reaches into the last weeks of a plant that comes in."""
        long = max(int(self.groups.slow_days[one.group]), 2 * int(light_rule().descent_days))
        return bool(self.groups.ends[one.group]) and one.until - int(self.shared.days[step + 1]) < long

    def stop(self, group: int, arrival: Arrival, before: Arrival | None, until: int, end: int) -> Stop:
        """One stop with the figures of its arrival day."""
        garden = self.garden
        clear, mean, sun = garden.lights(arrival.place, arrival.percent, arrival.day)
        allowed = allowed_clear_dli(arrival.dli)
        allowed_sun = allowed_full_sun_h(arrival.sun_h, arrival.days_out, float(self.groups.sun_cap[group]))
        shade = ShadeAdvice(garden.names[arrival.place], arrival.percent, garden.date(until)) if arrival.percent \
            else None
        why = telling.why(self, group, arrival, before, until, end, allowed, allowed_sun)
        direct = float(garden.light.direct_sun_h[garden.rows[arrival.place], arrival.day])
        return Stop(garden.date(arrival.day), garden.date(until), garden.names[arrival.place], clear, mean, direct, sun,
                    arrival.dli, allowed, allowed_sun, why, shade)
