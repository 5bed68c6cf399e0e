"""Who goes out, who stays in, and between which days."""

from dataclasses import replace
from datetime import date, timedelta
from functools import cache

import pytest
from invented import COLD_TOWN_TMIN_C, make_daylight, make_normals, make_plant, make_scenario, make_taxon

from seasonplan.climate.nights import night_climate
from seasonplan.climate.passage import night_tables
from seasonplan.dates import is_move_day, planning_days
from seasonplan.decisions.going import Going
from seasonplan.decisions.outings import open_spans, outings, plant_plans, ready_days
from seasonplan.decisions.windows import WindowFinder, place_windows, site_thresholds_c
from seasonplan.model import Alert, Edge, LogEntry, MoveDate, PlaceWindow, Rules
from seasonplan.sky.daylight import daylight

NEVER_COLD = make_normals(tmin_c=COLD_TOWN_TMIN_C + 40, tmax_c=None)
COLD = {"harm_c": 21.0, "comfort_c": 23.0}
LATER = {"harm_c": 10.8, "comfort_c": 14.8}
ANY_DAY = Rules(year=2027, move_days=())


def finder_of(scenario):
    climate = night_climate(scenario.normals, None, scenario.site)
    tables = night_tables(climate, site_thresholds_c(scenario.plants, scenario.places, climate))
    return WindowFinder(climate, tables, scenario.rules, planning_days(2027, scenario.site.latitude_deg))


def plans(*plants, last_check=None, **given):
    scenario = make_scenario(plants=plants, **given)
    finder = finder_of(scenario)
    light = daylight(scenario.site, scenario.places, scenario.normals, finder.dates)
    extra = {} if last_check is None else {"last_check": last_check}
    return {p.plant.name: p for p in plant_plans(scenario, finder, light, **extra)}


def going(*plants, last_check=lambda plant: None, **given):
    scenario = make_scenario(plants=plants, **given)
    finder = finder_of(scenario)
    windows = {p.name: place_windows(finder, p, scenario.places) for p in plants}
    return outings(scenario, finder, windows, last_check)


def test_plants_come_in_the_order_of_the_list_whatever_happens_to_them():
    kept = make_taxon(summer_outdoors="no")
    found = plans(make_plant("Orchid", taxon=kept), make_plant("Fig"), make_plant("Cacao", **COLD), make_plant("Palm"))
    assert [(name, p.status) for name, p in found.items()] == [
        ("Orchid", "stays-in"), ("Fig", "moves"), ("Cacao", "day-trips"), ("Palm", "moves")]


def test_a_plant_that_moves_tells_both_ends_at_the_places_it_stands_at():
    fig = plans(make_plant("Fig"))["Fig"]
    assert fig.out.date == fig.route[0].date and fig.back.date == fig.route[-1].until
    windows = {w.place: w for w in fig.windows}
    assert fig.out.carry_in == windows[fig.route[0].place].out.carry_in
    assert fig.back.carry_in == windows[fig.route[-1].place].back.carry_in
    assert 0 < fig.out.chance_of_harm < 1 and fig.out.expected_cold_nights > 0
    assert "%" in fig.reason and fig.brief and "%" not in fig.brief


def test_plants_whose_days_lie_within_a_week_share_days_of_moving():
    def days(found):
        return {day for plan in found.values() for stop in plan.route for day in (stop.date, stop.until)}

    fig, palm = make_plant("Fig"), make_plant("Palm", **LATER)
    own = [going(plant, rules=ANY_DAY)[plant.name] for plant in (fig, palm)]
    assert own[0].leave < own[1].leave and own[1].back < own[0].back
    alone = days(plans(fig, rules=ANY_DAY)) | days(plans(palm, rules=ANY_DAY))
    found = plans(fig, palm, rules=ANY_DAY)
    assert len(days(found)) < len(alone)
    assert found["Fig"].back.date == found["Palm"].back.date == own[1].back


def test_other_plants_do_not_change_the_days_between_which_a_plant_may_be_out():
    cacao = make_plant("Cacao", harm_c=13.5, harm_hardened_c=13.5, comfort_c=13.0)
    found = going(make_plant("Fig"), cacao, rules=ANY_DAY)
    assert found["Fig"] == going(make_plant("Fig"), rules=ANY_DAY)["Fig"]


def test_a_plant_leaves_on_a_day_the_person_moves_pots():
    fig = going(make_plant("Fig"))["Fig"]
    assert all(is_move_day(day, ("sat", "sun")) for day in (fig.leave, fig.back))


def test_where_no_night_does_harm_a_plant_stays_out_until_the_year_ends():
    fig = plans(make_plant("Fig"), normals=NEVER_COLD)["Fig"]
    assert fig.status == "stays-out" and fig.out.date is None and fig.back.date is None
    assert fig.route[-1].until == date(2028, 1, 1)


def test_a_plant_that_leaves_stays_out_until_then_only():
    left = date(2027, 8, 14)
    fig = plans(make_plant("Fig", left=left), normals=NEVER_COLD)["Fig"]
    assert fig.status == "stays-out" and left - timedelta(days=7) <= fig.route[-1].until <= left


