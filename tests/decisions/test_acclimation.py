"""The light rule: states, limits, spells, and how the light is run down in autumn."""

import math

import numpy as np
import pytest

from seasonplan.data import table
from seasonplan.decisions.acclimation import (
    allowed_clear_dli,
    allowed_full_sun_h,
    descent_days,
    descent_share,
    kept_shares,
    light_rule,
    slow_descent_days,
    spell,
    state_after,
    sun_cap_h,
)


def test_every_setting_names_its_source_and_the_design_numbers_stand():
    rows = table("light_rule")
    assert rows and all(row["source"].strip() and row["meaning"].strip() for row in rows)
    rule = light_rule()
    assert (rule.dli_lag_days, rule.sun_lag_days, rule.step_ratio, rule.floor_dli) == (7, 4, 3.5, 12)
    assert (rule.sun_step_h, rule.sun_ratio, rule.first_days, rule.first_sun_h) == (2, 2.2, 7, 1.5)


@pytest.mark.parametrize(("sun_class", "cap"),
                         [("deep-shade", 0.5), ("shade", 1.5), ("part-sun", 4), ("sun", math.inf)])
def test_sun_classes_have_their_caps(sun_class, cap):
    assert sun_cap_h(sun_class) == cap


def test_a_sun_class_that_does_not_exist_is_an_error():
    with pytest.raises(KeyError):
        sun_cap_h("full")


def test_light_allowed_is_a_multiple_of_what_the_plant_is_used_to_and_never_below_open_shade():
    assert allowed_clear_dli(10.0) == 35.0
    assert allowed_clear_dli(1.0) == 12.0


def test_direct_sun_allowed_grows_with_what_the_plant_is_used_to():
    assert allowed_full_sun_h(0.0, 6, "sun") == 1.5                       # first week
    assert allowed_full_sun_h(0.0, 7, "sun") == 2.0
    assert allowed_full_sun_h(3.0, 20, "sun") == pytest.approx(6.6)
    assert allowed_full_sun_h(3.0, 20, "part-sun") == 4.0
    assert allowed_full_sun_h(3.0, 3, "deep-shade") == 0.5


def test_a_state_covers_63_percent_of_a_step_in_one_lag():
    exact, stepped = state_after(np.zeros(2), (1 - kept_shares(7.0) ** 7) * 10.0, 7, 7.0)
    assert exact == pytest.approx(10 * (1 - math.exp(-1)))
    assert stepped == pytest.approx(10 * (1 - (6 / 7) ** 7))


def test_a_spell_says_what_its_days_add():
    """By hand, two days of 7 mol from a state of 0: with 1 / lag 1, then 1 + 6 / 7; exactly 7 * (1 - exp(-2 / 7))."""
    found = spell(np.full((1, 2), 5.0), np.full((1, 2), 7.0), np.zeros((1, 2)))
    assert found.gain_dli[0, :, 1] == pytest.approx([0.0, 1.0, 1.0 + 6 / 7])
    assert found.gain_dli[0, 2, 0] == pytest.approx(7 * (1 - math.exp(-2 / 7)))


def test_a_spell_says_how_little_light_a_plant_may_be_used_to():
    """One day at 35 mol clear needs A = 10 mol, and the margin on top; shade of 12 mol needs nothing."""
    margin = 1 - light_rule().margin
    found = spell(np.array([[35.0, 35.0]]), np.array([[20.0, 20.0]]), np.array([[4.4, 0.0]]))
    assert found.least_dli[0, 1] == pytest.approx(10 / margin)
    assert found.least_sun_h[0, 1] == pytest.approx(4.4 / margin / 2.2)
    shade = spell(np.array([[12.0]]), np.array([[6.0]]), np.array([[1.9]]))
    assert (shade.least_dli[0, 1] == -np.inf).all() and (shade.least_sun_h[0, 1] < 0).all()


@pytest.mark.parametrize(("clear", "needs_light"), [(12.0, False), (12.0001, True), (12.9, True), (11.5, False)])
def test_open_shade_of_twelve_mol_needs_no_light_before_and_anything_above_it_does(clear, needs_light):
    found = spell(np.array([[clear]]), np.array([[6.0]]), np.zeros((1, 1)))
    assert np.isfinite(found.least_dli[0, 1]).all() == needs_light


def test_direct_sun_is_within_the_rule_by_its_step_or_by_its_ratio_whichever_allows_more():
    """Used to 1 h of sun a plant may get 3 (a step of 2), to 5 h 11 (2.2 times); one percent is left unused."""
    spare = 1 - light_rule().margin
    found = spell(np.full((1, 2), 9.0), np.full((1, 2), 6.0), np.array([[spare * 3.0, spare * 11.0]]))
    assert found.least_sun_h[0, 1] == pytest.approx(1.0)
    alone = spell(np.full((1, 1), 9.0), np.full((1, 1), 6.0), np.array([[spare * 11.0]]))
    assert alone.least_sun_h[0, 1] == pytest.approx(5.0)


