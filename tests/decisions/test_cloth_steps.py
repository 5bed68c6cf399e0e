"""The steps that hang, change and take off shade cloths."""

from dataclasses import replace
from datetime import date

from invented import make_daylight, make_plant, make_plant_plan, make_stop

from seasonplan.decisions.cloth_steps import cloth_steps
from seasonplan.model import ShadeAdvice

MAY, JUNE, JULY, AUGUST = date(2027, 5, 1), date(2027, 6, 1), date(2027, 7, 1), date(2027, 8, 1)
LIGHT = make_daylight()


def under(first, until, percent=50):
    return replace(make_stop(first, until, "porch", LIGHT), shade=ShadeAdvice("porch", percent, until))


def bare(first, until):
    return make_stop(first, until, "porch", LIGHT)


def steps(*plans, done=lambda plan, day: False):
    return cloth_steps(plans, done, lambda kind, anchor, n: f"{kind} {anchor} {n}")


def test_a_cloth_is_hung_over_the_plants_that_stand_there_on_that_day_and_taken_off_those_still_under_it():
    early = make_plant_plan(make_plant("Early"), MAY, AUGUST, (under(MAY, JUNE), bare(JUNE, AUGUST)))
    late = make_plant_plan(make_plant("Late"), JUNE, AUGUST, (under(JUNE, JULY), bare(JULY, AUGUST)))
    assert [(s.date, s.plants) for s in steps(early, late)] == [
        (MAY, ("Early",)), (JUNE, ("Early",)), (JULY, ("Late",))]


def test_a_thinner_cloth_names_the_plants_under_both():
    one = make_plant_plan(make_plant("One"), MAY, AUGUST, (under(MAY, JUNE, 80), under(JUNE, JULY), bare(JULY, AUGUST)))
    two = make_plant_plan(make_plant("Two"), MAY, AUGUST, (under(MAY, JUNE, 80), under(JUNE, JULY), bare(JULY, AUGUST)))
    hung, thinned, taken = steps(one, two)
    assert {s.plants for s in (hung, thinned, taken)} == {("One", "Two")}
    assert hung.title == "Hang 80 % shade cloth over the porch" and taken.title == "Take the shade cloth off the porch"
    assert thinned.title == "Change the shade cloth over the porch" and "Take the 80 % cloth off" in thinned.detail


def test_what_is_behind_every_plant_of_it_is_no_step():
    plan = make_plant_plan(make_plant("One"), MAY, AUGUST, (under(MAY, JUNE), bare(JUNE, AUGUST)))
    assert [s.date for s in steps(plan, done=lambda plan, day: day < JUNE)] == [JUNE]
