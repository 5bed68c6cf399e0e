"""The files of a new folder: units of the country, own figures, and the mark by which a change by hand is noticed."""

import csv
import io

from seasonplan.model.begun import Answers, NewPlace, NewPlant, Whereabouts
from seasonplan.outputs.new_scenario import kept_answers, scenario_files

FIG = NewPlant("fig", "ficus-carica", "sun", 2, 30.48, place="south window")
OWN = NewPlant("x", "x", "sun", own=(9.96, 13.96, 40.0))
NEAR = Whereabouts("", "near Ash", 40.5, -93.25, imperial=True)


def plants(where, *some):
    return list(csv.DictReader(io.StringIO(scenario_files(Answers(where, some), {}, 2027)["plants.csv"].decode())))


def test_pots_are_written_in_the_unit_of_the_country():
    [row] = plants(NEAR, FIG)
    assert (row["pot_in"], row["count"], row["place"], "pot_cm" in row, "harm_c" in row) == (
        "12", "2", "south window", False, False)
    [row] = plants(Whereabouts("Leeds, GB", "Leeds", 53.8, -1.5), FIG)
    assert row["pot_cm"] == "30.5"


def test_a_plant_of_no_table_brings_its_own_figures():
    fig, own = plants(NEAR, FIG, OWN)
    assert fig["harm_c"] == "" and (own["harm_c"], own["comfort_c"], own["light_high_mol"]) == ("9.96", "14", "40")


def test_a_place_says_what_its_shade_is_of():
    spot = NewPlace("under a birch", "outdoor", (("leaf_shade", 0.24),), "birch: so much comes through")
    text = scenario_files(Answers(NEAR, (FIG,), outdoors=(spot,)), {}, 2027)["scenario.toml"].decode()
    assert "leaf_shade = 0.24   # birch: so much comes through\n" in text
    assert 'name = "near Ash"\nlatitude = 40.5\nlongitude = -93.25\n' in text and "from = 2027-07-10" in text


def test_a_change_by_hand_is_noticed():
    typed = {"where": "40.5, -93.25", "plants": "2 figs"}
    files = scenario_files(Answers(NEAR, (FIG,)), typed, 2027)
    toml, rows = files["scenario.toml"], files["plants.csv"]
    assert kept_answers(toml, rows) == (typed, True)
    assert kept_answers(toml.replace(b"near Ash", b"Ashes"), rows) == (typed, False)
    assert kept_answers(toml, rows.replace(b"fig", b"big fig")) == kept_answers(toml, None) == (typed, False)
    assert kept_answers(scenario_files(Answers(NEAR, (FIG,)), {}, 2027)["scenario.toml"], rows)[0] == {}
