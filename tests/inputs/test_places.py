"""[[place]]: keys, directions, and what is assumed where nothing is said."""

import pytest
from invented_files import NORMALS, PLACES, PLANTS, SITE, ZONE, faults_of, read

from seasonplan.inputs.gathering import Wrong
from seasonplan.inputs.places import ASSUMED_GROUND, ASSUMED_ROOM, ASSUMED_SHADE, POINTS, bearing

ROOM = '[[place]]\nname = "south window"\nkind = "indoor"\n'
WITHOUT_PLACE = "name,taxon,count,pot_cm\nLemon,lemon,1,30\n"


def places(text):
    return read(SITE + ZONE + text, PLANTS, NORMALS).places


@pytest.mark.parametrize(("value", "degrees"), [
    ("n", 0), ("NNE", 22.5), ("South-East", 135), ("south east", 135), ("southeast", 135), ("north_north_west", 337.5),
    ("west", 270), (" s ", 180), (0, 0), (360, 0), (95.5, 95.5)])
def test_directions(value, degrees):
    assert bearing(value) == degrees


@pytest.mark.parametrize("value", ["", "up", "90", "nn", "es", True, None, -1, 361, float("nan"), ["n"]])
def test_directions_that_are_refused(value):
    with pytest.raises(Wrong, match="found"):
        bearing(value)


def test_the_points_run_round_the_compass():
    assert [bearing(point) for point in POINTS] == [22.5 * n for n in range(16)]


def test_all_keys_of_both_kinds():
    found = places(
        ROOM + 'faces = "e"\nwindow_width_m = 2\nwindow_height_m = 1.5\nsill_m = -0.2\ndistance_m = 0.3\n'
        'glazing = "low-e"\ncurtain = "sheer"\nroom_for = 9\nnight_lift_c = 0\n'
        '[[place]]\nname = "step"\nkind = "outdoor"\nfaces = 90\nwall_behind = true\nhorizon_deg = 10\nroof_deg = 45\n'
        'leaf_shade = 0.3\nnight_lift_c = 1.5\n')
    room, step = found
    assert (room.faces_deg, room.window_width_m, room.window_height_m, room.sill_m) == (90, 2, 1.5, -0.2)
    assert (room.distance_m, room.glazing, room.curtain) == (0.3, "low-e", "sheer")
    assert (room.room_for, room.assumed, room.outdoors) == (9, (), False)
    assert (step.wall_behind, step.horizon_deg, step.roof_deg, step.leaf_shade) == (True, 10, 45, 0.3)
    assert step.night_lift_c == 1.5
    assert step.outdoors and step.window_width_m is None


def test_light_that_is_not_described_is_flagged():
    room, ground = places(ROOM + '[[place]]\nname = "lawn"\nkind = "outdoor"\n')
    assert "typical room" in room.assumed[0] and "open ground" in ground.assumed[0]
    found = read(SITE + ZONE + ROOM + '[[place]]\nname = "lawn"\nkind = "outdoor"\n')
    assert set(room.assumed + ground.assumed) <= set(found.assumptions)


def test_a_reading_settles_the_light():
    [room] = [place for place in places(ROOM + "measured_lux = 900\n") if not place.outdoors]
    assert (room.measured_lux, room.assumed) == (900, ())


def test_no_place_at_all_still_makes_a_house():
    found = read(SITE + ZONE, WITHOUT_PLACE)
    assert [place.name for place in found.places] == [ASSUMED_ROOM, ASSUMED_SHADE, ASSUMED_GROUND]
    assert found.plants[0].place == ASSUMED_ROOM
    assert len([note for note in found.assumptions if "assumed" in note]) == 3
    shade = found.places[1]
    assert (shade.faces_deg, shade.wall_behind) == (0, True)


def test_the_shady_side_is_the_other_one_in_the_south():
    found = read(SITE.replace("44.5", "-44.5") + ZONE, WITHOUT_PLACE)
    assert found.places[1].faces_deg == 180 and "south side" in found.assumptions[1] + found.assumptions[2]


def test_rooms_without_outdoors_and_outdoors_without_rooms():
    assert [place.name for place in places(ROOM)] == ["south window", ASSUMED_SHADE, ASSUMED_GROUND]
    found = read(SITE + ZONE + '[[place]]\nname = "yard"\nkind = "outdoor"\n', WITHOUT_PLACE)
    assert [place.name for place in found.places] == [ASSUMED_ROOM, "yard"]


def test_a_room_may_have_the_name_of_an_assumed_place():
    names = [place.name for place in places(ROOM + f'[[place]]\nname = "{ASSUMED_GROUND.upper()}"\nkind = "indoor"\n')]
    assert names == ["south window", "OPEN GROUND", ASSUMED_SHADE, f"{ASSUMED_GROUND} (assumed)"]


def test_plants_need_a_place_where_rooms_are_described():
    assert faults_of(SITE + ZONE + PLACES, WITHOUT_PLACE) == [
        "plants.csv:1: header: the column place is missing; allowed: a first line with the columns name, taxon, count, "
        "place"]


def test_faulty_places_are_not_blamed_on_the_plants():
    found = faults_of(SITE + ZONE + PLACES.replace('"indoor"', '"inside"'))
    assert len(found) == 1 and "kind" in found[0]


@pytest.mark.parametrize(("line", "words"), [
    ("leaf_shade = 60", "share that passes"), ("roof_deg = 91", "0 to 90"), ("horizon_deg = -1", "0 to 90"),
    ("wall_behind = 1", "true or false"), ("night_lift_c = 30", "-15 to 15"), ("room_for = 2.5", "whole number"),
    ("curtain = \"none\"", "a key of indoor places"), ("measured_dli = 3", "a key of indoor places"),
    ("leafshade = 0.3", "Did you mean leaf_shade")])
def test_outdoor_keys_that_are_refused(line, words):
    [found] = faults_of(SITE + ZONE + ROOM + f'[[place]]\nname = "yard"\nkind = "outdoor"\n{line}\n')
    assert words in found and found.startswith("scenario.toml:13: [[place]] yard ")
