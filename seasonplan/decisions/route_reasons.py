"""What a plant's dates and stops do not say themselves: why it never goes out, why it comes in early, what its light
lacks."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from seasonplan import wording as w
from seasonplan.decisions.acclimation import SLACK, light_rule
from seasonplan.decisions.route_rows import Arrival, Groups, Rows
from seasonplan.decisions.route_shade import CLOTHS_PERCENT, Needs, dose, hours_at, stepping_cloth
from seasonplan.decisions.route_stops import arrivals_of, the
from seasonplan.decisions.route_sweep import BRIGHT, CLOSING, FULL
from seasonplan.decisions.route_yard import Yard

EARLY = {
    FULL: "there is no room for it at the places still open to it",
    BRIGHT: "no place fits it any longer, even under a shade cloth",
    CLOSING: "its place closes or suits it no longer, and a move to more light is not worth it for the last days",
}


@dataclass(frozen=True, eq=False)
class Reasons:
    """Reasons for finished rows."""

    rows: Rows
    groups: Groups
    yard: Yard

    def reason(self, row: int) -> str:
        """Sentences about a plant that went out; empty when there is nothing to add."""
        arrivals, end = arrivals_of(self.rows.past[row]), int(self.rows.end[row])
        parts = [self._early(row, end), self._short_descent(row, arrivals[-1], end), self._wanting(row, arrivals, end)]
        return " ".join(part for part in parts if part)

    def blocked(self, row: int) -> str:
        """Why a plant never goes out."""
        group = self.rows.group[row]
        request = self.groups.first_request[group]
        day, end = int(self.groups.leave[group]), int(self.groups.end[group])
        dates = w.date_span(request.leave_on, request.back_by)
        if end <= day or not request.spans:
            return f"No outdoor place is open to it long enough between two move days ({dates})."
        if self.rows.note[row] != BRIGHT:
            return f"No room: the outdoor places that could take it are full ({dates})."
        return self._too_bright(group, day)

    def _too_bright(self, group: int, day: int) -> str:
        yard = self.yard
        needs = Needs(float(yard.light.mean_dli[self.groups.indoor[group], day]), 0.0, self.groups.light_high[group],
                      self.groups.sun_cap[group], int(light_rule().first_days))
        usable = self._open_places(group, day)
        if not usable:
            return "Too bright: no outdoor place fits it."
        best = max(usable, key=lambda place: dose(needs, *yard.lights(place, day)))
        _, mean, sun = yard.lights(best, day)
        text = (f"Too bright: no outdoor place fits it, even under {CLOTHS_PERCENT[-1]} % shade cloth; at the "
                f"{the(yard.names[best])} it would get {w.light(mean)} a day and {w.hours(sun)} of full sun on "
                f"{self._day(day)}.")
        hours = hours_at(best, day, needs, yard)
        if hours is None:
            return text
        return text + f" Day trips suit it: out there at {w.clock(hours[0])}, back indoors by {w.clock(hours[1])}."

    def _early(self, row: int, end: int) -> str:
        """Why it comes in before its day, when it does."""
        if end >= self.groups.end[self.rows.group[row]]:
            return ""
        return f"It comes in on {self._day(end)} already: {EARLY[self.rows.note[row]]}."

    def _short_descent(self, row: int, last: Arrival, end: int) -> str:
        """When it comes in out of more light than the descent asks for, and out of twice what it gets indoors."""
        level, group = light_rule().descent_share_last, self.rows.group[row]
        if not self.groups.descent[group] or end < self.groups.end[group]:
            return ""
        share = (1 - last.shade) * float(self.yard.share[last.place, end - 1])
        light = (1 - last.shade) * self.yard.mean_dli[last.place, end - 1]
        if share <= level + SLACK or light <= 2 * self.yard.light.mean_dli[self.groups.indoor[group], end - 1]:
            return ""
        return (f"Its light could not be run down to {w.percent(level)} of open light before it comes in: at the "
                f"{the(self.yard.names[last.place])} it still has {w.percent(share)}. Keep it in the brightest window "
                "for some weeks.")

    def _wanting(self, row: int, arrivals: list[Arrival], end: int) -> str:
        """How a shade cloth would bring a plant to the light it likes, where its longest stay leaves it short."""
        group = self.rows.group[row]
        low = float(self.groups.light_low[group])
        stays = zip(arrivals, [a.day for a in arrivals[1:]] + [end], strict=True)
        longest, until = max(stays, key=lambda stay: stay[1] - stay[0].day)
        day = min(longest.day + int(light_rule().worth_days), until - 1)
        _, had, sun = self.yard.lights(longest.place, day)
        if had >= low or longest.shade or "logged" in longest.cause:
            return ""
        settled = Needs(had, sun, self.groups.light_high[group], self.groups.sun_cap[group], 0)
        brighter = [place for place in self._open_places(group, day) if self.yard.mean_dli[place, day] > had]
        for place in sorted(brighter, key=lambda place: -self.yard.mean_dli[place, day]):
            percent = stepping_cloth(settled, *self.yard.lights(place, day))
            if percent is not None:
                where = the(self.yard.names[place])
                return (f"From {self._day(longest.day)} to {self._day(until)} it gets {w.light(had)} a day, less than "
                        f"the {w.light(low)} it likes. The {where} under {percent} % shade cloth (a place of its own "
                        f"with leaf_shade = {1 - percent / 100:.1f}) would be the step it lacks to the open {where}, "
                        f"{w.light(float(self.yard.mean_dli[place, day]))}.")
        return ""

    def _open_places(self, group: int, day: int) -> list[int]:
        return np.flatnonzero((self.groups.opens[group] <= day) & (day < self.groups.closes[group])).tolist()

    def _day(self, day: int) -> str:
        return w.day(self.yard.date(day))
