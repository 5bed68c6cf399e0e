"""What else a season's life asks of the plan, told from the command line: rescues, words for pests, the order of work
and its exceptions, and few things, of which the needless go first."""

import json
from datetime import date

import pytest
from cli.test_life_stories import after, garden, run  # noqa: F401

pytestmark = pytest.mark.usefixtures("remembered_plans")
AUTUMN = ("descend-light", "inspect-before-in", "treat-before-in", "quarantine", "quarantine-end", "feed-stop")


@pytest.mark.parametrize("step", ["move-in", "rescue"])
def test_carried_in_before_the_turn_is_a_rescue_and_goes_out_again_as_hardened_as_it_was(garden, step):  # noqa: F811
    garden.plan("2027-04-01")
    garden.done("as-planned", on="2027-06-24")
    before = garden.plan("2027-06-24").plant("Hallway ficus")
    garden.done(step, "--plant", "Hallway ficus", on="2027-06-24")
    plan = garden.plan("2027-06-25")
    out = plan.dates("Hallway ficus", "move-out")
    assert len(out) == 1 and "2027-06-25" <= out[0] <= after("2027-06-24", 16)
    assert not [s for s in plan.of("Hallway ficus", *AUTUMN) if s["date"] < "2027-07-20"]
    assert not [s for s in plan.document["habits"] if s["kind"] in AUTUMN and "Hallway ficus" in s["plants"]
                and s["date"] < "2027-07-20"]
    again = next(s for s in plan.plant("Hallway ficus")["route"] if s["date"] == out[0])
    assert again["acclimated_dli"] > 1.5 * before["route"][0]["acclimated_dli"]
    ends = [date.fromisoformat(p["in"]["date"]) for p in (before, plan.plant("Hallway ficus"))]
    assert abs((ends[1] - ends[0]).days) <= 14


SPELT = {"Big lemon": ("scale insects", "scale"), "Hallway ficus": ("spider mites", "spider-mite"),
         "Rubber plant": ("Mealy bugs", "mealybug"), "Window pothos": ("aphids", "aphid"),
         "Snake plants": ("White flies", "whitefly"), "Boston fern": ("No", "none")}


def test_pests_are_understood_as_people_write_them(garden):  # noqa: F811
    garden.write([row | {"pests": SPELT[row["name"]][0]} for row in garden.rows()])
    plan = garden.plan("2027-03-10")
    told = {name: each["pest"] for name, each in plan.document["since"]["pests"].items()}
    assert told == {name: pest for name, (_, pest) in SPELT.items() if pest != "none"}
    assert all(plan.dates(name, "isolate") == ["2027-03-10"] for name in told)
    assert not plan.of("Boston fern", "isolate", "treat")


def test_the_order_of_work_has_its_words_and_its_exceptions(garden):  # noqa: F811
    like = garden.rows()[0]
    more = [like | given for given in (
        {"name": "Palm", "taxon": "parlour palm", "pot_cm": "16", "notes": "leggy"},
        {"name": "Barrel", "taxon": "golden barrel cactus", "pot_cm": "16", "root_bound": "yes"})]
    rows = garden.rows()
    garden.write([*(row | {"root_bound": "yes"} if row["name"] == "Rubber plant" else row for row in rows), *more])
    plan = garden.plan("2027-04-01")
    [repot] = plan.of("Rubber plant", "repot")
    assert "sizes that are sold" in repot["detail"]
    water = next(s for s in plan.document["habits"] if s["kind"] == "water-daily")
    assert "every day" in water["title"] and "After rain too" in water["detail"]
    assert not plan.of("Barrel", "wash", "cuttings") and not plan.of("Palm", "cuttings", "pot-up-cuttings")
    wet = [s["detail"] for s in plan.of("Barrel", "inspect-before-in") if "Soak" in s["detail"]]
    assert all("Barrel" in detail.split("(KSU-IN); not ")[-1].split(".")[0] for detail in wet)


def test_what_may_be_left_out_is_marked_and_goes_first_where_days_are_full(garden):  # noqa: F811
    whole = garden.plan("2027-04-01")
    assert {s["kind"] for s in whole.steps if s["optional"]} >= {"wash", "feed"}
    toml = garden.folder / "scenario.toml"
    toml.write_text(toml.read_text(encoding="utf-8").replace("minutes_per_day = 180", "minutes_per_day = 25"),
                    encoding="utf-8")
    full = garden.plan("2027-04-01")

    def asked(plan, optional):
        return {(s["kind"], name) for s in plan.steps if s["optional"] is optional for name in s["plants"]}
    unmet = [job for job in full.document["skipped"] if not job["kept"]]
    assert any(job["optional"] for job in unmet)
    left = {(job["kind"], name) for job in unmet if not job["optional"] for name in job["plants"]}
    assert asked(whole, False) - asked(full, False) - asked(full, True) <= left
    longest = max(s["minutes"] for s in whole.steps if s["kind"] == "repot")
    assert {kind for kind, _ in left} <= {"repot"} and longest > 25          # what no day of 25 minutes holds


def test_the_shipped_garden_of_33_pots_asks_for_about_sixty_things(tmp_path):
    import shutil

    from cli.test_life_stories import SHIPPED
    shutil.copytree(SHIPPED, tmp_path / "garden", ignore=shutil.ignore_patterns("out"))
    said = run("plan", tmp_path / "garden", "--no-page", "--today", "2027-01-15")
    months = json.loads((tmp_path / "garden" / "out" / "plan.json").read_text(encoding="utf-8"))["months"]
    assert 45 <= sum(month["things"] for month in months) <= 68           # 60 are asked for; tests/things.py
    assert sum(month["minutes"] for month in months) <= 40 * 60 and "Things to do by month" in said
