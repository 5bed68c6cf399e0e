"""The collection as the log has it: plants that came, went or died, and rows of which only some pots moved.

A row of plants.csv is one plant for as long as its pots move together. Where the log says that only some of them moved
("2 pots" in the note), they are plants of their own from then on: the pots left behind keep the row's name, the others
are called "Snake plants, part 2" and so on, here, in every step and in the log. They are one row again as soon as they
stand at the same place under the same cloth; the row then has the history of those that have been out for less long. A
job done for some pots only counts when all have had it; a pest found on some is treated on all.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Sequence
from dataclasses import dataclass, field, replace
from datetime import date

from seasonplan.model import LogEntry, Plant, Scenario, log_note
from seasonplan.model.life import ARRIVED, GONE_STEPS, part_of

NOWHERE = ("?", 0)
"""Where a plant stands that has not moved this season."""


def as_lived(scenario: Scenario, dates: Sequence[date]) -> Scenario:
    """The scenario with its rows as the log leaves them, and the log told for them. dates: the planning year."""
    mine: dict[str, list[LogEntry]] = defaultdict(list)
    shared: list[LogEntry] = []
    for entry in scenario.log:
        if entry.date > dates[-1]:
            continue
        (mine[part_of(entry.plant)[0]] if entry.plant else shared).append(entry)
    moves = [entry for entry in shared if entry.move_kind == entry.step]
    taken = {plant.name for plant in scenario.plants}
    plants, log = [], list(shared)
    for plant in scenario.plants:
        told = mine[plant.name]
        if not any(_matters(entry) for entry in told):
            plants.append(plant)
            log += told
            continue
        row = _Row(plant, dates[0], taken)
        for entry in sorted([*told, *moves], key=lambda e: (e.date, e.line)):
            row.take(entry)
        for part in row.plants():
            plants.append(part.plant)
            log += part.entries
    return replace(scenario, plants=tuple(plants), log=tuple(sorted(log, key=lambda e: (e.date, e.line, e.plant))))


def _matters(entry: LogEntry) -> bool:
    """Whether an entry makes its row other than it stands in plants.csv."""
    return entry.pots is not None or entry.step in (ARRIVED, *GONE_STEPS) or part_of(entry.plant)[1] > 1


@dataclass
class _Part:
    """Pots of a row that move together. number: 1 keeps the row's name. stands: (place, cloth) since its last move."""

    plant: Plant
    number: int
    stands: tuple[str, int] = NOWHERE
    out: date = date.min
    entries: list[LogEntry] = field(default_factory=list)

    @property
    def indoors(self) -> bool:
        return self.stands in (NOWHERE, (self.plant.place, 0))


@dataclass
class _Row:
    """A row on its way through the log. first: the planning year's first day; taken: names of rows."""

    row: Plant
    first: date
    taken: set[str]
    parts: list[_Part] = field(default_factory=list)
    pending: dict[str, int] = field(default_factory=lambda: defaultdict(int))
    numbers: int = 1

    def __post_init__(self) -> None:
        self.parts = [_Part(self.row, 1)]

    def take(self, entry: LogEntry) -> None:
        """Go on by one entry."""
        if entry.step in GONE_STEPS:
            self._lose(entry)
        elif entry.step == ARRIVED:
            for part in self._meant(entry):
                part.plant = replace(part.plant, arrived=entry.date, left=None)
        elif entry.move_kind is None:
            self._job(entry)
        elif entry.date >= self.first:
            for part in self._meant(entry):
                self._move(part, entry)
            self._join()

    def plants(self) -> list[_Part]:
        """The parts that are left, each under its name."""
        many = len(self.parts) > 1
        for part in self.parts:
            name = self.row.name if part.number == 1 or not many else self._name(part.number)
            part.plant = replace(part.plant, name=name, row=self.row.name if many else "")
            part.entries = [replace(entry, plant=name) for entry in part.entries]
        return self.parts

    def _name(self, number: int) -> str:
        name = f"{self.row.name}, part {number}"
        return name if name not in self.taken else f"{name} of it"

    def _lose(self, entry: LogEntry) -> None:
        """Pots that are gone: so many fewer, or the whole part from that day on."""
        left = entry.pots if entry.pots is not None else sum(part.plant.count for part in self.parts)
        for part in self._named(entry):
            count = part.plant.count
            if left >= count:
                part.plant, part.stands = replace(part.plant, left=entry.date), (f"gone {part.number}", 0)
            elif left:
                part.plant = replace(part.plant, count=count - left)
            left = max(0, left - count)

    def _named(self, entry: LogEntry) -> list[_Part]:
        """The part that an entry names: by its own name, or the first by the row's name and just its pots; else all."""
        number = part_of(entry.plant)[1]
        return [part for part in self.parts if part.number == number and
                (number > 1 or entry.pots == part.plant.count)] or self.parts

    def _meant(self, entry: LogEntry) -> list[_Part]:
        """The parts that an entry is about, split where it is about fewer pots than a part has."""
        named = self._named(entry)
        left = entry.pots
        if left is None or left >= sum(part.plant.count for part in named):
            return named
        meant = []
        for part in sorted(named, key=lambda each: self._unlikely(each, entry)):
            if left and left < part.plant.count:
                part = self._split(part, left)
            if left:
                meant.append(part)
                left -= part.plant.count
        return meant

    def _unlikely(self, part: _Part, entry: LogEntry) -> tuple[bool, bool]:
        """Those that an entry moves come before those that it finds where they are."""
        there = part.stands[0] == entry.place or entry.move_kind == "move-in" and part.indoors
        return there, entry.move_kind in ("move-out", "move-in") and part.indoors != (entry.move_kind == "move-out")

    def _split(self, part: _Part, pots: int) -> _Part:
        """So many pots of a part as one of their own, with its past."""
        self.numbers += 1
        new = replace(part, plant=replace(part.plant, count=pots), number=self.numbers, entries=list(part.entries))
        part.plant = replace(part.plant, count=part.plant.count - pots)
        self.parts.append(new)
        return new

    def _move(self, part: _Part, entry: LogEntry) -> None:
        if entry.plant:                               # one that names no plant stays in the log as it is
            part.entries.append(replace(entry, note=log_note(None, entry.cloth, entry.remark)))
        place = entry.place or (self.row.place if entry.move_kind == "move-in" else f"? {entry.line}")
        if part.indoors:
            part.out = entry.date
        part.stands = (place, entry.cloth or 0)

    def _join(self) -> None:
        """Parts that stand together are one again."""
        found: dict[tuple[str, int], _Part] = {}
        for part in self.parts:
            other = found.setdefault(part.stands, part)
            if other is not part:
                fresh = max(other, part, key=lambda each: each.out)
                count = other.plant.count + part.plant.count
                found[part.stands] = replace(fresh, plant=replace(fresh.plant, count=count),
                                             number=min(other.number, part.number))
        self.parts = list(found.values())

    def _job(self, entry: LogEntry) -> None:
        """What was done or found, for the parts it names; done for some pots only, it counts when all have had it."""
        named = self._named(entry)
        told = f"{entry.step} {part_of(entry.plant)[1]}"
        if entry.pots is not None and entry.pots < (whole := sum(part.plant.count for part in named)):
            self.pending[told] += entry.pots
            if self.pending[told] < whole and not entry.step.startswith(("found-", "pest")):
                return
        self.pending[told] = 0
        for part in named:
            part.entries.append(entry)
