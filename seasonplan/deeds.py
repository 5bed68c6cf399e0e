"""What a person did, as checked lines for log.csv: a planned step done (early, late, partly, elsewhere), and what no
plan asked for: a pest found, a plant that died, was given away or arrived, a rescue, the day the log begins.

Everything is checked against the plan before anything is written; all that is wrong is raised at once (InputFaults).
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field, replace
from datetime import date, timedelta

from seasonplan.care.jobs import known_kinds
from seasonplan.care.logbook import CLEAR_STEP, FOUND_PREFIX, PEST_STEP, step_word
from seasonplan.errors import Fault, InputFaults
from seasonplan.inputs.gathering import did_you_mean, one_of, same_name
from seasonplan.inputs.pests import pest_keys, pest_named
from seasonplan.model import Before, LogEntry, Plan, PlantPlan, SeenStep, Step, log_note
from seasonplan.model.life import ARRIVED, BEGIN, GONE_STEPS, LIFE_STEPS, RESCUE, told_of

AS_PLANNED = "as-planned"
"""Everything that the plan has before a day was done on its day."""
ALIKE_DAYS = 21
"""A kind of step means the one step of that kind within so many days of the day it was done. Our setting."""
ABOUT = timedelta(days=10)
"""A place that is named has the cloth that the plan has there within so many days, else none. Our setting."""
SHOWN = 6
MOVE_KINDS = ("move-out", "move", "move-in")
CLOTH = "cloth"
"""Another cloth over a plant at its place is logged like a move there, where the plan has one."""


@dataclass(frozen=True)
class Deed:
    """step: a step's uid or the beginning of one, a kind ("leach", "move-out", "found scale", "died" ...), a day of the
    plan (2027-05-29: all its steps), or "as-planned". on: the day it was done. plants: only these (as the plan names
    them). place: where to, or where, when not as planned. pots: only so many pots of one row. cloth: percent of the
    cloth that hangs over them there, 0 = none, None = as planned. note: a remark. stands: (place, cloth) to which each
    plant went by a plan that no longer stands, where the deed was told from that."""

    step: str
    on: date
    plants: tuple[str, ...] = ()
    place: str = ""
    pots: int | None = None
    cloth: int | None = None
    note: str = ""
    stands: Mapping[str, tuple[str, int]] = field(default_factory=dict)


def entries_of(deed: Deed, plan: Plan, before: Before | None = None) -> tuple[LogEntry, ...]:
    """The lines that tell it, in plants.csv order. Raises InputFaults with everything that is wrong with it.

    before: the plan that the person has in hand. A day means what stood under it there, though a plan made now would
    have dated afresh what is not logged yet."""
    faults: list[Fault] = []
    deed = replace(deed, plants=_plants(deed, plan, faults), place=_place(deed, plan, faults))
    if deed.on > max(plan.today, plan.daylight.dates[-1]):
        faults.append(Fault("--on", 0, "", f"{deed.on}", "a day that has come", "Is the year right?"))
    told = [] if faults else _told(deed, plan, before.seen if before else (), faults)
    if not faults:
        _check(told, deed, plan, faults)
    if faults:
        raise InputFaults(faults)
    return tuple(told)


def undone(log: Sequence[LogEntry], step: str = "", plants: Sequence[str] = (), on: date | None = None,
           ) -> tuple[LogEntry, ...]:
    """The entries to take back: the last ones of that step (a kind, or a uid as it stands there), of these plants, of
    that day; without any of them those written last. Raises InputFaults when there are none."""
    kind = _kind(step)
    fitting = [e for e in log if (not step or e.step in (step, kind)) and (not plants or e.plant in plants)
               and (on is None or e.date == on)]
    if not fitting:
        what = " ".join([step or "anything", *plants, *([f"on {on}"] if on else [])])
        raise InputFaults([Fault("log.csv", 0, "", f"it does not tell of {what}", "something that was logged",
                                 did_you_mean(step, sorted({e.step for e in log})))])
    last = max(fitting, key=lambda entry: entry.line)
    return tuple(e for e in fitting if (e.date, e.step) == (last.date, last.step))


def _told(deed: Deed, plan: Plan, seen: Sequence[SeenStep], faults: list[Fault]) -> list[LogEntry]:
    kind = _kind(deed.step)
    if kind == BEGIN:
        return [LogEntry(deed.on, BEGIN, note=deed.note)]
    if kind == AS_PLANNED:
        return _as_planned(deed, plan, seen)
    if kind.startswith(FOUND_PREFIX) or kind in (PEST_STEP, CLEAR_STEP):
        return _found(deed, kind, faults)
    if kind in known_kinds() and deed.plants or kind in LIFE_STEPS:
        return _of_kind(deed, kind, plan, faults)
    steps = _steps(deed, kind, plan, seen, faults)
    return [entry for step in steps for entry in _of_step(deed, step, plan, faults)]


def _kind(step: str) -> str:
    """A step as the log's words have it: "found scale insects" is found-scale, "Given away" is given-away."""
    word = step_word(step)
    if word.startswith(FOUND_PREFIX) and (pest := pest_named(word[len(FOUND_PREFIX):].replace("-", " "))):
        return CLEAR_STEP if pest == "none" else FOUND_PREFIX + pest
    return word


