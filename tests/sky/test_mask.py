"""What places see: exact cases, monotone keys, mirror images."""

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from seasonplan.model import Place
from seasonplan.sky import mask as masks
from seasonplan.sky.settings import settings as light_settings

WINDOW = Place("window", "indoor", faces_deg=180.0, window_width_m=1.4, window_height_m=1.3, sill_m=0.0, distance_m=1.0)
STEP = Place("step", "outdoor", faces_deg=90.0, wall_behind=True)
AZIMUTH, ELEVATION = (grid.ravel() for grid in np.meshgrid(np.arange(2.5, 360, 5), np.arange(0.5, 90, 3)))
QUICK = settings(deadline=None, max_examples=20, derandomize=True)
BEARINGS = st.floats(0, 359.9)


def mask(place, latitude=45.0):
    return masks.mask_of(place, latitude)


def open_at(place, azimuth, elevation):
    return float(masks.openness(mask(place), np.array([azimuth]), np.array([elevation]))[0])


def test_open_ground_sees_everything():
    lawn = mask(Place("lawn", "outdoor"))
    assert masks.openness(lawn, AZIMUTH, ELEVATION).min() == 1.0
    shares = masks.shares_of(lawn)
    assert shares.sky == pytest.approx(1.0, abs=1e-3) and shares.ground == shares.pane == 0
    assert lawn.notes == ()


@pytest.mark.parametrize("horizon", (10, 20, 30, 45, 60))
def test_a_horizon_all_round_leaves_cosine_squared_of_the_sky(horizon):
    """View factor of a sky cap seen from a horizontal plane: cos(horizon) squared (geometry)."""
    shares = masks.shares_of(mask(Place("court", "outdoor", horizon_deg=float(horizon))))
    assert shares.sky == pytest.approx(np.cos(np.radians(horizon)) ** 2, abs=0.01)
    assert shares.ground == pytest.approx(light_settings().blocked_reflection * (1 - shares.sky), abs=1e-4)


@pytest.mark.parametrize("roof", (30, 50, 70))
def test_under_a_straight_eave_a_wedge_of_the_sky_is_left(roof):
    """View factor from a level plane to the sky between the horizon and a long straight edge: (1 - cos(edge)) / 2
    (geometry; the mirror image of the wall below)."""
    assert masks.shares_of(mask(Place("porch", "outdoor", faces_deg=30.0, roof_deg=float(roof)))).sky == pytest.approx(
        (1 - np.cos(np.radians(roof))) / 2, abs=0.005)


def test_an_eave_stands_lower_to_the_sides_and_hides_all_behind():
    porch = Place("porch", "outdoor", faces_deg=90.0, roof_deg=50.0)
    assert open_at(porch, 90, 48) == 1 and open_at(porch, 90, 52) == 0
    edge = np.degrees(np.arctan(np.tan(np.radians(50)) * np.cos(np.radians(60))))
    assert open_at(porch, 150, edge - 2) == 1 and open_at(porch, 150, edge + 2) == 0
    assert open_at(porch, 200, 5) == open_at(porch, 270, 30) == 0


def test_only_a_person_puts_a_wall_behind_a_place():
    facing = Place("step", "outdoor", faces_deg=90.0)
    assert open_at(facing, 270, 30) == 1 and open_at(replace(facing, wall_behind=False), 270, 30) == 1
    assert open_at(replace(facing, wall_behind=True), 270, 30) == 0


def test_a_wall_behind_takes_nearly_half_the_sky():
    """Sky above an endless wall seen from its foot: (1 + cos(height of its top)) / 2 (geometry)."""
    top = np.arctan(light_settings().wall_height_ratio)
    assert masks.shares_of(mask(STEP)).sky == pytest.approx((1 + np.cos(top)) / 2, abs=0.005)
    assert open_at(STEP, 90, 5) == 1 and open_at(STEP, 170, 60) == 1
    assert open_at(STEP, 270, 60) == 0 and open_at(STEP, 200, 60) == 0
    assert open_at(STEP, 270, 89) == 1


def test_a_window_is_seen_where_geometry_puts_it():
    """From 1 m: 35 degrees to each side, up to 52 degrees in the middle and lower at its sides."""
    assert open_at(WINDOW, 180, 25) == 1 and open_at(WINDOW, 180, 49) == 1 and open_at(WINDOW, 180, 55) == 0
    assert open_at(WINDOW, 212, 25) == 1 and open_at(WINDOW, 218, 25) == 0 and open_at(WINDOW, 142, 25) == 0
    assert open_at(WINDOW, 180, -5) == 0 and open_at(WINDOW, 0, 25) == 0
    assert open_at(WINDOW, 210, 50.5) < open_at(WINDOW, 180, 50.5)
    low = replace(WINDOW, sill_m=-1.0)
    assert open_at(low, 180, -20) == 1 and open_at(low, 180, 30) == 0


def test_a_far_window_subtends_its_area_over_distance_squared():
    far = mask(replace(WINDOW, sill_m=-0.65, distance_m=8.0))
    azimuth, elevation, solid = masks._directions()
    seen = (masks.frame_openness(far, azimuth, elevation) * solid).sum()
    assert seen == pytest.approx(1.4 * 1.3 / 8**2, rel=0.03)


