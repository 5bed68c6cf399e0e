"""Our calendars in readers that we did not make: vobject, ics, recurring-ical-events, icalendar's own reader, and,
where they are installed, libical (a C library, through ctypes) and khal (a calendar store and reader).

Truth here is agreement: what each of them finds in a calendar (titles, dates, times, alarms, count) must be the same,
and must be what the plan says. No tolerance: dates and texts are equal or not.
"""

from __future__ import annotations

import ctypes
import ctypes.util
import shutil
import subprocess
from dataclasses import replace
from datetime import UTC, date, datetime, timedelta
from functools import cache

import ics
import pytest
import recurring_ical_events
import vobject
from icalendar import Calendar
from invented import by_step, make_plan, make_scenario, make_site, make_step

from seasonplan.dates import planning_year
from seasonplan.model import Alert, Plan, WatchReport
from seasonplan.outputs.calendar import combine, render_calendar, update_alerts
from seasonplan.outputs.calendar_events import day_uid
from seasonplan.outputs.daybook import MOVE_KINDS

pytestmark = pytest.mark.filterwarnings("ignore")
"""Readers of their own age warn of their own affairs."""

AWKWARD = ("semi;colon, comma and \"quotes\"", "back\\slash \\n", "two\nlines", "שרך בוסטון", "👩🏽‍🌾 pots",
           "<b>bold</b>", "colon: 100 %", "long " * 40, "Zürich fern é")
PLAN = make_plan(steps=tuple(
    make_step(date(2027, 5, 1) + timedelta(days=3 * n), "repot", (name, "Olive"), title=f"Repot {name}", place=name,
              detail=name, uid=f"2027-repot-awkward-{n}-00000000@seasonplan.invalid")
    for n, name in enumerate(AWKWARD)))
SOUTH = make_plan(
    scenario=make_scenario(site=make_site(name="Southern town", latitude_deg=-37.0, timezone="Australia/Melbourne")),
    alerts=(Alert("watch-2027-04-02-lawn-1@seasonplan.invalid", date(2027, 4, 2), "lawn", None, 3.0, 0.4, 4.0,
                  ("Jade",), "Carry it in.", "2027-04-02T17:30"),),
    steps=(make_step(date(2027, 9, 1), "spray", ("Jade",)),))
CALENDARS = {"a year": make_plan(), "awkward names": PLAN, "southern autumn": SOUTH}

Seen = dict[str, tuple]
"""UID -> (start, end, title, alarm offset); times in UTC, ends exclusive."""


def instant(when) -> date:
    return when.astimezone(UTC) if isinstance(when, datetime) else when


def seen(event) -> tuple:
    alarms = [alarm["TRIGGER"].dt for alarm in event.walk("VALARM")]
    return instant(event["DTSTART"].dt), instant(event["DTEND"].dt), str(event["SUMMARY"]), alarms


def by_icalendar(raw: bytes) -> Seen:
    return {str(event["UID"]): seen(event) for event in Calendar.from_ical(raw).walk("VEVENT")}


def by_vobject(raw: bytes) -> Seen:
    found = {}
    for event in vobject.readOne(raw.decode()).vevent_list:
        alarms = [alarm.trigger.value for alarm in getattr(event, "valarm_list", [])]
        found[event.uid.value] = (instant(event.dtstart.value), instant(event.dtend.value), event.summary.value, alarms)
    return found


def by_ics(raw: bytes) -> Seen:
    found = {}
    for event in ics.Calendar(raw.decode()).events:
        start, end = event.begin.datetime, event.end.datetime
        if event.all_day:
            start, end = start.date(), end.date()
        found[event.uid] = (instant(start), instant(end), event.name, [alarm.trigger for alarm in event.alarms])
    return found


def by_occurrences(raw: bytes) -> Seen:
    found = {}
    for event in recurring_ical_events.of(Calendar.from_ical(raw)).between((2026, 1, 1), (2029, 1, 1)):
        assert str(event["UID"]) not in found, "nothing of ours recurs"
        found[str(event["UID"])] = seen(event)
    return found


