"""Where every plant stands when, from the day it leaves the house to the day it comes back.

The way through: requests become groups of like plants (groups) with what the log brought about (past); places become a
garden of positions (garden); the light rule says what standing somewhere asks and does (light_rule); the aim says what
a good summer is (aim); a search finds the best way of every group through a list of days (search); the garden's days
of moving and cloths are chosen (shared), room is shared out (sharing), and the ways are told (stops, telling).
"""

from __future__ import annotations

from collections.abc import Sequence

from seasonplan.decisions.route.garden import make_garden
from seasonplan.decisions.route.groups import make_groups
from seasonplan.decisions.route.request import RouteRequest, RouteResult, Spans
from seasonplan.decisions.route.shared import share
from seasonplan.decisions.route.sharing import share_out
from seasonplan.decisions.route.stops import Teller
from seasonplan.model import Daylight, Place, Rules

__all__ = ["RouteRequest", "RouteResult", "Spans", "routes"]


def routes(requests: Sequence[RouteRequest], places: Sequence[Place], daylight: Daylight,
           rules: Rules) -> list[RouteResult]:
    """Routes of the whole collection, in the order of the requests.

    Every day of every stop keeps the light rule, the place's span and its room_for; the log's stays are taken as they
    are. Plants that are alike share their stops. The result does not depend on the order of the requests: equal claims
    are settled by plant name. ValueError when the daylight lacks a place.
    """
    if not requests:
        return []
    hung = {stay.cloth for request in requests for stay in request.stays}
    garden = make_garden(places, daylight, rules.move_days, hung, rules.shut)
    in_shade = rules.summer == "in-shade"
    groups = make_groups(requests, garden, in_shade)
    results = [RouteResult(())] * len(requests)
    shared = share(garden, groups, in_shade)
    teller = Teller(garden, groups, shared, in_shade)
    for one in share_out(garden, groups, shared, in_shade):
        result = teller.result(one)
        for number in one.members:
            results[number] = result
    return results
