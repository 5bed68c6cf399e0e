"""Where every plant stands when, from the day it leaves the house to the day it comes back."""

from __future__ import annotations

from collections.abc import Sequence

from seasonplan.decisions.route_reasons import Reasons
from seasonplan.decisions.route_rows import Rows, make_groups
from seasonplan.decisions.route_stops import StopMaker
from seasonplan.decisions.route_sweep import sweep
from seasonplan.decisions.route_types import RouteRequest, RouteResult
from seasonplan.decisions.route_yard import make_yard
from seasonplan.model import Daylight, Place, Rules

__all__ = ["RouteRequest", "RouteResult", "routes"]


def routes(requests: Sequence[RouteRequest], places: Sequence[Place], daylight: Daylight,
           rules: Rules) -> list[RouteResult]:
    """Routes of the whole collection, in the order of the requests.

    Every day of every stop keeps the light rule (decisions.acclimation), the place's span and its room_for; the log's
    stays are taken as they are. Plants that are alike share their stops. The result does not depend on the order of
    the requests: equal claims are settled by plant name. ValueError when the daylight lacks a place.
    """
    if not requests:
        return []
    yard = make_yard(places, daylight, rules.move_days, rules.shut)
    groups, rank = make_groups(requests, yard)
    rows = Rows(groups, rank)
    sweep(rows, groups, yard)
    maker, reasons = StopMaker(rows, groups, yard), Reasons(rows, groups, yard)
    results = [RouteResult(())] * len(requests)
    for row, members in enumerate(rows.members):
        stops = maker.stops(row)
        result = RouteResult(stops, reasons.reason(row)) if stops else RouteResult((), blocked=reasons.blocked(row))
        for number in members:
            results[number] = result
    return results
