"""The calendar: a plan as iCalendar (RFC 5545, RFC 7986), new or over the one that is already there.

The jobs of a day are one event ("by-day"), or each step is one ("by-step"); moves and alerts are always their own.

What happens to the events of an earlier file:

- A step that says the same keeps its event, every byte of it, and with it whatever a person or a reader has done to
  that event since (moved it by a day, put it in another order, added properties).
- A step that says something new is written anew: the plan's word wins, SEQUENCE rises by one, the stamps follow it.
- A step that is no longer asked because the log says it was done keeps its bytes.
- So does the event of a day whose jobs are not asked any more because they were done.
- Any other step or day that is no longer planned is called off: STATUS:CANCELLED, a title that says so, SEQUENCE up
  by one. The next plan leaves it out. Its last SEQUENCE is remembered in the header, so that a step which returns
  after that still has a higher one than any copy in somebody's calendar.
- Events of earlier planning years are history and stay.
- Alerts of `watch` are left alone by `plan`, steps by `watch`.
- Everything whose UID is not ours stays byte for byte, and so do header lines that we do not write.

A file that cannot be read whole is an InputFaults, and nothing is written.
"""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Callable, Iterable, Sequence
from datetime import UTC, date, datetime, timedelta
from hashlib import blake2s
from typing import Literal
from zoneinfo import ZoneInfo

from seasonplan import wording as w
from seasonplan.climate.sureness import nights_line
from seasonplan.dates import TURNING_DAYS
from seasonplan.errors import Fault, InputFaults
from seasonplan.model import LogEntry, Plan, Scenario, WatchReport
from seasonplan.model.work import WHOLE_COLLECTION
from seasonplan.outputs.calendar_alerts import ended, spell_contents
from seasonplan.outputs.calendar_events import (
    EventContent,
    cancelled,
    plan_contents,
    says_the_same,
    site_mark,
    text_line,
    write_event,
)
from seasonplan.outputs.calendar_file import Block, CalendarFile, property_name, property_value, read_calendar
from seasonplan.outputs.daybook import NOTED_WITHIN_DAYS, DayBook

CALENDAR_FILE = "calendar.ics"
PRODUCT = "-//seasonplan//calendar//EN"
COLOUR = "seagreen"
"""A CSS3 colour name, as RFC 7986 section 5.9 wants. Our setting; a colour already in the file is kept."""
LEFT_OUT = "X-SEASONPLAN-LEFT-OUT"
ALERT_MEMORY_DAYS = 30
SPRAY = "treat"
MOST_TOLD = 600
DESCRIBES = ("DESCRIPTION", "X-WR-CALDESC")
TOLD = "Where the nights come from: "
"""So our description of a calendar begins; one that begins otherwise is somebody's own and stays."""
"""How long alerts of past nights stay in the file. Our setting."""
OUR_HEADER = {"VERSION", "PRODID", "CALSCALE", "METHOD", "NAME", "X-WR-CALNAME", "REFRESH-INTERVAL", LEFT_OUT}
"""Header properties that are written anew. METHOD is never written: PUBLISH would need an ORGANIZER (RFC 5546)."""

Fate = Literal["keep", "cancel", "leave out"] | EventContent
NOTHING = CalendarFile((), (), {})


def render_calendar(plan: Plan, previous: bytes | None, file: str = CALENDAR_FILE) -> bytes:
    """A plan's calendar, over the `previous` one where there is one. Raises InputFaults naming `file` if it is damaged.

    `plan.today` has no part in it: the same plan gives the same bytes on any day.
    """
    return _render([plan], previous, file, f"Plants at {plan.site.name}", name_sites=False)


def combine(plans: Sequence[Plan], previous: bytes | None, file: str = CALENDAR_FILE) -> bytes:
    """One calendar for several sites; titles and places carry the site's name.

    Raises InputFaults when two sites cannot be told apart (their steps would share UIDs) or `previous` is damaged.
    """
    _check_sites([plan.scenario for plan in plans])
    return _render(plans, previous, file, _shared_name(plans), name_sites=True)


def update_alerts(previous: bytes | None, plan: Plan, report: WatchReport, file: str = CALENDAR_FILE) -> bytes:
    """One site's calendar with its alerts brought up to date; steps and everything else keep their bytes.

    An alert that is not raised any more is called off, and left out the time after; one whose night began before
    `plan.today` stays as it is for ALERT_MEMORY_DAYS. Raises InputFaults naming `file` if `previous` is damaged.
    """
    return _update(previous, [(plan, report)], file, f"Plants at {plan.site.name}", name_sites=False)


def update_combined_alerts(previous: bytes | None, watched: Sequence[tuple[Plan, WatchReport]],
                           file: str = CALENDAR_FILE) -> bytes:
    """The same for a combined calendar. Alerts of sites that are not in `watched` (their source may be out of reach)
    stay as they are."""
    _check_sites([plan.scenario for plan, _ in watched])
    return _update(previous, watched, file, _shared_name([plan for plan, _ in watched]), name_sites=True)


