"""Windows on an invented climate: each policy's condition holds at its date and fails one day further out."""

from dataclasses import replace
from datetime import date, timedelta

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from invented import COLD_TOWN_SD_C, COLD_TOWN_TMIN_C, make_places, make_plant, make_site, make_taxon

from seasonplan.climate.nights import night_climate
from seasonplan.climate.passage import night_tables
from seasonplan.dates import planning_days
from seasonplan.decisions.windows import (
    SHORTEST_STAY_DAYS,
    Span,
    WindowFinder,
    combine,
    freeze_threshold_c,
    is_sheltered,
    longest_run,
    place_windows,
    site_thresholds_c,
    suitable_places,
)
from seasonplan.model import Edge, Normals, Place, Rules


def finder_for(plants, places=(), rules=None, shift_c=0.0, latitude_deg=44.5, months=0):
    """A finder on the invented cold town, warmed by shift_c, its months rolled for the south."""
    normals = Normals(np.roll(COLD_TOWN_TMIN_C, months) + shift_c, np.roll(COLD_TOWN_SD_C, months))
    site = make_site(latitude_deg=latitude_deg)
    climate = night_climate(normals, None, site)
    tables = night_tables(climate, site_thresholds_c(plants, places))
    return WindowFinder(climate, tables, rules or Rules(year=2027), planning_days(2027, latitude_deg))


@pytest.mark.parametrize("allowed, run", [
    ([0, 0, 0], Edge.NEVER), ([1, 1, 1], Edge.ALL_YEAR), ([0, 1, 1, 0], (1, 2)), ([1, 1, 0, 1, 1, 1], (3, 5)),
    ([1, 0, 1], (0, 0)), ([1, 0, 1, 1, 0], (2, 3)),
])
def test_longest_run_finds_the_longest_and_the_first_of_equals(allowed, run):
    assert longest_run(np.array(allowed, dtype=bool)).run == run


def test_carry_in_condition_holds_at_its_date_and_fails_the_day_before():
    plant = make_plant()
    finder = finder_for([plant])
    span = finder.policy_spans(plant.harm_c, 0.0)["carry-in"]
    expected, freeze = finder.expected(10.0), finder.chance(0.0)
    for position, beyond in ((span.start, span.start - 1), (span.end, span.end + 1)):
        assert expected[position] <= 2.0 and freeze[position] <= 0.02
        assert expected[beyond] > 2.0 or freeze[beyond] > 0.02


def test_careful_condition_holds_at_its_date_and_fails_the_day_before():
    plant = make_plant(harm_c=5.0)
    finder = finder_for([plant], rules=Rules(year=2027, policy="careful", harm_risk=0.2))
    span = finder.policy_spans(5.0, 0.0)["careful"]
    chance = finder.chance(5.0)
    assert chance[span.start] <= 0.2 < chance[span.start - 1]
    assert chance[span.end] <= 0.2 < chance[span.end + 1]


def test_careful_date_is_the_published_meaning_of_the_ten_percent_date():
    from seasonplan.climate.crossings import spring_index
    from seasonplan.dates import day_index

    plant = make_plant(harm_c=2.0)
    finder = finder_for([plant], rules=Rules(year=2027, policy="careful"))
    out = finder.window(2.0, -50.0, 0.0, "lawn").out
    assert day_index(out.careful) == spring_index(finder.tables, finder.row(2.0), 10)


def test_a_warmer_place_opens_earlier_and_closes_later():
    plant = make_plant()
    porch, lawn = Place("porch", "outdoor", night_lift_c=2.0), Place("lawn", "outdoor")
    finder = finder_for([plant], (porch, lawn))
    warm, plain = place_windows(finder, plant, (porch, lawn))
    assert warm.span[0] < plain.span[0] and warm.span[1] > plain.span[1]


def test_comfort_waits_where_the_year_offers_six_weeks_and_not_where_it_does_not():
    plant = make_plant()
    waits = finder_for([plant]).window(10.0, 14.0, 0.0, "lawn")
    assert waits.out.decided_by == "comfort" and waits.reason == "both"
    cool = finder_for([plant], shift_c=-1.8).window(10.0, 14.0, 0.0, "lawn")
    assert cool.reason in ("cool", "never", "short")
    hardy = finder_for([make_plant(harm_c=4.0)], shift_c=-3.0).window(4.0, 14.0, 0.0, "lawn")
    assert hardy.reason == "cool" and hardy.out.decided_by in ("harm", "freeze")


def test_never_and_all_year_are_ordinary_results():
    plant = make_plant(harm_c=10.0)
    assert finder_for([plant], shift_c=-15).window(10.0, 14.0, 0.0, "lawn").span is Edge.NEVER
    hot = finder_for([plant], shift_c=45).window(10.0, 14.0, 0.0, "lawn")
    assert hot.span is Edge.ALL_YEAR and hot.out.date is None