def test_the_whole_sphere_is_four_pi():
    assert masks._directions()[2].sum() == pytest.approx(4 * np.pi, rel=1e-9)


def test_under_an_even_open_sky_leaves_indoors_and_a_plane_outdoors_count_alike():
    """The reason for taking half the fluence rate indoors."""
    azimuth, elevation, solid = masks._directions()
    above = elevation > 0
    flat = (masks.leaf_weight(mask(Place("lawn", "outdoor")), elevation) * solid)[above].sum()
    leaves = (masks.leaf_weight(mask(WINDOW), elevation) * solid)[above].sum()
    assert leaves == pytest.approx(flat, rel=1e-3)


@QUICK
@given(BEARINGS, st.floats(0, 40), st.floats(45, 90), st.floats(0, 1), st.booleans())
def test_every_key_only_takes_light_away(faces, horizon, roof, leaves, wall):
    place = Place("p", "outdoor", faces_deg=faces, horizon_deg=horizon, roof_deg=roof, leaf_shade=leaves,
                  wall_behind=wall)
    def passed(p):
        return masks.openness(mask(p), AZIMUTH, ELEVATION) * masks.filter_share(mask(p), AZIMUTH, ELEVATION)

    here = passed(place)
    assert here.min() >= 0 and here.max() <= 1
    more = [replace(place, horizon_deg=horizon + 3), replace(place, leaf_shade=leaves * 0.9),
            replace(place, wall_behind=True)]
    assert all((passed(darker) <= here + 1e-12).all() for darker in more)
    lower_roof, ahead = replace(place, roof_deg=roof - 3), np.cos(np.radians(AZIMUTH - faces)) >= 0
    assert (passed(lower_roof) <= here + 1e-12)[ahead].all(), "behind, its edge is below the horizon and comes up to it"


@QUICK
@given(st.floats(0, 360), st.floats(0, 8), st.floats(-1, 1))
def test_windows_mirror_in_the_meridian_and_turn_with_their_bearing(faces, distance, sill):
    place = replace(WINDOW, faces_deg=faces, distance_m=distance, sill_m=sill)
    here = masks.openness(mask(place), AZIMUTH, ELEVATION)
    mirrored = masks.openness(mask(replace(place, faces_deg=-faces)), -AZIMUTH, ELEVATION)
    turned = masks.openness(mask(replace(place, faces_deg=faces + 90)), AZIMUTH + 90, ELEVATION)
    assert here == pytest.approx(mirrored, abs=1e-9) and here == pytest.approx(turned, abs=1e-9)


@QUICK
@given(BEARINGS, st.floats(0.1, 6), st.floats(-1, 0))
def test_diffuse_light_falls_with_distance_and_with_curtains(faces, distance, sill):
    place = replace(WINDOW, faces_deg=faces, distance_m=distance, sill_m=sill)
    chain = [place, replace(place, curtain="sheer"), replace(place, curtain="blind")]
    sky = [masks.shares_of(mask(p)).sky for p in chain]
    assert sky[0] > sky[1] > sky[2] > 0
    assert masks.shares_of(mask(replace(place, distance_m=distance + 0.3))).sky < sky[0]


def test_what_is_missing_is_filled_and_said():
    room = mask(Place("den", "indoor"))
    assert room.window.distance_m == light_settings().typical_room_distance_m
    assert room.notes and "den" in room.notes[0] and "90°" in room.notes[0] and "2 m from the pot" in room.notes[0]
    told = mask(Place("den", "indoor", faces_deg=200.0, window_width_m=1.0, window_height_m=1.0, sill_m=0.3,
                      distance_m=0.0))
    assert told.notes == () and told.window.distance_m == light_settings().nearest_glass_m
    partly = mask(Place("den", "indoor", faces_deg=200.0))
    assert partly.window.distance_m == light_settings().typical_distance_m and "200" not in partly.notes[0]
    assert mask(Place("step", "outdoor", faces_deg=90.0)).notes == ()
    assert "a wall and a roof" in mask(Place("porch", "outdoor", wall_behind=True, roof_deg=50.0)).notes[0]
    assert mask(Place("wall", "outdoor", wall_behind=True), 45.0).faces_deg == 180
    assert mask(Place("wall", "outdoor", wall_behind=True), -45.0).faces_deg == 0


def test_an_eave_or_a_fence_counts_for_a_window_too():
    plain, shaded = (masks.shares_of(mask(p)) for p in (WINDOW, replace(WINDOW, horizon_deg=20.0, roof_deg=40.0)))
    assert shaded.sky < 0.7 * plain.sky and shaded.ground > plain.ground


def test_a_pane_down_to_the_floor_brings_light_from_the_ground():
    """Radiance of ground over that of open ground: its reflectance; the same area seen below as above the horizon."""
    up, down = (masks.shares_of(mask(replace(WINDOW, window_height_m=1.0, sill_m=sill))) for sill in (0.0, -1.0))
    assert down.ground - up.ground == pytest.approx(light_settings().ground_reflectance * (up.sky - down.sky), rel=0.05)
