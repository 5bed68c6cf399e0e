"""The five scenarios that ship with the program: invented, said to be so, and different where it matters."""

from pathlib import Path

import pytest

from seasonplan.files import load_scenario
from seasonplan.inputs.pests import pest_keys

FOLDERS = sorted(path.parent for path in (Path(__file__).parents[2] / "scenarios").glob("*/scenario.toml"))
MOST_RECORD_BYTES = 250_000


@pytest.fixture(scope="module")
def scenarios():
    return {folder.name: load_scenario(folder) for folder in FOLDERS}


def test_there_are_five(scenarios):
    assert len(scenarios) == 5


@pytest.mark.parametrize("folder", FOLDERS, ids=lambda folder: folder.name)
def test_each_says_that_it_is_invented(folder, scenarios):
    text = (folder / "scenario.toml").read_text(encoding="utf-8")
    assert "invented for demonstration" in text.split("[site]")[0]
    assert "invented" in scenarios[folder.name].site.name
    assert 12 <= len(scenarios[folder.name].plants) <= 40
    assert scenarios[folder.name].rules.year is not None


def test_together_they_show_what_there_is(scenarios):
    every = list(scenarios.values())
    plants = [plant for scenario in every for plant in scenario.plants]
    assert {scenario.rules.units for scenario in every} == {"metric", "imperial"}
    assert {scenario.rules.policy for scenario in every} == {"careful", "carry-in"}
    assert {plant.pests for plant in plants} == set(pest_keys())
    assert {plant.taxon.group for plant in plants} >= {"foliage", "flowering", "citrus", "palm", "fern", "succulent",
                                                       "cactus", "orchid", "bromeliad", "herb-like"}
    assert {plant.taxon.summer_outdoors for plant in plants} == {"yes", "sheltered", "no"}
    assert {plant.root_bound for plant in plants} >= {True, False}
    assert any(plant.last_leached for plant in plants) and any(plant.pot_cm >= 38 for plant in plants)
    assert any(scenario.log for scenario in every) and any(scenario.record is not None for scenario in every)
    assert any(scenario.site.latitude_deg < 0 for scenario in every)
    for given in ("tmin_sd_c", "tmax_c", "sunshine_h", "ghi_mj"):
        assert any(getattr(scenario.normals, given) is not None for scenario in every), given


def test_the_climates_are_what_they_are_meant_to_be(scenarios):
    lows = {name: scenario.normals.tmin_c for name, scenario in scenarios.items()}
    assert min(lows["fallowmere"]) < -10 and max(lows["skerry-head"]) < 11 and min(lows["heron-cay"]) > 10
    assert lows["wattle-bend"][0] > lows["wattle-bend"][6]
    record = scenarios["upper-tarn"].record
    assert len(record.dates) > 15 * 365 and scenarios["upper-tarn"].site.elevation_m > 1200
    assert next(folder for folder in FOLDERS if folder.name == "upper-tarn").joinpath(
        "nights.csv").stat().st_size < MOST_RECORD_BYTES


def test_the_main_one_has_a_forecast_with_a_late_frost():
    lines = next(folder for folder in FOLDERS if folder.name == "fallowmere").joinpath(
        "forecast.csv").read_text(encoding="utf-8").splitlines()
    lows = dict(line.split(",") for line in lines[1:])
    assert float(lows["2027-06-03"]) < 0
