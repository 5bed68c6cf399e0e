"""The day book: a plan seen by day, the one record that terminal, calendar, page, sheet and the live page all tell.

What is carried from where to where, which jobs a day holds, in how few words they can be said, and what is open.
"""

from __future__ import annotations

import re
from collections import defaultdict
from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date, datetime
from functools import cache, cached_property
from typing import NamedTuple

from seasonplan import wording as w
from seasonplan.data import table
from seasonplan.model import LogEntry, Plan, PlantPlan, ShadeAdvice, Step

MOVE_KINDS = ("move-out", "move", "move-in")
NAME_MOST = 40
"""Characters of a plant's name where several things share a line. Our setting."""
CLOTH_MOST = 48
"""Characters of what a cloth step says in a phrase; a longer one is "see to the shade cloths". Our setting."""
NOTED_WITHIN_DAYS = 21
"""A log entry that names only a kind of step belongs to such a step within this many days. Our setting."""

AGE_DAYS = 10
"""Older words of `watch` say nothing any more. Our setting."""


OWN_FIGURE = re.compile(r"\d (?:m?L|gal|fl oz)\b|\d\d:\d\d")
"""An amount of water or mix, or a time of day."""


class Words(NamedTuple):
    """A kind of step in the fewest words: "set" ... "apart". whose: whether the plants stand between them."""

    verb: str
    rest: str
    whose: bool

    def said(self, who: str) -> str:
        return " ".join(part for part in (self.verb, who if self.whose else "", self.rest) if part)


@dataclass(frozen=True)
class Carry:
    """Plants that go the same way on the same day. cloth: what must hang over them where they arrive."""

    kind: str
    plans: tuple[PlantPlan, ...]
    from_place: str
    to_place: str
    cloth: ShadeAdvice | None = None


@dataclass(frozen=True)
class WorkDay:
    """One day's steps, in the plan's order: moves and everything else. habits: what begins then and takes no time of
    its own."""

    date: date
    moves: tuple[Step, ...]
    jobs: tuple[Step, ...]
    habits: tuple[Step, ...] = ()

    @property
    def steps(self) -> tuple[Step, ...]:
        return self.moves + self.jobs

    @property
    def minutes(self) -> int:
        return sum(step.minutes for step in self.steps)


def work_days(steps: Iterable[Step]) -> tuple[WorkDay, ...]:
    """Days that have steps, in date order."""
    found: dict[date, list[Step]] = defaultdict(list)
    for step in steps:
        found[step.date].append(step)
    return tuple(WorkDay(day, tuple(s for s in found[day] if s.kind in MOVE_KINDS),
                         tuple(s for s in found[day] if s.kind not in MOVE_KINDS)) for day in sorted(found))


def is_noted(step: Step, log: Iterable[LogEntry]) -> bool:
    """Whether the log says this step was done: by its uid, or by its kind at about that time for all its plants."""
    by_kind = [e for e in log if e.step == step.kind and abs((e.date - step.date).days) <= NOTED_WITHIN_DAYS]
    return any(e.step == step.uid for e in log) or any(not e.plant for e in by_kind) or (
        bool(step.plants) and set(step.plants) <= {e.plant for e in by_kind})