def _update(previous: bytes | None, watched: Sequence[tuple[Plan, WatchReport]], file: str, name: str,
            name_sites: bool) -> bytes:
    old = read_calendar(previous, file) if previous is not None else NOTHING
    contents = [content for plan, report in watched
                for content in spell_contents(report.alerts, plan.scenario, name_sites)]
    plans = {site_mark(plan.site.name): plan for plan, _ in watched}

    def fate(block: Block) -> Fate:
        plan = plans.get(block.site_mark) if block.site_mark else watched[0][0]
        if not block.alert or plan is None:
            return "keep"
        days_past = (plan.today - _evening(block, plan.site.timezone)).days
        if days_past > 0:
            over = ended(block, plan.today, plan.site.timezone) if days_past <= ALERT_MEMORY_DAYS else None
            return over or ("keep" if days_past <= ALERT_MEMORY_DAYS else "leave out")
        return "leave out" if block.cancelled else "cancel"

    events, left_out = _merged(old, contents, fate)
    kept = [line for line in old.header if property_name(line) != LEFT_OUT]
    return _file(kept + _left_out_lines(left_out) if kept else
                 _header(name, _nights_told([plan for plan, _ in watched]), (), left_out), old.foreign, events)


def _evening(block: Block, timezone: str) -> date:
    """The local date on which an alert's night begins; the last date there is where its start cannot be read."""
    try:
        if not block.start.endswith("Z"):
            return datetime.strptime(block.day, "%Y%m%d").date()
        start = datetime.strptime(block.start, "%Y%m%dT%H%M%SZ").replace(tzinfo=UTC)
        return start.astimezone(ZoneInfo(timezone)).date()
    except ValueError:
        return date.max


def _render(plans: Sequence[Plan], previous: bytes | None, file: str, name: str, name_sites: bool) -> bytes:
    old = read_calendar(previous, file) if previous is not None else NOTHING
    year = min(plan.year for plan in plans)
    contents = [content for plan in plans for content in _plan_contents(plan, name_sites)]
    contents += [content for plan in plans for content in spell_contents(plan.alerts, plan.scenario, name_sites)
                 if content.uid not in old.ours]      # what `watch` wrote stays as it is; only `watch` changes it

    sites = {site_mark(plan.site.name): plan for plan in plans}
    planned = {step.uid.split("@")[0] for plan in plans for step in plan.steps}

    def fate(block: Block) -> Fate:
        if block.alert:
            return "keep" if block.year >= year else "leave out"
        if block.cancelled:
            return "leave out"
        plan = sites.get(block.site_mark) if block.site_mark else plans[0]
        done = plan is not None and _is_logged(block, plan.scenario.log, planned, plan.today)
        over = block.year < year and not _is_ahead(block, plan or plans[0])
        return "keep" if over or done else "cancel"

    events, left_out = _merged(old, contents, fate)
    known = {key: n for key, n in left_out.items() if int(key[:4]) >= year}
    return _file(_header(name, _nights_told(plans), old.header, known), old.foreign, events)


def _is_ahead(block: Block, plan: Plan) -> bool:
    """Whether an event of an earlier planning year is to come, in the weeks before its own that a plan speaks for."""
    opens = plan.daylight.dates[0] - timedelta(days=TURNING_DAYS)
    return block.day >= f"{max(opens, plan.today):%Y%m%d}"


def _is_logged(block: Block, log: Iterable[LogEntry], planned: set[str], today: date) -> bool:
    """Whether the log says that what is not asked any more was done: it then stays as it was, as history.

    Of a day: that any of its jobs was done and none is planned any more, be it for another day or by step.
    """
    try:
        day = datetime.strptime(block.day, "%Y%m%d").date()
    except ValueError:
        return False
    if block.kind == "day":
        if not block.steps:                           # a reader has thrown them away
            return any(entry.date == day for entry in log)
        return planned.isdisjoint(block.steps) and any(_step_is_logged(step, day, log, today) for step in block.steps)
    return _step_is_logged(block.uid.split("@")[0], day, log, today)


def _step_is_logged(step: str, planned: date, log: Iterable[LogEntry], today: date) -> bool:
    """step: a uid without its domain. A spray that lies ahead was not done by those before it."""
    year = step.split("-", 1)[0]
    ahead = planned > today and step.startswith(f"{year}-{SPRAY}-")
    for entry in log:
        stem = f"{year}-{entry.step}-"
        stems = tuple(f"{stem}{w.slug(anchor)}-" for anchor in (entry.plant, WHOLE_COLLECTION)) if entry.plant else stem
        if entry.step.split("@")[0] == step:
            return True
        if not ahead and step.startswith(stems) and abs((entry.date - planned).days) <= NOTED_WITHIN_DAYS:
            return True
    return False


def _plan_contents(plan: Plan, name_sites: bool) -> list[EventContent]:
    return plan_contents(DayBook(plan), name_sites)


