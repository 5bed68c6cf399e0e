"""Windows on invented climates: each policy's condition holds at its date and fails one day further out, and whoever
bears more or asks for less never has the shorter season."""

import dataclasses
from datetime import date, timedelta
from functools import partial
from itertools import cycle, pairwise

import numpy as np
import pytest
from decisions.cold_town import PLAIN, TROPICAL, finder_for
from decisions.plain_windows import plain_window
from hypothesis import given, settings
from hypothesis import strategies as st
from invented import make_places, make_plant, make_taxon

from seasonplan.climate.at_plant import SeasonLift
from seasonplan.dates import DAYS
from seasonplan.decisions.windows import (
    COMFORT_DAYS,
    SHORTEST_STAY_DAYS,
    liked_span,
    longest_run,
    place_windows,
    suitable_places,
)
from seasonplan.inputs.catalogue import catalogue
from seasonplan.model import Bearing, Edge, Place, Rules

WARM = SeasonLift(2.0, 2.0)
HARDY = Bearing(0.0, -5.0, 5.0, False)


def days_out(window, finder):
    """How long a season is: the planning year from its first day where it lasts all year."""
    if window.span is Edge.NEVER:
        return 0
    last = finder.dates[-1] + timedelta(1)
    if window.span is Edge.ALL_YEAR:
        return (last - (window.out.date or finder.dates[0])).days
    return (window.span[1] - window.span[0]).days


@pytest.mark.parametrize("allowed, run", [
    ([0, 0, 0], Edge.NEVER), ([1, 1, 1], Edge.ALL_YEAR), ([0, 1, 1, 0], (1, 2)), ([1, 1, 0, 1, 1, 1], (3, 5)),
    ([1, 0, 1], (0, 0)), ([1, 0, 1, 1, 0], (2, 3)),
])
def test_longest_run_finds_the_longest_and_the_first_of_equals(allowed, run):
    assert longest_run(np.array(allowed, dtype=bool)).run == run


def freeze_of(finder, bearing, lift_c=0.0):
    return finder.exposure.fixed(bearing.freeze_c, lift_c)[0]


@pytest.mark.parametrize("bearing, decided", [(TROPICAL, "harm"), (Bearing(3.0, 1.0, -30.0, True), "freeze")])
def test_the_carry_in_condition_holds_at_its_dates_and_fails_one_day_further_out(bearing, decided):
    bearing = bearing._replace(comfort_c=-30.0)
    finder = finder_for([bearing], rules=Rules(year=2027, harm_risk=0.001))
    season, turn = finder.season("carry-in", bearing, PLAIN), finder.turn
    going, coming = (odds[1] for odds in (finder.exposure.going_out(bearing, 0.0),
                                          finder.exposure.coming_in(bearing, 0.0, np.array([season.start]))))
    freeze = freeze_of(finder, bearing)
    for position, expected, beyond, expected_beyond in (
            (season.start, going[season.start], season.start - 1, going[season.start - 1]),
            (season.end, coming[0][season.end - turn], season.end + 1, coming[0][season.end + 1 - turn])):
        assert expected <= 2.0 and freeze[position] <= 0.02
        assert (expected_beyond > 2.0) == (decided == "harm") and (freeze[beyond] > 0.02 or decided == "harm")
    window = finder.window(bearing, PLAIN, "lawn")
    assert (window.out.decided_by, window.back.decided_by) == (decided, decided)


def test_the_careful_condition_holds_at_its_dates_and_fails_one_day_further_out():
    bearing = Bearing(7.0, 4.0, -30.0, True)
    finder = finder_for([bearing], rules=Rules(year=2027, policy="careful", harm_risk=0.2))
    season, turn = finder.season("careful", bearing, PLAIN), finder.turn
    out = finder.exposure.going_out(bearing, 0.0)[0]
    back = finder.exposure.coming_in(bearing, 0.0, np.array([season.start]))[0][0]
    assert out[season.start] <= 0.2 < out[season.start - 1]
    assert back[season.end - turn] <= 0.2 < back[season.end + 1 - turn]


