"""A calendar file as bytes: taken apart into its components without changing one of them, and put together again.

An iCalendar object is a run of content lines between BEGIN:VCALENDAR and END:VCALENDAR, holding properties and
components (RFC 5545 sections 3.1, 3.4 and 3.6). Components that are not ours must come out as they went in, so they are
cut out as bytes and never parsed. Of our own events only the few properties that decide their fate are read.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass

from seasonplan.errors import Fault, InputFaults

OUR_DOMAIN = "@seasonplan.invalid"
"""Every UID of ours ends so; `.invalid` is a reserved name that nobody else can own (RFC 2606 section 2)."""
MARK = "X-SEASONPLAN-MARK"
STEPS = "X-SEASONPLAN-STEPS"
"""The steps that the event of a day holds, by their uids without the domain."""
UNKNOWN_YEAR = 2000
"""Taken for the year of an event whose UID and start both hold none; it only sets its stamps."""

_EDGES = re.compile(rb"^(BEGIN|END):([^\r\n]*)(?:\r?\n|\r?\Z)", re.MULTILINE | re.IGNORECASE)
_FOLD = re.compile(rb"\r?\n[ \t]")
_HEADER_LINE = re.compile(rb"^[^ \t\r\n][^\n]*(?:\n[ \t][^\n]*)*(?:\n|\Z)", re.MULTILINE)
_ALARM = re.compile(rb"^BEGIN:VALARM.*?^END:VALARM[^\n]*\n", re.MULTILINE | re.IGNORECASE | re.DOTALL)
_PROPERTY = re.compile(rf"^(UID|SEQUENCE|STATUS|DTSTART|SUMMARY|{MARK}|{STEPS})(?:;[^:\r\n]*)?:([^\r\n]*)".encode(),
                       re.MULTILINE | re.IGNORECASE)


@dataclass(frozen=True)
class Block:
    """One event of ours as it stands in a file.

    raw: its bytes, BEGIN to END with the line end. start: value of its DTSTART ("20270501", "20270501T190000Z"), ""
    where it has none that can be read. mark: what `calendar_events.mark_of` gave when it was written, "" where a
    reader has thrown it away. whole: it still has a start and a title. steps: what it holds, of a day's event.
    """

    raw: bytes
    uid: str
    sequence: int
    cancelled: bool
    start: str
    mark: str
    whole: bool
    steps: tuple[str, ...] = ()

    @property
    def kind(self) -> str:
        """"step", "day" or "alert"."""
        return "alert" if self.alert else "day" if re.match("[12][0-9]{3}-day-[0-9]{4}-", self.uid) else "step"

    @property
    def day(self) -> str:
        """The date it starts on, "YYYYMMDD"; in UTC for alerts."""
        return self.start[:8]

    @property
    def alert(self) -> bool:
        """Whether it is an alert of `watch` and not a step of the plan (steps are all-day events)."""
        return self.mark.startswith("alert-") if self.mark else "T" in self.start

    @property
    def site_mark(self) -> str:
        """Which site it belongs to (`calendar_events.site_mark`), "" where that is lost."""
        parts = self.mark.split("-")
        return parts[1] if len(parts) == 3 else ""

    @property
    def year(self) -> int:
        """As `uid_year`."""
        return uid_year(self.uid, int(self.start[:4] or UNKNOWN_YEAR))


def uid_year(uid: str, start_year: int) -> int:
    """The planning year that a UID of ours begins with, else the year the event starts in."""
    return int(uid[:4]) if re.match("[12][0-9]{3}-", uid) else start_year


@dataclass(frozen=True)
class CalendarFile:
    """header: the calendar's own content lines, folds and line ends included. foreign: components that are not ours,
    in file order. ours: our events by UID; where a reader has doubled one, that with the highest SEQUENCE."""

    header: tuple[bytes, ...]
    foreign: tuple[bytes, ...]
    ours: dict[str, Block]


def read_calendar(data: bytes, file: str) -> CalendarFile:
    """Take a calendar apart. Raises InputFaults naming `file` where it is damaged, so that nothing is written over."""
    if data.startswith(b"\xef\xbb\xbf"):
        data = data[3:]
    _check_text(data, file)
    header: list[bytes] = []
    foreign: list[bytes] = []
    ours: dict[str, Block] = {}
    for is_component, raw in _top_level(data, file):
        if not is_component:
            header += _header_lines(raw, data, file)
            continue
        block = _our_event(raw)
        if block is None:
            foreign.append(raw)
        elif block.uid not in ours or block.sequence > ours[block.uid].sequence:
            ours[block.uid] = block
    return CalendarFile(tuple(header), tuple(foreign), ours)


def property_name(line: bytes) -> str:
    """Name of a content line, upper case (RFC 5545 section 3.1: names do not depend on case)."""
    return re.split(rb"[:;]", line, maxsplit=1)[0].strip().decode("ascii", "replace").upper()


def property_value(line: bytes) -> str:
    """Value of an unparametrised content line, unfolded and as written."""
    return _FOLD.sub(b"", line).partition(b":")[2].strip().decode()


def _check_text(data: bytes, file: str) -> None:
    try:
        data.decode("utf-8")
    except UnicodeDecodeError as problem:
        raise _damaged(file, data, problem.start, "bytes that are not UTF-8 text") from None
    if b"\0" in data:
        raise _damaged(file, data, data.index(b"\0"), "a zero byte")


def _top_level(data: bytes, file: str) -> Iterator[tuple[bool, bytes]]:
    """(is it a component, its bytes) for everything directly inside the one VCALENDAR, in file order."""
    edges = _EDGES.finditer(data)
    first = next(edges, None)
    if first is None or not _is_edge(first, b"BEGIN", b"VCALENDAR") or data[:first.start()].strip():
        raise _damaged(file, data, 0, "no BEGIN:VCALENDAR at its head")
    names, at = [b"VCALENDAR"], first.end()
    for edge in edges:
        opens = _is_edge(edge, b"BEGIN", edge[2])
        if not names or not opens and not _is_edge(edge, b"END", names[-1]):
            raise _damaged(file, data, edge.start(), f"{edge[0].decode().strip()[:60]} out of place")
        if len(names) == (1 if opens else 2):
            yield not opens, data[at:edge.start() if opens else edge.end()]
            at = edge.start() if opens else edge.end()
        elif len(names) == 1:
            yield False, data[at:edge.start()]
            at = edge.end()
        if opens:
            names.append(edge[2])
        else:
            names.pop()
    if names:
        raise _damaged(file, data, len(data), f"BEGIN:{names[-1].decode()[:60]} without its END")
    if data[at:].strip():
        raise _damaged(file, data, at, "something after END:VCALENDAR")


def _is_edge(edge: re.Match[bytes], kind: bytes, name: bytes) -> bool:
    return edge[1].upper() == kind and edge[2].strip().upper() == name.strip().upper()


def _header_lines(raw: bytes, data: bytes, file: str) -> list[bytes]:
    lines = _HEADER_LINE.findall(raw)
    for line in lines:
        if b":" not in line:
            raise _damaged(file, data, data.index(line), "a line that is no calendar property")
    return lines


def _damaged(file: str, data: bytes, at: int, found: str) -> InputFaults:
    line = data.count(b"\n", 0, at) + 1
    return InputFaults([Fault(file, line, "", found, "one whole calendar, BEGIN:VCALENDAR to END:VCALENDAR",
                              "Is it cut off, or not a calendar? Restore it, or move it away to start a new one")])


def _our_event(raw: bytes) -> Block | None:
    """The block as an event of ours, None when it is anything else."""
    if raw[:12].upper() != b"BEGIN:VEVENT":
        return None
    text = _FOLD.sub(b"", raw)
    found: dict[str, str] = {}
    for name, value in _PROPERTY.findall(_ALARM.sub(b"", text)):
        found.setdefault(name.decode().upper(), value.decode().strip())
    uid = found.get("UID", "")
    if not uid.endswith(OUR_DOMAIN):
        return None
    start = found.get("DTSTART", "")
    start = start if re.fullmatch(r"[12][0-9]{7}(T[0-9]{6}Z?)?", start) else ""
    sequence = found.get("SEQUENCE", "")
    return Block(raw=raw, uid=uid, sequence=int(sequence) if re.fullmatch("[0-9]{1,9}", sequence) else 0,
                 cancelled=found.get("STATUS", "").upper() == "CANCELLED", start=start,
                 mark=found.get(MARK, ""), whole=bool(start and found.get("SUMMARY", "")),
                 steps=tuple(filter(None, re.split(r"[,\\]+", found.get(STEPS, "")))))
