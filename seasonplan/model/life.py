"""What a season's life brings: what was done, when nobody is there, and what the plan before knew."""

from __future__ import annotations

import re
from collections.abc import Collection, Iterable, Mapping
from dataclasses import dataclass
from datetime import date, timedelta
from functools import cached_property, lru_cache
from typing import TYPE_CHECKING

from seasonplan.dates import TURNING_DAYS

if TYPE_CHECKING:
    from seasonplan.model.watched import Alert

BEGIN, ARRIVED, DIED, GIVEN_AWAY, RESCUE = "begin", "arrived", "died", "given-away", "rescue"
"""Log steps that say what became of plants: the plan starts here (begin); one came, or went for good; or was carried in
for cold nights only and goes out again (a move-in before the turn is taken for that too)."""
LIFE_STEPS = (BEGIN, ARRIVED, DIED, GIVEN_AWAY, RESCUE)
GONE_STEPS = (DIED, GIVEN_AWAY)


@dataclass(frozen=True, order=True)
class LogEntry:
    """What was really done. step: a step's uid or a kind ("repot"); plant, place: names, empty = all of the step.

    note: a remark, which may begin with how many pots of the row it was and with what hung over them, each closed by a
    semicolon: "2 pots; cloth 50 %; bought new saucers". See log_note.
    """

    date: date
    step: str
    plant: str = ""
    place: str = ""
    note: str = ""
    line: int = 0

    @property
    def move_kind(self) -> str | None:
        """"move-out", "move" or "move-in" where it records a move, "cloth" where it records another cloth over a plant
        at its place, by that word or by the step's uid; else None."""
        if self.step == RESCUE:
            return "move-in"
        kind = _move_of(self.step)
        return None if kind == "cloth" and not self.place else kind

    @property
    def pots(self) -> int | None:
        """How many pots of the row it was; None: all of them."""
        told = _noted(self.note)[0]
        return int(told) if told else None

    @property
    def cloth(self) -> int | None:
        """Percent of the shade cloth that hung over them, 0 = none; None: not told."""
        told = _noted(self.note)[1]
        return None if told is None else int(told) if told.isdigit() else 0

    @property
    def remark(self) -> str:
        """The note without what is told of pots and cloth."""
        return _noted(self.note)[2] or ""


_MOVE = re.compile(r"(?:-?\d+-)?(move-out|move-in|move|cloth)(?:-.*)?")
_NOTE = re.compile(r"(?:(\d{1,6}) pots?(?:;\s*|$))?(?:(?:cloth (\d{1,2}) ?%|(no) cloth)(?:;\s*|$))?(.*)", re.DOTALL)


@lru_cache(maxsize=8192)
def _move_of(step: str) -> str | None:
    """The kind of move that a step's word or uid names: asked for every entry of a long log, for every plant."""
    move = _MOVE.fullmatch(step)
    return None if move is None else move[1]


def _noted(note: str) -> tuple[str | None, str | None, str]:
    found = _NOTE.fullmatch(note.strip())
    assert found is not None                          # the last group takes whatever there is
    return found[1], found[2] or found[3], found[4]


def log_note(pots: int | None = None, cloth: int | None = None, remark: str = "") -> str:
    """A note for log.csv that LogEntry reads again."""
    parts = [] if pots is None else [f"{pots} pot{'' if pots == 1 else 's'}"]
    if cloth is not None:
        parts.append(f"cloth {cloth} %" if cloth else "no cloth")
    return "; ".join([*parts, *([remark] if remark else [])])


_OCCURRENCE = re.compile(r"-(\d+)-[0-9a-f]{8}@")
_PART = re.compile(r"(.*), part ([1-9]\d{0,3})( of it)?", re.DOTALL)


def part_of(name: str) -> tuple[str, int]:
    """("Snake plants", 2) for "Snake plants, part 2", a name that decisions.lived gives; (name, 1) for others."""
    found = _PART.fullmatch(name)
    return (name, 1) if found is None else (found[1], int(found[2]))


def is_kept(log: Iterable[LogEntry], first: date, last: date, today: date) -> bool:
    """Whether a season is kept: its log tells of a day from `first` (the planning year's) through today, or of one in
    the two months before it, in which its plan may be made. A kept season goes by the log: what it does not tell is
    still to be done. One that is not kept is taken as done as planned, and so is one that is over."""
    opens = first - timedelta(days=TURNING_DAYS)
    return opens <= today <= last and any(opens <= entry.date <= today for entry in log)


def told_of(log: Iterable[LogEntry], steps: Collection[str], first: date, last: date,
            place: str | None = None) -> frozenset[str]:
    """The plants of which a log tells any of some steps (kinds or uids) from `first` through `last`, at a place where
    one is given; "" among them where it tells one of all plants. The one answer to "is it told already"."""
    return frozenset(entry.plant for entry in log if entry.step in steps and first <= entry.date <= last
                     and place in (None, entry.place))


@dataclass(frozen=True, order=True)
class LoggedStay:
    """A plant went to a place on a day (indoors: it went in), under a cloth of so many percent (0 = none)."""

    date: date
    place: str
    cloth: int = 0


@dataclass(frozen=True, order=True)
class Away:
    """Nobody is there from `first` until the day of coming back (exclusive). helper: somebody looks in who can water
    and carry. line: where it was read."""

    first: date
    until: date
    helper: bool = False
    line: int = 0

    def holds(self, day: date) -> bool:
        return self.first <= day < self.until


@dataclass(frozen=True)
class SeenStep:
    """A step of the plan before: its uid, kind, plants, the days it stands under (planned, and first due where that is
    another), and where each of its plants goes where it is a move: place and percent of cloth."""

    uid: str
    kind: str
    days: tuple[date, ...]
    plants: tuple[str, ...]
    stands: Mapping[str, tuple[str, int]]


@dataclass(frozen=True, eq=False)
class Before:
    """What the plan before this one said (its plan.json).

    known: every plant it had, with the day on which it first appeared, None where that was no news. pests: the plants
    that plants.csv said have a pest, which, and since which day the plan knows. alerts: those of the last `watch`, and
    of the nights before whose plants are still in; alerts_issued: when that was, local "YYYY-MM-DDTHH:MM", "": never.
    seen: its steps, as the person has them on paper and phone.
    """

    year: int
    known: Mapping[str, date | None]
    pests: Mapping[str, tuple[str, date]]
    alerts: tuple[Alert, ...] = ()
    alerts_issued: str = ""
    seen: tuple[SeenStep, ...] = ()

    @cached_property
    def moves(self) -> dict[str, tuple[str, int, date]]:
        """The next move that it told of each plant: kind, occurrence (a step's uid tells it), and the day it was
        first due."""
        found: dict[str, tuple[str, int, date]] = {}
        for step in self.seen:
            if step.kind in ("move-out", "move", "move-in") and (told := _OCCURRENCE.search(step.uid)):
                for name in step.plants:
                    found.setdefault(name, (step.kind, int(told[1]), step.days[-1]))
        return found
