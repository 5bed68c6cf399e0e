"""One invented season of one garden, played day by day: late, ill, rescued, bought, away, given away; planned every few
days, and what must always hold is looked at each time. And any log at all gives a plan or a clear fault.
"""

import csv
import json
from collections import Counter
from datetime import date, timedelta

from click.testing import CliRunner
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from seasonplan.cli import main
from tests.cli.test_life_stories import AWAY, GARDENIA, Garden, Plan, garden  # noqa: F401

EVENTS = {
    "2027-06-09": ("rescue", "--plant", "Hallway ficus"),
    "2027-07-03": ("found aphids", "--plant", "Big lemon"),
    "2027-08-21": ("given-away", "--plant", "Window pothos"),
}
"""What happens beside the work: carried in for a cold night, a pest, a plant that goes."""
BOUGHT, LATE = "2027-06-21", ("2027-05-20", "2027-06-02")
"""A gardenia joins; nothing is done in the second half of May."""
DAYS = [(date(2027, 4, 1) + timedelta(days=n)).isoformat() for n in range(0, 215, 18)]
"""season_by_day.py plays every day of a season like it, and the suite ten weeks of that."""
MOVES = ("move-out", "move", "move-in")


def log_of(folder) -> list[dict]:
    with (folder / "log.csv").open(encoding="utf-8", newline="") as file:
        return list(csv.DictReader(file))


def broken(plan: Plan, today: str, log: list[dict]) -> list[str]:
    """What does not hold in a plan of a season that is kept."""
    done = {(entry["step"], entry["plant"]) for entry in log}
    found = [f"{s['kind']} on {s['date']} lies in the past" for s in plan.steps if s["date"] < today]
    found += [f"{s['uid']} is open since {s['open_since']}" for s in plan.steps
              if s["open_since"] and s["open_since"] >= today]
    found += [f"{s['uid']} of {name} is done already" for s in plan.steps for name in s["plants"]
              if (s["uid"], name) in done]
    uids = Counter(s["uid"] for s in plan.steps)
    things = Counter((s["kind"], name, s["date"]) for s in plan.steps for name in s["plants"])
    found += [f"{thing} stands there {n} times" for thing, n in [*uids.items(), *things.items()] if n > 1]
    for plant in plan.document["plants"]:
        found += [f"{plant['name']}: an empty stay on {s['date']}" for s in plant["route"] if s["date"] >= s["until"]]
        outside = [s for s in plan.of(plant["name"], *MOVES)]
        if [s["kind"] for s in outside].count("move-in") > 1 or outside and outside[-1]["kind"] != "move-in":
            found.append(f"{plant['name']}: {[s['kind'] for s in outside]}")
    return found


def test_a_season_is_played_day_by_day(garden):  # noqa: F811
    (garden.folder / "scenario.toml").write_text(
        (garden.folder / "scenario.toml").read_text(encoding="utf-8") + AWAY, encoding="utf-8")
    garden.plan(DAYS[0])
    garden.done("begin", on=DAYS[0])
    before, told, last = None, [], DAYS[0]
    for day in DAYS[1:]:
        if not LATE[0] <= day < LATE[1]:
            garden.done("as-planned", on=day)
        happened = [on for on in EVENTS if last < on <= day]
        for on in happened:
            garden.done(*EVENTS[on], on=on)
        if last < BOUGHT <= day:
            garden.write([*garden.rows(), GARDENIA])
        plan = garden.plan(day)
        told += [f"{day}: {each}" for each in broken(plan, day, log_of(garden.folder))]
        if before and not happened:
            for plant in plan.document["plants"]:
                was = next((p for p in before.document["plants"] if p["name"] == plant["name"]), None)
                if was and was["in"]["date"] and plant["in"]["date"] and was["in"]["date"] > day:
                    jump = abs(date.fromisoformat(plant["in"]["date"]) - date.fromisoformat(was["in"]["date"])).days
                    if jump > 21:
                        told.append(f"{day}: {plant['name']} comes in {jump} days from where it did")
        before, last = plan, day
    assert told == []
    assert any(entry["step"] == "rescue" or entry["place"] for entry in log_of(garden.folder))
    assert plan.steps == [] or min(s["date"] for s in plan.steps) >= DAYS[-1]


WORDS = st.sampled_from(["begin", "move-out", "move", "move-in", "rescue", "repot", "leach", "treat", "found-scale",
                         "pest-clear", "died", "given-away", "feed-start", "2027-repot-x-1-35f4dc91", "junk"])
ENTRIES = st.lists(st.tuples(
    st.dates(date(2027, 3, 1), date(2027, 11, 30)).map(str), WORDS,
    st.sampled_from(["", "Big lemon", "Boston fern", "Hallway ficus", "Nobody"]),
    st.sampled_from(["", "porch", "lawn", "stair landing", "nowhere"]),
    st.sampled_from(["", "2 pots", "under 50 % cloth"])), max_size=8)


@settings(max_examples=12, deadline=None, derandomize=True, suppress_health_check=list(HealthCheck))
@given(entries=ENTRIES, today=st.dates(date(2027, 4, 1), date(2027, 11, 30)).map(str))
def test_any_log_gives_a_plan_or_a_clear_fault(garden, entries, today):  # noqa: F811
    assert isinstance(garden, Garden)
    with (garden.folder / "log.csv").open("w", encoding="utf-8", newline="") as file:
        csv.writer(file).writerows([("date", "step", "plant", "place", "note"), *entries])
    result = CliRunner().invoke(main, ["plan", str(garden.folder), "--no-page", "--quiet", "--today", today])
    if result.exit_code == 2:
        assert "log.csv:" in result.output and "allowed" in result.output
        return
    assert result.exit_code == 0, (result.output, result.exception)
    plan = json.loads((garden.folder / "out" / "plan.json").read_text(encoding="utf-8"))
    assert all(stop["date"] < stop["until"] for plant in plan["plants"] for stop in plant["route"])
