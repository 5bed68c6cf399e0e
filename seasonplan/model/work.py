"""What there is to do: steps and habits, what to buy, and what a helper is told."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from typing import NamedTuple

Day = date
"""The type, for annotations in classes that have a field named `date`."""


WHOLE_COLLECTION = "all"
"""In a uid the anchor of a step that belongs to the collection as a whole and not to its first plant."""


@dataclass(frozen=True)
class Step:
    """One dated thing to do.

    uid: depends on what the step is, never on its date; no "/" in it. start: suggested clock time "HH:MM" or None.
    kind: "move-out" | "move" | "move-in" | "cloth" | a job kind of care.jobs. plants: plant names in plants.csv order.
    place: where it is done (a move: where to). detail: what to do, with amounts; why: why that day, how sure;
    cautions: sentences. due: (earliest, latest) that the date was chosen from. amounts: what the shopping list sums,
    by item key, unit in the key ("mix_l", "water_l", "soap_ml", "pot_33_cm"). open_since: the day it was due in
    a season that is kept, where it has not been done and so was dated afresh. optional: it may be left out this year
    without harm. parts: (place, start, minutes) of work that goes from place to place. thing: uid of the first step of
    what the person does in one go with it.
    """

    uid: str
    date: date
    start: str | None
    minutes: int
    kind: str
    title: str
    plants: tuple[str, ...]
    place: str
    detail: str
    why: str
    cautions: tuple[str, ...] = ()
    due: tuple[Day, Day] | None = None
    amounts: tuple[tuple[str, float], ...] = ()
    open_since: Day | None = None
    optional: bool = False
    parts: tuple[tuple[str, str, int], ...] = ()
    thing: str = ""


class MonthLoad(NamedTuple):
    """What a month asks for: its first day, how many things there are to do, and the minutes they take."""

    first: date
    things: int
    minutes: int


@dataclass(frozen=True)
class HelperList:
    """Nobody is there from `first` until the day of coming back (exclusive): what the person does before, what the
    helper does on which day (nothing without a helper), and which risk stays. All are sentences for the reader."""

    first: date
    until: Day
    helper: bool
    before: tuple[str, ...] = ()
    days: tuple[tuple[Day, tuple[str, ...]], ...] = ()
    risk: str = ""


@dataclass(frozen=True)
class ShoppingItem:
    """Something to have at hand. amount in `unit`; needed_by: date of the first step that uses it; for_steps: uids."""

    item: str
    amount: float
    unit: str
    needed_by: date
    for_steps: tuple[str, ...]
    note: str = ""


class RoundDay(NamedTuple):
    """One day of a person's round. gardens: each one's name and steps, in the round's order; travel_min: the ways there
    and back that the minutes hold as well."""

    date: date
    minutes: int
    travel_min: int
    gardens: tuple[tuple[str, tuple[Step, ...]], ...]


@dataclass(frozen=True)
class Round:
    """What several gardens ask of one person together: one agenda, one shopping list. limit_min: minutes that a day
    has."""

    gardens: tuple[str, ...]
    days: tuple[RoundDay, ...]
    shopping: tuple[ShoppingItem, ...]
    limit_min: int


@dataclass(frozen=True)
class SkippedJob:
    """A job that could not be fitted in, and what it would take. kept: it has its day all the same, which runs over.
    optional: it may be left out this year without harm, so that nobody need decide anything."""

    kind: str
    plants: tuple[str, ...]
    reason: str
    remedy: str
    kept: bool = False
    optional: bool = False


@dataclass(frozen=True)
class Agenda:
    """All steps in date order, what to buy, what did not fit, and the habits: steps without minutes, each to be said
    once on the day it begins. treated: plants whose pest of plants.csv the log tells to be dealt with."""

    steps: tuple[Step, ...]
    shopping: tuple[ShoppingItem, ...]
    skipped: tuple[SkippedJob, ...] = ()
    habits: tuple[Step, ...] = ()
    treated: tuple[str, ...] = ()
