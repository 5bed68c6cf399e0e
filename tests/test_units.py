"""Conversions against fixed points of the scales, and constants against what defines them."""

import pytest

from seasonplan import units


@pytest.mark.parametrize(("celsius", "fahrenheit"), [(0, 32), (100, 212), (-40, -40), (37, 98.6)])
def test_the_two_scales_of_temperature(celsius, fahrenheit):
    """The freezing and boiling points of water define both; they meet at -40."""
    assert units.c_to_fahrenheit(celsius) == pytest.approx(fahrenheit, abs=1e-12)
    assert units.fahrenheit_to_c(fahrenheit) == pytest.approx(celsius, abs=1e-12)


def test_a_span_has_no_zero_point():
    assert units.span_f_to_c(9) == 5 and units.span_f_to_c(0) == 0


def test_lengths_volumes_and_weights_as_they_are_defined():
    """International yard and pound, 1959: the inch is 2.54 cm, the foot 12 of them, the pound 0.45359237 kg; the US
    gallon is 231 cubic inches."""
    assert units.inches_to_cm(2) == 5.08 and pytest.approx(12 * units.CM_PER_INCH / 100) == units.METRES_PER_FOOT
    assert pytest.approx(231 * units.CM_PER_INCH**3 / 1000) == units.LITRES_PER_US_GALLON
    assert units.KG_PER_POUND == 0.45359237
    assert pytest.approx(5280 * units.METRES_PER_FOOT / 1000) == units.KM_PER_MILE


def test_night_lows_fall_with_height():
    """5 °C a kilometre, the design's figure; tests/truth/estimates.py measures what other figures would do."""
    assert units.LAPSE_C_PER_M * 1000 == 5


def test_light_and_energy():
    """1 MJ is 277.8 Wh; 2.02 umol in a joule of global radiation (Faust and Logan 2018: 2.0 to 2.1)."""
    assert pytest.approx(0.007265 * 1000 / 3.6) == units.MOL_PER_MJ
    assert 2.0 < units.UMOL_PER_W < 2.1
    assert units.UMOL_PER_W == units.MOL_PER_MJ == pytest.approx(2.018055555, rel=1e-9)
    assert units.LUX_PER_UMOL == 54.0                 # Thimijan and Heins 1983, table of conversions: sunlight


def test_what_is_believed_holds_the_records_of_the_earth():
    """World Meteorological Organization, archive of extremes: air from -89.2 °C (Vostok, no garden) to 56.7 °C; the
    coldest inhabited places have monthly mean lows near -50 °C (memory)."""
    for name, values in {"tmin_c": (-55, 40), "tmax_c": (-50, 56.7), "tmin_sd_c": (0.5, 15), "sunshine_h": (0, 24),
                         "ghi_mj": (0, 40), "pot_cm": (5, 120), "latitude": (-90, 90), "longitude": (-180, 180),
                         "elevation_m": (-430, 5500)}.items():
        low, high = units.BELIEVABLE[name]
        assert low <= values[0] and values[1] <= high, name


def test_limits_that_nature_sets_and_those_that_are_settings():
    """A day has 24 hours and light is not negative; the others say what a message calls "allowed"."""
    assert units.BELIEVABLE == {
        "tmin_c": (-70, 45), "tmax_c": (-60, 60), "tmin_sd_c": (0.2, 20),
        "tmin_lowest_c": (-80, 40), "sunshine_h": (0, 24), "ghi_mj": (0, 45),
        "pot_cm": (4, 150), "latitude": (-90, 90), "longitude": (-180, 180), "elevation_m": (-450, 6000)}
    assert units.FULL_SUN_HOUR_MOL == 6.5             # the agreement's
