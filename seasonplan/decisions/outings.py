"""Who goes out, who stays in and who lives outdoors: the outing of every plant, and the plan that comes of its route.

An outing says between which days a plant may be outdoors and where; the route (decisions.route) says where it stands
when. What plants without a window can do instead (a warmer place, day trips, staying in) is said here too.
"""

from __future__ import annotations

from collections.abc import Callable, Collection, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date, timedelta
from functools import cache, partial

from seasonplan import wording as w
from seasonplan.climate.at_plant import SeasonLift
from seasonplan.climate.highs import normal_highs_c
from seasonplan.climate.passage import night_tables
from seasonplan.dates import next_move_day, previous_move_day
from seasonplan.decisions import reasons
from seasonplan.decisions.absence import Absence
from seasonplan.decisions.going import Going
from seasonplan.decisions.guesses import Doubts, around, doubts_of, with_span
from seasonplan.decisions.route import RouteResult, Spans
from seasonplan.decisions.route.compare import other_summer
from seasonplan.decisions.steady import Steady, requests_of
from seasonplan.decisions.windows import (
    SHORTEST_STAY_DAYS,
    WindowFinder,
    place_windows,
    site_thresholds_c,
    suitable_places,
)
from seasonplan.model import Bearing, Daylight, Edge, MoveDate, PlaceWindow, Plant, PlantPlan, Rules, Scenario

SHORTEST_RETURN_DAYS = 7
"""A plant that was carried in for cold nights goes out again where so many days of its season are left. Our setting."""
NO_MOVE = MoveDate(None, None, None, None, None)


@dataclass(frozen=True)
class Outing:
    """A plant that may go out: its windows, from when on, by when it must be back, and not before which day (pests)."""

    plant: Plant
    windows: tuple[PlaceWindow, ...]
    spans: Spans
    leave: date
    back: date
    not_before: date | None


Days = tuple[date, date]
"""First and last move day of a plant: out on the one, in on the other."""
LastCheck = Callable[[Plant], date | None]
"""The day before which a plant may not come in because of a pest found on it (care knows), None: nothing holds it."""


def _unchecked(plant: Plant) -> date | None:
    return None


def plant_plans(scenario: Scenario, finder: WindowFinder, light: Daylight, last_check: LastCheck = _unchecked,
                going: Going | None = None,
                weight_kg: Callable[[Plant], float] = lambda plant: 0.0) -> tuple[PlantPlan, ...]:
    """One PlantPlan per plant, in plants.csv order. going: how far the season is; None: on paper. weight_kg: of one
    watered pot (care knows)."""
    going = going or Going(scenario, finder.climate, finder.dates)
    windows = {p.name: place_windows(finder, p, scenario.places) for p in (*scenario.plants, *going.gone)}

    def out(season: Going, checked: bool) -> dict[str, Outing]:
        return outings(season.scenario, finder, windows, last_check if checked else _unchecked, season)

    routed = Steady(out, going, scenario.places, light, scenario.rules, weight_kg).routed()
    ends = cache(partial(_ends, scenario, finder))
    found = {name: _routed_plan(scenario.rules, outing, result, ends) for name, (outing, result) in routed.items()}
    stuck = [p for p in scenario.plants if p.name not in found]
    found.update(_indoor_plans(scenario, finder, windows, stuck, going.begun))
    return tuple(_with_news(found[p.name], going) for p in scenario.plants)


def other_way(scenario: Scenario, finder: WindowFinder, light: Daylight, plans: Sequence[PlantPlan],
              weight_kg: Callable[[Plant], float] = lambda plant: 0.0) -> str:
    """What the other rule of summer would give, in one sentence; "" where it makes no difference."""
    going = Going(scenario, finder.climate, finder.dates)
    windows = {p.name: place_windows(finder, p, scenario.places) for p in scenario.plants}
    requests = requests_of(outings(scenario, finder, windows, _unchecked).values(), going, weight_kg)
    return other_summer(requests, plans, scenario.places, light, scenario.rules) if requests else ""


def _with_news(plan: PlantPlan, going: Going) -> PlantPlan:
    """A plan that says since when a plant is there, where it is new."""
    plant, until = plan.plant, going.apart_until(plan.plant)
    news = "" if until is None or plant.arrived is None else \
        f"New on {w.day(plant.arrived)}: it stands apart at {plant.place} until {w.day(until)}."
    brief = f"{news} {plan.brief}".strip() if plan.brief else ""
    return replace(plan, reason=f"{news} {plan.reason}".strip(), brief=brief)


def outings(scenario: Scenario, finder: WindowFinder, windows: Mapping[str, tuple[PlaceWindow, ...]],
            last_check: LastCheck, season: Going | None = None) -> dict[str, Outing]:
    """Plants with a window, by name in plants.csv order. season: how far it is."""
    rules, dates = scenario.rules, finder.dates
    alike = {id(windows[p.name]): windows[p.name] for p in scenario.plants}
    bearing_of = {id(windows[p.name]): p.bearing for p in scenario.plants}
    spans_of = {key: safe_spans(finder, found, bearing_of[key], scenario) for key, found in alike.items()}
    ready_of = {key: ready_days(spans, rules.move_days, rules.shut) for key, spans in spans_of.items()}
    all_year = {key for key, found in alike.items() if any(w.span is Edge.ALL_YEAR for w in found)}
    going = [p.name for p in scenario.plants if p.taxon.summer_outdoors != "no"]
    ready = {name: days for name in going if (days := ready_of[id(windows[name])]) is not None}
    if season is not None:
        ready = _under_way(scenario, ready, season)
    found = {}
    absent = Absence(scenario, finder.climate) if scenario.away else None
    for plant in scenario.plants:
        if plant.name not in ready:
            continue
        key, (leave, back) = id(windows[plant.name]), ready[plant.name]
        if key in all_year and plant.name in going:
            back = min(dates[-1] + timedelta(days=1), plant.left or date.max)
        checked = last_check(plant)
        spans = spans_of[key] if plant.name in going else {}
        if absent is not None and key not in all_year:
            out = season is not None and season.stands_outdoors(season.stays(plant))
            leave, back = absent.around(plant, spans, leave, back, out)
        if leave < back:
            found[plant.name] = Outing(plant, windows[plant.name], spans, leave, back,
                                       checked if checked is not None and leave < checked <= back else None)
    return found