class DayBook:
    """A plan by day. Looks are worked out once and kept."""

    def __init__(self, plan: Plan):
        self.plan = plan

    @cached_property
    def plans(self) -> dict[str, PlantPlan]:
        """The plants' plans by name."""
        return {each.plant.name: each for each in self.plan.plants}

    @cached_property
    def days(self) -> tuple[WorkDay, ...]:
        """Every day that has steps, with the habits that begin then."""
        return self._with_habits(work_days(self.plan.steps))

    def _with_habits(self, days: Sequence[WorkDay]) -> tuple[WorkDay, ...]:
        """Each habit is said on the day it begins: care has put it on a day with work where there is one near."""
        found: dict[date, list[Step]] = defaultdict(list)
        every = {day.date for day in days}
        for habit in self.plan.habits:
            found[habit.date].append(habit)
        alone = [WorkDay(day, (), ()) for day in found if day not in every]
        return tuple(replace(day, habits=tuple(found[day.date])) if found.get(day.date) else day
                     for day in sorted([*days, *alone], key=lambda day: day.date))

    @cached_property
    def half_shade(self) -> str:
        """What a place in half shade would spare, where the person told of no place outdoors; "" elsewhere."""
        outside = [place for place in self.plan.scenario.places if place.outdoors]
        if len(self.plan.cloths) < 2 or not all(place.assumed for place in outside):
            return ""
        return (f"{w.counted(len(self.plan.cloths), 'shade cloth')} lead from deep shade to open ground, since no "
                "place between them is known. A place in half shade (under a tree, a pergola) told of as a [[place]] "
                "in scenario.toml takes the place of some.")

    @cached_property
    def open_steps(self) -> tuple[Step, ...]:
        """Steps that the log does not say were done, in the plan's order: all of the plan of a season that is kept."""
        if self.plan.kept:
            return self.plan.steps
        return tuple(step for step in self.plan.steps
                     if step.open_since or not is_noted(step, self.plan.scenario.log))

    @cached_property
    def on_paper(self) -> bool:
        """Whether work lies in the past and nothing of this season is logged: it then counts as done as planned."""
        return not self.plan.kept and any(step.date < self.plan.today for step in self.plan.steps)

    @cached_property
    def overdue(self) -> tuple[Step, ...]:
        """What was due before `plan.today` and is not logged, the oldest first; none of a plan on paper."""
        if not self.plan.kept:
            return ()
        late = (step for step in self.open_steps if step.minutes and due_day(step) < self.plan.today)
        return tuple(sorted(late, key=due_day))

    @cached_property
    def ahead(self) -> tuple[WorkDay, ...]:
        """The days with open work from `plan.today` on."""
        return tuple(day for day in self._with_habits(work_days(self.open_steps)) if day.date >= self.plan.today)

    def within(self, days: int) -> tuple[WorkDay, ...]:
        """Those of the coming so many days, today counted."""
        return tuple(day for day in self.ahead if (day.date - self.plan.today).days < days)

    def carries(self, step: Step) -> tuple[Carry, ...]:
        """A move by way: who goes from where to where, and under which cloth, in the order of the step's plants."""
        found: dict[tuple[str, str, ShadeAdvice | None], list[PlantPlan]] = defaultdict(list)
        for name in step.plants:
            if name in self.plans:
                found[_way(self.plans[name], step)].append(self.plans[name])
        return tuple(Carry(step.kind, tuple(group), *way) for way, group in found.items())

    @cached_property
    def how(self) -> dict[str, tuple[str, ...]]:
        """How a kind of job is done: the lines that all of its steps say word for word, by the kind's words."""
        return self._by_words(self._common_detail)

    @cached_property
    def why(self) -> dict[str, tuple[str, ...]]:
        """Why a kind of job is done, likewise."""
        return self._by_words(self._common_why)

    @cached_property
    def _common_detail(self) -> dict[str, tuple[str, ...]]:
        return self._common(lambda step: step.detail)

    @cached_property
    def _common_why(self) -> dict[str, tuple[str, ...]]:
        return self._common(lambda step: step.why)

    def _common(self, text: Callable[[Step], str]) -> dict[str, tuple[str, ...]]:
        """By kind, the lines that every one of its steps says, where there are several: a line that only some say,
        or that has an amount, a time, a plant or a place of its own, stays with its step."""
        found: dict[str, list[set[str]]] = defaultdict(list)
        for step in self.plan.steps:
            if step.kind not in MOVE_KINDS and step.kind != "cloth":     # which cloth, where: never said but once
                found[step.kind].append({line for line in text(step).split("\n") if line and not _is_own(line, step)})
        order = {line: None for step in self.plan.steps for line in text(step).split("\n")}
        shared = {kind: set.intersection(*lines) for kind, lines in found.items() if len(lines) > 1}
        return {kind: tuple(line for line in order if line in lines) for kind, lines in shared.items()}

    @staticmethod
    def _by_words(common: Mapping[str, tuple[str, ...]]) -> dict[str, tuple[str, ...]]:
        """Lines of kinds that go by the same words, together; none where there are no lines."""
        found: dict[str, dict[str, None]] = defaultdict(dict)
        for kind, lines in common.items():
            found[how_key(kind)] |= dict.fromkeys(lines)
        return {key: tuple(lines) for key, lines in found.items() if lines}

    def own_lines(self, step: Step) -> tuple[str, ...]:
        """What a step says that is not said of its whole kind: amounts, names, dates."""
        common = self._common_detail.get(step.kind, ())
        return tuple(line for line in step.detail.split("\n") if line and line not in common)

    def own_reasons(self, step: Step) -> tuple[str, ...]:
        """Its reasons that are not those of its whole kind."""
        common = self._common_why.get(step.kind, ())
        return tuple(line for line in step.why.split("\n") if line and line not in common)

    def common_lines(self, step: Step) -> tuple[str, ...]:
        """What every step of its kind says."""
        return self._common_detail.get(step.kind, ())

    def common_reasons(self, step: Step) -> tuple[str, ...]:
        """Why every step of its kind is done."""
        return self._common_why.get(step.kind, ())

    def pots(self, names: Iterable[str]) -> int:
        """How many pots these plants are; a name that the plan does not know counts as one."""
        return sum(self.plans[name].plant.count if name in self.plans else 1 for name in names)

    def phrases(self, steps: Sequence[Step]) -> list[str]:
        """What steps ask for in few words, the longest work first: "leach 18 pots", "repot Big fig", "treat 2".

        Steps of the same words are one; a single plant is named, several are counted, with "pots" said once.
        """
        found: dict[Words, list[Step]] = defaultdict(list)
        for step in steps:
            found[words_of(step.kind)].append(step)
        phrases, counted = [], False
        for words in sorted(found, key=lambda each: -sum(step.minutes for step in found[each])):
            names = list(dict.fromkeys(name for step in found[words] for name in step.plants))
            if cloth := _one_cloth(found[words]):
                phrases.append(cloth)
                continue
            if len(names) == 1:
                who = w.one_line(names[0], NAME_MOST)
            else:
                pots = self.pots(names)
                who = f"{pots}" if counted else w.counted(pots, "pot")
                counted = counted or words.whose
            phrases.append(words.said(who))
        return phrases


