"""What happens in a season, told from the command line: bought, late, rescued, ill, away, and three gardens at once.

The garden is a part of the shipped Fallowmere: invented, on move days Saturday and Sunday.
"""

import csv
import json
import shutil
from datetime import date, timedelta
from pathlib import Path

import pytest
from click.testing import CliRunner

from seasonplan.cli import main

SHIPPED = Path(__file__).parents[2] / "scenarios" / "fallowmere"
ROWS = ("Big lemon", "Hallway ficus", "Rubber plant", "Window pothos", "Snake plants", "Boston fern")

pytestmark = pytest.mark.usefixtures("remembered_plans")


def run(*args, exit_code=0):
    result = CliRunner().invoke(main, [str(a) for a in args])
    assert result.exit_code == exit_code, result.output
    return result.output


class Garden:
    """A folder, and what its plan says on a day."""

    def __init__(self, folder):
        self.folder = folder

    def rows(self):
        with (self.folder / "plants.csv").open(encoding="utf-8", newline="") as file:
            return list(csv.DictReader(file))

    def write(self, rows):
        columns = list(dict.fromkeys(key for row in rows for key in row))
        with (self.folder / "plants.csv").open("w", encoding="utf-8", newline="") as file:
            writer = csv.DictWriter(file, columns, restval="")
            writer.writeheader()
            writer.writerows(rows)

    def plan(self, day):
        run("plan", self.folder, "--no-page", "--quiet", "--today", day)
        return Plan(json.loads((self.folder / "out" / "plan.json").read_text(encoding="utf-8")))

    def done(self, *args, on):
        return run("done", self.folder, *args, "--on", on, "--today", on)


class Plan:
    def __init__(self, document):
        self.document, self.steps = document, document["steps"]

    def plant(self, name):
        return next(p for p in self.document["plants"] if p["name"] == name)

    def of(self, name, *kinds):
        return [s for s in self.steps if name in s["plants"] and (not kinds or s["kind"] in kinds)]

    def dates(self, name, *kinds):
        return [s["date"] for s in self.of(name, *kinds)]


@pytest.fixture
def garden(tmp_path):
    shutil.copytree(SHIPPED, tmp_path / "garden", ignore=shutil.ignore_patterns("out"))
    found = Garden(tmp_path / "garden")
    found.write([row | {"pests": "none", "last_leached": ""} for row in found.rows() if row["name"] in ROWS])
    return found


def after(day, days):
    return (date.fromisoformat(day) + timedelta(days=days)).isoformat()


GARDENIA = {"name": "Gardenia", "taxon": "Gardenia jasminoides", "count": "1", "pot_cm": "22", "place": "east sill"}


@pytest.mark.parametrize("given", [{}, {"arrived": "2027-06-20"}])
def test_a_plant_bought_in_june_stands_apart_and_is_hardened_off_from_there(garden, given):
    garden.plan("2027-04-01")
    garden.write([*garden.rows(), GARDENIA | given])
    plan = garden.plan("2027-06-20")
    bought = plan.plant("Gardenia")
    assert "2027-07-04" <= bought["out"]["date"] <= "2027-07-11" and "New on Sun 20 Jun" in bought["reason"]
    looks = plan.dates("Gardenia", "new-plant")
    assert len(looks) == 2 and looks[0] == "2027-06-20" and looks[0] < looks[1] < bought["out"]["date"]
    assert min(plan.dates("Gardenia")) >= "2027-06-20"
    assert bought["route"][0]["full_sun_h"] <= 1.5
    assert plan.plant("Big lemon")["out"]["date"] < "2027-06-20"
    again = garden.plan("2027-06-27").plant("Gardenia")
    assert again["out"]["date"] == bought["out"]["date"] and "New on Sun 20 Jun" in again["reason"]


def test_a_season_begun_in_august_has_no_day_trips_before_it(garden):
    garden.plan("2027-08-20")
    garden.done("begin", on="2027-08-20")
    plan = garden.plan("2027-08-20")
    assert "day-trips" in {step["kind"] for step in plan.steps}
    assert all(step["date"] >= "2027-08-20" for step in plan.steps)
    assert all(step["date"] >= "2027-08-23" for step in garden.plan("2027-08-23").steps)


def test_a_plant_bought_too_late_to_harden_off_stays_in_and_says_so(garden):
    garden.write([*garden.rows(), GARDENIA | {"arrived": "2027-08-25"}])
    bought = garden.plan("2027-08-25").plant("Gardenia")
    assert bought["status"] in ("stays-in", "day-trips") and not bought["route"]
    assert "New on Wed 25 Aug" in bought["reason"]


