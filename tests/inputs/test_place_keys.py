"""Every key of a place is read, refused when wrong, told in the README and heeded: what is forgotten for a new one."""

from datetime import date
from pathlib import Path

import numpy as np
import pytest
from invented import make_normals, make_site
from invented_files import NORMALS, PLANTS, SITE, ZONE, faults_of, read

from seasonplan.climate.at_plant import plant_shift
from seasonplan.inputs import places
from seasonplan.sky.daylight import daylight

ROOM = 'faces = "s"\nwindow_width_m = 1.4\nwindow_height_m = 1.3\nsill_m = 0.1\ndistance_m = 1.0\n'
YARD = 'faces = "e"\nwall_behind = true\n'
LIGHT = {
    "faces": '"n"', "horizon_deg": "25", "wall_behind": "true", "roof_deg": "50", "leaf_shade": "0.3",
    "window_width_m": "0.6", "window_height_m": "0.5", "sill_m": "0.9", "distance_m": "2.5", "glazing": '"single"',
    "curtain": '"blind"', "measured_lux": "500", "measured_dli": "0.4"}
"""Keys that change a place's light, each with a value that must."""
NIGHTS, ROOMS, NAMES = {"night_lift_c": "2"}, {"room_for": "1"}, {"name": "", "kind": ""}


def toml(key, value, kind="outdoor"):
    """A garden whose indoor or outdoor place has the key, or, value None, has all but it."""
    base = ROOM if kind == "indoor" else YARD if key in ("faces", "roof_deg") else ""
    lines = [line for line in base.splitlines() if line.split(" ")[0] != key]
    lines += [] if value is None else [f"{key} = {value}"]
    told = "\n".join(lines)
    room = told if kind == "indoor" else ROOM
    yard = told if kind == "outdoor" else YARD
    return (SITE + ZONE + f'[[place]]\nname = "south window"\nkind = "indoor"\n{room}\n'
            f'[[place]]\nname = "yard"\nkind = "outdoor"\n{yard}\n')


def light_of(text, kind):
    scenario = read(text, PLANTS, NORMALS)
    place = next(place for place in scenario.places if place.kind == kind)
    found = daylight(make_site(), [place], make_normals(), [date(2027, 1, 21), date(2027, 6, 21)])
    return np.concatenate([found.clear_dli[0], found.peak_ppfd[0]])


def kinds_of(key):
    return [kind for kind, keys in (("outdoor", places.OUTDOOR_KEYS), ("indoor", places.INDOOR_KEYS))
            if key in (*places.COMMON_KEYS, *keys)]


def test_every_key_has_its_row_here():
    assert {*LIGHT, *NIGHTS, *ROOMS, *NAMES} == {*places.COMMON_KEYS, *places.OUTDOOR_KEYS, *places.INDOOR_KEYS}
    assert {*places.CHECKS, "faces", "name", "kind"} == {*LIGHT, *NIGHTS, *ROOMS, *NAMES}


@pytest.mark.parametrize("key", [*LIGHT, *NIGHTS, *ROOMS, *NAMES])
def test_the_readme_names_it(key):
    readme = (Path(__file__).parents[2] / "README.md").read_text(encoding="utf-8")
    assert f"`{key}`" in readme or f"{key} = " in readme


@pytest.mark.parametrize("key", [*LIGHT, *NIGHTS, *ROOMS])
def test_a_wrong_value_is_refused_by_its_name_and_line(key):
    for kind in kinds_of(key):
        text = toml(key, "[]", kind)
        line = next(n for n, told in enumerate(text.splitlines(), 1) if told == f"{key} = []")
        faults = faults_of(text, PLANTS, NORMALS)
        assert len(faults) == 1 and faults[0].startswith(f"scenario.toml:{line}: ") and key in faults[0], faults


@pytest.mark.parametrize(("key", "kind"), [(key, kind) for key in LIGHT for kind in kinds_of(key)])
def test_a_light_key_changes_the_light(key, kind):
    before = light_of(toml(key, '"e"' if key == "faces" else None, kind), kind)
    assert not np.allclose(before, light_of(toml(key, LIGHT[key], kind), kind), rtol=0.02)


def test_the_other_keys_move_nights_and_hold_pots():
    scenario = read(toml("night_lift_c", "2") + "room_for = 1\n", PLANTS, NORMALS)
    yard = next(place for place in scenario.places if place.name == "yard")
    assert plant_shift(yard).ordinary_c == 2.0 and yard.room_for == 1
