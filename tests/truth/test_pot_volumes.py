"""Pots and mixes: geometry of a cut-off cone; wet densities of the University of Arkansas, Greenhouse Management
Online, Unit 7, Table 1 (dry density plus water held); 2 x pot volume to leach, J. Browning, newspaper column of
16 January 2021. The litres of standard nursery pots are common practice, no source.
"""

from math import log, pi

import pytest

from seasonplan.care import amounts as a
from seasonplan.data import table
from seasonplan.units import CM_PER_INCH

PRINTED_L = 0.06
"""The geometry column is printed to 0.1 L."""
GEOMETRY_SHARE = 0.02
"""And its larger values to three digits."""
LITRES_DIGIT = {True: 0.5, False: 0.051}
"""Half of the last printed digit: whole litres (True) from 13 in up, tenths below."""
WET_KG_PER_L = {"80 peat 20 perlite": 0.79, "50 peat 50 bark": 0.71, "80 coir 20 perlite": 0.82}
KG_OF_MIX = {(6, 0.71): 1.3, (8, 0.71): 3.2, (10, 0.71): 5.7, (12, 0.71): 9.6, (14, 0.71): 15, (16, 0.71): 20,
             (6, 0.80): 1.5, (8, 0.80): 3.6, (10, 0.80): 6.4, (12, 0.80): 10.8, (14, 0.80): 17, (16, 0.80): 22,
             (6, 0.95): 1.8, (8, 0.95): 4.3, (10, 0.95): 7.6, (12, 0.95): 12.8, (14, 0.95): 20, (16, 0.95): 27}


def cone_l(cm, base_share=0.7):
    """A full-depth pot filled to the brim [L]: height = top diameter, base 0.7 of it."""
    base = base_share * cm
    return pi * cm / 12 * (cm**2 + cm * base + base**2) / 1000


def rows():
    return [(float(r["nominal_in"]) * CM_PER_INCH, r) for r in table("pots")]


def test_the_geometry_column_is_the_cone():
    for cm, row in rows():
        printed = float(row["geometry_l"])
        assert cone_l(cm) == pytest.approx(printed, abs=PRINTED_L, rel=GEOMETRY_SHARE)
        assert a.pot_volume_l(cm, "geometry") == pytest.approx(printed)


def test_interpolated_rows_are_log_log_between_their_neighbours():
    """Each row that is not from the page itself lies on the line between the sizes that are."""
    sure = [(cm, float(r["standard_l"])) for cm, r in rows() if r["source"].startswith("common practice")]
    for cm, row in rows():
        if row["source"].startswith("interpolated"):
            (x0, y0), (x1, y1) = max(s for s in sure if s[0] < cm), min(s for s in sure if s[0] > cm)
            share = log(cm / x0) / log(x1 / x0)
            assert float(row["standard_l"]) == pytest.approx(y0 * (y1 / y0) ** share,
                                                            abs=LITRES_DIGIT["." not in row["standard_l"]])


def test_azalea_pots_hold_three_quarters():
    for _, row in rows():
        assert float(row["azalea_l"]) == pytest.approx(
            0.75 * float(row["standard_l"]), abs=LITRES_DIGIT["." not in row["standard_l"]])


def test_leaching_is_twice_the_pot_at_every_size_of_the_table():
    for cm, row in rows():
        assert a.leach_l(cm) == pytest.approx(2 * float(row["standard_l"]))


def test_the_general_mix_lies_among_the_measured_ones():
    used = a.mix_for("foliage").wet_kg_per_l
    assert min(WET_KG_PER_L.values()) < used < max(WET_KG_PER_L.values())


def test_weights_of_wet_mix_are_those_worked_out_by_hand():
    for (inches, density), kg in KG_OF_MIX.items():
        assert a.mix_weight_kg(inches * CM_PER_INCH, density) == pytest.approx(kg, rel=0.04)
