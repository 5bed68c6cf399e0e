"""Sun and clear sky over the year: interpolation, poles, date line, bad sites."""

from dataclasses import replace
from datetime import date

import numpy as np
import pandas as pd
import pytest
from invented import make_site
from pvlib import solarposition

from seasonplan.dates import planning_days
from seasonplan.model import Site
from seasonplan.sky.localtime import local_steps
from seasonplan.sky.sun import TEMPERATURE_C, _turning_sun, clear_sky

YEAR = planning_days(2027, 45.0)
INTERPOLATION_DEG = 0.001


@pytest.mark.parametrize("latitude", (-90, -66, -33, 0, 21.4, 60, 90))
def test_interpolated_sun_is_the_full_algorithms(latitude):
    """pvlib's own, as an angle on the sky, at every third step of every tenth day."""
    site = Site("x", latitude, 37.0, 100.0, "UTC")
    steps = local_steps(YEAR[::10], "UTC", 30)
    quick = _turning_sun(site, steps)
    public = solarposition.get_solarposition(pd.to_datetime(steps.middle_s, unit="s", utc=True), site.latitude_deg,
                                             site.longitude_deg, site.elevation_m, temperature=TEMPERATURE_C,
                                             delta_t=None)
    full = [public[name].to_numpy() for name in ("azimuth", "elevation", "apparent_elevation")]
    az, el = np.radians(quick[0] - full[0]), np.radians(quick[1])
    assert np.degrees(np.abs(az * np.cos(el))[np.abs(az) < 3]).max() < INTERPOLATION_DEG
    assert np.abs(quick[1] - full[1]).max() < INTERPOLATION_DEG
    up = full[2] > 0
    assert np.abs(quick[2] - full[2])[up].max() < INTERPOLATION_DEG


@pytest.mark.parametrize(("given", "word"), [
    ({"latitude_deg": 100.0}, "latitude"), ({"latitude_deg": -90.01}, "latitude"),
    ({"latitude_deg": float("nan")}, "latitude"), ({"longitude_deg": 181.0}, "longitude"),
    ({"elevation_m": 9e4}, "elevation_m")])
def test_a_site_off_the_earth_is_refused(given, word):
    site = replace(make_site(), **given)
    with pytest.raises(ValueError, match=word):
        clear_sky(site, YEAR[:2])


@pytest.mark.parametrize("latitude", (-90.0, 90.0))
def test_half_a_year_of_day_at_the_poles(latitude):
    sky = clear_sky(Site("pole", latitude, 0.0, 0.0, "UTC"), YEAR)
    assert set(np.unique(sky.sunlit_h.round(6))) >= {0.0, 24.0}
    assert 180 < (sky.sunlit_h == 24).sum() < 192
    assert np.isfinite(sky.sunrise_min).sum() <= 2 and np.isfinite(sky.sunset_min).sum() <= 2
    assert np.isfinite(sky.beam_normal_w).all() and sky.global_w.max() > 300


def test_midnight_sun_rises_once_and_sets_once_a_year():
    sky = clear_sky(Site("north cape", 71.2, 25.8, 0.0, "UTC"), YEAR)
    light_all_day, dark_all_day = sky.sunlit_h == 24, sky.sunlit_h == 0
    assert 70 < light_all_day.sum() < 85 and 55 < dark_all_day.sum() < 75
    assert np.isnan(sky.sunrise_min[light_all_day]).all() and np.isnan(sky.sunset_min[dark_all_day]).all()


@pytest.mark.parametrize("longitude", (-180.0, -179.99, 0.0, 180.0))
def test_any_longitude_has_the_same_kind_of_day(longitude):
    sky = clear_sky(Site("x", 40.0, longitude, 0.0, "UTC"), YEAR[::30])
    here = clear_sky(Site("x", 40.0, 10.0, 0.0, "UTC"), YEAR[::30])
    assert sky.sunlit_h == pytest.approx(here.sunlit_h, abs=0.06)
    assert sky.azimuth_deg.min() >= 0 and sky.azimuth_deg.max() <= 360


def test_noon_sun_stands_south_in_the_north_and_north_in_the_south():
    for latitude, bearing in ((45.0, 180.0), (-45.0, 0.0)):
        sky = clear_sky(Site("x", latitude, 0.0, 0.0, "UTC"), YEAR[::15])
        for n in range(len(YEAR[::15])):
            top = np.argmax(np.where(sky.day == n, sky.elevation_deg, -1))
            assert abs((sky.azimuth_deg[top] - bearing + 180) % 360 - 180) < 5


def test_clock_times_are_local_and_jump_with_summer_time():
    dates = [date(2027, 3, 13), date(2027, 3, 14), date(2027, 3, 15), date(2027, 11, 6), date(2027, 11, 7)]
    sky = clear_sky(make_site(), dates)
    assert sky.sunrise_min[1] - sky.sunrise_min[0] == pytest.approx(60 - 1.8, abs=0.5)
    assert sky.sunrise_min[4] - sky.sunrise_min[3] == pytest.approx(-60 + 1.4, abs=0.5)
    assert sky.sunlit_h[:3] == pytest.approx(11.8, abs=0.1)


def test_higher_ground_has_more_light():
    low, high = (clear_sky(make_site(elevation_m=m), YEAR[150:155]).global_w.sum() for m in (0.0, 3000.0))
    assert high > 1.05 * low
