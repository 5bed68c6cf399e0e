"""Made-up jobs and their levelling, for the tests of which day a session falls on."""

from dataclasses import replace
from datetime import date

from care.garden import moving, plant, scenario_of

from seasonplan.care.agenda import by_member
from seasonplan.care.cases import cases_of
from seasonplan.care.job import Due, Job, Told
from seasonplan.care.level import Board, Leveller
from seasonplan.care.season import season_of
from seasonplan.care.sessions import collect

SATURDAY = date(2027, 6, 5).toordinal()


def job(kind, *dues, family="hose", setup=5, pot=10, **more):
    """A made-up job that is due for every plant."""
    return Job(kind, family, lambda case: dues, lambda scene: Told(kind, kind, kind), "invented", setup, pot, **more)


def due(first, last, ideal=None, n=1, **more):
    """Days after Saturday 5 June."""
    return Due(n, SATURDAY + first, SATURDAY + last, SATURDAY + (first if ideal is None else ideal), **more)


def level(jobs, plants=1, limit=60, pots=None, apart=False, nominal=(), done=(), **given):
    """A levelling of made-up jobs. apart: no two plants are in the same situation."""
    plans = [moving(plant(f"Plant {k}", last_leached=date(2026, 1, 1 + k) if apart else None)) for k in range(plants)]
    season = season_of(scenario_of(plans, minutes_per_day=limit, **given), 2027)
    leveller = Leveller(season, pots or [1] * plants, Board(limit), dict(nominal), dict(done))
    needs, refused = collect(jobs, cases_of(plans, season, {}))
    leveller.refused += refused
    leveller.run(needs)
    return leveller


def days(leveller, kind):
    return [s.day - SATURDAY for s in leveller.sessions if s.job.kind == kind]


def each(kind, *dues, **more):
    """A made-up job with a due of its own for every plant, None for none."""
    return replace(job(kind, **more), due=lambda case: [d for m in case.members for d in [dues[m]] if d])


def relevel(jobs, earlier, done=(), **given):
    """The same again after the log was read. done: real days from Saturday on, by (kind, n) and plant."""
    real = {key: {m: SATURDAY + day for m, day in of.items()} for key, of in dict(done).items()}
    return level(jobs, nominal=by_member(earlier.sessions), done=real, **given)


def placed(leveller, kind=None):
    """(day, plants) of every session (of a kind)."""
    return [(s.day - SATURDAY, s.members) for s in leveller.sessions if kind in (None, s.job.kind)]