def test_careful_date_of_a_plant_that_does_not_harden_is_the_published_ten_percent_date():
    from seasonplan.climate.crossings import spring_index
    from seasonplan.dates import day_index

    bearing = Bearing(2.0, 2.0, -50.0, True)
    finder = finder_for([bearing], rules=Rules(year=2027, policy="careful"))
    row = list(finder.tables.thresholds_c).index(2.0)
    assert day_index(finder.window(bearing, PLAIN, "lawn").out.careful) == spring_index(finder.tables, row, 10)


def test_the_way_out_looks_at_the_fresh_plant_and_the_way_in_at_the_hardened_one():
    fresh, hardens, hardy = (Bearing(h, g, -30.0, False) for h, g in ((10.0, 10.0), (10.0, 5.0), (5.0, 5.0)))
    finder = finder_for([fresh, hardens, hardy])
    a, b, c = (finder.window(x, PLAIN, "lawn").span for x in (fresh, hardens, hardy))
    assert c[0] < b[0] <= a[0] and (a[0] - b[0]).days < (b[0] - c[0]).days, "out as late as one that never hardens"
    assert a[1] < b[1] == c[1], "in as late as one that was always so hardy"


def test_a_freeze_binds_only_plants_that_it_kills():
    tender, tough = (Bearing(2.0, -1.0, -30.0, kill) for kill in (True, False))
    finder = finder_for([tender, tough], rules=Rules(year=2027, freeze_risk=0.0001))
    killed, lives = (finder.window(b, PLAIN, "lawn") for b in (tender, tough))
    assert killed.out.decided_by == "freeze" and lives.out.decided_by == "harm"
    assert killed.span[0] > lives.span[0]


def test_a_warmer_place_opens_earlier_and_closes_later():
    porch, lawn = Place("porch", "outdoor", night_lift_c=2.0, roof_deg=40.0), Place("lawn", "outdoor")
    finder = finder_for([TROPICAL], (porch, lawn))
    warm, plain = place_windows(finder, make_plant(), (porch, lawn))
    assert warm.span[0] < plain.span[0] and warm.span[1] > plain.span[1]


def test_comfort_waits_and_leaves_where_the_year_offers_six_weeks():
    finder = finder_for([TROPICAL], shift_c=2.0)
    window = finder.window(TROPICAL, PLAIN, "lawn")
    assert window.reason == "both" and window.cooler_c == 0
    assert (window.out.decided_by, window.back.decided_by) == ("comfort", "comfort")
    for end, day in zip((window.out, window.back), window.span, strict=True):
        assert end.normal_low_c == pytest.approx(14.0, abs=0.25) and end.normal_low_c >= 14.0 and end.date == day


def test_comfort_gives_way_until_six_weeks_remain_and_the_window_says_by_how_much():
    finder = finder_for([TROPICAL], shift_c=-0.5)
    window = finder.window(TROPICAL._replace(comfort_c=17.0), PLAIN, "lawn")
    assert days_out(window, finder) == COMFORT_DAYS and window.reason == "cool"
    lows = [finder.climate.mean_c[i] for i, d in zip(finder.index, finder.dates, strict=True)
            if window.span[0] <= d <= window.span[1]]
    others = [finder.climate.mean_c[i] for i, d in zip(finder.index, finder.dates, strict=True)
              if not window.span[0] <= d <= window.span[1]]
    assert window.cooler_c == pytest.approx(17.0 - min(lows)) and min(lows) >= max(others)


def test_harm_alone_decides_where_it_leaves_less_than_six_weeks():
    bearing = TROPICAL._replace(comfort_c=17.0)
    finder = finder_for([bearing], shift_c=-2.6)
    window = finder.window(bearing, PLAIN, "lawn")
    assert window.reason == "cool" and SHORTEST_STAY_DAYS <= days_out(window, finder) < COMFORT_DAYS
    assert (window.out.decided_by, window.back.decided_by) == ("harm", "harm")
    easy = finder.window(TROPICAL._replace(comfort_c=-30.0), PLAIN, "lawn")
    assert days_out(easy, finder) == days_out(window, finder)


