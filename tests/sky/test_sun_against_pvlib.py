"""The sun and the clear sky against pvlib's own functions, whose formulas and figures `sky/` carries; and that a plan
goes without pvlib and what comes with it."""

import subprocess
import sys
from datetime import date
from pathlib import Path

import numpy as np
import pandas as pd
import pvlib
import pytest

from seasonplan.dates import day_index
from seasonplan.model import Site
from seasonplan.sky.ephemeris import HORIZON_REFRACTION_DEG, celestial, delta_t_s, refraction_deg, seen_from
from seasonplan.sky.monthly import between_months
from seasonplan.sky.sun import _extraterrestrial_beam_w, _monthly_turbidity, clear_sky

SCENARIOS = Path(__file__).parent.parent.parent / "scenarios"
PLACES = (Site("a", 45.0, -93.0, 250.0, "UTC"), Site("b", -33.9, 18.4, 40.0, "UTC"), Site("c", 69.6, 18.9, 10.0, "UTC"),
          Site("d", 0.0, 179.5, 2800.0, "UTC"))
DAYS = [pd.Timestamp(text).date() for text in ("2027-01-15", "2027-04-15", "2027-07-15", "2027-10-15")]
PLAN = """
import sys
from seasonplan.cli import main
try:
    main(["plan", sys.argv[1], "--no-page", "--quiet", "--out", sys.argv[2], "--today", "2027-04-01"])
except SystemExit as end:
    assert not end.code
print(sorted({name.split(".")[0] for name in sys.modules} & {"pvlib", "pandas", "scipy", "requests", "matplotlib"}))
"""
FORMULA_DEG = 1e-8
"""Formulas are the same, and so are the figures: only the order of some sums differs."""


def test_a_plan_imports_none_of_the_heavy_libraries(tmp_path):
    done = subprocess.run([sys.executable, "-c", PLAN, str(SCENARIOS / "skerry-head"), str(tmp_path)],
                          capture_output=True, text=True, check=True)
    assert done.stdout.endswith("[]\n") and (tmp_path / "calendar.ics").exists()


@pytest.mark.parametrize("year", (1951, 1990, 2003, 2027, 2099, 2198))
def test_the_sun_seen_from_the_earths_centre(year):
    """Every third hour of every fifth day."""
    utc_s = np.arange(0, 365 * 86400, 5 * 86400 + 3 * 3600) + float((date(year, 1, 1) - date(1970, 1, 1)).days * 86400)
    delta = pvlib.spa.calculate_deltat(year, 6)
    theirs = pvlib.spa.solar_position(utc_s, 0.0, 0.0, 0.0, 0.0, 0.0, delta, 0.0, sst=True)
    for ours, public in zip(celestial(utc_s, delta), theirs, strict=True):
        assert np.abs((ours - public + 180) % 360 - 180).max() < FORMULA_DEG


@pytest.mark.parametrize(("year", "tolerance_s"), [
    (1950, 14), (1985, 14), (1986, 1e-9), (2004, 1e-9), (2005, 1e-9), (2049, 1e-9), (2050, 1e-9), (2149, 1e-9),
    (2150, 1e-9), (2199, 1e-9)])
def test_terrestrial_and_universal_time(year, tolerance_s):
    for month in (1, 7, 12):
        assert delta_t_s(year + (month - 0.5) / 12) == pytest.approx(pvlib.spa.calculate_deltat(year, month),
                                                                     abs=tolerance_s)


@pytest.mark.parametrize("latitude", (-90, -51.5, 0, 39.75, 60, 89.9))
def test_the_sun_seen_from_a_place_and_through_the_air(latitude):
    hour, declination = (each.ravel() for each in np.meshgrid(np.arange(-175.0, 180.0, 7), np.arange(-23.4, 23.5, 4.7)))
    spa, height_m = pvlib.spa, 1830.0
    u = spa.uterm(latitude)
    x, y = spa.xterm(u, latitude, height_m), spa.yterm(u, latitude, height_m)
    parallax = spa.equatorial_horizontal_parallax(1.0)
    shift = spa.parallax_sun_right_ascension(x, parallax, hour, declination)
    down = spa.topocentric_sun_declination(declination, x, y, parallax, shift, hour)
    turned = spa.topocentric_local_hour_angle(hour, shift)
    true = spa.topocentric_elevation_angle_without_atmosphere(latitude, down, turned)
    azimuth, elevation = seen_from(latitude, height_m, hour, declination)
    public = spa.topocentric_azimuth_angle(spa.topocentric_astronomers_azimuth(turned, down, latitude))
    assert np.abs(elevation - true).max() < FORMULA_DEG
    assert np.abs((azimuth - public + 180) % 360 - 180).max() < FORMULA_DEG
    lifted = spa.atmospheric_refraction_correction(812.0, 12.0, true, HORIZON_REFRACTION_DEG)
    assert refraction_deg(true, 81200.0, 12.0) == pytest.approx(lifted, abs=1e-12)


def test_turbidity_is_that_of_the_cell_which_pvlib_takes():
    """On the edges of cells, too: many sites are given to half a degree."""
    months = pd.date_range("2001-01-01", periods=12, freq="MS", tz="UTC")
    for latitude, longitude in ((51.5, -0.1), (45.0, -93.0), (90.0, 180.0), (-90.0, -180.0), (0.0, 0.0),
                                (19.4, -155.25), (-33.0 - 1 / 12, 151.0 + 1 / 24)):
        theirs = pvlib.clearsky.lookup_linke_turbidity(months, latitude, longitude, interp_turbidity=False).to_numpy()
        assert _monthly_turbidity(Site("x", latitude, longitude, 0.0, "UTC")).tolist() == theirs.tolist()


@pytest.mark.parametrize("height_m", (-100.0, 0.0, 2800.0))
def test_the_clear_sky_is_pvlibs_to_the_last_digits(height_m):
    site, days = Site("x", 45.0, 7.0, height_m, "UTC"), DAYS[:3]
    sky = clear_sky(site, days)
    turbidity = between_months(_monthly_turbidity(site))[[day_index(day) for day in days]][sky.day]
    mass = pvlib.atmosphere.get_relative_airmass(90 - sky.elevation_deg)
    public = pvlib.clearsky.ineichen(
        90 - sky.elevation_deg, pvlib.atmosphere.get_absolute_airmass(mass, pvlib.atmosphere.alt2pres(height_m)),
        turbidity, altitude=height_m, dni_extra=_extraterrestrial_beam_w(days)[sky.day])
    for ours, theirs in ((sky.beam_normal_w, "dni"), (sky.diffuse_w, "dhi"), (sky.global_w, "ghi")):
        assert ours == pytest.approx(public[theirs], rel=1e-9, abs=1e-9)


@pytest.mark.filterwarnings("ignore:DatetimeIndex.dayofyear:DeprecationWarning", "ignore:divide by zero")
@pytest.mark.parametrize("site", PLACES, ids=lambda site: site.name)
def test_clear_sky_is_that_of_the_public_function(site):
    """Within 3 W m-2: pvlib steps its turbidity and the Sun's distance at midnight UTC."""
    sky = clear_sky(site, DAYS)
    times = pd.to_datetime(sky.middle_s, unit="s", utc=True)
    public = pvlib.location.Location(site.latitude_deg, site.longitude_deg, "UTC", site.elevation_m).get_clearsky(times)
    for ours, theirs in ((sky.global_w, "ghi"), (sky.diffuse_w, "dhi"), (sky.beam_normal_w, "dni")):
        assert np.abs(ours - public[theirs].to_numpy()).max() < 3.0
    assert len(times) > 100
