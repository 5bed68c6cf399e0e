"""Reading a calendar in tests without the code under test: events cut out as bytes, values through icalendar."""

from __future__ import annotations

import re

from icalendar import Calendar, Event

EVENT = re.compile(rb"^BEGIN:VEVENT\r?\n.*?^END:VEVENT\r?\n", re.MULTILINE | re.DOTALL)


def raw_events(calendar: bytes) -> dict[str, bytes]:
    """UID -> the bytes of its event. Raises AssertionError where a UID stands twice."""
    found = {}
    for raw in EVENT.findall(calendar):
        uid = str(Event.from_ical(raw)["UID"])
        assert uid not in found, f"{uid} stands twice"
        found[uid] = raw
    return found


def events(calendar: bytes) -> dict[str, Event]:
    """UID -> parsed event, by icalendar reading the whole file."""
    return {str(event["UID"]): event for event in Calendar.from_ical(calendar).walk("VEVENT")}


def unfolded(calendar: bytes) -> list[str]:
    """Content lines with their folds taken out."""
    return re.sub(rb"\r?\n[ \t]", b"", calendar).decode().splitlines()
