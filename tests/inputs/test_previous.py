"""What the plan before said, read from its plan.json."""

import json
from datetime import date

import pytest
from invented import make_plan

from seasonplan.inputs.previous import read_before
from seasonplan.outputs.documents import plan_json

JUNE = date(2027, 6, 20)


def test_a_plan_tells_the_next_one_its_plants_and_pests():
    plan = make_plan(known={"Fern": JUNE, "Fig": None}, pests={"Fern": ("scale", JUNE)})
    before = read_before(plan_json(plan))
    assert before.year == plan.year and before.pests == {"Fern": ("scale", JUNE)}
    assert {p.plant.name for p in plan.plants} <= set(before.known) and before.known["Fern"] == JUNE


def test_a_plant_that_is_no_longer_planned_for_is_no_news_to_the_next_plan():
    plan = make_plan(known={"Fern": JUNE, "Long gone": None})
    before = read_before(plan_json(plan))
    assert before.known["Long gone"] is None and before.known["Fern"] == JUNE


@pytest.mark.parametrize("data", [None, b"", b"{", b"[]", b"{}", b'{"year": "x", "plants": []}',
                                  b'{"year": 2027, "plants": [{}]}', b"\xff\xfe",
                                  b'{"year": 2027, "plants": [], "since": {"plants": {"a": "soon"}, "pests": {}}}'])
def test_what_no_version_of_ours_wrote_counts_as_none(data):
    assert read_before(data) is None


def test_a_plan_of_the_first_version_knows_its_plants():
    before = read_before(json.dumps({"year": 2027, "plants": [{"name": "Fig"}]}).encode())
    assert before.known == {"Fig": None} and before.pests == {}


def test_the_next_move_of_each_plant_is_kept_with_the_day_it_was_first_due():
    steps = [{"kind": "leach", "uid": "2027-leach-fig-1-0123abcd@seasonplan.invalid", "plants": ["Fig"],
              "date": "2027-05-01", "open_since": None},
             {"kind": "move-out", "uid": "2027-move-out-fig-2-0123abcd@seasonplan.invalid", "plants": ["Fig", "Fern"],
              "date": "2027-06-05", "open_since": "2027-05-29"},
             {"kind": "move", "uid": "2027-move-fig-3-0123abcd@seasonplan.invalid", "plants": ["Fig"],
              "date": "2027-07-05", "open_since": None}]
    before = read_before(json.dumps({"year": 2027, "plants": [], "steps": steps}).encode())
    assert before.moves == {name: ("move-out", 2, date(2027, 5, 29)) for name in ("Fig", "Fern")}
