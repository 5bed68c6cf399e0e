"""`done`: writes what was done into log.csv, one line per plant, and the next plan follows it."""

import csv
import json
import shutil
from pathlib import Path

import pytest
from click.testing import CliRunner

from seasonplan.cli import main

SHIPPED = Path(__file__).parent.parent.parent / "scenarios" / "fallowmere"


def unfolded(calendar: bytes) -> str:
    return calendar.replace(b"\r\n ", b"").decode()


def run(*args, exit_code=0):
    result = CliRunner().invoke(main, [str(a) for a in args])
    assert result.exit_code == exit_code, result.output
    return result.output


@pytest.fixture
def folder(tmp_path):
    shutil.copytree(SHIPPED, tmp_path / "garden", ignore=shutil.ignore_patterns("out"))
    return tmp_path / "garden"


def steps_of(folder):
    run("plan", folder, "--no-page", "--quiet", "--today", "2027-04-01")
    return json.loads((folder / "out" / "plan.json").read_text(encoding="utf-8"))["steps"]


def logged(folder):
    with (folder / "log.csv").open(encoding="utf-8", newline="") as file:
        return list(csv.DictReader(file))


def test_a_move_done_elsewhere_and_late_is_where_the_next_plan_starts(folder):
    before = len(logged(folder)) if (folder / "log.csv").exists() else 0
    step = next(s for s in steps_of(folder) if s["kind"] == "move-out")
    name = step["plants"][0]
    run("done", folder, step["uid"].split("@")[0], "--on", "2027-06-07", "--plant", name, "--place", "east step")
    assert len(logged(folder)) == before + 1
    assert logged(folder)[-1] | {"date": "2027-06-07", "step": "move-out", "plant": name, "place": "east step"} == \
        logged(folder)[-1]
    steps_of(folder)
    document = json.loads((folder / "out" / "plan.json").read_text(encoding="utf-8"))
    plant = next(p for p in document["plants"] if p["name"] == name)
    assert plant["out"]["date"] == "2027-06-07" and plant["route"][0]["place"] == "east step"


def test_a_job_done_is_not_asked_again(folder):
    leach = next(s for s in steps_of(folder) if s["kind"] == "leach")
    run("done", folder, leach["uid"], "--on", leach["date"])
    calendar = (folder / "out" / "calendar.ics").read_bytes()
    again = {n for s in steps_of(folder) if s["kind"] == "leach" and s["uid"] == leach["uid"] for n in s["plants"]}
    assert not again & set(leach["plants"])
    after = (folder / "out" / "calendar.ics").read_bytes()
    stem = leach["uid"].split("@")[0]
    assert stem in unfolded(calendar) and stem not in unfolded(after) and "Cancelled" not in unfolded(after)


def test_an_unknown_step_or_plant_gets_the_nearest_and_writes_nothing(folder):
    existing = (folder / "log.csv").read_bytes() if (folder / "log.csv").exists() else None
    assert "Did you mean" in run("done", folder, "leech", exit_code=2)
    assert "Did you mean" in run("done", folder, "leach", "--plant", "Big lemom", exit_code=2)
    assert ((folder / "log.csv").read_bytes() if (folder / "log.csv").exists() else None) == existing


def test_a_kind_that_fits_many_steps_asks_for_more(folder):
    assert "fits" in run("done", folder, "leach", exit_code=2)