def test_a_pest_found_late_keeps_a_plant_out_for_its_last_check_while_its_window_lasts():
    fig = make_plant("Fig")
    own = going(fig)["Fig"]
    early = own.back - timedelta(days=3)
    assert own.not_before is None
    assert going(fig, last_check=lambda plant: early)["Fig"] == replace(own, not_before=early)
    assert going(fig, last_check=lambda plant: own.back + timedelta(days=60))["Fig"] == own
    palm = make_plant("Palm", **LATER)
    together = plans(fig, palm, rules=ANY_DAY)
    own = going(fig, rules=ANY_DAY)["Fig"].back
    assert together["Fig"].back.date < own
    waits = plans(fig, palm, rules=ANY_DAY, last_check=lambda plant: own if plant.name == "Fig" else None)
    assert waits["Fig"].back.date == own and waits["Palm"].back.date < own


def test_a_plant_without_a_window_is_told_how_much_warmer_a_place_it_needs():
    cacao = plans(make_plant("Cacao", harm_c=15.0, comfort_c=15.0))["Cacao"]
    assert cacao.status in ("stays-in", "day-trips") and "°C warmer" in cacao.reason
    assert cacao.route == () and cacao.out.date is None


def test_day_trips_are_for_plants_that_no_night_but_warm_days_suit():
    warm = make_normals(tmax_c=COLD_TOWN_TMIN_C + 14)
    assert plans(make_plant("Cacao", **COLD), normals=warm)["Cacao"].status == "day-trips"
    assert plans(make_plant("Cacao", **COLD), normals=make_normals(tmax_c=COLD_TOWN_TMIN_C + 2))["Cacao"].trips is None


def test_day_trips_are_for_the_days_on_which_a_plant_is_there():
    warm = make_normals(tmax_c=COLD_TOWN_TMIN_C + 14)
    first, last = plans(make_plant("Cacao", **COLD), normals=warm)["Cacao"].trips
    came, goes = first + timedelta(days=3), last - timedelta(days=4)
    here = make_plant("Cacao", arrived=came, left=goes, **COLD)
    assert plans(here, normals=warm)["Cacao"].trips == (came, goes - timedelta(days=1))
    assert plans(make_plant("Cacao", left=first, **COLD), normals=warm)["Cacao"].trips is None


@pytest.mark.parametrize("share", ["yes", "sheltered", "no"])
def test_the_catalogue_decides_whether_a_plant_ever_goes_out(share):
    fig = make_plant("Fig")
    found = plans(replace(fig, taxon=replace(fig.taxon, summer_outdoors=share)))["Fig"]
    assert (found.status == "stays-in") is (share == "no")


@pytest.mark.parametrize("policy", ["carry-in", "careful"])
def test_a_plant_is_back_before_nights_break_its_policy_whenever_it_goes_out(policy):
    plants = [make_plant(f"Fig {n}", harm_c=6.0 + n, comfort_c=8.0 + n) for n in range(9)]
    rules = Rules(year=2027, policy=policy)
    scenario = make_scenario(plants=tuple(plants), rules=rules)
    finder, places = finder_of(scenario), {p.name: p for p in scenario.places}
    found, shorter = going(*plants, rules=rules), 0
    for outing in found.values():
        for name, (first, until) in outing.spans.items():
            shorter += until < next(w.span[1] for w in outing.windows if w.place == name)
            for days in range(0, (until - first).days - 20, 3):
                chance, expected = finder.odds_back(until, first + timedelta(days=days), outing.plant.bearing,
                                                    finder.lift(places[name]))
                assert chance <= rules.harm_risk or policy == "carry-in" and expected <= rules.carry_in_nights
    assert len(found) > 4 and shorter


def may(number, month=5):
    return date(2027, month, number)


def test_a_plant_leaves_on_the_first_and_is_back_on_the_last_day_of_moving_of_all_its_places():
    spans = {"a": (may(5), may(10, 6)), "b": (may(10), may(20, 9))}
    assert ready_days(spans, ("sat", "sun")) == (may(8), may(19, 9))
    assert ready_days(spans, ("sat", "sun"), {may(8), may(19, 9)}) == (may(9), may(18, 9))
    assert ready_days(spans, ()) == (may(5), may(20, 9)) and ready_days({}, ()) is None
    assert ready_days({"a": (may(5), may(6))}, ()) == (may(5), may(6))
    assert ready_days({"a": (may(5), may(5))}, ()) is None
    assert ready_days({"a": (may(3), may(7))}, ("sat", "sun")) is None


def test_a_place_is_open_in_its_window_or_all_year_from_when_on_a_fresh_plant_may_go_there():
    year, none = [may(1, 1), may(31, 12)], MoveDate(None, None, None, None, None)
    windows = [PlaceWindow("a", (may(5), may(9)), none, none, ""), PlaceWindow("b", Edge.NEVER, none, none, ""),
               PlaceWindow("c", Edge.ALL_YEAR, none, none, ""),
               PlaceWindow("d", Edge.ALL_YEAR, replace(none, date=may(3)), none, "")]
    assert open_spans(windows, year) == {"a": (may(5), may(9)), "c": (may(1, 1), date(2028, 1, 1)),
                                         "d": (may(3), date(2028, 1, 1))}


