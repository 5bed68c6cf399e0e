"""What a job is: a small rule object, the due dates it finds, and the scene its words are written for."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from functools import cached_property
from typing import Literal

from seasonplan import wording as w
from seasonplan.care.cases import Case
from seasonplan.care.figures import words
from seasonplan.care.logbook import UNKNOWN_PEST, place_on
from seasonplan.care.season import Season
from seasonplan.care.treatment import EPISODE, Course
from seasonplan.model import Plant, PlantPlan

NAME_MOST = 60
NAMES_MOST = 6
TOGETHER = " + "
"""Between the places of one job."""


@dataclass(frozen=True)
class After:
    """This must come at least `least` and at most `most` days after occurrence n of another kind, for the same plant.

    needed: without that other step there is none of this either; else the rule holds only where there is one.
    best: the best day is so many days after it. soft: given up where it leaves no day at all. pause: before it will do
    too, only the days from it until `least` later are barred.
    """

    kind: str
    n: int
    least: int
    most: int | None = None
    needed: bool = False
    best: int | None = None
    soft: bool = False
    pause: bool = False


@dataclass(frozen=True)
class Due:
    """One thing due: occurrence n (from 1) within first..last, best on `ideal` (days).

    exact: on the first work day from `first` on, even when the day runs over its minutes; first == last: that very
    day, work day or not. warm: not in cool weather. optional: nothing is said where no day is left for it. avoid: days
    in whose week it should not be, where that can be helped. barred: (first, last) of days on which it may not be.
    spare: this time it may be left out without harm, as Job.spare says of a whole kind. earlier: it goes on from the
    planning year before, and keeps the name that it had there.
    """

    n: int
    first: int
    last: int
    ideal: int
    after: tuple[After, ...] = ()
    exact: bool = False
    warm: bool = False
    optional: bool = False
    avoid: tuple[int, ...] = ()
    barred: tuple[tuple[int, int], ...] = ()
    spare: bool = False
    earlier: bool = False


@dataclass(frozen=True)
class Cannot:
    """A job that is called for but has no place in the year: why, and what would help."""

    reason: str
    remedy: str


@dataclass(frozen=True)
class Told:
    """A step's words: title in one short line, detail (what to do), why (why then)."""

    title: str
    detail: str
    why: str


Family = Literal["look", "hose", "spray", "potting", "cutting", "feed", "carry", "note"]


@dataclass(frozen=True)
class Job:
    """A kind of job. Adding one is one entry in a registry list and one test.

    kind: its name in steps and in log.csv. family: jobs of one family share getting ready on the same day.
    due: when it is due for a case. tell: its words. setup_min: getting ready, once a day and family; pot_min: per pot
    (both our setting unless the source says else); 0 and 0: a reminder that takes no time of its own.
    no_sun: never in direct sun. soap: nor above the heat limit for it.
    safety: it is never let slip past what it protects; the day may run over its minutes then, and says so.
    series: its repeats count from the day it was really done. episodes: its occurrences count by courses of treatment.
    whole: one step for the whole collection. any_time: it may be dated before or after the planning year: what began is
    seen to its end.
    carried: plants are lifted for it. spare: it may be left out this year without harm: marked "if there is time", and
    the first to go when the days are full. late_days: so long after its last day it is still worth doing; what was not
    done by then lapses.
    cautions: keys of data/cautions.csv. amounts: what it uses, by amount key.
    once: amount keys of things to have at hand once, counted with the first step that needs them.
    follows: kinds that come before it for the same plant where both are due (their Due says the gaps).
    source: of the rule itself; the figures it uses carry their own.
    """

    kind: str
    family: Family
    due: Callable[[Case], Iterable[Due | Cannot]]
    tell: Callable[[Scene], Told]
    source: str
    setup_min: int = 0
    pot_min: float = 0.0
    no_sun: bool = False
    soap: bool = False
    safety: bool = False
    series: bool = False
    episodes: bool = False
    whole: bool = False
    any_time: bool = False
    carried: bool = False
    spare: bool = False
    late_days: int = 0
    cautions: tuple[str, ...] = ()
    follows: tuple[str, ...] = ()
    amounts: Callable[[Scene], Mapping[str, float]] | None = None
    once: tuple[str, ...] = ()

    @property
    def is_reminder(self) -> bool:
        return self.setup_min == 0 and self.pot_min == 0