@pytest.mark.parametrize("reader", [by_vobject, by_ics, by_occurrences])
@pytest.mark.parametrize("plan", CALENDARS.values(), ids=CALENDARS.keys())
def test_readers_agree_on_every_event(plan: Plan, reader):
    raw = render_calendar(plan, None)
    assert reader(raw) == by_icalendar(raw)
    assert len(reader(raw)) == len(plan.steps) + len(plan.alerts)


@pytest.mark.parametrize("reader", [by_icalendar, by_vobject, by_ics, by_occurrences])
def test_readers_find_what_the_plan_says(reader):
    plan = make_plan()
    found, by_day = reader(render_calendar(by_step(plan), None)), reader(render_calendar(plan, None))
    for step in plan.steps:
        start, end, title, alarms = found[step.uid]
        assert (start, end, alarms) == (step.date, step.date + timedelta(days=1), [timedelta(hours=-5)])
        assert title == step.title or step.kind in MOVE_KINDS and step.plants[0] in title
        day = step.uid if step.kind in MOVE_KINDS else day_uid(
            planning_year(step.date, plan.site.latitude_deg), plan.site.name, step.date)
        assert by_day[day][:2] == (start, end) and by_day[day][3] == alarms
    by = datetime(2027, 5, 12, 0, 0, tzinfo=UTC)
    back = datetime(2027, 5, 13, 14, 0, tzinfo=UTC)
    assert found[plan.alerts[0].uid][:2] == (by - timedelta(hours=1), back), "19:00 and 9:00 in Chicago in May"
    autumn = by_icalendar(render_calendar(SOUTH, None))[SOUTH.alerts[0].uid]
    assert autumn[1] == datetime(2027, 4, 2, 22, 0, tzinfo=UTC), "9:00 on 3 April in Melbourne, still summer time"


def test_readers_agree_on_long_texts():
    """Descriptions with commas, semicolons, quotes, line breaks and several scripts, through three readers."""
    raw = render_calendar(PLAN, None)
    ours = {str(e["UID"]): str(e["DESCRIPTION"]) for e in Calendar.from_ical(raw).walk("VEVENT")}
    assert {e.uid.value: e.description.value for e in vobject.readOne(raw.decode()).vevent_list} == ours
    assert {e.uid: e.description for e in ics.Calendar(raw.decode()).events} == ours
    assert any("\n\n" in text for text in ours.values())


@cache
def later_versions() -> list[bytes]:
    """A calendar through its life: planned, a step changed and one dropped, an alert raised and called off."""
    plan = make_plan(alerts=())
    changed = replace(plan.steps[1], date=plan.steps[1].date + timedelta(days=7))
    second = replace(plan, steps=(plan.steps[0], changed, *plan.steps[3:]), today=date(2027, 6, 1))
    alert = make_plan().alerts[0]
    alert = replace(alert, night=date(2027, 6, 3), by="2027-06-03T20:00", uid="watch-2027-06-03-x-1@seasonplan.invalid")
    calendars = [render_calendar(plan, None)]
    calendars.append(render_calendar(second, calendars[-1]))
    for alerts in ((alert,), ()):
        report = WatchReport(plan.site.name, "2027-06-01", "invented", alerts)
        calendars.append(update_alerts(calendars[-1], second, report))
    return calendars


@pytest.mark.parametrize("reader", [by_icalendar, by_vobject, by_ics])
def test_importing_every_version_leaves_no_duplicate(reader):
    """A store that goes by UID, fed by an independent reader with each version of the file in turn."""
    plan, store = make_plan(alerts=()), {}
    for raw in later_versions():
        store.update(reader(raw))
    assert len(store) == len(plan.steps) + 1
    assert store[plan.steps[1].uid][0] == plan.steps[1].date + timedelta(days=7)
    called_off = [uid for uid, seen in store.items() if seen[2].startswith("Cancelled: ")]
    assert sorted(called_off) == sorted([plan.steps[2].uid, "watch-2027-06-03-x-1@seasonplan.invalid"])
    assert all(store[uid][3] == [] for uid in called_off), "nothing rings for what is called off"


