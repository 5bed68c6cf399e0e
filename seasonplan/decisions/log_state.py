"""Where the log says a plant really stands: moves that were made early, late, or to another place than planned."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from datetime import date

from seasonplan.model import LogEntry, LoggedStay, Plant, Scenario, Step


def nameless_moves(log: Sequence[LogEntry]) -> list[LogEntry]:
    """Moves logged by a step's uid alone: whose they are, only the plan without them can tell."""
    return [e for e in log if not e.plant and e.move_kind not in (None, e.step)]


def with_names(log: Sequence[LogEntry], steps: Sequence[Step]) -> tuple[LogEntry, ...]:
    """The log with each nameless move told for every plant of its step, at the place the step took it to."""
    by_uid = {key: step for step in steps for key in (step.uid, step.uid.split("@")[0])}
    nameless = set(nameless_moves(log))
    told: list[LogEntry] = []
    for entry in log:
        step = by_uid.get(entry.step)
        if entry not in nameless:
            told.append(entry)
        elif step is not None:
            place = entry.place or ("" if " + " in step.place else step.place)
            told += [replace(entry, step=step.kind, plant=name, place=place) for name in step.plants]
    return tuple(told)


def logged_stays(scenario: Scenario, plant: Plant, dates: Sequence[date]) -> tuple[LoggedStay, ...]:
    """Every logged move of this plant in the planning year, in date order.

    A move-in without a place goes to the plant's own indoor place. A move outdoors without a place is left out: the
    route then chooses the place.
    """
    first, last = dates[0], dates[-1]
    stays = []
    for entry in scenario.log:
        kind = entry.move_kind
        if kind is None or entry.plant not in ("", plant.name) or not first <= entry.date <= last:
            continue
        place = entry.place or (plant.place if kind == "move-in" else "")
        if place:
            stays.append(LoggedStay(entry.date, place))
    return tuple(sorted(stays))
