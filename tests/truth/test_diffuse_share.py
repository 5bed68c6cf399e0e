"""The diffuse share of a month's light against a worked example, to the digits printed.

Source: Duffie and Beckman, Solar Engineering of Thermal Processes, example 2.12.1: June at Madison, Wisconsin (43 N, on
the 11th), global radiation 23.0 MJ, above the atmosphere 41.8 MJ, sunset at 113.4 degrees, diffuse share 0.38. The
figures are from memory.
"""

import numpy as np
import pytest

from seasonplan.sky import radiation

MADISON, JUNE_11, JUNE_MJ = 43.0, 162, 23.0


def test_june_at_madison():
    above, sunset = radiation.extraterrestrial_mj(MADISON, JUNE_11), radiation.sunset_angle_rad(MADISON, JUNE_11)
    assert float(above) == pytest.approx(41.8, abs=0.15)
    assert float(np.degrees(sunset)) == pytest.approx(113.4, abs=0.15)
    assert round(float(radiation.diffuse_share(round(JUNE_MJ / float(above), 2), sunset)), 2) == 0.38
