"""Radiation equations against the worked examples of FAO-56, to the digits printed.

Source: Allen, Pereira, Raes and Smith 1998, Crop evapotranspiration, FAO Irrigation and Drainage Paper 56, chapter 3,
examples 8 to 10, 12 and 15. Seen in copies of the examples: inputs of 10 (day 135, 22.9 degrees south, 220 hours in 31
days), inputs and result of 15 (day 196, 45.72 north, 26.6 and 14.8 degrees C, 22.29 MJ), result of 8. The other printed
figures are from memory.
"""

import numpy as np
import pytest

from seasonplan.dates import planning_days
from seasonplan.model import Normals, Site
from seasonplan.sky import radiation
from seasonplan.sky.meansky import mean_sky, monthly_global_mj

SMALL_DIFFERENCE = 0.03
"""Half a unit of the last printed digit would be 0.05; the mean of a month's days is not its middle day."""


def test_example_8_extraterrestrial_radiation_on_3_september_at_20_south():
    assert round(float(radiation.inverse_distance(246)), 3) == 0.985
    assert round(float(radiation.declination_rad(246)), 3) == 0.120
    assert round(float(radiation.sunset_angle_rad(-20, 246)), 3) == 1.527
    assert round(float(radiation.extraterrestrial_mj(-20, 246)), 1) == 32.2


def test_example_9_daylight_hours_there():
    assert round(float(radiation.daylight_hours(-20, 246)), 1) == 11.7


def test_example_10_sunshine_in_may_at_rio_de_janeiro():
    above, possible = radiation.extraterrestrial_mj(-22.9, 135), radiation.daylight_hours(-22.9, 135)
    assert (round(float(above), 1), round(float(possible), 1)) == (25.1, 10.9)
    assert round(float(radiation.from_sunshine_mj(220 / 31, possible, above)), 1) == 14.5


def test_example_12_clear_sky_there():
    above = radiation.extraterrestrial_mj(-22.9, 135)
    assert round(float(radiation.clear_sky_mj(above)), 1) == 18.8


def test_example_15_temperatures_in_july_at_lyon():
    above = radiation.extraterrestrial_mj(45.72, 196)
    assert round(float(above), 1) == 40.6
    assert round(float(radiation.from_temperature_mj(26.6, 14.8, above, 0.16)), 1) == 22.3


def test_examples_10_and_15_through_normals():
    """The same months as a person would give them: a year of normals whose one month is the example's."""
    sunshine = np.full(12, 6.0)
    sunshine[4] = 220 / 31
    rio = Site("Rio de Janeiro", -22.9, -43.2)
    monthly, source, _ = monthly_global_mj(rio, Normals(np.full(12, 20.0), sunshine_h=sunshine))
    assert source == "sunshine_h"
    assert monthly[4] == pytest.approx(14.5, rel=SMALL_DIFFERENCE)
    tmax, tmin = np.linspace(5, 30, 12), np.linspace(-8, 15, 12)
    tmax[6], tmin[6] = 26.6, 14.8
    lyon = Site("Lyon", 45.72, 4.85, 200.0)
    monthly, source, _ = monthly_global_mj(lyon, Normals(tmin, tmax_c=tmax))
    assert source == "temperatures"
    ours = radiation.krs(45.72) / 0.16  # the example takes the coefficient of inland places
    assert monthly[6] == pytest.approx(ours * 22.3, rel=SMALL_DIFFERENCE)


def test_daily_means_of_the_year_are_those_of_the_months():
    lyon = Site("Lyon", 45.72, 4.85, 200.0)
    dates = planning_days(2027, 45.72)
    given = np.array([4.0, 7, 11, 16, 19, 22, 22.3, 19, 14, 9, 5, 3.5])
    sky = mean_sky(lyon, Normals(np.zeros(12), ghi_mj=given), dates)
    months = np.array([d.month for d in dates])
    means = [sky.global_mj[months == m].mean() for m in range(1, 13)]
    assert means == pytest.approx(given, rel=1e-3)
