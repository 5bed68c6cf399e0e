"""Who is due together: needs of single cases become windows of days, and windows that agree become one session's work.

Plants are positions in plants.csv order; days are whole numbers.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace

from seasonplan.care.cases import Case
from seasonplan.care.job import Cannot, Due, Job
from seasonplan.care.season import Season

MERGE_DAYS = 7
"""Windows whose best days lie within so many days of each other may share a session; nobody waits longer than that for
the others. Our setting."""
OVERLAP_DAYS = 7
"""Days that such windows must have in common, fewer where one of them is shorter. Our setting."""
SAFETY_WEEK = 6
LOOK_BACK = 8
"""So many batches back a window looks for company. Our setting."""

Key = tuple[str, int]
"""(kind, occurrence)."""
Ledger = dict[Key, dict[int, int]]
"""Day on which a plant gets (or got) an occurrence of a kind."""


@dataclass(frozen=True)
class Need:
    """A due thing of one case."""

    job: Job
    due: Due
    case: Case


@dataclass(frozen=True)
class Refusal:
    """Plants that get no session, and why. last: the last day of its time, None where it has none. spare: they may go
    without it this year."""

    kind: str
    members: tuple[int, ...]
    reason: str
    remedy: str
    last: int | None = None
    spare: bool = False


@dataclass(frozen=True)
class Window:
    """Plants that are due within the same days. inside: they stand indoors then; the rest as in Due."""

    first: int
    last: int
    ideal: int
    members: tuple[int, ...]
    exact: bool = False
    warm: bool = False
    optional: bool = False
    inside: bool = False
    avoid: tuple[int, ...] = ()
    barred: tuple[tuple[int, int], ...] = ()
    spare: bool = False
    earlier: bool = False

    def holds(self, day: int) -> bool:
        return self.first <= day <= self.last and not any(first <= day <= last for first, last in self.barred)


@dataclass(frozen=True)
class Session:
    """A step to be: its plants, its day and why that is allowed. anchor: the plant that names it (-1: all of them).

    setup_min: getting ready that it pays for on its day; pots_min: its pots' minutes. forced: it was put on a day
    without room for it; over_min: minutes by which that day runs over in the end. redated: the log has split it off
    from its anchor's session. inside: its plants are indoors. open_since: the day it was due, where it has not been
    done. spare: it may be left out this year. earlier: it goes on from the planning year before.
    """

    job: Job
    n: int
    anchor: int
    members: tuple[int, ...]
    day: int
    due: tuple[int, int]
    setup_min: int
    pots_min: float
    forced: bool = False
    over_min: int = 0
    redated: bool = False
    inside: bool = False
    open_since: int | None = None
    spare: bool = False
    earlier: bool = False

    @property
    def key(self) -> Key:
        return self.job.kind, self.n

    @property
    def minutes(self) -> int:
        return minutes(self.setup_min, self.pots_min)


def united(sessions: Iterable[Session]) -> list[Session]:
    """Sessions of one kind and occurrence that fell on one day put together, named by the first plant of all."""
    found: dict[tuple, Session] = {}
    for session in sessions:
        where = (session.key, session.day, session.inside, session.earlier)
        found[where] = _united(found[where], session) if where in found else session
    return list(found.values())


def _united(one: Session, two: Session) -> Session:
    return replace(one, anchor=min(one.anchor, two.anchor), members=tuple(sorted((*one.members, *two.members))),
                   due=(max(one.due[0], two.due[0]), min(one.due[1], two.due[1])),
                   setup_min=one.setup_min + two.setup_min, pots_min=one.pots_min + two.pots_min,
                   forced=one.forced or two.forced, spare=one.spare and two.spare)


def minutes(setup_min: float, pots_min: float) -> int:
    """Whole minutes of a session, rounded up."""
    return int(-(-(setup_min + pots_min) // 1))


def collect(jobs: Sequence[Job], cases: Sequence[Case]) -> tuple[dict[Key, list[Need]], list[Refusal]]:
    """Everything due, in the order of the registry and then of occurrences; and what cannot be."""
    needs: dict[Key, list[Need]] = {}
    refused: list[Refusal] = []
    for job in jobs:
        found: dict[int, list[Need]] = {}
        for case in cases:
            for due in job.due(case):
                if isinstance(due, Cannot):
                    refused.append(Refusal(job.kind, case.members, due.reason, due.remedy))
                else:
                    found.setdefault(due.n, []).append(Need(job, due, case))
        needs.update(((job.kind, n), found[n]) for n in sorted(found))
    return dict(sorted(needs.items(), key=lambda item: _is_spare(item[1]))), refused


def _is_spare(needs: Sequence[Need]) -> bool:
    """Whether a kind's occurrence may be left out for every plant: then it is placed when all else has its day."""
    return all(need.job.spare or need.due.spare for need in needs)


def windows(needs: Iterable[Need], season: Season, ledger: Ledger, without: Iterable[int]) -> list[Window]:
    """Windows of one kind and occurrence, clipped to the year, equal ones as one; plants in `without` are left out."""
    without = frozenset(without)
    found: dict[tuple, list[int]] = {}
    for need in needs:
        members: Sequence[int] = need.case.members
        if without:
            members = [m for m in members if m not in without]
        for span, plants in _spans(need.due, members, ledger):
            window = _window(need, span, season)
            if window is not None:
                found.setdefault(window, []).extend(plants)
    return [Window(first, last, ideal, tuple(sorted(plants)), *rest)
            for (first, last, ideal, *rest), plants in found.items()]


Span = tuple[int, int, int, tuple[tuple[int, int], ...]]
"""(first, last, ideal) day, and the (first, last) of days between them that are barred by what comes before."""