def test_never_and_all_year_are_ordinary_results():
    never = finder_for([TROPICAL], shift_c=-15).window(TROPICAL, PLAIN, "lawn")
    assert never.span is Edge.NEVER and never.out.date is None and never.out.careful is None
    hot = finder_for([TROPICAL], shift_c=45).window(TROPICAL, PLAIN, "lawn")
    assert hot.span is Edge.ALL_YEAR and hot.out.date is None


def test_a_plant_that_may_stay_for_good_once_hardened_goes_out_when_a_fresh_one_may():
    bearing = Bearing(4.0, -10.0, -30.0, False)
    finder = finder_for([bearing], shift_c=12.0)
    window = finder.window(bearing, PLAIN, "lawn")
    assert window.span is Edge.ALL_YEAR and finder.dates[30] < window.out.date < finder.dates[150]
    at = int(finder.exposure.position(np.array((window.out.date - date(2027, 1, 1)).days)))
    assert finder.exposure.going_out(bearing, 0.0)[1][at - 1] > 2.0 >= finder.exposure.going_out(bearing, 0.0)[1][at]


def test_southern_season_runs_over_new_year():
    south = finder_for([TROPICAL], latitude_deg=-44.5, months=6)
    window = south.window(TROPICAL, PLAIN, "lawn")
    assert window.span[0].year == 2027 and window.span[1].year == 2028
    north = finder_for([TROPICAL])
    assert abs(days_out(window, south) - days_out(north.window(TROPICAL, PLAIN, "lawn"), north)) <= 4


def test_a_short_run_is_no_window():
    finder = finder_for([TROPICAL], shift_c=-3.8)
    window = finder.window(TROPICAL, PLAIN, "lawn")
    assert (window.span, window.reason) == (Edge.NEVER, "short")
    assert 1 < finder.season("carry-in", TROPICAL, PLAIN).days < SHORTEST_STAY_DAYS


def test_a_taxon_that_wants_shelter_keeps_off_open_ground():
    plant = make_plant(taxon=make_taxon(summer_outdoors="sheltered"))
    names = [p.name for p in suitable_places(plant, make_places())]
    assert names == ["porch", "under the tree"]
    assert suitable_places(plant, (Place("lawn", "outdoor"),)) == (Place("lawn", "outdoor"),)
    assert not Place("yard", "outdoor", roof_deg=90.0, leaf_shade=1.0).sheltered


@pytest.mark.parametrize("keys, sheltered", [
    ({}, False), ({"faces_deg": 180.0}, False), ({"faces_deg": 180.0, "wall_behind": False}, False),
    ({"wall_behind": True}, True), ({"roof_deg": 89.0}, True), ({"roof_deg": 90.0}, False),
    ({"leaf_shade": 0.99}, True), ({"leaf_shade": 1.0}, False),
])
def test_a_wall_a_roof_or_a_crown_shelters(keys, sheltered):
    assert Place("spot", "outdoor", **keys).sheltered is sheltered


CLIMATES = {"cold": {}, "cool": {"shift_c": -3.0}, "sea": {"shift_c": 3.0, "swing": 0.35}, "mild": {"shift_c": 8.0},
            "mountain": {"shift_c": -6.0, "swing": 0.8}, "warm": {"shift_c": 14.0, "swing": 0.6},
            "tropics": {"shift_c": 17.0, "swing": 0.2}, "flat": {"shift_c": 9.0, "swing": 0.05},
            "south": {"shift_c": 5.0, "months": 6, "latitude_deg": -44.5}}
BEARINGS = sorted({Bearing(t.harm_c, t.harm_hardened_c, t.comfort_c, t.freeze_kill) for t in catalogue()})


def bears_all(one, other):
    """Whether one plant bears every night that the other bears, and asks for no more."""
    return all(a <= b for a, b in zip(one, other, strict=True))


