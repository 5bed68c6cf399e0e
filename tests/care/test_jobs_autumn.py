from datetime import date

from care.garden import BACK, OUT, agenda_of, days_between, moving, only, plant, staying, steps_of, stop

AUTUMN = ("descend-light", "inspect-before-in", "treat-before-in", "soak", "last-check", "quarantine", "quarantine-end",
          "water-less", "expect-leaf-drop")


def test_only_plants_that_come_in_have_an_autumn():
    agenda = agenda_of([staying(plant("In")), staying(plant("Out"), "stays-out")])
    assert not {s.kind for s in agenda.steps} & set(AUTUMN)


def test_light_goes_down_with_the_route():
    stops = [stop(OUT, date(2027, 9, 4), "lawn", 6.0, 25.0), stop(date(2027, 9, 4), BACK, "porch", 0.5, 6.0)]
    step = only(agenda_of([moving(plant(), stops=stops)]), "descend-light")
    assert step.date == date(2027, 9, 4) and "porch, then south window" in step.detail


def test_a_plant_already_in_shade_is_told_a_week_before():
    assert 4 <= days_between(only(agenda_of([moving(plant())]), "descend-light").date, BACK) <= 7


def test_inspect_two_to_three_weeks_before_coming_in_roots_too():
    step = only(agenda_of([moving(plant())]), "inspect-before-in")
    assert 10 <= days_between(step.date, BACK) <= 21 and "roots" in step.detail


def test_two_sprays_some_days_apart_then_in():
    first, second = steps_of(agenda_of([moving(plant())]), "treat-before-in")
    assert days_between(first.date, second.date) >= 4 and 2 <= days_between(second.date, BACK) <= 7


def test_with_any_day_to_work_on_the_second_spray_is_two_or_three_days_before():
    agenda = agenda_of([moving(plant())], move_days=())
    assert days_between(steps_of(agenda, "treat-before-in")[1].date, BACK) in (2, 3)


def test_soap_sensitive_plants_are_looked_at_twice_instead():
    agenda = agenda_of([moving(plant("Tender", soap_sensitive="yes"))])
    assert not steps_of(agenda, "treat-before-in")
    assert "Look twice at Tender" in only(agenda, "inspect-before-in").detail


def test_soak_soil_insects_out_but_not_on_the_day_of_carrying_nor_dry_growers():
    agenda = agenda_of([moving(plant("Moist")), moving(plant("Dry", moisture="dry"))])
    step = only(agenda, "soak")
    assert step.plants == ("Moist",) and 2 <= days_between(step.date, BACK) <= 14 and "15 minutes" in step.detail


def test_the_last_check_comes_before_the_door():
    agenda = agenda_of([moving(plant())])
    check = only(agenda, "last-check")
    move_in = only(agenda, "move-in")
    assert check.date <= move_in.date and agenda.steps.index(check) < agenda.steps.index(move_in)
    assert check.place == "porch" and check.start < "09:00"


def test_apart_for_two_weeks_and_four_after_scale_or_mealybug():
    plans = [moving(plant("Well")), moving(plant("Sick", pests="mealybug"))]
    agenda = agenda_of(plans)
    assert only(agenda, "quarantine").date == BACK and only(agenda, "quarantine").plants == ("Well", "Sick")
    assert 14 <= days_between(BACK, only(agenda, "quarantine-end", "Well").date) <= 21
    assert 28 <= days_between(BACK, only(agenda, "quarantine-end", "Sick").date) <= 35


def test_water_less_and_expect_leaf_drop_once_indoors():
    agenda = agenda_of([moving(plant("Leafy")), moving(plant("Cactus", group="cactus"))])
    assert 0 <= days_between(BACK, only(agenda, "water-less").date) <= 14
    assert only(agenda, "expect-leaf-drop").plants == ("Leafy",)
