"""One person's round: days, minutes and ways shared by several gardens."""

from dataclasses import replace
from datetime import date, timedelta

from care.garden import agenda_of, moving, plant, steps_of
from invented import make_plan, make_scenario, make_site, make_step

from seasonplan.care.rounds import Elsewhere, Rounds, together
from seasonplan.model import Rules

SATURDAY, SUNDAY = date(2027, 6, 5), date(2027, 6, 6)
NEAR, FAR = make_site(name="Near"), make_site(name="Far", travel_minutes=40)


def gardens(**rules):
    return [make_scenario(site=site, rules=Rules(year=2027, **rules)) for site in (NEAR, FAR)]


def step(day, minutes=30, kind="leach", **given):
    return make_step(day, kind, ("Fern",), minutes=minutes, **given)


def test_a_day_costs_the_work_and_the_way_of_every_garden_on_it():
    rounds = Rounds(gardens())
    rounds.add(NEAR, [step(SATURDAY, 30), step(SATURDAY, 20)])
    rounds.add(FAR, [step(SATURDAY, 10)])
    assert rounds.minutes(SATURDAY) == 100 and rounds.minutes(SUNDAY) == 0
    assert rounds.elsewhere(NEAR).minutes == {SATURDAY: 50} and rounds.elsewhere(NEAR).travel_min == 0
    assert rounds.elsewhere(FAR) == Elsewhere({SATURDAY: 50}, 40, 180)
    rounds.add(FAR, [])
    assert rounds.minutes(SATURDAY) == 50


def test_a_garden_moves_on_days_that_no_other_has_where_its_fortnight_has_one():
    rounds = Rounds(gardens())
    rounds.add(NEAR, [step(SATURDAY)])
    assert rounds.before_moves(gardens()[1]).rules.shut == {SATURDAY}
    rounds.add(NEAR, [step(SATURDAY), step(SUNDAY)])
    assert rounds.before_moves(gardens()[1]).rules.shut == {SATURDAY, SUNDAY}
    monday = SATURDAY - timedelta(days=(SATURDAY.toordinal() - 1) % 14)
    rounds.add(NEAR, [step(monday + timedelta(days=n)) for n in (5, 6, 12, 13)])
    assert rounds.before_moves(gardens()[1]).rules.shut == frozenset()
    only_saturdays = gardens(move_days=("sat",))
    rounds = Rounds(only_saturdays)
    rounds.add(NEAR, [step(monday + timedelta(days=n)) for n in (5, 12)])
    assert rounds.before_moves(only_saturdays[1]).rules.shut == frozenset()


def test_what_comes_every_fortnight_takes_turns_where_a_week_has_too_few_days():
    sites = [make_site(name=name) for name in ("One", "Two", "Three", "Four", "Five")]
    rounds = Rounds([make_scenario(site=site, rules=Rules(year=2027)) for site in sites])
    assert [rounds.elsewhere(site).later_days for site in sites] == [0, 0, 7, 7, 0]
    plans = [moving(plant())]
    first, other = (steps_of(agenda_of(plans, elsewhere=Elsewhere(later_days=n)), "feed")[0] for n in (0, 7))
    assert other.date - first.date == timedelta(days=7)


def test_the_fewest_minutes_that_any_garden_names_are_the_persons():
    near, far = gardens()
    rounds = Rounds([replace(near, rules=replace(near.rules, minutes_per_day=90)), far])
    assert rounds.limit_min == 90 and rounds.before_moves(far).rules.minutes_per_day == 90


def test_jobs_keep_off_days_in_other_gardens_and_pay_for_the_way():
    plans = [moving(plant(f"Plant {n}")) for n in range(8)]
    alone = agenda_of(plans)
    taken = {s.date for s in alone.steps if s.date.weekday() == 5}
    shared = agenda_of(plans, elsewhere=Elsewhere(dict.fromkeys(taken, 60), 0))
    jobs = [s for s in shared.steps if not s.kind.startswith("move")]
    was = [s for s in alone.steps if not s.kind.startswith("move")]
    assert len([s for s in jobs if s.date in taken]) < len([s for s in was if s.date in taken]) / 2
    far = agenda_of(plans, elsewhere=Elsewhere({}, 175))
    by_day = {}
    for s in far.steps:
        by_day.setdefault(s.date, []).append(s)
    long = [day for day, steps in by_day.items() if sum(s.minutes for s in steps) > 5 and
            all("over your" not in s.why for s in steps) and not any(s.kind.startswith("move") for s in steps)]
    assert not long


def test_one_agenda_and_one_shopping_list():
    soap = (("labelled_soap_bottle", 1.0), ("water_l", 10.0))
    plans = [make_plan(make_scenario(site=site), steps=(step(SATURDAY, 30, amounts=soap, uid=f"{site.name}-1"),
                                                        step(SATURDAY + timedelta(weeks=n), 20, uid=f"{site.name}-2")))
             for n, site in enumerate((NEAR, FAR))]
    found = together(plans, 90)
    assert [(day.date, day.minutes, day.travel_min) for day in found.days] == [
        (SATURDAY, 30 + 20 + 30 + 40, 40), (SATURDAY + timedelta(weeks=1), 60, 40)]
    assert [name for name, _ in found.days[0].gardens] == ["Near", "Far"] and found.gardens == ("Near", "Far")
    bought = {item.item: item.amount for item in found.shopping}
    assert bought["water for leaching and washing"] == 20
    assert bought["insecticidal soap, labelled for house plants"] == 1
