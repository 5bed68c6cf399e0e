"""`done`: writes what was done into log.csv, one line per plant, and the next plan follows it."""

import csv
import json
import re
import shutil
from datetime import date, timedelta
from pathlib import Path

import pytest
from click.testing import CliRunner
from gardens import FEW, thin_out

from seasonplan.cli import main

pytestmark = pytest.mark.usefixtures("remembered_plans")

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
    thin_out(tmp_path / "garden")
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
    steps = steps_of(folder)
    jobs = [s["date"] for s in steps if s["kind"] not in ("move-out", "move", "move-in", "cloth")]
    leach = next(s for s in steps if s["kind"] == "leach" and jobs.count(s["date"]) > 1)   # the day keeps other work
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


def entries_of(folder):
    return [(e["date"], e["step"], e["plant"], e["place"], e["note"]) for e in logged(folder)] \
        if (folder / "log.csv").exists() else []


def test_a_move_is_logged_with_the_place_and_the_cloth_of_each_plant(folder):
    steps_of(folder)
    document = json.loads((folder / "out" / "plan.json").read_text(encoding="utf-8"))
    routes = {p["name"]: p["route"] for p in document["plants"]}
    day = next(s["date"] for s in document["steps"] if s["kind"] == "move-out")
    moved = [s for s in document["steps"] if s["date"] == day and s["kind"].startswith("move")]
    run("done", folder, day, "--on", "2027-06-08", "--today", "2027-06-08")
    told = {e[2]: e for e in entries_of(folder) if e[1].startswith("move")}
    assert set(told) == {name for step in moved for name in step["plants"]}
    for name, (when, _, _, place, note) in told.items():
        stop = next(s for s in routes[name] if s["date"] == day)
        percent = (stop.get("shade") or {}).get("percent", 0)
        assert when == "2027-06-08" and place == stop["place"]
        assert note == (f"cloth {percent} %" if percent else "no cloth")


def test_a_day_means_what_stood_under_it_on_the_plan_in_hand(folder):
    """Work of a weekend, told on the Wednesday after: a plan made then would have dated it afresh."""
    run("done", folder, "begin", "--on", "2027-03-10")
    run("plan", folder, "--no-page", "--quiet", "--today", "2027-03-20")
    planned = json.loads((folder / "out" / "plan.json").read_text(encoding="utf-8"))["steps"]
    day = next(s["date"] for s in planned if s["kind"].startswith("feed"))
    after = str(date.fromisoformat(day) + timedelta(days=3))
    run("done", folder, day, "--on", day, "--today", after)
    assert {(e[1], e[2]) for e in entries_of(folder)[1:]} == {
        (s["kind"], name) for s in planned if s["date"] == day for name in s["plants"]}
    run("done", folder, "--undo", "--on", day)
    left = {(e[1], e[2]) for e in entries_of(folder)}
    run("done", folder, day, "--on", day, "--today", after)
    assert len(entries_of(folder)) == len(set(entries_of(folder))) and {(e[1], e[2]) for e in entries_of(folder)} > left


@pytest.mark.parametrize(("args", "words"), [
    (["move-out", "--plant", "Big lemon", "--place", "mars"], "no place is called 'mars'"),
    (["move-out", "--plant", "Big lemon", "--place", "south window"], "indoors"),
    (["move-in", "--plant", "Big lemon", "--place", "porch"], "outdoors"),
    (["died"], "no plant is named"),
    (["found-scale"], "no plant is named"),
    (["found-thrips", "--plant", "Big lemon"], "found-mealybug"),
    (["arrived", "--plant", "Orchid tree"], "Add its row"),
    (["leach", "--plant", "Snake plants", "--some", "3"], "1 to 2 pots"),
    (["2027-05-29", "--some", "1"], "one plant"),
    (["2027-01-02"], "nothing is planned"),
    (["leach", "--plant", "Big lemon", "--on", "2031-05-01"], "Is the year right?"),
    (["--undo", "prune"], "does not tell"),
    ([], "nothing is named")])
