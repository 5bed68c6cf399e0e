"""The turn of the planning year, lived from the command line: what is known in winter is done in winter, a season lasts
until its last step, and what goes on over New Year goes on."""

import json
import re
import shutil
from datetime import date

import pytest
from cli.test_life_stories import SHIPPED, Garden, after, run

from seasonplan.inputs.log import LOG_HEADER

pytestmark = pytest.mark.usefixtures("remembered_plans")
KEPT = ("Big lemon", "Hallway ficus", "Rubber plant", "Window pothos")
ILL = {"Big lemon": "scale"}


@pytest.fixture
def garden(tmp_path):
    """A small copy of a shipped garden that names no year."""
    folder = tmp_path / "garden"
    shutil.copytree(SHIPPED, folder, ignore=shutil.ignore_patterns("out"))
    text = (folder / "scenario.toml").read_text()
    (folder / "scenario.toml").write_text(re.sub(r"(?m)^year.*\n", "", text))
    made = Garden(folder)
    made.write([{**row, "pests": "none"} for row in made.rows() if row["name"] in KEPT])
    return made


def ill(garden, pests):
    garden.write([{**row, "pests": pests.get(row["name"], "none")} for row in garden.rows()])


def lived(garden, until, first="2026-03-01"):
    """A season done as planned up to a day, with what is dated then logged on its day."""
    garden.plan(first)
    garden.done("begin", on=first)
    garden.plan(first)
    plan = json.loads((garden.folder / "out" / "plan.json").read_text())
    stands = {(p["name"], stop["date"]): (stop["place"], (stop["shade"] or {"percent": 0})["percent"])
              for p in plan["plants"] for stop in p["route"]}
    rows = [LOG_HEADER, f"{first},begin,,,"]
    for step in plan["steps"]:
        for name in step["plants"] if step["date"] < until else ():
            place, cloth = stands.get((name, step["date"]), ("", 0))
            place, note = (place, f"cloth {cloth} %") if step["kind"] in ("move-out", "move", "cloth") else ("", "")
            rows.append(f"{step['date']},{step['kind']},{name},{place},{note}")
    (garden.folder / "log.csv").write_text("\n".join(rows) + "\n")


def test_a_pest_known_in_november_is_treated_in_november_though_the_plan_is_for_next_year(garden):
    ill(garden, ILL)
    plan = garden.plan("2026-11-27")
    assert plan.document["year"] == 2027
    assert plan.dates("Big lemon", "isolate") == ["2026-11-27"]
    sprays = plan.dates("Big lemon", "treat")
    assert sprays == ["2026-11-28", "2026-12-05", "2026-12-12", "2026-12-19"]
    assert plan.dates("Big lemon", "pest-recheck") == ["2026-12-26"]
    assert not [s for s in plan.of("Big lemon", "isolate", "treat") if s["place"] != "south window"]
    assert not [s for s in plan.document["steps"] if s["date"] < "2027-01-01" and "Big lemon" not in s["plants"]]
    run("plan", garden.folder, "--quiet", "--today", "2026-11-27")
    book = (garden.folder / "out" / "calendar.ics").read_text()
    assert "DTSTART;VALUE=DATE:20261128" in book or "20261128T" in book
    page = (garden.folder / "out" / "plan.html").read_text()
    assert "Sat 28 Nov" in page and "December 2026" in page
    assert plan.document["months"][0]["month"] == "2026-11"
    again = garden.plan("2026-11-27")
    assert again.document["steps"] == plan.document["steps"]


def test_a_course_begun_in_december_goes_on_in_january_and_is_not_begun_again(garden):
    garden.plan("2026-12-18")
    garden.done("found-scale", "--plant", "Big lemon", on="2026-12-18")
    first = garden.plan("2026-12-18")
    sprays = first.dates("Big lemon", "treat")
    assert sprays == ["2026-12-19", "2026-12-26", "2027-01-02", "2027-01-09"]
    for kind, day in (("isolate", "2026-12-18"), ("treat", sprays[0]), ("treat", sprays[1])):
        garden.done(kind, "--plant", "Big lemon", on=day)
        plan = garden.plan(day)
    assert plan.dates("Big lemon", "treat") == sprays[2:]
    january = garden.plan("2027-01-01")
    assert january.dates("Big lemon", "treat") == sprays[2:] and not january.of("Big lemon", "isolate")
    assert {s["uid"] for s in january.of("Big lemon", "treat")} <= {s["uid"] for s in first.of("Big lemon", "treat")}
    garden.done("treat", "--plant", "Big lemon", on=sprays[2])
    garden.done("treat", "--plant", "Big lemon", on=sprays[3])
    garden.done("pest-recheck", "--plant", "Big lemon", on="2027-01-16")
    assert not garden.plan("2027-01-17").of("Big lemon", "isolate", "treat", "pest-recheck")


