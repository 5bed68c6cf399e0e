from datetime import date

import pytest
from care.garden import BACK, OUT, after, agenda_of, days_between, entry, moving, only, plant, staying, steps_of


def test_start_three_weeks_after_going_out_and_repeat_every_two_weeks_or_so():
    agenda = agenda_of([moving(plant())])
    start = only(agenda, "feed-start").date
    assert 21 <= days_between(OUT, start) <= 35
    dates = [start, *(s.date for s in steps_of(agenda, "feed"))]
    gaps = [days_between(a, b) for a, b in zip(dates, dates[1:], strict=False)]
    assert len(gaps) >= 3 and all(8 <= gap <= 30 for gap in gaps)


def test_one_step_per_feeding_day_for_the_whole_collection():
    plans = [moving(plant(f"Plant {k}")) for k in range(30)]
    feeding = steps_of(agenda_of(plans), "feed")
    assert len({s.date for s in feeding}) == len(feeding) and all(len(s.plants) == 30 for s in feeding)


def test_less_from_eight_weeks_before_coming_in_and_none_in_the_last_five():
    agenda = agenda_of([moving(plant())])
    stop, less = only(agenda, "feed-stop").date, only(agenda, "feed-less").date
    assert 28 <= days_between(stop, BACK) <= 42 and 50 <= days_between(less, BACK) <= 56
    assert all(s.date < stop for s in steps_of(agenda, "feed"))


@pytest.mark.parametrize("weeks", [18, 19])
def test_of_two_feeding_days_after_that_only_one_counts(weeks):
    agenda = agenda_of([moving(plant(), OUT, after(OUT, 7 * weeks))])
    less = only(agenda, "feed-less").date
    assert len([s for s in steps_of(agenda, "feed") if s.date >= less]) == 1


def test_none_within_four_weeks_after_repotting():
    agenda = agenda_of([moving(plant(root_bound=True))])
    repotted = only(agenda, "repot").date
    fed = [s.date for kind in ("feed-start", "feed") for s in steps_of(agenda, kind)]
    assert fed and all(days_between(repotted, day) > 28 for day in fed if day >= repotted)


def test_none_within_four_weeks_after_a_repotting_that_the_list_reports():
    agenda = agenda_of([moving(plant(last_repotted=after(OUT, -3)))])
    assert only(agenda, "feed-start").date > after(OUT, 25)


def test_none_within_four_weeks_after_a_repotting_that_the_log_reports():
    plans = [moving(plant("Late", root_bound=True)), moving(plant("Other"))]
    agenda = agenda_of(plans, [entry(date(2027, 7, 10), "repot", "Late")])
    fed = [s.date for kind in ("feed-start", "feed") for s in steps_of(agenda, kind, "Late")]
    assert not [day for day in fed if date(2027, 7, 10) <= day <= date(2027, 8, 7)]
    assert [s for s in steps_of(agenda, "feed", "Other") if date(2027, 7, 10) < s.date < date(2027, 8, 7)]


def test_succulents_are_fed_twice_a_year():
    agenda = agenda_of([moving(plant(group="succulent")), moving(plant("Leafy"))])
    assert len(steps_of(agenda, "feed-start", "Plant one")) + len(steps_of(agenda, "feed", "Plant one")) == 2


def test_a_plant_under_treatment_is_not_fed():
    agenda = agenda_of([moving(plant("Sick", pests="scale")), moving(plant("Well"))])
    over = only(agenda, "pest-recheck").date
    assert all(s.date > over for kind in ("feed-start", "feed") for s in steps_of(agenda, kind, "Sick"))
    assert steps_of(agenda, "feed-start", "Well")[0].date < over


def test_a_stay_too_short_to_feed_is_not_fed():
    agenda = agenda_of([moving(plant(), OUT, after(OUT, 63))])
    assert not [s for s in agenda.steps if s.kind.startswith("feed")]


def test_plants_that_stay_in_are_fed_in_their_season():
    agenda = agenda_of([staying(plant())])
    assert len(steps_of(agenda, "feed")) > 6 and only(agenda, "feed-stop").date.month == 9


def test_half_strength_by_the_label_and_no_amount():
    step = only(agenda_of([moving(plant())]), "feed-start")
    assert "half the label's rate" in step.detail and dict(step.amounts) == {"plant_food_bottle": 1.0}
