"""What log.csv says about jobs: what was done, and which pests were found.

An entry's step is a step's uid, or a kind ("repot"), or one of
- "pest" with the pest's name in the note ("pest, note: mealybug on the stem"), or "found-scale", "found-mealybug" ...:
  a pest was found that day on that plant (or, without a plant, on every plant at that place, or on all of them);
- "pest-clear": a check found none; no more sprays are asked for.
Jobs before the planning year count as the plant's history (but see care.carried); entries later than its end are left
alone.
"""

from __future__ import annotations

import re
from collections import defaultdict
from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from datetime import date
from functools import cache, lru_cache

from seasonplan.care.uids import parts_of, slug
from seasonplan.data import table
from seasonplan.model import LogEntry, PlantPlan
from seasonplan.model.work import WHOLE_COLLECTION

PEST_STEP = "pest"
CLEAR_STEP = "pest-clear"
RECHECK = "pest-recheck"
FOUND_PREFIX = "found-"
UNKNOWN_PEST = "unknown"
WIPE = "hand-wipe"
TREAT = "treat"
"""The kind of job that treats any pest; a log may name the pest too ("treat-scale")."""
REDATED = 1000
"""Added to the occurrence in the uid of a step that the log has split off from its group; see care.level."""


@cache
def pest_names() -> tuple[str, ...]:
    """Pests with a treatment schedule, in the order of data/pests.csv."""
    return tuple(row["pest"] for row in table("pests"))


@cache
def log_steps() -> tuple[str, ...]:
    """Words for a log entry's step that are not kinds of jobs."""
    return (PEST_STEP, *(FOUND_PREFIX + pest for pest in pest_names()), CLEAR_STEP)


@lru_cache(maxsize=8192)
def step_word(step: str) -> str:
    """An entry's step as the words of this room are written: small letters, hyphens for blanks."""
    return re.sub(r"[\s_]+", "-", step.strip().lower())


@dataclass(frozen=True, order=True)
class Find:
    """A pest found on a day."""

    day: int
    pest: str


LISTED_AGAIN_DAYS = 28
"""A find so soon after a pest came onto the list is the same one, reported once more. Our setting."""


def is_listed(pest: str, since: int, finds: Iterable[Find]) -> bool:
    """Whether a pest named in plants.csv starts a course of its own, on the day since which it is known: not where the
    log reports the same as found before or soon after it."""
    return pest not in ("", "none") and all(find.pest != pest or find.day > since + LISTED_AGAIN_DAYS for find in finds)


@dataclass(frozen=True, order=True)
class Done:
    """A job done on a day; n: which time of the year it was, None where the entry does not say."""

    day: int
    kind: str
    n: int | None = None


@dataclass
class PlantLog:
    """All that the log says about one plant, each list by day. before: jobs done before the planning year."""

    finds: list[Find] = field(default_factory=list)
    clears: list[int] = field(default_factory=list)
    done: list[Done] = field(default_factory=list)
    before: list[Done] = field(default_factory=list)

    def last_before(self, kind: str) -> int | None:
        """The last day before the planning year on which a kind of job was done."""
        return max((d.day for d in self.before if d.kind == kind), default=None)


Planned = Mapping[str, tuple[str, int, Sequence[str]]]
"""uid of a step of the plan -> (kind, occurrence, names of its plants)."""


def read_entries(log: Iterable[LogEntry], plans: Sequence[PlantPlan], first: int, last: int, kinds: frozenset[str],
                 planned: Planned) -> dict[str, PlantLog]:
    """PlantLog by plant name, for plants that the log names. first, last: the planning year's days.

    planned: the steps that an entry may name by their uid; a uid that is not among them is read as it stands.
    """
    found: dict[str, PlantLog] = defaultdict(PlantLog)
    by_slug: dict[str, list[str]] = defaultdict(list)
    for plan in plans:
        by_slug[slug(plan.plant.name)].append(plan.plant.name)
    for entry in sorted(log):
        day = entry.date.toordinal()
        if day > last:
            continue
        for name, keep in _meant(entry, plans, day, kinds, planned, by_slug):
            keep(found[name], day < first)
    return dict(found)


Keep = Callable[[PlantLog, bool], None]


def _meant(entry: LogEntry, plans: Sequence[PlantPlan], day: int, kinds: frozenset[str], planned: Planned,
           by_slug: Mapping[str, Sequence[str]]) -> Iterable[tuple[str, Keep]]:
    """(plant, what to write into its log) for everything an entry says."""
    step = step_word(entry.step)
    pest = pest_of(step, entry.note)
    if pest is not None or step == CLEAR_STEP:
        for name in _at_place(entry, plans, day):
            yield name, _keep_find(Find(day, pest) if pest else day)
        return
    kind, n, names = _named_step(entry.step.strip(), step, kinds, planned, by_slug)
    if kind not in kinds:
        return
    done = Done(day, kind, None if n is None else n % REDATED)
    everyone: Iterable[str] = [p.plant.name for p in plans] if names is None else names
    for name in [entry.plant] if entry.plant else everyone:
        yield name, lambda log, before: (log.before if before else log.done).append(done)


def _named_step(uid: str, word: str, kinds: frozenset[str], planned: Planned,
                by_slug: Mapping[str, Sequence[str]]) -> tuple[str, int | None, Sequence[str] | None]:
    """(kind, occurrence, plants) of what an entry's step names; None for what it does not say."""
    if uid in planned:
        return planned[uid]
    parts = parts_of(uid, kinds)
    if parts:
        whole = parts[1] == WHOLE_COLLECTION and WHOLE_COLLECTION not in by_slug
        return parts[0], parts[2], None if whole else by_slug.get(parts[1], ())
    return TREAT if word in {f"{TREAT}-{pest}" for pest in pest_names()} else word, None, None


def _keep_find(what: Find | int) -> Keep:
    def keep(log: PlantLog, before: bool) -> None:
        if isinstance(what, Find):
            log.finds.append(what)
        else:
            log.clears.append(what)
    return keep


def pest_of(step: str, note: str) -> str | None:
    """The pest an entry reports, "unknown" where it names none that is known; None when it reports no pest."""
    if step.startswith(FOUND_PREFIX):
        return _pest_in(step[len(FOUND_PREFIX):])
    return _pest_in(note) if step == PEST_STEP else None


def _pest_in(text: str) -> str:
    """The pest that a text tells of, as people write them ("mealy bugs on the stem")."""
    words = step_word(text)
    said = [(word["word"].replace(" ", "-"), word["pest"]) for word in table("pest_words")]
    named = [(len(word), pest) for word, pest in said if pest in pest_names() and len(word) > 2 and word in words]
    return max(named)[1] if named else UNKNOWN_PEST


def _at_place(entry: LogEntry, plans: Sequence[PlantPlan], day: int) -> list[str]:
    """The plant an entry names, else those that stand at its place that day, else all."""
    if entry.plant:
        return [entry.plant]
    when = date.fromordinal(day)
    return [p.plant.name for p in plans if not entry.place or entry.place == place_on(p, when)]


def place_on(plan: PlantPlan, when: date) -> str:
    """Where a plant stands on a day by its plan: a stop of its route, else its indoor place."""
    for stop in plan.route:
        if stop.date <= when < stop.until:
            return stop.place
    return plan.plant.place