def test_what_cannot_be_is_refused_and_the_log_stays(folder, args, words):
    (folder / "log.csv").write_text("date,step,plant,place,note\n2026-05-01,leach,Big lemon,,\n", encoding="utf-8")
    before = (folder / "log.csv").read_bytes()
    assert words in " ".join(run("done", folder, *args, "--today", "2027-06-08", exit_code=2).split())
    assert (folder / "log.csv").read_bytes() == before


def test_all_that_is_wrong_is_told_at_once(folder):
    said = run("done", folder, "move-out", "--plant", "Big lemom", "--place", "mars", exit_code=2)
    assert "Big lemom" in said and "mars" in said


def test_some_pots_of_a_row_are_a_plant_of_their_own_in_the_next_plan(folder):
    run("done", folder, "move-out", "--plant", "snake plants", "--place", "porch", "--some", "1", "--on", "2027-06-05",
        "--today", "2027-06-06")
    [entry] = entries_of(folder)                      # under whatever cloth the plan has for them there
    assert entry[:4] == ("2027-06-05", "move-out", "Snake plants", "porch")
    assert re.fullmatch("1 pot; (cloth [0-9]+ %|no cloth)", entry[4])
    run("plan", folder, "--no-page", "--quiet", "--today", "2027-06-06")
    plants = json.loads((folder / "out" / "plan.json").read_text(encoding="utf-8"))["plants"]
    rows = {p["name"]: p for p in plants}
    assert rows["Snake plants"]["count"] == rows["Snake plants, part 2"]["count"] == 1
    assert rows["Snake plants, part 2"]["route"][0]["date"] == "2027-06-05"
    run("done", folder, "move", "--plant", "Snake plants, part 2", "--place", "lawn", "--on", "2027-06-12")
    assert entries_of(folder)[-1] == ("2027-06-12", "move", "Snake plants, part 2", "lawn", "no cloth")
    run("done", folder, "move-out", "--plant", "Snake plants", "--place", "lawn", "--on", "2027-06-13")
    assert entries_of(folder)[-1][-1] == "1 pot; no cloth"
    run("plan", folder, "--no-page", "--quiet", "--today", "2027-06-14")
    plants = json.loads((folder / "out" / "plan.json").read_text(encoding="utf-8"))["plants"]
    assert {p["name"]: p["count"] for p in plants}["Snake plants"] == 2 and len(plants) == len(FEW)


def test_undo_takes_the_last_entry_back_and_leaves_the_rest_as_it_was(folder):
    first = "date,step,plant,place,note\r\n2026-05-01,leach,Big lemon,,\"two\r\nlines\"\r\n"
    (folder / "log.csv").write_bytes(first.encode())
    run("done", folder, "found scale", "--plant", "Big lemon", "--plant", "Gardenia", "--on", "2027-06-05")
    assert [e[1] for e in entries_of(folder)][-2:] == ["found-scale", "found-scale"]
    run("done", folder, "died", "--plant", "Gardenia", "--on", "2027-06-06")
    run("done", folder, "found-scale", "--undo")
    assert [e[1] for e in entries_of(folder)] == ["leach", "died"]
    run("done", folder, "--undo")
    assert (folder / "log.csv").read_bytes() == first.encode()
    run("done", folder, "--undo")
    assert (folder / "log.csv").read_bytes() == b"date,step,plant,place,note\r\n"


def test_as_planned_logs_everything_before_the_day_on_its_own_day(folder):
    planned = [s for s in steps_of(folder) if s["date"] < "2027-06-10"]
    said = run("done", folder, "found-aphid", "--plant", "Kentia palm", "--today", "2027-06-10")
    assert f"{len(planned)} things" in said and "as-planned" in said
    run("done", folder, "--undo")
    run("done", folder, "as-planned", "--on", "2027-06-10", "--today", "2027-06-10")
    assert {(e[0], e[1], e[2]) for e in entries_of(folder)} == {
        (s["date"], s["kind"], name) for s in planned for name in s["plants"]}


def test_the_log_may_begin_on_a_day_with_nothing_done_before(folder):
    run("done", folder, "begin", "--on", "2027-06-10", "--note", "new here")
    assert entries_of(folder) == [("2027-06-10", "begin", "", "", "new here")]


