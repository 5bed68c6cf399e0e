"""The stages in order: nights, light, windows, outings and routes, moves, jobs. Decides nothing itself."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date
from functools import cache, partial

from seasonplan.care.absence import Helper
from seasonplan.care.agenda import Lived, build_agenda
from seasonplan.care.amounts import plant_weight_kg
from seasonplan.care.cases import with_stays
from seasonplan.care.jobs import any_time_kinds, earliest_move_in
from seasonplan.care.jobs import assumptions as care_assumptions
from seasonplan.care.rounds import NOWHERE_ELSE, Elsewhere, Rounds, together
from seasonplan.care.season import season_of
from seasonplan.care.uids import step_uid
from seasonplan.climate.nights import night_climate
from seasonplan.climate.own_nights import as_read, own_nights
from seasonplan.climate.passage import night_tables
from seasonplan.dates import planning_days
from seasonplan.decisions.absence import days_away
from seasonplan.decisions.arrivals import known_since, opens_on, pests_since
from seasonplan.decisions.going import Going, going_of, joined, overdue, still_there
from seasonplan.decisions.lived import as_lived
from seasonplan.decisions.log_state import completed, incomplete_moves
from seasonplan.decisions.moves import move_steps
from seasonplan.decisions.notices import ahead_of, lapsed, still_listed
from seasonplan.decisions.outings import LastCheck, other_way, plant_plans
from seasonplan.decisions.route.cloth import hung_cloths
from seasonplan.decisions.turning import is_on, left_out, seasons
from seasonplan.decisions.windows import WindowFinder, site_thresholds_c
from seasonplan.model import (
    Before,
    Daylight,
    NightClimate,
    NightTables,
    Plan,
    Plant,
    PlantPlan,
    Round,
    Scenario,
    Step,
)
from seasonplan.sky.daylight import daylight


def build_plan(scenario: Scenario, today: date, before: Before | None = None) -> Plan:
    """The whole plan of a scenario. before: what the plan before this one said, None when there is none.

    `today` picks the season where the rules name no year; it is the day on which a plant or a pest that the plan before
    did not know is news; and a season that is kept (see model.is_kept) goes on from it.
    """
    first, *after = seasons(scenario, today, before)
    plan = with_jobs(with_moves(scenario, today, before, first))
    return plan if not after or is_on(plan, before) else with_jobs(with_moves(scenario, today, before, after[0]))


def season_on(scenario: Scenario, today: date, before: Before | None) -> int:
    """The year to plan."""
    first, *after = seasons(scenario, today, before)
    return first if not after or is_on(with_jobs(with_moves(scenario, today, before, first)), before) else after[0]


def build_round(scenarios: Sequence[Scenario], days: Sequence[date],
                before: Sequence[Before | None] = ()) -> list[Plan]:
    """The plans of several gardens that one person keeps: one garden a day as far as it goes, and the minutes of a day
    once for all of them, with the way to each (care.rounds). First all moves, then all jobs, in the gardens' order.
    days: today's date at each."""
    rounds, halves = Rounds(scenarios), list[Moved]()
    for scenario, today, told in zip(scenarios, days, before or [None] * len(scenarios), strict=True):
        scenario = rounds.before_moves(scenario)
        halves.append(with_moves(scenario, today, told, season_on(scenario, today, told)))
        rounds.add(scenario.site, halves[-1].moves)
    return with_shared_jobs(halves)


def with_shared_jobs(halves: Sequence[Moved]) -> list[Plan]:
    """The jobs of several gardens beside their moves, all in the minutes of one person."""
    rounds, plans = Rounds([half.scenario for half in halves]), list[Plan]()
    for half in halves:
        rounds.add(half.scenario.site, half.moves)
    for half in halves:
        plans.append(with_jobs(half, rounds.elsewhere(half.scenario.site)))
        rounds.add(half.scenario.site, plans[-1].steps)
    return plans


def round_of(plans: Sequence[Plan]) -> Round:
    """One agenda and one shopping list of gardens that were planned as one round."""
    return together(plans, Rounds([plan.scenario for plan in plans]).limit_min)


@dataclass(frozen=True, eq=False)
class Moved:
    """A scenario planned as far as its moves."""

    scenario: Scenario
    year: int
    today: date
    climate: NightClimate
    tables: NightTables
    light: Daylight
    plants: tuple[PlantPlan, ...]
    moves: tuple[Step, ...]
    going: Going
    opens: date
    known: dict[str, date | None]
    ill: dict[str, tuple[str, date]]
    before: Before | None
    other_summer: str


