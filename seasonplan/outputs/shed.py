"""The season on one side of paper, for the shed door: date, what, from where to where, how much, a box to tick."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Sequence
from dataclasses import dataclass, replace
from math import ceil

from seasonplan import wording as w
from seasonplan.model import Plan, Plant, Step
from seasonplan.outputs.cautions import themes, themes_of
from seasonplan.outputs.daybook import NAME_MOST, Carry, DayBook, Words, WorkDay, capital, words_of
from seasonplan.outputs.page import css, environment, season_words
from seasonplan.outputs.page_days import WAYS, amounts_line, day_words
from seasonplan.outputs.page_groups import Group, groups_that_go, pots
from seasonplan.outputs.pictures import Picture
from seasonplan.outputs.pictures_season import GroupRow, group_rows, nights_picture

FEW_NAMES = 4
"""Plants of a job that are named; more are counted. Moves name every plant. Our setting."""
SIDES_FROM_POTS = ((60, 2),)
"""From so many pots on the sheet may take so many sides."""
COLUMNS = 3
SIDE_PT, COLUMN_PT = (745.0, 172.0)
"""Height of a side of Letter and width of a column of A4 within their margins: what both papers have at least."""
LETTER_EM, LINE_EM, BESIDE_EM = 0.54, 1.17, 21.0
"""Width of a letter of a wide typeface, height of a line, and what heading, cautions and strip take."""
LARGEST_PT, SMALLEST_PT, STEP_PT = 9.0, 5.0, 0.1


@dataclass(frozen=True)
class Line:
    """One thing to tick. cautions: numbers of their themes."""

    what: str
    how_much: str
    cautions: tuple[int, ...]


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
    groups = groups_that_go(plan)
    return environment().get_template("shed.j2").render(
        title=f"{plan.site.name}, {season_words(plan)}", css=css("shed.css"), days=days, lead=_lead(book, len(worked)),
        cautions=themes(plan.steps), strip=_strip(plan, groups), stays=_stays(plan, groups),
        size=f"{type_size(days, pots(plan.plants)):.1f}")


def _lead(book: DayBook, shown: int) -> str:
    plan, left = book.plan, len(book.days) - shown
    before = f" {w.counted(left, 'day')} before {w.day(plan.today)} left out." if left else ""
    return f"{w.counted(len(plan.plants), 'plant')} in {w.counted(pots(plan.plants), 'pot')}.{before}"


def _day(book: DayBook, day: WorkDay) -> Day:
    lines = [line for step in day.moves for line in _moves(book, step)]
    return Day(day_words(book.plan, day.date), w.duration(day.minutes) if day.minutes else "",
               tuple([*lines, *_jobs(book, day.jobs + day.habits)]))


def _moves(book: DayBook, step: Step) -> list[Line]:
    """A line for each place that plants go to: every plant by name, and where it comes from."""
    found: dict[str, list[Carry]] = defaultdict(list)
    for carry in book.carries(step):
        found[carry.to_place].append(carry)
    lines = []
    for place, some in found.items():
        parts = [", ".join(_label(each.plant) for each in carry.plans) + f" from {carry.from_place}" for carry in some]
        cloths = dict.fromkeys(f"{c.cloth.percent} % cloth until {w.short_day(c.cloth.until)}" for c in some if c.cloth)
        lines.append(Line(f"{WAYS[step.kind]} to {place}: {'; '.join(parts)}", ", ".join(cloths), themes_of(step)))
    return lines


def _label(plant: Plant) -> str:
    name = w.one_line(plant.name, NAME_MOST)
    return name if plant.count == 1 else f"{name} ({plant.count})"


def _jobs(book: DayBook, steps: Sequence[Step]) -> list[Line]:
    """Steps of the same words are one line, the longest work first; what takes no time is one line together."""
    found: dict[Words, list[Step]] = defaultdict(list)
    for step in steps:
        if step.minutes or step.amounts:
            found[words_of(step.kind)].append(step)
    lines = [Line(capital(words.said(_who(book, some))), amounts_line(book.plan, some), _numbers(some))
             for words, some in sorted(found.items(), key=lambda each: -sum(step.minutes for step in each[1]))]
    rest = [step for step in steps if not step.minutes and not step.amounts]
    return [*lines, Line(capital(", ".join(book.phrases(rest))), "", _numbers(rest))] if rest else lines


def _numbers(steps: Sequence[Step]) -> tuple[int, ...]:
    return tuple(sorted({number for step in steps for number in themes_of(step)}))


def _who(book: DayBook, steps: Sequence[Step]) -> str:
    names = list(dict.fromkeys(name for step in steps for name in step.plants))
    if len(names) <= FEW_NAMES:
        return w.listed([w.one_line(name, NAME_MOST) for name in names])
    return w.counted(book.pots(names), "pot")


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
