"""The season in two pictures: the nights with each group's time outdoors, and the garden by day."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date

import numpy as np

from seasonplan import wording as w
from seasonplan.climate.process import standard_levels
from seasonplan.dates import DAYS, MONTH_NAMES, day_index, month_day
from seasonplan.model import HungCloth, NightClimate, Plan
from seasonplan.model.given import HARDENING_DAYS
from seasonplan.outputs.daybook import DayBook
from seasonplan.outputs.page_groups import Group, autumn_odds, harm_words, spring_odds
from seasonplan.outputs.pictures import Field, Label, Picture, Shape, blocks, weekly
from seasonplan.units import c_to_fahrenheit

ONE_IN_TEN_Z = 1.2816
"""The standard normal quantile of one night in ten."""
STEPS_C = (1, 2, 5, 10, 20)
MOST_RULES = 6
MARGIN_DAYS = 6
LABEL_APART = 12.0
"""Labels of lines keep this far apart, in percent of the picture's height."""


@dataclass(frozen=True)
class GroupRow:
    """A group's time outdoors with its words: who, at what low it is marked, when, and how sure."""

    names: str
    limits: str
    stay: str
    picture: Picture


def night_band(climate: NightClimate) -> tuple[np.ndarray, np.ndarray]:
    """The lows that one night in ten stays under and one in ten exceeds [°C], (365,) each."""
    steps = np.linspace(-5.0, 5.0, 201)
    levels_c = climate.mean_c + climate.sd_c * steps[:, None]
    places = standard_levels(climate, levels_c)
    low, high = (np.array([np.interp(z, places[:, d], levels_c[:, d]) for d in range(DAYS)])
                 for z in (-ONE_IN_TEN_Z, ONE_IN_TEN_Z))
    return low, high


def nights_picture(plan: Plan, groups: Sequence[Group], tall: float = 11) -> Picture:
    """Night lows through the year; over each group's stay the low that marks it."""
    dates, units = plan.daylight.dates, plan.rules.units
    index = np.array([day_index(d) for d in dates])
    low, high = (_shown(edge[index], units) for edge in night_band(plan.climate))
    mean = _shown(plan.climate.mean_c[index], units)
    moving = list(groups)
    levels = [level for group in moving for level in _shown(np.array(group.bearing.harms), units).tolist()]
    field = Field(dates[0], len(dates), float(min(low.min(), 0, *levels)) - 1, float(max(high.max(), 0, *levels)) + 2)
    xs = weekly(0, len(dates) - 1)
    shapes = [Shape(field.area(xs, low[xs].tolist(), high[xs].tolist()), "band")]
    labels = []
    for level in _rules(field.low, field.high):
        shapes.append(Shape(field.line([(0, level), (len(dates), level)]), "rule"))
        text = f"{level:g} {'°F' if units == w.IMPERIAL else '°C'}".replace("-", "−")
        labels.append(field.label(0, level, text, "axis"))
    shapes.append(Shape(field.line([(x, mean[x]) for x in xs]), "mean"))
    shapes += [Shape(field.line(_harm_line(field, group, units)), "harm") for group in moving]
    labels += _harm_labels(field, moving, units)
    shapes += _today(field, plan.today)
    return Picture(len(dates), tall, _nights_words(plan, moving), tuple(shapes), tuple(labels), field.months())


def _harm_line(field: Field, group: Group, units: str) -> list[tuple[float, float]]:
    """(day, low that marks it) of a group through its stay: it bears more as it hardens."""
    start, end = (field.x(day) for day in group.stay)
    xs = [start, *(start + day for day in HARDENING_DAYS if start + day < end), end]
    lows_c = group.bearing.after_c(np.array(xs) - start)
    return list(zip(xs, _shown(lows_c, units).tolist(), strict=True))


