"""The words of the route, with their numbers."""

import pytest
from flat_garden import OUT, ask, days, flat_garden, one_way

from seasonplan.decisions.route.telling import the

LIGHT = {"room": 2.0, "porch": 6.0, "lawn": 30.0}
SUN_H = {"porch": 1.0, "lawn": 8.0}
GARDEN = flat_garden(LIGHT, sun_h=SUN_H)
UP = ((0, "porch", 0), (7, "lawn", 50), (14, "lawn", 0), (140, "porch", 0))


def result(*arrivals, garden=GARDEN, **given):
    told = {key: given.pop(key) for key in ("until", "found", "crowded_out", "in_shade", "wanted", "opens", "gave_way")
            if key in given}
    return one_way(garden, ask(**{"places": ("porch", "lawn"), **given}), *arrivals, **told)


@pytest.mark.parametrize("name, expected", [
    ("lawn", "lawn"), ("the lawn", "lawn"), ("A bench", "bench"), ("an arbour", "arbour"), ("the", "the"),
    ("under the tree", "spot under the tree"), ("By the wall", "spot By the wall"), ("under", "spot under"),
    ("north porch", "north porch")])
def test_a_place_is_named_so_that_an_article_fits(name, expected):
    assert the(name) == expected


def test_a_stop_tells_its_cloth_its_sun_and_the_light_before_and_after():
    first, cloth, bare, last = result(*UP).stops
    assert first.why == "a gentle first place; direct sun 08:00 to 09:00; light 2 -> 6 mol a day"
    assert cloth.why == ("ready for more light; 50 % shade cloth until Sat 15 May; direct sun 08:00 to 16:00; "
                         "light 6 -> 15 mol a day")
    assert bare.why.startswith("used to this light by now: the cloth comes off; direct sun")
    assert bare.why.endswith("light 15 -> 30 mol a day")
    assert last.why.startswith("runs the light down before it comes in on Sat 25 Sep; ")


def test_the_place_that_is_left_is_named():
    spans = {"porch": (OUT, days(64)), "lawn": (OUT, days(147))}
    assert result((0, "porch", 0), (60, "lawn", 0), spans=spans).stops[1].why.startswith(
        "nights: it may be at the porch until Sun 4 Jul only; ")
    assert result((0, "lawn", 0), (60, "porch", 0), (80, "porch", 0), light_high_mol=20.0).stops[1].why.startswith(
        "the light at the lawn passes what it takes; ")


def test_a_stay_that_the_log_made_too_bright_tells_what_would_have_been_right():
    (stop,) = result((0, "lawn", 0), stays=((OUT, "lawn"),), free_from=days(1)).stops
    assert "12 mol a day under a clear sky, 1.5 h of full sun" in stop.why


def test_a_way_that_does_well_needs_no_words():
    assert result(*UP, wanted=30.0).reason == ""


def test_a_sun_plant_in_the_dark_in_its_fifth_week_is_told_of_what_it_lacks():
    shady = ((0, "porch", 0),)
    assert "In its fifth week it has 6 mol a day of the 30 mol" in result(*shady, wanted=30.0).reason
    assert result(*shady, wanted=8.5).reason == ""                       # seven tenths of 8.5 are 5.95
    assert result(*shady, wanted=30.0, kind="shade").reason == ""
    assert result(*shady, wanted=30.0, in_shade=True).reason == ""
    assert result(*shady, wanted=30.0, until=41).reason == ""
    assert "fifth week" in result(*shady, wanted=30.0, until=42).reason
    assert "fifth week" not in result((0, "porch", 0), (28, "lawn", 0), (140, "porch", 0), wanted=30.0).reason
    assert "fifth week" in result((0, "porch", 0), (29, "lawn", 0), (140, "porch", 0), wanted=30.0).reason


def test_where_nights_close_the_brightest_place_the_two_weeks_after_it_opens_count():
    way, opens = ((0, "porch", 0), (50, "lawn", 0), (140, "porch", 0)), GARDEN.day(days(40))
    assert "fifth week" in result(*way, wanted=30.0).reason
    assert result(*way, wanted=30.0, opens=opens).reason == ""
    assert result((0, "porch", 0), wanted=30.0, opens=opens).reason.startswith("On Thu 24 Jun it has 6 mol")


