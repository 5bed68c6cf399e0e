"""The built-in catalogue: whole, consistent in itself, and found under the names people use."""

import re

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from seasonplan.data import table
from seasonplan.inputs import catalogue
from seasonplan.model.given import TOXICITY

CHOICES = {"sun": {"deep-shade", "shade", "part-sun", "sun"}, "summer_outdoors": {"yes", "sheltered", "no"},
           "moisture": {"dry", "even", "moist"}, "soap_sensitive": {"yes", "no", "unknown"},
           "toxic_people": set(TOXICITY), "toxic_pets": set(TOXICITY),
           "cuttings": {"water", "soil", "division", "none"},
           "freeze_kill": {"yes", "no"}, "salt_sensitive": {"yes", "no"},
           "group": {"foliage", "flowering", "citrus", "palm", "fern", "succulent", "cactus", "orchid", "bromeliad",
                     "herb-like"}}
TOP_OF_SUN_CLASS_MOL = {"deep-shade": 5, "shade": 12, "part-sun": 25, "sun": 60}


def test_all_taxa_are_there_once():
    keys = [taxon.key for taxon in catalogue.catalogue()]
    assert len(keys) == len(set(keys)) == 115
    assert keys == [row["key"] for row in table("catalogue")]


def test_every_value_is_of_its_kind():
    for row in (*table("catalogue"), *table("unknown_taxon")):
        assert {column: row[column] for column in CHOICES if row[column] not in CHOICES[column]} == {}, row["key"]


def test_numbers_are_ordered():
    for taxon in catalogue.catalogue():
        assert -8 <= taxon.harm_hardened_c <= taxon.harm_c <= taxon.comfort_c <= 20, taxon.key
        assert 0 < taxon.light_low_mol < taxon.light_high_mol <= TOP_OF_SUN_CLASS_MOL[taxon.sun], taxon.key


def test_every_value_names_its_source():
    known = {row["key"] for row in table("sources")} | {"memory", "common practice"}
    for row in table("catalogue"):
        for column in ("source_temp", "source_light", "source_other"):
            for source in re.sub(r" \([^)]*\)", "", row[column]).split("; "):
                assert source in known, (row["key"], source)


def test_sources_are_told_with_how_they_were_seen():
    rows = table("sources")
    assert len({row["key"] for row in rows}) == len(rows) > 50
    assert all(row["citation"] and row["how_seen"] for row in rows)


def test_synonyms_belong_to_taxa_and_say_where_they_come_from():
    keys = {taxon.key for taxon in catalogue.catalogue()}
    rows = table("synonyms")
    assert all(row["key"] in keys and row["source"] for row in rows)
    assert len({(row["name"].casefold(), row["key"]) for row in rows}) == len(rows)
    assert {row["key"] for row in rows} == keys


@pytest.mark.parametrize(("name", "key"), [
    ("dracaena-trifasciata", "dracaena-trifasciata"), ("Sansevieria trifasciata", "dracaena-trifasciata"),
    ("SNAKE PLANT", "dracaena-trifasciata"), ("Sansevieria cylindrica", "dracaena-angolensis"),
    ("Dracaena deremensis", "dracaena-fragrans"), ("Dracaena marginata", "dracaena-marginata"),
    ("Pleomele reflexa", "dracaena-reflexa"), ("Schefflera arboricola", "heptapleurum-arboricola"),
    ("Schefflera actinophylla", "heptapleurum-actinophyllum"), ("Brassaia", "heptapleurum-actinophyllum"),
    ("Polyscias balfouriana", "polyscias-scutellaria"), ("Calathea", "goeppertia-makoyana"),
    ("Philodendron selloum", "thaumatophyllum-bipinnatifidum"), ("P. bipinnatifidum", "thaumatophyllum-bipinnatifidum"),
    ("Philodendron scandens", "philodendron-hederaceum"), ("P. oxycardium", "philodendron-hederaceum"),
    ("Dypsis lutescens", "chrysalidocarpus-lutescens"), ("areca palm", "chrysalidocarpus-lutescens"),
    ("Saintpaulia", "streptocarpus-ionanthus"), ("Abutilon × hybridum", "callianthe-x-hybrida"),
    ("Rosmarinus officinalis", "salvia-rosmarinus"), ("Senecio rowleyanus", "curio-rowleyanus"),
    ("Echinocactus grusonii", "kroenleinia-grusonii"), ("Haworthia attenuata", "haworthiopsis-attenuata"),
    ("Fortunella", "citrus-japonica"), ("Stromanthe sanguinea", "stromanthe-thalia"),
    ("Yucca elephantipes", "yucca-gigantea"), ("Cordyline terminalis", "cordyline-fruticosa"),
    ("Crassula argentea", "crassula-ovata")])
