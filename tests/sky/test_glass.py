"""Glass and curtains."""

import numpy as np
import pytest

from seasonplan.data import table
from seasonplan.sky import glass


def test_reflectance_of_one_surface():
    """27.1 % of natural light at 75 degrees on glass of index 1.61 (a worked problem of a physics textbook, seen in a
    formula collection); at right angles ((n - 1) / (n + 1)) squared (Fresnel)."""
    across, along = glass.surface_reflectance(np.array([75.0]), 1.61)
    assert round(float(across[0] + along[0]) / 2, 3) == 0.271
    across, along = glass.surface_reflectance(np.array([0.0]), 1.526)
    assert across[0] == pytest.approx((0.526 / 2.526) ** 2, rel=1e-3)
    assert along[0] == pytest.approx(across[0], rel=1e-3)


def test_brewsters_angle_reflects_nothing_of_one_polarisation():
    assert glass.surface_reflectance(np.degrees(np.arctan([1.526])), 1.526)[1][0] == pytest.approx(0, abs=1e-12)


@pytest.mark.parametrize("glazing", [row["key"] for row in table("glazing")])
def test_light_fades_towards_grazing(glazing):
    cosines = np.cos(np.radians(np.arange(0, 91)))
    passed = glass.glass_transmittance(glazing, cosines)
    stated = {row["key"]: float(row["transmittance_normal"]) for row in table("glazing")}
    assert passed[0] == pytest.approx(stated[glazing], rel=1e-6)
    assert (np.diff(passed) < 1e-12).all() and passed[-1] == pytest.approx(0, abs=1e-6)
    assert passed[50] > 0.9 * passed[0] and 0.3 < passed[75] / passed[0] < 0.8
    assert glass.glass_transmittance(glazing, np.array([-0.2, 0.0])) == pytest.approx([0, 0])


def test_more_panes_pass_less_at_every_angle():
    cosines = np.linspace(0.05, 1, 50)
    passed = [glass.glass_transmittance(name, cosines) for name in ("single", "double", "low-e", "triple")]
    assert all((thick < thin).all() for thin, thick in zip(passed, passed[1:], strict=False))


def test_darker_glass_loses_more_along_a_slanting_path():
    """Twice the absorbance squares what absorption lets through at every angle, whatever the surfaces reflect."""
    angles = np.array([30.0, 60.0, 75.0])
    clear, dark, darker = (glass.pane_transmittance(angles, 1, normal, 1.526) for normal in (0.9, 0.45, 0.225))
    assert (np.diff(dark / clear) < -0.005).all() and (dark / clear)[0] < 0.5
    assert darker / dark == pytest.approx(dark / clear)


def test_curtains_split_what_they_let_through():
    assert glass.curtain_shares("none") == (1.0, 1.0)
    assert [glass.curtain_shares(name)[0] for name in (row["key"] for row in table("curtains"))] == [1.0, 0.6, 0.15]
    assert 1 > glass.curtain_shares("sheer")[1] > glass.curtain_shares("blind")[1] == 0


@pytest.mark.parametrize("call", [lambda: glass.curtain_shares("velvet"),
                                  lambda: glass.glass_transmittance("ice", np.ones(1))])
def test_an_unknown_name_says_what_is_allowed(call):
    with pytest.raises(ValueError, match="allowed: .*(double|sheer)"):
        call()
