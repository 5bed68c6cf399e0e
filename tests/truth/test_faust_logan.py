"""Energy to daily light integral.

Source: Faust and Logan 2018, Daily light integral: a research review and high-resolution maps of the United States,
HortScience 53:1250-1257 (abstract): 0.007265 mol per Wh, from 45 % of solar energy being photosynthetically active and
4.48 umol per J. Lux: Thimijan and Heins 1983, HortScience 18:818-822: 54 lux per umol m-2 s-1 of sunlight.
"""

import numpy as np
import pytest

from seasonplan import units
from seasonplan.dates import planning_days
from seasonplan.model import Normals, Place, Site
from seasonplan.sky.daylight import daylight

LUX_PER_FOOT_CANDLE = 10.764

STATED_FACTORS_TOLERANCE = 0.002
"""The paper's factor and its own stated parts differ by 0.1 % of rounding."""
SITE = Site("Invented town", 40.0, -90.0, 200.0, "Etc/GMT+6")
DATES = planning_days(2027, 40.0)


def test_the_factor_follows_from_the_parts_stated():
    assert units.MOL_PER_WH == 0.007265
    assert pytest.approx(0.45 * 4.48 * 3600e-6, rel=STATED_FACTORS_TOLERANCE) == units.MOL_PER_WH
    assert round(units.MOL_PER_MJ, 3) == 2.018


def test_a_kilowatt_hour_a_day_is_seven_mol():
    """Normals of 3.6, 7.2 ... MJ (1, 2 ... kWh) a day become 7.265 mol each on open ground."""
    kwh = np.array([1.5, 2.5, 4, 5, 6, 6.5, 6.5, 5.5, 4.5, 3, 2, 1.5])
    light = daylight(SITE, [Place("lawn", "outdoor")], Normals(np.zeros(12), ghi_mj=3.6 * kwh), DATES)
    months = np.array([day.month for day in DATES])
    means = [light.mean_dli[0][months == m].mean() for m in range(1, 13)]
    assert means == pytest.approx(7.265 * kwh, rel=2e-3)


def test_full_sun_at_noon_is_about_2000_umol_and_10000_foot_candles():
    """About 2000 umol m-2 s-1 and 10 000 foot-candles (Thimijan and Heins 1983); a summer noon at 40 north."""
    light = daylight(SITE, [Place("lawn", "outdoor")], Normals(np.zeros(12)), DATES)
    peak = light.peak_ppfd.max()
    assert peak == pytest.approx(2000, rel=0.1)
    assert peak * units.LUX_PER_UMOL / LUX_PER_FOOT_CANDLE == pytest.approx(10_000, rel=0.1)
