"""The course of treatment of a pest: which days to spray, when to look again, and so when a plant may come in.

Soap acts only while wet (MTL-SOAP), so a course is a number of sprays at the pest's interval (data/pests.csv), each on
the first work day cool enough for it, and a check after the last. A course follows what the log says was really done.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from functools import cache, partial

from seasonplan.care.figures import days
from seasonplan.care.logbook import UNKNOWN_PEST, Find, is_listed, pest_names
from seasonplan.care.season import Season
from seasonplan.data import table

EPISODE = 10
"""Occurrences of one course: the first course of a plant counts from 1, the second from 11, and so on."""
LONG_WAIT_DAYS = 14
"""A first spray further off than this is bridged by wiping at the pest's interval. Our setting."""

SHARED_DAYS = 1
"""A spray may be so many days later where its day is full. Our setting."""
WEEKLY = 7
"""Days between sprays wherever a pest's interval allows it, so that one session a week serves all of them: a weekly
spray suits every interval of data/pests.csv. Our setting."""

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
    """A course of one find. number: 1 for the first of the plant in that year. pests: those it is against, the found
    one and those whose course was still running then. sprays, wipes: days in order; recheck: the check after the last
    of them, None when the year ends before it. goes_on: another was running, so the plant stands apart already."""

    find: Find
    number: int
    pests: tuple[str, ...]
    sprays: tuple[int, ...]
    wipes: tuple[int, ...]
    recheck: int | None
    goes_on: bool = False

    @property
    def end(self) -> int:
        """Its last day."""
        return max((self.find.day, *self.sprays, *self.wipes, self.recheck or 0))

    def until(self, day: int) -> Course:
        """The course cut short after a day, with no check at its end."""
        sprays, wipes = (tuple(d for d in chain if d <= day) for chain in (self.sprays, self.wipes))
        return replace(self, sprays=sprays, wipes=wipes, recheck=None)

    @property
    def gap(self) -> int:
        """The least days between two sprays."""
        return max(pest(key).gap_least for key in self.pests)

    def n(self, k: int) -> int:
        """Occurrence number of its k-th spray or wipe (from 1)."""
        return (self.number - 1) * EPISODE + k


def courses(finds: Sequence[Find], clears: Sequence[int], treated: Sequence[int], workday: NextDay, spray_day: NextDay,
            wiped: Sequence[int] = (), checked: Sequence[int] = ()) -> list[Course]:
    """A course for every find, in date order: a pest of plants.csv is found on the day since which the plan knows of
    it.

    clears: days of a check that found nothing: sprays after it fall away. treated, wiped: days on which it was really
    sprayed or wiped: the k-th of them after the find is its k-th, the next ones count from it. checked: days on which
    the check at the end was really made. A find while a course is running begins a new one against both pests, which
    takes the place of what is left of the other: a spray reaches whatever sits on the plant, so the next one waits
    until as long after the last as either pest's schedule has between two.
    """
    found: list[Course] = []
    running: tuple[str, ...] = ()
    last = None
    for position, find in enumerate(finds):
        following = finds[position + 1].day if position + 1 < len(finds) else None
        done, by_hand = (sorted(day for day in days if day >= find.day and (following is None or day < following))
                         for days in (treated, wiped))
        over = min((day for day in clears if day >= find.day), default=None)
        whole = _course(find, position + 1, tuple(dict.fromkeys((find.pest, *running))), done, by_hand, checked,
                        workday, spray_day, last)
        course = replace(whole if over is None else whole.until(over), goes_on=bool(running))
        running = course.pests if following is not None and course.end >= following else ()
        found.append(course.until(following - 1) if running and following is not None else course)
        last = max(found[-1].sprays, default=last) if running else None
    return found


def all_finds(listed: str, since: int, finds: Sequence[Find]) -> tuple[Find, ...]:
    """Finds of the log, and before them the pest that plants.csv names, found on the day since which it is known; not
    where the log reports the same."""
    if not is_listed(listed, since, finds):
        return tuple(finds)
    return tuple(sorted([Find(since, listed), *finds]))


def _course(find: Find, number: int, pests: tuple[str, ...], done: Sequence[int], wiped: Sequence[int],
            checked: Sequence[int], workday: NextDay, spray_day: NextDay, last_spray: int | None) -> Course:
    schedules = [pest(key) for key in pests]
    gap, count = max(s.gap_least for s in schedules), max(s.count for s in schedules)
    if gap < WEEKLY <= min(s.gap_most for s in schedules):
        gap = WEEKLY
    sprays = _chain(find.day if last_spray is None else max(find.day, last_spray + gap), gap, count, done, spray_day)
    first = sprays[0] if sprays else None
    waits = first is None or first > max(find.day, workday(find.day) or 0) + LONG_WAIT_DAYS
    wipes = _chain(find.day, gap, count, wiped, workday) if waits else []
    if first is not None:
        wipes = [day for day in wipes if day <= first]
    last = max((*sprays, *wipes), default=None)
    recheck = None if last is None else min((day for day in checked if day >= last), default=None) or workday(
        last + SHARED_DAYS + days("recheck_least_days"))
    return Course(find, number, pests, tuple(sprays), tuple(wipes), recheck)


def _chain(start: int, gap: int, count: int, done: Sequence[int], next_day: NextDay) -> list[int]:
    """Days of the whole series: those really done, then each on the first suitable day after the least gap."""
    chain = list(done[:count])
    while len(chain) < count:
        day = next_day(chain[-1] + gap if chain else start)
        if day is None:
            break
        chain.append(day)
    return chain


def next_workday(season: Season, day: int) -> int | None:
    """The first work day on or after a day."""
    return next(iter(season.workdays_in(day, season.closes)), None)


def next_spray_day(season: Season, day: int) -> int | None:
    """The first work day on or after a day whose normal high allows soap."""
    return next((d for d in season.workdays_in(day, season.closes) if not season.too_hot(d)), None)


def day_finders(season: Season) -> tuple[NextDay, NextDay]:
    """(next work day, next spray day) of a season."""
    return partial(next_workday, season), partial(next_spray_day, season)