def test_deeds_of_other_words_are_understood(folder):
    run("done", folder, "Given away", "--plant", "Big lemon", "--on", "2027-06-10")
    run("done", folder, "found no", "--plant", "Gardenia", "--on", "2027-06-10")
    run("done", folder, "rescue", "--plant", "Gardenia", "--on", "2027-06-10")
    assert [e[1:4] for e in entries_of(folder)] == [
        ("given-away", "Big lemon", ""), ("pest-clear", "Gardenia", ""), ("rescue", "Gardenia", "east sill")]


def readings_of(folder):
    return (folder / "readings.csv").read_text(encoding="utf-8").splitlines()


def test_a_reading_goes_into_readings_csv_and_a_better_one_replaces_it(folder):
    told = run("done", folder, "reading", "4.5", "--place", "East step", "--on", "2027-05-14")
    assert told == "Logged: 4.5 °C at east step in the night to 2027-05-14.\n"
    run("done", folder, "reading", "-2.5", "--place", "east step", "--on", "2027-05-15")
    run("done", folder, "reading", "40f", "--place", "east step", "--on", "2027-05-14")
    assert readings_of(folder) == ["date,place,tmin_c", "2027-05-15,east step,-2.5", "2027-05-14,east step,4.44"]
    assert "Taken back: -2.5" in run("done", folder, "reading", "--undo").replace("\N{MINUS SIGN}", "-")
    assert len(readings_of(folder)) == 2


@pytest.mark.parametrize("args, said", [
    (["reading"], "the low is missing"), (["reading", "4", "--plant", "Fern"], "no reading has"),
    (["reading", "4", "--place", "east stepp"], "Did you mean east step?"), (["reading", "4"], "which thermometer"),
    (["leach", "4"], "takes no number"), (["reading", "--undo"], "no such reading")])
def test_a_reading_that_cannot_be_is_refused_and_nothing_is_written(folder, args, said):
    assert said in run("done", folder, *args, exit_code=2)
    assert not (folder / "readings.csv").exists()


def test_a_temperature_nobody_reads_is_refused(folder):
    assert "allowed" in run("done", folder, "reading", "400", "--place", "east step", exit_code=2)


def test_a_cloth_is_taken_from_the_plan_only_where_the_plan_has_that_place_at_about_that_time(folder):
    run("plan", folder, "--today", "2027-03-01", "--quiet", "--no-page")
    document = json.loads((folder / "out" / "plan.json").read_text())
    name, stop = next((p["name"], stop) for p in document["plants"] for stop in p["route"][:1] if stop["shade"])
    near, far = (date.fromisoformat(stop["date"]) + timedelta(days=n) for n in (7, -30))
    said = run("done", folder, "move-out", "--plant", name, "--place", stop["place"], "--on", near)
    percent = stop["shade"]["percent"]
    assert f"cloth {percent} %" in (folder / "log.csv").read_text()
    assert f"under {percent} % cloth (--cloth 0 if none hangs)" in said
    run("done", folder, "--undo")
    said = run("done", folder, "move-out", "--plant", name, "--place", stop["place"], "--on", far)
    assert "no cloth" in (folder / "log.csv").read_text() and "% cloth" not in said


def test_an_entry_dated_ahead_is_said_by_check_and_plan_and_a_day_in_another_form_is_understood(folder):
    (folder / "log.csv").write_text("date,step,plant,place,note\n29.3.2027,leach,Big lemon,,\n"
                                    "2027-05-02,repot,Big lemon,,\n")
    said = " ".join(run("check", folder, "--today", "2027-04-01").split())
    assert "log.csv:3 is dated Sun 2 May 2027, a day that has not come" in said
    assert "has not come" in " ".join(run("plan", folder, "--today", "2027-04-01", "--no-page").split())
    assert "has not come" not in run("check", folder, "--today", "2027-05-02")
    document = json.loads((folder / "out" / "plan.json").read_text())
    assert not [s for s in document["steps"] if s["kind"] == "leach" and "Big lemon" in s["plants"]
                and s["date"] < "2027-04-29"]
