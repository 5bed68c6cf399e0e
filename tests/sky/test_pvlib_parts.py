"""The short way into pvlib: nobody else notices it, and it gives what pvlib gives."""

import json
import subprocess
import sys

import numpy as np
import pandas as pd
import pvlib
import pytest

from seasonplan.model import Site
from seasonplan.sky import pvlib_parts
from seasonplan.sky.sun import clear_sky, sun_position

PLACES = (Site("a", 45.0, -93.0, 250.0, "UTC"), Site("b", -33.9, 18.4, 40.0, "UTC"), Site("c", 69.6, 18.9, 10.0, "UTC"),
          Site("d", 0.0, 179.5, 2800.0, "UTC"))
DAYS = [pd.Timestamp(text).date() for text in ("2027-01-15", "2027-04-15", "2027-07-15", "2027-10-15")]
IN_A_FRESH_PROCESS = """
import json, sys
from seasonplan.sky.pvlib_parts import load
parts = load()
after = [n for n in sys.modules if n.split(".")[0] == "pvlib" or n in ("scipy.linalg", "scipy.optimize")]
import pvlib, scipy.linalg
print(json.dumps({
    "left behind": after,
    "whole": all(hasattr(pvlib, n) for n in ("solarposition", "irradiance", "location", "iotools", "pvsystem")),
    "own modules": sys.modules["pvlib.spa"] is pvlib.spa and pvlib.spa is not parts.spa,
    "real hankel": pvlib.clearsky.hankel is scipy.linalg.hankel,
    "real linalg": hasattr(scipy.linalg, "solve"),
}))
"""


def test_loading_leaves_no_trace_and_a_later_import_is_whole():
    done = subprocess.run([sys.executable, "-c", IN_A_FRESH_PROCESS], capture_output=True, text=True, check=True)
    found = json.loads(done.stdout)
    assert found == {"left behind": [], "whole": True, "own modules": True, "real hankel": True, "real linalg": True}


def test_pvlib_that_is_already_there_is_used():
    assert pvlib_parts.load.__wrapped__().spa is pvlib.spa


def test_a_missing_pvlib_is_an_import_error(monkeypatch):
    for name in [n for n in sys.modules if n.split(".")[0] == "pvlib"]:
        monkeypatch.delitem(sys.modules, name)
    monkeypatch.setattr(pvlib_parts.importlib.util, "find_spec", lambda name: None)
    with pytest.raises(ImportError, match="pvlib is not installed"):
        pvlib_parts.load.__wrapped__()


@pytest.mark.parametrize("site", PLACES, ids=lambda site: site.name)
def test_positions_are_those_of_the_public_function(site):
    times = pd.date_range("2027-01-01", "2027-12-31", periods=200, tz="UTC")
    public = pvlib.solarposition.get_solarposition(times, site.latitude_deg, site.longitude_deg, site.elevation_m)
    seconds = (times - pd.Timestamp(0, tz="UTC")).total_seconds().to_numpy()
    azimuth, true, apparent = sun_position(site, seconds, delta_t_s=67.0)
    assert azimuth == pytest.approx(public["azimuth"], abs=1e-6)
    assert true == pytest.approx(public["elevation"], abs=1e-6)
    assert apparent == pytest.approx(public["apparent_elevation"], abs=1e-6)


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
