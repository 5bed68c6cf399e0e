"""A plant's stops with their figures, each with its reason in plain words and numbers."""

from __future__ import annotations

from dataclasses import dataclass, field

import numpy as np

from seasonplan import wording as w
from seasonplan.decisions.acclimation import SLACK, allowed_clear_dli, allowed_full_sun_h, kept_shares, light_rule
from seasonplan.decisions.route_rows import Arrival, Groups, Rows
from seasonplan.decisions.route_shade import Needs, hours_at
from seasonplan.decisions.route_yard import Yard
from seasonplan.model import ShadeAdvice, Stop

READY_DAYS = 42
"""How far back a plant's readiness for a place is looked for."""
SPOT_WORDS = ("above", "against", "along", "among", "at", "before", "behind", "below", "beneath", "beside", "between",
              "beyond", "by", "close", "in", "inside", "near", "next", "on", "opposite", "outside", "over", "under",
              "underneath")
"""First words of a place's name that describe where a spot is ("under the tree")."""

WHY = {
    "first": "the brightest place with room that it may have at first",
    "first-step": "a first place that gets it used to direct sun",
    "brighter": "the brightest place with room that it is ready for",
    "step": "a step on the way to more light: it gets used to more direct sun here",
    "too-bright": "the light at the {before} passes what it takes",
    "closing": "nights: it may be at the {before} until {closes} only",
    "gives-way": "makes room at the {before} for plants that need it more",
    "descent": "runs the light down before it comes in on {end}",
    "descent-short": "runs the light down before it comes in on {end}; no shadier place has room",
    "cloth": "no place with room fits as it is; {percent} % shade cloth here until {until} makes this one fit",
    "cloth-step": "a step on the way to more light than it gets at the {before}: {percent} % shade cloth here until "
                  "{until}",
    "cloth-thinner": "used to more light by now: a thinner shade cloth, {percent} %, until {until}",
    "cloth-off": "used to this light by now: the cloth comes off",
    "no-cloth": "stands here without a shade cloth",
    "logged": "stands here by the log",
    "logged-bright": "stands here by the log, which is more light than it was ready for ({allowed} a day under a clear "
                     "sky, {allowed_sun} of full sun); look for bleached leaves",
}


@dataclass(eq=False)
class StopMaker:
    """Makes the stops of finished rows, once for all plants whose stop reads the same."""

    rows: Rows
    groups: Groups
    yard: Yard
    ready: dict[int, int] = field(default_factory=dict)
    _seasons: list[tuple] = field(default_factory=list)
    _stops: dict[tuple, Stop] = field(default_factory=dict)

    def __post_init__(self) -> None:
        self.ready = ready_days(self.rows, self.groups, self.yard)
        groups, group = self.groups, self.rows.group
        self._seasons = list(zip(self.rows.end.tolist(), self.rows.out.tolist(), groups.sun_cap[group].tolist(),
                                 groups.indoor[group].tolist(), strict=True))

    def stops(self, row: int) -> tuple[Stop, ...]:
        """The stops of one row; none when it never went out."""
        arrivals = arrivals_of(self.rows.past[row])
        untils = [a.day for a in arrivals[1:]] + [self._seasons[row][0]]
        return tuple(self._stop(row, arrival, until) for arrival, until in zip(arrivals, untils, strict=False))

    def _stop(self, row: int, arrival: Arrival, until: int) -> Stop:
        before, came_from, closes = arrival.before, None, 0
        if before is not None:
            came_from = before.place, before.shade
            closes = int(self.groups.closes[self.rows.group[row], before.place]) if arrival.cause == "closing" else 0
        light_high = float(self.groups.light_high[self.rows.group[row]]) if arrival.shade else 0.0
        case = (*arrival[:-1], came_from, closes, until, *self._seasons[row], light_high,
                self.ready.get(id(arrival), arrival.day))
        if case not in self._stops:
            self._stops[case] = self._make_stop(row, arrival, until)
        return self._stops[case]

    def _make_stop(self, row: int, arrival: Arrival, until: int) -> Stop:
        yard, p, n = self.yard, arrival.place, arrival.day
        through = 1 - arrival.shade
        allowed = allowed_clear_dli(arrival.dli)
        allowed_sun = allowed_full_sun_h(arrival.sun_h, n - int(self.rows.out[row]), self._sun_class(row))
        return Stop(yard.date(n), yard.date(until), yard.names[p], through * float(yard.clear_dli[p, n]),
                    through * float(yard.mean_dli[p, n]), float(yard.light.direct_sun_h[yard.rows[p], n]),
                    through * float(yard.full_sun_h[p, n]), arrival.dli, allowed, allowed_sun,
                    self._why(row, arrival, until, allowed, allowed_sun), self._cloth(row, arrival, until))

    def _why(self, row: int, arrival: Arrival, until: int, allowed: float, allowed_sun: float) -> str:
        yard, before = self.yard, arrival.before
        group, day = self.rows.group[row], arrival.day
        old = yard.light.mean_dli[self.groups.indoor[group], day] if before is None else \
            (1 - before.shade) * yard.mean_dli[before.place, day]
        new = (1 - arrival.shade) * yard.mean_dli[arrival.place, day]
        lead = WHY[arrival.cause].format(
            before="" if before is None else the(yard.names[before.place]),
            closes="" if before is None else self._day(self.groups.closes[group, before.place]),
            end=self._day(self.rows.end[row]), percent=round(100 * arrival.shade), until=self._day(until),
            allowed=w.light(allowed), allowed_sun=w.hours(allowed_sun))
        text = f"{lead}; {self._direct_sun(arrival)}; light {w.light(old).removesuffix(' mol')} -> {w.light(new)} a day"
        if before is None:
            if day > arrival.waited_from:
                text += f"; waited since {self._day(arrival.waited_from)} for a fitting place with room"
            return text
        return text + self._readiness(arrival, before)

    def _readiness(self, arrival: Arrival, before: Arrival) -> str:
        """Since when a plant was ready for more light, or that the sun's path has made the place the brighter one."""
        ready = self.ready.get(id(arrival), arrival.day)
        if ready == arrival.day:
            return ""
        light = self.yard.mean_dli[:, ready]
        if arrival.cause == "brighter" and light[arrival.place] < (1 + light_rule().little_gain) * light[before.place]:
            return f"; with the sun's path of this season it gives more than the {the(self.yard.names[before.place])}"
        return f"; ready since {self._day(ready)}"

    def _day(self, day: int) -> str:
        return w.day(self.yard.date(day))

    def _direct_sun(self, arrival: Arrival) -> str:
        spans = self.yard.light.sun_spans[self.yard.rows[arrival.place]][arrival.day]
        return f"direct sun {w.spans(spans)}" if spans else w.spans(())

    def _sun_class(self, row: int) -> str:
        return self.groups.first_request[self.rows.group[row]].plant.taxon.sun

    def _cloth(self, row: int, arrival: Arrival, until: int) -> ShadeAdvice | None:
        """The cloth of an arrival, and the hours for which the plant could stand there without it."""
        if not arrival.shade:
            return None
        group, day = self.rows.group[row], arrival.day
        first_days = int(self.rows.out[row]) + int(light_rule().first_days) - day
        hours = hours_at(arrival.place, day, Needs(arrival.dli, arrival.sun_h, self.groups.light_high[group],
                                                   self.groups.sun_cap[group], first_days), self.yard)
        return ShadeAdvice(self.yard.names[arrival.place], round(100 * arrival.shade),
                           None if hours is None else (w.clock(hours[0]), w.clock(hours[1])), self.yard.date(until))


