"""The course of treatment of a pest: which days to spray, when to look again, and so when a plant may come in.

Soap acts only while wet (MTL-SOAP), so a course is a number of sprays at the pest's interval (data/pests.csv), each on
the first work day cool enough for it, and a check after the last. A course follows what the log says was really done.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from functools import cache, partial

from seasonplan.care.figures import days
from seasonplan.care.logbook import UNKNOWN_PEST, Find, pest_names
from seasonplan.care.season import Season
from seasonplan.data import table

EPISODE = 10
"""Occurrences of one course: the first course of a plant counts from 1, the second from 11, and so on."""
LONG_WAIT_DAYS = 14
"""A first spray further off than this is bridged by wiping at the pest's interval. Our setting."""

NextDay = Callable[[int], int | None]
"""The first suitable day on or after a day; None when the year has none left."""


@dataclass(frozen=True)
class Pest:
    """A pest and the schedule against it: days between sprays and how many to plan."""

    key: str
    name: str
    gap_least: int
    gap_most: int
    count: int
    look_for: str


@cache
def pest(key: str) -> Pest:
    """A pest of data/pests.csv; the unknown one for any other name."""
    row = next(r for r in table("pests") if r["pest"] == (key if key in pest_names() else UNKNOWN_PEST))
    return Pest(row["pest"], row["name"], int(row["gap_least_days"]), int(row["gap_most_days"]), int(row["count"]),
                row["look_for"])


@dataclass(frozen=True)
class Course:
    """A course of one find. number: 1 for the first of the plant in that year. sprays, wipes: days in order; recheck:
    the check after the last of them, None when the year ends before it."""

    find: Find
    number: int
    sprays: tuple[int, ...]
    wipes: tuple[int, ...]
    recheck: int | None

    def n(self, k: int) -> int:
        """Occurrence number of its k-th spray or wipe (from 1)."""
        return (self.number - 1) * EPISODE + k


def kind_of(pest_key: str) -> str:
    """The job kind that treats a pest."""
    return f"treat-{pest(pest_key).key}"


def courses(finds: Sequence[Find], clears: Sequence[int], treated: Sequence[tuple[str, int]], workday: NextDay,
            spray_day: NextDay, known_before: bool = False) -> list[Course]:
    """A course for every find, in date order.

    clears: days of a check that found nothing: sprays after it fall away. treated: (kind, day) of sprays really done:
    the k-th of them after the find is its k-th spray, the next ones count from it. A new find of the same pest
    replaces what is left of the course before it. known_before: a course for the pest in plants.csv came first.
    """
    found = []
    for position, find in enumerate(finds):
        number = position + 1 + known_before
        kind = kind_of(find.pest)
        until = min((f.day for f in finds[position + 1:] if f.pest == find.pest), default=None)
        done = sorted(day for k, day in treated if k == kind and day >= find.day and (until is None or day < until))
        over = min((day for day in clears if day >= find.day), default=None)
        found.append(_course(find, number, done, [d for d in (until, over) if d is not None], workday, spray_day))
    return found


def _course(find: Find, number: int, done: Sequence[int], ends: Sequence[int], workday: NextDay,
            spray_day: NextDay) -> Course:
    schedule = pest(find.pest)
    sprays = _chain(find.day, schedule, done, spray_day)
    first = sprays[0] if sprays else None
    waits = first is None or first > find.day + LONG_WAIT_DAYS
    wipes = _chain(find.day, schedule, (), workday)[:schedule.count if waits else 1]
    if first is not None:
        wipes = [day for day in wipes if day <= first]
    if ends:
        sprays, wipes = ([day for day in chain if day <= min(ends)] for chain in (sprays, wipes))
    last = max((*sprays, *wipes), default=None)
    recheck = None if last is None or ends else workday(last + days("recheck_least_days"))
    return Course(find, number, tuple(sprays), tuple(wipes), recheck)


def _chain(start: int, schedule: Pest, done: Sequence[int], next_day: NextDay) -> list[int]:
    """Days of the whole series: those really done, then each on the first suitable day after the least gap."""
    chain = list(done[:schedule.count])
    while len(chain) < schedule.count:
        day = next_day(chain[-1] + schedule.gap_least if chain else start)
        if day is None:
            break
        chain.append(day)
    return chain


def next_workday(season: Season, day: int) -> int | None:
    """The first work day on or after a day."""
    return next(iter(season.workdays_in(day, season.last)), None)


def next_spray_day(season: Season, day: int) -> int | None:
    """The first work day on or after a day whose normal high allows soap."""
    return next((d for d in season.workdays_in(day, season.last) if not season.too_hot(d)), None)


def day_finders(season: Season) -> tuple[NextDay, NextDay]:
    """(next work day, next spray day) of a season."""
    return partial(next_workday, season), partial(next_spray_day, season)
