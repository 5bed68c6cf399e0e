"""Where the log says a plant really stands: moves that were made early, late, or to another place than planned."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from datetime import date, timedelta

from seasonplan.dates import DAYS
from seasonplan.model import LogEntry, LoggedStay, Plant, PlantPlan, Scenario, Step, log_note


def incomplete_moves(scenario: Scenario, dates: Sequence[date]) -> list[LogEntry]:
    """Moves of the planning year that only the plan without them can complete: logged by a step's uid alone (whose they
    are), or going outdoors without a place or a word about the cloth."""
    first, last = dates[0], dates[-1]
    return [e for e in scenario.log if first <= e.date <= last and e.move_kind is not None and (
        not e.plant and e.move_kind != e.step or
        e.move_kind != "move-in" and (not e.place or e.cloth is None))]


def completed(log: Sequence[LogEntry], missing: Sequence[LogEntry], steps: Sequence[Step],
              plans: Sequence[PlantPlan]) -> tuple[LogEntry, ...]:
    """The log with its incomplete moves told for every plant, with the place and cloth that the plan without them has:
    of the step that is named, else of the stop nearest in time (at that place, where one is named)."""
    by_uid = {key: step for step in steps for key in (step.uid, step.uid.split("@")[0])}
    by_name = {plan.plant.name: plan for plan in plans}
    told: list[LogEntry] = []
    for entry in log:
        if entry not in missing:
            told.append(entry)
            continue
        step = by_uid.get(entry.step)
        if step is not None:
            names, near, kind = (entry.plant,) if entry.plant else step.plants, step.date, step.kind
        else:
            names, near, kind = (entry.plant,) if entry.plant else tuple(by_name), entry.date, entry.move_kind or ""
        told += [_completed(replace(entry, step=kind, plant=name), by_name[name], near) for name in names
                 if name in by_name and (step is not None or entry.plant or entry.move_kind == entry.step)]
    return tuple(told)


def _completed(entry: LogEntry, plan: PlantPlan, near: date) -> LogEntry:
    if entry.step == "move-in":
        return entry
    stops = [stop for stop in plan.route if entry.place in ("", stop.place)]
    stop = min(stops, key=lambda s: (abs(s.date - near), s.date), default=None)
    if stop is None:
        return entry
    cloth = stop.shade.percent if entry.cloth is None and stop.shade is not None else entry.cloth
    return replace(entry, place=stop.place, note=log_note(entry.pots, cloth or 0, entry.remark))


def standing(scenario: Scenario, plant: Plant, day: date) -> LoggedStay | None:
    """Where the last logged move of the year before a day left a plant outdoors, as a stay from that day on; None where
    it was carried in, or the log does not say where it went."""
    moves = [entry for entry in scenario.log if entry.move_kind is not None and entry.plant in ("", plant.name)
             and timedelta(0) < day - entry.date <= timedelta(days=DAYS)]
    last = moves[-1] if moves else None
    if last is None or last.place not in {place.name for place in scenario.places if place.outdoors}:
        return None
    return LoggedStay(day, last.place, last.cloth or 0)


def logged_stays(scenario: Scenario, plant: Plant, dates: Sequence[date]) -> tuple[LoggedStay, ...]:
    """Every logged move of this plant in the planning year, in date order, the last of each day.

    A move-in without a place goes to the plant's own indoor place. A move outdoors without a place is left out: the
    route then chooses the place.
    """
    first, last = dates[0], dates[-1]
    stays: dict[date, LoggedStay] = {}
    for entry in scenario.log:
        if not first <= entry.date <= last or entry.plant not in ("", plant.name):
            continue
        kind = entry.move_kind
        if kind is None:
            continue
        place = entry.place or (plant.place if kind == "move-in" else "")
        if place:
            stays[entry.date] = LoggedStay(entry.date, place, entry.cloth or 0)
    return tuple(stays[day] for day in sorted(stays))