def test_every_reader_opens_a_combined_calendar():
    raw = combine([make_plan(), SOUTH], None)
    assert by_vobject(raw) == by_ics(raw) == by_icalendar(raw)
    assert len(by_icalendar(raw)) == sum(len(plan.steps) + len(plan.alerts) for plan in (make_plan(), SOUTH))


LIBICAL = ctypes.util.find_library("ical")


@pytest.mark.skipif(LIBICAL is None, reason="libical is not installed")
@pytest.mark.parametrize("plan", CALENDARS.values(), ids=CALENDARS.keys())
def test_libical_has_no_complaint(plan):
    """Its parser and its table of restrictions (which properties may stand where, and how often) find no error."""
    lib = ctypes.CDLL(LIBICAL)
    lib.icalparser_parse_string.restype = ctypes.c_void_p
    for name in ("icalcomponent_count_errors", "icalrestriction_check", "icalcomponent_free"):
        getattr(lib, name).argtypes = [ctypes.c_void_p]

    def errors_in(raw: bytes) -> int:
        calendar = lib.icalparser_parse_string(raw)
        assert calendar
        lib.icalrestriction_check(calendar)
        count = lib.icalcomponent_count_errors(calendar)
        lib.icalcomponent_free(calendar)
        return count

    for raw in (render_calendar(plan, None), later_versions()[-1]):
        assert errors_in(raw) == 0
    assert errors_in(raw.replace(b"CALSCALE:GREGORIAN", b"METHOD:PUBLISH")) > 0, "PUBLISH without an ORGANIZER"
    assert errors_in(raw.replace(b"DTSTART;VALUE=DATE:", b"DTSTART;VALUE=DATE:x")) > 0


KHAL = shutil.which("khal")


@pytest.mark.skipif(KHAL is None, reason="khal is not installed")
def test_khal_imports_two_versions_and_lists_each_event_once(tmp_path):
    (tmp_path / "store").mkdir()
    config = tmp_path / "khal.conf"
    config.write_text(f"[calendars]\n[[plants]]\npath = {tmp_path}/store\n[sqlite]\npath = {tmp_path}/khal.db\n"
                      "[locale]\nlocal_timezone = UTC\ndefault_timezone = UTC\ntimeformat = %H:%M\n"
                      "dateformat = %Y-%m-%d\nlongdateformat = %Y-%m-%d\ndatetimeformat = %Y-%m-%d %H:%M\n"
                      "longdatetimeformat = %Y-%m-%d %H:%M\n")

    def khal(*words: str) -> str:
        done = subprocess.run([KHAL, "-c", str(config), *words], capture_output=True, text=True, timeout=60,
                              env={"HOME": str(tmp_path), "LC_ALL": "C.UTF-8", "PATH": "/usr/bin:/bin"})
        assert done.returncode == 0, done.stderr
        return done.stdout

    versions = later_versions()
    for raw in (versions[0], versions[-1]):
        (tmp_path / "calendar.ics").write_bytes(raw)
        khal("import", "--batch", "-a", "plants", str(tmp_path / "calendar.ics"))
    listed = khal("list", "--format", "{start-date}|{title}|{uid}", "--day-format", "", "2027-01-01", "2027-12-31")
    rows = [line.split("|") for line in listed.splitlines() if line.strip()]
    expected = {uid: (f"{start:%Y-%m-%d}", title) for uid, (start, _, title, _) in by_icalendar(versions[-1]).items()}
    assert len(rows) == len(expected)
    assert {uid: (day, title) for day, title, uid in rows} == expected
