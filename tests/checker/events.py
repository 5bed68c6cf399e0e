"""calendar.ics against plan.json, and a calendar against the one before it. Read by a parser of our own making."""

from __future__ import annotations

import re
from collections import Counter, defaultdict
from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date

from checker.folder import Broken, Garden

OURS = "@seasonplan.invalid"
MOVES = ("move-out", "move", "move-in")


@dataclass(frozen=True)
class Event:
    """One VEVENT: its properties by name (the first of each), its bytes."""

    raw: bytes
    told: dict[str, str]

    @property
    def uid(self) -> str:
        return self.told["UID"]

    @property
    def sequence(self) -> int:
        return int(self.told.get("SEQUENCE", "0"))

    @property
    def cancelled(self) -> bool:
        return self.told.get("STATUS") == "CANCELLED"


def events(data: bytes) -> list[Event]:
    """Every event of a calendar."""
    found = []
    for match in re.finditer(rb"BEGIN:VEVENT\r\n.*?END:VEVENT\r\n", data, re.DOTALL):
        text = re.sub(rb"BEGIN:VALARM.*?END:VALARM\r\n", b"", match[0], flags=re.DOTALL)
        told: dict[str, str] = {}
        for line in re.sub(rb"\r\n[ \t]", b"", text).decode().split("\r\n"):
            name, _, value = line.partition(":")
            told.setdefault(name.split(";")[0], value)
        found.append(Event(match[0], told))
    return found


def _jobs(event: Event) -> list[str]:
    """The steps that an event of a day lists, without their domain."""
    return [name for name in event.told.get("X-SEASONPLAN-STEPS", "").replace("\\,", ",").split(",") if name]


def says_the_plan(garden: Garden) -> Iterator[Broken]:
    """Every step stands in exactly one live event of its day, habits in the words of one; no live event says more."""
    if garden.ics is None:
        return
    listed: Counter[tuple[str, str]] = Counter()
    seen: Counter[str] = Counter()
    by_uid = {step["uid"]: step for step in garden.plan["steps"]}
    days = {step["date"].replace("-", "") for step in garden.plan["steps"]}
    said: dict[str, str] = defaultdict(str)
    for event in events(garden.ics):
        seen[event.uid] += 1
        if event.cancelled or not event.uid.endswith(OURS) or event.uid.startswith("watch-"):
            continue
        day = event.told.get("DTSTART", "")[:8]
        if event.uid[:4] != str(garden.plan["year"]):
            if day in days:                           # before or after the planning year: a pest, say
                listed.update((name + OURS, day) for name in _jobs(event) or [event.uid.removesuffix(OURS)]
                              if name + OURS in by_uid)
            continue
        said[day] += event.told.get("DESCRIPTION", "").replace("\\,", ",")
        for uid in [name + OURS for name in _jobs(event)] or [event.uid]:
            step = by_uid.get(uid)
            if step is None and day in {each["date"].replace("-", "") for each in garden.plan.get("habits", ())}:
                continue                              # a day on which only habits begin
            if step is None and garden.today is None and not garden.log:
                yield Broken("calendar", f"{event.uid} on {day} is live, and the plan has no such step")
            elif step is not None and step["date"].replace("-", "") == day:
                listed[uid, day] += 1
            elif step is not None and garden.counts(date.fromisoformat(step["date"])):
                yield Broken("calendar", f"{uid} is on {day} in the calendar, on {step['date']} in the plan")
    for uid, step in by_uid.items():
        times = listed[uid, step["date"].replace("-", "")]
        if times != 1 and garden.counts(date.fromisoformat(step["date"])):
            yield Broken("calendar", f"{uid} of {step['date']} stands in {times} live events")
    for habit in garden.plan.get("habits", ()):
        day = date.fromisoformat(habit["date"])
        if garden.counts(day) and habit["title"] not in said[f"{day:%Y%m%d}"]:
            yield Broken("calendar", f"no event of {day} says: {habit['title']}")
    for uid, times in seen.items():
        if times > 1:
            yield Broken("calendar", f"{uid} stands there {times} times")


def replanned(before: bytes, after: bytes) -> Iterator[Broken]:
    """What another plan over the same calendar may do: unchanged events keep their bytes, changed ones rise by one,
    dropped ones are called off first and left out only then."""
    old, new = ({event.uid: event for event in events(data)} for data in (before, after))
    for uid, event in old.items():
        now = new.get(uid)
        if now is None:
            if not event.cancelled:
                yield Broken("sequence", f"{uid} is gone without having been called off")
        elif now.raw != event.raw and now.sequence <= event.sequence:
            yield Broken("sequence", f"{uid} changed and its SEQUENCE stays {now.sequence}")
        elif now.raw == event.raw and now.sequence != event.sequence:
            yield Broken("sequence", f"{uid}: SEQUENCE differs in the same bytes")


CHECKS = (says_the_plan,)
