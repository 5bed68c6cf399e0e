"""The stages in order: nights, light, windows, outings and routes, moves, jobs. Decides nothing itself."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from datetime import date
from functools import partial

from seasonplan.care.agenda import Lived, build_agenda
from seasonplan.care.jobs import assumptions as care_assumptions
from seasonplan.care.jobs import earliest_move_in
from seasonplan.care.uids import step_uid
from seasonplan.climate.nights import night_climate
from seasonplan.climate.passage import night_tables
from seasonplan.dates import next_season_year, planning_days
from seasonplan.decisions.arrivals import known_since, pests_since
from seasonplan.decisions.going import going_of, joined, overdue, still_there
from seasonplan.decisions.lived import as_lived
from seasonplan.decisions.log_state import completed, incomplete_moves
from seasonplan.decisions.moves import move_steps
from seasonplan.decisions.outings import LastCheck, plant_plans
from seasonplan.decisions.windows import WindowFinder, site_thresholds_c
from seasonplan.model import Before, Plan, Plant, Scenario
from seasonplan.sky.daylight import daylight


def build_plan(scenario: Scenario, today: date, before: Before | None = None) -> Plan:
    """The whole plan of a scenario. before: what the plan before this one said, None when there is none.

    `today` picks the season where the rules name no year; it is the day on which a plant or a pest that the plan before
    did not know is news; and a season that is kept (see model.is_kept) goes on from it.
    """
    site, rules = scenario.site, scenario.rules
    year = rules.year if rules.year is not None else next_season_year(today, site.latitude_deg)
    dates = planning_days(year, site.latitude_deg)
    known, ill = known_since(scenario, today, before), pests_since(scenario, today, before)
    scenario = joined(as_lived(scenario, dates), known, dates)
    climate = night_climate(scenario.normals, scenario.record, site)
    going = going_of(scenario, climate, dates, today)
    scenario = still_there(scenario, dates, going.today)
    tables = night_tables(climate, site_thresholds_c(scenario.plants, scenario.places, climate))
    light = daylight(site, scenario.places, scenario.normals, dates)
    finder = WindowFinder(climate, tables, rules, dates)
    uid = partial(step_uid, site.name, year)
    checked = last_check(scenario, year, ill)
    if missing := incomplete_moves(scenario, dates):
        told = replace(scenario, log=tuple(e for e in scenario.log if e not in missing))
        first = plant_plans(told, finder, light, checked)
        scenario = replace(scenario, log=completed(scenario.log, missing, move_steps(first, rules, uid),
        first))
    going = replace(going, scenario=scenario)
    plants = plant_plans(scenario, finder, light, checked, going)
    late = overdue(plant_plans(scenario, finder, light, checked, going.as_logged()), going) if going.today else {}
    moves = move_steps(plants, rules, uid, going.is_done, late)
    agenda = build_agenda(scenario, plants, light, year, moves,
                          Lived(going.today, going.begun, {name: day for name, (_, day) in ill.items()}))
    assumptions = (*scenario.assumptions, *(note for p in scenario.places for note in p.assumed), *climate.notes,
                   *light.notes, *care_assumptions(scenario))
    return Plan(scenario, year, today, climate, tables, light, plants, agenda.steps, agenda.shopping, agenda.skipped,
                (), tuple(dict.fromkeys(assumptions)), agenda.habits, (), known, ill)


def last_check(scenario: Scenario, year: int, ill: Mapping[str, tuple[str, date]]) -> LastCheck:
    """What care knows of pests, for the outings. ill: pests of plants.csv and since when the plan knows of them."""
    def of(plant: Plant) -> date | None:
        since = ill[plant.row or plant.name][1] if plant.name in ill or plant.row in ill else None
        return earliest_move_in(plant, scenario.log, year, scenario, since)
    return of
