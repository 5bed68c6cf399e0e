"""The search over a given list of days and positions, with prices of our own."""

from dataclasses import replace

import numpy as np
import pytest
from flat_garden import BACK, OUT, ask, days, flat_garden

from seasonplan.decisions.route.aim import make_aim
from seasonplan.decisions.route.groups import make_groups
from seasonplan.decisions.route.past import INDOORS
from seasonplan.decisions.route.search import many, search

LIGHT, SUN_H = {"room": 2.0, "porch": 6.0, "tree": 11.0, "lawn": 20.0}, {"porch": 1.0, "tree": 2.5, "lawn": 5.0}
GARDEN = flat_garden(LIGHT, sun_h=SUN_H)
PLACES = ("porch", "tree", "lawn")
WEEKS = range(0, 148, 7)


def aim_of(*requests, since=WEEKS, positions=None, garden=GARDEN):
    at = np.arange(len(garden.place)) if positions is None else np.array(
        [garden.position(garden.names.index(place), cloth) for place, cloth in positions])
    listed = np.array([garden.day(OUT) + n for n in since])
    return make_aim(garden, make_groups(requests, garden, False), listed, at, False)


def found(*requests, price=0.0, **given):
    aim = aim_of(*requests, **given)
    return aim, search(aim, np.broadcast_to(price, (1, len(aim.spans.days))))


def way(aim, routes, group=0):
    """(days after OUT, place, cloth) of every arrival, and of coming in."""
    told, before, start = [], INDOORS, aim.garden.day(OUT)
    for step, at in enumerate(routes.stands[group].tolist()):
        if at != before and at != INDOORS:
            told.append((int(aim.spans.days[step]) - start, aim.garden.names[aim.place[at]], int(aim.percent[at])))
        before = at
    return [*told, int(aim.spans.days[routes.until[group]]) - start]


def test_a_plant_goes_out_stays_and_comes_in():
    aim, routes = found(ask(places=("porch",)), positions=[("porch", 0)])
    assert way(aim, routes) == [(0, "porch", 0), 147] and np.isfinite(routes.cost[0])


def test_it_climbs_to_the_sun_and_comes_down():
    aim, routes = found(ask(places=PLACES), positions=[(place, 0) for place in PLACES])
    told = way(aim, routes)
    assert [stop[1] for stop in told[:3]] == ["porch", "tree", "lawn"] and told[2][0] <= 28 and told[-1] == 147
    assert told[-2][1] == "porch" and told[-2][0] >= 126


def test_moves_that_cost_more_than_they_give_are_not_made():
    few = [len(way(*found(ask(places=PLACES), price=price, positions=[(p, 0) for p in PLACES])))
           for price in (0.0, 500.0)]
    assert few[1] == 2 < few[0]


def test_a_day_that_costs_too_much_is_passed_over_for_its_neighbour():
    aim = aim_of(ask(places=PLACES), positions=[(p, 0) for p in PLACES])
    free = np.zeros((1, len(aim.spans.days)))
    before = {stop[0] for stop in way(aim, search(aim, free))[:-1]}
    day = sorted(before)[1]
    dear = free.copy()
    dear[0, WEEKS.index(day)] = np.inf
    after = way(aim, search(aim, dear))
    assert day not in {stop[0] for stop in after[:-1]} and len(after) > 1


def test_a_position_may_cost_something_to_go_to():
    """As a kind of cloth does that nobody has yet."""
    aim = aim_of(ask(places=("lawn",)), positions=[("lawn", cloth) for cloth in (0, 20, 30, 40, 50, 60, 70, 80)])
    free = np.zeros((1, len(aim.spans.days)))
    usual = search(aim, free)
    kind = [stop[2] for stop in way(aim, usual)[1:-1] if stop[2]][0]
    found = many(aim, free, np.where(aim.percent == kind, 1000.0, 0.0)[None], 3)
    assert (np.diff(found.cost[0]) >= 0).all() and found.stands.shape[:2] == (1, 3)
    without = replace(found, stands=found.stands[:, 0], cost=found.cost[:, 0], until=found.until[:, 0])
    assert kind not in {stop[2] for stop in way(aim, without)[:-1]}
    assert usual.cost[0] < without.cost[0] < usual.cost[0] + 1000


