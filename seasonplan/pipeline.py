"""The stages in order: nights, light, windows, outings and routes, moves, jobs. Decides nothing itself."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from functools import partial

from seasonplan.care.agenda import build_agenda
from seasonplan.care.jobs import assumptions as care_assumptions
from seasonplan.care.jobs import earliest_move_in
from seasonplan.care.uids import step_uid
from seasonplan.climate.nights import night_climate
from seasonplan.climate.passage import night_tables
from seasonplan.dates import next_season_year, planning_days
from seasonplan.decisions.arrivals import known_since, pests_since
from seasonplan.decisions.lived import as_lived
from seasonplan.decisions.log_state import nameless_moves, with_names
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
    scenario = as_lived(scenario, dates)
    climate = night_climate(scenario.normals, scenario.record, site)
    tables = night_tables(climate, site_thresholds_c(scenario.plants, scenario.places, climate))
    light = daylight(site, scenario.places, scenario.normals, dates)
    finder = WindowFinder(climate, tables, rules, dates)
    uid = partial(step_uid, site.name, year)
    if nameless := set(nameless_moves(scenario.log)):
        known = replace(scenario, log=tuple(e for e in scenario.log if e not in nameless))
        first = move_steps(plant_plans(known, finder, light, last_check(known, year)), rules, uid)
        scenario = replace(scenario, log=with_names(scenario.log, first))
    plants = plant_plans(scenario, finder, light, last_check(scenario, year))
    agenda = build_agenda(scenario, plants, light, year, move_steps(plants, rules, uid))
    assumptions = (*scenario.assumptions, *(note for p in scenario.places for note in p.assumed), *climate.notes,
                   *light.notes, *care_assumptions(scenario))
    return Plan(scenario, year, today, climate, tables, light, plants, agenda.steps, agenda.shopping, agenda.skipped,
                (), tuple(dict.fromkeys(assumptions)), agenda.habits, (), known_since(scenario, today, before),
                pests_since(scenario, today, before))


def last_check(scenario: Scenario, year: int) -> LastCheck:
    """What care knows of pests, for the outings."""
    def of(plant: Plant) -> date | None:
        return earliest_move_in(plant, scenario.log, year, scenario=scenario)
    return of
