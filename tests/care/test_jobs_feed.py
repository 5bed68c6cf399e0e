from datetime import date

import pytest
from care.garden import BACK, OUT, after, agenda_of, days_between, entry, moving, only, plant, staying, steps_of
from invented import make_normals, make_site

from seasonplan.care.agenda import Lived

EQUINOX = date(2027, 3, 20)


def test_start_with_the_growth_of_spring_and_repeat_every_two_weeks_but_not_in_the_first_weeks_outdoors():
    agenda = agenda_of([moving(plant())])
    start = only(agenda, "feed-start").date
    assert abs(days_between(EQUINOX, start)) <= 10
    dates = [start, *(s.date for s in steps_of(agenda, "feed"))]
    gaps = [days_between(a, b) for a, b in zip(dates, dates[1:], strict=False)]
    assert len(gaps) >= 6 and all(8 <= gap <= 42 for gap in gaps)
    assert not [day for day in dates if OUT <= day <= after(OUT, 20)] and any(day > after(OUT, 20) for day in dates)


def test_in_the_south_growth_begins_in_september():
    agenda = agenda_of([moving(plant(), date(2027, 11, 20), date(2028, 3, 25))],
                       site=make_site(latitude_deg=-37.0, longitude_deg=145.0))
    assert abs(days_between(date(2027, 9, 23), only(agenda, "feed-start").date)) <= 10


def test_where_no_day_is_short_feeding_does_not_wait_for_light():
    agenda = agenda_of([staying(plant())], site=make_site(latitude_deg=3.0))
    assert only(agenda, "feed-start").date.month == 4


def test_outdoors_feeding_waits_for_warmth_indoors_it_does_not():
    cold = make_normals(tmax_c=[0.0, 2.0, 6.0, 10.0, 17.0, 20.0, 22.0, 21.0, 18.0, 10.0, 5.0, 1.0])
    plans = [staying(plant("Outdoors"), "stays-out"), staying(plant("Indoors"))]
    agenda = agenda_of(plans, normals=cold)
    assert only(agenda, "feed-start", "Indoors").date < date(2027, 4, 1)
    assert date(2027, 4, 25) < only(agenda, "feed-start", "Outdoors").date < date(2027, 5, 20)


def test_nobody_is_told_to_start_who_would_stop_within_six_weeks():
    for weeks in range(2, 20):
        agenda = agenda_of([moving(plant(pests="scale"), OUT, after(OUT, 7 * weeks))],
                           lived=Lived(ill_since={"Plant one": date(2027, 3, 1)}))
        starts, stops = ([s.date for s in steps_of(agenda, kind)] for kind in ("feed-start", "feed-stop"))
        assert len(starts) == len(stops) <= 1
        assert all(days_between(a, b) >= 40 for a, b in zip(starts, stops, strict=True)), weeks


def test_one_step_per_feeding_day_for_the_whole_collection():
    plans = [moving(plant(f"Plant {k}")) for k in range(30)]
    feeding = steps_of(agenda_of(plans), "feed")
    assert len({s.date for s in feeding}) == len(feeding) and all(len(s.plants) == 30 for s in feeding)


def test_none_in_the_last_five_weeks_before_coming_in():
    agenda = agenda_of([moving(plant())])
    stop = only(agenda, "feed-stop").date
    assert 28 <= days_between(stop, BACK) <= 42 and all(s.date < stop for s in steps_of(agenda, "feed"))


@pytest.mark.parametrize("weeks", [18, 19])
def test_of_two_feeding_days_from_eight_weeks_before_coming_in_only_one_counts(weeks):
    back = after(OUT, 7 * weeks)
    agenda = agenda_of([moving(plant(), OUT, back)])
    assert len([s for s in steps_of(agenda, "feed") if days_between(s.date, back) <= 56]) == 1


def test_none_within_four_weeks_after_repotting():
    agenda = agenda_of([moving(plant(root_bound=True))])
    repotted = only(agenda, "repot").date
    fed = [s.date for kind in ("feed-start", "feed") for s in steps_of(agenda, kind)]
    assert fed and all(days_between(repotted, day) > 28 for day in fed if day >= repotted)


def test_none_within_four_weeks_after_a_repotting_that_the_list_reports():
    agenda = agenda_of([moving(plant(last_repotted=date(2027, 3, 20)))])
    assert only(agenda, "feed-start").date > date(2027, 4, 17)


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
    agenda = agenda_of([moving(plant("Sick", pests="scale")), moving(plant("Well"))],
                       lived=Lived(ill_since={"Sick": date(2027, 3, 10)}))
    over = only(agenda, "pest-recheck").date
    assert all(s.date > over for kind in ("feed-start", "feed") for s in steps_of(agenda, kind, "Sick"))
    assert steps_of(agenda, "feed-start", "Well")[0].date < over


def test_a_season_too_short_to_feed_is_not_fed():
    agenda = agenda_of([moving(plant(last_repotted=date(2027, 5, 1)), OUT, after(OUT, 63))])
    assert not [s for s in agenda.steps if s.kind.startswith("feed")]


def test_plants_that_stay_in_are_fed_in_their_season():
    agenda = agenda_of([staying(plant())])
    assert len(steps_of(agenda, "feed")) > 6 and only(agenda, "feed-stop").date.month == 9


def test_half_strength_by_the_label_and_no_amount():
    step = only(agenda_of([moving(plant())]), "feed-start")
    assert "half the label's rate" in step.detail and dict(step.amounts) == {"plant_food_bottle": 1.0}
