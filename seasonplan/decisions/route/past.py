"""What the log brought about: where a plant has stood, and the light it is used to by now."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, NamedTuple

import numpy as np

from seasonplan.decisions.route.light_rule import (
    SHADE_CLASSES,
    SLACK,
    STEPPINGS,
    allowed_clear_dli,
    allowed_full_sun_h,
    kept_shares,
    light_rule,
    sun_cap_h,
)

if TYPE_CHECKING:
    from seasonplan.decisions.route.garden import Garden
    from seasonplan.decisions.route.request import RouteRequest

INDOORS = -1


class LoggedStop(NamedTuple):
    """A stay by the log. place: a number, or INDOORS; dli, sun_h: what the plant was used to on arrival; days_out:
    since it went out."""

    day: int
    place: int
    percent: int
    dli: float
    sun_h: float
    days_out: int


@dataclass(frozen=True, eq=False)
class Past:
    """stays: in order, the last one still going on. free: the first day on which anything new may be dated. ended: the
    log brought it in for good. out: the day it went out, as the first days' limits count. dli, sun_h: (days,
    STEPPINGS) what it is used to on each day of the planning year if it stays where it is; before it went out, its
    indoor light. urgent: it has to move as soon as it may, on a day of moving or not: it was rescued, or stands in
    more light than it is ready for or where it may not be."""

    stays: tuple[LoggedStop, ...]
    free: int
    ended: bool
    out: int
    dli: np.ndarray
    sun_h: np.ndarray
    urgent: bool

    @property
    def here(self) -> LoggedStop:
        """The stay that is going on."""
        return self.stays[-1]

    @property
    def outdoors(self) -> tuple[LoggedStop, ...]:
        """The stays outdoors."""
        return tuple(stay for stay in self.stays if stay.place != INDOORS)


def past_of(request: RouteRequest, garden: Garden) -> Past | None:
    """The past of a plant with logged stays outdoors in the planning year; None on paper."""
    last_day = len(garden.dates) - 1
    known: dict[int, tuple[int, int]] = {}
    for stay in request.stays:
        place = garden.names.index(stay.place) if stay.place in garden.names else INDOORS
        if place != INDOORS or known:
            known[min(max(garden.day(stay.date), 0), last_day)] = (place, 0 if place == INDOORS else stay.cloth)
    if not known:
        return None
    free = max(known) + 1 if request.free_from is None else max(garden.day(request.free_from), max(known))
    free = min(free, last_day)
    stays, out, dli, sun_h = _run(request, garden, known)
    here = stays[-1]
    ended = here.place == INDOORS and (request.free_from is None or garden.day(request.back_by) <= free)
    rescued = not ended and here.place == INDOORS
    urgent = rescued or here.place != INDOORS and (_over(request, garden, here.place, free) or too_much(
        request, garden, here._replace(day=free, dli=float(dli[free].min()), sun_h=float(sun_h[free].min()),
                                       days_out=free - out)))
    return Past(stays, free, ended, out, dli, sun_h, urgent)


def _over(request: RouteRequest, garden: Garden, place: int, day: int) -> bool:
    """Whether nights have closed a place to a plant; one that it went to early it may stay at."""
    span = request.spans.get(garden.names[place])
    return span is None or day >= garden.day(span[1])


def too_much(request: RouteRequest, garden: Garden, stay: LoggedStop) -> bool:
    """Whether a place is more than a plant is ready for on the day of a stay, used to what it says."""
    rule, sun_class = light_rule(), request.plant.taxon.sun
    clear, mean, sun = garden.lights(stay.place, stay.percent, stay.day)
    peak = (1 - stay.percent / 100) * float(garden.light.peak_ppfd[garden.rows[stay.place], stay.day])
    return clear > allowed_clear_dli(stay.dli) + SLACK or mean > request.plant.light_high_mol + SLACK \
        or sun > allowed_full_sun_h(stay.sun_h, stay.days_out, sun_cap_h(sun_class)) + SLACK \
        or stay.days_out < rule.first_days and sun_class in SHADE_CLASSES and peak > rule.first_peak_ppfd


def _run(request: RouteRequest, garden: Garden, known: dict[int, tuple[int, int]]) -> tuple:
    """(stays, day out, A and S by day) through what is known; a short time indoors keeps what the plant is used to."""
    rule, light = light_rule(), garden.light
    indoor = light.mean_dli[light.places.index(request.plant.place)]
    kept_dli, kept_sun = kept_shares(rule.dli_lag_days), kept_shares(rule.sun_lag_days)
    dli, sun_h = np.repeat(indoor[:, None], STEPPINGS, axis=1), np.zeros((len(indoor), STEPPINGS))
    stays: list[LoggedStop] = []
    a, s = dli[0], sun_h[0]
    place, percent, since, out = INDOORS, 0, 0, -1
    for day in range(min(known), len(indoor)):
        if day in known:
            to, cloth = known[day]
            if out < 0:
                a, s, out = dli[day], sun_h[day], day
            elif place == INDOORS and to != INDOORS and day - since > rule.hardened_days:
                out = day
            if not stays or (to, cloth) != (place, percent):
                stays.append(LoggedStop(day, to, cloth, float(a[0]), float(s[0]), day - out))
                since = day
            place, percent = to, cloth
        dli[day], sun_h[day] = a, s
        if place != INDOORS:
            row, through = garden.rows[place], 1 - percent / 100
            a = a * kept_dli + (1 - kept_dli) * through * light.mean_dli[row, day]
            s = s * kept_sun + (1 - kept_sun) * through * light.full_sun_h[row, day]
        elif day - since >= rule.hardened_days:
            a, s = a * kept_dli + (1 - kept_dli) * indoor[day], s * kept_sun
    return tuple(stays), out, dli, sun_h
