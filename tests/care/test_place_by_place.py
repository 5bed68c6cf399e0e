"""Work that goes from place to place: how long at each, in which order, and when it must be taken apart."""

from datetime import date

import pytest
from care.garden import OUT, moving, plant, stop
from care.levelling import job

from seasonplan.care.place_by_place import in_a_row, lengths, split
from seasonplan.care.sessions import Session

DAY = date(2027, 6, 5)


def test_an_evening_of_sprays_goes_from_place_to_place_each_in_its_own_shade():
    free = {"porch": [(1020, 1290)], "lawn": [(1140, 1290)], "sill": [(420, 500), (960, 1050)]}
    found = in_a_row({"porch": 120, "lawn": 30, "sill": 30}, free, 600, 960)
    assert [tuple(part) for part in found] == [("sill", 990, 30), ("porch", 1020, 120), ("lawn", 1140, 30)]
    assert in_a_row({"porch": 100, "lawn": 30, "sill": 60}, {**free, "sill": [(420, 480)]}, 600, 960) is None


def test_minutes_are_shared_out_by_pots_and_add_up():
    assert lengths([("porch", 9), ("lawn", 1), ("sill", 1)], 31) == {"porch": 25, "lawn": 3, "sill": 3}


def test_minutes_of_places_are_whole_and_add_up_whatever_the_shares():
    assert lengths([("porch", 1), ("lawn", 1), ("sill", 1)], 10) == {"porch": 3, "lawn": 4, "sill": 3}
    assert lengths([("porch", 0)], 10) == {"porch": 0} and lengths([("porch", 1)], 10) == {"porch": 10}


def test_it_begins_before_the_morning_is_over_else_in_the_evening_else_at_any_time():
    """Free 06:00 to 20:00, ten minutes; early is before 08:00, late from 17:00 on."""
    def begin(*spans, early=480, late=1020):
        found = in_a_row({"porch": 10}, {"porch": list(spans)}, early, late)
        return found and found[0].start_min

    assert begin((360, 1200)) == 360 and begin((480, 1200)) == 1020 and begin((480, 1000)) == 480
    assert begin((479, 1200)) == 479 and begin((500, 1029)) == 500 and begin((500, 1030)) == 1020
    assert begin((471.5, 482)) == 472 and begin((471.5, 481.5)) is None and begin((600, 609)) is None
    assert begin() is None and begin((481, 482), (603, 613)) == 603 and begin((481, 482), (603.5, 613)) is None


def test_tries_are_five_minutes_apart_from_the_first_whole_five():
    free = {"porch": [(361, 420)], "lawn": [(371, 381)]}
    assert [part.start_min for part in in_a_row({"porch": 10, "lawn": 10}, free, 480, 1020)] == [361, 371]
    free = {"porch": [(362, 420)], "lawn": [(373, 386)]}                      # 362 + 10 is too soon for the lawn
    assert [part.start_min for part in in_a_row({"porch": 10, "lawn": 10}, free, 480, 1020)] == [365, 375]
    free = {"porch": [(362, 420)], "lawn": [(374, 384)]}                      # and 364 is not tried
    assert [part.place for part in in_a_row({"porch": 10, "lawn": 10}, free, 480, 1020)] == ["lawn", "porch"]


def test_the_place_whose_time_ends_first_comes_first_and_every_place_has_its_whole_time():
    free = {"porch": [(360, 420)], "lawn": [(360, 400)], "sill": [(360, 440)]}
    assert [part.place for part in in_a_row(dict.fromkeys(free, 20), free, 480, 1020)] == ["lawn", "porch", "sill"]
    assert in_a_row({"porch": 41, "lawn": 20}, {"porch": [(360, 420)], "lawn": [(360, 400)]}, 480, 1020) is None
    assert in_a_row({"porch": 40, "lawn": 20}, {"porch": [(360, 420)], "lawn": [(360, 400)]}, 480, 1020)
    two = {"porch": [(360, 365), (380, 400)], "lawn": [(360, 380)]}
    assert in_a_row({"porch": 20, "lawn": 20}, two, 480, 1020) == (("lawn", 360, 20), ("porch", 380, 20))


