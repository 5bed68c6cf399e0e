"""A calendar through many plans: what changes, what must not, and what a person or a reader did to the file between."""

from __future__ import annotations

import re
from dataclasses import replace
from datetime import date, timedelta

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from icalendar import Calendar
from ics_reading import events, raw_events
from invented import by_step, make_plan, make_step

from seasonplan.outputs.calendar import combine, render_calendar

OTHERS = (
    b"BEGIN:VTIMEZONE\r\nTZID:Invented/Zone\r\nX-LIC-LOCATION:Nowhere\r\nBEGIN:STANDARD\r\nDTSTART:19700101T000000\r\n"
    b"TZOFFSETFROM:+0130\r\nTZOFFSETTO:+0130\r\nEND:STANDARD\r\nEND:VTIMEZONE\r\n",
    b"BEGIN:VEVENT\r\nUID:dentist@example.org\r\nDTSTAMP:20270101T000000Z\r\nDTSTART;TZID=Invented/Zone:20270501T090000\r\n"
    b"SUMMARY:Dentist\\, long line that goes on and on\r\n  folded by hand\r\nX-ODD:1\r\nEND:VEVENT\r\n",
    b"begin:vevent\nuid:lower-case@example.org\nDTSTART:20270502\nSUMMARY:bare line ends\nend:vevent\n",
    b"BEGIN:VTODO\r\nUID:task-@seasonplan.invalid\r\nSUMMARY:not an event\r\nEND:VTODO\r\n",
    b"BEGIN:X-INVENTED\r\nX-THING:kept\r\nEND:X-INVENTED\r\n",
)


def step_of(key: int, version: int = 0, **given):
    day = date(2027, 4, 1) + timedelta(days=9 * key + version)
    base = make_step(day, "repot", (f"Plant {key}",), uid=f"2027-repot-plant-{key}-0@seasonplan.invalid",
                     detail=f"Version {version}.")
    return replace(base, **given)


def plan_of(versions: dict[int, int], **given):
    steps = tuple(step_of(key, version) for key, version in versions.items())
    return by_step(make_plan(steps=steps, alerts=(), **given))


def uid_of(key: int) -> str:
    return step_of(key).uid


def with_others(calendar: bytes) -> bytes:
    """A person's own things put into the file, before and after ours."""
    head, tail = calendar.split(b"BEGIN:VEVENT", 1) if b"BEGIN:VEVENT" in calendar else calendar.split(b"END:VCAL", 1)
    rest = (b"BEGIN:VEVENT" if b"BEGIN:VEVENT" in calendar else b"END:VCAL") + tail
    body, end = rest.rsplit(b"END:VCALENDAR", 1)
    return head + b"".join(OTHERS[:2]) + body + b"".join(OTHERS[2:]) + b"END:VCALENDAR" + end


def rewritten_by_a_reader(calendar: bytes) -> bytes:
    """What readers do on the way: other order, other folding, own stamps and properties, bare line ends, no mark."""
    parsed = Calendar.from_ical(calendar)
    for event in parsed.walk("VEVENT"):
        event.pop("X-SEASONPLAN-MARK", None)
        event["X-READER"] = "seen"
        event["DTSTAMP"].dt += timedelta(days=30)
    return parsed.to_ical().replace(b"\r\n", b"\n")


version_sets = st.lists(st.dictionaries(st.integers(0, 4), st.integers(0, 2)), min_size=2, max_size=6)


@settings(deadline=None, max_examples=40, derandomize=True)
@given(version_sets, st.sampled_from(["plain", "reader", "others"]))
def test_every_history_of_plans_keeps_the_rules(history, between):
    """Any sequence of step sets: SEQUENCE rises by one for changed, dropped and returning steps and for no other,
    unchanged events keep their bytes, dropped ones are called off for one plan and then left out."""
    previous, before, sequences = None, {}, {}
    for versions in history:
        if previous is not None and between == "reader":
            previous = rewritten_by_a_reader(previous)
        elif previous is not None and between == "others" and OTHERS[1] not in previous:
            previous = with_others(previous)
        calendar = render_calendar(plan_of(versions), previous)
        raw, old_raw = raw_events(calendar), raw_events(previous) if previous else {}
        ours = {uid: event for uid, event in events(calendar).items() if uid.startswith("2027-")}
        active = {key for key in range(5) if uid_of(key) in ours and ours[uid_of(key)]["STATUS"] == "CONFIRMED"}
        assert active == set(versions)
        for key, state in [(key, versions.get(key)) for key in range(5)]:
            uid, was = uid_of(key), before.get(key)
            if state is None and not isinstance(was, int):
                assert uid not in ours, "never planned, or called off a plan ago"
                before.pop(key, None)
                continue
            event = ours[uid]
            if state == was:
                assert raw[uid] == old_raw[uid] and event["SEQUENCE"] == sequences[key]
            else:
                assert event["SEQUENCE"] == (sequences[key] + 1 if key in sequences else 0)
                assert f"LAST-MODIFIED:20261101T{event['SEQUENCE'] // 60:02d}{event['SEQUENCE'] % 60:02d}00Z".encode() \
                    in raw[uid]
            if state is None:
                assert event["STATUS"] == "CANCELLED" and event["SUMMARY"].startswith("Cancelled: Repot")
                assert not event.walk("VALARM")
            before[key] = "called off" if state is None else state
            sequences[key] = event["SEQUENCE"]
        if between == "others" and previous is not None:
            assert all(calendar.count(other) == 1 for other in OTHERS)
        if "called off" not in before.values():
            assert render_calendar(plan_of(versions), calendar) == calendar
        previous = calendar


