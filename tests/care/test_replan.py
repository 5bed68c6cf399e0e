"""The log re-plans: what was done is not asked again, repeats count from the real day, a pest found brings its course;
what the log does not touch stays as it was."""

from dataclasses import replace
from datetime import date

import pytest
from care.garden import OUT, after, agenda_of, days_between, entry, moving, only, plant, staying, steps_of

from seasonplan.care.agenda import Lived

FOUND = date(2027, 6, 12)


def collection():
    kinds = [("Fig", {"root_bound": True}), ("Pothos", {"key": "epipremnum-inventum", "cuttings": "water"}),
             ("Dusty", {"notes": "dusty"}), ("Aloe", {"group": "succulent"}),
             ("Lily", {"last_leached": date(2027, 4, 1)})]
    return [moving(plant(name, **facts)) for name, facts in kinds] + [staying(plant("Violet"))]


def test_a_pest_found_in_june_brings_isolation_treatment_repeats_and_a_check():
    agenda = agenda_of(collection(), [entry(FOUND, "found-scale", "Pothos")])
    assert only(agenda, "isolate").date == FOUND and only(agenda, "isolate").plants == ("Pothos",)
    sprays = steps_of(agenda, "treat")
    assert [days_between(FOUND, s.date) for s in sprays] == [0, 7, 14, 21]
    assert {s.plants for s in sprays} == {("Pothos",)} and "damp cloth" in sprays[0].detail
    assert only(agenda, "pest-recheck").date > sprays[-1].date


@pytest.mark.parametrize("name", ["Fig", "Pothos", "Violet"])
def test_a_pest_leaves_the_other_jobs_where_they_were(name):
    """Same uids; and steps of other plants keep their days. Only the feeding of the sick plant pauses."""
    before = agenda_of(collection())
    later = agenda_of(collection(), [entry(FOUND, "found-mealybug", name)])
    had, has = ({s.uid: s for s in a.steps} for a in (before, later))
    paused = {uid for uid, s in had.items() if s.plants == (name,) and
              s.kind.startswith(("feed", "cuttings", "pot-up"))}
    assert set(had) - set(has) <= paused
    for uid in set(had) & set(has):
        if had[uid].plants != (name,) and had[uid].kind != "quarantine-end":
            assert has[uid].date == had[uid].date, uid
    assert {has[uid].kind for uid in set(has) - set(had)} >= {"isolate", "treat", "pest-recheck"}


def test_the_sick_plant_is_not_fed_until_it_is_clear():
    agenda = agenda_of(collection(), [entry(FOUND, "found-scale", "Dusty")])
    clear = only(agenda, "pest-recheck").date
    fed = [s.date for kind in ("feed-start", "feed") for s in steps_of(agenda, kind, "Dusty")]
    assert fed and not [day for day in fed if FOUND < day < clear]


def test_a_pest_found_late_moves_the_last_check_with_the_move_in():
    found = date(2027, 9, 4)
    wait = agenda_of([moving(plant("Fig"), back=date(2027, 10, 2))], [entry(found, "found-aphid", "Fig")])
    look, move_in = only(wait, "inspect-before-in"), only(wait, "move-in")
    assert look.date < only(wait, "pest-recheck").date <= move_in.date == date(2027, 10, 2)
    assert not steps_of(wait, "treat-before-in")


def test_a_job_done_is_not_asked_again_for_the_plants_it_was_done_for():
    plans = [moving(plant("One")), moving(plant("Two"))]
    uid = only(agenda_of(plans), "inspect").uid
    agenda = agenda_of(plans, [entry(date(2027, 5, 10), "inspect", "One")])
    assert only(agenda, "inspect").plants == ("Two",) and only(agenda, "inspect").uid == uid
    assert not steps_of(agenda_of(plans, [entry(date(2027, 5, 10), "inspect")]), "inspect")


def test_a_step_named_by_its_uid_is_done_for_all_its_plants():
    plans = [moving(plant("One", salt_sensitive=True)), moving(plant("Two", salt_sensitive=True))]
    first, second = steps_of(agenda_of(plans), "leach")
    assert [s.uid for s in steps_of(agenda_of(plans, [entry(OUT, first.uid)]), "leach")] == [second.uid]
    assert not steps_of(agenda_of(plans, [entry(date(2027, 11, 14), second.uid)]), "leach")


def test_repeats_count_from_the_real_day():
    plans = [moving(plant("Sick", pests="scale"))]
    planned = [s.date for s in steps_of(agenda_of(plans), "treat")]
    late = after(planned[0], 6)
    agenda = agenda_of(plans, [entry(late, "treat", "Sick")])
    dates = [s.date for s in steps_of(agenda, "treat")]
    assert len(dates) == 3 and 7 <= days_between(late, dates[0]) <= 10


def test_leaching_done_late_puts_the_next_off():
    plans = [moving(plant(salt_sensitive=True))]
    real = date(2027, 7, 20)
    [again] = steps_of(agenda_of(plans, [entry(real, "leach")]), "leach")
    assert 122 <= days_between(real, again.date) <= 183


def test_a_repeat_keeps_its_uid_when_its_day_changes():
    plans = [moving(plant("Sick", pests="scale"))]
    before = steps_of(agenda_of(plans), "treat")
    late = steps_of(agenda_of(plans, [entry(after(before[0].date, 6), "treat", "Sick")]), "treat")
    assert [s.uid for s in late] == [s.uid for s in before[1:]]
    assert late[0].date != before[1].date


