"""A year without seasons: every place has the same light every day, so that what a route does can be worked out by
hand."""

from __future__ import annotations

from datetime import date, timedelta
from typing import Any

import numpy as np
from invented import make_plant, make_taxon, stays_of

from seasonplan.dates import planning_days
from seasonplan.decisions.route import RouteRequest, RouteResult
from seasonplan.decisions.route.garden import Garden, make_garden
from seasonplan.decisions.route.groups import make_groups
from seasonplan.decisions.route.past import INDOORS
from seasonplan.decisions.route.shared import Shared
from seasonplan.decisions.route.sharing import Given
from seasonplan.decisions.route.stops import Teller
from seasonplan.model import Daylight, Place

DATES = planning_days(2027, 44.5)
ROOM = "room"
OUT, BACK = date(2027, 5, 1), date(2027, 9, 25)
"""Both are Saturdays."""
KINDS = {"sun": (12.0, 45.0), "part-sun": (5.0, 20.0), "shade": (3.0, 10.0), "deep-shade": (2.0, 5.0)}


def flat_places(rooms: dict[str, int | None], indoors: tuple[str, ...] = (ROOM,)) -> tuple[Place, ...]:
    """Outdoor places, by name with their room_for, behind the indoor ones."""
    return (*(Place(name, "indoor") for name in indoors),
            *(Place(name, "outdoor", room_for=room) for name, room in rooms.items()))


def flat_light(mean: dict[str, float], sun_h: dict[str, float] | None = None, clear: float = 1.6,
               peak: float = 30.0) -> Daylight:
    """Mean light [mol] and full-sun hours by place, indoor places too; clear-sky light and peak are so many times the
    mean."""
    sun = np.array([(sun_h or {}).get(name, 0.0) for name in mean])[:, None] * np.ones((1, len(DATES)))
    light = np.array(list(mean.values()))[:, None] * np.ones((1, len(DATES)))
    spans = tuple(tuple(((480, 480 + int(60 * h)),) if h else () for h in row) for row in sun)
    top = np.full(len(DATES), max(mean.values()))
    return Daylight(DATES, tuple(mean), clear * light, light, sun, sun, peak * light, spans, np.full(len(DATES), 360.0),
                    np.full(len(DATES), 1200.0), clear * top, top)


def flat_garden(mean: dict[str, float], rooms: dict[str, int | None] | None = None, move_days: tuple[str, ...] = (),
                hung: tuple[int, ...] = (), shut: frozenset[date] = frozenset(), **light) -> Garden:
    """The garden of those places; `room` is indoors."""
    places = flat_places(rooms if rooms is not None else {name: None for name in mean if name != ROOM})
    return make_garden(places, flat_light(mean, **light), move_days, hung, shut)


def ask(name: str = "Plant one", kind: str = "sun", places: tuple[str, ...] = ("lawn",), out: date = OUT,
        back: date = BACK, stays=(), free_from: date | None = None, **given) -> RouteRequest:
    """A plant that may stand at places from a day out to a day back. given: of the request, count, botanical, place and
    light_high_mol of the plant."""
    low, high = KINDS[kind]
    taxon = make_taxon(sun=kind, light_low_mol=low, light_high_mol=high,
                       botanical=given.pop("botanical", "Inventia prima"))
    plant = make_plant(name, taxon=taxon, count=given.pop("count", 1), place=given.pop("place", ROOM),
                       light_high_mol=given.pop("light_high_mol", high))
    spans = given.pop("spans", dict.fromkeys(places, (out, back)))
    return RouteRequest(plant, spans, out, back, stays_of(stays), free_from, **given)


def days(count: int, since: date = OUT) -> date:
    """A day so many days after a day."""
    return since + timedelta(days=count)


def one_way(garden: Garden, request: RouteRequest, *arrivals: tuple[int, str | None, int], until: int = 147,
            in_shade: bool = False, found: bool = True, crowded_out: bool = False, wanted: float = 45.0,
            **known: Any) -> RouteResult:
    """What is told of a way of our own making. arrivals: (days after OUT, place or None for indoors, cloth)."""
    groups = make_groups([request], garden, in_shade)
    start = garden.day(OUT)
    listed = np.array(sorted({start + day for day, _, _ in arrivals} | {start, start + until}))
    stands = np.full(len(listed) - 1, INDOORS)
    for day, place, cloth in sorted(arrivals):
        stands[listed[:-1] >= start + day] = INDOORS if place is None else garden.position(
            garden.names.index(place), cloth)
    shared = Shared(listed, np.arange(len(garden.place)))
    given = Given(0, (0,), stands, start + until, found, crowded_out, np.full(len(garden.dates), wanted), **known)
    return Teller(garden, groups, shared, in_shade).result(given)