def test_only_the_changed_step_gets_a_new_version():
    first = render_calendar(plan_of({0: 0, 1: 0, 2: 0}), None)
    second = render_calendar(plan_of({0: 0, 1: 1, 2: 0}), first)
    old, new = raw_events(first), raw_events(second)
    assert [uid for uid in new if new[uid] != old[uid]] == [uid_of(1)]
    assert events(second)[uid_of(1)]["SEQUENCE"] == 1


def test_a_step_that_returns_after_being_left_out_has_a_higher_sequence():
    calendar = None
    for versions in ({0: 0, 1: 0}, {0: 0, 1: 1}, {0: 0}, {0: 0}):
        calendar = render_calendar(plan_of(versions), calendar)
    assert uid_of(1).encode() not in calendar
    assert events(render_calendar(plan_of({0: 0, 1: 1}), calendar))[uid_of(1)]["SEQUENCE"] == 3


def test_what_was_left_out_is_forgotten_with_its_year():
    calendar = render_calendar(plan_of({0: 0, 1: 0}), None)
    for _ in range(2):
        calendar = render_calendar(plan_of({0: 0}), calendar)
    assert b"X-SEASONPLAN-LEFT-OUT:2027-" in calendar
    assert b"LEFT-OUT" not in render_calendar(plan_of({}, year=2028), calendar)


def test_last_season_is_history_and_stays():
    first = render_calendar(plan_of({0: 0, 1: 0}), None)
    second = render_calendar(plan_of({}, year=2028), first)
    assert raw_events(second) == raw_events(first)


def test_a_plan_for_an_earlier_year_calls_a_later_one_off():
    later = render_calendar(plan_of({0: 0}), None)
    [event] = events(render_calendar(plan_of({}, year=2026), later)).values()
    assert event["STATUS"] == "CANCELLED"


def edited(calendar: bytes) -> bytes:
    """A person moved our first event by two days, renamed it and made the alarm earlier."""
    return (calendar.replace(b"DTSTART;VALUE=DATE:20270401", b"DTSTART;VALUE=DATE:20270403")
            .replace(b"DTEND;VALUE=DATE:20270402", b"DTEND;VALUE=DATE:20270404")
            .replace(b"SUMMARY:Repot", b"SUMMARY:With Ann: repot").replace(b"-PT5H", b"-PT8H"))


def test_a_persons_edit_of_an_unchanged_event_is_kept():
    mine = edited(render_calendar(plan_of({0: 0}), None))
    assert b"SUMMARY:With Ann" in mine
    assert raw_events(render_calendar(plan_of({0: 0}), mine)) == raw_events(mine)


def test_the_plan_wins_over_an_edit_when_it_has_something_new_to_say():
    mine = edited(render_calendar(plan_of({0: 0}), None))
    event = events(render_calendar(plan_of({0: 1}), mine))[uid_of(0)]
    assert event["SEQUENCE"] == 1 and event["DTSTART"].dt == date(2027, 4, 2) and event["SUMMARY"].startswith("Repot")


def test_an_edited_event_that_is_dropped_is_called_off_as_the_person_knows_it():
    mine = edited(render_calendar(plan_of({0: 0}), None))
    event = events(render_calendar(plan_of({}), mine))[uid_of(0)]
    assert event["SUMMARY"].startswith("Cancelled: With Ann") and event["DTSTART"].dt == date(2027, 4, 3)


@pytest.mark.parametrize("end", [b";VALUE=DATE:20270401", b";VALUE=DATE:20270101", b":20270401T090000Z", b":rubbish"])
def test_an_end_that_readers_refuse_is_not_passed_on(end):
    """End on or before the start, or a time after a date: some readers then import nothing of the whole file."""
    mine = render_calendar(plan_of({0: 0}), None).replace(b"DTEND;VALUE=DATE:20270402", b"DTEND" + end)
    [event] = events(render_calendar(plan_of({}), mine)).values()
    assert event["STATUS"] == "CANCELLED" and event["DTEND"].dt == date(2027, 4, 2)