FIG = make_plant("Fig")
DAY = timedelta(days=1)


@cache
def own_days(days=()):
    """(finder, windows, first and last day) of a fig on paper."""
    scenario = make_scenario(plants=(FIG,), rules=Rules(year=2027, move_days=days))
    finder = finder_of(scenario)
    windows = {"Fig": place_windows(finder, FIG, scenario.places)}
    found = outings(scenario, finder, windows, lambda plant: None)["Fig"]
    return finder, windows, found.leave, found.back


def on_its_way(today, *log, days=(), plant=FIG, windows=None, alerts=()):
    """The days of the fig in a season that is kept; None where it does not go out any more."""
    finder, own, *_ = own_days(days)
    scenario = make_scenario(plants=(plant,), rules=Rules(year=2027, move_days=days),
                             log=tuple(LogEntry(*entry) for entry in log))
    found = outings(scenario, finder, {"Fig": windows or own["Fig"]}, lambda plant: None,
                    Going(scenario, finder.climate, finder.dates, today, alerts=alerts))
    return found and (found["Fig"].leave, found["Fig"].back)


def test_in_a_season_that_is_kept_nobody_leaves_before_today_nor_too_late_to_be_hardened_off():
    _, _, leave, back = own_days()
    assert on_its_way(leave - 9 * DAY) == (leave, back) == on_its_way(leave)
    assert on_its_way(leave + DAY) == (leave + DAY, back)
    assert on_its_way(back - 21 * DAY) == (back - 21 * DAY, back) and not on_its_way(back - 20 * DAY)
    _, _, saturday, last = own_days(("sat", "sun"))
    assert on_its_way(saturday + 2 * DAY, days=("sat", "sun")) == (saturday + 7 * DAY, last)
    assert on_its_way(leave, plant=replace(FIG, left=back - 9 * DAY)) == (leave, back - 9 * DAY)
    assert on_its_way(leave, plant=replace(FIG, left=back + 9 * DAY)) == (leave, back)


def test_one_that_stands_outdoors_too_long_comes_in_on_the_next_day_and_one_that_is_in_stays_in():
    _, _, leave, back = own_days(("sat", "sun"))
    out = (leave, "move-out", "Fig", "porch")
    weekend = {"days": ("sat", "sun")}
    assert on_its_way(back - 5 * DAY, out, **weekend) == (leave, back)
    assert on_its_way(back + DAY, out, **weekend)[1] == back + 6 * DAY
    assert on_its_way(back - DAY, out, (back - 5 * DAY, "move-in", "Fig"), **weekend) == (leave, back - 5 * DAY)
    assert on_its_way(back + 9 * DAY, out, (back + 5 * DAY, "move-in", "Fig"), **weekend) == (leave, back)


def test_one_that_was_rescued_goes_out_on_the_day_it_was_told_and_not_for_less_than_a_week():
    _, _, leave, back = own_days()
    out, rescue = (leave, "move-out", "Fig", "porch"), (leave + 5 * DAY, "rescue", "Fig", "south window")
    told = Alert("a", rescue[0], "porch", 5.0, 5.0, 0.9, 10.0, ("Fig",), "In.", "2027-05-01T20:00",
                 out_again=leave + 10 * DAY)
    assert on_its_way(rescue[0], out, rescue, alerts=(told,)) == (leave + 10 * DAY, back)
    last = [on_its_way(rescue[0], out, rescue, alerts=(replace(told, out_again=back - n * DAY),)) for n in (7, 6)]
    assert last == [(back - 7 * DAY, back), {}]


def test_one_that_is_new_or_too_late_for_this_year_says_so():
    finder, _, leave, back = own_days()
    plants = (replace(FIG, arrived=leave), replace(FIG, name="Palm", taxon=make_taxon(summer_outdoors="no")))
    scenario = make_scenario(plants=plants, rules=ANY_DAY, normals=make_normals(tmax_c=COLD_TOWN_TMIN_C + 2))
    light, season = make_daylight(scenario.places), Going(scenario, finder.climate, finder.dates, back - 9 * DAY)
    late, kept = plant_plans(scenario, finder, light, going=season)
    assert late.reason.startswith("New on ") and late.reason.endswith(
        "Too little of its season is left to harden it off; it goes out next year.")
    assert "next year" not in kept.reason and "New on" not in kept.reason


def test_one_that_stands_out_where_it_has_no_window_comes_in_on_the_next_day():
    finder, windows, leave, _ = own_days()
    never = tuple(replace(window, span=Edge.NEVER) for window in windows["Fig"])
    out = (leave, "move-out", "Fig", "porch")
    assert on_its_way(leave + 3 * DAY, out, windows=never) == (leave, leave + 3 * DAY)
    assert not on_its_way(leave + 3 * DAY, windows=never)
