"""plants.csv: rows joined with the catalogue, own values, and names of every kind."""

import time
from datetime import date

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from invented import make_plant, make_taxon
from invented_files import PLACES, SITE, ZONE, faults_of, read

from seasonplan.inputs import catalogue
from seasonplan.inputs.plants import hardened_from

HEADER = "name,taxon,count,pot_cm,place"
TOML = SITE + ZONE + PLACES


def plants(text, toml=TOML):
    return read(toml, text).plants


def one(line, header=HEADER, toml=TOML):
    [plant] = plants(f"{header}\n{line}\n", toml)
    return plant


def test_a_row_takes_what_it_does_not_say_from_the_catalogue():
    plant, lemon = one("Big one,Meyer lemon,1,38,south window"), catalogue.match("lemon")
    assert plant.taxon is lemon
    assert (plant.harm_c, plant.comfort_c) == (lemon.harm_c, lemon.comfort_c)
    assert plant.light_high_mol == lemon.light_high_mol
    assert (plant.pests, plant.notes, plant.last_repotted, plant.root_bound, plant.line) == ("none", "", None, None, 2)


def test_every_column_is_read():
    plant = one('Lemon,lemon,3,38,south window,2025-05-10,2026-06-01,yes,scale,4,9,30,"two\nlines, and a comma"',
                HEADER + ",last_repotted,last_leached,root_bound,pests,harm_c,comfort_c,light_high_mol,notes")
    assert (plant.count, plant.pot_cm, plant.place) == (3, 38, "south window")
    assert (plant.last_repotted, plant.last_leached, plant.root_bound) == (date(2025, 5, 10), date(2026, 6, 1), True)
    assert (plant.pests, plant.harm_c, plant.comfort_c, plant.light_high_mol) == ("scale", 4, 9, 30)
    assert plant.notes == "two\nlines, and a comma"


def test_inches_and_fahrenheit():
    plant = one("Lemon,lemon,1,15,south window,41,50", "name,taxon,count,pot_in,place,harm_f,comfort_f")
    assert plant.pot_cm == pytest.approx(38.1)
    assert (plant.harm_c, plant.comfort_c) == (pytest.approx(5), pytest.approx(10))


def test_a_threshold_of_zero_is_a_threshold():
    assert one("Lemon,lemon,1,30,south window,0", HEADER + ",harm_c").harm_c == 0


def test_places_are_found_beyond_case_and_given_back_as_written():
    assert one("Lemon,lemon,1,30, South  WINDOW").place == "south window"


def test_a_pot_of_unknown_size_is_an_assumption():
    found = read(TOML, f"{HEADER}\nLemon,lemon,1,,south window\nFig,weeping fig,1,20,south window\n")
    assert found.plants[0].pot_cm is None
    assert any("Pot size not given for 1 of 2" in note for note in found.assumptions)


def test_an_unknown_plant_with_its_own_thresholds_gets_careful_defaults():
    found = read(TOML, f"{HEADER},harm_c,comfort_c,light_high_mol\nGift,Zzyzx quux,1,20,south window,9,13,1.5\n")
    plant, taxon = found.plants[0], found.plants[0].taxon
    assert (plant.harm_c, plant.comfort_c, plant.light_high_mol) == (9, 13, 1.5)
    assert (taxon.key, taxon.botanical, taxon.sun) == ("zzyzx-quux", "Zzyzx quux", "shade")
    assert (taxon.summer_outdoors, taxon.moisture, taxon.soap_sensitive) == ("sheltered", "even", "unknown")
    assert (taxon.toxic_pets, taxon.freeze_kill, taxon.cuttings) == ("toxic", True, "none")
    assert taxon.light_low_mol <= taxon.light_high_mol == 1.5
    assert any("Zzyzx quux is not in the catalogue" in note for note in found.assumptions)


@pytest.mark.parametrize("own", ["9,", ",13"])
def test_one_threshold_is_not_enough_for_an_unknown_plant(own):
    [found] = faults_of(TOML, f"{HEADER},harm_c,comfort_c\nGift,Zzyzx quux,1,20,south window,{own}\n")
    assert "both harm_c and comfort_c" in found


@pytest.mark.parametrize("own, hardened_c", [("", 7.0), ("12", 9.0), ("9", 7.0), ("8", 7.0), ("6", 6.0), ("2", 2.0)])
def test_a_harm_of_your_own_takes_the_hardened_one_along_but_never_below_the_catalogues(own, hardened_c):
    taxon = make_taxon(harm_c=10.0, harm_hardened_c=7.0)
    assert hardened_from(taxon, float(own or 10)) == hardened_c


def test_both_harms_can_be_given_and_the_hardened_one_alone():
    header = HEADER + ",harm_f,harm_hardened_f"
    both = one("Gift,pothos,1,20,south window,50,41", header)
    assert both.harm_c == pytest.approx(10) and both.harm_hardened_c == pytest.approx(5)
    alone = one("Gift,pothos,1,20,south window,,46.4", header)
    assert alone.harm_c == alone.taxon.harm_c and alone.harm_hardened_c == pytest.approx(8)


