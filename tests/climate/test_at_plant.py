"""The one low at the plants, and the share of nights on which open ground is colder."""

from dataclasses import replace
from pathlib import Path

import numpy as np
import pvlib
import pytest

from seasonplan.climate.at_plant import DENSE_LEAVES, clear_share, loses_to_sky, plant_shift, usual_lift_c
from seasonplan.climate.curves import normal_chance
from seasonplan.climate.fitted import fitted
from seasonplan.model import Place
from seasonplan.weather.night_hours import CALM_M_S, CLEAR_PERCENT

LAWN = Place("lawn", "outdoor")
PORCH = Place("porch", "outdoor", night_lift_c=1.0, roof_deg=50.0)
TREE = Place("tree", "outdoor", leaf_shade=0.3)
WALL = replace(LAWN, night_lift_c=1.5)
HOLLOW = replace(LAWN, night_lift_c=-1.0)


@pytest.mark.parametrize(("place", "loses"), [
    (LAWN, True), (PORCH, False), (TREE, False), (replace(TREE, leaf_shade=0.7), True),
    (replace(TREE, leaf_shade=DENSE_LEAVES), True), (replace(PORCH, roof_deg=90.0), True),
    (replace(PORCH, roof_deg=89.5), False),
    (Place("window", "indoor"), False)])
def test_open_places_lose_warmth_to_the_sky_and_those_under_a_roof_or_crown_keep_it(place, loses):
    assert loses_to_sky(place) is loses


@pytest.mark.parametrize(("place", "ordinary", "clear"), [
    (LAWN, 0.0, -2.0), (WALL, 1.5, -0.5), (PORCH, 1.0, 1.0), (TREE, 0.0, 0.0), (HOLLOW, -1.0, -2.0),
    (replace(LAWN, night_lift_c=-2.0), -2.0, -2.0), (replace(LAWN, night_lift_c=-3.0), -3.0, -3.0)])
def test_a_lift_is_added_to_open_ground_and_its_cold_is_not_counted_twice(place, ordinary, clear):
    shift = plant_shift(place)
    assert (shift.ordinary_c, shift.clear_c) == (ordinary, clear)
    assert (shift.on(False), shift.on(True)) == (ordinary, clear)
    assert shift.on(None) == pytest.approx(ordinary + clear_share(None) * (clear - ordinary))


@pytest.mark.parametrize("place", [LAWN, WALL, HOLLOW, PORCH])
@pytest.mark.parametrize("sd_c", [2.0, 4.0, 6.0])
def test_the_usual_lift_gives_as_many_harmful_nights_as_the_mixture_of_skies(place, sd_c):
    """Where windows open and close, 4 to 10 % of nights are harmful: there the one lift stands for both kinds."""
    shift, share = plant_shift(place), clear_share(None)
    levels = shift.on(None) + sd_c * np.array([-1.8, -1.5, -1.2])
    mixed = (1 - share) * normal_chance((levels - shift.ordinary_c) / sd_c) + \
        share * normal_chance((levels - shift.clear_c) / sd_c)
    single = normal_chance((levels - usual_lift_c(place, sd_c)) / sd_c)
    assert single == pytest.approx(mixed, rel=0.12)


def test_the_usual_share_is_that_of_typical_years():
    """Source: TMY3 and TMY2 files that ship with pvlib (Sand Point, Greensboro, Miami)."""
    shares = [clear_calm_nights(name) for name in ("703165TY.csv", "723170TYA.CSV", "12839.tm2")]
    assert shares == pytest.approx([0.05, 0.23, 0.12], abs=0.01)
    assert fitted("clear_calm_share") == pytest.approx(np.mean(shares), abs=0.03)


def clear_calm_nights(name: str) -> float:
    path = Path(pvlib.__file__).parent / "data" / name
    if name.endswith("tm2"):
        table, _ = pvlib.iotools.read_tmy2(path)
        wind, cloud = table["Wspd"].to_numpy(float) / 10, table["TotCld"].to_numpy(float) * 10
    else:
        table, _ = pvlib.iotools.read_tmy3(path, map_variables=False, coerce_year=2001)
        wind, cloud = table["Wspd (m/s)"].to_numpy(float), table["TotCld (tenths)"].to_numpy(float) * 10
    nights = np.arange(364)[:, None] * 24 + np.arange(18, 33)
    return float(((wind[nights].mean(axis=1) <= CALM_M_S) & (cloud[nights].mean(axis=1) <= CLEAR_PERCENT)).mean())
