"""NIOSH, Applications Manual for the Revised NIOSH Lifting Equation, DHHS (NIOSH) Publication No. 94-110.

The tables of multipliers (Tables 1 to 4 of the manual) are typed in from reprints of its worksheet; Table 7 (coupling)
is from memory. The four lifts of a pot are hand calculations with the same equation.
"""

import pytest

from seasonplan.care import lifting as n

PRINTED = 0.0055
"""Multipliers are printed to two decimals, some worked out for the inches beside the centimetres (D = 130 cm)."""

HM_CM = {25: 1.00, 28: .89, 30: .83, 32: .78, 34: .74, 36: .69, 38: .66, 40: .63, 42: .60, 44: .57, 46: .54, 48: .52,
         50: .50, 52: .48, 54: .46, 56: .45, 58: .43, 60: .42, 63: .40}
VM_CM = {0: .78, 10: .81, 20: .84, 30: .87, 40: .90, 50: .93, 60: .96, 70: .99, 80: .99, 90: .96, 100: .93, 110: .90,
         120: .87, 130: .84, 140: .81, 150: .78, 160: .75, 170: .72, 175: .70}
DM_CM = {25: 1.00, 40: .93, 55: .90, 70: .88, 85: .87, 100: .87, 115: .86, 130: .86, 145: .85, 160: .85, 175: .85}
AM_DEG = {0: 1.00, 15: .95, 30: .90, 45: .86, 60: .81, 75: .76, 90: .71, 105: .66, 120: .62, 135: .57}


@pytest.mark.parametrize("table, multiplier", [(HM_CM, n.horizontal_multiplier), (VM_CM, n.vertical_multiplier),
                                               (DM_CM, n.distance_multiplier), (AM_DEG, n.asymmetry_multiplier)],
                         ids=["horizontal", "vertical", "distance", "asymmetry"])
def test_multipliers_are_the_manuals(table, multiplier):
    assert {at: abs(multiplier(at) - printed) < PRINTED for at, printed in table.items()} == dict.fromkeys(table, True)


def test_beyond_the_tables_nothing_may_be_lifted():
    assert n.horizontal_multiplier(63.1) == n.vertical_multiplier(175.1) == n.distance_multiplier(175.1) == 0
    assert n.asymmetry_multiplier(135.1) == 0
    assert n.horizontal_multiplier(10) == n.distance_multiplier(5) == 1


def test_coupling_is_table_7():
    assert [n.coupling_multiplier(grip, v) for v in (74, 75) for grip in ("good", "fair", "poor")] == [
        1.00, 0.95, 0.90, 1.00, 1.00, 0.90]


def test_the_best_lift_is_the_load_constant():
    assert n.weight_limit_kg(25, 75, 25, "good") == pytest.approx(23.0)


@pytest.mark.parametrize("h, v, d, grip, limit_kg", [
    (40, 20, 60, "poor", 9.7), (50, 15, 60, "poor", 7.6), (30, 20, 60, "fair", 13.6), (35, 75, 25, "fair", 16.4)],
    ids=["arms round a pot", "wide pot", "rim handles", "bench to bench"])
def test_four_lifts_of_a_pot(h, v, d, grip, limit_kg):
    assert n.weight_limit_kg(h, v, d, grip) == pytest.approx(limit_kg, abs=0.06)


def test_a_pot_of_thirty_centimetres_is_the_manuals_reach_of_forty():
    """Below 25 cm of grip height the manual gives H = 25 + W / 2."""
    assert n.pot_lift(30, 1).limit_kg == pytest.approx(n.weight_limit_kg(40, 20, 60, "poor"))
