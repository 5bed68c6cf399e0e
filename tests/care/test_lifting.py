import pytest
from care.garden import plant

from seasonplan.care import lifting
from seasonplan.care.amounts import wet_weight_kg
from seasonplan.care.lifting import lift_of, pot_lift, weight_limit_kg
from seasonplan.units import CM_PER_INCH


@pytest.mark.parametrize("inches, how", [(4, "alone"), (8, "alone"), (10, "alone"), (12, "two people"),
                                         (13, "two people"), (14, "dolly"), (16, "dolly")])
def test_two_people_from_twelve_inches_a_dolly_from_fourteen(inches, how):
    cm = inches * CM_PER_INCH
    assert pot_lift(cm, wet_weight_kg(cm)).how == how


def test_a_wide_light_pot_is_lifted_alone_and_a_narrow_lead_one_is_not():
    assert pot_lift(40, 3.0).how == "alone"
    assert pot_lift(20, 15.0).how == "two people"
    assert pot_lift(20, 60.0).how == "dolly"


def test_the_limit_falls_with_the_reach_around_a_wider_pot():
    assert pot_lift(20, 1).limit_kg > pot_lift(30, 1).limit_kg > pot_lift(60, 1).limit_kg
    assert pot_lift(150, 1).limit_kg == 0 and pot_lift(150, 1).index == float("inf")


def test_the_index_is_weight_over_limit():
    lift = pot_lift(30, 12)
    assert lift.index == pytest.approx(12 / lift.limit_kg)


def test_a_clay_pot_can_need_a_second_person_where_plastic_does_not():
    assert lift_of(plant(pot_cm=25.4)).how == "alone"
    assert lift_of(plant(pot_cm=25.4, notes="clay")).how == "two people"


def test_at_the_limit_alone_up_to_twice_of_it_two_people_and_above_a_dolly():
    limit = pot_lift(20, 1).limit_kg
    assert [pot_lift(20, share * limit).how for share in (1.0, 1.001, 2.0, 2.001)] == [
        "alone", "two people", "two people", "dolly"]


def test_a_tall_pot_takes_a_dolly_from_35_cm_on():
    assert [pot_lift(cm, 12.0).how for cm in (34.9, 35.0)] == ["two people", "dolly"]


def test_twisting_and_lifting_often_lower_the_limit():
    assert weight_limit_kg(25, 75, 25, "good", 90.0, 0.5) == pytest.approx(23 * 0.712 * 0.5)


@pytest.mark.parametrize("grip_cm, ahead_cm", [(24.9, 25), (25.0, 20)])
def test_hands_from_25_cm_up_reach_five_less_around_the_pot(monkeypatch, grip_cm, ahead_cm):
    monkeypatch.setattr(lifting, "GRIP_CM", grip_cm)
    width = 20 + grip_cm  # a width of its own, since lifts are remembered
    assert pot_lift(width, 1).limit_kg == pytest.approx(weight_limit_kg(width / 2 + ahead_cm, grip_cm, 60, "poor"))
