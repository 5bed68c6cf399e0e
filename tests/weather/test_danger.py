"""The decision by cost: when to act tonight, when to announce a later night, when a plant may go back."""

from dataclasses import replace
from datetime import date, timedelta
from time import process_time

import numpy as np
import pytest
from weather.garden import GLASS, LAWN, PORCH, WINDOW, garden_plant, look_ahead, make_forecast, make_garden, standing_at

from seasonplan import watch_report
from seasonplan.climate.curves import normal_chance
from seasonplan.model import Rules
from seasonplan.weather.danger import READY_CHANCE, STAY_CHANCE, least_chance
from seasonplan.weather.outlook import JUMPINESS

TODAY = date(2027, 6, 1)
FERN = garden_plant("Fern", 10.0)


def garden(*plants, place="lawn", rules=None, **given):
    return make_garden([standing_at(plant, place, **given) for plant in plants or (FERN,)],
                       rules=rules or Rules(year=2027))


@pytest.mark.parametrize(("carries", "least"), [(20, 1 / 21), (1, 0.5), (99, 0.01)])
def test_the_least_chance_is_where_acting_and_waiting_cost_the_same(carries, least):
    assert least_chance(carries) == pytest.approx(least)
    assert least * carries == pytest.approx(1 - least)


@pytest.mark.parametrize("carries", [1.0, 20.0, 100.0])
def test_tonight_is_acted_on_from_just_that_chance_on(carries):
    plan = garden(rules=Rules(year=2027, carries_per_harm=carries))
    lows = np.arange(8.0, 16.0, 0.25)
    chances = [look_ahead(plan, [low]).chance[0, 0] for low in lows]
    acted = [look_ahead(plan, [low]).act() == [0] for low in lows]
    assert acted == [chance >= 1 / (1 + carries) for chance in chances] and True in acted and False in acted


def test_without_a_forecast_only_a_night_that_is_rather_harmful_than_not_is_acted_on():
    """The invented climate's mean passes 10 °C about the end of May."""
    plan = garden(out=date(2027, 3, 1))

    def acts(day: date) -> bool:
        return any(alert.act for alert in watch_report(plan, None, day).alerts)

    assert [acts(date(2027, *day)) for day in ((4, 1), (5, 1), (7, 10))] == [True, True, False]
    assert watch_report(plan, make_forecast(date(2027, 7, 10), [11.8]), date(2027, 7, 10)).alerts


def test_a_dearer_plant_is_carried_in_earlier():
    wide, narrow = (look_ahead(garden(rules=Rules(year=2027, carries_per_harm=c)), [12.0]).act() for c in (100.0, 5.0))
    assert (wide, narrow) == ([0], [])


def test_a_later_night_is_announced_when_it_will_probably_be_acted_on():
    found = look_ahead(garden(), [16.0, 16.0, 16.0, 3.0, 11.0])
    assert found.ready(3) == [0] and found.ready(4) == []
    assert found.acting[0, 3] >= READY_CHANCE > found.acting[0, 4] > 0


def test_the_chance_of_acting_is_what_comes_of_many_evenings():
    """The low of a night three days ahead and its last forecast drawn a hundred thousand times from the same model."""
    plan, rng = garden(), np.random.default_rng(3)
    for low_c in (9.0, 12.0, 14.0):
        found = look_ahead(plan, [16.0, 16.0, 16.0, low_c])
        site = found.coming.at_site[found.coming.rows["lawn"]]
        drift = np.sqrt(site.below_c[3] ** 2 - site.evening_sd_c[3] ** 2 + JUMPINESS * site.evening_sd_c[3] ** 2)
        evening_means = site.mean_c[3] + drift * rng.standard_normal(100_000)
        acted = normal_chance((10.0 - evening_means) / site.evening_sd_c[3]) >= found.least
        assert found.acting[0, 3] == pytest.approx(acted.mean(), abs=0.005)


def test_an_unknown_sky_calls_for_more_room_in_the_open_and_not_under_a_roof():
    plans = {place: garden(place=place) for place in ("lawn", "porch")}

    def highest(place, sky):
        return max(low for low in np.arange(10.0, 16.0, 0.2) if look_ahead(plans[place], [low], calm_clear=sky).act())

    assert highest("lawn", None) - highest("lawn", False) == pytest.approx(0.7, abs=0.35)
    assert highest("lawn", True) - highest("lawn", False) == pytest.approx(2.2, abs=0.3)
    assert highest("porch", None) == highest("porch", False) == highest("porch", True)