def with_moves(scenario: Scenario, today: date, before: Before | None, year: int | None = None) -> Moved:
    """Nights, light, windows, waves, routes, moves. year: of the season, where it is known already."""
    site = scenario.site
    rules = replace(scenario.rules, shut=scenario.rules.shut | days_away(scenario.away))
    scenario = replace(scenario, rules=rules)
    year = season_on(scenario, today, before) if year is None else year
    dates = planning_days(year, site.latitude_deg)
    known, ill = known_since(scenario, today, before, dates[0]), pests_since(scenario, today, before, year)
    opens = opens_on(dates[0], before, year, known, ill)
    scenario = joined(as_lived(scenario, dates), known, dates, opens)
    climate = night_climate(scenario.normals, scenario.record, site)
    climate, places = as_read(own_nights(scenario.readings, climate, scenario.places), climate, scenario.places,
                              rules.units)
    scenario = replace(scenario, places=places)
    going = going_of(scenario, climate, dates, today)
    everybody, scenario = scenario.plants, still_there(scenario, dates, going.today)
    tables = night_tables(climate, site_thresholds_c(everybody, scenario.places, climate))
    light = daylight(site, scenario.places, scenario.normals, dates)
    finder = WindowFinder(climate, tables, rules, dates)
    uid = partial(step_uid, site.name, year)
    checked = last_check(scenario, year, ill)
    if missing := incomplete_moves(scenario, dates):
        told = replace(scenario, log=tuple(e for e in scenario.log if e not in missing))
        first = plant_plans(told, finder, light, checked, weight_kg=plant_weight_kg)
        steps = move_steps(first, rules, uid)
        scenario = replace(scenario, log=completed(scenario.log, missing, steps, first))
    here = {plant.name for plant in scenario.plants}
    gone = tuple(p for p in everybody if p.name not in here and p.left is not None and p.left > dates[0])
    going = replace(going, scenario=scenario, gone=gone, alerts=before.alerts if before else ())
    plants = plant_plans(scenario, finder, light, checked, going, plant_weight_kg)
    moves = move_steps(plants, rules, uid, going.is_done, overdue(going, before), left_out(going))
    return Moved(scenario, year, today, climate, tables, light, plants, moves, going, opens, known, ill, before,
                 other_way(scenario, finder, light, plants, plant_weight_kg))


def with_jobs(half: Moved, elsewhere: Elsewhere = NOWHERE_ELSE) -> Plan:
    """The jobs beside the moves, and the plan that holds both. elsewhere: what other gardens ask of the same person."""
    scenario, plants, going = half.scenario, half.plants, half.going
    ill = {p.name: half.ill[row][1] for p in scenario.plants if (row := p.row or p.name) in half.ill}
    agenda = build_agenda(scenario, plants, half.light, half.year, half.moves,
                          Lived(going.today, going.begun, ill, half.opens), elsewhere)
    season = with_stays(season_of(scenario, half.year), plants)
    helper = Helper(season, plants, half.climate, half.light).lists(scenario.away)
    assumptions = (*scenario.assumptions, *(note for p in scenario.places for note in p.assumed), *half.climate.notes,
                   *half.light.notes, *care_assumptions(scenario))
    return Plan(scenario, half.year, half.today, half.climate, half.tables, half.light, plants, agenda.steps,
                agenda.shopping, agenda.skipped, half.before.alerts if half.before else (),
                tuple(dict.fromkeys(assumptions)), agenda.habits, helper, half.known, half.ill,
                half.before.alerts_issued if half.before else "",
                tuple(cloth for cloth in hung_cloths(plants) if cloth.season), half.other_summer,
                notices_of(half, agenda.treated))


def notices_of(half: Moved, treated: Sequence[str]) -> tuple[str, ...]:
    """What the person should know before all else. treated: plants whose listed pest is over by the log."""
    scenario, left = half.scenario, left_out(half.going)
    taken_over = {*any_time_kinds(), *(("move-in",) if left else ())}
    return (*ahead_of(scenario.log, half.today), *lapsed(scenario, half.year, half.before, taken_over),
            *still_listed(half.ill, treated))


def last_check(scenario: Scenario, year: int, ill: Mapping[str, tuple[str, date]]) -> LastCheck:
    """What care knows of pests, for the outings. ill: pests of plants.csv and since when the plan knows of them."""
    def of(plant: Plant) -> date | None:
        _, since = ill.get(plant.row or plant.name, ("", None))
        return earliest_move_in(plant, scenario.log, year, scenario, since)
    return cache(of)
