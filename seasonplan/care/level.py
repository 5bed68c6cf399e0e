"""Levelling: sessions onto work days within the minutes of a day.

Kinds are placed in the order of the registry (safety first), each on the allowed day nearest its best one that has
room; work that no day can take whole is spread over several; what then is left is refused, with what it would take.
Only a job that protects something may make a day run over, and says so.

After the log has been read the same is done again, but every plant keeps the day it had wherever the rules still allow
it, so that what the log does not touch does not move.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field, replace
from datetime import date

from seasonplan import wording as w
from seasonplan.care.figures import figure
from seasonplan.care.job import Job
from seasonplan.care.season import Season
from seasonplan.care.sessions import (
    Key,
    Ledger,
    Need,
    Nominal,
    Refusal,
    Session,
    Window,
    held,
    joint,
    merged,
    minutes,
    united,
    windows,
)
from seasonplan.care.treatment import EPISODE

FAMILY_DAYS = 4
"""A day on which the same tools are out already counts as so many days nearer. Our setting."""
AVOID_DAYS = 30
"""A day in the week of something to be avoided counts as so many days further off. Our setting."""
AVOID_WITHIN = 6
JOIN_DAYS = 14
"""Work that has a day alone joins other work with the same tools up to so many days off, where its time allows it. Our
setting."""
ELSEWHERE_DAYS = 21
"""A day on which the person is in another garden, and not in this one, counts as so many days further off. Our
setting."""
SESSION_SHARE = 0.75
"""Plants are put together into one session up to this share of a day's minutes. Our setting."""
PIECE_LEAST_MIN = 15
"""Work is not split into pieces shorter than this. Our setting."""


@dataclass
class Board:
    """Minutes left on each work day, and which tools are out on it. Minutes may fall below zero for safety's sake.

    travel_min: the way to this garden, which the first thing done there on a day costs. elsewhere: days on which the
    same person is in another garden. visits: things done in this garden on each day.
    """

    limit_min: int
    used_min: dict[int, int] = field(default_factory=lambda: defaultdict(int))
    families: dict[tuple[int, str], int] = field(default_factory=lambda: defaultdict(int))
    travel_min: int = 0
    elsewhere: frozenset[int] = frozenset()
    visits: dict[int, int] = field(default_factory=lambda: defaultdict(int))

    def free(self, day: int) -> int:
        way = self.travel_min if self.travel_min and not self.visits[day] else 0
        return self.limit_min - self.used_min[day] - way

    def setup(self, job: Job, day: int) -> int:
        """Minutes of getting ready that a job still costs on a day."""
        return 0 if self.families[day, job.family] else job.setup_min

    def book(self, session: Session, sign: int = 1) -> None:
        """Enter a session, or with sign -1 take it off again."""
        if not session.job.is_reminder:
            self.go(session.day, session.minutes, sign)
            self.families[session.day, session.job.family] += sign

    def go(self, day: int, minutes: int, sign: int = 1) -> None:
        """Enter minutes of this garden on a day, with the way to it for the first of them."""
        was = bool(self.visits[day])
        self.visits[day] += sign
        self.used_min[day] += sign * minutes + self.travel_min * (bool(self.visits[day]) - was)


