"""The aim: what days, moves, cloths and ends cost, and what may not be traded."""

import math

import numpy as np
import pytest
from flat_garden import BACK, OUT, ask, days, flat_garden

from seasonplan.decisions.route.aim import beyond, make_aim
from seasonplan.decisions.route.groups import NEVER, make_groups
from seasonplan.decisions.route.light_rule import light_rule

RULE = light_rule()
LIGHT, SUN_H = {"room": 2.0, "porch": 6.0, "tree": 12.0, "lawn": 30.0}, {"porch": 1.0, "tree": 2.0, "lawn": 8.0}
GARDEN = flat_garden(LIGHT, sun_h=SUN_H)
PLACES = ("porch", "tree", "lawn")
WEEKS = range(0, 148, 7)


def aim_of(*requests, garden=GARDEN, since=WEEKS, in_shade=False, room_left=None):
    listed = np.array([garden.day(OUT) + n for n in since])
    return make_aim(garden, make_groups(requests, garden, in_shade), listed, np.arange(len(garden.place)), in_shade,
                    room_left)


def at(place, cloth=0):
    return GARDEN.position(GARDEN.names.index(place), cloth)


def test_a_plants_ceilings_its_places_and_room_are_never_traded():
    aim = aim_of(ask(places=("porch", "lawn"), light_high_mol=21.0))
    assert aim.allowed[0, 0, [at("porch"), at("lawn", 30)]].all()
    assert not aim.allowed[0, 0, [at("tree"), at("lawn"), at("lawn", 20)]].any()
    part = aim_of(ask(kind="part-sun", places=PLACES, light_high_mol=40.0))
    assert part.allowed[0, 0, at("lawn", 50)] and not part.allowed[0, 0, at("lawn", 40)]       # 4 full-sun hours
    spans = {"porch": (days(7), days(70))}
    when = aim_of(ask(spans=spans)).allowed[0, :, at("porch")]
    assert when.tolist() == [7 <= week < 70 for week in WEEKS[:-1]]
    crowded = flat_garden(LIGHT, {"porch": 2, "tree": None, "lawn": None}, sun_h=SUN_H)
    assert [aim_of(ask(count=n, places=PLACES), garden=crowded).allowed[0, 0, at("porch")] for n in (2, 3)] == [
        True, False]
    left = np.full((len(WEEKS) - 1, 3), 9)
    left[3, 0] = 1
    assert aim_of(ask(count=2, places=PLACES), room_left=left).allowed[0, 2:5, at("porch")].tolist() == [
        True, False, True]
    logged = ask(count=3, places=PLACES, stays=((OUT, "porch"),), free_from=days(7))
    assert aim_of(logged, garden=crowded).allowed[0, 1, at("porch")]


def test_the_first_days_are_gentle():
    sun, shade = aim_of(ask(places=PLACES)), aim_of(ask(kind="shade", places=PLACES))
    assert sun.gentle[0, 0, [at("porch"), at("tree", 30), at("lawn", 90)]].all()
    assert not sun.gentle[0, 0, [at("tree"), at("lawn", 80)]].any()                              # 1.5 full-sun hours
    assert shade.gentle[0, 0, at("porch")]                                                       # 180 umol
    strong = flat_garden(LIGHT, peak=55.0)
    for kind, expected in (("shade", False), ("sun", True)):
        assert aim_of(ask(kind=kind, places=PLACES), garden=strong).gentle[0, 0, at("porch")] == expected


def test_light_that_is_missing_costs_by_its_square_and_a_cloth_by_the_day():
    aim = aim_of(ask(places=PLACES))
    light = aim.light[0, 0]
    assert light[at("lawn")] == pytest.approx(0.0)
    assert light[at("tree")] == pytest.approx(7 * 0.6 ** 2)
    assert light[at("lawn", 60)] == pytest.approx(7 * (0.6 ** 2 + RULE.price_cloth))
    shade = aim_of(ask(kind="shade", places=PLACES)).light[0, 0]
    assert shade[at("porch")] == pytest.approx(7 * (1 - 6 / 6.0) ** 2)
    assert shade[at("lawn", 80)] == pytest.approx(7 * RULE.price_cloth_shade)


def dark(aim, position, group=0, day=30):
    """Price of one day at a position."""
    return float(np.diff(aim.daily.dark, axis=1)[group, GARDEN.day(OUT) + day, position])


