"""What the log brought about: stays, the light a plant is used to by then, and whether it has to move."""

import math

import numpy as np
import pytest
from flat_garden import BACK, DATES, OUT, ask, days, flat_garden

from seasonplan.decisions.route.past import INDOORS, LoggedStop, past_of, too_much

GARDEN = flat_garden({"room": 2.0, "porch": 5.0, "lawn": 20.0}, sun_h={"porch": 0.5, "lawn": 4.0})
PLACES = ("porch", "lawn")
A, S = math.exp(-1 / 7), math.exp(-1 / 4)


def past(*stays, **given):
    given.setdefault("places", PLACES)
    return past_of(ask(stays=stays, **given), GARDEN)


def test_nothing_or_only_the_room_logged_is_the_plan_on_paper():
    assert past() is None and past((OUT, "room")) is None and past((OUT, "a place of last year")) is None


def test_a_stay_outdoors_moves_what_the_plant_is_used_to_toward_its_light():
    found = past((OUT, "porch"), (days(10), "lawn", 50))
    first, second = found.stays
    assert (first.day, first.place, first.percent, first.dli, first.sun_h, first.days_out) == (
        GARDEN.day(OUT), 0, 0, 2.0, 0.0, 0)
    assert (second.day, second.place, second.percent, second.days_out) == (GARDEN.day(days(10)), 1, 50, 10)
    assert second.dli == pytest.approx(5 - 3 * A ** 10) and second.sun_h == pytest.approx(0.5 * (1 - S ** 10))
    assert found.out == GARDEN.day(OUT) and found.here is second and found.outdoors == found.stays
    later = GARDEN.day(days(20))
    assert found.dli[later, 0] == pytest.approx(10 - (10 - second.dli) * A ** 10)
    assert found.sun_h[later, 0] == pytest.approx(2 - (2 - second.sun_h) * S ** 10)
    assert found.dli[GARDEN.day(OUT) - 1].tolist() == [2.0, 2.0]
    assert found.dli[later, 1] != found.dli[later, 0]


def test_a_week_indoors_keeps_it_and_longer_loses_it():
    found = past((OUT, "lawn"), (days(30), "room"), (days(45), "lawn"))
    went_in, stayed, back = (GARDEN.day(days(n)) for n in (30, 37, 45))
    assert found.dli[stayed, 0] == found.dli[went_in, 0] > 19
    used = found.dli[back, 0]
    assert used == pytest.approx(2 + (found.dli[went_in, 0] - 2) * A ** 8)
    assert found.sun_h[back, 0] == pytest.approx(found.sun_h[went_in, 0] * S ** 8)
    assert found.out == back and [stay.days_out for stay in found.stays] == [0, 30, 0]
    assert [stay.place for stay in found.outdoors] == [1, 1]


def test_a_short_time_indoors_is_no_new_start():
    found = past((OUT, "lawn"), (days(30), "room"), (days(37), "lawn"))
    assert found.out == GARDEN.day(OUT) and found.stays[-1].days_out == 37


def test_two_entries_at_one_place_are_one_stay_and_the_last_of_a_day_counts():
    assert len(past((OUT, "porch"), (days(5), "porch")).stays) == 1
    assert len(past((OUT, "porch"), (days(5), "porch", 50)).stays) == 2
    assert [stay.place for stay in past((OUT, "porch"), (OUT, "lawn")).stays] == [1]


def test_anything_new_is_dated_from_the_day_after_or_as_told():
    assert past((OUT, "porch")).free == GARDEN.day(days(1))
    assert past((OUT, "porch"), free_from=days(20)).free == GARDEN.day(days(20))
    assert past((OUT, "porch"), (days(25), "lawn"), free_from=days(20)).free == GARDEN.day(days(25))
    assert past((DATES[-1], "porch")).free == len(DATES) - 1


