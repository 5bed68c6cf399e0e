"""Room that is shared out: who stands where when a place cannot take all."""

from datetime import timedelta

import pytest
from flat_garden import BACK, OUT, ask, days, flat_light, flat_places

from seasonplan.decisions.route import routes
from seasonplan.model import Rules

SUN_H = {"porch": 1.0, "lawn": 8.0, "bed": 8.0}
LIGHT = flat_light({"room": 2.0, "porch": 6.0, "lawn": 30.0, "bed": 30.0}, SUN_H)


def planned(requests, rooms):
    light = flat_light({name: float(LIGHT.mean_dli[LIGHT.places.index(name), 0]) for name in ("room", *rooms)}, SUN_H)
    found = routes(requests, flat_places(rooms), light, Rules())
    for n in range((BACK - OUT).days):
        for place, room in rooms.items():
            pots = sum(r.plant.count for r, result in zip(requests, found, strict=True) for s in result.stops
                       if s.place == place and s.date <= OUT + timedelta(days=n) < s.until)
            assert room is None or pots <= room, f"{pots} pots at the {place} on day {n}"
    return {r.plant.name: result for r, result in zip(requests, found, strict=True)}


def on(result, day):
    return next((s.place for s in result.stops if s.date <= days(day) < s.until), None)


def test_where_there_is_room_for_all_everybody_stands_alike():
    found = planned([ask(n) for n in "abc"], {"lawn": 3})
    assert found["a"] == found["b"] == found["c"] and found["a"].stops


def test_as_many_of_a_kind_go_as_find_room_the_first_by_name():
    found = planned([ask(n) for n in "cab"], {"lawn": 2})
    assert found["a"].stops and found["a"] == found["b"]
    assert found["c"].stops == () and found["c"].blocked.startswith("No room: ")


def test_several_pots_of_one_plant_need_room_together():
    found = planned([ask("a", count=3), ask("b", count=2)], {"lawn": 4})
    assert sorted(bool(result.stops) for result in found.values()) == [False, True]
    assert all(result.stops for result in planned([ask("a", count=3), ask("b")], {"lawn": 4}).values())


def test_the_one_that_would_lose_most_has_the_crowded_place():
    """A plant that bears 8 mol has nearly as much on the porch, one that bears 45 has not."""
    both = ("porch", "lawn")
    for names in (("a", "b"), ("b", "a")):
        found = planned([ask(names[0], places=both), ask(names[1], light_high_mol=8.0, places=both)],
                        {"porch": None, "lawn": 1})
        assert on(found[names[0]], 60) == "lawn" and on(found[names[1]], 60) == "porch"


def test_whoever_finds_no_room_goes_to_the_next_best_place():
    found = planned([ask(n, places=("lawn", "bed")) for n in "abcd"], {"lawn": 2, "bed": 2})
    assert sorted(on(found[n], 60) for n in "abcd") == ["bed", "bed", "lawn", "lawn"]


def test_what_stands_there_by_the_log_keeps_its_place():
    stands = ask("z", light_high_mol=30.0, stays=((OUT, "lawn", 90), (days(10), "lawn", 60), (days(20), "lawn")),
                 free_from=days(40))
    found = planned([ask("a", out=days(40)), stands], {"lawn": 1})
    assert on(found["z"], 60) == "lawn" and not found["a"].stops


@pytest.mark.parametrize("order", ["abcde", "edcba", "caebd"])
def test_the_order_of_plants_says_nothing(order):
    def one(name):
        return ask(name, "sun" if name in "abc" else "part-sun", places=("porch", "lawn"))

    found = planned([one(name) for name in order], {"porch": 3, "lawn": 2})
    assert found == planned([one(name) for name in "abcde"], {"porch": 3, "lawn": 2})
