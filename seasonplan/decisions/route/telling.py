"""All the words of the route: why a plant stands where it stands, and what its dates and stops do not say
themselves."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from seasonplan import wording as w
from seasonplan.decisions.route.cloth import CLOTHS_PERCENT
from seasonplan.decisions.route.light_rule import SHADE_CLASSES, allowed_clear_dli, light_rule
from seasonplan.decisions.route.past import INDOORS

if TYPE_CHECKING:
    from seasonplan.decisions.route.sharing import Given
    from seasonplan.decisions.route.stops import Arrival, Teller
    from seasonplan.model import Stop

SPOT_WORDS = ("above", "against", "along", "among", "at", "before", "behind", "below", "beneath", "beside", "between",
              "beyond", "by", "close", "in", "inside", "near", "next", "on", "opposite", "outside", "over", "under",
              "underneath")
"""First words of a place's name that describe where a spot is ("under the tree")."""
SHORT_OF = 0.95
"""A plant is said to lack light where it has less than this share of what it should have."""

NO_SHADE_HELPS = 0.99
"""A plant that finds no way in light it could have from the first day on lacks days, not shade."""

WHY = {
    "FIRST": "a gentle first place",
    "BRIGHTER": "ready for more light",
    "THINNER": "used to more light by now: a thinner cloth",
    "OPEN": "used to this light by now: the cloth comes off",
    "COVERED": "without a cloth the light here would pass what it takes",
    "RELIEVED": "a rescue from more light than it is used to: at once, whatever day of the week it is",
    "DESCENT": "runs the light down before it comes in on {end}",
    "TOO_BRIGHT": "the light at the {before} passes what it takes",
    "CROWDED": "others need the room at the {before} more from now on",
    "CLOSING": "nights: it may be at the {before} until {closes} only",
    "BETTER": "the place that suits it best in the weeks to come",
    "LOGGED": "stands here by the log",
    "LOGGED_TOO_MUCH": "stands here by the log, which is more light than it was ready for ({allowed} a day under a "
                       "clear sky, {allowed_sun} of full sun); look for bleached leaves",
}


def the(place: str) -> str:
    """A place's name made ready for an article before it: without its own, or as the spot that it describes."""
    first, _, rest = place.partition(" ")
    if rest and first.lower() in ("the", "a", "an"):
        return rest
    return f"spot {place}" if first.lower() in SPOT_WORDS else place


def why(teller: Teller, group: int, arrival: Arrival, before: Arrival | None, until: int, end: int, allowed: float,
        allowed_sun: float) -> str:
    """Why a plant goes to a place on that day, with numbers."""
    garden = teller.garden
    outdoors = before is not None and before.place != INDOORS
    old = garden.lights(before.place, before.percent, arrival.day)[1] if outdoors and before is not None else \
        float(garden.light.mean_dli[teller.groups.indoor[group], arrival.day])
    new = garden.lights(arrival.place, arrival.percent, arrival.day)[1]
    lead = WHY[arrival.cause.name].format(
        before=the(garden.names[before.place]) if outdoors and before is not None else "",
        closes=w.day(garden.date(teller.groups.closes[group, before.place])) if outdoors and before is not None and
        0 <= teller.groups.closes[group, before.place] < 10**6 else "", end=w.day(garden.date(end)),
        allowed=w.light(allowed), allowed_sun=w.hours(allowed_sun))
    cloth = f"; {arrival.percent} % shade cloth until {w.day(garden.date(until))}" if arrival.percent else ""
    spans = garden.light.sun_spans[garden.rows[arrival.place]][arrival.day]
    sun = f"direct sun {w.spans(spans)}" if spans else w.spans(())
    return f"{lead}{cloth}; {sun}; light {w.light(old).removesuffix(' mol')} -> {w.light(new)} a day"


def reason(teller: Teller, one: Given, arrivals: list[Arrival], end: int) -> str:
    """Sentences about a plant that went out; empty when there is nothing to add."""
    parts = [_no_way_on(teller, one, end), _short_of_sun(teller, one, arrivals, end),
             _short_descent(teller, one, arrivals, end)]
    return " ".join(part for part in parts if part)


def _no_way_on(teller: Teller, one: Given, end: int) -> str:
    if one.found:
        return ""
    lacks = "there is no room for it where it could go on" if one.crowded_out else "no place fits it any longer"
    return f"It comes in on {w.day(teller.garden.date(end))}: {lacks}."