def test_an_event_that_lost_its_start_is_mended():
    broken = re.sub(rb"DTSTART[^\n]*\n", b"", render_calendar(plan_of({0: 0}), None))
    event = events(render_calendar(plan_of({0: 0}), broken))[uid_of(0)]
    assert event["DTSTART"].dt == date(2027, 4, 1) and event["SEQUENCE"] == 1


@pytest.mark.parametrize(("uid", "start", "fate"), [
    ("2027-odd", "30000101", "called off"), ("2027-odd", "19000101", "called off"),
    ("2027-odd", "20271399", "left out"), ("2027-odd", "", "left out"), ("odd", "20270401", "called off"),
    ("odd", "20260401", "kept"), ("odd", "", "kept"),
    ("0000-odd", "20271399", "left out"), ("3000-odd", "19000101", "kept")])
def test_events_with_our_domain_but_odd_names_and_starts_do_no_harm(uid, start, fate):
    """A year that cannot be told counts as past, and what is past is kept."""
    calendar = render_calendar(plan_of({0: 0, 1: 0}), None)
    odd = calendar.replace(b"DATE:20270401", f"DATE:{start}".encode()).replace(b"SEQUENCE:0", b"SEQUENCE:99", 1)
    odd = odd.replace(b"UID:2027-repot-plant-0-0@", f"UID:{uid}@".encode())
    name = f"{uid}@seasonplan.invalid"
    raw = raw_events(render_calendar(plan_of({1: 0}), odd))
    assert raw[uid_of(1)] == raw_events(calendar)[uid_of(1)]
    if name not in raw:
        assert fate == "left out"
    elif raw[name] == raw_events(odd)[name]:
        assert fate == "kept"
    else:
        assert fate == "called off" and b"STATUS:CANCELLED" in raw[name] and b"SEQUENCE:100\r\n" in raw[name]


def test_an_event_of_ours_doubled_by_a_reader_comes_out_once():
    calendar = render_calendar(plan_of({0: 0}), None)
    [raw] = raw_events(calendar).values()
    newer = raw.replace(b"SEQUENCE:0", b"SEQUENCE:7")
    doubled = calendar.replace(b"END:VCALENDAR", newer + b"END:VCALENDAR")
    assert raw_events(render_calendar(plan_of({0: 0}), doubled)) == {uid_of(0): newer}


def test_an_alarm_that_a_reader_put_first_and_named_is_not_taken_for_the_event():
    """Alarms may have a UID and a SUMMARY of their own (RFC 9074 section 4, RFC 5545 section 3.6.6)."""
    calendar = render_calendar(plan_of({0: 0}), None)
    alarm = re.search(rb"BEGIN:VALARM.*END:VALARM\r\n", calendar, re.DOTALL)[0]
    named = alarm.replace(b"ACTION", b"UID:alarm-1\r\nSUMMARY:bell\r\nSTATUS:CANCELLED\r\nACTION")
    mine = calendar.replace(alarm, b"").replace(b"BEGIN:VEVENT\r\n", b"BEGIN:VEVENT\r\n" + named)
    assert render_calendar(plan_of({0: 0}), mine) == mine
    assert events(render_calendar(plan_of({0: 1}), mine))[uid_of(0)]["SEQUENCE"] == 1


def test_what_is_not_ours_comes_before_our_events():
    """So that a time zone stands before whatever uses it."""
    calendar = render_calendar(plan_of({0: 0}), with_others(render_calendar(plan_of({0: 0}), None)))
    assert calendar.index(b"END:X-INVENTED") < calendar.index(uid_of(0).encode())


def test_header_lines_that_are_not_ours_stay_and_method_goes():
    calendar = render_calendar(plan_of({0: 0}), None).replace(
        b"COLOR:seagreen\r\n", b"METHOD:PUBLISH\r\nCOLOR:plum\r\nX-WR-CALDESC:My plants\\, al\r\n l of them\r\n")
    again = render_calendar(plan_of({0: 0}), calendar)
    assert b"\r\nCOLOR:plum\r\nX-WR-CALDESC:My plants\\, al\r\n l of them\r\nBEGIN:VEVENT" in again
    assert b"METHOD" not in again and again.count(b"COLOR:") == 1
    assert render_calendar(plan_of({0: 0}), again) == again


def test_a_byte_order_mark_before_the_calendar_does_no_harm():
    calendar = render_calendar(plan_of({0: 0}), None)
    assert render_calendar(plan_of({0: 0}), b"\xef\xbb\xbf" + calendar) == calendar


@pytest.mark.parametrize("render", [render_calendar, lambda plan, old: combine([plan], old)])
def test_the_same_plan_twice_gives_the_same_bytes(render):
    plan = make_plan()
    once = render(plan, None)
    assert render(plan, None) == once and render(plan, once) == once
