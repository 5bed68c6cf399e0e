"""Plants as rows of arrays: plants that behave alike share a row, and a row splits where room parts them."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import NamedTuple

import numpy as np

from seasonplan.decisions.acclimation import STEPPINGS, descent_days, slow_descent_days, sun_cap_h
from seasonplan.decisions.route_types import RouteRequest
from seasonplan.decisions.route_yard import Yard

INDOORS = -1
GONE_IN = -2
NEVER = 10**7
"""A day number past every plan."""


class Arrival(NamedTuple):
    """One arrival at a place. shade: share of light a cloth keeps off, 0 for none. dli, sun_h: the plant's state on
    arrival. cause: a key of route_stops.WHY. waited_from: since when it was to leave. before: the arrival before."""

    day: int
    place: int
    shade: float
    dli: float
    sun_h: float
    cause: str
    waited_from: int
    before: Arrival | None


@dataclass(frozen=True, eq=False)
class Groups:
    """What does not change, one entry per group of plants that are alike in everything the route looks at.

    opens, closes: (groups, places) days between which a place may be used (closes exclusive). indoor: row of the
    indoor place in the daylight. pots: per plant. descent: length of the autumn descent, 0 for a plant that stays out.
    logged: ((day, place), ...) of what already happened outdoors. members: request numbers, in order of plant name.
    """

    light_low: np.ndarray
    light_high: np.ndarray
    sun_cap: np.ndarray
    indoor: np.ndarray
    pots: np.ndarray
    leave: np.ndarray
    end: np.ndarray
    opens: np.ndarray
    closes: np.ndarray
    descent: np.ndarray
    logged: tuple[tuple[tuple[int, int], ...], ...]
    members: tuple[list[int], ...]
    first_request: tuple[RouteRequest, ...]


def make_groups(requests: Sequence[RouteRequest], yard: Yard) -> tuple[Groups, np.ndarray]:
    """The groups, and (requests,) the rank of each plant by name: what settles ties, whatever the order of rows."""
    by_name = sorted(range(len(requests)), key=lambda n: (requests[n].plant.name, n))
    rank = np.empty(len(requests), dtype=int)
    rank[by_name] = np.arange(len(requests))
    members: dict[tuple, list[int]] = {}
    for n in by_name:
        members.setdefault(_likeness(requests[n], yard.names), []).append(n)
    firsts = tuple(requests[m[0]] for m in members.values())
    seasons = [_season(request, yard) for request in firsts]
    opens, closes = (np.array([s[k] for s in seasons], dtype=int).reshape(len(firsts), len(yard.names)) for k in (0, 1))
    leave, end = (np.array([s[k] for s in seasons], dtype=int) for k in (2, 3))
    plants = [request.plant for request in firsts]
    groups = Groups(
        np.array([p.taxon.light_low_mol for p in plants]), np.array([p.light_high_mol for p in plants]),
        np.array([sun_cap_h(p.taxon.sun) for p in plants]),
        np.array([yard.light.places.index(p.place) for p in plants], dtype=int),
        np.array([p.count for p in plants], dtype=int), leave, end, opens, closes,
        _descents(plants, leave, end, yard), tuple(s[4] for s in seasons), tuple(members.values()), firsts)
    return groups, rank


def _likeness(request: RouteRequest, names: tuple[str, ...]) -> tuple:
    plant, taxon = request.plant, request.plant.taxon
    return (taxon.sun, taxon.light_low_mol, plant.light_high_mol, plant.place, plant.count,
            slow_descent_days(taxon.botanical), request.leave_on, request.back_by, request.stays,
            request.free_from,
            tuple(map(request.spans.get, names)))


def _season(request: RouteRequest, yard: Yard) -> tuple[list[int], list[int], int, int, tuple]:
    """(opens, closes, leave, end, logged stays) of a request, as day numbers."""
    spans = [request.spans.get(name) for name in yard.names]
    opens = [NEVER if span is None else max(yard.day(span[0]), 0) for span in spans]
    closes = [-1 if span is None else yard.day(span[1]) for span in spans]
    leave, end = yard.day(request.leave_on), yard.day(request.back_by)
    last_closing = max(closes, default=-1)
    if last_closing < end:
        end = _move_day_before(last_closing, yard)
    return (opens, closes, *_logged(request, yard, max(leave, 0), min(end, len(yard.dates))))


def _move_day_before(day: int, yard: Yard) -> int:
    """Last move day on or before a day; -1 when there is none."""
    usable = np.flatnonzero(yard.move_day[:max(day, 0) + 1])
    return int(usable[-1]) if usable.size else -1


def _logged(request: RouteRequest, yard: Yard, leave: int, end: int) -> tuple[int, int, tuple]:
    """(leave, end, stays outdoors) once the log is heard: the last time it went out counts, and a logged move to an
    indoor place ends the stay."""
    outing: list[tuple[int, int]] = []
    inside_from = None
    for stay in request.stays:
        place = stay.place
        day = min(max(yard.day(stay.date), 0), len(yard.dates) - 1)
        if place not in yard.names:
            inside_from = day if outing or day > leave else None
            continue
        if inside_from is not None:
            outing, inside_from = [], None
        outing = [stay for stay in outing if stay[0] != day] + [(day, yard.names.index(place))]
    if outing:
        leave = outing[0][0]
        end = max(end, min(int(yard.next_move[outing[-1][0]]), len(yard.dates)))
    return leave, end if inside_from is None else inside_from, tuple(outing)


def _descents(plants: Sequence, leave: np.ndarray, end: np.ndarray, yard: Yard) -> np.ndarray:
    """Days of autumn descent of each group: at most half of its stay, none for a plant that does not come in."""
    move_days = [int(d) for d in np.flatnonzero(yard.move_day)]
    known: dict[tuple[float | None, int], int] = {}
    lengths = []
    for plant, first, last in zip(plants, leave.tolist(), end.tolist(), strict=True):
        key = (slow_descent_days(plant.taxon.botanical), last)
        if key not in known:
            known[key] = 0 if last >= len(yard.dates) else descent_days(plant.taxon.botanical, last, move_days)
        lengths.append(max(min(known[key], (last - first) // 2), 0))
    return np.array(lengths, dtype=int)


class Rows:
    """The plants as they stand, one entry per row.

    group: which Groups entry. size: plants in the row; tie: rank of its first one. dli, sun_h: (rows, STEPPINGS) state.
    place: INDOORS, GONE_IN or a place. shade: cloth over it. out: day it went out. free_from: first day on which it may
    move. end: day it is in. past: the last Arrival. note: what stood in its way last, a key of route_sweep.
    """

    _arrays = ("group", "size", "tie", "dli", "sun_h", "place", "shade", "out", "free_from", "end")

    def __init__(self, groups: Groups, rank: np.ndarray):
        count = len(groups.members)
        self.rank = rank
        self.members = [list(m) for m in groups.members]
        self.past: list[Arrival | None] = [None] * count
        self.note = [""] * count
        self.group = np.arange(count)
        self.size = np.array([len(m) for m in self.members], dtype=int)
        self.tie = np.array([rank[m[0]] for m in self.members], dtype=int)
        self.dli, self.sun_h = np.zeros((count, STEPPINGS)), np.zeros((count, STEPPINGS))
        self.shade = np.zeros(count)
        self.place = np.full(count, INDOORS)
        self.out = np.zeros(count, dtype=int)
        self.free_from = np.where([bool(stays) for stays in groups.logged], NEVER, groups.leave)
        self.end = groups.end.copy()

    def split(self, row: int, keep: int) -> int:
        """Leave the first `keep` plants in the row and put the others into a new one; its number."""
        for name in self._arrays:
            values = getattr(self, name)
            setattr(self, name, np.concatenate([values, values[[row]]]))
        new = len(self.members)
        self.members.append(self.members[row][keep:])
        self.members[row] = self.members[row][:keep]
        self.past.append(self.past[row])
        self.note.append(self.note[row])
        self.size[row], self.size[new] = keep, len(self.members[new])
        self.tie[new] = self.rank[self.members[new][0]]
        return new

    def stand(self, row: int, arrival: Arrival, free_from: int) -> None:
        """Put a row at a place; one that leaves the house starts from its indoor light and no sun."""
        if self.place[row] == INDOORS:
            self.out[row] = arrival.day
            self.dli[row], self.sun_h[row] = arrival.dli, arrival.sun_h
        self.past[row] = arrival
        self.place[row], self.shade[row], self.free_from[row] = arrival.place, arrival.shade, free_from

    def go_in(self, row: int, day: int) -> None:
        """Take a row indoors before its day."""
        self.end[row], self.place[row] = day, GONE_IN

    def standing(self, day: int) -> np.ndarray:
        """(rows,) whether each stands outdoors on a day."""
        return (self.place >= 0) & (self.end > day)
