"""The season on one side of paper, for the shed door: date, what, from where to where, how much, a box to tick.

Of two sides each carries the cautions at its foot, so that its numbers mean something without turning it.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Sequence
from dataclasses import dataclass, replace
from functools import cache
from itertools import accumulate
from math import ceil

from seasonplan import wording as w
from seasonplan.climate.sureness import nights_line
from seasonplan.model import Plan
from seasonplan.outputs.cautions import themes
from seasonplan.outputs.daybook import DayBook, WorkDay
from seasonplan.outputs.page import css, environment, season_words
from seasonplan.outputs.page_days import Line, day_lines, day_words
from seasonplan.outputs.page_groups import Group, groups_that_go, pots
from seasonplan.outputs.pictures import Picture
from seasonplan.outputs.pictures_season import GroupRow, group_rows, nights_picture

SIDES_FROM_POTS = ((60, 2),)
"""From so many pots on the sheet may take so many sides."""
COLUMNS = 3
SIDE_PT, COLUMN_PT, ACROSS_PT = 744.0, 174.0, 548.0
"""Height of a side of Letter, width of a column of A4 and of all three, within the margins: what both papers have."""
LINE_EM, HEADING_EM, BOX_EM, NOTE_EM, BESIDE_EM = 1.17, 0.45, 1.3, 1.05, 2.6
"""Line; what a day's rule and margin add; what stands left of a line; a line of the cautions; heading and rules."""
STRIP_EM, STAY_EM = 9.0, 2.0
"""Height of the strip of nights, and of a row of two stays beside it."""
SLACK_LINES = 2.0
"""Lines that stay empty at the foot of a column, since no line to tick is broken."""
BOLD = 1.08
WIDTHS_EM = (("ijl'|", 0.22), ("fItr.,:;!()/[]- ", 0.3), ("ckszvxyJ", 0.5), ("ABEKPSVXY&", 0.667), ("CDHNRUw", 0.722),
             ("GOQ", 0.778), ("mMW%", 0.889), ("abdeghnopquLFTZ0123456789", 0.556))
"""Widths of letters of the sans serifs that the sheet asks for (Helvetica's, from memory; `font-size-adjust` holds
others to them)."""
WIDE_EM, OTHER_EM = 1.0, 0.65
LARGEST_PT, SMALLEST_PT, STEP_PT = 9.0, 5.0, 0.1
READABLE_PT = 6.5
"""Where the type would be smaller, reminders that take no time are left to the calendar and the page."""


@dataclass(frozen=True)
class Day:
    """A day's heading, its minutes and its lines."""

    title: str
    minutes: str
    lines: tuple[Line, ...]


@dataclass(frozen=True)
class Side:
    """A side of paper. heading: what stands at its head beside the garden's name; last: whether the nights and stays
    stand at its foot."""

    heading: str
    days: tuple[Day, ...]
    last: bool


def render_shed(plan: Plan) -> str:
    """The sheet as an HTML document, made to be printed."""
    book = DayBook(plan)
    worked = [day for day in book.days if day.date >= plan.today or not book.ahead]
    days = tuple(_day(book, day) for day in worked)
    groups, mind = groups_that_go(plan), themes(plan.steps)
    stays = _stays(plan, groups)
    told = nights_line(plan.scenario.normals, plan.climate, plan.rules.units)
    given = pots(plan.plants), [*[theme.short for theme in mind], told], len(stays)
    size = type_size(days, *given)
    if size < READABLE_PT:
        days = _without_reminders(days)
        size = type_size(days, *given)
    return environment().get_template("shed.j2").render(
        title=f"{plan.site.name}, {season_words(plan)}", css=css("shed.css"), told=told, cautions=mind,
        sides=sides_of(days, size, *given, _lead(book, len(worked))), strip=_strip(plan, groups), stays=stays,
        size=f"{size:.1f}")


def _lead(book: DayBook, shown: int) -> str:
    plan, left = book.plan, len(book.days) - shown
    before = f" {w.counted(left, 'day')} before {w.day(plan.today)} left out." if left else ""
    return f"{w.counted(len(plan.plants), 'plant')} in {w.counted(pots(plan.plants), 'pot')}.{before}"


def _without_reminders(days: Sequence[Day]) -> tuple[Day, ...]:
    """The days without what takes no time and no thing; days that hold nothing else are left out."""
    kept = [replace(day, lines=tuple(line for line in day.lines if not line.reminder)) for day in days]
    return tuple(day for day in kept if day.lines)


def _day(book: DayBook, day: WorkDay) -> Day:
    return Day(day_words(book.plan, day.date), w.duration(day.minutes) if day.minutes else "", day_lines(book, day))