def test_a_pest_treated_last_season_is_not_treated_again_because_the_list_still_names_it(garden):
    ill(garden, ILL)
    lived(garden, "2026-12-31")
    for day in ("2026-10-31", "2026-12-31", "2027-01-03"):
        plan = garden.plan(day)
        assert not plan.of("Big lemon", "isolate", "treat", "pest-recheck"), day
    assert plan.document["year"] == 2027
    assert "plants.csv still says that Big lemon has a pest" in " ".join(plan.document["notices"])


def test_a_season_lasts_until_its_last_step_and_nothing_vanishes_at_the_turn(garden):
    garden.plan("2026-03-01")
    lived(garden, "2026-10-31")
    october = garden.plan("2026-10-31")
    left = {(s["kind"], name, s["date"]) for s in october.document["steps"] for name in s["plants"]}
    assert left, "the garden has work left in November"
    november = garden.plan("2026-11-05")
    assert november.document["year"] == 2026
    still = {(s["kind"], name, s["date"]) for s in november.document["steps"] for name in s["plants"]}
    assert {each for each in left if each[2] >= "2026-11-05"} <= still
    for step in november.document["steps"]:
        garden.done(step["uid"], on=step["date"])
    assert garden.plan(after(max(s["date"] for s in november.document["steps"]), 1)).document["year"] == 2027


def test_what_lapses_with_a_season_is_said_once(garden):
    lived(garden, "2026-10-31")
    assert garden.plan("2026-10-31").document["steps"]
    garden.plan("2026-12-31")
    said = garden.plan("2027-01-03")
    left = json.loads((garden.folder / "out" / "plan.json").read_text())
    assert said.document["year"] == 2027 and left["notices"] == said.document["notices"]
    assert not [s for s in said.document["steps"] if s["date"] < "2027-01-03"]
    assert garden.plan("2027-01-04").document["notices"] == []


def test_a_plant_that_the_log_leaves_outdoors_at_the_turn_comes_in_first(garden):
    lived(garden, "2026-08-30")
    log = garden.folder / "log.csv"
    log.write_text(log.read_text() + "2026-12-20,leach,Rubber plant,,\n")
    kept = [line for line in log.read_text().splitlines() if "Big lemon" in line and "move" in line]
    assert kept and not any("move-in" in line for line in kept)
    garden.plan("2026-08-30")
    december = garden.plan("2026-12-20")
    [late] = december.of("Big lemon", "move-in")
    assert december.document["year"] == 2026 and late["open_since"] < late["date"] <= "2026-12-27"
    january = garden.plan("2027-01-03")
    [now] = january.of("Big lemon", "move-in")
    assert january.document["year"] == 2027 and "2027-01-03" <= now["date"] <= "2027-01-10"
    assert now["open_since"] == late["open_since"]
    garden.done(now["uid"], on="2027-01-03")
    plan = garden.plan("2027-01-04")
    assert [s["date"] > "2027-05-01" for s in plan.of("Big lemon", "move-out")] == [True]
    assert date.fromisoformat(plan.of("Big lemon", "move-in")[0]["date"]).month >= 8


def test_a_plant_bought_in_december_stands_apart_with_two_looks_over_new_year(garden):
    garden.plan("2026-12-20")
    garden.write([*garden.rows(), {**garden.rows()[0], "name": "New fig", "arrived": "2026-12-24"}])
    plan = garden.plan("2026-12-24")
    looks = plan.dates("New fig", "new-plant")
    assert looks[0] <= "2026-12-27" and "2027-01-03" <= looks[1] <= "2027-01-10"
    garden.done("new-plant", "--plant", "New fig", on=looks[0])
    assert garden.plan("2027-01-02").dates("New fig", "new-plant") == looks[1:]
