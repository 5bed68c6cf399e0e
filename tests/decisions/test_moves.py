"""Move steps: one per day and kind, every plant once per change of place, ids that do not know the date."""

from dataclasses import replace
from datetime import date, timedelta

from invented import make_plant

from seasonplan.decisions.moves import legs_of, move_steps
from seasonplan.model import MoveDate, PlantPlan, Rules, ShadeAdvice, Stop


def stop(first: date, until: date, place: str, **given) -> Stop:
    return replace(Stop(first, until, place, 9.0, 5.0, 1.5, 0.6, 3.0, 12.0, 2.0, "direct sun 06:50 to 08:30"), **given)


def plan_of(name: str, shift: int = 0, status="moves", count: int = 1) -> PlantPlan:
    days = [date(2027, 5, 8) + timedelta(days=shift), date(2027, 5, 22), date(2027, 9, 18)]
    out = MoveDate(days[0], date(2027, 5, 24), date(2027, 5, 8), 0.4, 1.2, "harm")
    return PlantPlan(make_plant(name, count=count), status, "", out, replace(out, date=days[2]), (),
                     (stop(days[0], days[1], "porch"), stop(days[1], days[2], "lawn")))


def uid(kind: str, anchor: str, occurrence: int) -> str:
    return f"{kind}-{anchor}-{occurrence}"


def test_plants_that_move_together_share_one_step():
    steps = move_steps([plan_of("Fig"), plan_of("Palm", count=3)], Rules(), uid)
    assert [(s.kind, s.date, s.plants) for s in steps] == [
        ("move-out", date(2027, 5, 8), ("Fig", "Palm")), ("move", date(2027, 5, 22), ("Fig", "Palm")),
        ("move-in", date(2027, 9, 18), ("Fig", "Palm"))]
    assert "Palm (3 pots)" in steps[0].detail and steps[0].minutes == 12


def test_ids_do_not_depend_on_the_date_and_are_unique():
    early = move_steps([plan_of("Fig")], Rules(), uid)
    late = move_steps([plan_of("Fig", shift=3)], Rules(), uid)
    assert [s.uid for s in early] == [s.uid for s in late]
    apart = move_steps([plan_of("Fig"), plan_of("Palm", shift=3)], Rules(), uid)
    assert len({s.uid for s in apart}) == len(apart) == 4


def test_every_reason_names_numbers_and_the_plants_it_holds_for():
    step = move_steps([plan_of("Fig"), plan_of("Palm")], Rules(), uid)[0]
    assert "10 °C" in step.why and "40 %" in step.why and "direct sun 06:50 to 08:30" in step.why
    assert step.why.count("Fig and Palm:") == 2


def test_shade_is_told_with_its_end():
    plan = plan_of("Fig")
    shaded = replace(plan.route[0], shade=ShadeAdvice("porch", 50, date(2027, 5, 20)))
    step = next(s for s in move_steps([replace(plan, route=(shaded, plan.route[1]))], Rules(), uid)
                if s.kind == "move-out")
    assert "Fig: under 50 % shade cloth at porch until Thu 20 May." in step.detail


def test_day_trips_are_one_step_on_their_first_day():
    span = (date(2027, 6, 1), date(2027, 8, 20))
    plans = [replace(plan_of(name), route=(), status="day-trips", trips=span) for name in ("Fig", "Palm")]
    (step,) = move_steps(plans, Rules(), uid)
    assert (step.kind, step.date, step.plants) == ("day-trips", span[0], ("Fig", "Palm"))
    assert "Until Fri 20 Aug" in step.detail and "18 °C" in step.detail


def test_a_plant_that_stays_out_has_no_move_in():
    assert [leg.kind for leg in legs_of(plan_of("Fig", status="stays-out"))] == ["move-out", "move"]
    assert legs_of(replace(plan_of("Fig"), route=(), status="stays-in")) == []