def _strip(plan: Plan, groups: Sequence[Group]) -> Picture:
    whole = nights_picture(plan, groups, tall=7)
    return replace(whole, labels=tuple(label for label in whole.labels if label.look == "axis"),
                   shapes=tuple(shape for shape in whole.shapes if shape.look != "harm"))


def _stays(plan: Plan, groups: Sequence[Group]) -> list[tuple[str, str, Picture]]:
    """(names, days, bar) of everybody's time outdoors, those with the same days together."""
    found: dict[str, list[GroupRow]] = defaultdict(list)
    for row in group_rows(plan, groups):
        found[row.stay].append(row)
    return [(", ".join(row.names for row in some), stay,
             replace(some[0].picture, tall=0.8, labels=(), alternative=f"{some[0].names}: {stay}",
                     shapes=tuple(shape for shape in some[0].picture.shapes if shape.look == "stay")))
            for stay, some in found.items()]


def type_size(days: Sequence[Day], pot_count: int, notes: Sequence[str] = (), stays: int = 0) -> float:
    """Points of the largest type with which days, cautions and stays fit on their sides."""
    lines = [_words_em(day) for day in days]
    size, sides = LARGEST_PT, _side_count(pot_count)
    while size > SMALLEST_PT and _held(lines, notes, stays, size, sides) is None:
        size -= STEP_PT
    return max(size, SMALLEST_PT)


def sides_of(days: Sequence[Day], size: float, pot_count: int, notes: Sequence[str], stays: int,
             lead: str) -> list[Side]:
    """The sides with their days, at a size of type; all days on one where they fit nowhere."""
    ends = _held([_words_em(day) for day in days], notes, stays, size, _side_count(pot_count)) or [len(days)]
    starts = [0, *ends[:-1]]
    headings = [lead, *(f"from {days[start].title} on" if start < end else ""
                        for start, end in zip(starts[1:], ends[1:], strict=True))]
    return [Side(heading, tuple(days[start:end]), n == len(ends))
            for n, (heading, start, end) in enumerate(zip(headings, starts, ends, strict=True), 1)]


def _side_count(pot_count: int) -> int:
    return max((n for least, n in SIDES_FROM_POTS if pot_count >= least), default=1)


def _held(days: Sequence[tuple[float, list[list[float]]]], notes: Sequence[str], stays: int, size: float,
          sides: int) -> list[int] | None:
    """One past the last day of each side, each with the cautions, the last with nights and stays too; None where the
    days do not fit."""
    column, across = COLUMN_PT / size, ACROSS_PT / size
    foot = BESIDE_EM + NOTE_EM * sum(_wrapped(_words(note), across) for note in notes)
    strip = max(STRIP_EM, STAY_EM * ceil(stays / 2))
    tall = [_day_lines(head, lines, column) * LINE_EM + HEADING_EM for head, lines in days]
    ends: list[int] = []
    while len(ends) < sides:
        start = ends[-1] if ends else 0
        if sum(tall[start:]) <= COLUMNS * (SIDE_PT / size - foot - strip - SLACK_LINES * LINE_EM):
            return [*ends, len(days)]
        room = COLUMNS * (SIDE_PT / size - foot - SLACK_LINES * LINE_EM)
        ends.append(start + sum(total <= room for total in accumulate(tall[start:])))
    return None


def _day_lines(head: float, lines: Sequence[Sequence[float]], column: float) -> int:
    """Lines that a day takes; a heading and the only thing to do stand in one line where they fit."""
    if len(lines) == 1 and head + 1 + BOX_EM + _em_of(lines[0]) <= column:
        return 1
    return 1 + sum(_wrapped(line, column - BOX_EM) for line in lines)


def _words_em(day: Day) -> tuple[float, list[list[float]]]:
    """(width of the heading, widths of the words of each line) [em]."""
    head = BOLD * _em_of(_words(day.title)) + _em_of(_words(day.minutes)) + 0.3
    return head, [_words(line.what + ":") + [BOLD * each for each in _words(line.how_much)]
                  + [0.5 * len(line.cautions)] for line in day.lines]


@cache
def _letters() -> dict[str, float]:
    return {letter: width for letters, width in WIDTHS_EM for letter in letters}


def _words(text: str) -> list[float]:
    """Width of every word [em]."""
    return [sum(_letters().get(letter, WIDE_EM if ord(letter) > 0x1100 else OTHER_EM) for letter in word)
            for word in text.split()]


def _em_of(words: Sequence[float]) -> float:
    return sum(words) + 0.28 * len(words)


def _wrapped(words: Sequence[float], across: float) -> int:
    """Lines that words take, each put where it fits; a word longer than a line is broken."""
    lines, used = 1, 0.0
    for word in words:
        if used and used + word > across:
            lines, used = lines + 1, 0.0
        lines += int(word // across)
        used += word % across + 0.28
    return lines
