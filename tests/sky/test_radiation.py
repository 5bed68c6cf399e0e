"""FAO-56 equations at the edges of the Earth."""

import numpy as np
import pytest

from seasonplan.sky import radiation

DAYS = np.arange(1, 367)


@pytest.mark.parametrize("latitude", (-90.0, -67.0, -23.4, 0.0, 23.4, 67.0, 90.0))
def test_no_nan_anywhere(latitude):
    above, hours = radiation.extraterrestrial_mj(latitude, DAYS), radiation.daylight_hours(latitude, DAYS)
    assert np.isfinite(above).all() and above.min() >= 0 and above.max() < 52
    assert np.isfinite(hours).all() and hours.min() >= 0 and hours.max() <= 24
    assert np.isfinite(radiation.from_sunshine_mj(hours / 2, hours, above)).all()


def test_polar_day_and_night():
    assert radiation.daylight_hours(80.0, 172) == pytest.approx(24) and radiation.daylight_hours(80.0, 355) == 0
    assert radiation.extraterrestrial_mj(80.0, 355) == 0
    assert radiation.from_sunshine_mj(5.0, 0.0, 0.0) == 0


def test_hemispheres_mirror_half_a_year_apart():
    """But for the Earth's distance, which is 3.3 % nearer in January by eq. 23."""
    north = radiation.extraterrestrial_mj(40.0, DAYS) / radiation.inverse_distance(DAYS)
    south = radiation.extraterrestrial_mj(-40.0, (DAYS + 182) % 365 + 1) / radiation.inverse_distance(
        (DAYS + 182) % 365 + 1)
    assert np.abs(north - south).max() < 0.6


def test_sunshine_and_range_raise_the_estimate():
    assert radiation.from_sunshine_mj(0.0, 12.0, 40.0) == pytest.approx(10.0)
    assert radiation.from_sunshine_mj(12.0, 12.0, 40.0) == pytest.approx(30.0)
    assert radiation.from_temperature_mj(16.0, 0.0, 10.0, 0.16) == pytest.approx(6.4)
    assert radiation.from_temperature_mj(10.0, 10.0, 40.0, 0.16) == 0


def test_a_day_colder_than_its_night_is_refused():
    with pytest.raises(ValueError, match="below"):
        radiation.from_temperature_mj([20.0, 3.0], [10.0, 4.0], 30.0, 0.16)


def test_dull_skies_are_all_diffuse_and_clear_ones_little():
    """Values of the two cubics at clearness 0.5: 0.391 and 0.429 (our arithmetic from the published coefficients)."""
    assert radiation.diffuse_share(0.5, np.radians(70)) == pytest.approx(0.391, abs=1e-3)
    assert radiation.diffuse_share(0.5, np.radians(100)) == pytest.approx(0.429, abs=1e-3)
    share = radiation.diffuse_share(np.linspace(0, 1, 101), np.radians(100))
    assert (np.diff(share) <= 1e-12).all() and 0.1 < share.min() < 0.2 and 0.6 < share.max() < 0.8
