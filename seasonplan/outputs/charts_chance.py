"""Chance against date: how likely, and how many, harmful nights are to come after a date or have come by it."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date, timedelta

import numpy as np

from seasonplan import wording as w
from seasonplan.dates import DAYS, day_index
from seasonplan.model import Plan
from seasonplan.outputs.charts import DASHES, Sheet
from seasonplan.outputs.charts_panel import Box, Panel
from seasonplan.outputs.page_groups import Group, autumn_odds, spring_odds

MOST_NIGHTS = 8
"""The chart shows up to this many nights to carry in; beyond it no one would move a plant."""
MARGIN_DAYS = 24


def chance_size(narrow: bool) -> tuple[float, float]:
    """Size of the chance chart."""
    return (340.0, 620.0) if narrow else (800.0, 380.0)


def paint_chance(sheet: Sheet, plan: Plan, groups: Sequence[Group]) -> None:
    """For spring and autumn, by date: the chance of any harmful night (top) and how many to expect (below)."""
    for side, (days, odds) in enumerate(zip(chance_days(groups, plan), (spring_odds, autumn_odds), strict=True)):
        curves = [odds(plan, group, days) for group in groups]
        for row in (0, 1):
            top = (100.0, float(MOST_NIGHTS))[row]
            panel = Panel(sheet, _half_box(sheet, side, row), (0, len(days) - 1), (0, top * 1.04))
            _paint_frame(panel, plan, days, side, row)
            for n, group in enumerate(groups):
                values = np.asarray(curves[n][row]) * (100 if row == 0 else 1)
                _paint_curve(panel, days, values, group, side, row, n, len(groups))


def _half_box(sheet: Sheet, side: int, row: int) -> Box:
    """Two by two on a wide sheet, four in a column on a narrow one."""
    if sheet.narrow:
        top = 26 + (2 * side + row) * 149
        return Box(42, top, sheet.width - 16, top + 98)
    left, top = 44 + side * 394, 26 + row * 186
    return Box(left, top, left + 342, top + 130)


def chance_days(groups: Sequence[Group], plan: Plan) -> tuple[list[date], list[date]]:
    """The dates the chance chart spans in spring and in autumn: around every date that some policy gives."""
    spans = []
    for ends in ([g.leader.out for g in groups], [g.leader.back for g in groups]):
        days = [d for move in ends for d in (move.date, move.careful, move.carry_in) if d]
        start = max(min(days) - timedelta(days=MARGIN_DAYS), plan.daylight.dates[0])
        end = min(max(days) + timedelta(days=MARGIN_DAYS), plan.daylight.dates[-1])
        spans.append([start + timedelta(days=n) for n in range((end - start).days + 1)])
    halves = ([d for d in spans[0] if _in_spring(plan, d)], [d for d in spans[1] if not _in_spring(plan, d)])
    spring, autumn = (half if len(half) > 1 else span for half, span in zip(halves, spans, strict=True))
    return spring, autumn


def _in_spring(plan: Plan, day: date) -> bool:
    """Whether nights turn warmer around this date: the half of the year that the spring tables speak of."""
    tables = plan.site_tables
    return (day_index(day) - tables.cold_index) % DAYS < (tables.turn_index - tables.cold_index) % DAYS


def _paint_frame(panel: Panel, plan: Plan, days: Sequence[date], side: int, row: int) -> None:
    """Title, rules, the limit the policy sets (dotted) and dates."""
    heights = ([0.0, 50.0, 100.0], [0.0, 2.0, 4.0, 6.0, 8.0])[row]
    panel.rules(heights, [f"{h:g} %" if row == 0 else f"{h:g}" for h in heights])
    limit = (plan.rules.harm_risk * 100, plan.rules.carry_in_nights)[row]
    panel.line(panel.x_span, (limit, limit), "soft", 1.0, (2, 2))
    what = ("chance of any harmful night", "harmful nights to expect")[row]
    panel.text(0, panel.y_span[1], f"{('Spring', 'Autumn')[side]}: {what}", dy=8, ha="left", va="bottom", size=11.5)
    step = (1, 15) if len(days) < (100 if panel.x_unit > 0.35 else 140) else (1,)
    ticks = [n for n, day in enumerate(days) if day.day in step]
    panel.ticks(ticks, [w.short_day(days[n]) for n in ticks], size=10.5)


def _paint_curve(panel: Panel, days: Sequence[date], values: np.ndarray, group: Group, side: int, row: int, n: int,
                 count: int) -> None:
    """One group's curve with its letter, the day its policy gives (square or disc) and the day planned (diamond)."""
    panel.line(np.arange(0, len(days), 2), values[::2], "ink", 1.5, DASHES[n % len(DASHES)])
    end = (group.leader.out, group.leader.back)[side]
    marks = ((end.careful, "s", "night") if row == 0 else (end.carry_in, "o", "night"), (end.date, "D", "leaf"))
    for day, marker, role in marks:
        if day and days[0] <= day <= days[-1] and values[(day - days[0]).days] <= panel.y_span[1]:
            panel.mark((day - days[0]).days, float(values[(day - days[0]).days]), marker, role)
    height = panel.y_span[1] * (0.88 - 0.56 * n / max(count - 1, 1))
    order = range(len(days)) if side == 1 else range(len(days) - 1, -1, -1)
    at = next((k for k in order if values[k] >= height), int(np.argmax(values)))
    right = (side == 0) != (at == order[0])
    panel.text(at, min(values[at], panel.y_span[1]), group.letter, dx=6 if right else -6,
               ha="left" if right else "right", bold=True)
