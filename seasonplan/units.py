"""Conversions between units, and the range in which each quantity can be believed."""

from __future__ import annotations

CM_PER_INCH = 2.54
LITRES_PER_US_GALLON = 3.785411784
KG_PER_POUND = 0.45359237
METRES_PER_FOOT = 0.3048
KM_PER_MILE = 1.609344

MOL_PER_WH = 0.007265
"""Daily light integral per global horizontal energy [mol / Wh]. Faust and Logan 2018, HortScience 53:1250-1257."""
MOL_PER_MJ = MOL_PER_WH * 1e6 / 3600
"""The same per MJ m-2: 2.018 mol."""
UMOL_PER_W = MOL_PER_WH * 1e6 / 3600
"""PPFD per W m-2 of global radiation [umol / J], the same conversion at an instant."""
LUX_PER_UMOL = 54.0
"""Sunlight [lux per umol m-2 s-1]. Thimijan and Heins 1983, HortScience 18:818-822."""
FULL_SUN_HOUR_MOL = 6.5
"""Direct light that counts as one full-sun hour [mol]: an hour of midday sun. Our setting (design agreement)."""
LAPSE_C_PER_M = 0.005
"""Fall of the mean night low with height [°C / m]. At stations left out one by one it errs less than the standard
atmosphere's 6.5 °C per km (tests/truth/estimates.py), which holds for days."""

BELIEVABLE = {
    "tmin_c": (-70.0, 45.0),
    "tmax_c": (-60.0, 60.0),
    "tmin_sd_c": (0.2, 20.0),
    "tmin_lowest_c": (-80.0, 40.0),
    "sunshine_h": (0.0, 24.0),
    "ghi_mj": (0.0, 45.0),
    "pot_cm": (4.0, 150.0),
    "latitude": (-90.0, 90.0),
    "longitude": (-180.0, 180.0),
    "elevation_m": (-450.0, 6000.0),
}
"""Lowest and highest value that is taken as real; outside it the input is a fault, never clamped."""


def fahrenheit_to_c(value_f: float) -> float:
    """°F to °C (exact)."""
    return (value_f - 32.0) * 5.0 / 9.0


def c_to_fahrenheit(value_c: float) -> float:
    """°C to °F (exact)."""
    return value_c * 9.0 / 5.0 + 32.0


def span_f_to_c(value_f: float) -> float:
    """A difference or standard deviation in °F to °C: scale only."""
    return value_f * 5.0 / 9.0


def inches_to_cm(value_in: float) -> float:
    """Inches to centimetres (exact)."""
    return value_in * CM_PER_INCH
