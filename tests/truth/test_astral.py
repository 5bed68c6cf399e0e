"""Sunrise, sunset and day length against astral, an independent library (Meeus' formulas, its own code).

Source: the Python package astral, version 3; no code is shared with pvlib, which our door uses.
"""

from datetime import date, timedelta
from zoneinfo import ZoneInfo

import numpy as np
import pytest
from astral import Observer
from astral.sun import sun

from seasonplan.model import Site
from seasonplan.sky.sun import clear_sky

TOLERANCE_MIN = 2.0
"""The accuracy asked for (found: 0.7, day length 1.3). Both put the sun's centre 0.833 degrees below the horizon."""
LATITUDES_DEG = (-60, -45, -30, -10, 0, 15, 30, 45, 52, 60)
LONGITUDES_DEG = {-30: "Etc/GMT+2", 0: "UTC", 30: "Etc/GMT-2"}
"""Where nothing rises or sets near midnight UTC: there astral takes the event of the day before or after."""
DATES = [date(2027, 1, 1) + timedelta(days=14 * n) for n in range(27)]


def apart_min(ours, theirs):
    """Difference of two clock times [min], across midnight where needed."""
    return (ours - theirs + 720) % 1440 - 720


def astral_minutes(latitude, longitude, zone, day):
    """Rise and set on a local date [local clock minutes] by astral."""
    times = sun(Observer(latitude, longitude), day, tzinfo=ZoneInfo(zone))
    return [times[k].hour * 60 + times[k].minute + times[k].second / 60 for k in ("sunrise", "sunset")]


@pytest.mark.parametrize("longitude", LONGITUDES_DEG)
@pytest.mark.parametrize("latitude", LATITUDES_DEG)
def test_rise_set_and_length_of_day(latitude, longitude):
    zone = LONGITUDES_DEG[longitude]
    sky = clear_sky(Site("somewhere", latitude, longitude, 0.0, zone), DATES)
    rise, sets = np.array([astral_minutes(latitude, longitude, zone, day) for day in DATES]).T
    assert np.abs(apart_min(sky.sunrise_min, rise)).max() < TOLERANCE_MIN
    assert np.abs(apart_min(sky.sunset_min, sets)).max() < TOLERANCE_MIN
    assert np.abs(sky.sunlit_h * 60 - (sets - rise) % 1440).max() < TOLERANCE_MIN