def _as_planned(deed: Deed, plan: Plan, seen: Sequence[SeenStep]) -> list[LogEntry]:
    """One line per plant of every step that was to be done before the day, by the plan in hand where that has any."""
    steps: list[tuple[date, Step | SeenStep]] = [(s.days[-1], s) for s in seen if s.days[-1] < deed.on] or [
        (s.open_since or s.date, s) for s in plan.steps if (s.open_since or s.date) < deed.on]
    told = [_entry(replace(deed, on=day), step.kind, name, plan, step) for day, step in steps
            for name in _untold(step.kind, day, step.plants, deed, plan) if not deed.plants or name in deed.plants]
    return sorted(told, key=lambda entry: entry.date)


def _untold(kind: str, day: date, names: Sequence[str], deed: Deed, plan: Plan) -> tuple[str, ...]:
    """Those of some plants that are still there and of which the log tells no such step from a day until the deed's."""
    here = {each.plant.name for each in plan.plants}
    told = told_of(plan.scenario.log, (kind,), day, deed.on)
    return tuple(name for name in names if name in here and not told & {name, ""})


def _found(deed: Deed, kind: str, faults: list[Fault]) -> list[LogEntry]:
    if kind.startswith(FOUND_PREFIX) and (not pest_named(kind[len(FOUND_PREFIX):])):
        faults.append(Fault("STEP", 0, "", f"'{deed.step}'", one_of([FOUND_PREFIX + key for key in pest_keys()[1:]])))
    if not deed.plants and not deed.place:
        faults.append(Fault("--plant", 0, kind, "no plant is named",
                            "the plants it is about, or --place for all there"))
    return [LogEntry(deed.on, kind, name, deed.place, log_note(deed.pots, remark=deed.note))
            for name in deed.plants or ("",)]


def _of_kind(deed: Deed, kind: str, plan: Plan, faults: list[Fault]) -> list[LogEntry]:
    """Plants that are named, whether or not the plan has such a step for them."""
    if not deed.plants:
        faults.append(Fault("--plant", 0, kind, "no plant is named", "the plants it is about"))
    return [_entry(deed, kind, name, plan, _planned(kind, name, deed.on, plan) if name not in deed.stands else
                   SeenStep("", kind, (), deed.plants, deed.stands)) for name in deed.plants]


def _planned(kind: str, name: str, on: date, plan: Plan) -> Step | None:
    """The step of a kind for a plant that lies nearest to a day, open ones first."""
    steps = [s for s in plan.steps if s.kind == ("move-in" if kind == RESCUE else kind) and name in s.plants]
    return min(steps, key=lambda s: (s.open_since is None, abs(s.date - on), s.date), default=None)


def _of_step(deed: Deed, step: Step | SeenStep, plan: Plan, faults: list[Fault]) -> list[LogEntry]:
    names = [name for name in step.plants if not deed.plants or name in deed.plants]
    if not names:
        faults.append(Fault("--plant", 0, step.kind, ", ".join(deed.plants), f"a plant of that step: "
                            f"{one_of(step.plants)}"))
    return [_entry(deed, step.kind, name, plan, step) for name in names]