def the(place: str) -> str:
    """A place's name made ready for an article before it: without its own, or as the spot that it describes."""
    first, _, rest = place.partition(" ")
    if rest and first.lower() in ("the", "a", "an"):
        return rest
    return f"spot {place}" if first.lower() in SPOT_WORDS else place


def arrivals_of(last: Arrival | None) -> list[Arrival]:
    """All arrivals up to the last one, in order."""
    found = []
    while last is not None:
        found.append(last)
        last = last.before
    return found[::-1]


def ready_days(rows: Rows, groups: Groups, yard: Yard) -> dict[int, int]:
    """For moves towards more light: since which day in a row the plant was ready for it, by id of the Arrival."""
    moves = [(arrival, row) for row in range(len(rows.past)) for arrival in arrivals_of(rows.past[row])
             if arrival.cause in ("brighter", "step") and arrival.before is not None]
    if not moves:
        return {}
    rule = light_rule()
    day, place = (np.array([getattr(a, name) for a, _ in moves]) for name in ("day", "place"))
    dli, sun_h = (np.array([getattr(a, name) for a, _ in moves]) for name in ("dli", "sun_h"))
    came, old, through = (np.array([values(a.before) for a, _ in moves]) for values in (  # type: ignore[arg-type]
        lambda b: b.day, lambda b: b.place, lambda b: 1 - b.shade))
    numbers = np.array([row for _, row in moves])
    group, out = rows.group[numbers], rows.out[numbers]
    keep_dli, keep_sun = kept_shares(rule.dli_lag_days)[0], kept_shares(rule.sun_lag_days)[0]
    since, ready = day.copy(), np.ones(len(moves), dtype=bool)
    for _ in range(READY_DAYS):
        then = np.maximum(since - 1, 0)
        dli = (dli - (1 - keep_dli) * through * yard.mean_dli[old, then]) / keep_dli
        sun_h = (sun_h - (1 - keep_sun) * through * yard.full_sun_h[old, then]) / keep_sun
        sun = yard.full_sun_h[place, then]
        ready &= (since > came) & (dli >= yard.spells.least_dli[place, then, 1, 0]) \
            & (sun_h >= yard.spells.least_sun_h[place, then, 1, 0]) & (sun <= groups.sun_cap[group] + SLACK) \
            & (yard.mean_dli[place, then] <= groups.light_high[group] + SLACK) & (groups.opens[group, place] <= then) \
            & ((then - out >= rule.first_days) | (sun <= rule.first_sun_h + SLACK))
        if not ready.any():
            break
        since = np.where(ready, then, since)
    return {id(arrival): int(first) for (arrival, _), first in zip(moves, since, strict=True)}
