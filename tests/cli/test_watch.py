"""A frost in June, from the forecast file to the calendar and back: who is in danger, where to, and cleared again."""

import json
import shutil
from pathlib import Path

import icalendar
import pytest
from click.testing import CliRunner
from gardens import thin_out

from seasonplan.cli import main

pytestmark = pytest.mark.usefixtures("remembered_plans")

SHIPPED = Path(__file__).parent.parent.parent / "scenarios" / "fallowmere"
TODAY = "2027-06-02"


def run(*args):
    return CliRunner().invoke(main, [str(a) for a in args])


@pytest.fixture
def garden(tmp_path):
    shutil.copytree(SHIPPED, tmp_path / "garden", ignore=shutil.ignore_patterns("out"))
    thin_out(tmp_path / "garden")
    assert run("plan", tmp_path / "garden", "--no-page", "--quiet", "--today", "2027-04-01").exit_code == 0
    return tmp_path / "garden"


def watch(garden, forecast, *more):
    return run("watch", garden, "--forecast", forecast, "--today", TODAY, *more)


def mild(garden) -> Path:
    path = garden / "mild.csv"
    path.write_text("date,tmin_c\n" + "".join(f"2027-06-{d:02d},19\n" for d in range(2, 12)))
    return path


def events(garden) -> dict[str, icalendar.Event]:
    calendar = icalendar.Calendar.from_ical((garden / "out" / "calendar.ics").read_bytes())
    found = [(str(e["UID"]), e) for e in calendar.walk("VEVENT")]
    assert len(found) == len(dict(found))
    return dict(found)


def outdoors_on(garden, day: str) -> dict[str, str]:
    document = json.loads((garden / "out" / "plan.json").read_text(encoding="utf-8"))
    return {p["name"]: s["place"] for p in document["plants"] for s in p["route"] if s["date"] <= day < s["until"]}


def test_frost_raises_alerts_for_exactly_the_plants_whose_threshold_is_passed(garden):
    result = watch(garden, garden / "forecast.csv", "--json")
    assert result.exit_code == 10, result.output
    report = json.loads(result.stdout)
    frost = [a for a in report["alerts"] if a["night"] == "2027-06-03"]
    document = json.loads((garden / "out" / "plan.json").read_text(encoding="utf-8"))
    harm = {p["name"]: p["harm_c"] for p in document["plants"]}
    where = outdoors_on(garden, "2027-06-03")
    lows = {a["place"]: a["low_c_at_place"] for a in frost}
    endangered = {name for name, place in where.items() if place in lows and lows[place] <= harm[name]}
    told = {name for a in frost for name in a["plants"]}
    assert endangered and endangered <= told <= set(where)
    assert all(a["by"] < f"{a['night']}T21:00" and a["action"] for a in report["alerts"])


def test_alerts_come_and_go_without_a_second_event(garden):
    before = events(garden)
    assert watch(garden, garden / "forecast.csv").exit_code == 10
    raised = events(garden)
    alerts = {u: e for u, e in raised.items() if u.startswith("watch-")}
    assert alerts and all(u in raised and raised[u].to_ical() == e.to_ical() for u, e in before.items())
    assert all(e.walk("VALARM") and str(e["DTSTART"].dt.tzinfo) in ("UTC", "tzutc()") for e in alerts.values())
    result = watch(garden, mild(garden))
    assert result.exit_code == 0, result.output
    cleared = events(garden)
    assert set(cleared) == set(raised)
    for uid, event in alerts.items():
        assert str(cleared[uid]["STATUS"]) == "CANCELLED" and str(cleared[uid]["SUMMARY"]).startswith("Cancelled")
        assert int(cleared[uid]["SEQUENCE"]) > int(event.get("SEQUENCE", 0))
    assert all(cleared[u].to_ical() == e.to_ical() for u, e in before.items())


def test_quiet_is_silent_when_all_is_well_and_speaks_when_not(garden):
    assert watch(garden, mild(garden), "--quiet").stdout == ""
    assert "act" in watch(garden, garden / "forecast.csv", "--quiet").stdout


def test_a_persons_own_event_stays(garden):
    path = garden / "out" / "calendar.ics"
    own = (b"BEGIN:VEVENT\r\nUID:mine@example.org\r\nDTSTAMP:20270101T000000Z\r\nDTSTART;VALUE=DATE:20270605\r\n"
           b"SUMMARY:Birthday\r\nEND:VEVENT\r\n")
    path.write_bytes(path.read_bytes().replace(b"END:VCALENDAR", own + b"END:VCALENDAR"))
    watch(garden, garden / "forecast.csv")
    assert own in path.read_bytes()
    assert run("plan", garden, "--no-page", "--quiet", "--today", TODAY).exit_code == 0
    assert own in path.read_bytes()


def test_a_forecast_that_cannot_be_had_ends_with_exit_3_and_leaves_the_calendar(garden, monkeypatch, tmp_path):
    monkeypatch.setenv("XDG_CACHE_HOME", str(tmp_path / "cache"))
    before = (garden / "out" / "calendar.ics").read_bytes()
    result = watch(garden, "met-norway", "--offline")
    assert result.exit_code == 3 and "offline" in result.output.lower(), result.output
    assert (garden / "out" / "calendar.ics").read_bytes() == before


def test_a_faulty_forecast_file_is_told_with_its_line(garden):
    (garden / "bad.csv").write_text("date,tmin_c\n2027-06-02,ten\n")
    result = watch(garden, garden / "bad.csv")
    assert result.exit_code == 2 and "bad.csv:2" in result.output
    result = watch(garden, garden / "forcast.csv")
    assert result.exit_code == 2 and "forcast.csv" in result.output


def test_a_pest_found_in_june_replans_and_leaves_the_other_jobs_their_ids(garden):
    def steps():
        document = json.loads((garden / "out" / "plan.json").read_text(encoding="utf-8"))
        return document["steps"]

    name = "Snake plants"
    assert run("done", garden, "as-planned", "--on", "2027-06-21", "--today", "2027-06-21").exit_code == 0
    assert run("plan", garden, "--no-page", "--quiet", "--today", "2027-06-21").exit_code == 0
    before = {s["uid"] for s in steps()}
    assert run("done", garden, "found-scale", "--plant", name, "--on", "2027-06-20").exit_code == 0
    assert run("plan", garden, "--no-page", "--quiet", "--today", "2027-06-21").exit_code == 0
    after = steps()
    mine = [s for s in after if name in s["plants"]]
    kinds = {s["kind"] for s in mine}
    assert {"isolate", "treat"} <= kinds
    sprays = sorted(s["date"] for s in mine if s["kind"] == "treat")
    assert len(sprays) >= 3 and sprays[0] >= "2027-06-20"
    ins = [s["date"] for s in mine if s["kind"] == "move-in"]
    assert ins and all(i >= sprays[-1] for i in ins)
    kept = {s["uid"] for s in after}
    assert len(before) > 25 and before <= kept
