"""What a plan's calendar says, line by line, against RFC 5545 and what calendar readers were seen to do."""

from __future__ import annotations

import unicodedata
from dataclasses import replace
from datetime import UTC, date, datetime, timedelta

import pytest
from hypothesis import example, given, settings
from hypothesis import strategies as st
from icalendar import Calendar, vText
from icalendar.parser import Contentline
from ics_reading import events, raw_events, unfolded
from invented import by_step, make_plan, make_scenario, make_site, make_step

from seasonplan.errors import InputFaults
from seasonplan.model import Rules
from seasonplan.outputs.calendar import combine, render_calendar
from seasonplan.outputs.calendar_events import text_line

LONGEST_LINE_OCTETS = 75
"""RFC 5545 section 3.1."""
CSS_COLOURS = {"seagreen", "olivedrab", "teal"}
"""A few names of CSS Color Module Level 3, section 4.3."""
UID = "2027-repot-anchor-1-00000000@seasonplan.invalid"


def plan_of(*steps, **given):
    return by_step(make_plan(steps=tuple(steps), alerts=(), **given))


def one_event(step, **given):
    [event] = events(render_calendar(plan_of(step, **given), None)).values()
    return event


def step_of(**given):
    return replace(make_step(date(2027, 5, 8), "repot", ("Big fig",)), **{"uid": UID, **given})


def test_header_names_the_calendar_and_has_no_method():
    lines = unfolded(render_calendar(make_plan(), None))
    head = lines[:next(n for n, line in enumerate(lines) if line == "BEGIN:VEVENT")]
    assert head[:3] == ["BEGIN:VCALENDAR", "VERSION:2.0", "PRODID:-//seasonplan//calendar//EN"]
    assert "NAME:Plants at Invented town" in head and "X-WR-CALNAME:Plants at Invented town" in head
    assert "REFRESH-INTERVAL;VALUE=DURATION:PT1H" in head
    assert [line for line in head if line.startswith("COLOR:")][0].removeprefix("COLOR:") in CSS_COLOURS
    assert not [line for line in lines if line.startswith("METHOD")]
    assert not [line for line in lines if "VTIMEZONE" in line]


def test_every_step_is_one_all_day_event_of_one_day():
    plan = by_step(make_plan(alerts=()))
    found = events(render_calendar(plan, None))
    assert set(found) == {step.uid for step in plan.steps}
    for step in plan.steps:
        event = found[step.uid]
        assert event["DTSTART"].dt == step.date and not isinstance(event["DTSTART"].dt, datetime)
        assert event["DTEND"].dt == step.date + timedelta(days=1)
        assert event["TRANSP"] == "TRANSPARENT" and event["STATUS"] == "CONFIRMED" and event["SEQUENCE"] == 0
        assert event["LOCATION"] == step.place
        assert event["SUMMARY"] == step.title or step.kind.startswith("move")


def test_alarm_rings_at_seven_the_evening_before():
    event = one_event(step_of())
    [alarm] = event.walk("VALARM")
    midnight = datetime.combine(event["DTSTART"].dt, datetime.min.time())
    assert midnight + alarm["TRIGGER"].dt == datetime(2027, 5, 7, 19)
    assert alarm["ACTION"] == "DISPLAY" and alarm["DESCRIPTION"] == event["SUMMARY"]
    assert b"TRIGGER:-PT5H\r\n" in render_calendar(plan_of(step_of()), None)


@pytest.mark.parametrize(("latitude", "first_stamp"), [(44.5, "20261101T000000Z"), (-37.0, "20261101T000000Z")])
def test_stamps_come_from_the_planning_year_and_the_sequence(latitude, first_stamp):
    plan = plan_of(step_of(), scenario=make_scenario(site=make_site(latitude_deg=latitude)))
    first = render_calendar(plan, None)
    assert f"DTSTAMP:{first_stamp}" in unfolded(first) and f"LAST-MODIFIED:{first_stamp}" in unfolded(first)
    second = render_calendar(replace(plan, steps=(step_of(minutes=99),)), first)
    assert "DTSTAMP:20261101T000100Z" in unfolded(second) and "SEQUENCE:1" in unfolded(second)