def test_where_nothing_is_open_there_is_no_way():
    aim, routes = found(ask(places=("porch",)), positions=[("lawn", 0)])
    assert routes.cost[0] == np.inf and (routes.stands == INDOORS).all()
    _, bright = found(ask("a", "shade", places=("lawn",)), positions=[("lawn", 0)])
    assert bright.cost[0] == np.inf


def test_six_stops_and_no_short_ones():
    aim, routes = found(ask(places=PLACES), since=range(0, 148))
    told = way(aim, routes)
    assert len(told) - 1 <= 6
    lengths = np.diff([*(stop[0] for stop in told[:-1]), told[-1]])
    ends = [*(stop[0] for stop in told[1:-1]), told[-1]]
    assert all(length >= (3 if end <= 21 else 5) for length, end in zip(lengths, ends, strict=True))


def test_a_plant_waits_until_it_may_leave_and_is_back_by_its_day():
    aim, routes = found(ask(places=("porch",), out=days(10), back=days(100)), positions=[("porch", 0)])
    (first, last) = way(aim, routes)
    assert first[0] == 14 and last == 98


def test_it_may_not_come_in_before_a_day():
    spans = {"porch": (OUT, days(147))}
    _, free = found(ask(places=("porch",), spans=spans), positions=[("porch", 0)])
    aim, held = found(ask(spans=spans, back=days(40), not_before=days(30)), positions=[("porch", 0)],
                      since=(0, 7, 14, 21, 28, 35))
    assert np.isfinite(free.cost[0]) and way(aim, held)[-1] == 35
    _, never = found(ask(spans=spans, back=days(40), not_before=days(37)), positions=[("porch", 0)],
                     since=(0, 7, 14, 21, 28, 35))
    assert never.cost[0] == np.inf


def test_a_plant_that_stays_out_all_year_never_comes_in():
    garden = GARDEN
    last = garden.date(len(garden.dates))
    request = ask(places=("porch",), out=garden.date(0), back=last)
    listed = range(-garden.day(OUT), len(garden.dates) - garden.day(OUT) + 1, 73)
    aim, routes = found(request, since=listed, positions=[("porch", 0)])
    assert len(garden.dates) % 73 == 0 and int(aim.spans.days[routes.until[0]]) == len(garden.dates)
    assert (routes.stands[0] == 0).all()


@pytest.mark.parametrize("cloth", [0, 50])
def test_a_plant_that_stands_somewhere_by_the_log_begins_there(cloth):
    request = ask(places=("porch", "tree"), stays=((OUT, "porch", cloth),), free_from=days(20))
    aim, routes = found(request, positions=[("porch", 0), ("porch", 50), ("tree", 0)])
    assert routes.stands[0, :3].tolist() == [INDOORS] * 3
    told = way(aim, routes)
    assert told[0] in ((21, "porch", cloth), (21, "tree", 0), (21, "porch", 0)) and told[-1] == 147


def test_every_group_goes_its_own_way():
    requests = [ask("a", places=PLACES), ask("b", "shade", places=PLACES), ask("c", "part-sun", places=PLACES)]
    aim, together = found(*requests)
    for n, request in enumerate(requests):
        alone_aim, alone = found(request)
        group = [r.plant.name for r in aim.groups.requests].index(request.plant.name)
        assert together.cost[group] == pytest.approx(alone.cost[0]) and n >= 0
        assert way(aim, together, group) == way(alone_aim, alone)


def test_what_was_thought_to_come_can_be_used_again():
    aim = aim_of(ask(places=PLACES))
    price = np.zeros((1, len(aim.spans.days)))
    first = search(aim, price)
    again = search(aim, price, first.ahead)
    assert (again.stands == first.stands).all() and again.cost == pytest.approx(first.cost)
    assert many(aim, price, np.zeros((1, len(aim.place))), 1, width=4).cost[0, 0] >= first.cost[0] - 1e-9


def test_a_last_day_near_the_rooms_light_is_worth_a_stop():
    aim, routes = found(ask(places=("lawn",), back=BACK), positions=[("lawn", c) for c in (0, 20, 50, 70, 80, 90)])
    last = way(aim, routes)[-2]
    assert 2.0 <= (1 - last[2] / 100) * 20 <= 3 * 2.0 + 1e-6