def open_spans(windows: Sequence[PlaceWindow], dates: Sequence[date]) -> Spans:
    """Per place the first date in and the date out (exclusive); all-year places span the planning year
    from the day a plant fresh from indoors may go there."""
    def season(window: PlaceWindow) -> tuple[date, date]:
        return window.out.date or dates[0], dates[-1] + timedelta(days=1)

    return {w.place: season(w) if w.span is Edge.ALL_YEAR else w.span
            for w in windows if w.span is not Edge.NEVER}  # type: ignore[misc]


def safe_spans(finder: WindowFinder, windows: Sequence[PlaceWindow], bearing: Bearing, scenario: Scenario) -> Spans:
    """The open spans, each ending so early that harm allows it whenever the plant goes out."""
    places = {p.name: p for p in scenario.places}
    spans, ends = open_spans(windows, finder.dates), {w.place for w in windows if not isinstance(w.span, Edge)}
    return {name: (span[0], finder.safe_until(span, bearing, places[name])) if name in ends else span
            for name, span in spans.items()}


def ready_days(spans: Spans, move_days: tuple[str, ...],
               shut: Collection[date] = ()) -> tuple[date, date] | None:
    """First and last move day of a plant: out on the one, in on the other; None when no move day is left between."""
    if not spans:
        return None
    leave = next_move_day(min(s[0] for s in spans.values()), move_days, shut)
    back = previous_move_day(max(s[1] for s in spans.values()), move_days, shut)
    return (leave, back) if leave < back else None


def _under_way(scenario: Scenario, ready: Mapping[str, Days], season: Going) -> dict[str, Days]:
    """The days of plants in a season on its way: nobody leaves before its first free day; what came in for the winter
    or left is back by then, and what should be in already comes in on the next day. Left out are plants that could no
    longer be hardened off, and let in those that stand outdoors though they have no window there."""
    days, found = (scenario.rules.move_days, scenario.rules.shut), {}
    for plant in scenario.plants:
        free, stays = season.free_from(plant), season.stays(plant)
        outside, inside = season.stands_outdoors(stays), season.in_for_good(plant)
        if plant.name not in ready:
            if outside and free is not None:
                found[plant.name] = (stays[0].date, next_move_day(free, *days))
            continue
        leave, back = ready[plant.name]
        carried, first = season.carried(plant), free or season.dates[0]
        if carried is not None and leave > first:                # its time outdoors was over in the year before
            leave, back = carried.date, next_move_day(max(first, carried.date + timedelta(days=1)), *days)
        elif inside is not None:
            back = min(back, inside)
        elif outside and free is not None:
            back = max(back, next_move_day(free, *days))
        elif free is not None:
            rescued = season.out_again(plant, stays) == free
            leave = free if rescued else next_move_day(max(leave, free), *days)
            if (back - leave).days < (SHORTEST_RETURN_DAYS if stays else SHORTEST_STAY_DAYS):
                if not stays:
                    continue
                back = stays[-1].date
        found[plant.name] = (leave, min(back, plant.left) if plant.left is not None else back)
    return found


def _routed_plan(rules: Rules, outing: Outing, result: RouteResult, ends: Callable[..., _Ends]) -> PlantPlan:
    """ends: _ends of this scenario, kept for plants that are alike."""
    plant, windows, stops = outing.plant, outing.windows, result.stops
    if not stops:
        return PlantPlan(plant, "stays-in", result.blocked or result.reason, NO_MOVE, NO_MOVE, windows,
                         lacks=result.lacks)
    if any(w.span is Edge.ALL_YEAR for w in windows):
        reason = f"{reasons.all_year_reason(plant, rules)} {result.reason}".strip()
        return PlantPlan(plant, "stays-out", reason, NO_MOVE, NO_MOVE, windows, stops)
    first, last = (next((w for w in windows if w.place == stop.place), windows[0]) for stop in (stops[0], stops[-1]))
    out, back, *texts = ends(plant.bearing, doubts_of(plant), first, last, stops[0].date, stops[-1].until)
    reason, brief = (f"{text} {result.reason}".strip() for text in texts)
    return PlantPlan(plant, "moves", reason, out, back, windows, stops, brief=brief)


_Ends = tuple[MoveDate, MoveDate, str, str]
"""The two ends of a stay outdoors, and their reason, with and without its chances."""


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
    first, last = replace(first, out=out), replace(last, back=back)
    reason, brief = (reasons.moves_reason(bearing, first, last, scenario.rules, odds) for odds in (True, False))
    return out, back, reason, brief


def _indoor_plans(scenario: Scenario, finder: WindowFinder, windows, plants: Sequence[Plant],
                  begun: date | None) -> dict[str, PlantPlan]:
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
            trips = reasons.day_trip_span(finder, plant, tmax_c, begun)
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
