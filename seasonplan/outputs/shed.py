"""The season on one side of paper, for the shed door: date, what, from where to where, how much, a box to tick."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Sequence
from dataclasses import dataclass, replace
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
SIDE_PT, COLUMN_PT = (745.0, 172.0)
"""Height of a side of Letter and width of a column of A4 within their margins: what both papers have at least."""
LETTER_EM, LINE_EM, BESIDE_EM = 0.54, 1.17, 22.2
"""Width of a letter of a wide typeface, height of a line, and what heading, cautions and strip take."""
LARGEST_PT, SMALLEST_PT, STEP_PT = 9.0, 5.0, 0.1
READABLE_PT = 6.5
"""Where the type would be smaller, reminders that take no time are left to the calendar and the page."""


@dataclass(frozen=True)
class Day:
    """A day's heading, its minutes and its lines."""

    title: str
    minutes: str
    lines: tuple[Line, ...]


def render_shed(plan: Plan) -> str:
    """The sheet as an HTML document, made to be printed."""
    book = DayBook(plan)
    worked = [day for day in book.days if day.date >= plan.today or not book.ahead]
    days = tuple(_day(book, day) for day in worked)
    if type_size(days, pots(plan.plants)) < READABLE_PT:
        days = _without_reminders(days)
    groups = groups_that_go(plan)
    return environment().get_template("shed.j2").render(
        title=f"{plan.site.name}, {season_words(plan)}", css=css("shed.css"), days=days, lead=_lead(book, len(worked)),
        told=nights_line(plan.scenario.normals, plan.climate, plan.rules.units), cautions=themes(plan.steps),
        strip=_strip(plan, groups), stays=_stays(plan, groups), size=f"{type_size(days, pots(plan.plants)):.1f}")


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
    return replace(whole, labels=tuple(label for label in whole.labels if label.look == "axis"))


def _stays(plan: Plan, groups: Sequence[Group]) -> list[tuple[str, str, Picture]]:
    """(names, days, bar) of everybody's time outdoors, those with the same days together."""
    found: dict[str, list[GroupRow]] = defaultdict(list)
    for row in group_rows(plan, groups):
        found[row.stay].append(row)
    return [(", ".join(row.names for row in some), stay,
             replace(some[0].picture, tall=0.8, labels=(), alternative=f"{some[0].names}: {stay}",
                     shapes=tuple(shape for shape in some[0].picture.shapes if shape.look == "stay")))
            for stay, some in found.items()]


def type_size(days: Sequence[Day], pot_count: int) -> float:
    """Points of the largest type with which the days fit on their sides."""
    sides = max((n for least, n in SIDES_FROM_POTS if pot_count >= least), default=1)
    texts = [f"{line.what}: {line.how_much} {line.cautions or ''}" for day in days for line in day.lines]
    size = LARGEST_PT
    while size > SMALLEST_PT:
        across = COLUMN_PT / (LETTER_EM * size) - 2
        lines = sum(ceil(len(text) / across) for text in texts) + 1.4 * len(days)
        if lines <= COLUMNS * (sides * SIDE_PT / size - BESIDE_EM) / LINE_EM:
            break
        size -= STEP_PT
    return size
