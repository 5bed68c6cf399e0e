"""The sun and the clear sky against pvlib's own public functions; and that pvlib comes late and whole."""

import subprocess
import sys

import numpy as np
import pandas as pd
import pvlib
import pytest

from seasonplan.model import Site
from seasonplan.sky.sun import clear_sky

PLACES = (Site("a", 45.0, -93.0, 250.0, "UTC"), Site("b", -33.9, 18.4, 40.0, "UTC"), Site("c", 69.6, 18.9, 10.0, "UTC"),
          Site("d", 0.0, 179.5, 2800.0, "UTC"))
DAYS = [pd.Timestamp(text).date() for text in ("2027-01-15", "2027-04-15", "2027-07-15", "2027-10-15")]
LATE = """
import sys, threading
import seasonplan.pipeline, seasonplan.workflow, seasonplan.outputs.page
early = [name for name in sys.modules if name.split(".")[0] in ("pvlib", "scipy", "h5py")]
from seasonplan.model import Site
from datetime import date
from seasonplan.sky.sun import clear_sky
found = []
def ask(work):
    try:
        work()
    except BaseException as error:
        found.append(repr(error))
def other():
    import scipy.linalg, scipy.optimize
    scipy.linalg.solve([[1.0]], [1.0])
threads = [threading.Thread(target=ask, args=(work,)) for work in
           (lambda: clear_sky(Site("a", 45.0, -93.0, 250.0, "UTC"), [date(2027, 5, 1)]), other) * 2]
for thread in threads: thread.start()
for thread in threads: thread.join()
import pvlib
print(early, found, hasattr(pvlib, "pvsystem"))
"""


def test_pvlib_is_imported_late_whole_and_beside_other_threads():
    done = subprocess.run([sys.executable, "-c", LATE], capture_output=True, text=True, check=True)
    assert done.stdout == "[] [] True\n"


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