def _shared_name(plans: Sequence[Plan]) -> str:
    return f"Plants at {w.listed([w.one_line(plan.site.name, 40) for plan in plans], 3)}"


def _check_sites(scenarios: Iterable[Scenario]) -> None:
    """Raise InputFaults where two sites have one name: UIDs are made from it."""
    folders: dict[str, list[str]] = {}
    for scenario in scenarios:
        folders.setdefault(scenario.site.name, []).append(scenario.folder)
    faults = [Fault("scenario.toml", 0, "[site] name", f'"{w.one_line(name, 60)}" in {w.listed(places)}',
                    "a name of its own for each site", "Events are told apart by their site's name")
              for name, places in folders.items() if len(places) > 1]
    if faults:
        raise InputFaults(faults)


def _merged(old: CalendarFile, contents: Sequence[EventContent],
            fate: Callable[[Block], Fate]) -> tuple[list[bytes], dict[str, int]]:
    """Our events in order of date and UID, and the last SEQUENCE of those that are left out.

    fate: what becomes of an event in the old file that `contents` does not have.
    """
    twice = [uid for uid, n in Counter(content.uid for content in contents).items() if n > 1]
    if twice:
        raise ValueError(f"one UID for two events: {twice[0]}")
    left_out = _remembered(old.header)
    events = []
    for content in contents:
        block = old.ours.get(content.uid)
        gone = left_out.pop(_memory_key(content.uid, content.year), None)
        if block is not None and says_the_same(content, block):
            events.append((block.day, block.uid, block.raw))
            continue
        last = block.sequence if block is not None else gone
        raw = write_event(content, 0 if last is None else last + 1, content.year)
        events.append((f"{content.start:%Y%m%d}", content.uid, raw))
    planned = {content.uid for content in contents}
    for block in old.ours.values():
        if block.uid in planned:
            continue
        what = fate(block)
        off = cancelled(block) if what == "cancel" else what if isinstance(what, EventContent) else None
        if what == "keep":
            events.append((block.day, block.uid, block.raw))
        elif off is not None:
            events.append((block.day, block.uid, write_event(off, block.sequence + 1, block.year)))
        else:
            left_out[_memory_key(block.uid, block.year)] = block.sequence
    return [raw for _, _, raw in sorted(events)], left_out


def _memory_key(uid: str, year: int) -> str:
    """How a UID that is no longer in the file is remembered."""
    return f"{year:04d}-{blake2s(uid.encode(), digest_size=6).hexdigest()}"


def _remembered(header: Iterable[bytes]) -> dict[str, int]:
    found = {}
    for line in header:
        if property_name(line) == LEFT_OUT:
            key, _, sequence = property_value(line).rpartition("-")
            if re.fullmatch("[0-9]{4}.*", key) and re.fullmatch("[0-9]{1,9}", sequence):
                found[key] = int(sequence)
    return found


def _left_out_lines(left_out: dict[str, int]) -> list[bytes]:
    return [f"{LEFT_OUT}:{key}-{sequence}\r\n".encode() for key, sequence in sorted(left_out.items())]


def _nights_told(plans: Sequence[Plan]) -> str:
    """Where each garden's nights come from and how sure its dates are."""
    lines = [nights_line(plan.scenario.normals, plan.climate, plan.rules.units) for plan in plans]
    if len(plans) > 1:
        lines = [f"{plan.site.name}: {line}" for plan, line in zip(plans, lines, strict=True)]
    return w.one_line(TOLD + " ".join(lines), MOST_TOLD)


def _header(name: str, told: str, old: Iterable[bytes], left_out: dict[str, int]) -> list[bytes]:
    """The calendar's own properties: RFC 5545 section 3.7; NAME, DESCRIPTION, REFRESH-INTERVAL and COLOR of RFC 7986
    section 5; X-WR-CALNAME and X-WR-CALDESC for readers older than that; then what an old header has besides."""
    name = w.one_line(name.replace("\\", "/"), 100)
    ours = ["VERSION:2.0\r\n", f"PRODID:{PRODUCT}\r\n", "CALSCALE:GREGORIAN\r\n", text_line("NAME", name),
            text_line("X-WR-CALNAME", name), "REFRESH-INTERVAL;VALUE=DURATION:PT1H\r\n"]
    kept = [line for line in old if property_name(line) not in OUR_HEADER and not _describes(line)]
    named = {property_name(line) for line in kept}
    ours += [text_line(each, told) for each in DESCRIBES if each not in named]
    if "COLOR" not in named:
        kept.insert(0, f"COLOR:{COLOUR}\r\n".encode())
    return [line.encode() for line in ours] + _left_out_lines(left_out) + kept


def _describes(line: bytes) -> bool:
    """Whether a header line is our own description."""
    return property_name(line) in DESCRIBES and property_value(line).startswith(TOLD)


def _file(header: Iterable[bytes], foreign: Iterable[bytes], events: Iterable[bytes]) -> bytes:
    return b"".join([b"BEGIN:VCALENDAR\r\n", *header, *foreign, *events, b"END:VCALENDAR\r\n"])
