"""Days on which plants could move together: as few waves out and in as do well, and the steps that follow or lead to
each.

This is where the choice of a garden's days of moving begins (shared): a wave out, a step a week for five weeks after
it, steps in the last three weeks before a wave in, and a day now and then between.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from itertools import combinations, pairwise

import numpy as np

from seasonplan.decisions.route.garden import Garden
from seasonplan.decisions.route.groups import Groups

CLIMB_DAYS = (0, 7, 14, 21, 28, 35)
"""After a wave has gone out, days on which its plants may want to go on."""
DESCENT_DAYS = (21, 14, 7, 0)
"""The same before a wave comes in."""
QUIET_DAYS = 42
"""Between these a day now and then, since the sun's path changes."""
MOST_WAVES = 3
BUSY_DAYS = 35
"""So long after plants may go out and before they must be in, a day of moving may come every APART_DAYS, else every
QUIET_APART_DAYS."""
APART_DAYS, QUIET_APART_DAYS = 5, 13


def begins(groups: Groups) -> list[int]:
    """The first day on which each group may decide anything, of those that still may."""
    return [int(leave) if past is None else past.free for leave, past in
            zip(groups.leave.tolist(), groups.past, strict=True) if past is None or not past.ended]


def outs(groups: Groups, weight: np.ndarray) -> list[list[int]]:
    """Days on which plants could go out in one wave, two or three."""
    on = np.array([past is None or not past.ended for past in groups.past], dtype=bool)
    return [cluster(begins(groups), weight[on], count, max) for count in range(1, MOST_WAVES + 1)]


def ins(groups: Groups, weight: np.ndarray) -> list[list[int]]:
    """Days on which plants could come in in one wave, two or three."""
    ends = groups.ends
    return [cluster(groups.back[ends].tolist(), weight[ends], count, min) for count in range(1, MOST_WAVES + 1)]


def cluster(days: Sequence[int], weight: np.ndarray, count: int, end: Callable[[Sequence[int]], int]) -> list[int]:
    """Days parted into at most so many runs, each known by its last day (`end` = max) or its first (min), so that the
    least weight of days lies between each and its run's."""
    known = sorted(set(days))
    if not known:
        return []
    load = dict.fromkeys(known, 0.0)
    for day, pots in zip(days, weight.tolist(), strict=True):
        load[day] += pots
    best: tuple[float, list[int]] = (np.inf, [])
    for cuts in combinations(range(1, len(known)), min(count, len(known)) - 1):
        runs = [known[a:b] for a, b in pairwise((0, *cuts, len(known)))]
        waiting = sum(load[day] * abs(end(run) - day) for run in runs for day in run)
        best = min(best, (waiting, [end(run) for run in runs]))
    return best[1]


def with_steps(garden: Garden, groups: Groups, out: Sequence[int], back: Sequence[int]) -> np.ndarray:
    """Move days of waves and of the steps that belong to them, and the last day of all."""
    days = {day + step for day in out for step in CLIMB_DAYS} | {day - step for day in back for step in DESCENT_DAYS}
    if out:
        days |= set(range(out[0] + CLIMB_DAYS[-1] + QUIET_DAYS, len(garden.dates), QUIET_DAYS))
    return listed(garden, groups, [garden.move_after(day) for day in days if 0 <= day < len(garden.dates)])


def candidates(garden: Garden, groups: Groups) -> np.ndarray:
    """Every move day that could matter, thinned out, and the last day of all."""
    firsts = begins(groups)
    starts, backs = sorted(set(firsts)), sorted(set(groups.back[groups.ends].tolist()))
    found: list[int] = []
    for day in np.flatnonzero(garden.move_day).tolist():
        busy = any(b <= day <= b + BUSY_DAYS for b in starts) or any(b - BUSY_DAYS <= day <= b for b in backs)
        if starts and day >= starts[0] and (not found or day - found[-1] >= (APART_DAYS if busy else QUIET_APART_DAYS)):
            found.append(day)
    return listed(garden, groups, found)


def listed(garden: Garden, groups: Groups, days: Sequence[int]) -> np.ndarray:
    """Days within the season of some group, with those on which a plant has to move at once; two at least."""
    urgent = [past.free for past in groups.past if past is not None and past.urgent and not past.ended]
    year, last = len(garden.dates), int(groups.back.max(initial=0))
    found = {day for day in (*days, *urgent) if day <= last and day < year} | (set() if groups.ends.all() else {year})
    return np.array(sorted(found) if len(found) > 1 else [0, year], dtype=int)

