"""From a way to stops: their days, their figures and why, of ways of our own making."""

import math

import pytest
from flat_garden import OUT, ask, days, flat_garden, one_way

LIGHT = {"room": 2.0, "porch": 6.0, "tree": 12.0, "lawn": 30.0}
GARDEN = flat_garden(LIGHT, sun_h={"porch": 1.0, "tree": 2.0, "lawn": 8.0})
PLACES = ("porch", "tree", "lawn")
A, S = math.exp(-1 / 7), math.exp(-1 / 4)
WHY = {"first": "a gentle first place", "brighter": "ready for more light", "thinner": "used to more light by now",
       "open": "used to this light by now", "covered": "without a cloth", "descent": "runs the light down",
       "too bright": "the light at the", "closing": "nights: it may be at the", "better": "the place that suits it",
       "logged": "stands here by the log"}


def stops(*arrivals, kind="sun", **given):
    told = {key: given.pop(key) for key in ("until", "found") if key in given}
    return one_way(GARDEN, ask(kind=kind, **{"places": PLACES, **given}), *arrivals, **told).stops


def causes(*arrivals, **given):
    return [next(key for key, words in WHY.items() if stop.why.startswith(words))
            for stop in stops(*arrivals, **given)]


def test_stops_follow_each_other_from_the_first_day_out_to_the_last():
    found = stops((0, "porch", 0), (7, "lawn", 50), (14, "lawn", 0), until=100)
    assert [(s.date, s.until, s.place) for s in found] == [
        (OUT, days(7), "porch"), (days(7), days(14), "lawn"), (days(14), days(100), "lawn")]
    assert [s.shade for s in found][::2] == [None, None]
    assert (found[1].shade.place, found[1].shade.percent, found[1].shade.until) == ("lawn", 50, days(14))


def test_a_stop_tells_the_light_of_its_first_day_and_what_the_plant_is_used_to():
    first, second = stops((0, "porch", 0), (7, "lawn", 50))
    assert (first.mean_dli, first.clear_dli, first.full_sun_h, first.direct_sun_h) == pytest.approx(
        (6.0, 9.6, 1.0, 1.0))
    assert (first.acclimated_dli, first.allowed_dli, first.allowed_full_sun_h) == pytest.approx((2.0, 12.0, 1.5))
    used, sun = 6 - 4 * A ** 7, 1 - S ** 7
    assert (second.mean_dli, second.clear_dli, second.full_sun_h, second.direct_sun_h) == pytest.approx(
        (15.0, 24.0, 4.0, 8.0))
    assert (second.acclimated_dli, second.allowed_dli, second.allowed_full_sun_h) == pytest.approx(
        (used, 3.5 * used, sun + 3))


def test_up_to_the_sun_step_by_step():
    assert causes((0, "porch", 0), (7, "tree", 0), (14, "lawn", 50), (21, "lawn", 20), (30, "lawn", 0)) == [
        "first", "brighter", "brighter", "thinner", "open"]


def test_down_in_the_last_weeks_and_a_cloth_before_them():
    assert causes((0, "lawn", 0), (60, "lawn", 30), (80, "lawn", 30), (130, "lawn", 70), (140, "porch", 0)) == [
        "first", "covered", "descent", "descent"]
    assert causes((0, "lawn", 0), (130, "porch", 0), (140, "tree", 0))[1:] != ["descent", "descent"]


def test_a_plant_that_stays_out_all_year_goes_down_to_no_room():
    assert causes((0, "lawn", 0), (130, "lawn", 80), back=days(400)) == ["first", "covered"]


def test_a_place_is_left_because_of_light_nights_or_for_a_better_one():
    on = ((0, "lawn", 0), (50, "tree", 0), (80, "tree", 0))
    assert causes(*on, light_high_mol=29.0) == ["first", "too bright"]
    assert causes(*on, kind="part-sun", light_high_mol=40.0) == ["first", "too bright"]
    assert causes(*on) == ["first", "better"]
    spans = {name: (OUT, days(64 if name == "tree" else 147)) for name in PLACES}
    assert causes((0, "tree", 0), (60, "lawn", 0), spans=spans) == ["first", "closing"]
    assert causes((0, "tree", 0), (40, "lawn", 0), spans=spans) == ["first", "brighter"]


def test_what_the_log_says_comes_first_and_indoors_is_no_stop():
    logged = ((OUT, "porch"), (days(10), "room"), (days(13), "porch", 50))
    found = stops((20, "tree", 0), stays=logged, free_from=days(20), until=100)
    assert [(s.date, s.until, s.place, s.shade and s.shade.percent) for s in found] == [
        (OUT, days(10), "porch", None), (days(13), days(20), "porch", 50), (days(20), days(100), "tree", None)]
    assert [s.why.startswith("stands here by the log") for s in found] == [True, True, False]
    assert found[2].why.startswith("ready for more light")
    used = 6 - 4 * A ** 10                                      # three days indoors keep it
    assert found[2].acclimated_dli == pytest.approx(3 + (used - 3) * A ** 7)


def test_a_logged_place_that_was_too_bright_says_so():
    (found,) = stops((0, "lawn", 0), stays=((OUT, "lawn"),), free_from=days(1), until=50)
    assert "more light than it was ready for" in found.why and "bleached leaves" in found.why
    (good,) = stops((0, "porch", 0), stays=((OUT, "porch"),), free_from=days(1), until=50)
    assert "ready for" not in good.why


def test_a_cloth_at_once_over_a_plant_in_too_much_light_is_told_as_a_rescue():
    logged, cloth = stops((1, "lawn", 70), stays=((OUT, "lawn"),), free_from=days(1), until=50)
    assert (cloth.date, cloth.shade.percent) == (days(1), 70)
    assert cloth.why.startswith("a rescue from more light than it is used to")
    _, fit = stops((10, "porch", 30), stays=((OUT, "porch"),), free_from=days(1), until=50)
    assert "rescue" not in fit.why


def test_without_a_way_on_it_stands_where_the_log_says_until_it_can_come_in():
    result = one_way(GARDEN, ask(places=PLACES, stays=((OUT, "porch"),), free_from=days(9)), (0, None, 0), found=False)
    assert [(s.place, s.until) for s in result.stops] == [("porch", days(9))]
    assert "It comes in on" in result.reason and "no place fits it any longer" in result.reason


def test_no_way_at_all_is_blocked_with_the_dates():
    result = one_way(GARDEN, ask(places=PLACES, back=days(30)), (0, None, 0), found=False)
    assert result.stops == () and result.blocked and "1 May to 31 May" in result.blocked