BACK = date(2027, 9, 25)
PLANS = [moving(plant(name, count=count), stops=[stop(OUT, BACK, place)]) for name, count, place in (
    ("Lawn one", 1, "lawn"), ("Porch one", 4, "porch"), ("Porch two", 1, "porch"), ("Lawn two", 2, "lawn"),
    ("Tree", 2, "under the tree"))]


def session(*members, family="spray", soap=True, anchor=0, setup=10, pots_min=20.0, **more):
    first = DAY.toordinal()
    return Session(job("treat", family=family, soap=soap), 1, anchor, members, first, (first, first), setup, pots_min,
                   **more)


def parts(*sessions, in_one_go=lambda session, stands: False):
    return split(sessions, PLANS, in_one_go)


def told(found):
    return [(each.members, each.anchor, each.setup_min, each.minutes) for each in found]


def test_only_sprays_with_soap_that_cannot_go_round_in_one_go_are_taken_apart():
    every = session(0, 1, 2, 3, 4)
    for whole in (session(0, 1, family="hose"), session(0, 1, soap=False), session(1, 2)):
        assert parts(whole) == [whole]
    assert parts(session(1, 2, pots_min=7.5))[0].pots_min == 7.5
    asked = []
    assert parts(every, in_one_go=lambda *given: asked.append(given) or True) == [every]
    assert asked == [(every, [("porch", 5), ("lawn", 3), ("under the tree", 2)])]
    for members, where in (((0, 4), [("under the tree", 2), ("lawn", 1)]), ((0, 2), [("lawn", 1), ("porch", 1)]),
                           ((2, 0), [("lawn", 1), ("porch", 1)])):
        parts(session(*members), in_one_go=lambda *given: asked.append(given) or True)
        assert asked[-1][1] == where


def test_parts_share_the_minutes_by_pots_and_the_first_gets_ready_for_all():
    """Ten minutes to get ready, 20 for ten pots: 3 on the lawn, 5 on the porch, 2 under the tree."""
    assert told(parts(session(0, 1, 2, 3, 4))) == [((0, 3), 0, 10, 16), ((1, 2), 1, 0, 10), ((4,), 4, 0, 4)]
    uneven = parts(session(0, 1, 2, 3, 4, pots_min=7.0))                       # 2.1, 3.5 and 1.4 minutes
    assert [each.minutes for each in uneven] == [13, 3, 1] and sum(each.minutes for each in uneven) == 17
    third = parts(session(0, 2, 4, pots_min=4 / 3 * 3))                        # 1 and 1 and 2: noise is no minute
    assert [each.minutes for each in third] == [11, 1, 2]


def test_the_part_that_holds_the_plant_that_names_it_keeps_its_name():
    assert [each.anchor for each in parts(session(0, 1, 2, 3, anchor=2))] == [0, 2]
    assert [each.anchor for each in parts(session(1, 2, 3, 0, anchor=3))] == [1, 3]
    assert [each.anchor for each in parts(session(1, 2, 3, 0, anchor=-1))] == [-1, 3]
    assert [each.anchor for each in parts(session(1, 3, 0, anchor=-1))] == [-1, 3]
    assert [each.redated for each in parts(session(0, 1, anchor=1, redated=True))] == [False, True]
    assert [each.redated for each in parts(session(0, 1, anchor=1))] == [False, False]


@pytest.mark.parametrize(("one", "two", "redated"), [
    ({}, {}, [False, True]), ({"redated": True}, {}, [True, False]), ({}, {"anchor": 1}, [False, False])])
def test_no_two_have_the_same_name(one, two, redated):
    assert [each.redated for each in parts(session(0, 1, **one), session(0, 1, **two), in_one_go=lambda *_: True)] == \
        redated