@dataclass
class Leveller:
    """One levelling of a season. pots: pots of each plant; nominal: sessions to keep where the rules still allow them;
    done: real days by key and plant, from the log."""

    season: Season
    pots: Sequence[int]
    board: Board
    nominal: Nominal = field(default_factory=dict)
    done: Ledger = field(default_factory=dict)
    ledger: Ledger = field(default_factory=lambda: defaultdict(dict))
    sessions: list[Session] = field(default_factory=list)
    refused: list[Refusal] = field(default_factory=list)
    placed: dict[Session, Window] = field(default_factory=dict)

    def run(self, needs: dict[Key, list[Need]]) -> None:
        """Place everything; results are in `sessions`, `refused` and `ledger`."""
        for key, real in self.done.items():
            self.ledger[key].update(real)
        for key in needs:
            for session in self._had(key):
                self.board.book(session)
        for key, found in needs.items():
            self._place_key(key, found)
        if not self.nominal:
            self.sessions = united(self.sessions)
        self._pay()
        self.sessions = [replace(s, over_min=max(-self.board.free(s.day), 0)) if s.forced else s for s in self.sessions]

    def _pay(self) -> None:
        """Getting ready is paid on every day with such work, also where the session that paid for it has moved away."""
        paid = {(s.day, s.job.family) for s in self.sessions if s.setup_min}
        for n, session in enumerate(self.sessions):
            where = session.day, session.job.family
            if session.job.setup_min and where not in paid:
                self.sessions[n] = replace(session, setup_min=session.job.setup_min)
                self.board.used_min[session.day] += session.job.setup_min
                paid.add(where)

    def _had(self, key: Key) -> list[Session]:
        """The earlier sessions of a key, each once, in the order they were made."""
        return list({id(s): s for s in self.nominal.get(key, {}).values()}.values())

    def _place_key(self, key: Key, needs: list[Need]) -> None:
        job = needs[0].job
        over = {m for (kind, n), real in self.done.items() if kind == key[0] and n >= key[1] for m in real
                if not job.episodes or (n - 1) // EPISODE == (key[1] - 1) // EPISODE}
        found = windows(needs, self.season, self.ledger, over)
        for session in self._had(key):
            self.board.book(session, -1)
        if key in self.nominal:
            found = self._keep(job, key, found)
        if job.whole:
            left = self._place_whole(job, key, found)
        else:
            limit = SESSION_SHARE * self.board.limit_min - job.setup_min
            batches = merged(found, self.pots, job.pot_min, limit)
            left = [(batch, self._place(job, key, batch)) for batch in batches]
        if not (job.is_reminder or job.soap or job.no_sun and job.safety):
            self._join(job)
        self._refuse_minutes(job, [(window, members) for window, members in left if members])

    def _keep(self, job: Job, key: Key, found: list[Window]) -> list[Window]:
        """Enter again what may stay where it was; the windows of those that may not."""
        had = self.nominal[key]
        stay: dict[int, list[int]] = defaultdict(list)
        rest = []
        for window in found:
            days = self._days(job, window)
            allowed = set(days[:1] if window.exact else days)
            moved = []
            for member in window.members:
                session = had.get(member)
                if session is not None and session.day in allowed:
                    stay[id(session)].append(member)
                else:
                    moved.append(member)
            if moved and not (job.whole and window.optional):
                rest.append(replace(window, members=tuple(moved)))
        for session in self._had(key):
            if stay[id(session)]:
                members = tuple(sorted(stay[id(session)]))
                self._enter(replace(session, members=members, pots_min=self._work(job, members)))
        return rest

    def _work(self, job: Job, members: Iterable[int]) -> float:
        return job.pot_min * sum(self.pots[m] for m in members)

    def _days(self, job: Job, window: Window) -> tuple[int, ...]:
        """Days of a window on which the job may be done, rising."""
        if window.exact and window.first == window.last:
            return (self.season.open_day(window.first, not job.any_time) if self.season.shut else window.first,)
        days = self.season.workdays_in(window.first, window.last, past=job.is_reminder)
        if job.soap and self.season.ever_too_hot:
            days = tuple(d for d in days if not self.season.too_hot(d))
        if window.barred:
            days = tuple(d for d in days if window.holds(d))
        if window.warm:
            days = tuple(d for d in days if not self.season.cool(d))
        return days

    def _cost(self, job: Job, window: Window, day: int) -> tuple[int, int]:
        cost = abs(day - window.ideal)
        if not (job.is_reminder or job.safety and job.soap) and self.board.families[day, job.family]:
            cost -= FAMILY_DAYS
        if day in self.board.elsewhere and not self.board.visits[day]:
            cost += ELSEWHERE_DAYS
        if self._is_avoided(job, window, day):
            cost += AVOID_DAYS
        return cost, day

    def _is_avoided(self, job: Job, window: Window, day: int) -> bool:
        return any(abs(day - other) <= AVOID_WITHIN for other in window.avoid) or (
            job.no_sun and self.season.too_hot(day))

    def _place_whole(self, job: Job, key: Key, found: list[Window]) -> list[tuple[Window, tuple[int, ...]]]:
        """One step for the whole collection, on the day most plants' windows hold; the others' own if they must."""
        left = []
        while found:
            base = max(found, key=lambda v: (len(v.members), -v.first))
            days = self._days(job, base)
            if not days:
                self._refuse_days(job, base)
                found = [v for v in found if v is not base]
                continue
            best = min(days, key=lambda d: (-held(found, d), self._cost(job, base, d)))
            holding = [v for v in found if v.holds(best)]
            common, found = joint(found, best)
            over = self._place(job, key, common)
            for alone in holding if over and len(holding) > 1 else ():        # each may have other days
                kept = tuple(m for m in alone.members if m in over)
                left.append((alone, self._place(job, key, replace(alone, members=kept)) if kept else ()))
            left += [] if over and len(holding) > 1 else [(common, over)]
            found = [v for v in found if not v.optional]
        return left

    def _place(self, job: Job, key: Key, window: Window) -> tuple[int, ...]:
        """Find a day, or days, for a window's work; the plants that none has room for. What is left of work spread over
        days is placed afresh: it may fit where the whole did not."""
        days = self._days(job, window)
        if not days:
            self._refuse_days(job, window)
            return ()
        if not window.exact:
            days = tuple(sorted(days, key=lambda d: self._cost(job, window, d)))
        work = self._work(job, window.members)
        day = days[0] if window.exact or job.is_reminder else next(
            (d for d in days if minutes(self.board.setup(job, d), work) <= self.board.free(d)), None)
        if day is not None and job.episodes:
            window = self._once(job, key, window, day)
        if day is not None and not window.members:
            return ()
        if day is not None:
            self.placed[self._enter(self._session(job, key, window, window.members, day))] = window
            return ()
        left = self._spread(job, key, window, days)
        if left and len(left) < len(window.members):
            return self._place(job, key, replace(window, members=left))
        if not left or not job.safety:
            return left
        day = max(days, key=lambda d: (self.board.free(d), -self._cost(job, window, d)[0], -d))
        self._enter(self._session(job, key, window, left, day))
        return ()

    def _once(self, job: Job, key: Key, window: Window, day: int) -> Window:
        """A window without the plants that are treated so on that day already, for another find: once serves both."""
        twice = {m for (kind, n), days in self.ledger.items() if kind == job.kind and n != key[1]
                 for m, other in days.items() if other == day}
        self.ledger[key].update(dict.fromkeys(twice.intersection(window.members), day))
        return replace(window, members=tuple(m for m in window.members if m not in twice))

    def _spread(self, job: Job, key: Key, window: Window, days: Sequence[int]) -> tuple[int, ...]:
        """Fill days with as many plants as they take, in plants.csv order; the plants left over."""
        left = list(window.members)
        for day in days:
            room = self.board.free(day) - self.board.setup(job, day)
            taken, work = 0, 0.0
            while taken < len(left) and work + job.pot_min * self.pots[left[taken]] <= room:
                work += job.pot_min * self.pots[left[taken]]
                taken += 1
            if taken and (work >= PIECE_LEAST_MIN or taken == len(left)):
                self._enter(self._session(job, key, window, tuple(left[:taken]), day))
                left = left[taken:]
        return tuple(left)

    def _session(self, job: Job, key: Key, window: Window, members: tuple[int, ...], day: int) -> Session:
        setup, work = self.board.setup(job, day), self._work(job, members)
        forced = not job.is_reminder and minutes(setup, work) > self.board.free(day)
        anchor, redated = self._anchor(job, key, members)
        return Session(job, key[1], anchor, members, day, (window.first, window.last), setup, work, forced=forced,
                       redated=redated, inside=window.inside, spare=window.spare, earlier=window.earlier)

    def _anchor(self, job: Job, key: Key, members: tuple[int, ...]) -> tuple[int, bool]:
        """The plant that names a session (-1: all), and whether its name is taken by the one it was split off from."""
        had = self.nominal.get(key, {})
        whole = had.get(members[0])
        if whole is not None and set(whole.members) <= set(members):
            return whole.anchor, whole.redated
        nameless = not had or any(had[m].anchor == -1 for m in members if m in had)
        if job.whole and nameless and not any(s.key == key and s.anchor == -1 for s in self.sessions):
            return -1, False
        before = had.get(members[0])
        split = before is not None and before.anchor == members[0] and not set(before.members) <= set(members)
        return members[0], split

    def _join(self, job: Job) -> None:
        """Work just placed goes to a day on which the same tools are out anyway, the shortest first, where one is near
        and has room."""
        for session in sorted(self.placed, key=lambda s: (s.minutes, s.day, s.members)):
            window = self.placed[session]
            self.board.book(session, -1)
            alone = not window.exact and not self.board.families[session.day, job.family]
            near = [day for day in self._days(job, window) if alone and self.board.families[day, job.family]
                    and abs(day - session.day) <= JOIN_DAYS and not self._is_avoided(job, window, day)
                    and minutes(0, session.pots_min) <= self.board.free(day)]
            day = min(near, key=lambda d: self._cost(job, window, d), default=None)
            moved = session if day is None else replace(session, day=day, setup_min=0)
            self.sessions[self.sessions.index(session)] = moved
            self._book(moved)
        self.placed.clear()

    def _enter(self, session: Session) -> Session:
        self.sessions.append(session)
        self._book(session)
        return session

    def _book(self, session: Session) -> None:
        self.board.book(session)
        day = self.ledger[session.key]
        for member in session.members:
            day[member] = session.day

    def _refuse_days(self, job: Job, window: Window) -> None:
        if window.optional or job.is_reminder:
            return
        span = _span_text(window.first, max(window.last, window.first))
        units = self.season.rules.units
        if not self.season.workdays_in(window.first, window.last):
            why, help_ = f"none of your days falls into its time ({span})", "one more day a week for plants then"
        elif job.soap:
            limit = w.temperature(figure("soap_most_high_c"), units)
            why = f"the normal high is above {limit} all through its time ({span}): no soap and no spray then"
            help_ = "wipe the leaves with a damp cloth at dawn instead"
        else:
            why, help_ = f"it is too cool all through its time ({span})", "do it in a warm room and let it dry well"
        self.refused.append(Refusal(job.kind, window.members, why, help_, max(window.last, window.first), window.spare))

    def _refuse_minutes(self, job: Job, left: Sequence[tuple[Window, tuple[int, ...]]]) -> None:
        """One refusal for all plants of a kind and occurrence that no day has room for."""
        if not left:
            return
        members = tuple(sorted(m for _, plants in left for m in plants))
        first, last = min(v.first for v, _ in left), max(v.last for v, _ in left)
        days = [d for v, _ in left for d in self._days(job, v)]
        day = max(days, key=lambda d: (self.board.free(d), -d))
        needed, free = minutes(job.setup_min, self._work(job, members)), max(self.board.free(day), 0)
        only = first == last
        span = f"on {_day_text(day)}, which" if only else \
            f"from {_span_text(first, last)}: the emptiest day, {_day_text(day)},"
        self.refused.append(Refusal(
            job.kind, members, f"its {w.duration(needed)} find no room {span} has {w.duration(free)} left",
            f"{w.duration(needed - free)} more that day" + (
                "" if only else f", or {w.duration(needed)} on another day of that time"), last,
            all(v.spare for v, _ in left)))


def _day_text(day: int) -> str:
    return w.day(date.fromordinal(day))


def _span_text(first: int, last: int) -> str:
    return w.date_span(date.fromordinal(first), date.fromordinal(last))
