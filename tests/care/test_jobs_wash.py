from datetime import date, timedelta

import pytest
from care.garden import BACK, OUT, agenda_of, days_between, entry, moving, only, plant, staying, steps_of
from invented import make_normals


def test_leach_in_the_first_six_weeks_outdoors_with_two_pot_volumes():
    step = steps_of(agenda_of([moving(plant(pot_cm=25.4, count=3))]), "leach")[0]
    assert 0 <= days_between(OUT, step.date) <= 42
    assert dict(step.amounts)["water_l"] == pytest.approx(3 * 16)
    assert "16 L through each 25 cm pot" in step.detail and "48 L in all" in step.detail


def test_salt_sensitive_plants_are_leached_again_after_four_to_six_months_but_not_when_just_come_in():
    agenda = agenda_of([moving(plant("Salty", salt_sensitive=True)), moving(plant("Other"))])
    first, second = [s.date for s in steps_of(agenda, "leach", "Salty")]
    assert 122 <= days_between(first, second) <= 183 and days_between(BACK, second) >= 42
    assert len(steps_of(agenda, "leach", "Other")) == 1


def test_leaching_and_washing_happen_outdoors_while_the_plants_stand_there():
    agenda = agenda_of([moving(plant())])
    places = {s.place for kind in ("leach", "wash") for s in steps_of(agenda, kind)}
    assert places <= {"porch", "under the tree", "lawn"}


def test_a_plant_to_be_repotted_is_not_leached():
    agenda = agenda_of([moving(plant("Bound", root_bound=True)), moving(plant("Free"))])
    assert not steps_of(agenda, "leach", "Bound") and steps_of(agenda, "leach", "Free")


def test_a_plant_leached_by_the_log_is_not_repotted_within_three_weeks():
    leached = date(2027, 6, 1)
    agenda = agenda_of([moving(plant(root_bound=True))], [entry(leached, "leach", "Plant one")])
    assert days_between(leached, only(agenda, "repot").date) > 21


def test_a_plant_leached_lately_waits_for_its_interval():
    leached = OUT - timedelta(days=30)
    step = steps_of(agenda_of([moving(plant(last_leached=leached))]), "leach")[0]
    assert 122 <= days_between(leached, step.date) <= 183


def test_a_plant_that_stays_in_is_leached_indoors():
    step = steps_of(agenda_of([staying(plant())]), "leach")[0]
    assert step.place == "south window" and "shower" in step.detail


def test_succulents_are_not_leached_in_cool_weather():
    agenda = agenda_of([staying(plant(group="cactus"))])
    assert [s.date.month for s in steps_of(agenda, "leach")] == [5]
    frigid = agenda_of([staying(plant(group="cactus"))], normals=make_normals(tmax_c=[10.0] * 12))
    [skipped] = [j for j in frigid.skipped if j.kind == "leach"]
    assert not steps_of(frigid, "leach") and "too cool" in skipped.reason


def test_plants_without_mix_are_not_leached():
    assert not steps_of(agenda_of([moving(plant(key="tillandsia-inventa"))]), "leach")


def test_wash_when_first_out_after_the_inspection_if_there_is_time():
    agenda = agenda_of([moving(plant())])
    spring = only(agenda, "wash")
    assert only(agenda, "inspect").date <= spring.date and 0 <= days_between(OUT, spring.date) <= 42
    assert spring.optional and not only(agenda, "inspect").optional


def test_hairy_and_waxy_plants_are_not_washed():
    assert not steps_of(agenda_of([moving(plant(key="echeveria-inventa"))]), "wash")


def test_soap_for_dusty_leaves_only_at_half_a_percent():
    agenda = agenda_of([moving(plant("Dusty", notes="very dusty leaves", pot_cm=20.0)), moving(plant("Clean"))])
    step = only(agenda, "wash")
    assert step.plants == ("Dusty", "Clean") and "Dusty by its notes: Dusty." in step.detail and "0.5 %" in step.detail
    amounts = dict(step.amounts)
    assert amounts["wash_soap_ml"] == pytest.approx(5 * amounts["water_l"]) == pytest.approx(3.0)
    assert any("not a pest treatment" in c for c in step.cautions)
    plain = only(agenda_of([moving(plant("Clean"))]), "wash")
    assert "soap" not in plain.detail and not any("pest treatment" in c for c in plain.cautions)


def test_no_soap_for_a_soap_sensitive_plant_however_dusty():
    step = only(agenda_of([moving(plant(notes="dusty", soap_sensitive="yes"))]), "wash")
    assert "soap" not in step.detail and "wash_soap_ml" not in dict(step.amounts)


def test_washing_is_out_of_direct_sun():
    for step in steps_of(agenda_of([moving(plant(notes="dusty"))]), "wash"):
        assert step.start is not None and (step.start >= "08:24" or step.start < "07:00")


def test_amounts_are_told_in_the_persons_units():
    step = steps_of(agenda_of([moving(plant(pot_cm=25.4))], units="imperial"), "leach")[0]
    assert "4.2 gal through each 10 in pot" in step.detail and " L" not in step.detail
    assert step.date > date(2027, 5, 1)


def test_small_amounts_are_not_rounded_away_in_ounces():
    step = only(agenda_of([moving(plant(notes="dusty", pot_cm=20.0))], units="imperial"), "wash")
    assert "0.1 fl oz of plain liquid soap in 20 fl oz of water" in step.detail
