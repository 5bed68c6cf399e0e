"""Which occurrence of a job a log entry means, and so what need not be asked again."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Mapping, Sequence

from seasonplan.care.job import Job
from seasonplan.care.logbook import Done, Find, PlantLog
from seasonplan.care.sessions import Ledger, Nominal
from seasonplan.care.treatment import EPISODE
from seasonplan.model import PlantPlan

GRACE_DAYS = 3
"""What was done so shortly before a find was told belongs to it. Our setting."""


def done_ledger(plans: Sequence[PlantPlan], logs: Mapping[str, PlantLog], jobs: Sequence[Job],
                planned: Nominal) -> Ledger:
    """Real days by (kind, occurrence) and plant. planned: the sessions as they would be without what was done."""
    ledger: Ledger = defaultdict(dict)
    by_kind: dict[str, list[tuple[int, Mapping]]] = defaultdict(list)
    for (kind, n), sessions in planned.items():
        by_kind[kind].append((n, sessions))
    series = {job.kind for job in jobs if job.series}
    episodes = {job.kind for job in jobs if job.episodes}
    for member, plan in enumerate(plans):
        log = logs.get(plan.plant.name, PlantLog())
        for kind in dict.fromkeys(done.kind for done in log.done):
            entries = sorted((d for d in log.done if d.kind == kind), key=lambda d: d.day)
            days = {n: sessions[member].day for n, sessions in by_kind[kind] if member in sessions}
            if kind in series or kind in episodes:
                told = _in_series(entries, _courses(log.finds) if kind in episodes else ())
            else:
                told = _nearest(entries, days)
            for n, day in told.items():
                ledger[kind, n][member] = day
    return ledger


def _courses(finds: Sequence[Find]) -> list[tuple[int, int]]:
    """(day, first occurrence) of every course of treatment."""
    return [(find.day, number * EPISODE + 1) for number, find in enumerate(finds)]


def _in_series(entries: Sequence[Done], courses: Sequence[tuple[int, int]]) -> dict[int, int]:
    """The k-th entry of a series is its k-th time; a course of treatment counts afresh from its find, and what was done
    long before the first find belongs to none."""
    told: dict[int, int] = {}
    following, begins = 1, courses[0][0] - GRACE_DAYS if courses else 0
    courses = list(courses)
    for entry in entries:
        if entry.day < begins and entry.n is None:
            continue
        while courses and courses[0][0] <= entry.day:
            following = courses.pop(0)[1]
        n = entry.n if entry.n is not None else following
        told[n] = entry.day
        following = n + 1
    return told


def _nearest(entries: Sequence[Done], days: Mapping[int, int]) -> dict[int, int]:
    """Each entry is the occurrence planned nearest to it; the first where none is planned."""
    told: dict[int, int] = {}
    for entry in entries:
        n = entry.n
        if n is None:
            n = min(days, key=lambda k: (abs(days[k] - entry.day), k)) if days else 1
        told[n] = max(entry.day, told.get(n, entry.day))
    return told
