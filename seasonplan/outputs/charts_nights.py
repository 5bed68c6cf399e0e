"""The season at a glance: night lows through the year, and over them each group of plants with its limits and stay."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date

import numpy as np

from seasonplan import wording as w
from seasonplan.climate.nights import standard_levels
from seasonplan.dates import DAYS, day_index
from seasonplan.model import NightClimate, Plan
from seasonplan.outputs.charts import DASHES, STILL_DASHES, Dashes, Sheet
from seasonplan.outputs.charts_panel import Box, Panel
from seasonplan.outputs.page_groups import STATUS_WORDS, Group
from seasonplan.units import c_to_fahrenheit

ONE_IN_TEN_Z = 1.2816
"""The standard normal quantile of one night in ten."""
LETTER_UNITS = 10.5
"""Letters closer than this would touch."""
EDGE_UNITS = 6
"""Room beside the panel that letters may use."""
LETTER_WIDTH = 0.55
"""Width of a letter of the widest likely font as a share of its size."""
BAR_UNITS = 26
"""Height of one group's bar in the glance chart."""


def night_band(climate: NightClimate) -> tuple[np.ndarray, np.ndarray]:
    """The lows that one night in ten stays under and one in ten exceeds [°C], (365,) each."""
    steps = np.linspace(-5.0, 5.0, 201)
    levels_c = climate.mean_c + climate.sd_c * steps[:, None]
    places = standard_levels(climate, levels_c)
    low, high = (np.array([np.interp(z, places[:, d], levels_c[:, d]) for d in range(DAYS)])
                 for z in (-ONE_IN_TEN_Z, ONE_IN_TEN_Z))
    return low, high


def glance_size(groups: Sequence[Group], narrow: bool) -> tuple[float, float]:
    """Size of the glance chart."""
    return (340.0 if narrow else 800.0), (210.0 if narrow else 300.0) + 30 + BAR_UNITS * max(len(groups), 1)


def paint_glance(sheet: Sheet, plan: Plan, groups: Sequence[Group]) -> None:
    """Nights through the year with each group's thresholds over its stay outdoors; below, the stays as bars."""
    dates = plan.daylight.dates
    index = np.array([day_index(d) for d in dates])
    low, high = (_shown(edge[index], plan) for edge in night_band(plan.climate))
    bars_top = sheet.height - BAR_UNITS * max(len(groups), 1) - 4
    right, year = sheet.width - 14, (0.0, float(len(dates)))
    nights = Panel(sheet, Box(36, 14, right, bars_top - 28), year, _degree_span(low, high, groups, plan))
    bars = Panel(sheet, Box(36, bars_top, right, sheet.height - 4), year, (-max(len(groups), 1), 0))
    _paint_nights(nights, low, _shown(plan.climate.mean_c[index], plan), high)
    nights.months(dates, 1 if sheet.narrow else 3)
    moving = [group for group in groups if group.moves]
    for n, group in enumerate(groups):
        stay = ((group.stay[0] - dates[0]).days, (group.stay[1] - dates[0]).days) if group.moves else None
        dashes = DASHES[moving.index(group) % len(DASHES)] if stay else STILL_DASHES
        _paint_thresholds(nights, group, stay, dashes, plan)
        if stay:
            bars.drops(stay, -n - 0.2, 0)
            _paint_bar(bars, n, group, stay, dates[0], sheet.narrow)
        else:
            bars.text(sum(year) / 2, -n - 0.5, f"{group.letter} · {STATUS_WORDS[group.leader.status]}", size=11)
    for end, side in ((0, "right"), (1, "left")):
        _paint_letters(nights, [((g.stay[end] - dates[0]).days, _level(g.harm_c, plan), g.letter) for g in moving],
                       side)
    _paint_letters(nights, [(year[1], _level(g.harm_c, plan), g.letter) for g in groups if not g.moves], "left")
    _paint_today((nights, bars), plan)


def _paint_nights(panel: Panel, low: np.ndarray, mean: np.ndarray, high: np.ndarray) -> None:
    days, thin = np.arange(len(mean)), slice(None, None, 3)
    panel.area(days[thin], low[thin], high[thin], "night-pale")
    panel.rules(*_degree_rules(*panel.y_span))
    panel.line(days[thin], mean[thin], "night", 2.2)


def _degree_span(low: np.ndarray, high: np.ndarray, groups: Sequence[Group], plan: Plan) -> tuple[float, float]:
    """What the axis must show: the band and every threshold."""
    levels = _shown(np.array([level for group in groups for level in (group.harm_c, group.comfort_c)]), plan)
    shown = np.concatenate([low, high, levels])
    return float(shown.min()) - 1, float(shown.max()) + 2


