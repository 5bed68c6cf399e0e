"""The light of every place through the year, weekly, and the hours in which the sun reaches it."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from seasonplan import wording as w
from seasonplan.model import Daylight, Plan
from seasonplan.outputs.pictures import Field, Picture, Shape, weekly

FIRST_HOUR, LAST_HOUR = 4, 22
HOURS_SHOWN = (6, 12, 18)


@dataclass(frozen=True)
class LightRow:
    """A place: light per day, and the clock of its direct sun."""

    place: str
    range: str
    light: Picture
    clock: Picture


def light_rows(plan: Plan) -> list[LightRow]:
    """The places where plants of this plan ever stand, in the scenario's order, on one scale."""
    used = {stop.place for p in plan.plants for stop in p.route} | {p.plant.place for p in plan.plants}
    light = plan.daylight
    rows = [light.places.index(place.name) for place in plan.places if place.name in used]
    top = max((float(np.sqrt(light.clear_dli[row].max())) for row in rows), default=1.0)
    return [LightRow(light.places[row], _range_words(light, row), _light(light, row, max(top, 1.0)),
                     _clock(light, row)) for row in rows]


def _range_words(light: Daylight, row: int) -> str:
    mean = light.mean_dli[row]
    return f"{w.light(float(mean.min()))} to {w.light(float(mean.max()))} on average days"


def _light(light: Daylight, row: int, top: float) -> Picture:
    """Average days as a filled line, clear days as a dashed one; the scale is compressed."""
    days = len(light.dates)
    field = Field(light.dates[0], days, 0.0, top * 1.05)
    xs = weekly(0, days - 1)
    mean, clear = (np.sqrt(values[row][xs]) for values in (light.mean_dli, light.clear_dli))
    shapes = (Shape(field.area(xs, [0.0] * len(xs), mean.tolist()), "under"),
              Shape(field.line(zip(xs, mean.tolist(), strict=True)), "light"),
              Shape(field.line(zip(xs, clear.tolist(), strict=True)), "clear"))
    peak = light.clear_dli[row]
    words = f"{light.places[row]}: {_range_words(light, row)}, up to {w.light(float(peak.max()))} on clear ones."
    return Picture(days, 3, words, shapes, (), field.months(3))


def _clock(light: Daylight, row: int) -> Picture:
    """Hours of direct sun through the year; noon across the middle, mornings at the foot."""
    days = len(light.dates)
    field = Field(light.dates[0], days, float(FIRST_HOUR), float(LAST_HOUR))
    boxes = "".join(field.box(n, min(n + 7, days), a / 60, b / 60)
                    for n in range(0, days, 7) for a, b in light.sun_spans[row][n])
    rules = "".join(field.line([(0, hour), (days, hour)]) for hour in HOURS_SHOWN)
    shapes = (Shape(rules, "rule"), *((Shape(boxes, "sunny"),) if boxes else ()))
    labels = tuple(field.label(0, hour, f"{hour}:00", "axis") for hour in HOURS_SHOWN)
    sun = light.direct_sun_h[row]
    words = f"{light.places[row]}: {w.hours(float(sun.min()))} to {w.hours(float(sun.max()))} of direct sun a day."
    return Picture(days, 3, words, shapes, labels if boxes else (field.label(0, 12, "no direct sun", "axis"),),
                   field.months(3))