@pytest.mark.parametrize("place", CLIMATES)
def test_over_the_catalogue_the_hardier_or_less_demanding_plant_never_has_the_shorter_season(place):
    seasons = {}
    for policy in ("careful", "carry-in"):
        finder = finder_for(BEARINGS, rules=Rules(year=2027, policy=policy), **CLIMATES[place])
        seasons[policy] = {b: days_out(finder.window(b, PLAIN, "lawn"), finder) for b in BEARINGS}
        wrong = [(a, b) for a in BEARINGS for b in BEARINGS if bears_all(a, b)
                 and seasons[policy][a] < seasons[policy][b]]
        assert not wrong, (policy, wrong[:3])
    assert [b for b in BEARINGS if seasons["carry-in"][b] < seasons["careful"][b]] == []


FINE = [Bearing(harm, harm - 3.0, comfort, harm > 2.0)
        for harm in np.arange(0.0, 13.0, 0.25) for comfort in (-20.0, 11.0)]


@pytest.mark.parametrize("policy", ["careful", "carry-in"])
@pytest.mark.parametrize("place", CLIMATES)
def test_the_windows_are_those_of_plain_loops(place, policy):
    finder = finder_for([*BEARINGS, *FINE], rules=Rules(year=2027, policy=policy), **CLIMATES[place])
    for bearing, lift in zip([*BEARINGS[::3], *FINE], cycle((PLAIN, SeasonLift(-1.0, 0.5), WARM)), strict=False):
        found, plain = (of(bearing, lift, "lawn") for of in (finder.window, partial(plain_window, finder)))
        assert (found.span, found.reason) == (plain.span, plain.reason), (bearing, lift)
        assert found.cooler_c == pytest.approx(plain.cooler_c, abs=1e-9)
        for one, other in ((found.out, plain.out), (found.back, plain.back)):
            assert dataclasses.astuple(one) == pytest.approx(dataclasses.astuple(other), abs=1e-9), (bearing, lift)


def test_the_odds_of_any_day_are_those_of_its_half_of_the_year():
    finder = finder_for([TROPICAL])
    exposure, turn, dates = finder.exposure, finder.turn, finder.dates
    going = exposure.going_out(TROPICAL, 0.0)
    for day in (dates[0] - timedelta(9), *dates[::5], *dates[195:206], dates[-1], dates[-1] + timedelta(9)):
        at = int(finder.position[min(max((day - dates[0]).days, 0), len(dates) - 1)])
        assert finder.odds_out(day, TROPICAL, PLAIN) == ((going[0][at], going[1][at]) if at < turn else (0, 0))
        for out_day in (dates[0] - timedelta(9), dates[100], *dates[190:205:2], dates[330], dates[-1] + timedelta(9)):
            out = int(finder.position[min(max((out_day - dates[0]).days, 0), len(dates) - 1)])
            coming = exposure.coming_in(TROPICAL, 0.0, np.array([min(out, turn) if out <= at else 0]))
            odds = (coming[0][0][at - turn], coming[1][0][at - turn]) if at >= turn else (0, 0)
            assert finder.odds_back(day, out_day, TROPICAL, PLAIN) == pytest.approx(odds), (day, out_day)


@settings(deadline=None, max_examples=60, derandomize=True)
@given(shift=st.floats(-9, 20), swing=st.floats(0.05, 1.3), south=st.booleans(), hardiness=st.floats(-5, 14),
       step=st.floats(0, 6), comfort=st.floats(-6, 22), easier=st.tuples(st.floats(0, 3), st.floats(0, 3)),
       kill=st.booleans(), lift=st.sampled_from([-1.0, 0.0, 1.5]), policy=st.sampled_from(["careful", "carry-in"]))
def test_in_any_climate_bearing_more_or_asking_less_never_shortens_a_season(
        shift, swing, south, hardiness, step, comfort, easier, kill, lift, policy):
    tender = Bearing(hardiness, hardiness - step, max(comfort, hardiness), kill)
    harder = tender._replace(harm_c=tender.harm_c - easier[0], hardened_c=tender.hardened_c - easier[0])
    asks_less = tender._replace(comfort_c=max(comfort, hardiness) - easier[1])
    place = Place("somewhere", "outdoor", night_lift_c=lift, roof_deg=40.0)
    finder = finder_for([tender, harder, asks_less], (place,), Rules(year=2027, policy=policy), shift,
                        -40.0 if south else 40.0, 6 if south else 0, swing)
    lengths = [days_out(finder.window(b, SeasonLift(lift, lift), "somewhere"), finder)
               for b in (tender, harder, asks_less)]
    assert lengths[0] <= min(lengths[1:])


