"""Who goes out, who stays in and who lives outdoors: the outing of every plant, and the plan that comes of its route.

An outing says between which days a plant may be outdoors and where; the route (decisions.route) says where it stands
when. What plants without a window can do instead (a warmer place, day trips, staying in) is said here too.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date, timedelta
from functools import cache, partial

from seasonplan.climate.at_plant import SeasonLift
from seasonplan.climate.highs import normal_highs_c
from seasonplan.climate.passage import night_tables
from seasonplan.decisions import reasons
from seasonplan.decisions.guesses import Doubts, around, doubts_of, with_span
from seasonplan.decisions.log_state import logged_stays
from seasonplan.decisions.route import RouteRequest, RouteResult, routes
from seasonplan.decisions.waves import Spans, group_days, open_spans, ready_days
from seasonplan.decisions.windows import WindowFinder, place_windows, site_thresholds_c, suitable_places
from seasonplan.model import Bearing, Daylight, Edge, MoveDate, PlaceWindow, Plant, PlantPlan, Rules, Scenario

NO_MOVE = MoveDate(None, None, None, None, None)
SHORTEST_GROUPED_STAY_DAYS = 14
"""A wave never shortens a plant's stay below this; it then keeps its own days. Our setting."""


@dataclass(frozen=True)
class Outing:
    """A plant that may go out: its windows, when it leaves and when it must be back."""

    plant: Plant
    windows: tuple[PlaceWindow, ...]
    spans: Spans
    leave: date
    back: date


LastCheck = Callable[[Plant], date | None]
"""The day before which a plant may not come in because of a pest found on it (care knows), None: nothing holds it."""


def plant_plans(scenario: Scenario, finder: WindowFinder, light: Daylight,
                last_check: LastCheck = lambda plant: None) -> tuple[PlantPlan, ...]:
    """One PlantPlan per plant, in plants.csv order."""
    windows = {p.name: place_windows(finder, p, scenario.places) for p in scenario.plants}
    going = outings(scenario, finder, windows, last_check)
    requests = [RouteRequest(o.plant, o.spans, o.leave, o.back, logged_stays(scenario, o.plant, finder.dates))
                for o in going.values()]
    routed = dict(zip(going, routes(requests, scenario.places, light, scenario.rules), strict=True))
    ends = cache(partial(_ends, scenario, finder))
    found = {name: _routed_plan(scenario.rules, going[name], result, ends) for name, result in routed.items()}
    stuck = [p for p in scenario.plants if p.name not in found]
    found.update(_indoor_plans(scenario, finder, windows, stuck))
    return tuple(found[p.name] for p in scenario.plants)


def outings(scenario: Scenario, finder: WindowFinder, windows: Mapping[str, tuple[PlaceWindow, ...]],
            last_check: LastCheck) -> dict[str, Outing]:
    """Plants with a window, on their waves' days, by name in plants.csv order."""
    rules, dates = scenario.rules, finder.dates
    alike = {id(found): found for found in windows.values()}
    spans_of = {key: open_spans(found, dates) for key, found in alike.items()}
    ready_of = {key: ready_days(spans, rules.move_days) for key, spans in spans_of.items()}
    ever = {key for key, found in alike.items() if any(w.span is Edge.ALL_YEAR for w in found)}
    going = [p.name for p in scenario.plants if p.taxon.summer_outdoors != "no"]
    spans = {name: spans_of[id(windows[name])] for name in going}
    all_year = {name for name in going if id(windows[name]) in ever}
    ready = {name: days for name in going if (days := ready_of[id(windows[name])]) is not None}
    moving = [name for name in ready if name not in all_year]
    leave = group_days({n: ready[n][0] for n in moving}, latest=True)
    back = group_days({n: ready[n][1] for n in moving}, latest=False)
    found = {}
    for plant in scenario.plants:
        if plant.name not in ready:
            continue
        own = ready[plant.name]
        days = (leave.get(plant.name, own[0]), back.get(plant.name, own[1]))
        if (days[1] - days[0]).days < SHORTEST_GROUPED_STAY_DAYS:
            days = own
        if plant.name in all_year:
            days = (own[0], dates[-1] + timedelta(days=1))
        checked = last_check(plant)
        if checked is not None and days[1] < checked <= own[1]:
            days = (days[0], checked)
        found[plant.name] = Outing(plant, windows[plant.name], spans[plant.name], *days)
    return found