def test_a_step_split_off_from_its_group_gets_a_name_of_its_own():
    plans = [moving(plant(name, pests="scale")) for name in ("A", "B", "C")]
    first, second = steps_of(agenda_of(plans), "treat")[:2]
    agenda = agenda_of(plans, [entry(after(first.date, 6), "treat", "A"), entry(first.date, "treat", "B")])
    uids = [s.uid for s in agenda.steps]
    assert len(uids) == len(set(uids)) and second.uid in uids
    assert "A" not in next(s for s in agenda.steps if s.uid == second.uid).plants


def test_the_number_of_a_step_split_off_is_its_own_and_a_thousand():
    plans = [moving(plant(name, pests="scale")) for name in ("A", "B", "C")]
    first = steps_of(agenda_of(plans), "treat")[0]
    log = [entry(after(first.date, 6), "treat", "A"), entry(first.date, "treat", "B")]
    numbers = [int(s.uid.split("-")[-2]) for s in steps_of(agenda_of(plans, log), "treat", "A")]
    assert numbers == [1002, 1003, 1004]


def test_what_is_logged_frees_no_day_for_others_to_move_to():
    plans = collection()
    before = {s.uid: s.date for s in agenda_of(plans).steps}
    log = [entry(date(2027, 5, 29), "leach", "Fig"), entry(date(2027, 6, 5), "repot", "Fig")]
    later = {s.uid: s.date for s in agenda_of(plans, log).steps if "Fig" not in s.plants}
    assert later and all(before[uid] == day for uid, day in later.items())


def test_a_clear_check_ends_the_sprays():
    log = [entry(FOUND, "found-scale", "Fig"), entry(FOUND, "treat", "Fig"),
           entry(after(FOUND, 5), "pest-clear", "Fig")]
    agenda = agenda_of([moving(plant("Fig"))], log)
    assert not steps_of(agenda, "treat") and not steps_of(agenda, "pest-recheck")


def test_the_order_of_the_lines_in_the_log_does_not_matter():
    log = [entry(FOUND, "found-scale", "Fig"), entry(after(FOUND, 1), "treat", "Fig"), entry(OUT, "leach", "Fig")]
    numbered = [replace(e, line=n) for n, e in enumerate(log)]
    assert agenda_of(collection(), numbered) == agenda_of(collection(), numbered[::-1])


def test_a_find_that_is_also_written_into_the_list_is_one_course():
    log = [entry(FOUND, "found-scale", "Fig")]
    listed, logged = (agenda_of([moving(plant("Fig", pests=pests))], log) for pests in ("scale", "none"))
    assert [s.uid for s in steps_of(listed, "treat")] == [s.uid for s in steps_of(logged, "treat")]


def test_every_logged_repeat_counts():
    plans = [moving(plant("Sick", pests="scale"))]
    first, second = (s.date for s in steps_of(agenda_of(plans), "treat")[:2])
    log = [entry(first, "treat", "Sick"), entry(second, "treat", "Sick")]
    assert len(steps_of(agenda_of(plans, log), "treat")) == 2


def test_an_entry_is_the_occurrence_nearest_to_it():
    plans = [moving(plant(salt_sensitive=True))]
    spring, winter = steps_of(agenda_of(plans), "leach")
    assert [s.uid for s in steps_of(agenda_of(plans, [entry(after(spring.date, -9), "leach")]), "leach")] == \
        [winter.uid]


def test_what_a_later_entry_has_overtaken_is_not_asked_for():
    plans = [moving(plant(salt_sensitive=True))]
    assert not steps_of(agenda_of(plans, [entry(date(2027, 11, 12), "leach")]), "leach")


def test_a_find_while_a_listed_pest_is_treated_counts_apart():
    plans = [moving(plant("Sick", pests="scale"))]
    log = [entry(date(2027, 8, 7), step, "Sick") for step in ("found-aphid", "treat")]
    agenda = agenda_of(plans, log)
    assert [int(s.uid.split("-")[-2]) for s in steps_of(agenda, "treat")] == [1, 2, 3, 4, 12, 13]
    assert len(steps_of(agenda, "isolate")) == 2


def test_a_plant_that_must_come_in_before_its_last_check_is_told_so():
    agenda = agenda_of([moving(plant("Fig"))], [entry(date(2027, 9, 18), "found-scale", "Fig")])
    [job] = [j for j in agenda.skipped if j.kind == "inspect-before-in"]
    assert "before the last check" in job.reason and "apart" in job.remedy
    assert {s.place for s in steps_of(agenda, "treat") if s.date > date(2027, 9, 25)} == {"south window"}


def test_a_pest_of_the_list_that_is_found_again_long_after_its_treatment_is_treated_again():
    plans = [moving(plant("Sick", pests="scale"))]
    since = date(2027, 2, 1)
    lived = Lived(ill_since={"Sick": since})
    log = [entry(s.date, s.kind, "Sick") for s in agenda_of(plans, lived=lived).steps
           if s.kind in ("isolate", "treat", "pest-recheck")]
    assert [e.step for e in log].count("treat") == 4
    again = agenda_of(plans, [*log, entry(FOUND, "found-scale", "Sick")], lived=lived)
    assert [len(steps_of(again, kind)) for kind in ("isolate", "treat", "pest-recheck")] == [1, 4, 1]
    assert min(s.date for s in steps_of(again, "treat")) >= FOUND
    assert not steps_of(agenda_of(plans, log, lived=lived), "treat")


def test_what_was_sprayed_before_any_find_is_no_part_of_its_treatment():
    plans = [moving(plant("Sick"))]
    log = [entry(date(2027, 2, 1), "treat", "Sick"), entry(date(2027, 2, 1), "isolate", "Sick"),
           entry(FOUND, "found-scale", "Sick")]
    found = agenda_of(plans, log)
    assert len(steps_of(found, "treat")) == 4 and len(steps_of(found, "isolate")) == 1