@pytest.mark.parametrize("place", ["cold", "sea", "mild", "mountain"])
def test_asking_for_more_comfort_shortens_a_season_smoothly(place):
    """In steps of a tenth of a degree the season never grows and never drops by more than about three weeks."""
    hardy = HARDY._replace(harm_c=2.0, hardened_c=0.0)
    finder = finder_for([hardy], **CLIMATES[place])
    lengths = [days_out(finder.window(hardy._replace(comfort_c=tenths / 10), PLAIN, "lawn"), finder)
               for tenths in range(20, 250)]
    falls = [before - after for before, after in pairwise(lengths)]
    assert min(falls) >= 0 and max(falls) <= 21 and lengths[-1] == COMFORT_DAYS < lengths[0]


@settings(deadline=None, max_examples=40, derandomize=True)
@given(harm=st.integers(-4, 14), step=st.integers(0, 5), comfort_above=st.integers(0, 6),
       lift=st.sampled_from([-1.0, 0.0, 1.5]), shift=st.integers(-8, 25),
       policy=st.sampled_from(["careful", "carry-in"]), south=st.booleans())
def test_every_day_of_a_window_keeps_the_policy(harm, step, comfort_above, lift, shift, policy, south):
    bearing = Bearing(float(harm), float(harm - step), float(harm + comfort_above), True)
    place = Place("somewhere", "outdoor", night_lift_c=lift, roof_deg=40.0)
    finder = finder_for([bearing], (place,), Rules(year=2027, policy=policy), shift, -40.0 if south else 40.0,
                        6 if south else 0)
    window = finder.window(bearing, SeasonLift(lift, lift), "somewhere")
    if isinstance(window.span, Edge):
        assert window.back.date is None
        return
    first, last = window.span
    for when in range((last - first).days + 1):
        day = first + timedelta(when)
        chance, expected = finder.odds_back(day, first, bearing, SeasonLift(lift, lift))
        chance_out, expected_out = finder.odds_out(day, bearing, SeasonLift(lift, lift))
        if policy == "careful":
            assert chance <= 0.10 and chance_out <= 0.10
        else:
            assert expected <= 2.0 and expected_out <= 2.0
    assert (last - first).days >= SHORTEST_STAY_DAYS
    assert finder.dates[0] <= first < last <= finder.dates[-1]


def test_odds_of_a_date_are_the_curves_and_hold_their_ends_beyond_the_year():
    finder = finder_for([TROPICAL], (Place("porch", "outdoor", night_lift_c=2.0, roof_deg=40.0),))
    chance, expected = finder.exposure.going_out(TROPICAL, WARM.harm_c)
    day = finder.dates[130]
    at = int(finder.position[130])
    assert finder.odds_out(day, TROPICAL, WARM) == (chance[at], expected[at])
    assert finder.odds_out(finder.dates[0] - timedelta(3), TROPICAL, WARM) == \
        finder.odds_out(finder.dates[0], TROPICAL, WARM)
    assert finder.odds_out(finder.dates[250], TROPICAL, WARM) == (0.0, 0.0)
    assert finder.odds_back(day, day, TROPICAL, WARM) == (0.0, 0.0)
    hardened = finder.odds_back(finder.dates[260], finder.dates[100], TROPICAL, WARM)
    assert hardened == finder.odds_back(finder.dates[260], finder.dates[362], TROPICAL, WARM), "out since last winter"
    assert hardened[1] < finder.odds_back(finder.dates[260], finder.dates[190], TROPICAL, WARM)[1]