def _short_of_sun(teller: Teller, one: Given, arrivals: list[Arrival], end: int) -> str:
    """That a sun plant has less than its share of light in its fifth week, or two weeks after its brightest place has
    opened to it where that is later, and of how much."""
    rule, groups, garden = light_rule(), teller.groups, teller.garden
    day = max(arrivals[0].day + int(rule.bright_within_days), one.opens + int(rule.ready_days))
    if groups.shade[one.group] or not one.found or teller.in_shade or end - arrivals[0].day < 42 or day >= end:
        return ""
    here = [a for a in arrivals if a.day <= day][-1]
    had = garden.lights(here.place, here.percent, day)[1]
    wanted = float(one.wanted[day])
    if had >= SHORT_OF * rule.bright_share * wanted:
        return ""
    when = "In its fifth week" if day == arrivals[0].day + int(rule.bright_within_days) else \
        f"On {w.day(garden.date(day))}"
    return (f"{when} it has {w.light(had)} a day of the {w.light(wanted)} that it could bear here: "
            f"{_held_back(teller, one.group)}.")


def _held_back(teller: Teller, group: int) -> str:
    """What keeps a sun plant from its share of light in its fifth week: found by letting it go alone."""
    if teller.groups.past[group] is not None:
        return "it is not ready for more by then, or others have the room"
    if teller.gets_bright(group, shared=True):
        return "others have the room"
    if not teller.gets_bright(group, shared=False):
        return "out of its room it cannot get used to more in that time"
    return "more would take further days of moving or other cloths than the garden has"


def _short_descent(teller: Teller, one: Given, arrivals: list[Arrival], end: int) -> str:
    """That it comes in out of much more light than its room has."""
    rule, groups, garden, last = light_rule(), teller.groups, teller.garden, arrivals[-1]
    if not groups.ends[one.group]:
        return ""
    light = garden.lights(last.place, last.percent, end - 1)[1]
    room = float(garden.light.mean_dli[groups.indoor[one.group], end - 1])
    if light <= rule.room_ratio * room:
        return ""
    return (f"It comes in out of {w.light(light)} a day to {w.light(room)}: its light could not be run down further. "
            "Keep it in the brightest window for some weeks.")


def too_dark_a_room(teller: Teller, group: int, last: Stop) -> bool:
    """Whether a plant comes in out of more than it should since no place that is open then is dark enough, even under
    the darkest cloth."""
    garden, groups, rule = teller.garden, teller.groups, light_rule()
    day = garden.day(last.until) - 1
    most = rule.room_ratio * float(garden.light.mean_dli[groups.indoor[group], day])
    here = garden.lights(garden.names.index(last.place), last.shade.percent if last.shade else 0, day)[1]
    darkest = [garden.lights(place, max(CLOTHS_PERCENT), day)[1] for place in
               np.flatnonzero((groups.opens[group] <= day) & (day < groups.closes[group])).tolist()]
    return bool(groups.ends[group]) and here > most and min(darkest, default=np.inf) > most


def no_gain(teller: Teller, one: Given) -> str:
    """That a plant stays in, since it would have no more light outdoors."""
    outdoors, indoors = max(teller.lights(one))
    covered = ", under a cloth," if (teller.garden.percent[one.stands[one.stands != INDOORS]] > 0).all() else ""
    return (f"Stays in: outdoors it would have{covered} {w.light(outdoors)} a day at most, and {w.light(indoors)} "
            "where it stands indoors. That is not worth carrying it out and back.")


def blocked(teller: Teller, one: Given) -> tuple[str, str]:
    """Why a plant never goes out; and of that, which shade would change it."""
    request = teller.groups.requests[one.group]
    dates = w.date_span(request.leave_on, request.back_by)
    if one.crowded_out:
        return f"No room: the outdoor places that could take it are full ({dates}).", ""
    shade = _shade_needed(teller, one.group)
    if shade is None or shade[1] > NO_SHADE_HELPS:
        return f"No outdoor place is open to it long enough between two move days ({dates}).", ""
    place, share = shade
    text = (f"Too bright: no outdoor place fits it, even under a shade cloth. A spot at the {the(place)} with "
            f"leaf_shade = {share:.2f} or less would.")
    return text, text


def _shade_needed(teller: Teller, group: int) -> tuple[str, float] | None:
    """The place that needs least shade for a plant on its first day, and the share of light to be let through."""
    rule, garden, groups = light_rule(), teller.garden, teller.groups
    day = min(int(groups.leave[group]), len(garden.dates) - 1)
    room = float(garden.light.mean_dli[groups.indoor[group], day])
    found = []
    for place in np.flatnonzero((groups.opens[group] <= day + 7) & (day < groups.closes[group])).tolist():
        clear, mean, sun = garden.lights(place, 0, day)
        peak = float(garden.light.peak_ppfd[garden.rows[place], day])
        limits = [(allowed_clear_dli(room), clear), (groups.light_high[group], mean), (rule.jump_ratio * room, mean),
                  (min(rule.first_sun_h, groups.sun_cap[group]), sun)]
        if groups.requests[group].plant.taxon.sun in SHADE_CLASSES:
            limits.append((rule.first_peak_ppfd, peak))
        found.append((min([1.0] + [limit / light for limit, light in limits if light > 0]), place))
    if not found:
        return None
    share, place = max(found, key=lambda pair: (pair[0], -pair[1]))
    return garden.names[place], share
