"""Places against an integration of our own making: every minute of a day, pvlib's sun and clear sky, and rays against
solids instead of angles.

Nothing of the package's masks is used. A roof is a slab one metre above the pot that begins where its edge is; a wall
is a plane one metre behind; a ray of light hits them or passes. Sun and sky: pvlib.location.Location (NREL algorithm,
Ineichen and Perez with pvlib's turbidity). What blocked directions send back is taken from the settings, as in the
package: here it is the geometry that is checked.
"""

from datetime import date
from functools import cache

import numpy as np
import pandas as pd
import pytest
from pvlib.location import Location

from seasonplan.dates import planning_days
from seasonplan.model import Normals, Place, Site
from seasonplan.sky.daylight import daylight
from seasonplan.sky.settings import settings
from seasonplan.units import FULL_SUN_HOUR_MOL, MOL_PER_WH

pytestmark = pytest.mark.filterwarnings("ignore:.*dayofyear")  # pvlib's own, with a newer pandas
LEAST, MOST = 0.9, 1.1
NO_SUN_H = 0.05
"""Fewer full-sun hours than this count as none: at a grazing edge a ratio says nothing."""
SITES = {60: (60.0, 10.0), 43: (43.0, -89.0), 33: (33.0, -112.0), 10: (10.0, -84.0), -28: (-28.0, 153.0)}
DAYS = (date(2027, 6, 21), date(2027, 8, 10), date(2027, 12, 5))
PLACES = (
    Place("north porch", "outdoor", faces_deg=0.0, wall_behind=True, roof_deg=50.0),
    Place("fenced north-east porch", "outdoor", faces_deg=45.0, wall_behind=True, roof_deg=50.0, horizon_deg=12.0),
    Place("south balcony", "outdoor", faces_deg=180.0, wall_behind=True, roof_deg=65.0, horizon_deg=10.0),
    Place("carport open to the west", "outdoor", faces_deg=270.0, roof_deg=40.0),
    Place("east step", "outdoor", faces_deg=90.0, wall_behind=True, horizon_deg=14.0),
    Place("north wall", "outdoor", faces_deg=0.0, wall_behind=True, horizon_deg=15.0),
    Place("hedge without a wall", "outdoor", faces_deg=0.0, horizon_deg=30.0, leaf_shade=0.4),
    Place("lawn", "outdoor"),
)


def passes(place: Place, azimuth_deg, elevation_deg):
    """Whether rays from these directions reach the pot."""
    away, up = np.radians(azimuth_deg - (place.faces_deg or 0.0)), np.radians(elevation_deg)
    out, height = np.cos(up) * np.cos(away), np.sin(up)          # straight out, and up, per unit of the ray
    free = elevation_deg > (place.horizon_deg or 0.0)
    if place.roof_deg is not None:
        edge = 1 / np.tan(np.radians(place.roof_deg))            # how far out the slab begins, one metre up
        free &= out / np.maximum(height, 1e-9) > edge
    if place.wall_behind:
        reaches_wall = -1 / np.minimum(out, -1e-9)
        free &= (out >= 0) | (height * reaches_wall > settings().wall_height_ratio)
    return free


@cache
def ours(latitude):
    site = Site("site", *SITES[latitude], 100.0, "UTC")
    return daylight(site, PLACES, Normals(np.full(12, 10.0)), planning_days(2027, 45.0))


@cache
def minutes(latitude, day):
    """Azimuth, elevation, beam, diffuse and global of every minute of a day by the sun [degrees, W m-2]."""
    where = Location(*SITES[latitude], altitude=100)
    noon = pd.Timestamp(day, tz="UTC") - pd.Timedelta(hours=where.longitude / 15)
    times = pd.date_range(noon, periods=1440, freq="1min")
    sun = where.get_solarposition(times)
    sky = where.get_clearsky(times, solar_position=sun)
    columns = (sun["azimuth"], sun["apparent_elevation"], sky["dni"], sky["dhi"], sky["ghi"])
    return tuple(column.to_numpy() for column in columns)


def seen_share(place):
    """Share of an even sky's light on a level plane that arrives: directions half a degree apart."""
    elevation, azimuth = np.meshgrid(np.arange(0.25, 90, 0.5), np.arange(0.25, 360, 0.5), indexing="ij")
    weight = np.sin(np.radians(elevation)) * np.cos(np.radians(elevation))
    return float((passes(place, azimuth, elevation) * weight).sum() / weight.sum())


@pytest.mark.parametrize("place", PLACES, ids=lambda place: place.name)
@pytest.mark.parametrize("latitude", SITES)
def test_light_of_a_place_is_what_its_minutes_add_up_to(latitude, place):
    light, row = ours(latitude), PLACES.index(place)
    leaves, seen = 1.0 if place.leaf_shade is None else place.leaf_shade, seen_share(place)
    for day in DAYS:
        azimuth, elevation, beam, diffuse, whole = minutes(latitude, day)
        sunny = passes(place, azimuth, elevation) & (elevation > 0)
        direct = leaves * (beam * np.sin(np.radians(elevation)) * sunny).sum() / 60 * MOL_PER_WH
        returned = settings().blocked_reflection * (1 - seen) * whole.sum()
        clear = direct + leaves * (seen * diffuse.sum() + returned) / 60 * MOL_PER_WH
        n = light.dates.index(day)
        assert LEAST < light.clear_dli[row, n] / clear < MOST, day
        sun_h = direct / FULL_SUN_HOUR_MOL
        assert abs(light.full_sun_h[row, n] - sun_h) < max(NO_SUN_H, (MOST - 1) * sun_h), day


@pytest.mark.parametrize(("latitude", "hours"), [(43, 0.17), (33, 0.25)])
def test_a_north_porch_has_next_to_no_sun_in_june(latitude, hours):
    """The sun of a June morning passes under the straight eave only while it is low and far to the side."""
    light = ours(latitude)
    assert light.full_sun_h[0, light.dates.index(DAYS[0])] == pytest.approx(hours, abs=NO_SUN_H)