def test_open_ground_waits_for_its_clear_nights_where_harm_decides_and_not_where_comfort_does():
    """The usual share of clear calm nights is half a degree at the dates of the cold town."""
    roofed, lawn = Place("porch", "outdoor", roof_deg=40.0), Place("lawn", "outdoor")
    by_harm, by_comfort = (bearing._replace(comfort_c=c) for bearing, c in ((TROPICAL, -30.0), (HARDY, 13.0)))
    finder = finder_for([by_harm, by_comfort], (roofed, lawn))
    shelter, ground = finder.windows(by_harm, (roofed, lawn))
    assert finder.lift(roofed) == PLAIN and finder.lift(lawn).harm_c == pytest.approx(-0.45, abs=0.1)
    assert shelter.out.decided_by == ground.out.decided_by == "harm"
    assert 1 <= (ground.out.date - shelter.out.date).days <= 6 and 1 <= (shelter.back.date - ground.back.date).days <= 6
    shelter, ground = finder.windows(by_comfort, (roofed, lawn))
    assert shelter.out.decided_by == "comfort" and shelter.span == ground.span


@pytest.mark.parametrize("liked, span", [
    ([], (0, 364)), (range(365), (10, 9)), (range(5), (5, 364)), (range(20, 365), (0, 19)), ([10], (10, 9)),
    ([9], (10, 364)), ([11], (0, 10)), ([3, 7, 15, 30], (8, 14))])
def test_liked_days_are_those_around_the_turn(liked, span):
    likes = np.ones(DAYS, dtype=bool)
    likes[list(liked)] = False
    assert liked_span(likes, 10) == span


def test_what_decides_is_what_would_be_broken_one_day_further_out():
    def deciders(window):
        return window.out.decided_by, window.back.decided_by

    nights_only = finder_for([TROPICAL], rules=Rules(year=2027, freeze_risk=1.0))
    assert deciders(nights_only.window(TROPICAL._replace(comfort_c=-30.0), PLAIN, "a")) == ("harm", "harm")
    freeze_only = finder_for([TROPICAL], rules=Rules(year=2027, carry_in_nights=300.0))
    assert deciders(freeze_only.window(TROPICAL._replace(comfort_c=-30.0), PLAIN, "a")) == ("freeze", "freeze")
    comfort = finder_for([TROPICAL], shift_c=8.0)
    assert deciders(comfort.window(TROPICAL._replace(comfort_c=20.0), PLAIN, "a")) == ("comfort", "comfort")
    careful = finder_for([TROPICAL], rules=Rules(year=2027, policy="careful"), shift_c=2.0)
    assert deciders(careful.window(TROPICAL._replace(comfort_c=-30.0), PLAIN, "a")) == ("harm", "harm")
    rolled = finder_for([TROPICAL], shift_c=9.0, months=4)
    window = rolled.window(TROPICAL._replace(comfort_c=-30.0), PLAIN, "a")
    assert window.back.date == rolled.dates[-1] and deciders(window) == ("harm", "season"), "a warm year's end"


@pytest.mark.parametrize("rules", [{"policy": "careful", "harm_risk": 0.0},
                                   {"freeze_risk": 0.0, "carry_in_nights": 0.0}])
def test_no_risk_at_all_still_leaves_the_days_on_which_there_is_none(rules):
    finder = finder_for([TROPICAL], rules=Rules(year=2027, **rules), shift_c=200.0)
    assert finder.window(TROPICAL, PLAIN, "lawn").span is Edge.ALL_YEAR


def test_what_sets_buds_in_cool_nights_comes_in_later_and_never_goes_out_earlier():
    plain = make_plant("Plain", taxon=make_taxon(key="inventia"), harm_c=4.0, harm_hardened_c=2.0, comfort_c=12.0)
    cactus = dataclasses.replace(plain, name="Cactus", taxon=make_taxon(key="schlumbergera-truncata"))
    places = make_places()
    finder = finder_for([plain.bearing], places)
    for usual, cool in zip(place_windows(finder, plain, places), place_windows(finder, cactus, places), strict=True):
        assert cool.span[0] == usual.span[0] and (cool.span[1] - usual.span[1]).days >= 10
        assert cool.back.decided_by in ("harm", "freeze") and "cool nights" in cool.reason
    other = dataclasses.replace(cactus, name="Other")
    assert place_windows(finder, cactus, places) is place_windows(finder, other, places)
