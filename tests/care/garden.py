"""Invented collections for the tests of this room, and short ways to plan them."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import replace
from datetime import date, timedelta

from invented import make_daylight, make_plant, make_scenario, make_taxon

from seasonplan.care.agenda import ON_PAPER, Lived, build_agenda
from seasonplan.care.rounds import NOWHERE_ELSE, Elsewhere
from seasonplan.model import Agenda, LogEntry, MoveDate, Plant, PlantPlan, Rules, Scenario, Step, Stop

NO_MOVE = MoveDate(None, None, None, None, None)
OUT, BACK = date(2027, 5, 22), date(2027, 9, 25)
"""Both Saturdays."""
MIDSUMMER = date(2027, 6, 21)


def taxon(**given):
    return make_taxon(**given)


def plant(name: str = "Plant one", **given) -> Plant:
    """A plant whose taxon facts may be given beside its own (sun, cuttings, soap_sensitive ...)."""
    facts = {key: given.pop(key) for key in ("group", "soap_sensitive", "toxic_people", "toxic_pets", "cuttings",
                                             "moisture", "key", "salt_sensitive") if key in given}
    return make_plant(name, taxon=make_taxon(**facts), **given)


def stop(start: date, until: date, place: str, full_sun_h: float = 0.5, mean_dli: float = 6.0) -> Stop:
    return Stop(start, until, place, mean_dli * 2, mean_dli, full_sun_h, full_sun_h, 4.0, 12.0, 2.0, "invented")


def moving(what: Plant, out: date = OUT, back: date = BACK, stops: Sequence[Stop] | None = None) -> PlantPlan:
    """A plant that stands on the porch from `out` to `back`, or makes the given stops."""
    dates = [MoveDate(day, day, day, 0.05, 0.5, "harm") for day in (out, back)]
    return PlantPlan(what, "moves", "invented", *dates, (), tuple(stops or (stop(out, back, "porch"),)))


def staying(what: Plant, status: str = "stays-in") -> PlantPlan:
    route = (stop(date(2027, 1, 1), date(2028, 1, 1), "porch"),) if status == "stays-out" else ()
    return PlantPlan(what, status, "invented", NO_MOVE, NO_MOVE, (), route)  # type: ignore[arg-type]


def scenario_of(plans: Iterable[PlantPlan], log: Iterable[LogEntry] = (), **given) -> Scenario:
    """A scenario of these plants; rules keys, or places / normals of the scenario."""
    whole = {key: given.pop(key) for key in ("places", "normals", "site") if key in given}
    rules = replace(Rules(year=2027), **given)
    return make_scenario(plants=tuple(p.plant for p in plans), rules=rules, log=tuple(log), **whole)


def move_step(kind: str, day: date, plans: Sequence[PlantPlan], minutes: int = 10) -> Step:
    names = tuple(p.plant.name for p in plans)
    return Step(f"{kind}-{day}", day, None, minutes, kind, kind, names, "porch", "", "")


def moves_of(plans: Sequence[PlantPlan], minutes_per_pot: int = 3) -> list[Step]:
    """A move-out and a move-in step per day on which plants go."""
    found = []
    for kind, end in (("move-out", "out"), ("move-in", "back")):
        for day in sorted({getattr(p, end).date for p in plans if p.status == "moves"}):
            group = [p for p in plans if p.status == "moves" and getattr(p, end).date == day]
            found.append(move_step(kind, day, group, minutes_per_pot * sum(p.plant.count for p in group)))
    return found


def agenda_of(plans: Sequence[PlantPlan], log: Iterable[LogEntry] = (), lived: Lived = ON_PAPER,
              elsewhere: Elsewhere = NOWHERE_ELSE, **given) -> Agenda:
    """The agenda of 2027 for these plants, on the invented cold town's normals and light."""
    scenario = scenario_of(plans, log, **given)
    return build_agenda(scenario, plans, make_daylight(scenario.places), 2027, moves_of(plans), lived, elsewhere)


def steps_of(agenda: Agenda, kind: str, name: str | None = None) -> list[Step]:
    """Steps or habits of a kind (for one plant), in order."""
    return [s for s in (*agenda.steps, *agenda.habits) if s.kind == kind and (name is None or name in s.plants)]


def only(agenda: Agenda, kind: str, name: str | None = None) -> Step:
    """The one step of a kind."""
    [step] = steps_of(agenda, kind, name)
    return step


def days_between(earlier: date, later: date) -> int:
    return (later - earlier).days


def after(day: date, days: int) -> date:
    return day + timedelta(days=days)


def entry(day: date, step: str, name: str = "", note: str = "", place: str = "") -> LogEntry:
    return LogEntry(day, step, name, place, note)
