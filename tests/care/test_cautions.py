import pytest
from care.garden import plant

from seasonplan.care import cautions
from seasonplan.model import Rules

QUIET, FAMILY = Rules(), Rules(children=True, pets=True)


def test_sentences_defer_to_label_rules_and_licence():
    text = " ".join(cautions.sentences(["spray"], QUIET))
    assert all(word in text for word in ("label decides", "Local rules", "licensed", "Gloves", "bees"))


def test_a_household_adds_sentences_and_takes_none_away():
    for key in ("spray", "granules", "toxic", "sap", "feed"):
        assert set(cautions.sentences([key], QUIET)) < set(cautions.sentences([key], FAMILY))


def test_each_sentence_stands_once():
    twice = cautions.sentences(["spray", "spray", "granules"], FAMILY)
    assert len(twice) == len(set(twice)) == len(cautions.sentences(["spray", "granules"], FAMILY))


def test_keys_apply_only_where_a_plant_or_place_calls_for_them():
    keys = ("sap", "toxic", "heavy", "balcony", "spray")
    assert cautions.applying(keys, [plant(toxic_people="none", toxic_pets="none", pot_cm=12.0)]) == ("spray",)
    bad = [plant(key="euphorbia-inventa", pot_cm=40.0)]
    assert cautions.applying(keys, bad, "roof terrace") == keys


@pytest.mark.parametrize("children, pets, label", [
    (True, False, "none"), (False, True, "deadly"), (True, True, "deadly"), (False, False, "deadly")])
def test_the_class_that_counts_is_of_those_who_live_there(children, pets, label):
    sago = plant(toxic_people="none", toxic_pets="deadly", pot_cm=12.0)
    rules = Rules(children=children, pets=pets)
    assert cautions.class_for(sago, rules) == label
    told = " ".join(cautions.for_move([sago], "porch", rules))
    assert ("a little can kill" in told) == (pets and label == "deadly") and ("poison centre" in told) == pets


def test_moves_warn_of_weight_and_wind_and_of_poison_in_a_household():
    big = [plant(pot_cm=40.0)]
    told = cautions.for_move(big, "porch", QUIET)
    assert any("94-110" in s for s in told) and any(s.startswith("Plant one: about 27 kg wet") for s in told)
    assert any("railing" in s for s in cautions.for_move([plant(pot_cm=12.0)], "porch + Balcony", QUIET))
    assert cautions.for_move([plant(pot_cm=12.0)], "porch", QUIET) == ()
    assert any("children" in s for s in cautions.for_move([plant(pot_cm=12.0)], "porch", FAMILY))
