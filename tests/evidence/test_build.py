"""The catalogue is as its evidence makes it, and the rule that makes it does what it says."""

import importlib.util
from pathlib import Path

import pytest

from seasonplan.data import table

SPEC = importlib.util.spec_from_file_location("build", Path(__file__).with_name("build.py"))
build = importlib.util.module_from_spec(SPEC)
SPEC.loader.exec_module(build)


def row(value, grade, low="", high=""):
    return {"value": str(value), "low": str(low), "high": str(high), "grade": grade, "source": grade}


def test_the_catalogue_is_as_built_from_its_evidence():
    assert (build.DATA / "catalogue.csv").read_text(encoding="utf-8") == build.build()


def test_every_row_of_evidence_belongs_to_a_taxon_and_a_quantity():
    keys = {taxon["key"] for taxon in table("taxa")}
    for each in table("evidence"):
        assert each["taxon"] in keys and each["quantity"] in {*build.NUMBERS, *build.CLASSES, "bud_cold"}, each
        assert each["quantity"] not in build.CLASSES or each["value"] in build.CLASSES[each["quantity"]], each
        if each["low"]:
            assert float(each["low"]) <= float(each["value"]) <= float(each["high"]), each


@pytest.mark.parametrize("rows, value", [
    ([row(10, "memory"), row(6, "listed")], "6"),
    ([row(6, "listed"), row(9, "measured")], "9"),
    ([row(4, "measured"), row(6, "measured"), row(9, "measured")], "6"),
    ([row(4, "measured"), row(9, "measured")], "9"),
    ([row(8, "group"), row(12, "memory")], "8"),
])
def test_the_best_grade_decides_and_within_it_the_careful_middle(rows, value):
    assert build.decided("harm", rows)["value"] == value


def test_a_conflict_keeps_its_range_and_a_lesser_guess_does_not_widen_it():
    found = build.decided("harm", [row(6, "measured", 2, 8), row(13, "listed", 13, 15), row(20, "memory", 19, 21)])
    assert (found["value"], found["low"], found["high"]) == ("6", "2", "15")


def test_of_two_lights_the_lesser_counts_and_of_two_classes_the_worse():
    assert build.decided("light_high", [row(25, "listed"), row(16, "listed")])["value"] == "16"
    assert build.decided("toxic_pets", [row("none", "listed"), row("irritant", "listed")])["value"] == "irritant"
    assert build.decided("sun", [row("sun", "listed"), row("shade", "listed")])["value"] == "shade"


def test_what_no_row_speaks_of_counts_as_toxic_and_as_unknown_to_soap():
    unspoken = [build.decided(q, [])["value"] for q in ("toxic_people", "toxic_pets", "soap")]
    assert unspoken == ["toxic", "toxic", "unknown"]


def test_a_group_is_as_tender_as_its_tenderest_and_bears_the_least_light():
    taxon = {"key": "any-fern"}
    members = [{**each, "soap_sensitive": "no"} for each in table("catalogue") if each["group"] == "fern"
               and not each["key"].startswith("any-")]
    made = build.of_group(taxon, members)
    assert float(made["harm_c"]) == max(float(each["harm_c"]) for each in members) <= float(made["comfort_c"])
    assert float(made["light_high_mol"]) == min(float(each["light_high_mol"]) for each in members)
    assert made["harm_low_c"] == f"{min(float(each['harm_c']) for each in members):g}"


def test_a_freeze_kills_what_is_harmed_at_zero_once_hardened():
    for each in table("catalogue"):
        assert (each["freeze_kill"] == "yes") == (float(each["harm_hardened_c"]) >= 0), each["key"]
