"""Every scenario that ships, through the command line: planned twice to the same bytes, checked, looked at, watched."""

import json
import shutil
from pathlib import Path

import pytest
from click.testing import CliRunner

from seasonplan.cli import main
from seasonplan.files import load_scenario

SHIPPED = Path(__file__).parent.parent.parent / "scenarios"
FOLDERS = sorted(p for p in SHIPPED.iterdir() if (p / "scenario.toml").exists())
TODAY = "2027-04-01"


def run(*args, exit_code=0):
    result = CliRunner().invoke(main, [str(a) for a in args])
    assert result.exit_code == exit_code, result.output
    return result.stdout


def outputs(folder: Path) -> dict[str, bytes]:
    return {p.name: p.read_bytes() for p in sorted(folder.iterdir())}


def test_five_scenarios_ship_and_say_they_are_invented():
    assert len(FOLDERS) == 5
    for folder in FOLDERS:
        assert "invented" in (folder / "scenario.toml").read_text(encoding="utf-8").lower()
        assert 12 <= len(load_scenario(folder).plants) <= 40


@pytest.fixture(scope="module", params=FOLDERS, ids=lambda p: p.name)
def planned(request, tmp_path_factory, _remembered):
    """A copy of the scenario, planned once (perhaps by another worker, for a test of its own), with the printed
    summary."""
    folder = tmp_path_factory.mktemp("scenarios") / request.param.name
    shutil.copytree(request.param, folder, ignore=shutil.ignore_patterns("out"))
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr("seasonplan.pipeline.with_moves", _remembered)
        return folder, run("plan", folder, "--today", TODAY)


def test_plan_writes_four_files_and_the_same_bytes_again(planned):
    folder, _ = planned
    first = outputs(folder / "out")
    assert set(first) == {"calendar.ics", "plan.json", "plan.html", "sheet.html"}
    run("plan", folder, "--today", TODAY, "--quiet")
    assert outputs(folder / "out") == first
    if folder.name == "heron-cay":                    # one that is quickly planned; of all, the test of another day
        run("plan", folder, "--today", TODAY, "--out", folder / "fresh", "--quiet")
        assert outputs(folder / "fresh") == first


def test_another_day_changes_no_event_and_no_plan(planned):
    """Into a folder in which nothing stands: calendar and document are those of the other day to the byte."""
    folder, _ = planned
    run("plan", folder, "--today", "2027-06-20", "--out", folder / "later", "--quiet")
    before, later = outputs(folder / "out"), outputs(folder / "later")
    assert later["calendar.ics"] == before["calendar.ics"] and later["plan.json"] == before["plan.json"]


def test_plan_document_has_every_plant_and_its_fields(planned):
    folder, _ = planned
    document = json.loads((folder / "out" / "plan.json").read_text(encoding="utf-8"))
    scenario = load_scenario(folder)
    assert document["schema"] == 1 and [p["name"] for p in document["plants"]] == [p.name for p in scenario.plants]
    for plant in document["plants"]:
        assert plant["status"] in {"moves", "stays-in", "stays-out", "day-trips"} and plant["reason"]
        for end in ("out", "in"):
            assert set(plant[end]) >= {"date", "careful", "carry_in", "chance_of_harm", "expected_cold_nights"}
        if plant["status"] == "moves":
            stops = plant["route"]
            assert stops[0]["date"] == plant["out"]["date"] and stops[-1]["until"] == plant["in"]["date"]
            assert all(a["until"] == b["date"] for a, b in zip(stops, stops[1:], strict=False))
    for step in document["steps"]:
        assert set(step) >= {"uid", "date", "start", "minutes", "kind", "title", "plants", "place", "detail", "why",
                             "cautions"}
        assert step["detail"] and step["why"]


def test_summary_fits_the_terminal_and_starts_with_dates(planned):
    folder, summary = planned
    lines = summary.splitlines()
    assert len(lines) <= 40, "one screen; a long path may take some of them"
    assert all(len(line) <= 80 for line in lines if "/" not in line)
    assert lines[0].startswith(load_scenario(folder).site.name)
    headings = [line for line in lines if line in ("Next two weeks", "Out and back in", "To decide")]
    assert headings == ["Next two weeks", "Out and back in", "To decide"]
    assert any(line.startswith("Next: ") for line in lines[-4:])


def test_check_nights_and_light(planned):
    folder, _ = planned
    assert load_scenario(folder).site.name.split(" (")[0] in run("check", folder)
    nights = json.loads(run("nights", folder, "-t", "10", "-t", "50f", "--json"))["nights"]
    assert [n["threshold_c"] for n in nights if n["source"] == "normals"] == [10.0]
    assert set(nights[0]["spring_last"]) == {"5", "10", "20", "50", "80", "90"}
    light = json.loads(run("light", folder, "--json"))["places"]
    assert all(len(place["days"]) in (365, 366) for place in light)
    assert run("nights", folder) and run("light", folder)


def test_watch_without_a_forecast_answers_from_the_normals(planned):
    folder, _ = planned
    result = CliRunner().invoke(main, ["watch", str(folder), "--today", "2027-07-10", "--json", "--out",
                                       str(folder / "watched")])
    assert result.exit_code in (0, 10), result.output
    report = json.loads(result.stdout)
    assert set(report) >= {"issued", "source", "alerts", "outlook"}


def test_several_folders_make_one_calendar_and_one_index(tmp_path):
    copies = []
    for folder in FOLDERS[:2]:
        shutil.copytree(folder, tmp_path / folder.name, ignore=shutil.ignore_patterns("out"))
        copies.append(tmp_path / folder.name)
    run("plan", *copies, "--out", tmp_path / "all", "--today", TODAY, "--quiet")
    written = {p.name for p in (tmp_path / "all").iterdir()}
    assert written == {"calendar.ics", "index.html", "round.json", *(c.name for c in copies)}
    combined = (tmp_path / "all" / "calendar.ics").read_bytes()
    parts = [(tmp_path / "all" / c.name / "calendar.ics").read_bytes() for c in copies]
    assert combined.count(b"BEGIN:VEVENT") == sum(part.count(b"BEGIN:VEVENT") for part in parts) > 0