def late_days(aim, out, day=30):
    """How many days of each interval count as late, where every day is as dark; the first counts six."""
    found = np.array([aim.dark(step, np.array([out]))[0, at("porch")] for step in range(len(aim.spans.lengths))])
    return np.round(found / dark(aim, at("porch"), day=day)).astype(int).tolist()


def test_the_light_that_counts_as_all_is_the_brightest_that_a_plant_can_bear():
    def wanted(kind="sun", in_shade=False, **given):
        aim = aim_of(ask(kind=kind, **{"places": PLACES, **given}), in_shade=in_shade)
        return float(aim.daily.wanted[0, GARDEN.day(OUT)])

    assert wanted() == pytest.approx(30.0) and wanted(light_high_mol=20.0) == pytest.approx(20.0)
    assert wanted("part-sun", light_high_mol=40.0) == pytest.approx(15.0)
    assert wanted("shade") == pytest.approx(6.0) and wanted("shade", places=("lawn",)) == pytest.approx(5.625)
    assert wanted("deep-shade") == pytest.approx(3.0)
    assert wanted(in_shade=True) == pytest.approx(6.0)


def test_a_sun_plant_in_the_dark_costs_far_more_than_anything_else():
    aim = aim_of(ask("a", places=PLACES), ask("b", "shade", places=PLACES))
    assert dark(aim, at("lawn")) == dark(aim, at("lawn", 20)) == 0
    assert dark(aim, at("lawn", 30)) > 0                      # 70 % and no more: light falls from day to day
    assert RULE.price_too_dark / 2 < dark(aim, at("lawn", 40)) < dark(aim, at("porch"))
    assert (aim.daily.dark[1] == 0).all()
    assert (aim_of(ask(places=PLACES), in_shade=True).daily.dark == 0).all()


def test_the_four_weeks_count_from_the_day_out_or_from_when_the_brightest_place_has_opened():
    aim = aim_of(ask(places=PLACES), since=(0, 28, 35, 42, 60, 147))
    start = GARDEN.day(OUT)
    assert late_days(aim, start) == [0, 12, 7, 0, 0] and late_days(aim, start + 10) == [0, 0, 9, 10, 0]
    spans = {"porch": (OUT, BACK), "tree": (OUT, BACK), "lawn": (days(40), BACK)}
    opened = aim_of(ask(spans=spans), since=(0, 28, 54, 61, 70, 147))
    assert opened.daily.opens[0] == start + 40
    assert late_days(opened, start, 60) == [0, 0, 12, 7, 0]
    short = aim_of(ask(places=PLACES, back=days(45)), since=(0, 28, 35, 42))
    assert late_days(short, start) == [0, 12, 0]


def test_a_stay_costs_the_same_however_its_days_are_cut():
    whole, cut = aim_of(ask(places=PLACES), since=(0, 40, 147)), aim_of(ask(places=PLACES), since=(0, 13, 40, 90, 147))
    assert whole.light.sum(axis=1) == pytest.approx(cut.light.sum(axis=1))
    out = whole.groups.leave
    assert sum(whole.dark(n, out) for n in range(2)) == pytest.approx(sum(cut.dark(n, out) for n in range(4)))


def test_moves_cost_by_weight_cloths_by_the_change_and_nothing_goes_out_but_under_its_cloth():
    light, heavy = aim_of(ask(places=PLACES)).move_prices()[0], aim_of(ask(places=PLACES, weight_kg=30.0)).move_prices(
        )[0]
    indoors = -1
    assert light[at("porch"), at("tree")] == RULE.price_move
    assert heavy[at("porch"), at("tree")] == RULE.price_move + 30 * RULE.price_kg
    assert light[at("lawn", 50), at("lawn", 20)] == heavy[at("lawn", 50), at("lawn")] == RULE.price_cloth_change
    assert light[at("porch"), at("lawn", 50)] == RULE.price_move + RULE.price_hang
    assert light[indoors, at("lawn", 50)] == RULE.price_hang
    assert light[indoors, at("porch")] == 0.0


