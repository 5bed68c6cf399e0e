import numpy as np
import pytest
from care.garden import plant

from seasonplan.care import amounts as a
from seasonplan.units import CM_PER_INCH, LITRES_PER_US_GALLON


def inches(value):
    return value * CM_PER_INCH


def test_a_ten_inch_pot_gets_a_few_gallons_through_it():
    """Common practice, no source; with the published 2 x pot volume it comes to 4."""
    assert 3 <= a.leach_l(inches(10)) / LITRES_PER_US_GALLON <= 5


@pytest.mark.parametrize("now, then", [(3, 4), (4, 6), (6, 8), (8, 10), (10, 12), (12, 14), (14, 16), (16, 18)])
def test_in_inches_the_next_pot_is_the_next_size_that_is_sold(now, then):
    assert a.next_pot_cm(inches(now), "imperial") == pytest.approx(inches(then))


@pytest.mark.parametrize("now, then", [(9, 12), (12, 15), (15, 19), (20, 24), (24, 27), (27, 35), (30, 35), (38, 45),
                                       (40, 45), (50, 55)])
def test_in_centimetres_too(now, then):
    assert a.next_pot_cm(now) == then and then in a.sold_pots_cm("metric")


def test_every_next_pot_is_wider_by_what_practice_says_or_the_first_size_beyond():
    for now in np.arange(8.0, 55.0, 0.5):
        up = a.next_pot_cm(float(now)) - now
        assert 2.0 <= up <= 10.1, now


def test_beyond_the_largest_pot_it_grows_by_three_inches():
    assert a.next_pot_cm(70.0) == pytest.approx(70 + 3 * 2.54)


def test_sizes_between_the_tables_lie_between_their_volumes_and_grow():
    sizes = [4.0 + 0.5 * k for k in range(150)]
    volumes = [a.pot_volume_l(cm) for cm in sizes]
    assert all(small < large for small, large in zip(volumes, volumes[1:], strict=False))
    assert 1.9 < a.pot_volume_l(inches(6.5)) < 3.0


def test_beyond_the_table_volume_grows_with_the_cube_and_joins_without_a_step():
    assert a.pot_volume_l(inches(32)) == pytest.approx(8 * a.pot_volume_l(inches(16)))
    assert a.pot_volume_l(inches(2)) == pytest.approx(a.pot_volume_l(inches(4)) / 8)
    assert a.pot_volume_l(inches(16.001)) == pytest.approx(28.0, rel=1e-3)


def test_a_pot_without_size_is_refused_and_one_not_given_is_assumed():
    with pytest.raises(ValueError, match="above 0"):
        a.pot_volume_l(0)
    assert a.pot_cm_of(plant(pot_cm=None)) == 15


def test_mix_to_buy_is_the_difference_of_what_both_pots_hold_below_their_rims():
    ten, twelve = inches(10), inches(12)
    brim = a.pot_volume_l(twelve) - a.pot_volume_l(ten)
    slices = 3.14159 / 4 * (twelve**2 * a.head_space_cm(twelve) - ten**2 * a.head_space_cm(ten)) / 1000
    assert a.mix_to_buy_l(ten, "imperial") == pytest.approx(brim - slices, rel=1e-4)
    assert 4 < a.mix_to_buy_l(ten, "imperial") < 6


def test_more_rim_is_left_free_in_larger_pots():
    assert [a.head_space_cm(cm) for cm in (10, 20, 33)] == [1, 2, 2.54]
    assert all(a.filled_l(cm) > 0.4 * a.pot_volume_l(cm) for cm in (4, 5, 8, 14.9, 15, 24.9, 25, 40, 150))


def test_the_cleaning_wash_is_half_a_percent():
    water = a.wash_water_l(20)
    assert a.wash_soap_ml(water) / (water * 1000) == pytest.approx(0.005)


def test_mixes_by_group():
    assert [a.mix_for(g).key for g in ("foliage", "orchid", "cactus", "succulent")] == [
        "mix", "bark_mix", "gritty_mix", "gritty_mix"]


def test_a_wet_pot_weighs_more_than_its_mix_and_clay_more_than_plastic():
    cm = inches(12)
    mix = a.mix_weight_kg(cm, a.mix_for("foliage").wet_kg_per_l)
    plastic, clay = a.wet_weight_kg(cm), a.wet_weight_kg(cm, clay=True)
    assert mix < plastic < clay
    assert a.empty_pot_kg(inches(6), True) == pytest.approx(1.0)
    assert a.empty_pot_kg(inches(12), True) == pytest.approx(7.0)


def test_notes_tell_a_clay_pot():
    light, heavy = plant(pot_cm=30), plant(pot_cm=30, notes="in a Terracotta pot")
    assert a.plant_weight_kg(heavy) - a.plant_weight_kg(light) > 4


def test_even_the_smallest_pot_holds_something():
    assert 0 < a.pot_volume_l(0.5) < 0.001


def test_head_space_changes_at_15_and_at_25_cm():
    assert [a.head_space_cm(cm) for cm in (14.9, 15, 24.9, 25)] == [1, 2, 2, 2.54]
    assert a.filled_l(20) == pytest.approx(a.pot_volume_l(20) - 3.14159265 * 10**2 * 2 / 1000)


def test_a_pot_of_twice_the_size_takes_twice_the_wash_water():
    assert a.wash_water_l(40) == pytest.approx(2 * a.wash_water_l(20))


def test_a_watered_pot_is_its_mix_a_twentieth_for_plastic_and_the_plant():
    litres = a.pot_volume_l(20)
    assert a.empty_pot_kg(20, False) == pytest.approx(0.05 * litres)
    mix = a.mix_weight_kg(20, a.mix_for("foliage").wet_kg_per_l)
    assert a.wet_weight_kg(20) == pytest.approx(mix + 0.05 * litres + 0.15 * litres)