@pytest.mark.parametrize("how", ["left", "died", "given-away"])
def test_a_plant_that_is_gone_stops_everywhere(garden, how):
    before = garden.plan("2027-04-01")
    assert max(before.dates("Rubber plant")) > "2027-08-01"
    if how == "left":
        garden.write([row | ({"left": "2027-07-10"} if row["name"] == "Rubber plant" else {}) for row in garden.rows()])
    else:
        garden.done("as-planned", on="2027-07-11")
        garden.done(how, "--plant", "Rubber plant", on="2027-07-10")
    plan = garden.plan("2027-07-12")
    assert not [day for day in plan.dates("Rubber plant") if day >= "2027-07-10"]
    gone = [p for p in plan.document["plants"] if p["name"] == "Rubber plant"]
    assert all(stop["until"] <= "2027-07-10" for p in gone for stop in p["route"])
    uids = {s["uid"] for s in plan.steps}
    assert all(uid in uids for item in plan.document["shopping"] for uid in item["for_steps"])


def test_a_wave_carried_out_a_week_late_hardens_from_the_real_day(garden):
    before = garden.plan("2027-04-01")
    day = before.plant("Boston fern")["out"]["date"]
    late = after(day, 7)
    garden.done("as-planned", on=after(day, -1))
    garden.done(day, on=late)                            # as the README says: the wave is open since its day
    plan = garden.plan(late)
    fern, was = plan.plant("Boston fern"), before.plant("Boston fern")
    first = fern["route"][0]
    assert fern["out"]["date"] == first["date"] == late and first["place"] == was["route"][0]["place"]
    shade = first.get("shade")
    assert shade is None or shade["until"] > late
    assert all(s["date"] >= late for s in plan.steps)
    assert not plan.of("Boston fern", "move-out")


def test_a_move_that_was_never_made_is_open_and_dated_afresh(garden):
    before = garden.plan("2027-04-01")
    day = before.plant("Boston fern")["out"]["date"]
    garden.done("begin", on="2027-04-02")
    plan = garden.plan(after(day, 9))
    [step] = plan.of("Boston fern", "move-out")
    assert step["open_since"] <= day and after(day, 9) <= step["date"] <= after(day, 16)
    assert plan.plant("Boston fern")["route"][0]["date"] == step["date"]
    assert "Overdue" in run("plan", garden.folder, "--no-page", "--today", after(day, 9))


def test_on_paper_another_day_changes_nothing(garden):
    one = garden.plan("2027-04-01").document
    assert garden.plan("2027-07-20").document == one


def test_a_log_begun_in_june_starts_from_june(garden):
    garden.done("begin", on="2027-06-15")
    plan = garden.plan("2027-06-15")
    assert all(s["date"] >= "2027-06-15" and s["open_since"] is None for s in plan.steps)
    assert plan.plant("Big lemon")["out"]["date"] >= "2027-06-15"


def test_a_pest_known_in_march_is_treated_in_march_in_its_room(garden):
    garden.write([row | ({"pests": "spider mites"} if row["name"] == "Boston fern" else {}) for row in garden.rows()])
    plan = garden.plan("2027-03-10")
    assert plan.dates("Boston fern", "isolate") == ["2027-03-10"]
    sprays = plan.of("Boston fern", "treat")
    assert len(sprays) == 4 and sprays[0]["date"] == "2027-03-13" and {s["place"] for s in sprays} == {"stair landing"}
    gaps = [(date.fromisoformat(b["date"]) - date.fromisoformat(a["date"])).days for a, b in zip(sprays, sprays[1:],
                                                                                                 strict=False)]
    assert all(5 <= gap <= 7 for gap in gaps)
    assert garden.plan("2027-03-20").dates("Boston fern", "treat") == [s["date"] for s in sprays]


@pytest.mark.parametrize("said", ["no", "none", "No.", "-"])
def test_no_pest_is_no_pest(garden, said):
    garden.write([row | {"pests": said} for row in garden.rows()])
    assert not [s for s in garden.plan("2027-03-10").steps if s["kind"] in ("isolate", "treat")]


def test_a_pest_found_outdoors_is_treated_from_that_day_where_the_plant_stands(garden):
    garden.plan("2027-04-01")
    garden.done("as-planned", on="2027-07-05")
    garden.done("found aphids", "--plant", "Big lemon", on="2027-07-05")
    plan = garden.plan("2027-07-05")
    assert plan.dates("Big lemon", "isolate") == ["2027-07-05"]
    first = plan.of("Big lemon", "treat")[0]
    stop = next(s for s in plan.plant("Big lemon")["route"] if s["date"] <= first["date"] < s["until"])
    assert first["date"] <= "2027-07-12" and first["place"] == stop["place"]


def test_no_leaching_before_a_repot_and_none_in_a_room_just_after_coming_in(garden):
    plan = garden.plan("2027-04-01")
    for row in garden.rows():
        name = row["name"]
        leached, repotted = (plan.dates(name, kind) for kind in ("leach", "repot"))
        assert not [d for d in leached for r in repotted if after(r, -21) <= d <= r]
        back = plan.plant(name)["in"]["date"]
        assert not [d for d in leached if back <= d < after(back, 42)]


