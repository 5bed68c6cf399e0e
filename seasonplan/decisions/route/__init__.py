"""Where every plant stands when, from the day it leaves the house to the day it comes back.

The way through: requests become groups of like plants (groups) with what the log brought about (past); places become a
garden of positions (garden); the light rule says what standing somewhere asks and does (light_rule); the aim says what
a good summer is (aim); a search finds the best way of every group through a list of days (search); the garden's days
of moving and cloths are chosen (shared), room is shared out (sharing), and the ways are told (stops, telling).
"""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from seasonplan.decisions.route.garden import Garden, make_garden
from seasonplan.decisions.route.groups import Groups, make_groups
from seasonplan.decisions.route.request import RouteRequest, RouteResult, Spans
from seasonplan.decisions.route.shared import Shared, share
from seasonplan.decisions.route.sharing import may_be_full, share_out
from seasonplan.decisions.route.stops import Teller
from seasonplan.model import Daylight, Place, Rules

__all__ = ["RouteRequest", "RouteResult", "Spans", "routes", "routes_beside"]


def routes(requests: Sequence[RouteRequest], places: Sequence[Place], daylight: Daylight,
           rules: Rules) -> list[RouteResult]:
    """Routes of the whole collection, in the order of the requests.

    Every day of every stop keeps the light rule, the place's span and its room_for; the log's stays are taken as they
    are. Plants that are alike share their stops. The result does not depend on the order of the requests: equal claims
    are settled by plant name. ValueError when the daylight lacks a place.
    """
    if not requests:
        return []
    garden = _garden(requests, (), places, daylight, rules)
    groups = make_groups(requests, garden, in_shade := rules.summer == "in-shade")
    shared = share(garden, groups, in_shade)
    return _told(requests, garden, groups, shared, in_shade)


def routes_beside(requests: Sequence[RouteRequest], settled: Sequence[tuple[RouteRequest, RouteResult]],
                  places: Sequence[Place], daylight: Daylight, rules: Rules,
                  meant: Sequence[tuple[RouteRequest, RouteResult]] = ()) -> list[RouteResult]:
    """Routes of some plants beside others, whose routes stay as they are: in the room that these leave, on their days
    of moving and under their cloths as far as that does. meant: routes that were planned for the plants themselves and
    cannot be kept as they are; their days and cloths count as given, too."""
    if not requests:
        return []
    garden = _garden(requests, (*settled, *meant), places, daylight, rules)
    groups = make_groups(requests, garden, in_shade := rules.summer == "in-shade")
    taken = np.zeros((len(garden.dates), len(garden.names)), dtype=int)
    moved, cloths = set[int](), set[tuple[int, int]]()
    for request, result in settled:
        for stop in result.stops:
            place, first, last = garden.names.index(stop.place), garden.day(stop.date), garden.day(stop.until)
            taken[max(first, 0):last, place] += request.plant.count
            moved |= {first, last}
            if stop.shade is not None:
                cloths.add((place, stop.shade.percent))
    today = min((garden.day(request.free_from) for request in requests if request.free_from is not None), default=0)
    for _, result in meant:
        for stop in result.stops:
            moved |= {day for day in (garden.day(stop.date), garden.day(stop.until)) if day >= today}
            if stop.shade is not None:
                cloths.add((garden.names.index(stop.place), stop.shade.percent))
    shared = share(garden, groups, in_shade, moved=moved, cloths=sorted(cloths))
    return _told(requests, garden, groups, shared, in_shade, taken)


def _garden(requests: Sequence[RouteRequest], settled: Sequence[tuple[RouteRequest, RouteResult]],
            places: Sequence[Place], daylight: Daylight, rules: Rules) -> Garden:
    hung = {stay.cloth for request in requests for stay in request.stays}
    hung |= {stop.shade.percent for _, result in settled for stop in result.stops if stop.shade is not None}
    return make_garden(places, daylight, rules.move_days, hung, rules.shut)


def _told(requests: Sequence[RouteRequest], garden: Garden, groups: Groups, shared: Shared, in_shade: bool,
          taken: np.ndarray | None = None) -> list[RouteResult]:
    results = [RouteResult(())] * len(requests)
    teller = Teller(garden, groups, shared, in_shade)
    given = share_out(garden, groups, shared, in_shade, taken, daily=teller.daily)
    staying = [one for one in given if teller.stays_in(one)]
    if staying and may_be_full(garden, groups, taken):      # their room goes to others
        stay_in = {number for one in staying for number in one.members}
        given = staying + share_out(garden, groups, shared, in_shade, taken, stay_in, teller.daily)
    for one in given:
        result = teller.result(one)
        for number in one.members:
            results[number] = result
    return results