@pytest.mark.parametrize("days, low_c", [(0, 10.0), (14, 10.0), (28, 8.0), (42, 6.0), (200, 6.0)])
def test_harm_moves_from_fresh_to_hardened_between_the_second_and_the_sixth_week(days, low_c):
    assert make_plant(harm_c=10.0, harm_hardened_c=6.0).harm_after_c(days) == pytest.approx(low_c)


def test_own_thresholds_settle_an_ambiguous_name():
    assert one("Gift,Ficus,1,20,south window,9,13", HEADER + ",harm_c,comfort_c").harm_c == 9


def test_a_wrong_threshold_is_not_told_as_an_unknown_taxon():
    [found] = faults_of(TOML, f"{HEADER},harm_c,comfort_c\nGift,Zzyzx quux,1,20,south window,cold,13\n")
    assert "harm_c: found cold" in found


NAMES = ["Großer Gummibaum", "🌿🪴", "שרך גדול", "観葉植物", 'With "quotes"', "Comma, semicolon; and more",
         "../../etc/passwd", "C:\\pots\\new", "<script>alert(1)</script>", "=1+1", "'); DROP TABLE", "x" * 10_000,
         "NUL", "%0A", "\\n", "-1", "#hash", "👩‍🌾 Anna's"]


@pytest.mark.parametrize("name", NAMES, ids=lambda name: name[:12])
def test_names_of_every_kind_are_kept_as_they_are(name):
    quoted = name.replace('"', '""')
    assert one(f'"{quoted}",lemon,1,30,south window').name == name
    toml_name = name.replace("\\", "\\\\").replace('"', '\\"')
    found = read(SITE.replace("Invented yard", toml_name) + ZONE + PLACES.replace("porch", toml_name))
    assert found.site.name == name and found.places[1].name == name


@pytest.mark.parametrize("name", ["two\nlines", "two\r\nlines", "bell\x07", "a\u2028b", "a\u2029b", "a\x85b", "\u200b"])
def test_names_that_no_calendar_can_hold_are_faults(name):
    [found] = faults_of(TOML, f'{HEADER}\n"{name}",lemon,1,30,south window\n')
    assert found.startswith("plants.csv:2: row 1, name:")


@settings(deadline=None, max_examples=50, derandomize=True)
@given(st.text(min_size=1, max_size=30))
def test_any_name_is_kept_or_refused(name):
    quoted = name.replace('"', '""')
    text = f'{HEADER}\n"{quoted}",lemon,1,30,south window\n'
    found = faults_of(TOML, text.encode("utf-8", "surrogatepass"))
    assert found or plants(text)[0].name == name.strip()


def test_the_planning_year_bounds_the_past():
    toml = TOML.replace("[site]", "[rules]\nyear = 2027\n[site]")
    rows = (f"{HEADER},last_repotted\nLemon,lemon,1,30,south window,2027-12-31\n"
            "Fig,weeping fig,1,30,south window,2028-01-01\n")
    [found] = faults_of(toml, rows)
    assert found.startswith("plants.csv:3:") and "2027-12-31" in found
    south = toml.replace("44.5", "-44.5")
    assert not faults_of(south, rows)


MOST_SECONDS = 4.0
"""Processor time for 10,000 rows; about 0.7 s on an idle machine."""


def test_ten_thousand_rows_are_read_in_a_few_seconds():
    taxa = [taxon.botanical.split(" (")[0] for taxon in catalogue.catalogue()]
    taxa = [name for name in taxa if catalogue.match(name)]
    lines = [f'Plant {n},"{taxa[n % len(taxa)]}",{1 + n % 4},{10 + n % 40},south window' for n in range(10_000)]
    start = time.process_time()
    found = plants("\n".join([HEADER, *lines]) + "\n")
    assert len(found) == 10_000 and found[-1].line == 10_001
    assert time.process_time() - start < MOST_SECONDS


def test_when_a_plant_came_and_went_and_how_tall_it_is():
    rows = ("name,taxon,count,place,pot_cm,arrived,left,tall_cm\n"
            "Lemon,Citrus x limon,1,south window,30,2027-06-20,2027-08-01,180\n")
    [lemon] = read(plants=rows).plants
    assert (lemon.arrived, lemon.left, lemon.tall_cm) == (date(2027, 6, 20), date(2027, 8, 1), 180.0)
    [same] = read(plants=rows.replace("tall_cm", "tall_in").replace(",180", ",71")).plants
    assert same.tall_cm == pytest.approx(180.3, abs=0.1)
    [old] = read(plants="name,taxon,count,place,pot_cm\nLemon,Citrus x limon,1,south window,30\n").plants
    assert (old.arrived, old.left, old.tall_cm) == (None, None, None)


@pytest.mark.parametrize("light, sun", [(1.5, "shade"), (8, "shade"), (25, "part-sun"), (39, "part-sun"), (45, "sun")])
def test_the_light_given_for_a_plant_of_no_table_says_its_sun_class(light, sun):
    found = read(TOML, f"{HEADER},harm_c,comfort_c,light_high_mol\nGift,Zzyzx quux,1,20,south window,9,13,{light}\n")
    assert found.plants[0].taxon.sun == sun