def test_southern_season_runs_over_new_year():
    plant = make_plant()
    window = finder_for([plant], latitude_deg=-44.5, months=6).window(10.0, 14.0, 0.0, "lawn")
    assert window.span[0].year == 2027 and window.span[1].year == 2028
    north = finder_for([plant]).window(10.0, 14.0, 0.0, "lawn")
    length = (window.span[1] - window.span[0]).days
    assert abs(length - (north.span[1] - north.span[0]).days) <= 4


def test_a_short_run_is_no_window():
    assert combine(Span((100, 100 + SHORTEST_STAY_DAYS)), Span((110, 300)), 365)[0] == (110, 121)
    plant = make_plant(harm_c=10.0)
    window = finder_for([plant], shift_c=-1.6).window(10.0, 11.0, 0.0, "lawn")
    assert window.span is Edge.NEVER or (window.span[1] - window.span[0]).days >= SHORTEST_STAY_DAYS


def test_a_taxon_that_wants_shelter_keeps_off_open_ground():
    plant = make_plant(taxon=make_taxon(summer_outdoors="sheltered"))
    names = [p.name for p in suitable_places(plant, make_places())]
    assert names == ["porch", "under the tree"]
    assert suitable_places(plant, (Place("lawn", "outdoor"),)) == (Place("lawn", "outdoor"),)
    assert not is_sheltered(Place("yard", "outdoor", roof_deg=90.0, leaf_shade=1.0))


@settings(deadline=None, max_examples=40, derandomize=True)
@given(harm=st.integers(-4, 14), comfort_above=st.integers(0, 6), lift=st.sampled_from([-1.0, 0.0, 1.5]),
       shift=st.integers(-8, 25), policy=st.sampled_from(["careful", "carry-in"]), south=st.booleans())
def test_every_night_of_a_window_keeps_the_policy(harm, comfort_above, lift, shift, policy, south):
    plant = make_plant(harm_c=float(harm))
    place = Place("somewhere", "outdoor", night_lift_c=lift)
    rules = Rules(year=2027, policy=policy)
    finder = finder_for([plant], (place,), rules, shift, -40.0 if south else 40.0, 6 if south else 0)
    window = finder.window(float(harm), float(harm + comfort_above), lift, "somewhere")
    if isinstance(window.span, Edge):
        assert window.out.date is None
        return
    first = (window.span[0] - finder.dates[0]).days
    last = (window.span[1] - finder.dates[0]).days
    chance, expected = finder.chance(harm - lift), finder.expected(harm - lift)
    for position in (first, last):
        if policy == "careful":
            assert chance[position] <= 0.10
        else:
            assert expected[position] <= 2.0
    assert last - first >= SHORTEST_STAY_DAYS
    assert finder.dates[0] <= window.span[0] < window.span[1] <= date(2028, 6, 30)


def test_thresholds_are_harm_and_freeze_as_seen_from_every_outdoor_place():
    assert [freeze_threshold_c(c) for c in (10.0, 0.0, -3.0)] == [0.0, 0.0, -3.0]
    places = (Place("porch", "outdoor", night_lift_c=2.0), Place("room", "indoor", night_lift_c=9.0))
    assert list(site_thresholds_c([make_plant(harm_c=10.0)], places, (0.5,))) == [-2.0, -0.5, 0.0, 8.0, 9.5, 10.0]


@pytest.mark.parametrize("keys, sheltered", [
    ({}, False), ({"faces_deg": 180.0}, True), ({"faces_deg": 180.0, "wall_behind": False}, False),
    ({"wall_behind": True}, True), ({"roof_deg": 89.0}, True), ({"roof_deg": 90.0}, False),
    ({"leaf_shade": 0.99}, True), ({"leaf_shade": 1.0}, False),
])
def test_a_wall_a_roof_or_a_crown_shelters(keys, sheltered):
    assert is_sheltered(Place("spot", "outdoor", **keys)) is sheltered


def test_odds_of_a_date_are_the_curves_and_hold_their_ends_beyond_the_year():
    finder = finder_for([make_plant()], (Place("porch", "outdoor", night_lift_c=2.0),))
    chance, expected, dates = finder.chance(8.0), finder.expected(8.0), finder.dates
    for day, position in ((dates[130], 130), (dates[0] - timedelta(3), 0), (dates[-1] + timedelta(3), 364)):
        assert finder.odds(day, 10.0, 2.0) == (chance[position], expected[position])


@pytest.mark.parametrize("harm, comfort, run, reason", [
    (Edge.NEVER, (5, 300), Edge.NEVER, "never"), ((9, 99), None, (9, 99), "cool"),
    ((9, 99), Edge.ALL_YEAR, (9, 99), "both"), (Edge.ALL_YEAR, Edge.ALL_YEAR, Edge.ALL_YEAR, "all-year"),
    ((9, 99), Edge.NEVER, Edge.NEVER, "never"), ((9, 99), (20, 80), (20, 80), "both"),
    ((9, 99), (5, 100), (9, 99), "both"), (Edge.ALL_YEAR, (5, 100), (5, 100), "both"),
    (Edge.ALL_YEAR, (0, 364), Edge.ALL_YEAR, "all-year"), (Edge.ALL_YEAR, (0, 363), (0, 363), "both"),
    (Edge.ALL_YEAR, (1, 364), (1, 364), "both"), ((9, 50), (50, 80), Edge.NEVER, "never"),
    ((9, 51), (50, 80), (50, 51), "both"),
])
def test_harm_and_comfort_together(harm, comfort, run, reason):
    assert combine(Span(harm), None if comfort is None else Span(comfort), 365) == (run, reason)