def test_a_plant_that_gives_its_place_to_others_says_so():
    garden = flat_garden(LIGHT, {"porch": None, "lawn": 2}, sun_h=SUN_H)
    way = ((0, "lawn", 50), (60, "porch", 0), (100, "lawn", 50))
    assert result(*way, garden=garden, gave_way=True).stops[1].why.startswith(
        "others need the room at the lawn more from now on; ")
    assert "others need" not in result(*way, garden=garden).stops[1].why
    assert "others need" not in result(*way, gave_way=True).stops[1].why


def test_a_last_stop_says_where_no_place_is_as_dark_as_its_room():
    dim = flat_garden({**LIGHT, "room": 0.1}, sun_h=SUN_H)
    assert result((0, "porch", 0), garden=dim).stops[-1].why.endswith("; no place is as dark as its room")
    assert "no place" not in result((0, "porch", 0)).stops[-1].why
    reachable = flat_garden({**LIGHT, "room": 0.3}, sun_h=SUN_H)
    assert "no place" not in result((0, "porch", 0), garden=reachable).stops[-1].why


def test_a_plant_that_comes_in_out_of_much_light_is_told_to_be_kept_at_the_window():
    assert "comes in out of 30 mol a day to 2 mol" in result((0, "lawn", 0), wanted=30.0).reason
    assert "brightest window" in result((0, "lawn", 0), wanted=30.0).reason
    assert result((0, "lawn", 80), wanted=6.0).reason == ""              # three times the room's
    assert "brightest window" in result((0, "lawn", 70), wanted=9.0).reason
    assert result((0, "lawn", 0), wanted=30.0, back=days(400)).reason == ""


def test_no_way_on_is_for_want_of_room_or_of_a_place():
    logged = {"stays": ((OUT, "porch"),), "free_from": days(9), "found": False}
    assert "there is no room for it where it could go on" in result((0, None, 0), crowded_out=True, **logged).reason
    assert "no place fits it any longer" in result((0, None, 0), **logged).reason


def test_without_a_way_it_lacks_room_days_or_shade():
    stuck = {"found": False}
    room = result((0, None, 0), crowded_out=True, **stuck)
    assert room.blocked == "No room: the outdoor places that could take it are full (1 May to 25 Sep)." == room.blocked
    assert room.lacks == ""
    late = result((0, None, 0), **stuck)
    assert late.blocked.startswith("No outdoor place is open to it long enough between two move days (1 May to")
    assert late.lacks == "" and result((0, None, 0), spans={}, **stuck).lacks == ""
    shade = result((0, None, 0), places=("lawn",), **stuck)
    assert shade.blocked == shade.lacks
    assert shade.lacks.endswith("A spot at the lawn with leaf_shade = 0.19 or less would.")


@pytest.mark.parametrize("given, light, share", [
    ({}, {"sun": 8.1}, "0.19"),                            # 1.5 of 8.1 full-sun hours
    ({"kind": "deep-shade"}, {"sun": 4.0, "peak": 1.0}, "0.12"),      # its class takes half an hour
    ({"kind": "shade"}, {"peak": 40.0}, "0.27"),           # 325 of 1200 umol
    ({}, {"clear": 3.0}, "0.35"),                    # 12 of 90 mol under a clear sky
    ({"light_high_mol": 3.0}, {"clear": 1.0}, "0.10"),
    ({}, {"room": 0.5, "clear": 1.0}, "0.17")])            # ten times the room's
def test_the_shade_that_would_help_is_what_its_tightest_limit_asks_for(given, light, share):
    garden = flat_garden({"room": light.get("room", 9.0), "lawn": 30.0}, sun_h={"lawn": light.get("sun", 0.0)},
                         clear=light.get("clear", 1.2), peak=light.get("peak", 10.0))
    found = result((0, None, 0), garden=garden, places=("lawn",), found=False, **given)
    assert f"leaf_shade = {share} or less" in found.lacks
