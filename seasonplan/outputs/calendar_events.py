"""Events of ours, from steps and alerts to content lines; the only module that touches icalendar.

icalendar escapes and parses (RFC 5545 section 3.3.11). Its component tree and its folding are left aside when writing:
a calendar of some hundred events would take them a fifth of a second, which is more than the plan itself may cost.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from datetime import UTC, date, datetime, timedelta
from hashlib import blake2s

from icalendar import Event, vText

from seasonplan.dates import planning_year
from seasonplan.model import Step
from seasonplan.outputs import calendar_text as text
from seasonplan.outputs.calendar_file import MARK, OUR_DOMAIN, STEPS, Block, uid_year
from seasonplan.outputs.daybook import MOVE_KINDS, DayBook, WorkDay

EVENING_BEFORE = timedelta(hours=-5)
"""Alarm of an all-day event, counted from its midnight: 19:00 the evening before. An offset in hours comes back the
same from every reader tried; one in days loses its clock time."""
LINE_OCTETS = 75
CONFIRMED, CANCELLED = "CONFIRMED", "CANCELLED"


@dataclass(frozen=True)
class EventContent:
    """All that an event of ours says, without SEQUENCE and stamps.

    kind: "step" | "day" | "alert". start, end: dates (end exclusive, RFC 5545 section 3.6.1), or UTC times. alarm:
    offset from the start, None for no alarm. site: what stands for its site in marks (`site_mark`), "" where that is
    lost. steps: what the event of a day holds, as uids without their domain.
    """

    uid: str
    kind: str
    site: str
    start: date
    end: date
    summary: str
    description: str
    location: str
    categories: tuple[str, ...]
    alarm: timedelta | None
    status: str = CONFIRMED
    steps: tuple[str, ...] = ()

    @property
    def year(self) -> int:
        """As `calendar_file.uid_year`."""
        return uid_year(self.uid, self.start.year)


def plan_contents(book: DayBook, name_site: bool) -> list[EventContent]:
    """A plan's events, as the rules ask for them: by day, where the jobs of a day are one event, or by step.

    Moves have events of their own either way. name_site: several sites share the calendar.
    """
    by_day = book.plan.rules.calendar == "by-day"
    found = []
    for day in book.days:
        alone = day.moves if by_day else day.steps
        with_jobs = by_day and bool(day.jobs or day.habits and not alone)
        found += [step_content(book, step, name_site, day.habits if n == 0 and not with_jobs else ())
                  for n, step in enumerate(alone)]
        found += [day_content(book, day, name_site)] if with_jobs or not alone else []
    return found


def step_content(book: DayBook, step: Step, name_site: bool, habits: Sequence[Step] = ()) -> EventContent:
    """An all-day event for a step; habits: what begins that day and is said with it."""
    site, units = book.plan.site.name, book.plan.rules.units
    shown = site if name_site else ""
    category = text.CATEGORY_OF_KIND.get(step.kind, step.kind.replace("-", " ").capitalize())
    title = text.move_title(book, step) if step.kind in MOVE_KINDS else step.title
    detail = text.move_detail(book, step) if step.kind in MOVE_KINDS else step.detail
    return EventContent(step.uid, "step", site_mark(site), step.date, step.date + timedelta(days=1),
                        text.title_line(title, shown), text.step_text(step, detail, units, habits),
                        text.place_line(step.place, shown), ("Plants", category), EVENING_BEFORE)


def day_content(book: DayBook, day: WorkDay, name_site: bool) -> EventContent:
    """An all-day event for the jobs of a day. Its UID is the garden and the day, whatever the jobs are."""
    site = book.plan.site.name
    shown = site if name_site else ""
    places = list(dict.fromkeys(step.place for step in day.jobs if step.place))
    year = planning_year(day.date, book.plan.site.latitude_deg)
    return EventContent(day_uid(year, site, day.date), "day", site_mark(site), day.date,
                        day.date + timedelta(days=1), text.title_line(text.day_title(book, day), shown),
                        text.day_text(book, day), text.place_line(", ".join(places), shown), ("Plants", "Jobs"),
                        EVENING_BEFORE, steps=tuple(step.uid.removesuffix(OUR_DOMAIN) for step in day.jobs))


def day_uid(year: int, site: str, day: date) -> str:
    """The UID of a day's event: the garden and the day, in the planning year that holds it, whichever year's plan asks
    for it: a pest may be treated before its plan's year begins, and after it."""
    return f"{year}-day-{day:%m%d}-{site_mark(site)}{OUR_DOMAIN}"


def site_mark(site: str) -> str:
    """A site's name as it stands in a mark."""
    return blake2s(site.encode("utf-8", "surrogatepass"), digest_size=4).hexdigest()


def mark_of(content: EventContent) -> str:
    """kind-site-content: tells from the file alone whether a plan says anything new, whatever a reader or a person has
    since done to the event."""
    said = "\x1f".join(map(str, (content.start, content.end, content.summary, content.description, content.location,
                                 content.categories, content.alarm, content.status)))
    return f"{content.kind}-{content.site}-{blake2s(said.encode(), digest_size=8).hexdigest()}"


def says_the_same(content: EventContent, block: Block) -> bool:
    """Whether an event in a file needs no new version. Where its mark is lost, what it means is compared, not bytes."""
    if not block.whole:
        return False
    if block.mark:
        return block.mark == mark_of(content) and block.steps in ((), content.steps)
    found = read_event(block)
    return found is not None and replace(found, site=content.site, kind=content.kind, steps=content.steps) == content


