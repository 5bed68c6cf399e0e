"""Odd places, planned through the command line and held to every promise of a plan. All of them are invented."""

import json

import numpy as np
import promises
import pytest
from click.testing import CliRunner

from seasonplan.cli import main
from seasonplan.dates import midsummer
from seasonplan.files import load_scenario
from seasonplan.pipeline import build_plan

pytestmark = pytest.mark.usefixtures("remembered_plans")

PLANTS = """name,taxon,count,pot_cm,place,root_bound,pests
Fig,Ficus elastica,2,30,room,yes,none
Lemon,lemon,1,35,room,,scale
Fern,Boston fern,3,20,room,,none
Jade,jade plant,1,15,room,no,none
Moth,moth orchid,4,12,room,,none
Palm,kentia palm,1,28,room,,spider-mite
Violet,African violet,2,10,room,,none
Bay,bay laurel,1,30,room,,none
Calathea,Calathea makoyana,1,18,room,,none
"""
PLACES = """
[[place]]
name = "room"
kind = "indoor"
faces = "{sunny}"
window_width_m = 1.4
window_height_m = 1.3
distance_m = 0.6

[[place]]
name = "porch"
kind = "outdoor"
faces = "east"
wall_behind = true
roof_deg = 55
horizon_deg = 10
night_lift_c = 1.0
room_for = 8

[[place]]
name = "tree"
kind = "outdoor"
leaf_shade = 0.2
horizon_deg = 10
room_for = 9

[[place]]
name = "yard"
kind = "outdoor"
"""


def wave(mean: float, swing: float, peak_month: float = 7.0) -> list[float]:
    """Twelve invented monthly lows: a cosine with its top in the middle of a month."""
    return [round(mean + swing * np.cos(2 * np.pi * (m - peak_month) / 12), 2) for m in range(1, 13)]


MONSOON = [14.0, 16.5, 20.0, 24.0, 26.5, 25.0, 23.0, 22.5, 22.0, 20.0, 16.5, 14.0]
ODD = {
    "north pole": dict(latitude=90, longitude=0, lows=wave(-16, 14)),
    "south pole": dict(latitude=-90, longitude=0, elevation=2800, lows=wave(-45, 15, 1)),
    "arctic town": dict(latitude=70, longitude=25, lows=wave(-3, 11)),
    "equator": dict(latitude=0, longitude=0, lows=wave(22, 0.5)),
    "date line east": dict(latitude=-17, longitude=180, lows=wave(21, 2, 1)),
    "date line west": dict(latitude=52, longitude=-180, lows=wave(4, 5)),
    "high plateau": dict(latitude=-16, longitude=-68, elevation=4000, lows=wave(0, 3.5, 1)),
    "monsoon": dict(latitude=17, longitude=78, lows=MONSOON, highs=[m + 12 for m in MONSOON]),
    "desert": dict(latitude=24, longitude=45, lows=wave(12, 9), highs=[t + 25 for t in wave(12, 9)]),
    "southern summer": dict(latitude=-43, longitude=172, lows=wave(6, 5, 1)),
    "leap year": dict(latitude=45, longitude=10, year=2028, lows=wave(6, 9)),
    "leap year south": dict(latitude=-35, longitude=149, year=2027, lows=wave(7, 7, 1)),
    "hill over its station": dict(latitude=45, longitude=10, elevation=900, station=300, lows=wave(7, 9)),
    "flat sd": dict(latitude=50, longitude=5, lows=wave(6, 6), sd=3.0),
    "any day, careful": dict(latitude=44, longitude=-93, lows=wave(3, 13), policy="careful", move_days="[]"),
}


def folder_of(base, latitude, longitude, lows, elevation=100, station=None, highs=None, year=2027, sd=None,
              policy="carry-in", move_days='["sat", "sun"]'):
    sunny = "south" if latitude >= 0 else "north"
    extra = f"station_elevation_m = {station}\n" if station is not None else ""
    (base / "scenario.toml").write_text(
        f'[site]\nname = "Odd (invented)"\nlatitude = {latitude}\nlongitude = {longitude}\nelevation_m = {elevation}\n'
        f'normals = "normals.csv"\n{extra}\n[rules]\nyear = {year}\npolicy = "{policy}"\nmove_days = {move_days}\n'
        f'pets = true\n' + PLACES.format(sunny=sunny))
    columns = {"tmin_c": lows, "tmin_sd_c": [sd] * 12 if sd else None, "tmax_c": highs}
    columns = {k: v for k, v in columns.items() if v is not None}
    rows = [f"{m + 1}," + ",".join(f"{v[m]:g}" for v in columns.values()) for m in range(12)]
    (base / "normals.csv").write_text("month," + ",".join(columns) + "\n" + "\n".join(rows) + "\n")
    (base / "plants.csv").write_text(PLANTS)
    return base


def run(*args):
    result = CliRunner().invoke(main, [str(a) for a in args])
    assert result.exit_code == 0, (result.output, result.exception)
    return result.stdout


def broken_promises(folder, today="2027-03-01"):
    """Every promise at once, for one scenario folder."""
    from datetime import date

    document = json.loads(run("plan", folder, "--no-page", "--json", "--today", today))
    light = json.loads(run("light", folder, "--json", "--today", today))
    scenario = load_scenario(folder)
    plan = build_plan(scenario, date.fromisoformat(today))
    summer = midsummer(plan.year, scenario.site.latitude_deg)
    return (promises.unaccounted(document) + promises.broken_light(document, light, scenario)
            + promises.crowded(document, scenario) + promises.outside_window(document, plan)
            + promises.contradictions(document, scenario, summer) + promises.twice(document)), document


@pytest.mark.parametrize("name", ODD)
def test_every_promise_is_kept_at_odd_places(name, tmp_path):
    broken, document = broken_promises(folder_of(tmp_path, **ODD[name]))
    assert not broken, broken[:5]
    assert len(document["plants"]) == 9 and all(p["reason"] for p in document["plants"])


def test_poles_keep_plants_in_and_the_equator_lets_them_live_out(tmp_path):
    for name, status in (("north pole", {"stays-in", "day-trips"}), ("equator", {"stays-out", "stays-in"})):
        (tmp_path / name).mkdir()
        _, document = broken_promises(folder_of(tmp_path / name, **ODD[name]))
        assert {p["status"] for p in document["plants"]} <= status


def test_a_window_over_new_year_is_one_stay(tmp_path):
    _, document = broken_promises(folder_of(tmp_path, **ODD["southern summer"]))
    jade = next(p for p in document["plants"] if p["name"] == "Jade")
    assert jade["out"]["date"].startswith("2027") and jade["in"]["date"].startswith("2028")


def test_a_hill_waits_longer_than_its_station(tmp_path):
    dates = []
    for station in (None, 300):
        (tmp_path / str(station)).mkdir()
        odd = dict(ODD["hill over its station"], station=station)
        _, document = broken_promises(folder_of(tmp_path / str(station), **odd))
        dates.append(next(p for p in document["plants"] if p["name"] == "Jade")["out"]["carry_in"])
    assert dates[1] > dates[0]