def test_a_plant_goes_back_when_two_nights_in_a_row_look_safe():
    spell = look_ahead(garden(), [5.0, 5.0, 17.0, 5.0, 17.0, 17.0, 17.0])
    assert spell.out_again(0, 0) == TODAY + timedelta(days=4)
    assert (spell.acting[0, [1, 3]] >= STAY_CHANCE).all() and spell.acting[0, 2] < STAY_CHANCE


def test_before_the_planned_move_in_it_does_not_go_out_again():
    back = TODAY + timedelta(days=2)
    found = look_ahead(garden(back=back), [5.0, 5.0, 17.0, 17.0])
    assert found.out_again(0, 0) is None and found.act() == [0]


def test_a_warmer_place_is_safe_only_if_it_is_for_the_whole_spell():
    plan = make_garden([standing_at(FERN, "lawn")], (WINDOW, PORCH, GLASS, LAWN))
    found = look_ahead(plan, [7.0, -3.0, 17.0, 17.0])
    assert not found.safe_until(0, GLASS, 0) and not found.safe_until(0, PORCH, 0)
    assert look_ahead(plan, [7.0, 6.0, 17.0, 17.0]).safe_until(0, GLASS, 0)


def test_at_the_end_of_sight_two_safe_nights_are_enough_and_one_is_not():
    found = look_ahead(garden(), [17.0] * 7)
    last = len(found.coming.nights) - 1
    assert not (found.acting[0, last - 1:] >= STAY_CHANCE).any()
    assert found.out_again(0, last - 2) == found.coming.nights[last - 1] and found.out_again(0, last - 1) is None


def test_another_place_need_be_safe_only_until_the_plant_goes_back():
    hollow = replace(LAWN, name="hollow", night_lift_c=-10.0)
    plan = make_garden([standing_at(FERN, "lawn")], (WINDOW, LAWN, hollow))
    at_once = look_ahead(plan, [30.0, 17.0, 17.0, 17.0])
    assert at_once.out_again(0, 0) == TODAY + timedelta(days=1) and at_once.safe_until(0, hollow, 0)
    spell = look_ahead(plan, [30.0, 5.0, 17.0, 17.0])
    assert spell.out_again(0, 0) == TODAY + timedelta(days=2) and not spell.safe_until(0, hollow, 0)
    assert not look_ahead(plan, [12.0, 30.0, 30.0, 30.0]).safe_until(0, hollow, 0)


def test_a_plant_hardens_from_night_to_night():
    """Fresh it is marked at 10, hardened at 6: the same forecast after two weeks and after six."""
    oleander = garden_plant("Oleander", 10.0, harm_hardened_c=6.0)
    plan = make_garden([standing_at(oleander, "lawn", out=date(2027, 5, 15))])
    early, late = (look_ahead(plan, [9.0], today=date(2027, 5, 15) + timedelta(days=n)) for n in (10, 60))
    assert (early.harm_c[0, 0], late.harm_c[0, 0]) == (10.0, 6.0)
    assert early.act() == [0] and late.act() == []


def test_what_stands_indoors_is_in_no_danger():
    found = look_ahead(garden(place=""), [-20.0])
    assert found.chance[0, 0] == 0.0 and found.act() == []


def test_an_announcement_for_plants_that_go_out_only_by_then_is_left_to_the_advice_on_moves():
    found = look_ahead(garden(out=TODAY + timedelta(days=2)), [16.0, 16.0, 16.0, 0.0])
    assert found.acting[0, 3] > READY_CHANCE and found.ready(3) == []
    assert look_ahead(garden(out=TODAY - timedelta(days=2)), [16.0, 16.0, 16.0, 0.0]).ready(3) == [0]


def test_the_report_stays_quick_enough_for_thousands_of_nights():
    plants = [standing_at(garden_plant(f"Plant {n}", 2.0 + n / 2), "lawn") for n in range(20)]
    plan, forecast = make_garden(plants), make_forecast(TODAY, [6.0, 7.0, 9.0, 12.0, 15.0, 16.0, 16.0])
    watch_report(plan, forecast, TODAY)
    times = []
    for _ in range(20):
        start = process_time()
        watch_report(plan, forecast, TODAY)
        times.append(process_time() - start)
    assert min(times) < 0.005