def _harm_labels(field: Field, moving: Sequence[Group], units: str) -> list[Label]:
    """What the harm lines stand for, where they begin; of lines too near each other only one says it."""
    labels: list[Label] = []
    for group in sorted(moving, key=lambda g: g.bearing.harm_c):
        harm = _level(group.bearing.harm_c, units)
        if not labels or abs(field.y(harm) - float(labels[-1].top)) >= LABEL_APART:
            labels.append(field.label(field.x(group.stay[0]), harm, f"marked at {harm:.0f}°", "harm", "left"))
    return labels


def _rules(low: float, high: float) -> list[float]:
    """A few round values between low and high."""
    step = next((s for s in STEPS_C if (high - low) / s <= MOST_RULES), STEPS_C[-1])
    return [float(t) for t in range(int(np.ceil(low / step)) * step, int(high) + 1, step)]


def _nights_words(plan: Plan, moving: Sequence[Group]) -> str:
    mean, units = plan.climate.mean_c, plan.rules.units
    cold, warm = int(np.argmin(mean)), int(np.argmax(mean))
    lows = [f"{w.temperature(round(float(mean[at]), 1), units)} in {MONTH_NAMES[month_day(at)[0] - 1]}"
            for at in (cold, warm)]
    stays = " ".join(f"{w.listed(g.names, 2)}, marked at {w.temperature(g.bearing.harm_c, units)}: outdoors "
                     f"{w.date_span(*g.stay)}." for g in moving)
    return f"The normal night low runs from {lows[0]} to {lows[1]}. {stays}"


def group_rows(plan: Plan, groups: Sequence[Group]) -> list[GroupRow]:
    """For each group that goes out: its stay, and how the chance of a night that marks it falls and rises."""
    return [_group_row(plan, group) for group in groups]


def _group_row(plan: Plan, group: Group) -> GroupRow:
    dates, units = plan.daylight.dates, plan.rules.units
    field = Field(dates[0], len(dates), 0.0, 1.0)
    shown = [dates[n] for n in weekly(0, len(dates) - 1)]
    at = group.exposure.position(np.array([day_index(day) for day in shown]))
    chances = np.where(at < group.exposure.turn, spring_odds(group, shown)[0], autumn_odds(group, shown)[0])
    curve = [(field.x(day), float(chance)) for day, chance in zip(shown, chances, strict=True)]
    start, end = (field.x(day) for day in group.stay)
    shapes = [Shape(field.box(start, end, 0, 1), "stay"),
              Shape(field.line(curve), "chance"), *_today(field, plan.today)]
    out, back = group.out, group.back
    marks = [field.label(field.x(day), 0.5, sign, "mark", "middle")
             for sign, pair in (("■", (out.careful, back.careful)), ("●", (out.carry_in, back.carry_in)))
             for day in pair if day is not None]
    words = (f"{w.listed(group.names, 3)}, {harm_words(group.bearing, units)}: outdoors {w.date_span(*group.stay)}; "
             f"chance of a night that marks them still to come then {_chance(out.chance_of_harm)}, come by the end "
             f"{_chance(back.chance_of_harm)}.")
    return GroupRow(w.listed([w.one_line(n, 40) for n in group.names], 6),
                    f"{harm_words(group.bearing, units)}, likes {w.temperature(group.bearing.comfort_c, units)}",
                    w.date_span(*group.stay), Picture(len(dates), 1.6, words, tuple(shapes), tuple(marks)))


def _chance(chance: float | None) -> str:
    return "not known" if chance is None else w.percent(chance)


def season_span(book: DayBook) -> tuple[date, int]:
    """The first day and the number of days that pictures of the season show."""
    plan, dates = book.plan, book.plan.daylight.dates
    days = [step.date for step in plan.steps if dates[0] <= step.date <= dates[-1]] + \
        [day for p in plan.plants for s in p.route for day in (s.date, s.until)]
    if not days:
        return dates[0], len(dates)
    start = max(min(days).toordinal() - MARGIN_DAYS, dates[0].toordinal())
    end = min(max(days).toordinal() + MARGIN_DAYS, dates[-1].toordinal() + 1)
    return date.fromordinal(start), max(end - start, 30)


@dataclass(frozen=True)
class PlaceRow:
    """How many pots stand at a place, day by day."""

    place: str
    most: str
    picture: Picture


