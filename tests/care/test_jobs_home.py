from datetime import timedelta

from care.garden import BACK, MIDSUMMER, OUT, agenda_of, days_between, moving, only, plant, staying, steps_of, stop
from invented import COLD_TOWN_TMAX_C, make_normals, make_places, make_site

from seasonplan.climate.highs import normal_highs_c
from seasonplan.dates import month_day
from seasonplan.model import Place

BALCONY = (*make_places(), Place("south balcony", "outdoor", wall_behind=True))


def test_heavy_pots_are_arranged_for_before_they_go_out():
    agenda = agenda_of([moving(plant("Big", pot_cm=40.0)), moving(plant("Small", pot_cm=12.0))])
    step = only(agenda, "heavy-lift")
    assert step.plants == ("Big",) and step.date < OUT
    assert "a dolly" in step.detail and any("94-110" in c for c in step.cautions)


def test_toxic_plants_go_out_of_reach_where_children_or_pets_live():
    plans = [moving(plant("Toxic")), moving(plant("Harmless", toxic_people="none", toxic_pets="none"))]
    assert not steps_of(agenda_of(plans), "out-of-reach")
    out, back = steps_of(agenda_of(plans, pets=True), "out-of-reach")
    assert out.plants == back.plants == ("Toxic",) and out.date == OUT and back.date == BACK
    assert any("pets cannot reach" in c for c in out.cautions)
    strict = steps_of(agenda_of(plans, children=True), "out-of-reach")[0].cautions
    assert any("children cannot reach" in c for c in strict)


def test_what_is_deadly_is_named_first_and_stands_where_nobody_comes_who_chews():
    plans = [moving(plant("Pothos")), moving(plant("Sago", toxic_pets="deadly"))]
    step = steps_of(agenda_of(plans, pets=True), "out-of-reach")[0]
    assert "Deadly: Sago.\nToxic: Pothos." in step.detail and "not here at all" in step.detail
    assert "a poison centre, a doctor or a vet" in step.detail
    people = steps_of(agenda_of(plans, children=True), "out-of-reach")[0]
    assert "Toxic: Pothos and Sago." in people.detail and "Deadly" not in people.detail


def test_pets_are_kept_from_chewing_in_the_first_week():
    plans = [moving(plant())]
    assert not steps_of(agenda_of(plans, children=True), "deter-pets")
    assert 0 <= days_between(OUT, only(agenda_of(plans, pets=True), "deter-pets").date) <= 7


def test_pots_on_a_balcony_are_secured_and_sheltered_small_ones_not():
    windy = moving(plant("High"), stops=[stop(OUT, BACK, "south balcony")])
    agenda = agenda_of([windy, moving(plant("Low"))], places=BALCONY)
    step = only(agenda, "secure-wind")
    assert step.plants == ("High",) and days_between(OUT, step.date) <= 6
    assert any("inside the railing" in c for c in step.cautions)


def test_a_large_pot_on_open_ground_is_secured():
    lawn, tree = ([stop(OUT, BACK, place)] for place in ("lawn", "under the tree"))
    assert steps_of(agenda_of([moving(plant(pot_cm=40.0), stops=lawn)]), "secure-wind")
    assert not steps_of(agenda_of([moving(plant(pot_cm=40.0), stops=tree)]), "secure-wind")


def test_water_is_looked_at_daily_from_the_first_day_outdoors_in_heat_and_after_rain():
    """Hot: from the first day with a normal high of 29 °C to the last."""
    warm = make_normals(tmax_c=COLD_TOWN_TMAX_C + 4)
    highs = normal_highs_c(warm, make_site())
    (m1, d1), (m2, d2) = (month_day([n for n in range(365) if highs[n] >= 29][k]) for k in (0, -1))
    habit = only(agenda_of([moving(plant())], normals=warm), "water-daily")
    assert habit.date == OUT and habit.minutes == 0 and "After rain too" in habit.detail
    names = {5: "May", 6: "Jun", 8: "Aug", 9: "Sep"}
    assert f"above 29 °C {d1} {names[m1]} to {d2} {names[m2]}" in habit.detail


def test_a_tall_plant_is_staked_when_it_goes_out_wherever_it_stands():
    agenda = agenda_of([moving(plant("Tall", tall_cm=120.0)), moving(plant("Said so", notes="2 m tall")),
                        moving(plant("Low", tall_cm=40.0, notes="tall for its age"))])
    step = only(agenda, "secure-wind")
    assert step.plants == ("Tall", "Said so") and "stake" in step.detail and 0 <= days_between(OUT, step.date) <= 6


def test_where_no_day_is_hot_water_is_looked_at_daily_around_midsummer_all_the_same():
    habit = only(agenda_of([moving(plant())], normals=make_normals(tmax_c=[18.0] * 12)), "water-daily")
    assert habit.date == OUT and "around midsummer (until about 16 Aug)" in habit.detail
    assert "Normal highs" not in habit.detail


def test_one_reminder_to_turn_the_pots():
    step = only(agenda_of([moving(plant(f"Plant {k}")) for k in range(9)]), "turn")
    assert len(step.plants) == 9 and "quarter" in step.title and step.minutes == 0


def test_midsummer_review_of_what_is_outdoors():
    agenda = agenda_of([moving(plant("Out", key="hibiscus-inventus")), staying(plant("In"))])
    step = only(agenda, "midsummer-review")
    assert step.plants == ("Out",) and 0 <= days_between(MIDSUMMER, step.date) <= 14
    assert "Out: short of light behind a curtain" in step.detail


def test_the_last_day_for_repotting_is_named():
    habit = only(agenda_of([moving(plant())]), "last-repot")
    assert 0 <= days_between(habit.date, MIDSUMMER + timedelta(days=28)) <= 6


def test_nothing_outdoors_nothing_to_watch_there():
    agenda = agenda_of([staying(plant())], pets=True)
    assert not {s.kind for s in agenda.steps} & {"water-daily", "turn", "midsummer-review", "last-repot", "deter-pets"}
