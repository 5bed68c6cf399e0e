"""The registry as a whole: one entry per kind, each with a source, known words, and an order that holds."""

import csv
from collections import defaultdict
from importlib import resources

import pytest
from care.garden import agenda_of, moving, plant, scenario_of, staying
from invented import make_normals

from seasonplan.care import cautions
from seasonplan.care.figures import figure
from seasonplan.care.jobs import REGISTRY, all_kinds, assumptions, known_kinds
from seasonplan.care.shopping import named
from seasonplan.model import Rules

CARE_TABLES = ("care_figures", "care_taxa", "care_words", "cautions", "mixes", "pests", "pot_figures", "pots")
KINDS = {
    "inspect", "isolate", "hand-wipe", "treat", "pest-recheck", "leach", "wash", "inspect-roots", "repot",
    "cuttings", "pot-up-cuttings", "prune", "feed-start", "feed", "feed-stop", "water-daily", "turn",
    "midsummer-review", "last-repot", "inspect-before-in", "treat-before-in", "descend-light",
    "quarantine", "quarantine-end", "new-plant", "deter-pets", "out-of-reach", "secure-wind",
    "heavy-lift"}


def test_every_kind_is_there_once():
    assert set(all_kinds()) == KINDS and len(all_kinds()) == len(set(all_kinds()))


def test_words_for_the_log_hold_kinds_moves_and_pests():
    assert {"repot", "move-in", "found-scale", "pest", "pest-clear"} <= set(known_kinds())


@pytest.mark.parametrize("job", REGISTRY, ids=lambda job: job.kind)
def test_a_job_is_complete(job):
    assert job.source and job.setup_min >= 0 and job.pot_min >= 0
    assert set(job.follows) <= set(all_kinds())
    everyone = Rules(children=True, pets=True)
    assert all(cautions.sentences([key], everyone) for key in job.cautions)
    assert all(named(key, "metric")[0] for key in job.once)


def test_every_row_of_the_tables_has_its_source():
    for name in CARE_TABLES:
        text = resources.files("seasonplan.data").joinpath(f"{name}.csv").read_text(encoding="utf-8")
        rows = list(csv.DictReader(text.splitlines()))
        assert rows and all(row["source"] and None not in row and None not in row.values() for row in rows), name


def test_published_keys_are_those_of_the_table_of_sources():
    keys = {row["key"] for row in csv.DictReader(
        resources.files("seasonplan.data").joinpath("sources.csv").read_text(encoding="utf-8").splitlines())}
    for job in REGISTRY:
        named_keys = [part.split(" (")[0] for part in job.source.split("; ")]
        assert all(key in keys or not key[:2].isupper() for key in named_keys), job.kind


def test_what_comes_before_comes_before_for_every_plant():
    plans = [moving(plant(f"Plant {k}", pests=("none", "scale")[k % 2], root_bound=k % 3 == 0, cuttings="water",
                          notes="dusty")) for k in range(12)] + [staying(plant("Stays", root_bound=True))]
    dates = defaultdict(lambda: defaultdict(list))
    for step in agenda_of(plans).steps:
        for name in step.plants:
            dates[name][step.kind].append(step.date)
    checked = 0
    for done in dates.values():
        for job in REGISTRY:
            for before in job.follows:
                if job.kind in done and before in done:
                    assert min(done[before]) <= min(done[job.kind])
                    checked += 1
    assert checked > 50


def test_figures_are_found_by_name_and_no_other():
    assert figure("leach_pot_volumes") == 2
    with pytest.raises(KeyError):
        figure("no such figure")


def test_assumptions_are_told():
    silent = assumptions(scenario_of([moving(plant())]))
    told = assumptions(scenario_of([moving(plant(pot_cm=None))], normals=make_normals(tmax_c=None)))
    assert silent == () and len(told) == 2 and "11 °C" in told[0] and "15 cm" in told[1]


def test_highs_of_stations_round_about_are_told_to_be_theirs():
    highs = make_normals().tmin_c + 9.0
    own, other = (assumptions(scenario_of([moving(plant())], normals=make_normals(tmax_c=highs, from_stations=of)))
                  for of in ((), ("tmax_c",)))
    assert not any("highs" in note for note in own)
    assert any("no highs: those of stations round about are taken" in note for note in other)
