"""Every kind of job appears in a shipped scenario, inside the range its rule found due."""

from collections import defaultdict
from datetime import date
from pathlib import Path

import pytest

from seasonplan.care.jobs import MOVE_KINDS, all_kinds
from seasonplan.files import load_scenario
from seasonplan.pipeline import build_plan

pytestmark = pytest.mark.usefixtures("remembered_plans")

ONLY_WHEN_CALLED_FOR = {"new-plant", "hand-wipe"}
"""A plant that joins in mid-season, and heat that forbids soap: in tests/care/test_jobs_pests.py."""
SHIPPED = sorted(p for p in (Path(__file__).parent.parent / "scenarios").iterdir() if (p / "scenario.toml").exists())


@pytest.fixture(scope="module")
def plans():
    return {p.name: build_plan(load_scenario(p), date(2027, 4, 1)) for p in SHIPPED}


def test_every_kind_of_job_is_shown_by_a_scenario(plans):
    where = defaultdict(set)
    for name, plan in plans.items():
        for step in (*plan.steps, *plan.habits):
            where[step.kind].add(name)
    assert set(all_kinds()) - set(where) == ONLY_WHEN_CALLED_FOR
    assert set(where) <= {*all_kinds(), *MOVE_KINDS}


def test_every_job_is_dated_within_what_its_rule_found_due(plans):
    for plan in plans.values():
        for step in plan.steps:
            if step.due is not None:
                assert step.due[0] <= step.date <= step.due[1], step


def test_shopping_is_the_sum_over_the_steps(plans):
    for plan in plans.values():
        uids = {step.uid: step for step in plan.steps}
        for item in plan.shopping:
            assert item.for_steps and all(uid in uids for uid in item.for_steps)
            assert item.needed_by == min(uids[uid].date for uid in item.for_steps)
