"""The light chart: for every place one row with its light per day and the clock hours of its direct sun."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from seasonplan.model import Daylight, Plan
from seasonplan.outputs.charts import LONGEST_WORD, Sheet
from seasonplan.outputs.charts_panel import Box, Panel

ROW_UNITS = 96
MOST_PLACES = 10
"""Places a chart shows; the table shows all."""
DLI_EVERY_DAYS, CLOCK_EVERY_DAYS = 4, 7
"""How finely the year is drawn."""
DLI_TICKS_MOL = (2, 10, 30, 60)
CLOCK_TICKS_H = (6, 12, 18)
FIRST_HOUR, LAST_HOUR = 3.0, 23.0
BASE, TOP = 0.96, 0.30
"""Where a row's curve starts and how high it may reach, as parts of the row from its top."""


def shown_places(plan: Plan) -> tuple[str, ...]:
    """The places where plants of this plan ever stand, in the scenario's order, the first MOST_PLACES of them."""
    used = {stop.place for p in plan.plants for stop in p.route} | {p.plant.place for p in plan.plants}
    return tuple(place.name for place in plan.places if place.name in used)[:MOST_PLACES]


def light_size(places: Sequence[str], narrow: bool) -> tuple[float, float]:
    """Size of the light chart."""
    return (340.0 if narrow else 800.0), 46.0 + ROW_UNITS * len(places)


def paint_light(sheet: Sheet, plan: Plan, places: Sequence[str]) -> None:
    """Left: mean light (filled) and clear-day light (dashed). Right: daylight (pale) and direct sun (filled)."""
    middle = sheet.width * (0.5 if sheet.narrow else 0.48)
    bottom, rows = sheet.height - 22, (-float(len(places)), 0.0)
    year = (0.0, float(len(plan.daylight.dates)))
    left = Panel(sheet, Box(24, 24, middle - 6, bottom), year, rows)
    right = Panel(sheet, Box(middle + 26, 24, sheet.width - 4, bottom), year, rows)
    for panel, title in ((left, "Light per day, mol"), (right, "Direct sun by the clock")):
        panel.text(0, 0, title, dx=-20, dy=8, ha="left", va="bottom", size=11 if sheet.narrow else 12, bold=True)
        panel.rules(list(range(0, -len(places), -1)))
        panel.months(plan.daylight.dates, 1 if sheet.narrow else 3)
    peak = max(float(plan.daylight.clear_dli[[plan.daylight.places.index(p) for p in places]].max()), 1.0)
    for n, place in enumerate(places):
        row = plan.daylight.places.index(place)
        name = sheet.word(place, 22 if sheet.narrow else LONGEST_WORD)
        left.text(0, -n, name, dx=-20, dy=-4, ha="left", va="top", size=11.5, bold=True)
        _paint_dli(left, n, plan.daylight.mean_dli[row], plan.daylight.clear_dli[row], peak)
        _paint_clock(right, n, plan.daylight, row)


def _paint_dli(panel: Panel, n: int, mean: np.ndarray, clear: np.ndarray, peak: float) -> None:
    """Light on a square-root scale, so that a room shows beside a lawn."""
    def height(mol):
        return -n - BASE + np.sqrt(np.asarray(mol) / peak) * (BASE - TOP)

    days = np.arange(len(mean))[::DLI_EVERY_DAYS]
    mean, clear = mean[::DLI_EVERY_DAYS], clear[::DLI_EVERY_DAYS]
    panel.area(days, height(0.0), height(mean), "sun-pale")
    ticks = [t for t in DLI_TICKS_MOL if t <= peak]
    panel.rules([float(height(t)) for t in ticks], [f"{t:g}" for t in ticks], size=10)
    panel.line(days, height(mean), "sun", 1.6)
    panel.line(days, height(clear), "ink", 1.0, (3, 2))


def _paint_clock(panel: Panel, n: int, light: Daylight, row: int) -> None:
    sun, day = [], []
    for k in range(0, len(light.dates), CLOCK_EVERY_DAYS):
        sun += [_box(n, k, *span) for span in light.sun_spans[row][k]]
        if np.isfinite(light.sunrise_min[k]) and np.isfinite(light.sunset_min[k]):
            day.append(_box(n, k, light.sunrise_min[k], light.sunset_min[k]))
    panel.boxes(day, "panel")
    panel.boxes(sun, "sun-pale")
    panel.rules([_height(n, hour * 60) for hour in CLOCK_TICKS_H], [f"{hour}" for hour in CLOCK_TICKS_H], size=10)
    if not sun:
        panel.text(sum(panel.x_span) / 2, _height(n, 9 * 60), "no direct sun", size=10.5)


def _height(n: int, minute: float) -> float:
    """Height in row n of a clock time: mornings below, evenings above."""
    share = (min(max(minute / 60, FIRST_HOUR), LAST_HOUR) - FIRST_HOUR) / (LAST_HOUR - FIRST_HOUR)
    return -n - BASE + share * (BASE - 0.06)


def _box(n: int, day: int, start_min: float, end_min: float) -> tuple[float, float, float, float]:
    return day, _height(n, start_min), day + CLOCK_EVERY_DAYS, _height(n, end_min)
