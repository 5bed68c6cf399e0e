"""What did not fit, what runs over and what is open: said once, and never of what has its day or is over."""

from datetime import date

from care.garden import OUT, agenda_of, entry, moving, only, plant, staying, steps_of

from seasonplan.care.agenda import Lived
from seasonplan.care.job import at_place
from seasonplan.model import SkippedJob
from seasonplan.outputs.terminal_all import skipped_line

FOUND = date(2027, 6, 21)
"""A Monday."""


def lived(today, **given):
    return Lived(today=today, **given)


def test_a_plant_that_joins_on_a_monday_is_looked_over_on_the_next_day_of_work_and_nothing_is_said():
    agenda = agenda_of([staying(plant(arrived=FOUND)), moving(plant("Old fig"))])
    assert steps_of(agenda, "new-plant")[0].date == date(2027, 6, 26)
    assert "new-plant" not in {job.kind for job in agenda.skipped}


def test_a_plant_is_not_set_apart_any_more_once_a_check_found_nothing_or_its_sprays_are_over():
    log = [entry(FOUND, "found-spider-mite", "Plant one")]
    assert steps_of(agenda_of([moving(plant())], log, lived(FOUND)), "isolate")
    clear = [*log, entry(date(2027, 7, 24), "pest-clear", "Plant one")]
    assert not steps_of(agenda_of([moving(plant())], clear, lived(date(2027, 7, 25))), "isolate")
    sprays = [*log, *(entry(day, "treat", "Plant one") for day in (
        date(2027, 6, 27), date(2027, 7, 3), date(2027, 7, 10), date(2027, 7, 17)))]
    assert not steps_of(agenda_of([moving(plant())], sprays, lived(date(2027, 8, 20))), "isolate")


def test_a_spray_that_waits_for_the_one_before_it_is_not_open():
    log = [entry(FOUND, "found-scale", "Plant one"), entry(date(2027, 7, 10), "treat", "Plant one")]
    [second, *_] = steps_of(agenda_of([moving(plant())], log, lived(date(2027, 7, 12))), "treat")
    assert second.date == date(2027, 7, 17) and second.open_since is None


def test_what_may_be_left_out_is_marked_so_where_no_day_has_room_for_it():
    plans = [moving(plant(f"Plant {n}", cuttings="water")) for n in range(20)]
    skipped = {job.kind: job.optional for job in agenda_of(plans, minutes_per_day=25).skipped}
    assert skipped["wash"] and not skipped.get("inspect", False)


def test_a_habit_is_never_said_not_to_fit():
    plans = [moving(plant("Big fig", pot_cm=45.0))]
    log = [entry(OUT, "begin")]
    agenda = agenda_of(plans, log, Lived(today=date(2027, 6, 20), begun=date(2027, 6, 20)))
    assert "heavy-lift" not in {job.kind for job in agenda.skipped}


def test_work_whose_days_left_hold_no_day_of_work_takes_the_next_one():
    plans = [moving(plant("Tall fig", tall_cm=150), OUT)]
    agenda = agenda_of(plans, lived=lived(date(2027, 5, 24)))
    assert only(agenda, "secure-wind").date == date(2027, 5, 29) and not agenda.skipped


def test_a_day_that_runs_over_is_said_once_and_is_not_said_to_have_no_day():
    plans = [moving(plant(f"Sick {n}", pests="scale")) for n in range(16)]
    skipped = [job for job in agenda_of(plans, minutes_per_day=30).skipped if job.kept]
    days = [job.reason for job in skipped]
    assert len(days) == len(set(days)) and all("does not wait" in reason for reason in days)


def test_both_in_the_words_of_a_person():
    kept = SkippedJob("treat", ("Fig",), "work on Sun 1 Aug runs 1 h over your 1 h and does not wait", "a helper", True)
    assert skipped_line(kept) == "Treat Fig: work on Sun 1 Aug runs 1 h over your 1 h and does not wait. A helper."
    found = SkippedJob("treat-before-in", ("Fig", "Ivy", "Fern"), "it is too hot", "wipe the leaves")
    said = "No day to spray Fig, Ivy and 1 more before coming in: it is too hot. Wipe the leaves."
    assert skipped_line(found) == said


def test_a_place_is_in_on_or_at_as_a_person_says_it():
    said = {"room": "in the room", "deck south": "on the deck south", "south window": "at the south window",
            "east sill": "on the east sill", "under the tree": "under the tree", "my bedroom": "in my bedroom"}
    assert {place: at_place(place) for place in said} == said


def test_nobody_is_late_with_what_may_be_left_out():
    plans = [moving(plant("Fig"), OUT)]
    steps = agenda_of(plans, lived=lived(date(2027, 6, 20))).steps
    assert any(s.optional for s in steps) and all(s.open_since is None for s in steps if s.optional)


def test_plants_whose_shared_days_are_full_have_days_of_their_own():
    plans = [moving(plant(f"Early {n}", pot_cm=30), OUT) for n in range(8)]
    plans += [moving(plant(f"Late {n}", pot_cm=30), date(2027, 6, 19)) for n in range(8)]
    agenda = agenda_of(plans, minutes_per_day=30, move_days=("sat",))
    leached = {name for s in steps_of(agenda, "leach") for name in s.plants}
    refused = {name for job in agenda.skipped if job.kind == "leach" for name in job.plants}
    assert leached and not (leached & refused) and len(leached | refused) == 16


def test_feeding_goes_on_after_a_course_whose_last_check_was_made_without_a_find():
    log = [entry(FOUND, "found-aphid", "Plant one"), entry(date(2027, 4, 4), "feed-start", "Plant one")]
    log += [entry(day, "treat", "Plant one") for day in (
        date(2027, 6, 26), date(2027, 7, 3), date(2027, 7, 10), date(2027, 7, 17))]
    log += [entry(date(2027, 7, 24), "pest-recheck", "Plant one")]
    before = steps_of(agenda_of([moving(plant())], log, lived(date(2027, 7, 31))), "feed")[0].date
    on_that_day = steps_of(agenda_of([moving(plant())], log, lived(before)), "feed")
    assert before > date(2027, 7, 31) and on_that_day[0].date == before