def test_waiting_indoors_costs_little_for_three_weeks_and_much_beyond():
    aim = aim_of(ask(places=PLACES))
    day, three, four = (float(aim.lost(np.array([[n]]))[0, 0]) for n in (1, 21, 22))
    assert RULE.price_waiting < day < RULE.price_waiting + 1 and three == pytest.approx(21 * day)
    assert four == pytest.approx(22 * day + RULE.price_late * (day - RULE.price_waiting))
    assert float(aim.lost(np.array([[-3]]))[0, 0]) == 0.0
    dark, bright = (flat_garden({**LIGHT, "room": room}, sun_h=SUN_H) for room in (0.5, 20.0))
    prices = [float(aim_of(ask(places=PLACES), garden=garden).daily.waiting[0]) for garden in (dark, GARDEN, bright)]
    assert prices == sorted(prices, reverse=True)
    assert prices == pytest.approx([RULE.price_waiting + (1 - room / 30) ** 2 for room in (0.5, 2.0, 20.0)])


def test_a_last_day_above_three_rooms_or_below_the_room_costs_more_than_a_season():
    aim = aim_of(ask(places=PLACES))
    last = len(WEEKS) - 1

    def price(place, cloth=0, used=6.0, arrived=1.0, down=False):
        return float(aim.ending(last, np.array([[at(place, cloth)]]), np.array([[used]]), np.array([[arrived]]),
                                np.array([[down]]))[0, 0])

    assert price("porch") == 0.0 and price("tree") > RULE.price_broken and price("lawn") > price("tree")
    assert price("lawn", 80) == 0.0 and price("lawn", 70) > RULE.price_broken
    assert price("porch", arrived=3.1) == 0.0       # what it came to in summer is no descent
    assert price("porch", arrived=0.9, down=True) > RULE.price_broken
    assert price("lawn", 90, arrived=0.9, down=False) == 0.0 == price("lawn", 80, arrived=1.0, down=True)
    assert price("tree", 90, down=True) > RULE.price_broken                                    # 1.2 mol, the room has 2
    assert price("porch", used=20.0) == 0.0 and price("porch", used=20.1) >= RULE.price_hasty
    stays_out = aim_of(ask(places=PLACES, back=days(400)))
    assert float(stays_out.ending(last, np.array([[at("lawn")]]), np.array([[30.0]]), np.array([[9.0]]),
                                  np.array([[False]]))[0, 0]) == 0.0


@pytest.mark.parametrize("ratio, expected", [(0.2, 0.0), (1.0, 0.0), (1.1, 10 * (1 + math.log(1.1))),
                                             (math.e, 20.0)])
def test_beyond_a_limit_the_first_step_costs_most(ratio, expected):
    assert float(beyond(np.array(ratio), 10.0)) == pytest.approx(expected)


def test_plants_that_drop_their_leaves_spend_their_last_weeks_in_shade_where_there_is_any():
    aim = aim_of(ask(places=PLACES, botanical="Ficus inventa"))
    slow = int(aim.groups.slow_days[0])
    assert 21 < slow <= 49
    allowed = aim.allowed[0, :, [at("porch"), at("lawn")]]
    inside = np.array(WEEKS[1:]) > 147 - slow
    assert allowed[0].all() and (allowed[1] == ~inside).all()
    assert aim.light[0, -1, at("lawn", 90)] == pytest.approx(7 * (0.5 * 0.9 ** 2 + RULE.price_cloth))
    only = aim_of(ask(places=("lawn",), botanical="Ficus inventa", light_high_mol=60.0),
                  garden=flat_garden({"room": 0.1, "porch": 1.0, "tree": 1.0, "lawn": 30.0}))
    assert only.allowed[0, -1, [at("lawn", 80), at("lawn", 90)]].all() and not only.allowed[0, -1, at("lawn", 70)]
    short = aim_of(ask(places=PLACES, back=days(63), botanical="Ficus inventa"), since=range(0, 64, 7))
    assert short.allowed[0, :, at("lawn")].tolist() == [n + 7 <= 42 for n in range(0, 63, 7)]


def test_where_no_place_ever_opens_the_brightest_never_does():
    assert aim_of(ask(spans={})).daily.opens[0] == NEVER


def test_some_groups_of_an_aim_keep_their_numbers():
    aim = aim_of(ask("a", places=PLACES), ask("b", "shade", places=PLACES))
    some = aim.take(np.array([1, 1, 0]))
    assert len(some.groups) == 3 and (some.light[0] == aim.light[1]).all() and (some.room[2] == aim.room[0]).all()
    assert aim.position(2, 80) == at("lawn", 80)