def _entry(deed: Deed, kind: str, name: str, plan: Plan, step: Step | SeenStep | None) -> LogEntry:
    """The line of one plant; a move with the place and cloth it went to."""
    plant = next(each for each in plan.plants if each.plant.name == name)
    pots = deed.pots if deed.pots is not None and deed.pots != plant.plant.count else None
    if pots is None and plant.plant.row == name:
        pots = plant.plant.count
    if kind not in (*MOVE_KINDS, RESCUE) and not (kind == CLOTH and _stand(plant, kind, step)[0]):
        return LogEntry(deed.on, kind, name, deed.place, log_note(pots, remark=deed.note))
    place, cloth = _stand(plant, kind, step)
    if deed.place and (deed.place != place or isinstance(step, Step) and abs(step.date - deed.on) > ABOUT):
        near = [s for s in plant.route if s.place == deed.place and abs(s.date - deed.on) <= ABOUT]
        cloth = _cloth(min(near, key=lambda s: abs(s.date - deed.on))) if near else 0
    place = deed.place or place
    inside = place in _rooms(plan)
    return LogEntry(deed.on, kind, name, place, log_note(
        pots, None if inside else cloth if deed.cloth is None else deed.cloth, deed.note))


def _stand(plan: PlantPlan, kind: str, step: Step | SeenStep | None) -> tuple[str, int]:
    """(place, cloth) that a plant's plan has for a move: of that step, else "" where the person has to say."""
    if kind in ("move-in", RESCUE):
        return plan.plant.place, 0
    if isinstance(step, SeenStep):
        return step.stands.get(plan.plant.name, ("", 0))
    stop = next((s for s in plan.route if step is not None and s.date == step.date), None)
    return ("", 0) if stop is None else (stop.place, _cloth(stop))


def as_seen(step: Step, plan: Plan) -> SeenStep:
    """A step as a person has it in hand, for when the plan has changed meanwhile."""
    stands = {each.plant.name: _stand(each, step.kind, step) for each in plan.plants
              if step.kind in (*MOVE_KINDS, CLOTH) and each.plant.name in step.plants}
    return SeenStep(step.uid, step.kind, (step.date,), step.plants, {name: to for name, to in stands.items() if to[0]})


def _cloth(stop) -> int:
    return 0 if stop.shade is None else stop.shade.percent


def _rooms(plan: Plan) -> set[str]:
    return {place.name for place in plan.places if not place.outdoors}


def _check(told: Sequence[LogEntry], deed: Deed, plan: Plan, faults: list[Fault]) -> None:
    """Whether lines can be true: somewhere to go to, of the right kind, and enough pots."""
    rooms, counts = _rooms(plan), {each.plant.name: each.plant.count for each in plan.plants}
    yard = [place.name for place in plan.places if place.outdoors]
    for entry in told:
        wanted = sorted(rooms) if entry.step in ("move-in", RESCUE) else yard
        if entry.step in (*MOVE_KINDS, RESCUE) and entry.place not in wanted:
            inside = "indoors" if entry.place in rooms else "outdoors"
            found = f"'{entry.place}' is {inside}" if entry.place else "where it went is not in the plan"
            faults.append(Fault("--place", 0, f"{entry.step}, {entry.plant}", found, one_of(wanted) if wanted else
                                "a place of the right kind in scenario.toml"))
    if deed.pots is not None:
        some = [entry.plant for entry in told]
        if len(some) != 1 or not some[0]:
            faults.append(Fault("--some", 0, "", f"{len(some)} plants", "one plant, named with --plant"))
        elif not 1 <= deed.pots <= counts[some[0]]:
            faults.append(Fault("--some", 0, some[0], f"{deed.pots} pots", f"1 to {counts[some[0]]} pots"))


