"""Work that goes from place to place: each in its own shade, one after another, in one go where the sun allows it."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import replace
from datetime import date
from typing import NamedTuple

from seasonplan.care.logbook import place_on
from seasonplan.care.sessions import Session, minutes
from seasonplan.model import PlantPlan

Span = tuple[float, float]
GRID_MIN = 5
"""Starts are tried so many minutes apart. Our setting."""


class Part(NamedTuple):
    """What is done at one place. start_min: minutes after midnight."""

    place: str
    start_min: int
    minutes: int


def lengths(stands: Sequence[tuple[str, int]], length: int) -> dict[str, int]:
    """Minutes at each place, shared out by pots; whole ones, which add up to `length`. stands: (place, pots)."""
    pots, done, told, found = sum(n for _, n in stands), 0, 0, {}
    for place, n in stands:
        done += n
        found[place] = round(length * done / max(pots, 1)) - told
        told += found[place]
    return found


def in_a_row(long: Mapping[str, int], free: Mapping[str, Sequence[Span]], begin_early: float,
             begin_late: float) -> tuple[Part, ...] | None:
    """The places one after another without a pause, each within its free time: begun before `begin_early`, else first
    after `begin_late`, else at any time; None where that cannot be. long: minutes at each place."""
    begins = {int(-(-begin // 1)) for spans in free.values() for begin, _ in spans}
    ends = [end for spans in free.values() for _, end in spans]
    if not begins or not ends:
        return None
    grid = begins | set(range(-(-min(begins) // GRID_MIN) * GRID_MIN, int(max(ends)), GRID_MIN))
    for start in sorted(grid, key=lambda at: (begin_early <= at < begin_late, at)):
        found = _from(start, long, free)
        if found is not None:
            return found
    return None


def _from(start: int, long: Mapping[str, int], free: Mapping[str, Sequence[Span]]) -> tuple[Part, ...] | None:
    """The places from a start on, always the one whose free time ends first."""
    left, parts = list(long), list[Part]()
    while left:
        ends = {place: next((end for begin, end in free[place] if begin <= start and start + long[place] <= end), None)
                for place in left}
        fits = {place: end for place, end in ends.items() if end is not None}
        if not fits:
            return None
        place = min(fits, key=lambda name: fits[name])
        parts.append(Part(place, start, long[place]))
        start += long[place]
        left.remove(place)
    return tuple(parts)


Fits = Callable[[Session, Sequence[tuple[str, int]]], bool]
"""Whether a session can go round its (place, pots) in one go."""


def split(sessions: Iterable[Session], plans: Sequence[PlantPlan], in_one_go: Fits) -> list[Session]:
    """Sprays one for each place at which their plants stand, where the sun leaves no time to go round them all in one
    go: no pest is carried from place to place. The part that holds the anchor keeps its name."""
    found: list[Session] = []
    for session in sessions:
        whole = session.job.family != "spray" or not session.job.soap or in_one_go(session, _stands(session, plans))
        found += [session] if whole else _parts(session, plans)
    names: set[tuple] = set()
    for n, session in enumerate(found):
        if (session.key, session.anchor, session.redated) in names:
            found[n] = session = replace(session, redated=True)
        names.add((session.key, session.anchor, session.redated))
    return found


def _stands(session: Session, plans: Sequence[PlantPlan]) -> list[tuple[str, int]]:
    """(place, pots) of its plants, most pots first."""
    when, pots = date.fromordinal(session.day), dict[str, int]()
    for member in session.members:
        place = place_on(plans[member], when)
        pots[place] = pots.get(place, 0) + plans[member].plant.count
    return sorted(pots.items(), key=lambda item: (-item[1], item[0]))


def _parts(session: Session, plans: Sequence[PlantPlan]) -> list[Session]:
    """A session by place, its minutes shared out by pots; the first part gets ready for all."""
    when = date.fromordinal(session.day)
    groups: dict[str, list[int]] = {}
    for member in session.members:
        groups.setdefault(place_on(plans[member], when), []).append(member)
    if len(groups) == 1:
        return [session]
    pots = sum(plans[m].plant.count for m in session.members)
    found, told, work = list[Session](), session.setup_min, float(session.setup_min)
    named = session.anchor if session.anchor in session.members else session.members[0]
    for members in groups.values():
        work += session.pots_min * sum(plans[m].plant.count for m in members) / pots
        anchor = session.anchor if named in members else members[0]
        part = minutes(0, round(work, 6)) - told
        found.append(replace(session, members=tuple(members), anchor=anchor, pots_min=part,
                             setup_min=0 if found else session.setup_min,
                             redated=session.redated and anchor == session.anchor))
        told += part
    return found