def test_a_plant_that_came_in_is_in_for_good_or_goes_out_again_at_once():
    gone = past((OUT, "porch"), (days(30), "room"))
    assert gone.ended and not gone.urgent and gone.here.place == INDOORS
    rescued = past((OUT, "porch"), (days(30), "room"), free_from=days(35))
    assert not rescued.ended and rescued.urgent
    assert past((OUT, "porch"), (days(30), "room"), free_from=BACK).ended
    assert not past((OUT, "porch"), (days(30), "room"), free_from=days(-1, BACK)).ended


def test_a_plant_has_to_move_from_more_light_than_it_is_ready_for():
    assert past((OUT, "lawn")).urgent and not past((OUT, "porch")).urgent
    assert not past((OUT, "porch"), (days(14), "lawn", 50), free_from=days(20)).urgent
    assert not past((OUT, "lawn"), free_from=days(40)).urgent          # used to it by then


def test_a_plant_has_to_move_from_where_nights_have_closed():
    spans = {"porch": (OUT, days(40)), "lawn": (OUT, BACK)}
    assert not past((OUT, "porch"), free_from=days(39), spans=spans).urgent
    assert past((OUT, "porch"), free_from=days(40), spans=spans).urgent
    assert past((OUT, "porch"), spans={"lawn": (OUT, BACK)}).urgent
    assert not past((OUT, "porch"), spans={"porch": (days(30), BACK)}).urgent     # it went early: that may be


@pytest.mark.parametrize("kind, stay, expected", [
    ("sun", (0, 0, 2.0, 0.0, 0), False), ("sun", (1, 0, 2.0, 0.0, 0), True),
    ("sun", (1, 0, 10.0, 0.9, 20), True), ("sun", (1, 0, 10.0, 1.0, 20), False),      # S + 3 hours of 4
    ("sun", (1, 0, 9.1, 3.0, 20), True), ("sun", (1, 0, 9.2, 3.0, 20), False),        # 3.5 A of 32 mol
    ("sun", (1, 0, 10.0, 3.0, 6), True), ("sun", (1, 0, 10.0, 3.0, 7), False),        # the first days
    ("shade", (0, 0, 2.0, 0.0, 0), False), ("shade", (1, 80, 2.0, 0.0, 0), False),
    ("shade", (1, 50, 9.0, 0.0, 20), True), ("shade", (1, 70, 9.0, 0.0, 20), False),   # its class: 1.5 hours
    ("part-sun", (1, 0, 10.0, 3.0, 20), False)])
def test_what_is_too_much(kind, stay, expected):
    place, percent, dli, sun_h, days_out = stay
    assert too_much(ask(kind=kind, places=PLACES), GARDEN, LoggedStop(200, place, percent, dli, sun_h, days_out)) is \
        expected


def test_light_above_what_it_bears_and_a_first_strong_hour_are_too_much():
    stay = LoggedStop(200, 1, 0, 10.0, 3.0, 20)
    assert too_much(ask(light_high_mol=19.9, places=PLACES), GARDEN, stay)
    assert not too_much(ask(light_high_mol=20.0, places=PLACES), GARDEN, stay)
    strong = flat_garden({"room": 2.0, "porch": 5.0}, peak=66.0)                       # 330 umol at the peak
    for kind, days_out, expected in (("shade", 0, True), ("shade", 6, True), ("shade", 7, False), ("sun", 0, False)):
        assert too_much(ask(kind=kind), strong, LoggedStop(200, 0, 0, 5.0, 0.0, days_out)) is expected
    assert not too_much(ask(kind="shade"), strong, LoggedStop(200, 0, 20, 5.0, 0.0, 0))
    stronger = flat_garden({"room": 2.0, "porch": 5.0}, clear=1.0, peak=130.4)         # 652 umol, half of it is 326
    assert too_much(ask(kind="shade"), stronger, LoggedStop(200, 0, 50, 5.0, 0.0, 0))


def test_every_day_of_the_year_has_a_state():
    found = past((OUT, "porch"))
    assert found.dli.shape == (len(DATES), 2) and np.isfinite(found.dli).all() and (found.sun_h >= 0).all()