def finder_with_span(run, monkeypatch, **rules):
    """A finder whose policy allows just this run; comfort plays no part."""
    finder = finder_for([make_plant()], rules=Rules(year=2027, **rules))
    monkeypatch.setattr(finder, "policy_spans", lambda *_: {"careful": Span(run), "carry-in": Span((1, 2))})
    return finder


def test_three_weeks_are_the_shortest_stay(monkeypatch):
    stays = finder_with_span((100, 121), monkeypatch, policy="careful").window(10.0, 99.0, 0.0, "lawn")
    assert stays.span == (date(2027, 4, 11), date(2027, 5, 2)) and stays.reason == "cool"
    assert (stays.out.careful, stays.back.careful) == stays.span
    assert (stays.out.carry_in, stays.back.carry_in) == (date(2027, 1, 2), date(2027, 1, 3))
    short = finder_with_span((100, 120), monkeypatch, policy="careful").window(10.0, 99.0, 0.0, "lawn")
    assert (short.span, short.reason) == (Edge.NEVER, "short")


def test_a_plant_waits_for_comfort_where_the_year_has_42_such_days():
    finder = finder_for([make_plant()])
    for days, waits in ((41, False), (42, True)):
        finder.climate = replace(finder.climate, mean_c=np.where(np.arange(365) < days, 14.0, 5.0))
        assert finder.comfort_span(15.0, 1.0) == (Span((0, 41)) if waits else None)


def test_what_decides_is_what_would_be_broken_one_day_further_out(monkeypatch):
    def deciders(window):
        return window.out.decided_by, window.back.decided_by

    assert deciders(finder_with_span((0, 364), monkeypatch, policy="careful").window(10.0, 99.0, 0.0, "a")) == (
        "season", "season")
    assert deciders(finder_with_span((1, 363), monkeypatch, policy="careful").window(10.0, 99.0, 0.0, "a")) == (
        "harm", "harm")
    nights_only = finder_for([make_plant()], rules=Rules(year=2027, policy="carry-in", freeze_risk=1.0))
    assert deciders(nights_only.window(10.0, 99.0, 0.0, "a")) == ("harm", "harm")
    freeze_only = finder_for([make_plant()], rules=Rules(year=2027, policy="carry-in", carry_in_nights=300.0))
    assert deciders(freeze_only.window(10.0, 99.0, 0.0, "a")) == ("freeze", "freeze")
    both = finder_with_span((100, 200), monkeypatch, policy="careful")
    monkeypatch.setattr(both, "comfort_span", lambda *_: Span((100, 200)))
    assert deciders(both.window(10.0, 14.0, 0.0, "a")) == ("harm", "harm")
    comfort = finder_for([make_plant()], shift_c=8.0)
    assert deciders(comfort.window(10.0, 20.0, 0.0, "a")) == ("comfort", "comfort")


@pytest.mark.parametrize("rules", [{"policy": "careful", "harm_risk": 0.0},
                                   {"freeze_risk": 0.0, "carry_in_nights": 0.0}])
def test_no_risk_at_all_still_leaves_the_days_on_which_there_is_none(rules):
    finder = finder_for([make_plant()], rules=Rules(year=2027, **rules), shift_c=200.0)
    level = finder.tables.thresholds_c.min()
    assert finder.chance(level).max() == 0.0
    assert finder.policy_spans(level, 0.0)[finder.rules.policy].run is Edge.ALL_YEAR


def test_the_night_of_the_warmest_day_itself_counts_as_autumn():
    finder = finder_for([make_plant()])
    tables, k = finder.tables, finder.row(10.0)
    warmest = list(finder.index).index(tables.turn_index)
    assert finder.chance(10.0)[warmest] == tables.chance_before[k, tables.turn_index] > 0.0
    assert finder.expected(10.0)[warmest] == tables.expected_before[k, tables.turn_index] > 0.0
    assert finder.chance(10.0)[warmest - 1] == 0.0


def test_thresholds_of_whole_degrees_fahrenheit_are_found_again_in_the_tables():
    plants = [make_plant(harm_c=(f - 32) / 1.8) for f in range(30, 60)]
    finder = finder_for(plants, (Place("porch", "outdoor", night_lift_c=1 / 1.8),))
    for plant in plants:
        assert finder.tables.thresholds_c[finder.row(plant.harm_c - 1 / 1.8)] == pytest.approx(plant.harm_c - 1 / 1.8)
