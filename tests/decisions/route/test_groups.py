"""Plants as groups: what is alike shares an entry, and what each entry says."""

from datetime import date

import pytest
from flat_garden import BACK, DATES, OUT, ask, days, flat_garden

from seasonplan.decisions.route.groups import NEVER, make_groups, slow_days
from seasonplan.decisions.route.past import INDOORS

GARDEN = flat_garden({"room": 2.0, "den": 1.0, "porch": 8.0, "lawn": 40.0}, {"porch": None, "lawn": None})


def groups_of(*requests, in_shade=False):
    return make_groups(requests, GARDEN, in_shade)


def test_plants_that_are_alike_share_an_entry_in_order_of_their_names():
    found = groups_of(ask("b"), ask("c", "shade"), ask("a"))
    assert found.members == ((2, 0), (1,)) and len(found) == 2
    assert [r.plant.name for r in found.requests] == ["a", "c"]
    assert found.plants.tolist() == [2, 1] and found.shade.tolist() == [False, True]


@pytest.mark.parametrize("other", [
    {"kind": "part-sun"}, {"light_high_mol": 30.0}, {"place": "den"}, {"count": 2}, {"out": days(1)},
    {"back": days(60)}, {"not_before": days(40)}, {"free_from": days(3)}, {"weight_kg": 20.0},
    {"places": ("porch",)}, {"botanical": "Ficus inventa"}, {"stays": ((OUT, "lawn"),)}])
def test_whatever_the_route_looks_at_keeps_plants_apart(other):
    assert len(groups_of(ask("a"), ask("b", **other))) == 2
    assert len(groups_of(ask("a", **other), ask("b", **other))) == 1


def test_days_places_and_ceilings_of_an_entry():
    found = groups_of(ask(kind="part-sun", spans={"lawn": (days(10), days(90))}, count=3, light_high_mol=18.0,
                          not_before=days(80)))
    assert (found.leave[0], found.back[0]) == (GARDEN.day(OUT), GARDEN.day(BACK)) and found.ends[0]
    assert found.opens.tolist() == [[NEVER, GARDEN.day(days(10))]]
    assert found.closes.tolist() == [[-1, GARDEN.day(days(90))]]
    assert (found.pots[0], found.sun_cap[0], found.light_low[0], found.light_high[0]) == (3, 4.0, 5.0, 18.0)
    assert found.not_before[0] == GARDEN.day(days(80)) and found.here.tolist() == [INDOORS]
    assert GARDEN.light.places[found.indoor[0]] == "room"
    assert groups_of(ask()).not_before[0] == 0


def test_a_plant_that_stays_out_all_year_has_no_end_and_no_day_before_the_year():
    found = groups_of(ask(spans={"lawn": (date(2026, 1, 1), days(1, DATES[-1]))}, out=date(2026, 1, 1),
                          back=days(1, DATES[-1])))
    assert not found.ends[0] and found.back[0] == len(DATES) and found.leave[0] == 0 and found.opens[0, 1] == 0


def test_in_the_shade_all_summer_nobody_takes_more_sun_than_a_shade_plant():
    found = groups_of(ask("a"), ask("b", "part-sun"), ask("c", "deep-shade"), in_shade=True)
    assert found.sun_cap.tolist() == [1.5, 1.5, 0.5]


def test_heavier_pots_cost_more_to_move_in_steps_up_to_the_heaviest():
    prices = [groups_of(ask(weight_kg=kg)).price_move[0] for kg in (0.0, 7.0, 8.0, 16.0, 30.0, 90.0)]
    assert prices[0] == prices[1] < prices[2] == prices[3] < prices[4] == prices[5]
    assert prices == pytest.approx([1.5, 1.5, 3.0, 3.0, 4.5, 4.5])


def test_genera_that_drop_their_leaves_have_a_long_descent():
    assert slow_days("Ficus benjamina") > 21 and slow_days("×Citrofortunella microcarpa") >= 0
    assert slow_days("Inventia prima") == 0 and slow_days("") == 0
    assert groups_of(ask(botanical="Ficus inventa")).slow_days[0] == slow_days("Ficus benjamina")


def test_a_plan_that_begins_late_leaves_no_earlier_than_it_may():
    assert groups_of(ask(free_from=days(30))).leave[0] == GARDEN.day(days(30))
    assert groups_of(ask(free_from=days(-30))).leave[0] == GARDEN.day(OUT)


def test_where_a_plant_stands_by_the_log_stays_open_until_it_can_move():
    found = groups_of(ask(places=("porch",), stays=((OUT, "lawn"),), free_from=days(5)))
    assert found.here.tolist() == [1] and found.leave[0] == GARDEN.day(days(5))
    assert found.opens[0, 1] <= GARDEN.day(days(5)) <= found.closes[0, 1]
    late = groups_of(ask(stays=((OUT, "lawn"),), free_from=days(10, BACK)))
    assert late.back[0] == late.closes[0, 1] == GARDEN.day(days(10, BACK))


def test_what_came_in_for_good_leaves_no_more():
    found = groups_of(ask(stays=((OUT, "lawn"), (days(30), "room"))))
    assert found.past[0] is not None and found.past[0].ended
    assert found.leave[0] == NEVER > 2 * len(DATES) and found.here.tolist() == [INDOORS]


def test_some_of_the_groups_keep_their_order():
    found = groups_of(ask("a"), ask("b", "shade"), ask("c", "part-sun")).take([2, 0])
    assert [r.plant.name for r in found.requests] == ["c", "a"] and found.members == ((2,), (0,))
    assert found.sun_cap[0] == 4.0 and found.opens.shape == (2, 2)