def test_description_says_what_where_who_why_how_long_and_what_to_beware_of():
    step = step_of(detail="Go one pot up.", why="Growth starts. Sure: 9 in 10.", cautions=("Gloves.", "Two people."),
                   due=(date(2027, 5, 1), date(2027, 6, 1)), amounts=(("mix_l", 3.0), ("pot_33_cm", 2.0)))
    text = str(one_event(step)["DESCRIPTION"])
    parts = text.split("\n\n")
    assert parts[0] == "Go one pot up."
    for said in ("Where: porch", "Plant: Big fig", "Why this day: Growth starts. Sure: 9 in 10.",
                 "takes about 30 minutes", "any day from Sat 1 May to Tue 1 Jun", "3 L of potting mix",
                 "2 pots of 33 cm", "Take care:\n- Gloves.\n- Two people."):
        assert said in text


def test_amounts_are_in_the_units_of_the_person():
    step = step_of(amounts=(("water_l", 37.85), ("pot_30.48_cm", 1.0), ("soap_ml", 100.0), ("weight_kg", 10.0)))
    scenario = make_scenario(rules=Rules(year=2027, units="imperial"))
    text = str(one_event(step, scenario=scenario)["DESCRIPTION"])
    for said in ("10 gal of water", "1 pot of 12 in", "3 fl oz of soap", "22 lb of weight"):
        assert said in text


def test_plants_are_listed_once():
    """A detail that names every plant is not followed by the same names again."""
    assert "Plant: " not in str(one_event(step_of(detail="Lift Big fig out."))["DESCRIPTION"])


NASTY = [
    "a\nb", "a\r\nb\tc", "  edges \u3000", "semi;colon, comma", "back\\slash \\n \\N", "\u2028line\u2029par\u0085nel",
    "\x07bell \x1b[31mred\x1b[0m", "<b>bold</b> & <script>x()</script>", "שרך בוסטון", "\u202egnal\u202c",
    "👩🏽‍🌾" * 60, "ficus " * 1700, "e\u0301" * 500, "BEGIN:VEVENT", "x\r\nEND:VEVENT\r\nBEGIN:VEVENT", "\ufeff",
    "\"quoted\"", "a:b:c", "100 %", "\x00",
]


@pytest.mark.parametrize("text", NASTY)
def test_any_name_gives_a_whole_event_with_a_safe_title(text):
    step = step_of(title=text, plants=(text, "Olive"), place=text, detail=text, why=text, cautions=(text,))
    raw = render_calendar(plan_of(step, scenario=make_scenario(site=make_site(name=text))), None)
    [event] = Calendar.from_ical(raw).walk("VEVENT")
    _check_line(str(event["SUMMARY"]))
    assert len(event["SUMMARY"]) <= 120 and len(event["DESCRIPTION"]) < 25_000
    if "LOCATION" in event:
        _check_line(str(event["LOCATION"]))
    _check_lines(raw)


@settings(deadline=None, max_examples=60, derandomize=True)
@given(st.text(max_size=200), st.text(max_size=300))
@example("\\", "\\;\\,\\n")
def test_text_comes_back_as_it_was_meant(title, detail):
    """Through icalendar's reading, title and description are what the event was given: nothing doubles or vanishes."""
    raw = render_calendar(plan_of(step_of(title=title, detail=detail)), None)
    [event] = Calendar.from_ical(raw).walk("VEVENT")
    _check_line(str(event["SUMMARY"]))
    words = [w.replace("\\", "/") for w in detail.split() if w.isascii() and w.isprintable()]
    assert all(word in str(event["DESCRIPTION"]) for word in words)
    _check_lines(raw)


def _check_line(text: str) -> None:
    assert text and text == text.strip()
    assert not [c for c in text if unicodedata.category(c) in ("Cc", "Zl", "Zp")]
    assert not any(c in text for c in "\u202a\u202b\u202c\u202d\u202e\\")


def _check_lines(raw: bytes) -> None:
    assert raw.endswith(b"END:VCALENDAR\r\n") and raw.count(b"\n") == raw.count(b"\r\n")
    assert max(map(len, raw.split(b"\r\n"))) <= LONGEST_LINE_OCTETS
    assert raw.count(b"\r\nBEGIN:VEVENT\r\n") == raw.count(b"\r\nEND:VEVENT\r\n") == 1


