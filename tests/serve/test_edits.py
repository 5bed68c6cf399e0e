"""Rows and places changed as text: what was not touched stays as it was."""

from __future__ import annotations

import tomllib

import pytest

from seasonplan.errors import InputFaults
from seasonplan.serve import edits, field_words
from seasonplan.serve.edits import place_values, plant_values, readings_file, with_place, with_plant, with_reading

PLANTS = b'name,taxon,count,place,notes\n"Fig, big",ficus,1,hall,"a ""good"" one"\nIvy,ivy,3,hall,\n'
TOML = b"""# mine
[site]
name = "Yard"   # here

[[place]]
name = "hall"   # the long one
kind = "indoor"
curtain = "none"

[[place]]
name = "lawn"
kind = "outdoor"
horizon_deg = 20  # the fence
wall_behind = true

[rules]
pets = true
"""


def test_one_row_changes_and_the_others_stay():
    changed = with_plant(PLANTS, "Ivy", {"count": "2", "notes": "two, now"})
    assert changed == PLANTS.replace(b"Ivy,ivy,3,hall,", b'Ivy,ivy,2,hall,"two, now"')


def test_a_plant_more_and_a_column_more():
    changed = with_plant(PLANTS, "", {"name": "Fern", "taxon": "fern", "count": "1", "place": "hall",
                                      "arrived": "2027-05-29"})
    lines = changed.decode().splitlines()
    assert lines[0] == "name,taxon,count,place,notes,arrived" and lines[-1] == "Fern,fern,1,hall,,2027-05-29"
    assert plant_values(changed, "Fern")["arrived"] == "2027-05-29" and plant_values(changed, "nobody") == {}


@pytest.mark.parametrize("data", [
    PLANTS.replace(b",", b";").replace(b'"Fig; big"', b"Fig"),
    b"sep=;\r\nname;taxon;count;place;notes\r\nIvy;ivy;3;hall;\r\n",
    "\ufeff".encode() + PLANTS, PLANTS.decode().encode("utf-16"), PLANTS + b"\n\n,,,,\n"])
def test_the_files_own_manners_are_kept(data):
    changed = with_plant(data, "Ivy", {"count": "2"})
    assert plant_values(changed, "Ivy")["count"] == "2" and plant_values(data, "Ivy")["count"] == "3"
    assert changed[:4] == data[:4] and (b";" in changed) == (b";" in data) and (b"\r\n" in changed) == (b"\r\n" in data)


def test_a_row_that_is_gone_is_told():
    with pytest.raises(InputFaults, match="no plant 'Oak' any more"):
        with_plant(PLANTS, "Oak", {"count": "2"})


def test_a_place_changes_and_nothing_else_does():
    changed = with_place(TOML, "lawn", {"horizon_deg": "25", "wall_behind": "", "room_for": "12", "faces": "south"})
    assert changed.decode() == TOML.decode().replace("horizon_deg = 20  # the fence\nwall_behind = true\n",
                                                     'horizon_deg = 25  # the fence\nroom_for = 12\nfaces = "south"\n')
    assert place_values(changed, "lawn") == {"name": "lawn", "kind": "outdoor", "horizon_deg": "25", "room_for": "12",
                                             "faces": "south"}


def test_a_place_more():
    changed = with_place(TOML, "", {"name": 'the "new" step', "kind": "outdoor", "leaf_shade": "0.5",
                                    "wall_behind": "no"})
    places = tomllib.loads(changed.decode())["place"]
    assert places[-1] == {"name": 'the "new" step', "kind": "outdoor", "leaf_shade": 0.5, "wall_behind": False}
    assert changed.startswith(TOML) and tomllib.loads(changed.decode())["rules"] == {"pets": True}


@pytest.mark.parametrize("value", ['12"]\n[rules]\npets = false\nx = "', "1e3 # x", "nan", "1\n2"])
def test_no_value_breaks_out_of_its_key(value):
    changed = tomllib.loads(with_place(TOML, "lawn", {"room_for": value}).decode()) if "\n" not in value else None
    if changed is not None:
        assert changed["rules"] == {"pets": True} and changed["place"][1]["room_for"] == value
    else:
        with pytest.raises((InputFaults, tomllib.TOMLDecodeError)):
            with_place(TOML, "lawn", {"room_for": value})


def test_a_place_that_is_written_otherwise_is_left_alone():
    inline = b'place = [{name = "lawn", kind = "outdoor"}]\n'
    with pytest.raises(InputFaults, match="cannot be found as a block"):
        with_place(inline, "lawn", {"room_for": "3"})


@pytest.mark.parametrize(("data", "low", "imperial", "line"), [
    (None, "3.5", False, "date,place,tmin_c\n2027-05-29,lawn,3.5\n"),
    (None, "41", True, "date,place,tmin_f\n2027-05-29,lawn,41\n"),
    (b"date,place,tmin_c\n", "41", True, "date,place,tmin_c\n2027-05-29,lawn,5.0\n"),
    (b"tmin_f;date;place", "5", False, "tmin_f;date;place\n41.0;2027-05-29;lawn\n"),
    (b"", "cold", False, "date,place,tmin_c\n2027-05-29,lawn,cold\n")])
def test_a_reading_more_in_the_tables_own_manner(data, low, imperial, line):
    assert with_reading(data, "2027-05-29", "lawn", low, imperial).decode() == line


def test_readings_go_into_the_file_that_the_scenario_names():
    assert readings_file(TOML) == "readings.csv"
    assert readings_file(TOML.replace(b"[site]", b'[site]\nreadings = "mine.csv"')) == "mine.csv"
    with pytest.raises(InputFaults, match="no file in the garden's folder"):
        readings_file(TOML.replace(b"[site]", b'[site]\nreadings = "../../etc/passwd"'))


def test_every_field_of_a_form_has_words_of_its_own():
    for key in {*edits.PLANT_FIELDS, *edits.PLACE_FIELDS["outdoor"], *edits.PLACE_FIELDS["indoor"]}:
        assert key in field_words.WORDS, key
