from dataclasses import replace
from datetime import date

from care.garden import BACK, OUT, after, agenda_of, days_between, entry, moving, only, plant, staying, steps_of, stop
from invented import make_normals

from seasonplan.care.agenda import Lived

AUTUMN = ("descend-light", "inspect-before-in", "treat-before-in", "quarantine", "quarantine-end")


def test_only_plants_that_come_in_have_an_autumn():
    agenda = agenda_of([staying(plant("In")), staying(plant("Out"), "stays-out")])
    assert not {s.kind for s in (*agenda.steps, *agenda.habits)} & set(AUTUMN)


def test_light_goes_down_with_the_route_and_is_said_once():
    stops = [stop(OUT, date(2027, 9, 4), "lawn", 6.0, 25.0), stop(date(2027, 9, 4), BACK, "porch", 0.5, 6.0)]
    habit = only(agenda_of([moving(plant(), stops=stops)]), "descend-light")
    assert abs(days_between(habit.date, date(2027, 9, 4))) <= 18 and habit.minutes == 0


def test_a_plant_already_in_shade_needs_no_way_down():
    assert not steps_of(agenda_of([moving(plant())]), "descend-light")


def test_inspect_two_to_three_weeks_before_coming_in_roots_too():
    step = only(agenda_of([moving(plant())]), "inspect-before-in")
    assert 9 <= days_between(step.date, BACK) <= 18 and "roots" in step.detail


def test_two_sprays_some_days_apart_then_in():
    agenda = agenda_of([moving(plant())])
    first, second = only(agenda, "inspect-before-in"), only(agenda, "treat-before-in")
    assert "insecticidal soap" in first.detail and first.title.startswith("Look over, hose and spray")
    assert days_between(first.date, second.date) >= 4 and 2 <= days_between(second.date, BACK) <= 7


def test_with_any_day_to_work_on_the_second_spray_is_two_or_three_days_before():
    agenda = agenda_of([moving(plant())], move_days=())
    assert days_between(only(agenda, "treat-before-in").date, BACK) in (2, 3)


def test_soap_sensitive_plants_are_hosed_and_looked_at_twice_instead():
    agenda = agenda_of([moving(plant("Tender", soap_sensitive="yes"))])
    step = only(agenda, "inspect-before-in")
    assert not steps_of(agenda, "treat-before-in") and step.title == "Look over and hose Tender before coming in"
    assert "No soap on Tender: look twice" in step.detail and "insecticidal" not in step.detail


def test_too_hot_for_soap_they_are_looked_over_and_wiped_all_the_same():
    agenda = agenda_of([moving(plant())], normals=make_normals(tmax_c=[33.0] * 12))
    step = only(agenda, "inspect-before-in")
    assert "damp cloth" in step.detail and "insecticidal" not in step.detail and not steps_of(agenda, "treat-before-in")
    assert any(job.kind == "treat-before-in" and "32 °C" in job.reason for job in agenda.skipped)


def test_soak_soil_insects_out_but_not_on_the_day_of_carrying_nor_dry_growers():
    step = only(agenda_of([moving(plant("Moist")), moving(plant("Dry", moisture="dry"))]), "inspect-before-in")
    assert "15 minutes" in step.detail and "not Dry" in step.detail and days_between(step.date, BACK) >= 2
    assert "Soak" not in only(agenda_of([moving(plant("Dry", moisture="dry"))]), "inspect-before-in").detail


def test_the_last_check_is_made_at_the_door_and_counted():
    move_in = only(agenda_of([moving(plant(count=4))]), "move-in")
    assert move_in.detail.startswith("Before the door a last look") and move_in.minutes == 3 * 4 + 4


def test_work_before_a_plant_that_leaves_first_is_none():
    agenda = agenda_of([replace(moving(plant("Gift", left=BACK)), back=moving(plant()).back)])
    assert not {s.kind for s in (*agenda.steps, *agenda.habits)} & set(AUTUMN)


def test_apart_for_two_weeks_and_four_after_scale_or_mealybug():
    plans = [moving(plant("Well")), moving(plant("Sick", pests="mealybug"))]
    agenda = agenda_of(plans)
    assert only(agenda, "quarantine").date == BACK and only(agenda, "quarantine").plants == ("Well", "Sick")
    assert 14 <= days_between(BACK, only(agenda, "quarantine-end", "Well").date) <= 28
    assert 28 <= days_between(BACK, only(agenda, "quarantine-end", "Sick").date) <= 42


def test_what_changes_indoors_is_said_on_the_day_they_come_in():
    habit = only(agenda_of([moving(plant())]), "quarantine")
    assert habit.date == BACK and "less thirst" in habit.detail and "leaves yellow and fall" in habit.detail


def test_a_plant_that_comes_in_after_a_time_away_is_looked_over_before_it_or_right_after():
    shut = frozenset(after(BACK, -n) for n in range(2, 40))
    agenda = agenda_of([moving(plant("Fig"))], shut=shut, move_days=())
    [look] = steps_of(agenda, "inspect-before-in")
    assert look.date == after(BACK, -1)


def test_a_pest_known_on_a_day_away_is_treated_after_it_and_never_before_it_is_known():
    found = date(2027, 3, 10)
    shut = frozenset(after(found, n) for n in range(-2, 5))
    sick = plant("Sick", pests="scale")
    agenda = agenda_of([staying(sick)], lived=Lived(ill_since={"Sick": found}), shut=shut, move_days=())
    assert only(agenda, "isolate").date == after(found, 5)
    finds = [entry(after(found, n), f"found-{pest}", "Sick") for n, pest in enumerate(("scale", "aphid", "mealybug"))]
    agenda = agenda_of([staying(plant("Sick"))], finds, shut=shut, move_days=())
    for kind in ("isolate", "treat", "hand-wipe"):
        days = [s.date for s in steps_of(agenda, kind)]
        assert len(days) == len(set(days)) and all(day >= after(found, 5) for day in days)


def test_no_late_work_is_dated_after_a_plant_has_left():
    gone = date(2027, 6, 14)
    plans = [moving(plant("Vine", key="epipremnum-inventum", left=gone, notes="leggy dusty"))]
    for today in (date(2027, 6, 12), date(2027, 6, 13)):
        agenda = agenda_of(plans, lived=Lived(today=today))
        assert not [s for s in agenda.steps if s.date >= gone and s.kind != "move-in"]      # moves are given
