from datetime import date

import pytest
from care.garden import OUT, after, agenda_of, days_between, entry, moving, only, plant, staying, steps_of
from invented import make_normals, make_site

from seasonplan.care.agenda import Lived
from seasonplan.care.treatment import pest
from seasonplan.climate.highs import normal_highs_c
from seasonplan.dates import day_index

FOUND = date(2027, 3, 10)
"""A Wednesday in late winter: the day on which the plan first hears of a pest in plants.csv."""
PESTS = ("scale", "mealybug", "spider-mite", "aphid", "whitefly", "unknown")


def ill(*plans, names=None, **given):
    """The agenda of plants whose pest the plan hears of on FOUND."""
    return agenda_of(plans, lived=Lived(ill_since={p.plant.name: FOUND for p in plans}), **given)


def test_inspect_before_going_out():
    step = only(agenda_of([moving(plant())]), "inspect")
    assert 0 < days_between(step.date, OUT) <= 14


def test_one_look_serves_plants_that_go_out_within_a_month():
    agenda = agenda_of([moving(plant("Early")), moving(plant("Late"), after(OUT, 21))])
    assert only(agenda, "inspect").plants == ("Early", "Late") and only(agenda, "inspect").date <= OUT


def test_a_plant_with_a_pest_is_set_apart_on_the_day_it_is_known_and_a_clean_one_never():
    step = only(ill(moving(plant("Sick", pests="scale")), moving(plant("Well"))), "isolate")
    assert step.plants == ("Sick",) and step.date == FOUND


def test_what_can_be_wiped_off_is_wiped_before_the_first_spray():
    first, second = steps_of(ill(moving(plant(pests="mealybug"))), "treat")[:2]
    assert "damp cloth" in first.detail and "damp cloth" not in second.detail


@pytest.mark.parametrize("key", PESTS)
def test_treat_from_the_day_it_is_known_on_the_pests_own_schedule_and_check_again(key):
    agenda, schedule = ill(moving(plant(pests=key))), pest(key)
    dates = [s.date for s in steps_of(agenda, "treat")]
    gaps = [days_between(a, b) for a, b in zip(dates, dates[1:], strict=False)]
    assert len(dates) == schedule.count and FOUND <= dates[0] < after(FOUND, 7)
    assert all(schedule.gap_least <= gap <= schedule.gap_most for gap in gaps)
    assert 2 <= days_between(dates[-1], only(agenda, "pest-recheck").date) <= 9
    assert {s.place for s in steps_of(agenda, "treat")} == {"south window"}


def test_plants_with_different_pests_are_sprayed_in_one_go_each_by_its_pest():
    step = steps_of(ill(*(moving(plant(pests=key, name=f"Ill of {key}")) for key in PESTS)), "treat")[0]
    assert len(step.plants) == len(PESTS) and step.title.startswith(f"Treat {len(PESTS)} pots for pests (1 of 4)")
    assert "Spider mite (1 of 4, every 5 to 7 days) on Ill of spider-mite: look for fine pale speckles" in step.detail
    assert "Scale (1 of 4, every 7 to 10 days) on Ill of scale" in step.detail


def test_a_course_takes_no_more_days_for_three_plants_than_for_one():
    one = ill(moving(plant("A", pests="scale")))
    three = ill(*(moving(plant(name, pests="scale")) for name in "ABC"))
    assert [s.date for s in steps_of(three, "treat")] == [s.date for s in steps_of(one, "treat")]


def test_no_dose_is_ever_computed_against_a_pest():
    agenda = agenda_of([moving(plant(pests=key, name=key)) for key in PESTS])
    for step in [s for s in agenda.steps if s.kind == "treat"]:
        assert "label strength" in step.detail and not any(key.endswith(("_ml", "_l")) for key, _ in step.amounts)


def test_soap_sensitive_and_edible_plants_are_named():
    agenda = agenda_of([moving(plant("Tender", pests="scale", soap_sensitive="yes", key="citrus-inventa"))])
    detail = steps_of(agenda, "treat")[0].detail
    assert "Soap can mark Tender" in detail and "food plants on Tender" in detail


def test_a_plant_that_joined_stands_apart_with_two_looks_before_it_goes_out():
    agenda = agenda_of([moving(plant("New", arrived=date(2027, 6, 20)), date(2027, 7, 10))])
    first, second = steps_of(agenda, "new-plant")
    assert first.date == date(2027, 6, 20) and 10 <= days_between(first.date, second.date) <= 14
    assert second.date < date(2027, 7, 10) and "apart" in first.title and not steps_of(agenda, "inspect")


def test_a_plant_that_stays_in_is_treated_in_its_room():
    agenda = agenda_of([staying(plant(pests="aphid"))])
    assert {s.place for s in steps_of(agenda, "treat")} == {"south window"}


def test_no_spray_on_days_above_the_heat_limit_and_hand_wiping_until_then():
    hot = make_normals(tmax_c=[20.0] * 5 + [33.0, 34.0, 33.0] + [28.0] * 4)
    agenda = agenda_of([moving(plant())], [entry(date(2027, 6, 5), "found-scale", "Plant one")], normals=hot)
    highs = normal_highs_c(hot, make_site())
    sprays = [s.date for s in steps_of(agenda, "treat")]
    assert sprays and all(highs[day_index(day)] <= 32 for day in sprays) and min(sprays) < date(2027, 9, 1)
    assert all(highs[day_index(date(2027, 7, n))] > 32 for n in range(1, 32))
    assert min(sprays) < date(2027, 6, 19) and not steps_of(agenda, "hand-wipe")
    assert steps_of(agenda, "isolate")[0].date == date(2027, 6, 5)


def test_a_listed_pest_waits_for_the_heat_to_pass_and_is_wiped_until_then():
    hot = make_normals(tmax_c=[33.0] * 7 + [28.0] * 5)
    agenda = agenda_of([moving(plant(pests="scale"))], normals=hot,
                       lived=Lived(ill_since={"Plant one": date(2027, 6, 1)}))
    sprays, highs = [s.date for s in steps_of(agenda, "treat")], normal_highs_c(hot, make_site())
    assert len(sprays) == 4 and min(sprays) > date(2027, 7, 15)
    assert all(highs[day_index(day)] <= 32 for day in sprays)
    assert len(steps_of(agenda, "hand-wipe")) == 4 and only(agenda, "isolate").date == date(2027, 6, 1)


def test_a_year_too_hot_throughout_is_wiped_by_hand():
    agenda = ill(moving(plant(pests="scale")), normals=make_normals(tmax_c=[33.0] * 12))
    assert not steps_of(agenda, "treat") and len(steps_of(agenda, "hand-wipe")) == 4
    assert "too hot for soap" in steps_of(agenda, "hand-wipe")[0].why and steps_of(agenda, "pest-recheck")


def test_cautions_of_sprays_are_stronger_with_children_and_pets():
    calm = steps_of(agenda_of([moving(plant(pests="scale"))]), "treat")[0].cautions
    strict = steps_of(agenda_of([moving(plant(pests="scale"))], children=True, pets=True), "treat")[0].cautions
    assert set(calm) < set(strict)
    assert any("label decides" in c for c in calm) and any("licensed" in c for c in calm)
    assert any("No systemic granules at all: children" in c for c in strict)
