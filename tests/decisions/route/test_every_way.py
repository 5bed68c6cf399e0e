"""The search and the plan of a small garden against every way that its plants could go."""

from unittest import mock

import every_way
import numpy as np
import pytest
from route_best import FERN, LIME, OLIVE, PLUM, Small, compare, of_the_plants
from summer_value import value_of

from seasonplan.decisions.route.past import INDOORS
from seasonplan.decisions.route.search import search

PAIR = Small((OLIVE, FERN), ("porch", "tree", "lawn"), (50,), weeks=7)


@pytest.mark.parametrize("plant", [OLIVE, LIME, FERN, PLUM])
def test_every_way_has_the_value_that_the_search_gives_it(plant):
    aim = of_the_plants(Small((plant,), ("porch", "tree", "lawn"), (50,), weeks=6))[0]
    beam = search(aim, np.zeros((1, len(aim.spans.days))))
    assert value_of(aim, 0, beam.stands[0]).total == pytest.approx(float(beam.cost[0]))
    found = every_way.every_way(aim, 0, float(beam.cost[0]) + 12.0, 0.0, 0.0)
    assert len(found.cost) > 3 and any((stands == beam.stands[0]).all() for stands in found.stands)
    some = range(0, len(found.cost), len(found.cost) // 100 + 1)
    assert [value_of(aim, 0, found.stands[n]).total for n in some] == pytest.approx([found.cost[n] for n in some])
    assert found.cost.min() <= beam.cost[0] + 1e-9


def test_no_way_is_given_up_that_could_have_been_cheap_enough():
    aim = of_the_plants(Small((OLIVE,), ("porch", "lawn"), (50,), weeks=6))[0]
    most = float(search(aim, np.zeros((1, len(aim.spans.days)))).cost[0]) + 30.0
    found = every_way.every_way(aim, 0, most, 1.0, 2.0)
    with mock.patch.object(every_way, "least_to_come",
                           lambda steps, out, price: np.zeros((steps.steps + 1, steps.places))):
        all_of_them = every_way.every_way(aim, 0, most, 1.0, 2.0)
    assert len(found.cost) > 15
    assert sorted(map(tuple, found.stands.tolist())) == sorted(map(tuple, all_of_them.stands.tolist()))


def test_ways_keep_count_of_their_days_and_cloths():
    aim = of_the_plants(Small((OLIVE,), ("porch", "lawn"), (50, 80), weeks=6))[0]
    most = float(search(aim, np.zeros((1, len(aim.spans.days)))).cost[0]) + 40.0
    found = every_way.every_way(aim, 0, most, 0.0, 0.0)
    for days, kinds, stands in zip(found.days.tolist(), found.kinds.tolist(), found.stands, strict=True):
        padded = np.concatenate([[INDOORS], stands, [INDOORS]])
        assert days == sum(1 << n for n in range(len(padded) - 1) if padded[n] != padded[n + 1])
        assert kinds == sum(bit for bit, percent in ((1, 50), (2, 80)) if (
            aim.percent[stands[stands != INDOORS]] == percent).any())


def test_days_and_kinds_of_cloth_that_plants_share_count_once():
    one = every_way.Found(np.array([5.0, 9.0]), np.array([0b0011, 0b0110]), np.array([1, 0]), np.zeros((2, 3), int))
    two = every_way.Found(np.array([4.0]), np.array([0b0110]), np.array([1]), np.zeros((1, 3), int))
    assert every_way.best_garden([one, two], [1.0, 1.0], 6.0, 4, 20.0) == 9 + 4 + 2 * 6 + 20
    assert every_way.best_garden([one, two], [1.0, 1.0], 2.0, 4, 20.0) == 5 + 4 + 3 * 2 + 20
    assert every_way.best_garden([one], [2.0], 6.0, 0, 20.0) == 2 * 9 + 2 * 6


def test_nothing_is_planned_that_beats_every_way_there_is():
    found = compare(PAIR)
    assert found.best_search <= found.search + 1e-6 and found.best <= found.garden.total + 1e-6
