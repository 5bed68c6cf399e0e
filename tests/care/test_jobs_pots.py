from datetime import date, timedelta

import pytest
from care.garden import (
    BACK,
    MIDSUMMER,
    OUT,
    after,
    agenda_of,
    days_between,
    moving,
    only,
    plant,
    staying,
    steps_of,
    stop,
)

from seasonplan.care.agenda import Lived
from seasonplan.care.amounts import pot_volume_l


def test_repot_only_the_root_bound_and_not_by_date():
    plans = [moving(plant("Bound", root_bound=True)), moving(plant("Roomy", root_bound=False)),
             moving(plant("Unknown", last_repotted=date(2020, 5, 1)))]
    agenda = agenda_of(plans)
    assert only(agenda, "repot").plants == ("Bound",)
    assert only(agenda, "inspect-roots").plants == ("Unknown",)


def test_roots_that_are_known_are_not_looked_at():
    known = [moving(plant("Lately", last_repotted=date(2026, 6, 1))), moving(plant("Roomy", root_bound=False))]
    assert not steps_of(agenda_of(known), "inspect-roots")


def test_repot_two_weeks_after_going_out_with_pot_and_mix():
    step = only(agenda_of([moving(plant("Big", root_bound=True, pot_cm=25.4, count=2))]), "repot")
    assert days_between(OUT, step.date) >= 14 and step.date <= after(MIDSUMMER, 28)
    each = pot_volume_l(30.0) - pot_volume_l(25.4) - 3.14159 / 4 * 2.54 * (30.0**2 - 25.4**2) / 1000
    assert dict(step.amounts) == pytest.approx({"mix_l": 2 * each, "pot_30_cm": 2}, rel=1e-3)
    assert f"25 cm to 30 cm, {each:.1f} L of potting mix each" in step.detail and "sizes that are sold" in step.detail


def test_repot_at_least_eight_weeks_before_coming_in():
    step = only(agenda_of([moving(plant(root_bound=True), OUT, after(OUT, 84))]), "repot")
    assert days_between(step.date, after(OUT, 84)) >= 56


def test_a_stay_too_short_for_it_is_repotted_indoors_before():
    step = only(agenda_of([moving(plant(root_bound=True), OUT, after(OUT, 56))]), "repot")
    assert step.date < OUT and step.place == "south window"


def test_a_plant_that_goes_out_too_late_is_told_why_not():
    agenda = agenda_of([moving(plant(root_bound=True), date(2027, 8, 28), date(2027, 10, 2))])
    [skipped] = [j for j in agenda.skipped if j.kind == "repot"]
    assert not steps_of(agenda, "repot") and "eight weeks" in skipped.reason and skipped.remedy


def test_not_in_the_week_of_a_step_into_more_sun():
    stops = [stop(OUT, date(2027, 6, 5), "porch", 0.2), stop(date(2027, 6, 5), BACK, "lawn", 5.0)]
    step = only(agenda_of([moving(plant(root_bound=True), stops=stops)]), "repot")
    assert abs(days_between(date(2027, 6, 5), step.date)) > 6


def test_a_plant_repotted_this_spring_is_left_alone():
    assert not steps_of(agenda_of([moving(plant(root_bound=True, last_repotted=date(2027, 4, 20)))]), "repot")


def test_orchids_get_bark_and_succulents_gritty_mix():
    agenda = agenda_of([moving(plant("Orchid", group="orchid", root_bound=True)),
                        moving(plant("Aloe", group="succulent", root_bound=True))])
    assert {key for s in steps_of(agenda, "repot") for key, _ in s.amounts} >= {"bark_mix_l", "gritty_mix_l"}


def test_cuttings_of_what_roots_in_water_and_their_pots_three_to_five_weeks_later():
    agenda = agenda_of([moving(plant("Water", cuttings="water")), moving(plant("Soil", cuttings="soil"))])
    cut, potted = only(agenda, "cuttings"), only(agenda, "pot-up-cuttings")
    assert cut.plants == potted.plants == ("Water",)
    assert days_between(cut.date, BACK) >= 56 and 21 <= days_between(cut.date, potted.date) <= 35
    assert dict(potted.amounts)["pot_10_cm"] == 1


def test_no_cuttings_of_a_plant_under_treatment():
    found = Lived(ill_since={"Plant one": date(2027, 6, 1)})
    assert not steps_of(agenda_of([moving(plant(cuttings="water", pests="scale"))], lived=found), "cuttings")
    cured = Lived(ill_since={"Plant one": date(2027, 3, 1)})
    assert steps_of(agenda_of([moving(plant(cuttings="water", pests="scale"))], lived=cured), "cuttings")


@pytest.mark.parametrize("mean_dli, weeks", [(30.0, 6), (3.0, 12)])
def test_prune_vines_every_six_weeks_in_bright_light_every_twelve_in_dim(mean_dli, weeks):
    out, back = date(2027, 5, 1), date(2027, 11, 6)
    stops = [stop(out, back, "porch", mean_dli=mean_dli)]
    dates = [s.date for s in steps_of(agenda_of([moving(plant(key="epipremnum-inventum"), out, back, stops)]), "prune")]
    gaps = [days_between(a, b) for a, b in zip(dates, dates[1:], strict=False)]
    assert gaps and all(abs(gap - 7 * weeks) <= 10 for gap in gaps)
    assert days_between(dates[-1], back) >= 42


def test_prune_what_the_notes_call_leggy_and_no_other_shrub():
    agenda = agenda_of([moving(plant("Leggy", notes="rather leggy")), moving(plant("Compact"))])
    assert all(s.plants == ("Leggy",) for s in steps_of(agenda, "prune")) and steps_of(agenda, "prune")


def test_sap_is_warned_of_where_it_flows():
    sappy = agenda_of([moving(plant(key="epipremnum-inventum"))])
    plain = agenda_of([moving(plant(notes="leggy"))])
    assert any("sap" in c for c in steps_of(sappy, "prune")[0].cautions)
    assert not any("sap" in c for c in steps_of(plain, "prune")[0].cautions)


def test_a_plant_that_stays_in_is_repotted_in_spring():
    step = only(agenda_of([staying(plant(root_bound=True))]), "repot")
    assert date(2027, 4, 7) < step.date <= MIDSUMMER + timedelta(days=28)