def test_a_spell_tells_the_brightest_of_its_days():
    """For 0, 1, 2 and 3 days: of no days any place will do."""
    found = spell(np.full((2, 3), 9.0), np.array([[5.0, 7.0, 6.0], [1.0, 2.0, 3.0]]), np.array([[1.0, 0.5, 2.0]] * 2))
    assert found.top_mean_dli.tolist() == [[-np.inf, 5.0, 7.0, 7.0], [-np.inf, 1.0, 2.0, 3.0]]
    assert found.top_full_sun_h[0].tolist() == [-np.inf, 1.0, 1.0, 2.0]
    assert (found.least_dli[:, 0] == -np.inf).all() and (found.least_sun_h[:, 0] == -np.inf).all()
    assert found.gain_sun_h[0, 1] == pytest.approx(1 - kept_shares(4.0))
    assert found.least_dli.shape == found.gain_dli.shape == (2, 4, 2)


def test_a_spell_looks_past_the_first_day():
    """A dim first day lets the state fall, so the bright second day asks for more on arrival."""
    found = spell(np.array([[5.0, 35.0]]), np.array([[0.0, 20.0]]), np.zeros((1, 2)))
    assert found.least_dli[0, 1, 0] == -np.inf
    assert found.least_dli[0, 2] == pytest.approx(10 / (1 - light_rule().margin) / kept_shares(7.0))


def test_what_earlier_days_add_is_taken_off_what_a_later_day_asks_for():
    """Seven mol on a dim first day help towards the ten that the bright second one asks for."""
    found = spell(np.array([[5.0, 35.0]]), np.array([[7.0, 20.0]]), np.array([[1.0, 3.3]]))
    spare, kept, kept_sun = 1 - light_rule().margin, kept_shares(7.0), kept_shares(4.0)
    assert found.least_dli[0, 2] == pytest.approx((10 / spare - 7 * (1 - kept)) / kept)
    assert found.least_sun_h[0, 2] == pytest.approx((3.3 / spare - 2 - (1 - kept_sun)) / kept_sun)


def test_a_state_fades_day_by_day():
    assert state_after(np.array([8.0, 8.0]), np.array([0.5, 0.25]), 3, 7.0) == pytest.approx(
        [8 * math.exp(-3 / 7) + 0.5, 8 * (6 / 7) ** 3 + 0.25])


def test_spells_of_many_places_under_many_cloths_are_those_of_each():
    """(cloths, places, days) at once are the same as one by one."""
    light = np.arange(24.0).reshape(2, 3, 4)
    together = spell(2 * light, light, light / 8)
    for cloth in range(2):
        for place in range(3):
            alone = spell(2 * light[cloth, place], light[cloth, place], light[cloth, place] / 8)
            for name in ("least_dli", "least_sun_h", "gain_dli", "gain_sun_h", "top_mean_dli", "top_full_sun_h"):
                assert np.array_equal(getattr(together, name)[cloth, place], getattr(alone, name)), name


def test_leaf_droppers_have_six_weeks_and_a_source_each():
    for name in ("Ficus benjamina", "Polyscias fruticosa", "Heptapleurum arboricola", "Citrus x limon",
                 "Gardenia jasminoides", "Hibiscus rosa-sinensis"):
        assert slow_descent_days(name) == 42
    assert slow_descent_days("Monstera deliciosa") is None and slow_descent_days("") is None
    assert all(row["source"].strip() for row in table("leaf_droppers"))


def test_the_short_descent_is_stretched_where_only_one_move_day_falls_into_it():
    every_day, saturdays = range(0, 300), range(0, 300, 7)
    assert descent_days("Monstera deliciosa", 280, every_day) == 7
    assert descent_days("Monstera deliciosa", 280, saturdays) == 14
    assert descent_days("Ficus lyrata", 280, saturdays) == 42


@pytest.mark.parametrize(("move_days", "length"), [
    ((273, 276), 7), ((273, 275), 14), ((274, 277), 7), ((275, 277), 14), ((272, 277), 14), ((273, 278), 14),
    ((273, 275, 277), 7), ((), 14), ((250, 290), 14)])
def test_the_short_descent_has_two_stops_of_three_days_or_is_stretched(move_days, length):
    """Back on day 280: moves from seven to three days before count, and two of them three days apart are needed."""
    assert descent_days("Monstera deliciosa", 280, move_days) == length


@pytest.mark.parametrize("name", ["FICUS lyrata", "×Citrus x limon", "Citrus", "  hibiscus syriacus"])
def test_a_leaf_dropper_is_known_by_its_genus_however_it_is_written(name):
    assert slow_descent_days(name) == 42 and slow_descent_days("Inventia ficus") is None


def test_the_descent_halves_and_ends_at_a_fifth_of_open_light():
    left = np.array([50, 42, 29, 28, 15, 14, 1])
    levels = descent_share(left, np.full(7, 42), np.zeros(7, dtype=bool))
    assert levels.tolist() == [1.0, 0.5, 0.5, 0.25, 0.25, 0.2, 0.2]
    assert descent_share(np.array([42]), np.array([42]), np.array([True])).tolist() == [0.2]
    assert descent_share(np.array([1]), np.array([0]), np.array([False])).tolist() == [1.0]