def test_old_names_lead_to_the_accepted_one(name, key):
    """The synonym table of the handbook that the catalogue was made with (accepted names from memory)."""
    assert catalogue.match(name).key == key


@pytest.mark.parametrize(("name", "key"), [
    ("Citrus × limon", "citrus-x-limon"), ("citrus limon", "citrus-x-limon"), ("ficus  BENJAMINA", "ficus-benjamina"),
    ("Ficus benjamina 'Variegata'", "ficus-benjamina"), ("birds-nest fern", "asplenium-nidus"),
    ("bird’s nest fern", "asplenium-nidus"),
    ("Fícus lyráta", "ficus-lyrata"), ("calathea", "goeppertia-makoyana"), ("peacock plant", "goeppertia-makoyana"),
    ("Citrus x latifolia", "citrus-x-aurantiifolia"), ("Citrus microcarpa", "citrus-x-microcarpa"),
    ("Pelargonium hortorum", "pelargonium-x-hortorum"), ("monstera", "monstera-deliciosa")])
def test_spelling_is_not_a_hurdle(name, key):
    assert catalogue.match(name).key == key


@pytest.mark.parametrize("name", ["Ficus", "Philodendron", "Begonia", "schefflera", "citrus", "jasmine", "", "Zzyx"])
def test_names_of_many_or_none_are_not_guessed(name):
    assert catalogue.match(name) is None


def test_a_name_of_many_tells_them_all():
    assert {taxon.key for taxon in catalogue.meanings("Schefflera")} == {"heptapleurum-arboricola",
                                                                         "heptapleurum-actinophyllum"}


def test_every_botanical_name_and_key_leads_home():
    for taxon in catalogue.catalogue():
        assert catalogue.match(taxon.key) is taxon
        assert catalogue.match(taxon.botanical.split(" (")[0]) is taxon, taxon.botanical
        assert taxon in catalogue.meanings(taxon.common.split(" (")[0].split(" / ")[0]), taxon.common


@pytest.mark.parametrize(("word", "near"), [("Ficus benjamima", "Ficus benjamina"), ("hibicus", "Hibiscus"),
                                            ("peace lilly", "peace lily"), ("spidr plant", "spider plant")])
def test_a_name_nearly_right_is_recognised(word, near):
    assert catalogue.nearest(word)[0] == near
    assert catalogue.nearest("qqqqqq") == []


@settings(deadline=None, max_examples=60, derandomize=True)
@given(st.text(max_size=40))
def test_every_suggestion_can_be_used(word):
    assert catalogue.nearest("Ficu") and all(map(catalogue.match, catalogue.nearest("Ficu")))
    assert all(catalogue.match(name) for name in catalogue.nearest(word))


def test_search():
    assert len(catalogue.find("")) == 115
    assert [taxon.key for taxon in catalogue.find("moth orchid")] == ["phalaenopsis-hybrids"]
    assert {"cattleya-hybrids", "cymbidium-hybrids"} <= {taxon.key for taxon in catalogue.find("orchid")}
    assert catalogue.find("snake plant")[0].key == "dracaena-trifasciata"
    assert {taxon.group for taxon in catalogue.find("kentia palm")} == {"palm"}
    assert catalogue.find("nothing-like-it") == []
