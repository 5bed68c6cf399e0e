"""The garden as arrays: days, positions, room, and what standing somewhere gives."""

from datetime import date

import numpy as np
import pytest
from flat_garden import DATES, flat_garden, flat_light, flat_places

from seasonplan.decisions.route.cloth import CLOTHS_PERCENT
from seasonplan.decisions.route.garden import make_garden

LIGHT = {"room": 2.0, "porch": 8.0, "lawn": 40.0}


def test_days_count_from_the_first_of_the_planning_year_and_back():
    garden = flat_garden(LIGHT)
    assert garden.day(DATES[0]) == 0 and garden.day(date(2026, 12, 30)) == (date(2026, 12, 30) - DATES[0]).days < 0
    assert garden.date(garden.day(date(2027, 7, 4))) == date(2027, 7, 4)


def test_every_outdoor_place_comes_bare_and_under_each_cloth_on_sale_or_hung():
    garden = flat_garden(LIGHT, hung=(35, 50))
    levels = sorted({0, 35, *CLOTHS_PERCENT})
    assert garden.names == ("porch", "lawn")
    assert [(int(p), int(c)) for p, c in zip(garden.place, garden.percent, strict=True)] == [
        (place, cloth) for place in (0, 1) for cloth in levels]
    for place, percent in ((0, 0), (1, 35), (1, 90)):
        at = garden.position(place, percent)
        assert (garden.place[at], garden.percent[at]) == (place, percent)


def test_a_place_without_a_number_has_room_for_any_number_of_pots():
    garden = flat_garden(LIGHT, {"porch": 3, "lawn": None})
    assert garden.room[0] == 3 and garden.room[1] > 10**6


def test_moves_fall_on_move_days_that_are_not_shut():
    garden = flat_garden(LIGHT, move_days=("sat",), shut=frozenset({date(2027, 5, 8)}))
    friday = garden.day(date(2027, 5, 7))
    assert garden.date(garden.move_after(friday)) == date(2027, 5, 15)
    assert garden.date(garden.move_after(garden.day(date(2027, 5, 15)))) == date(2027, 5, 15)
    assert garden.move_after(len(DATES) - 1) == len(DATES) - 1 + (DATES[-1].weekday() != 5)


def test_a_cloth_keeps_its_percent_off_all_light():
    garden = flat_garden(LIGHT, sun_h={"lawn": 6.0}, clear=1.5)
    assert garden.lights(1, 0, 100) == pytest.approx((60.0, 40.0, 6.0))
    assert garden.lights(1, 80, 100) == pytest.approx((12.0, 8.0, 1.2))
    assert garden.lights(0, 50, 100) == pytest.approx((6.0, 4.0, 0.0))


def test_what_standing_there_does_is_told_for_the_positions_asked_for():
    garden = flat_garden(LIGHT, sun_h={"lawn": 6.0}, clear=1.5, peak=20.0)
    at = [garden.position(1, 0), garden.position(0, 50)]
    found = garden.intervals(np.array([120, 127, 140]), np.array(at))
    assert found.mean_dli[0] == pytest.approx([40.0, 4.0]) and found.lengths.tolist() == [7, 13]
    assert found.top_sun_h[1] == pytest.approx([6.0, 0.0]) and found.early_ppfd[0] == pytest.approx([800.0, 80.0])


def test_a_place_without_light_is_an_error():
    with pytest.raises(ValueError):
        make_garden(flat_places({"porch": None, "roof": None}), flat_light(LIGHT), ())