def _degree_rules(low: float, high: float) -> tuple[list[float], list[str]]:
    """About six round temperatures between low and high, with labels."""
    step = next(s for s in (1, 2, 5, 10, 20) if (high - low) / s <= 8 or s == 20)
    heights = [float(t) for t in range(int(np.ceil(low / step)) * step, int(high) + 1, step)]
    return heights, [f"{t:g}°".replace("-", "−") for t in heights]


def _paint_thresholds(panel: Panel, group: Group, stay: tuple[int, int] | None, dashes: Dashes, plan: Plan) -> None:
    """Harm and comfort over the stay outdoors; through the whole year, thin, for a group that does not move."""
    harm, comfort = _level(group.harm_c, plan), _level(group.comfort_c, plan)
    ends = stay or panel.x_span
    panel.line(ends, [harm, harm], "alarm", 1.9 if stay else 0.9, dashes)
    panel.line(ends, [comfort, comfort], "leaf", 1.2 if stay else 0.7, (1.5, 2))
    if stay:
        panel.drops(stay, panel.y_span[0], harm)


def _paint_letters(panel: Panel, places: Sequence[tuple[float, float, str]], side: str) -> None:
    """The groups' letters at (x, y) ends of their lines; those that would touch stand side by side."""
    clusters: list[list[tuple[float, float, str]]] = []
    for place in sorted(places, key=lambda each: each[1]):
        lead = clusters[-1][0] if clusters else None
        near = lead and abs(place[0] - lead[0]) < LETTER_UNITS * panel.x_unit and \
            place[1] - lead[1] < LETTER_UNITS * panel.y_unit
        if near:
            clusters[-1].append(place)
        else:
            clusters.append([place])
    for cluster in clusters:
        x = (min if side == "right" else max)(each[0] for each in cluster)
        y = sum(each[1] for each in cluster) / len(cluster)
        letters = " ".join(sorted(each[2] for each in cluster))
        room = (x - panel.x_span[0] if side == "right" else panel.x_span[1] - x) / panel.x_unit + EDGE_UNITS
        if len(letters) * 11 * LETTER_WIDTH < room:
            panel.text(x, y, letters, dx=-4 if side == "right" else 4, ha=side, role="alarm", bold=True)
        else:
            panel.text(x, y, letters, dy=8, ha="left" if side == "right" else "right", role="alarm", bold=True)


def _paint_bar(panel: Panel, n: int, group: Group, stay: tuple[int, int], first: date, narrow: bool) -> None:
    middle = -n - 0.5
    if group.allowed:
        opens, closes = ((day - first).days for day in group.allowed)
        panel.boxes([(opens, middle - 0.18, closes, middle + 0.18)], "panel", "soft")
    panel.boxes([(stay[0], middle - 0.38, stay[1], middle + 0.38)], "leaf-pale", "leaf")
    text = w.date_span(*group.stay)
    label = text if narrow else f"{text} · {w.counted(group.pots, 'pot')}"
    left, right = (min(stay[0], opens), max(stay[1], closes)) if group.allowed else stay
    size = 10.0 if narrow else 11.5
    fits = len(label) * size * LETTER_WIDTH * panel.x_unit < stay[1] - stay[0]
    panel.text(sum(stay) / 2 if fits else right, middle, label, dx=0 if fits else 6, ha="center" if fits else "left",
               size=size)
    panel.text(left, middle, group.letter, dx=-5, ha="right", bold=True)


def _paint_today(panels: Sequence[Panel], plan: Plan) -> None:
    """A line that says today; nothing outside the planning year."""
    position = (plan.today - plan.daylight.dates[0]).days
    if not 0 <= position < len(plan.daylight.dates):
        return
    for panel in panels:
        panel.line([position, position], panel.y_span, "ink", 1.1, (4, 2))
    late = position > len(plan.daylight.dates) * 0.8
    panels[0].text(position, panels[0].y_span[1], "today", dx=-4 if late else 4, dy=-2, ha="right" if late else "left",
                   va="top", size=10.5)


def _level(value_c: float, plan: Plan) -> float:
    return float(_shown(np.array([value_c]), plan)[0])


def _shown(values_c: np.ndarray, plan: Plan) -> np.ndarray:
    return c_to_fahrenheit(values_c) if plan.rules.units == w.IMPERIAL else values_c  # type: ignore[arg-type,return-value]