@dataclass(frozen=True, eq=False)
class Scene:
    """What a step's words are written for: the job, its day, its plants (in plants.csv order) and its place.

    due: (first, last) day it could have been on. start_min: minutes after midnight it begins, None when left open.
    over_min: minutes by which it makes its day run over. courses: each plant's courses of treatment.
    """

    job: Job
    n: int
    day: int
    due: tuple[int, int]
    plans: tuple[PlantPlan, ...]
    season: Season
    place: str = ""
    start_min: int | None = None
    over_min: int = 0
    courses: tuple[tuple[Course, ...], ...] = ()

    @property
    def units(self) -> str:
        return self.season.rules.units

    @cached_property
    def plants(self) -> tuple[Plant, ...]:
        return tuple(plan.plant for plan in self.plans)

    @cached_property
    def pots(self) -> int:
        return sum(plant.count for plant in self.plants)

    @property
    def who(self) -> str:
        """"Big fig" for one plant, else "6 pots"."""
        if len(self.plants) == 1 and self.pots == 1:
            return shown(self.plants[0].name)
        return w.counted(self.pots, "pot")

    @property
    def at(self) -> str:
        """"at the porch", "under the tree"; empty without a place, and where there are several."""
        return "" if TOGETHER in self.place else at_place(self.place)

    @cached_property
    def stands(self) -> list[tuple[str, int]]:
        """(place, pots that stand there when the job is done), most pots first."""
        when = date.fromordinal(self.day)
        counts: dict[str, int] = {}
        for plan in self.plans:
            place = place_on(plan, when)
            counts[place] = counts.get(place, 0) + plan.plant.count
        return sorted(counts.items(), key=lambda item: (-item[1], item[0]))

    @property
    def pests(self) -> tuple[tuple[str, ...], ...]:
        """Of each plant, the pests that this occurrence's course of treatment is against."""
        number = (self.n - 1) // EPISODE
        return tuple(courses[number].pests if number < len(courses) else (UNKNOWN_PEST,) for courses in self.courses)

    @property
    def where_they_stand(self) -> str:
        """"They stand: 5 pots on the porch and 2 pots on the lawn."; empty where all stand at one place."""
        where = [f"{w.counted(pots, 'pot')} {at_place(place)}" for place, pots in self.stands[:NAMES_MOST]]
        more = len(self.stands) - NAMES_MOST
        return f"{w.THEY_STAND}{w.listed([*where, *([f'{more} more places'] if more > 0 else [])])}." \
            if len(where) > 1 else ""

    def names(self, plants: Iterable[Plant]) -> str:
        return w.listed([shown(p.name) for p in plants], NAMES_MOST)


def shown(name: str) -> str:
    """Somebody's name for a plant, safe and short enough for a sentence."""
    return w.one_line(name, NAME_MOST)


def at_place(place: str) -> str:
    """A place as part of a sentence: "on the porch", "in the bedroom", "at the south window"; as it is where its name
    already begins like that."""
    name = shown(place)
    parts = name.lower().split()
    if not name or parts[0] in words("before"):
        return name
    kind = next((word for word in (parts[-1], parts[0]) if word in (*words("within"), *words("upon"))), "")
    where = "in" if kind in words("within") else "on" if kind else "at"
    return f"{where} {name}" if parts[0] in ("the", "my", "our") else f"{where} the {name}"


def joined(sentences: Sequence[str]) -> str:
    """Sentences, one line each for a phone; empty ones left out."""
    return "\n".join(sentence for sentence in sentences if sentence)
