"""Sun position against the worked example of the NREL solar position algorithm.

Source: Reda and Andreas 2004, Solar position algorithm for solar radiation applications, Solar Energy 76:577-589;
report NREL/TP-560-34302 (revised 2008), table A5.1: 17 October 2003, 12:30:30 at UTC-7, latitude 39.742476, longitude
-105.1786, 1830.14 m, 820 mbar, 11 degrees C, delta T 67 s.
"""

from datetime import UTC, datetime

import numpy as np
import pytest

from seasonplan.model import Site
from seasonplan.sky.sun import clear_sky

ZENITH_DEG, AZIMUTH_DEG = 50.11162, 194.34024
TOLERANCE_DEG = 0.0015
"""0.01 is asked for; the site's standard pressure (812 mbar), 12 degrees C and delta T of the day are ours."""
GOLDEN = Site("NREL example", 39.742476, -105.1786, 1830.14, "Etc/GMT+7")


def test_the_worked_example_is_a_step_of_its_day():
    """Steps of a minute have their middles at 30 seconds past it."""
    sky = clear_sky(GOLDEN, [datetime(2003, 10, 17).date()], step_min=1)
    [at] = np.flatnonzero(sky.middle_s == datetime(2003, 10, 17, 19, 30, 30, tzinfo=UTC).timestamp())
    assert 90 - sky.elevation_deg[at] == pytest.approx(ZENITH_DEG, abs=TOLERANCE_DEG)
    assert sky.azimuth_deg[at] == pytest.approx(AZIMUTH_DEG, abs=TOLERANCE_DEG)
