from datetime import date

import pytest
from care.garden import OUT, after, agenda_of, days_between, entry, moving, only, plant, staying, steps_of
from invented import make_normals, make_site

from seasonplan.care.treatment import pest
from seasonplan.climate.highs import normal_highs_c
from seasonplan.dates import day_index

PESTS = ("scale", "mealybug", "spider-mite", "aphid", "whitefly", "unknown")


def test_inspect_before_going_out():
    step = only(agenda_of([moving(plant())]), "inspect")
    assert 0 < days_between(step.date, OUT) <= 14


def test_isolate_a_plant_with_a_pest_before_the_season_and_a_clean_one_never():
    agenda = agenda_of([moving(plant("Sick", pests="scale")), moving(plant("Well"))])
    step = only(agenda, "isolate")
    assert step.plants == ("Sick",) and 22 <= days_between(step.date, OUT) <= 28


def test_hand_wipe_follows_isolation():
    agenda = agenda_of([moving(plant(pests="mealybug"))])
    assert 0 <= days_between(only(agenda, "isolate").date, only(agenda, "hand-wipe").date) <= 13


@pytest.mark.parametrize("key", PESTS)
def test_treat_on_the_pests_own_schedule_and_check_again(key):
    agenda, schedule = agenda_of([moving(plant(pests=key))]), pest(key)
    dates = [s.date for s in steps_of(agenda, f"treat-{key}")]
    gaps = [days_between(a, b) for a, b in zip(dates, dates[1:], strict=False)]
    assert len(dates) == schedule.count and OUT < dates[0] < after(OUT, 12)
    assert all(schedule.gap_least <= gap <= schedule.gap_most for gap in gaps)
    assert 2 <= days_between(dates[-1], only(agenda, "pest-recheck").date) <= 9


def test_no_dose_is_ever_computed_against_a_pest():
    agenda = agenda_of([moving(plant(pests=key, name=key)) for key in PESTS])
    for step in [s for s in agenda.steps if s.kind.startswith("treat-")]:
        assert "label strength" in step.detail and not any(key.endswith(("_ml", "_l")) for key, _ in step.amounts)


def test_soap_sensitive_and_edible_plants_are_named():
    agenda = agenda_of([moving(plant("Tender", pests="scale", soap_sensitive="yes", key="citrus-inventa"))])
    detail = steps_of(agenda, "treat-scale")[0].detail
    assert "Soap can mark Tender" in detail and "food plants on Tender" in detail


def test_a_short_stay_outdoors_is_treated_before_it_goes_out():
    agenda = agenda_of([moving(plant(pests="scale"), OUT, after(OUT, 28))])
    assert steps_of(agenda, "treat-scale")[0].date < OUT
    assert only(agenda, "pest-recheck").date <= after(OUT, 28)


def test_a_plant_that_stays_in_is_treated_in_its_room():
    agenda = agenda_of([staying(plant(pests="aphid"))])
    assert {s.place for s in steps_of(agenda, "treat-aphid")} == {"south window"}


def test_no_spray_on_days_above_the_heat_limit_and_hand_wiping_until_then():
    hot = make_normals(tmax_c=[20.0] * 5 + [33.0, 34.0, 33.0] + [28.0] * 4)
    agenda = agenda_of([moving(plant())], [entry(date(2027, 6, 5), "found-scale", "Plant one")], normals=hot)
    highs = normal_highs_c(hot, make_site())
    sprays = [s.date for s in steps_of(agenda, "treat-scale")]
    assert sprays and all(highs[day_index(day)] <= 32 for day in sprays) and min(sprays) < date(2027, 9, 1)
    assert all(highs[day_index(date(2027, 7, n))] > 32 for n in range(1, 32))
    assert {s.date.month for s in steps_of(agenda, "hand-wipe")} == {6}
    assert steps_of(agenda, "isolate")[0].date == date(2027, 6, 5)


def test_a_listed_pest_waits_for_the_heat_to_pass():
    hot = make_normals(tmax_c=[20.0] * 4 + [33.0, 34.0, 33.0] + [28.0] * 5)
    agenda = agenda_of([moving(plant(pests="scale"))], normals=hot)
    sprays = [s.date for s in steps_of(agenda, "treat-scale")]
    highs = normal_highs_c(hot, make_site())
    assert len(sprays) == 4 and min(sprays) > date(2027, 7, 15)
    assert all(highs[day_index(day)] <= 32 for day in sprays)


def test_a_year_too_hot_throughout_says_so():
    agenda = agenda_of([moving(plant(pests="scale"))], normals=make_normals(tmax_c=[33.0] * 12))
    [skipped] = [j for j in agenda.skipped if j.kind == "treat-scale"]
    assert not steps_of(agenda, "treat-scale") and "32 °C" in skipped.reason


def test_cautions_of_sprays_are_stronger_with_children_and_pets():
    calm = steps_of(agenda_of([moving(plant(pests="scale"))]), "treat-scale")[0].cautions
    strict = steps_of(agenda_of([moving(plant(pests="scale"))], children=True, pets=True), "treat-scale")[0].cautions
    assert set(calm) < set(strict)
    assert any("label decides" in c for c in calm) and any("licensed" in c for c in calm)
    assert any("No systemic granules at all: children" in c for c in strict)
