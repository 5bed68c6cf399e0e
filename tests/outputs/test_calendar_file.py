"""Previous calendars that are damaged: refused with file and line, never overwritten and never a traceback."""

from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from ics_reading import raw_events
from invented import make_plan

from seasonplan.errors import InputFaults
from seasonplan.outputs.calendar import render_calendar, update_alerts
from seasonplan.outputs.calendar_file import read_calendar

PLAN = make_plan()
OURS = set(raw_events(render_calendar(PLAN, None)))
WHOLE = render_calendar(PLAN, None)
DAMAGED = {
    "empty": b"",
    "blank": b" \r\n\r\n",
    "not a calendar": b"name,taxon\nFig,Ficus\n",
    "another kind of file": b"%PDF-1.7\x00\xff\xfe",
    "cut off in an event": WHOLE[:len(WHOLE) // 2],
    "without its end": WHOLE.replace(b"END:VCALENDAR\r\n", b""),
    "without its beginning": WHOLE.replace(b"BEGIN:VCALENDAR\r\n", b""),
    "an event without its end": WHOLE.replace(b"END:VEVENT\r\n", b"", 1),
    "an alarm without its beginning": WHOLE.replace(b"BEGIN:VALARM\r\n", b"", 1),
    "two calendars": WHOLE + WHOLE,
    "text after it": WHOLE + b"and more\r\n",
    "text before it": b"sent by mail\r\n" + WHOLE,
    "not UTF-8": WHOLE.replace(b"Lemon", b"L\xe9mon"),
    "UTF-16": WHOLE.decode().encode("utf-16"),
    "zero bytes": WHOLE.replace(b"Lemon", b"Le\x00on"),
    "old line ends": WHOLE.replace(b"\r\n", b"\r"),
    "rubbish in the header": WHOLE.replace(b"VERSION:2.0\r\n", b"VERSION:2.0\r\n<<<<<<< HEAD\r\n"),
}


@pytest.mark.parametrize("data", DAMAGED.values(), ids=DAMAGED.keys())
def test_a_damaged_calendar_is_refused_by_name(data):
    with pytest.raises(InputFaults) as caught:
        render_calendar(PLAN, data)
    [fault] = caught.value.faults
    assert fault.file == "calendar.ics" and fault.line >= 1 and fault.found and fault.allowed and fault.cause
    with pytest.raises(InputFaults, match=r"out/calendar\.ics"):
        render_calendar(PLAN, data, "out/calendar.ics")


def test_the_fault_names_the_line():
    lines = WHOLE.split(b"\r\n")
    at = lines.index(b"END:VALARM")
    with pytest.raises(InputFaults) as caught:
        read_calendar(b"\r\n".join(lines[:at] + lines[at + 1:]), "calendar.ics")
    assert caught.value.faults[0].line == at + 1 and "END:VEVENT" in caught.value.faults[0].found


@settings(deadline=None, max_examples=80, derandomize=True)
@given(st.integers(0, len(WHOLE)), st.integers(0, 120), st.binary(max_size=30))
def test_any_damage_is_refused_or_borne(start, length, patch):
    """Bytes cut out and others put in: either refused, or every event left of ours is in the calendar once."""
    data = WHOLE[:start] + patch + WHOLE[start + length:]
    try:
        result = render_calendar(PLAN, data)
    except InputFaults as refused:
        assert refused.faults[0].file == "calendar.ics"
        return
    found = [uid for uid in raw_events(result) if uid in OURS]
    assert len(found) == len(OURS)
    assert read_calendar(result, "again").ours.keys() >= OURS


@settings(deadline=None, max_examples=40, derandomize=True)
@given(st.text(alphabet="BEGINVCALDR:;=\r\n \\\"1@T", max_size=200))
def test_any_text_is_refused_unless_it_is_a_calendar(text):
    with pytest.raises(InputFaults):
        update_alerts(text.encode(), PLAN, report=None)


def test_taking_apart_loses_nothing():
    found = read_calendar(WHOLE, "calendar.ics")
    pieces = b"".join([*found.header, *found.foreign, *(block.raw for block in found.ours.values())])
    assert b"BEGIN:VCALENDAR\r\n" + pieces + b"END:VCALENDAR\r\n" == WHOLE
    assert len(found.ours) == len(PLAN.steps) + len(PLAN.alerts) and not found.foreign
