"""A small slice of what `python -m truth.watch_seasons` plays: stations that settings were not chosen on."""

from dataclasses import replace
from functools import cache

from truth.watch_seasons import Played, World, drawn, play, tonight

STATIONS, SEASONS = ("brussels", "cordoba", "north_yorks"), 3
OTHERS = ("lincolnshire", "suffolk")
LEAST_ACTED, MOST_WITHDRAWN = 0.92, 0.25
"""What is asked for: harmful nights acted on, announcements taken back."""
BEST_MARGIN_C = 1.2
"""The margin that is best over all stations and seasons of the table in DEVELOPERS.md. That of so few seasons, chosen
afterwards, would be a matter of luck."""
WARM_COST = 1.5
"""What a source that is too warm by 0.7 °C may cost more than the best margin with an honest one."""


@cache
def played(world: World) -> Played:
    found = Played()
    for station in STATIONS:
        found.add(play(station, world, SEASONS))
    return found


def test_harmful_nights_are_acted_on_at_the_cost_of_the_best_margin():
    """Both kinds of forecast errors together."""
    found = Played()
    for kind in ("settling", "jumping"):
        found.add(played(World(kind, judged=False)))
    acted, harmful = found.arrays
    assert len(acted) > 8000 and harmful.sum() > 90           # enough to judge by
    assert (acted & harmful).sum() / harmful.sum() >= LEAST_ACTED
    assert found.cost_of(acted) <= found.cost_at(BEST_MARGIN_C)
    assert found.announced > 100 and found.withdrawn / found.announced <= MOST_WITHDRAWN


def test_over_many_draws_of_the_error_tonight_costs_less_than_the_best_margin():
    """One draw moves a cost by a twentieth; a dozen together hardly do."""
    found = Played()
    for station in STATIONS:
        found.add(tonight(station, SEASONS, 12))
    acted, harmful = found.arrays
    assert (acted & harmful).sum() / harmful.sum() >= LEAST_ACTED
    assert found.cost_of(acted) < found.cost_at(BEST_MARGIN_C)


def test_few_announcements_are_taken_back_where_forecasts_jump():
    """Over all five stations; Lincolnshire alone, with few of them, takes back a third."""
    found, world = Played(), World("jumping", judged=False)
    found.add(played(world))
    for station in OTHERS:
        found.add(drawn(station, world, SEASONS, 1))
    assert found.announced > 200 and found.withdrawn / found.announced <= MOST_WITHDRAWN


def test_a_warm_source_costs_no_more_than_half_as_much_again():
    warm, honest = played(World(bias_c=0.7, judged=False)), played(World(judged=False))
    assert warm.cost_of(warm.arrays[0]) <= WARM_COST * honest.cost_at(BEST_MARGIN_C)


def test_readings_undo_a_warm_bias():
    world = World(bias_c=1.5, judged=False)
    taught, untaught = play("cordoba", replace(world, readings=True), 2), play("cordoba", world, 2)
    (acted, harmful), (blind, _) = taught.arrays, untaught.arrays
    assert (acted & harmful).sum() > (blind & harmful).sum() and taught.cost_of(acted) < untaught.cost_of(blind)


def test_never_acting_and_always_acting_cost_far_more():
    """The yardstick is able to fail a rule."""
    found = played(World(judged=False))
    acted, _ = found.arrays
    best = found.cost_at(BEST_MARGIN_C)
    assert found.cost_of(acted & False) > 2 * best and found.cost_of(acted | True) > 2 * best