def cancelled(block: Block) -> EventContent | None:
    """An event in a file as called off: title, note and status say so, and no alarm rings (RFC 5545 section 3.8.1.11).

    None when the event cannot be read.
    """
    found = read_event(block)
    if found is None:
        return None
    return replace(found, summary=text.title_line(text.CANCELLED_TITLE + found.summary), status=CANCELLED, alarm=None,
                   description="\n\n".join(filter(None, (text.CANCELLED_NOTE, found.description))))


def read_event(block: Block) -> EventContent | None:
    """What an event in a file says, None when it has no start or is damaged.

    An end that is not after the start, or of another kind, becomes a day after it: readers refuse the whole file.
    """
    try:
        event = Event.from_ical(block.raw)
        start = event.decoded("DTSTART")
        end = event.decoded("DTEND") if "DTEND" in event else start + event.decoded("DURATION", timedelta(days=1))
        if not isinstance(start, date):
            return None
        if type(end) is not type(start) or end <= start:
            end = start + timedelta(days=1)
        alarms = [part.decoded("TRIGGER") for part in event.walk("VALARM")]
        categories = event.get("CATEGORIES")
        return EventContent(block.uid, block.kind, block.site_mark, _in_utc(start),
                            _in_utc(end), str(event.get("SUMMARY", "")), str(event.get("DESCRIPTION", "")),
                            str(event.get("LOCATION", "")), tuple(map(str, categories.cats)) if categories else (),
                            alarms[0] if alarms else None, str(event.get("STATUS", CONFIRMED)), block.steps)
    except (ValueError, KeyError, TypeError, AttributeError):
        return None


def _in_utc(when: date) -> date:
    return when.astimezone(UTC) if isinstance(when, datetime) and when.tzinfo else when


def write_event(content: EventContent, sequence: int, year: int) -> bytes:
    """The VEVENT (RFC 5545 section 3.6.1). Its stamps come from the year and SEQUENCE, never from the clock:
    1 November before the planning year, 00:00 UTC, plus SEQUENCE minutes."""
    return "".join(_lines(content, sequence, year)).encode()


def _lines(content: EventContent, sequence: int, year: int) -> Iterator[str]:
    stamp = _moment(datetime(year - 1, 11, 1, tzinfo=UTC) + timedelta(minutes=sequence))
    yield "BEGIN:VEVENT\r\n"
    yield _folded(f"UID:{content.uid}")
    yield f"DTSTAMP{stamp}\r\nLAST-MODIFIED{stamp}\r\nSEQUENCE:{sequence}\r\n"
    yield f"DTSTART{_moment(content.start)}\r\nDTEND{_moment(content.end)}\r\n"
    yield text_line("SUMMARY", content.summary)
    if content.description:
        yield text_line("DESCRIPTION", content.description)
    if content.location:
        yield text_line("LOCATION", content.location)
    if content.categories:
        yield _folded("CATEGORIES:" + ",".join(map(_escaped, content.categories)))
    yield f"STATUS:{content.status}\r\n"
    if content.kind != "alert":
        yield "TRANSP:TRANSPARENT\r\n"
    yield f"{MARK}:{mark_of(content)}\r\n"
    if content.steps:
        yield _folded(f"{STEPS}:{','.join(content.steps)}")
    if content.alarm is not None:
        yield f"BEGIN:VALARM\r\nACTION:DISPLAY\r\nTRIGGER:{_duration(content.alarm)}\r\n"
        yield text_line("DESCRIPTION", content.summary)
        yield "END:VALARM\r\n"
    yield "END:VEVENT\r\n"


def _duration(offset: timedelta) -> str:
    """"-PT5H", "PT1H30M" (RFC 5545 section 3.3.6)."""
    minutes = int(abs(offset).total_seconds() // 60)
    parts = f"{minutes // 60}H" * (minutes >= 60 or not minutes) + f"{minutes % 60}M" * (minutes % 60 > 0)
    return f"{'-' * (offset < timedelta(0))}PT{parts}"


def _moment(when: date) -> str:
    """":20270501T190000Z" or ";VALUE=DATE:20270501" (RFC 5545 sections 3.3.4 and 3.3.5)."""
    if not isinstance(when, datetime):
        return f";VALUE=DATE:{when:%Y%m%d}"
    return f":{when:%Y%m%dT%H%M%S}{'Z' if when.tzinfo else ''}"


def text_line(name: str, value: str) -> str:
    """A TEXT property (RFC 5545 section 3.3.11), escaped and folded, with its line end."""
    return _folded(f"{name}:{_escaped(value)}")


def _escaped(value: str) -> str:
    return vText(value).to_ical().decode()


def _folded(line: str) -> str:
    """A content line folded to LINE_OCTETS with its line end (RFC 5545 section 3.1), never inside a character, and not
    between a backslash and what it escapes, which some readers do not bear."""
    raw, start, room = line.encode(), 0, LINE_OCTETS
    pieces = []
    while len(raw) - start > room:
        end = start + room
        while raw[end] & 0b1100_0000 == 0b1000_0000:
            end -= 1
        if raw[end - 1:end] == b"\\":
            end -= 1
        pieces.append(raw[start:end])
        start, room = end, LINE_OCTETS - 1
    pieces.append(raw[start:])
    return b"\r\n ".join(pieces).decode() + "\r\n"