def _spans(due: Due, members: Sequence[int], ledger: Ledger) -> Iterable[tuple[Span, Sequence[int]]]:
    """The days of plants after what must come before, one for each set of plants with the same days."""
    if not due.after:
        return [((due.first, due.last, due.ideal, ()), members)] if members else []
    before = [ledger.get((after.kind, after.n), {}) for after in due.after]
    alike: dict[tuple, list[int]] = {}
    for member in members:
        alike.setdefault(tuple([days.get(member) for days in before]), []).append(member)
    groups: dict[Span, list[int]] = {}
    for days_before, plants in alike.items():
        span = _span(due, days_before)
        if span is not None:
            groups.setdefault(span, []).extend(plants)
    return groups.items()


def _span(due: Due, before: Sequence[int | None]) -> Span | None:
    """The days of a plant, given the days of what comes before it; None where that is needed and missing."""
    first, last, ideal, barred = due.first, due.last, due.ideal, list[tuple[int, int]]()
    for after, day in zip(due.after, before, strict=True):
        if day is None:
            if after.needed:
                return None
            continue
        if after.soft and day + after.least > last:
            continue
        if after.pause:
            barred.append((day, day + after.least - 1))
            continue
        first = max(first, day + after.least)
        last = last if after.most is None else min(last, day + after.most)
        ideal = ideal if after.best is None else day + after.best
    return first, last, ideal, tuple(barred)


def _window(need: Need, span: Span, season: Season) -> tuple | None:
    """The fields of a window but its members; None where it lies outside the year, or the plant's days here, and may be
    left out."""
    due, gone, begun, ends = need.due, need.case.gone, max(season.first, need.case.joined or 0), season.last
    if need.job.any_time:
        begun, ends = season.opens, season.closes
        if span[1] < begun and season.today is None:
            return None
    first, last = max(span[0], begun), min(span[1], ends if gone is None else gone - 1)
    if span[0] > ends or gone is not None and first >= gone:
        return None
    if season.today is not None and not need.job.is_reminder:
        if max(first, last) < season.today:
            if season.today > max(first, last) + need.job.late_days:
                return None
            single = due.exact and first == last
            last = season.today if single else max(first, last) + need.job.late_days
        first = max(first, season.today)
        if need.job.late_days and not season.workdays_in(first, last) and not (due.exact and first == last):
            last += need.job.late_days
    if span[1] < begun:
        if not need.job.safety:
            return None
        last = first + SAFETY_WEEK
    if gone is not None:
        last = min(last, gone - 1)
        if first > last:
            return None
    ideal = min(max(span[2], first), max(last, first))
    return (first, last, ideal, due.exact, due.warm, due.optional, not need.case.outdoors(ideal), due.avoid,
            (*due.barred, *span[3]), due.spare or need.job.spare, due.earlier)


def merged(found: Iterable[Window], pots: Sequence[int], pot_min: float, limit_min: float) -> list[Window]:
    """Windows put together where they agree, so long as the work fits into `limit_min`; in order of their best days."""
    batches: list[_Batch] = []
    for window in sorted(found, key=lambda w: (w.inside, w.ideal, w.first, w.last, w.members[0])):
        work = pot_min * sum(pots[m] for m in window.members)
        batch = next((b for b in batches[:-LOOK_BACK - 1:-1]
                      if b.work_min + work <= limit_min and _agree(b, window)), None)
        if batch is None:
            batches.append(_Batch(window, window.first, window.last, [window], work))
        else:
            batch.first, batch.last = max(batch.first, window.first), min(batch.last, window.last)
            batch.parts.append(window)
            batch.work_min += work
    return [_common(batch.parts) for batch in batches]


@dataclass
class _Batch:
    """Windows on their way to one session: the first of them, the days all have in common, their work."""

    lead: Window
    first: int
    last: int
    parts: list[Window]
    work_min: float


def _agree(batch: _Batch, two: Window) -> bool:
    one = batch.lead
    if (one.inside, one.exact, one.warm, one.optional, one.barred, one.earlier) != (
            two.inside, two.exact, two.warm, two.optional, two.barred, two.earlier):
        return False
    if max(abs(one.ideal - two.ideal), two.first - one.ideal) > MERGE_DAYS:
        return False
    if one.exact:
        return (batch.first, batch.last) == (two.first, two.last)
    overlap = min(batch.last, two.last) - max(batch.first, two.first) + 1
    shorter = min(batch.last - batch.first, two.last - two.first) + 1
    return overlap >= min(OVERLAP_DAYS, shorter)


def _common(parts: Sequence[Window]) -> Window:
    """Windows as one: the days all of them hold, the best day of the first."""
    first, last = max(p.first for p in parts), min(p.last for p in parts)
    lead = parts[0]
    return replace(lead, first=first, last=last, ideal=min(max(lead.ideal, first), last),
                   members=tuple(sorted(m for part in parts for m in part.members)),
                   avoid=tuple(sorted({day for part in parts for day in part.avoid})),
                   barred=tuple(sorted({span for part in parts for span in part.barred})),
                   spare=all(part.spare for part in parts))


def held(found: Iterable[Window], day: int) -> int:
    """Plants whose window holds a day."""
    return sum(len(w.members) for w in found if w.holds(day))


def joint(found: Sequence[Window], day: int) -> tuple[Window, list[Window]]:
    """The windows that hold a day as one, and the others."""
    return _common([w for w in found if w.holds(day)]), [w for w in found if not w.holds(day)]


Nominal = Mapping[Key, Mapping[int, Session]]
"""Sessions of an earlier levelling, by key and plant."""