def work_picture(book: DayBook) -> Picture:
    """The minutes of every working day as bars against what a day has; days of moving are marked."""
    first, days = season_span(book)
    budget = float(book.plan.rules.minutes_per_day)
    worked = [day for day in book.days if 0 <= (day.date - first).days < days]
    field = Field(first, days, 0.0, max([budget, *(float(day.minutes) for day in worked)]) * 1.12)
    bars = "".join(field.box(field.x(d.date) - 0.6, field.x(d.date) + 0.6, 0, d.minutes) for d in worked if d.minutes)
    moving = "".join(field.box(field.x(d.date) - 0.6, field.x(d.date) + 0.6, field.high * 0.94, field.high)
                     for d in worked if d.moves)
    shapes = [Shape(bars, "work"), Shape(field.line([(0, budget), (days, budget)]), "limit"),
              Shape(moving, "moving"), *_today(field, book.plan.today)]
    labels = (field.label(0, budget, f"{w.duration(budget)} a day", "axis"),)
    total = sum(day.minutes for day in worked)
    longest = max(worked, key=lambda day: day.minutes, default=None)
    words = f"{w.counted(len(worked), 'day')} with work, {w.duration(total)} in all" + (
        f"; the longest is {w.day(longest.date)} with {w.duration(longest.minutes)}." if longest else ".")
    moves = sum(1 for day in worked if day.moves)
    return Picture(days, 5, f"{words} Plants are moved on {w.counted(moves, 'day')}.",
                   tuple(shape for shape in shapes if shape.path), labels, field.months())


def place_rows(book: DayBook) -> list[PlaceRow]:
    """Every outdoor place that is used, with the pots that stand there."""
    first, days = season_span(book)
    rows = []
    for place in book.plan.places:
        counts = np.zeros(days)
        for each in book.plan.plants:
            for stop in each.route:
                if stop.place == place.name:
                    counts[max((stop.date - first).days, 0):max((stop.until - first).days, 0)] += each.plant.count
        if counts.any():
            hung = [cloth for cloth in book.plan.cloths if cloth.place == place.name]
            field = Field(first, days, 0.0, float(counts.max()))
            rows.append(_place_row(place.name, place.room_for, counts, field, hung))
    return rows


def _place_row(place: str, room: int | None, counts: np.ndarray, field: Field,
               hung: Sequence[HungCloth]) -> PlaceRow:
    runs = [(a, b, n) for a, b, n in blocks(counts.tolist()) if n]
    shape = Shape("".join(field.box(a, b, 0, n) for a, b, n in runs), "pots")
    most = w.counted(int(counts.max()), "pot") + (f" of {room}" if room is not None else "")
    cloths = "".join(field.box(field.x(cloth.first), field.x(cloth.last), 0, field.high) for cloth in hung)
    most = "; ".join([most, *(f"{cloth.percent} % cloth of {w.trimmed(cloth.area_m2)} m² over "
                              f"{w.counted(len(cloth.plants), 'plant')}, {w.date_span(cloth.first, cloth.last)}"
                              for cloth in hung)])
    words = f"{place}: at most {most}, from {w.short_day(date.fromordinal(field.first.toordinal() + runs[0][0]))} to " \
            f"{w.short_day(date.fromordinal(field.first.toordinal() + runs[-1][1]))}."
    shapes = (shape, Shape(cloths, "cloth")) if cloths else (shape,)
    return PlaceRow(place, most, Picture(field.days, 1.4, words, shapes))


def _today(field: Field, today: date) -> list[Shape]:
    at = (today - field.first).days
    return [Shape(f"M{at:g} 0V100", "today")] if 0 <= at < field.days else []


def _level(value_c: float, units: str) -> float:
    return float(_shown(np.array([value_c]), units)[0])


def _shown(values_c: np.ndarray, units: str) -> np.ndarray:
    return c_to_fahrenheit(values_c) if units == w.IMPERIAL else values_c  # type: ignore[arg-type,return-value]

