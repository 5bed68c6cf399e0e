"""Who stands where when there is not room for all: those who would lose most without a crowded place keep it, the
others look for their next best way with what room is left, until everybody has one."""

from __future__ import annotations

from collections.abc import Collection
from itertools import pairwise
from typing import NamedTuple

import numpy as np

from seasonplan.decisions.route.aim import Aim, make_aim
from seasonplan.decisions.route.daily import Daily, make_daily
from seasonplan.decisions.route.garden import Garden
from seasonplan.decisions.route.groups import Groups
from seasonplan.decisions.route.past import INDOORS
from seasonplan.decisions.route.search import Routes, search
from seasonplan.decisions.route.shared import Shared

NO_WAY = 1e6
"""What it counts in days when a plant has no other way: more than any way costs."""


class Given(NamedTuple):
    """One route for some plants of a group. members: request numbers. stands: (I,) positions of the garden, INDOORS
    before and after. until: the day it comes in. crowded_out: it has no route for want of room; wanted: (days,) the
    light that it could have [mol]. gave_way: it goes another way than its best, since others have the room there.
    opens: the day on which its brightest place opens to it."""

    group: int
    members: tuple[int, ...]
    stands: np.ndarray
    until: int
    found: bool
    crowded_out: bool
    wanted: np.ndarray
    gave_way: bool = False
    opens: int = 0


def share_out(garden: Garden, groups: Groups, shared: Shared, in_shade: bool,
              taken: np.ndarray | None = None, stay_in: Collection[int] = (),
              daily: Daily | None = None) -> list[Given]:
    """The routes of all plants, no place holding more pots than its room at any time. taken: (days, places) pots of
    others that stand there; stay_in: request numbers of plants that do not go out; daily: of the groups at the
    positions in use, where that is known."""
    left = np.tile(garden.room, (len(shared.days) - 1, 1))
    if taken is not None:
        left -= np.array([taken[day:until].max(axis=0, initial=0) for day, until in pairwise(shared.days.tolist())])
    daily = make_daily(garden, groups, shared.positions, in_shade) if daily is None else daily
    going = ((n, tuple(m for m in groups.members[n] if m not in stay_in)) for n in range(len(groups)))
    members = {n: plants for n, plants in going if plants}
    late = set[int]()
    given: list[Given] = []
    while members:
        numbers = sorted(members)
        plants = np.array([len(members[n]) for n in numbers])
        aim = make_aim(garden, groups.take(numbers), shared.days, shared.positions, in_shade, left,
                       daily, np.array(numbers))
        best = search(aim)
        for k, routes, row, count in _takes(aim, best, left, plants):
            number = numbers[k]
            one = _given(aim, routes, k, row, number, members[number][:count], shared)
            given.append(one._replace(gave_way=routes is not best or number in late))
            members[number] = members[number][count:]
            if not members[number]:
                del members[number]
        late |= members.keys()
    return _with_crowded(given, garden, groups, shared, in_shade)


def may_be_full(garden: Garden, groups: Groups, taken: np.ndarray | None = None) -> bool:
    """Whether all plants together would be too many for some place. taken: as for share_out."""
    room = garden.room if taken is None else garden.room - taken.max(axis=0, initial=0)
    return bool(room.min(initial=np.iinfo(int).max) < (groups.pots * groups.plants).sum())


def _takes(aim: Aim, routes: Routes, left: np.ndarray, plants: np.ndarray) -> list[tuple[int, Routes, int, int]]:
    """(group, routes, row in these, how many plants) of a round; takes their room from `left` (I, P).

    Where more is asked of a place than it holds, those who would lose most without it go first, plants that stand there
    by the log before all others; who finds no room goes its next best way if that has room.
    """
    pots, known = aim.groups.pots, np.isfinite(routes.cost)
    there = _there(aim, routes, left)
    crowded = np.einsum("gip,g->ip", there, pots * plants * known) > np.maximum(left, 0)
    squeezed = (there & crowded).any(axis=(1, 2)) & known
    found = [(k, routes, k, int(plants[k])) for k in np.flatnonzero(~squeezed).tolist()]
    left -= np.einsum("gip,g->ip", there[known & ~squeezed], (pots * plants)[known & ~squeezed])
    claims = np.flatnonzero(squeezed)
    if not claims.size:
        return found
    elsewhere = aim.take(claims)
    elsewhere.allowed[:] &= ~crowded[:, aim.place]
    other = search(elsewhere, ahead=routes.ahead[:, claims])
    loss = np.minimum(other.cost, NO_WAY) - routes.cost[claims]
    stays = np.array([past is not None for past in elsewhere.groups.past])
    ways = ((routes, there, claims), (other, _there(elsewhere, other, left), np.arange(len(claims))))
    rest = plants.copy()
    for one, at, rows in ways:
        for n in np.lexsort((claims, -loss, ~stays)).tolist():
            k, row = int(claims[n]), int(rows[n])
            asks = at[row] & (np.arange(left.shape[1]) != aim.groups.here[k])
            room = int(np.where(asks, left // pots[k], rest[k]).min()) if np.isfinite(one.cost[row]) else 0
            count = max(min(room, int(rest[k])), 0)
            if count:
                found.append((k, one, row, count))
                left -= at[row] * count * pots[k]
                rest[k] -= count
    return found


def _there(aim: Aim, routes: Routes, left: np.ndarray) -> np.ndarray:
    """(G, I, P) where each group would stand through each interval."""
    return (routes.stands[:, :, None] != INDOORS) & (aim.place[routes.stands][:, :, None] == np.arange(left.shape[1]))


def _given(aim: Aim, routes: Routes, k: int, row: int, number: int, members: tuple[int, ...], shared: Shared) -> Given:
    stands = routes.stands[row]
    return Given(number, members, np.where(stands == INDOORS, INDOORS, shared.positions[stands]),
                 int(shared.days[routes.until[row]]), bool(np.isfinite(routes.cost[row])), False,
                 aim.daily.wanted[aim.row[k]], opens=int(aim.daily.opens[aim.row[k]]))


def _with_crowded(given: list[Given], garden: Garden, groups: Groups, shared: Shared, in_shade: bool) -> list[Given]:
    """Tell of those without a route whether room is all that they lack."""
    stuck = [n for n, one in enumerate(given) if not one.found]
    if not stuck:
        return given
    aim = make_aim(garden, groups.take([given[n].group for n in stuck]), shared.days, shared.positions, in_shade)
    for n, cost in zip(stuck, search(aim).cost.tolist(), strict=True):
        given[n] = given[n]._replace(crowded_out=np.isfinite(cost))
    return given
