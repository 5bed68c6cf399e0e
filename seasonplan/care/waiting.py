"""When a plant with a pest may come in: after the last check of the treatment that the log calls for."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date
from functools import partial

from seasonplan.care.carried import days_of
from seasonplan.care.logbook import RECHECK, TREAT, PlantLog, log_steps, read_entries, step_word
from seasonplan.care.season import season_of
from seasonplan.care.treatment import NextDay, all_finds, courses, day_finders
from seasonplan.model import LogEntry, MoveDate, Plant, PlantPlan, Scenario

_NO_MOVE = MoveDate(None, None, None, None, None)


def earliest_move_in(plant: Plant, log: Sequence[LogEntry], year: int, scenario: Scenario | None = None,
                     since: date | None = None) -> date | None:
    """The date before which a plant may not come in because of a pest found on it; None when nothing holds it back.

    since: the day since which the plan knows of the pest that plants.csv names. scenario: gives its work days and heat,
    and the planning year's edges; without it any day will do, and both hemispheres' planning years are looked at. A
    find in a room, after the plant came in, holds nothing back: the caller compares the dates.
    """
    own = [entry for entry in log if entry.plant in ("", plant.name)]
    if since is None and not any(step_word(entry.step) in log_steps() for entry in own):
        return None
    if scenario is None:
        first, last = date(year, 1, 1).toordinal(), date(year + 1, 6, 30).toordinal()
        workday: NextDay = partial(_any_day, last)
        spray_day = workday
    else:
        season = season_of(scenario, year)
        first, last = season.first, season.last
        workday, spray_day = day_finders(season)
    plan = PlantPlan(plant, "stays-in", "", _NO_MOVE, _NO_MOVE)
    mine = read_entries(own, [plan], first, last, frozenset({TREAT, RECHECK}), {}).get(plant.name, PlantLog())
    finds = all_finds(plant.pests if since else "", since.toordinal() if since else first, mine.finds)
    treated, checked = (days_of([*mine.before, *mine.done], kind) for kind in (TREAT, RECHECK))
    checks = [c.recheck for c in courses(finds, mine.clears, treated, workday, spray_day, checked=checked)
              if c.recheck is not None]
    return date.fromordinal(max(checks)) if checks and max(checks) >= first else None


def _any_day(last: int, day: int) -> int | None:
    return day if day <= last else None
