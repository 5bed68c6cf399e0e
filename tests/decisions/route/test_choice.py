"""The choice of days and cloths over ways of our own, against every choice there is."""

from itertools import product
from random import Random

import numpy as np
import pytest

from seasonplan.decisions.route.choice import OVER_CLOTH, OVER_DAY, Known

DAYS, CLOTHS, GROUPS = 5, 3, 4


def known_of(number: int, most=(DAYS, CLOTHS), ways: int = 30) -> Known:
    """Ways drawn by a number: each asks for one to three days and none or one cloth."""
    drawn, found = Random(number), []
    for n in range(ways):
        asks = np.zeros(DAYS + CLOTHS, dtype=bool)
        asks[drawn.sample(range(DAYS), drawn.randint(1, 3))] = True
        if drawn.random() < 0.5:
            asks[DAYS + drawn.randrange(CLOTHS)] = True
        found.append((n % GROUPS, drawn.uniform(0.0, 60.0), asks))
    empty = Known(np.zeros(0, int), np.zeros(0), np.zeros((0, DAYS + CLOTHS), bool), np.array(
        [6.0] * DAYS + [20.0] * CLOTHS), np.full(GROUPS, 500.0), DAYS, most)
    group, cost, asks = zip(*found, strict=True)
    return empty.with_ways(np.array(group), np.array(cost), np.array(asks))


def told(known: Known, on: np.ndarray) -> float:
    """What a choice costs, way by way."""
    least = {group: known.stranded[group] for group in range(GROUPS)}
    for group, cost, asks in zip(known.group.tolist(), known.cost.tolist(), known.asks, strict=True):
        if not any(ask and not have for ask, have in zip(asks.tolist(), on.tolist(), strict=True)):
            least[group] = min(least[group], cost)
    days, cloths = sum(on[:DAYS].tolist()), sum(on[DAYS:].tolist())
    return sum(least.values()) + 6.0 * days + 20.0 * cloths + OVER_DAY * max(days - known.most[0], 0) \
        + OVER_CLOTH * max(cloths - known.most[1], 0)


CHOICES = [np.array(bits) for bits in product([False, True], repeat=DAYS + CLOTHS)]


@pytest.mark.parametrize("number", range(12))
def test_a_choice_is_the_best_there_is_or_near_it(number):
    """From all or from nothing; one such way may end a sixth above the best."""
    known = known_of(number)
    totals = [told(known, on) for on in CHOICES]
    assert [known.total(on) for on in CHOICES] == pytest.approx(totals)
    found = [known.total(known.choose(np.full(DAYS + CLOTHS, begin))) for begin in (True, False)]
    assert min(found) <= 1.02 * min(totals) and max(found) <= 1.2 * min(totals)


@pytest.mark.parametrize("number", range(6))
def test_no_single_exchange_betters_a_settled_choice(number):
    known = known_of(number)
    on = known.settled(np.ones(DAYS + CLOTHS, dtype=bool))
    total = known.total(on)
    near = [other for other in CHOICES if np.count_nonzero(on & ~other) <= 1 and np.count_nonzero(other & ~on) <= 1]
    assert len(near) > DAYS + CLOTHS and min(told(known, other) for other in near) == pytest.approx(total)


def test_no_more_days_than_allowed_but_for_plants_without_any_way():
    known = known_of(3, ways=60).allowing(2)
    assert known.choose(np.ones(DAYS + CLOTHS, dtype=bool))[:DAYS].sum() == 2
    needs = np.zeros((1, DAYS + CLOTHS), dtype=bool)
    needs[0, :3] = True
    stuck = Known(np.zeros(0, int), np.zeros(0), np.zeros((0, DAYS + CLOTHS), bool), known.price, np.array([5000.0]),
                  DAYS, (2, 1)).with_ways(np.array([0]), np.array([1.0]), needs)
    assert stuck.choose(np.zeros(DAYS + CLOTHS, dtype=bool)).tolist() == needs[0].tolist()


def test_of_ways_that_ask_for_the_same_the_cheapest_stays_and_the_chosen_are_the_best():
    known = known_of(5)
    again = known.with_ways(known.group, known.cost + 1.0, known.asks)
    assert (again.cost == known.cost).all() and (np.diff(again.group) >= 0).all()
    on = np.ones(DAYS + CLOTHS, dtype=bool)
    assert known.cost[known.chosen(on)].tolist() == known.least(on).tolist()