@settings(deadline=None, max_examples=100, derandomize=True)
@given(st.text(st.characters(exclude_categories=("Cc", "Cs", "Zl", "Zp")), max_size=400))
@example("\\" * 300)
@example("x" * 67 + "é" * 100)
@example("x," * 200)
def test_long_lines_are_folded_as_icalendar_unfolds_them(text):
    folded = text_line("SUMMARY", text)
    assert folded.endswith("\r\n") and max(len(part.encode()) for part in folded.split("\r\n")) <= LONGEST_LINE_OCTETS
    line = Contentline.from_ical(folded.removesuffix("\r\n"))
    assert line == "SUMMARY:" + vText(text).to_ical().decode()
    assert all(part.startswith(" ") and len(part) > 1 for part in folded.split("\r\n")[1:-1])


def test_a_line_is_not_folded_between_a_backslash_and_what_it_escapes():
    for length in range(60, 80):
        assert "\\\r\n" not in text_line("SUMMARY", "x" * length + ", and so on; and so on")


def test_a_title_is_not_cut_inside_a_joined_emoji():
    title = str(one_event(step_of(title="👩🏽‍🌾" * 60))["SUMMARY"])
    assert title.endswith("🌾…") and "\u200d…" not in title


def test_events_stand_in_order_of_date_and_uid():
    late, early = step_of(uid="2027-a@seasonplan.invalid", date=date(2027, 9, 1)), step_of(date=date(2027, 4, 1))
    twin = step_of(uid="2027-b@seasonplan.invalid", date=date(2027, 4, 1))
    order = list(raw_events(render_calendar(plan_of(late, early, twin), None)))
    assert order == [twin.uid, early.uid, late.uid]
    assert render_calendar(plan_of(twin, late, early), None) == render_calendar(plan_of(late, early, twin), None)


def test_today_plays_no_part():
    plan = make_plan(today=date(2027, 3, 1))
    assert render_calendar(plan, None) == render_calendar(replace(plan, today=date(2027, 12, 1)), None)


def test_an_alert_is_a_timed_event_in_utc_with_an_alarm():
    plan = make_plan(steps=())
    [event] = events(render_calendar(plan, None)).values()
    by = datetime(2027, 5, 12, 0, 0, tzinfo=UTC)
    assert event["DTSTART"].dt == by - timedelta(hours=1), "19:00 in Chicago, summer time"
    assert event["DTEND"].dt == datetime(2027, 5, 13, 14, 0, tzinfo=UTC), "nine o'clock of the day it goes out again"
    assert event["SUMMARY"] == "Frost: 6 pots to safety by 19:00 on Tue 11 May"
    [alarm] = event.walk("VALARM")
    assert alarm["TRIGGER"].dt == timedelta(hours=-1)
    for said in ("Carry 5 pots to the porch", "By 19:00 on Tue 11 May", "about 1.5 °C", "station: 3.5 °C", "62 %"):
        assert said in event["DESCRIPTION"]


def test_two_steps_of_one_uid_are_refused():
    with pytest.raises(ValueError, match="one UID for two events"):
        render_calendar(plan_of(step_of(), step_of(minutes=3)), None)


def other_site(name: str = "Other town", **given):
    scenario = make_scenario(site=make_site(name=name), folder="other")
    return plan_of(step_of(uid="2027-repot-other-1-11111111@seasonplan.invalid"), scenario=scenario, **given)


def test_a_combined_calendar_says_whose_plants():
    found = events(combine([plan_of(step_of()), other_site()], None))
    titles = {str(event["SUMMARY"]) for event in found.values()}
    assert titles == {"Other town: Repot: Big fig", "Invented town: Repot: Big fig"}
    assert str(found[UID]["LOCATION"]) == "porch, Invented town"


def test_combining_two_sites_of_one_name_is_refused():
    with pytest.raises(InputFaults, match=r"scenario.toml: \[site\] name: .*other"):
        combine([plan_of(step_of()), other_site("Invented town")], None)