def _routed_plan(rules: Rules, outing: Outing, result: RouteResult, ends: Callable[..., _Ends]) -> PlantPlan:
    """ends: _ends of this scenario, kept for plants that are alike."""
    plant, windows, stops = outing.plant, outing.windows, result.stops
    if not stops:
        return PlantPlan(plant, "stays-in", result.blocked or result.reason, NO_MOVE, NO_MOVE, windows)
    if any(w.span is Edge.ALL_YEAR for w in windows):
        reason = f"{reasons.all_year_reason(plant, rules)} {result.reason}".strip()
        return PlantPlan(plant, "stays-out", reason, NO_MOVE, NO_MOVE, windows, stops)
    first, last = (next((w for w in windows if w.place == stop.place), windows[0]) for stop in (stops[0], stops[-1]))
    out, back, reason = ends(plant.bearing, doubts_of(plant), first, last, stops[0].date, stops[-1].until)
    return PlantPlan(plant, "moves", f"{reason} {result.reason}".strip(), out, back, windows, stops)


_Ends = tuple[MoveDate, MoveDate, str]
"""The two ends of a stay outdoors, and their reason."""


def _ends(scenario: Scenario, finder: WindowFinder, bearing: Bearing, doubts: Doubts, first: PlaceWindow,
          last: PlaceWindow, out_day: date, back_day: date) -> _Ends:
    """doubts: the guesses among its thresholds; first, last: the windows of the places it first and last stands at;
    out_day, back_day: when it really moves."""
    lifts = {p.name: finder.lift(p) for p in scenario.places if p.outdoors}
    out_odds = finder.odds_out(out_day, bearing, lifts[first.place])
    back_odds = finder.odds_back(back_day, out_day, bearing, lifts[last.place])

    def on_day(move: MoveDate, day: date, odds: tuple[float, float]) -> MoveDate:
        return replace(around(move, day), chance_of_harm=odds[0], expected_cold_nights=odds[1])

    out = on_day(with_span(finder, bearing, doubts, first, lifts[first.place], 0), out_day, out_odds)
    back = on_day(with_span(finder, bearing, doubts, last, lifts[last.place], 1), back_day, back_odds)
    reason = reasons.moves_reason(bearing, replace(first, out=out), replace(last, back=back), scenario.rules)
    return out, back, reason


def _indoor_plans(scenario: Scenario, finder: WindowFinder, windows, plants: Sequence[Plant]) -> dict[str, PlantPlan]:
    """Plants without a window or kept in by the catalogue, with the best alternative for each."""
    rules = scenario.rules
    warmer = _warmer_places(scenario, finder, [p for p in plants if p.taxon.summer_outdoors != "no"])
    tmax_c = normal_highs_c(scenario.normals, scenario.site)
    found = {}
    for plant in plants:
        trips = None
        if plant.taxon.summer_outdoors == "no":
            status, reason = "stays-in", reasons.kept_in_reason(plant)
        else:
            trips = reasons.day_trip_span(finder, plant, tmax_c)
            status, reason = reasons.no_window_reason(plant, windows[plant.name], scenario.places, rules,
                                                      warmer.get(plant.name), trips)
        found[plant.name] = PlantPlan(plant, status, reason, NO_MOVE, NO_MOVE, windows[plant.name],  # type: ignore[arg-type]
                                      trips=trips if status == "day-trips" else None)
    return found


def _warmer_places(scenario: Scenario, finder: WindowFinder, plants: Sequence[Plant]):
    """For plants without a window: the least extra night lift that would give one, and that window."""
    if not plants:
        return {}
    lifts = [max((finder.lift(p) for p in suitable_places(plant, scenario.places)), default=SeasonLift(0.0, 0.0))
             for plant in plants]
    bases = sorted(set(lifts))
    extra = [base.harm_c + more for base in bases for more in reasons.EXTRA_LIFTS_C]
    tables = night_tables(finder.climate, site_thresholds_c(plants, (), finder.climate, extra))
    trial = WindowFinder(finder.climate, tables, finder.rules, finder.dates)
    found = {}
    for plant, base in zip(plants, lifts, strict=True):
        for more in reasons.EXTRA_LIFTS_C:
            lift = SeasonLift(base.harm_c + more, base.normal_c + more)
            window = trial.window(plant.bearing, lift, "a warmer place")
            if window.span is not Edge.NEVER:
                found[plant.name] = (more, window)
                break
    return found