def _steps(deed: Deed, kind: str, plan: Plan, seen: Sequence[SeenStep], faults: list[Fault],
           ) -> Sequence[Step | SeenStep]:
    """The steps that are meant: by id, by the beginning of an id, by their day (in the plan the person has in hand,
    now, or when they were first due), or by a kind that fits one."""
    if re.fullmatch(r"\d{4}-\d{2}-\d{2}", deed.step):
        return _that_day(deed, plan, seen, faults)
    step = deed.step.strip()
    found = [s for s in plan.steps if step in (s.uid, s.uid.split("@")[0])] or [
        s for s in plan.steps if s.uid.startswith(step)]
    past = [s for s in seen if step in (s.uid, s.uid.split("@")[0])]
    if past and not found:
        return past
    found = found or _of_that_kind(kind, deed, plan)
    if len(found) == 1:
        return found
    if found:
        some = ", ".join(f"{s.uid.split('@')[0]} ({s.date:%d %b})" for s in found[:SHOWN])
        faults.append(Fault("STEP", 0, "", f"'{deed.step}' fits {len(found)} steps", f"one of {some}"
                            + (" ..." if len(found) > SHOWN else ""), "Give more of the id, or --plant."))
    else:
        words = [s.uid.split("@")[0] for s in plan.steps] + sorted({*known_kinds(), *LIFE_STEPS})
        faults.append(Fault("STEP", 0, "", f"'{deed.step}'", "a step's id from the plan, a day of it, or a kind",
                            did_you_mean(step, words) or "The plan lists them: seasonplan plan DIR --all"))
    return []


def _that_day(deed: Deed, plan: Plan, seen: Sequence[SeenStep], faults: list[Fault]) -> Sequence[Step | SeenStep]:
    """What stood under a day, without what the log tells of the time from then until the deed's day."""
    then = [replace(s, plants=_untold(s.kind, day, s.plants, deed, plan)) for s in seen for day in s.days
            if str(day) == deed.step]
    if left := [s for s in then if s.plants]:
        return left
    found = [s for s in plan.steps if deed.step in (str(s.date), str(s.open_since))]
    if not found:
        unlogged = " that is not logged" if then else ""
        days = [str(day) for day in sorted({s.date for s in plan.steps}, key=lambda d: abs(d - deed.on))[:2]]
        faults.append(Fault("STEP", 0, "", f"nothing is planned for {deed.step}{unlogged}",
                            "a day of the plan", f"Did you mean {one_of(days)}?" if days else ""))
    return found


def _of_that_kind(kind: str, deed: Deed, plan: Plan) -> list[Step]:
    """Steps of a kind; the one near that day where there is exactly one."""
    steps = [s for s in plan.steps if s.kind == kind]
    near = [s for s in steps if abs((s.open_since or s.date) - deed.on) <= timedelta(days=ALIKE_DAYS)]
    return near if len(near) == 1 else steps


def _plants(deed: Deed, plan: Plan, faults: list[Fault]) -> tuple[str, ...]:
    known = {same_name(each.plant.name): each.plant.name for each in plan.plants}
    found = []
    for name in deed.plants:
        if same_name(name) in known:
            found.append(known[same_name(name)])
            continue
        faults.append(Fault("--plant", 0, "", f"'{name}'", "a name from plants.csv",
                            "Add its row to plants.csv first." if _kind(deed.step) == ARRIVED else
                            did_you_mean(name, known.values())))
    return tuple(name for name in known.values() if name in found)


def _place(deed: Deed, plan: Plan, faults: list[Fault]) -> str:
    known = {same_name(place.name): place.name for place in plan.places}
    if deed.place and same_name(deed.place) not in known:
        faults.append(Fault("--place", 0, "", f"no place is called '{deed.place}'", one_of(list(known.values())),
                            did_you_mean(deed.place, known.values())))
        return ""
    return known.get(same_name(deed.place), "")


def not_logged(plan: Plan, entries: Iterable[LogEntry], on: date) -> tuple[Step, ...]:
    """Steps that the plan on paper has before a day and that these lines do not tell: what a person who begins to keep
    the log now may have done all the same."""
    told = {(entry.step, entry.plant) for entry in entries}
    return () if plan.kept else tuple(s for s in plan.steps if s.date < on and
                                      not all((s.kind, name) in told for name in s.plants))


__all__ = ["AS_PLANNED", "GONE_STEPS", "Deed", "as_seen", "entries_of", "not_logged", "undone"]