def test_feeding_is_never_started_within_six_weeks_of_its_stop(garden):
    plan = garden.plan("2027-04-01")
    stops = {name: s["date"] for s in plan.document["habits"] if s["kind"] == "feed-stop" for name in s["plants"]}
    starts = {name: s["date"] for s in plan.steps if s["kind"] == "feed-start" for name in s["plants"]}
    assert set(starts) == set(ROWS) and all(after(starts[name], 42) <= stops[name] for name in starts)
    assert all(day < "2027-05-10" for day in starts.values())


def test_a_tall_plant_is_staked_on_the_weekend_it_goes_out(garden):
    plan = garden.plan("2027-04-01")
    [step] = plan.of("Hallway ficus", "secure-wind")
    assert "stake" in step["detail"] and 0 <= (date.fromisoformat(step["date"]) - date.fromisoformat(
        plan.plant("Hallway ficus")["out"]["date"])).days <= 6


def test_every_step_has_minutes_and_habits_are_lines_of_a_day(garden):
    plan = garden.plan("2027-04-01")
    assert all(s["minutes"] > 0 for s in plan.steps) and all(s["minutes"] == 0 for s in plan.document["habits"])
    assert {"turn", "water-daily", "quarantine"} <= {s["kind"] for s in plan.document["habits"]}
    assert sum(m["things"] for m in plan.document["months"]) == len({s["thing"] for s in plan.steps}) < len(plan.steps)
    assert sum(m["minutes"] for m in plan.document["months"]) == sum(s["minutes"] for s in plan.steps)
    jobs = [(s["kind"], s["place"], s["date"]) for s in plan.steps]
    assert len(jobs) == len(set(jobs))


AWAY = """
[[away]]
from = 2027-07-10
until = 2027-07-25
helper = true

[[away]]
from = 2027-05-28
until = 2027-06-08
"""


def test_nothing_is_asked_for_on_days_away_and_the_helper_has_a_list(garden):
    before = garden.plan("2027-04-01")
    (garden.folder / "scenario.toml").write_text(
        (garden.folder / "scenario.toml").read_text(encoding="utf-8") + AWAY, encoding="utf-8")
    plan = garden.plan("2027-04-01")
    for first, until in (("2027-07-10", "2027-07-25"), ("2027-05-28", "2027-06-08")):
        assert not [s for s in plan.steps if first <= s["date"] < until]
        assert [s for s in before.steps if first <= s["date"] < until]
        assert not [stop for p in plan.document["plants"] for stop in p["route"] if first <= stop["date"] < until]
    alone, helped = plan.document["helper"]
    assert helped["helper"] and [day["date"] for day in helped["days"]] == [after("2027-07-10", n) for n in range(15)]
    assert all(day["do"] for day in helped["days"]) and not alone["days"]
    assert alone["risk"] and any("saucers" in line for line in alone["before"])


def test_three_gardens_are_one_persons_round(garden, tmp_path):
    folders = [garden.folder]
    for n, name in enumerate(("two", "three"), 1):
        shutil.copytree(garden.folder, tmp_path / name, ignore=shutil.ignore_patterns("out"))
        text = (tmp_path / name / "scenario.toml").read_text(encoding="utf-8")
        text = text.replace('name = "Fallowmere (invented)"',
                            f'name = "Garden {name} (invented)"\ntravel_minutes = {20 * n}')
        (tmp_path / name / "scenario.toml").write_text(text, encoding="utf-8")
        folders.append(tmp_path / name)
    said = run("plan", *folders, "--no-page", "--out", tmp_path / "all", "--today", "2027-04-01")
    assert said.count("\n") <= 60
    found = json.loads((tmp_path / "all" / "round.json").read_text(encoding="utf-8"))
    plans = [json.loads((tmp_path / "all" / f.name / "plan.json").read_text(encoding="utf-8")) for f in folders]
    uids = {step["uid"]: step for plan in plans for step in plan["steps"]}
    for day in found["days"]:
        work = sum(uids[uid]["minutes"] for g in day["gardens"] for uid in g["steps"])
        assert day["minutes"] == day["travel_minutes"] + work
        assert day["minutes"] <= 180 or any("over your" in uids[uid]["why"] or uids[uid]["kind"].startswith("move")
                                            for g in day["gardens"] for uid in g["steps"]), day
    several = [day for day in found["days"] if len(day["gardens"]) > 1]
    run("plan", *folders, "--no-page", "--own-hands", "--quiet", "--out", tmp_path / "own", "--today", "2027-04-01")
    alone = garden.plan("2027-04-01").steps
    own = json.loads((tmp_path / "own" / "garden" / "plan.json").read_text(encoding="utf-8"))["steps"]
    assert [s["uid"] for s in own] == [s["uid"] for s in alone] and not (tmp_path / "own" / "round.json").exists()
    assert len(several) <= len(found["days"]) / 3              # one garden a day as far as it goes: round_days.py