def _one_cloth(steps: Sequence[Step]) -> str:
    """What is done with which cloth where, in its own words, where it is one thing and short; else ""."""
    title = steps[0].title
    short = len(steps) == 1 and steps[0].kind == "cloth" and len(title) <= CLOTH_MOST
    return w.one_line(title[:1].lower() + title[1:]) if short else ""


def _is_own(line: str, step: Step) -> bool:
    """Whether a line speaks of this step alone: of an amount, a time of day, one of its plants or its place."""
    if line.startswith(w.THEY_STAND) or OWN_FIGURE.search(line):
        return True
    return any(name and name in line for name in (*step.plants, step.place))


def _way(plan: PlantPlan, step: Step) -> tuple[str, str, ShadeAdvice | None]:
    """(from, to, cloth) of one plant of a move; the plant's own room at either end of its season."""
    before = [stop.place for stop in plan.route if stop.date < step.date]
    here = before[-1] if before and step.kind != "move-out" else plan.plant.place    # it may go out again
    if step.kind == "move-in":
        return here, plan.plant.place, None
    stop = next((stop for stop in plan.route if stop.date == step.date), None)
    return (here, step.place, None) if stop is None else (here, stop.place, stop.shade)


@cache
def _all_words() -> Mapping[str, Words]:
    return {row["kind"]: Words(row["verb"], row["rest"], row["who"] == "pots") for row in table("step_words")}


def words_of(kind: str) -> Words:
    """The words of a kind of step; of one without a row of its own, the kind itself."""
    return _all_words().get(kind) or Words(kind.replace("-", " "), "", True)


def due_day(step: Step) -> date:
    """The day a step was first due: that of a step dated afresh lies in the past."""
    return step.open_since or step.date


def how_key(kind: str) -> str:
    """What a kind's instructions are headed with: "leach", "set apart"."""
    words = words_of(kind)
    return " ".join(filter(None, (words.verb, words.rest)))


def capital(text: str) -> str:
    """The text with its first letter large."""
    return text[:1].upper() + text[1:]


def alerts_age(plan: Plan) -> str:
    """When `watch` last looked at the nights ahead; "" where it never did, or so long ago that it means nothing."""
    at = datetime.fromisoformat(plan.alerts_issued) if plan.alerts_issued else None
    days = (plan.today - at.date()).days if at else -1
    if at is None or not 0 <= days <= AGE_DAYS:
        return ""
    ago = {0: "today", 1: "yesterday"}.get(days, f"{days} days ago")
    found = "" if plan.alerts_ahead else "; no alert for the nights ahead"
    again = " Look again: seasonplan watch." if days else ""
    return f"Nights looked at {ago}, {w.day(at.date())} at {at:%H:%M}{found}.{again}"
