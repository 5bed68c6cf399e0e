"""The page's three charts, each with caption, key, numbers and a spoken description."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass

import numpy as np
from markupsafe import Markup

from seasonplan import wording as w
from seasonplan.dates import MONTH_NAMES, month_day
from seasonplan.model import Plan
from seasonplan.outputs import page_tables as rows
from seasonplan.outputs.charts import LONGEST_WORD, Sheet, draw
from seasonplan.outputs.charts_chance import chance_days, chance_size, paint_chance
from seasonplan.outputs.charts_light import light_size, paint_light, shown_places
from seasonplan.outputs.charts_nights import glance_size, paint_glance
from seasonplan.outputs.page_groups import STATUS_WORDS, Group

MOST_GROUPS = 7
"""Groups a chart shows, those with most pots; the tables show all."""


@dataclass(frozen=True)
class ChartView:
    """A chart in both widths with its texts. key: (class of a swatch or "", meaning); heads and rows: its numbers as
    a table."""

    caption: str
    key: tuple[tuple[str, str], ...]
    wide: Markup
    narrow: Markup
    data_title: str
    heads: tuple[str, ...]
    rows: list[list[str]]


def shown_groups(groups: Sequence[Group]) -> list[Group]:
    """The groups that a chart shows, in order of their letters; first of all those that move."""
    kept = sorted(groups, key=lambda g: (not g.moves, -g.pots))[:MOST_GROUPS]
    return [g for g in groups if g in kept]


def glance_chart(plan: Plan, groups: Sequence[Group]) -> ChartView:
    """Nights through the year with the groups' thresholds and stays."""
    shown = shown_groups(groups)
    title = "Night lows through the year and each group's time outdoors"
    wide, narrow = _both("glance", lambda small: glance_size(shown, small), lambda s: paint_glance(s, plan, shown),
                         title, _glance_words(plan, shown))
    caption = ("Nights decide. Each letter is a group of plants with the same limits, drawn over its time outdoors; a "
               "thin line through the whole year is a group that does not move." + _left_out(groups, shown))
    key = (("mean", "normal night low"), ("band", "eight nights in ten"),
           ("harm", "a night as cold as this marks the group's plants (harm)"),
           ("comfort", "what nights should usually be (comfort)"), ("stay", "planned time outdoors"),
           ("allowed", "what the nights allow"))
    return ChartView(caption, key, wide, narrow, "The groups, their limits and dates",
                     ("Group", "Pots", "Harm", "Comfort", "Out", "In", "What decided (out; in)"),
                     rows.group_rows(plan, groups))


def _glance_words(plan: Plan, shown: Sequence[Group]) -> str:
    mean, units = plan.climate.mean_c, plan.rules.units
    cold, warm = int(np.argmin(mean)), int(np.argmax(mean))
    text = " ".join(f"{lead} {w.temperature(round(float(mean[at]), 1), units)} in {MONTH_NAMES[month_day(at)[0] - 1]}"
                    for lead, at in (("The normal night low runs from", cold), ("to", warm))) + "."
    for g in shown:
        fate = f"is outdoors from {w.date_span(*g.stay)}" if g.moves else STATUS_WORDS[g.leader.status]
        text += (f" Group {g.letter}, {w.counted(g.pots, 'pot')}, harmed at {w.temperature(g.harm_c, units)}, {fate}.")
    return text


def chance_chart(plan: Plan, groups: Sequence[Group]) -> ChartView | None:
    """Chance and number of harmful nights by date; None when no group has dates."""
    groups = [group for group in groups if group.moves]
    shown = shown_groups(groups)
    if not shown:
        return None
    title = "Chance and expected number of harmful nights by date"
    words = " ".join(f"Group {group.letter}: careful {row[1]}, carry-in {row[2]}, weeks gained {row[3]}, nights to "
                     f"carry in {row[4]}." for group, row in zip(shown, rows.trade_rows(plan, shown), strict=True))
    wide, narrow = _both("chance", chance_size, lambda s: paint_chance(s, plan, shown), title, words)
    caption = ("How the odds change with the date, as seen at the place where the group's plants stand first or last: "
               "the chance that any harmful night is still to come (autumn: has come by then), and how many to expect."
               + _left_out(groups, shown))
    key = (("", "■ careful date"), ("", "● carry-in date"), ("", "◆ planned date"), ("limit", "the limit you set"))
    spring, autumn = chance_days(shown, plan)
    return ChartView(caption, key, wide, narrow, "The curves as numbers", ("Date", "Group", "Chance of any", "Nights"),
                     rows.chance_rows(plan, shown, spring, autumn))


def light_chart(plan: Plan) -> ChartView | None:
    """Light per day and the clock hours of direct sun at every place in use; None when no place is."""
    places = shown_places(plan)
    if not places:
        return None
    title = "Light and hours of direct sun at each place through the year"
    words = " ".join(_light_words(plan, place) for place in places)
    wide, narrow = _both("light", lambda small: light_size(places, small), lambda s: paint_light(s, plan, places),
                         title, words)
    caption = ("Left: light per day in mol per square metre (the scale is compressed, so that a room shows beside a "
               "lawn). Right: from when until when direct sun reaches the place on a clear day; the clock runs up.")
    key = (("average", "average day"), ("clear", "clear day"), ("direct", "direct sun"), ("day", "sunrise to sunset"))
    return ChartView(caption, key, wide, narrow, "Light in the middle of each month",
                     ("Place", "Month", "Clear day", "Average day", "Direct sun", "When"),
                     rows.light_rows(plan, tuple(place.name for place in plan.places)))


def _light_words(plan: Plan, place: str) -> str:
    row = plan.daylight.places.index(place)
    clear, sun = plan.daylight.clear_dli[row], plan.daylight.direct_sun_h[row]
    return (f"{w.one_line(place, LONGEST_WORD)}: {w.light(float(clear.min()))} to {w.light(float(clear.max()))} on "
            f"clear days, {w.hours(float(sun.min()))} to {w.hours(float(sun.max()))} of direct sun.")


def _left_out(groups: Sequence[Group], shown: Sequence[Group]) -> str:
    left = len(groups) - len(shown)
    return f" The chart shows the {len(shown)} largest groups; the table has all." if left else ""


def _both(name: str, size: Callable[[bool], tuple[float, float]], paint: Callable[[Sheet], None], title: str,
          desc: str) -> tuple[Markup, Markup]:
    """The chart for wide screens and print, and for phones. To be called inside charts.our_style."""
    wide, narrow = (Markup(draw(name, size(small), paint, title, desc, small)) for small in (False, True))
    return wide, narrow
