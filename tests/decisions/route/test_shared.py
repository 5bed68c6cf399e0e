"""What a garden shares: few days of moving and few kinds of cloth."""

import numpy as np
import pytest
from flat_garden import OUT, ask, days, flat_garden

from seasonplan.decisions.route.aim import make_aim
from seasonplan.decisions.route.groups import make_groups
from seasonplan.decisions.route.past import INDOORS
from seasonplan.decisions.route.search import search
from seasonplan.decisions.route.shared import moving, share

LIGHT, SUN_H = {"room": 2.0, "porch": 6.0, "lawn": 30.0}, {"porch": 1.0, "lawn": 8.0}
GARDEN = flat_garden(LIGHT, sun_h=SUN_H, move_days=("sat", "sun"))
PLACES = ("porch", "lawn")


def shared_by(*requests, garden=GARDEN, in_shade=False):
    """The days and cloths of a garden, its groups, and their ways."""
    groups = make_groups(requests, garden, in_shade)
    shared = share(garden, groups, in_shade)
    routes = search(make_aim(garden, groups, shared.days, shared.positions, in_shade))
    return shared, groups, routes


def used(shared, groups, routes):
    return shared.days[moving(routes.stands, groups.ends).any(axis=0)]


def cloths(shared, routes, garden=GARDEN):
    at = shared.positions[routes.stands[routes.stands != INDOORS]]
    return set(garden.percent[at].tolist()) - {0}


def test_a_group_moves_where_its_way_begins_changes_and_ends():
    stands = np.array([[INDOORS, 0, 0, 1, INDOORS], [0, 0, 0, 0, 0], [INDOORS, 0, 0, 0, 0]])
    assert moving(stands, np.array([True, True, True])).tolist() == [
        [False, True, False, True, True, False], [True, False, False, False, False, True],
        [False, True, False, False, False, True]]
    assert not moving(stands, np.array([True, True, False]))[2, -1]


def test_days_are_move_days_in_order_and_everybody_finds_a_way():
    shared, groups, routes = shared_by(ask("a", places=PLACES), ask("b", "shade", places=PLACES))
    assert (np.diff(shared.days) > 0).all()
    assert all(GARDEN.move_day[day] for day in shared.days.tolist()) and np.isfinite(routes.cost).all()


def test_six_plants_that_come_and_go_weeks_apart_share_twelve_days_at_most():
    requests = [ask(f"{kind} {n}", kind, places=PLACES, out=days(7 * n), back=days(147 - 5 * n), light_high_mol=high)
                for n in (0, 2, 4) for kind, high in (("sun", 45.0), ("part-sun", 20.0))]
    shared, groups, routes = shared_by(*requests)
    assert len(groups) == 6 and np.isfinite(routes.cost).all()
    assert len(used(shared, groups, routes)) <= 12
    alone = [set(used(*shared_by(request)).tolist()) for request in requests]
    assert len(set.union(*alone)) > 12


def test_a_kind_of_cloth_is_bought_only_where_its_loss_costs_more_than_it_does():
    requests = [ask(f"plant {high}", light_high_mol=high, places=("lawn",)) for high in (7.0, 10.0, 13.0, 16.0, 25.0)]
    shared, groups, routes = shared_by(*requests)
    kinds = cloths(shared, routes)
    assert np.isfinite(routes.cost).all() and 1 <= len(kinds) < 8
    for kind in kinds:
        rest = shared.positions[GARDEN.percent[shared.positions] != kind]
        without = search(make_aim(GARDEN, groups, shared.days, rest, False))
        assert without.cost.sum() - routes.cost.sum() > 20.0


def test_a_cloth_that_nobody_needs_is_not_kept():
    shared, _, routes = shared_by(ask("a", "shade", places=("porch",)), ask("b", places=("porch",)))
    assert cloths(shared, routes) == set()
    assert set(GARDEN.percent[shared.positions].tolist()) == {0}


def test_what_hangs_by_the_log_stays_in_use():
    garden = flat_garden(LIGHT, sun_h=SUN_H, hung=(35,))
    shared, _, routes = shared_by(ask("a", "shade", places=("porch",), stays=((OUT, "porch", 35),), free_from=days(9)),
                                  garden=garden)
    assert garden.position(0, 35) in shared.positions and np.isfinite(routes.cost).all()


def test_a_plant_keeps_the_one_day_on_which_it_can_go():
    """It may be out for six weeks in the middle of the others' season."""
    late = ask("late", "shade", places=("porch",), out=days(42), back=days(84))
    shared, groups, routes = shared_by(*(ask(f"a{n}", places=PLACES) for n in range(4)), late)
    assert np.isfinite(routes.cost).all()
    own = [r.plant.name for r in groups.requests].index("late")
    moves = shared.days[moving(routes.stands, groups.ends)[own]]
    assert GARDEN.day(days(42)) <= moves[0] < moves[-1] <= GARDEN.day(days(84))


@pytest.mark.parametrize("many", [30, 200])
def test_many_plants_of_many_kinds_need_no_more_days_than_few(many):
    requests = [ask(f"plant {n:03d}", "sun" if n % 3 else "shade", places=PLACES, light_high_mol=(
        30.0 + n % 10 if n % 3 else 10.0), back=days(120 + n % 28)) for n in range(many)]
    shared, groups, routes = shared_by(*requests)
    assert len(groups) > 24 and np.isfinite(routes.cost).all()
    assert len(used(shared, groups, routes)) <= 12


def test_in_the_shade_all_summer_takes_fewer_days():
    requests = [ask("a", places=PLACES), ask("b", "part-sun", places=PLACES), ask("c", "shade", places=PLACES)]
    sunny, shady = (used(*shared_by(*requests, in_shade=in_shade)) for in_shade in (False, True))
    assert len(shady) < len(sunny)
