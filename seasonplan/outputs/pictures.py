"""Pictures drawn by hand: plain SVG shapes that follow the page's colours, with their words beside them as text.

A picture is a field of days by heights, stretched to whatever width there is; lines keep their thickness, and every
word is HTML over it, so that it stays as large as the rest of the page. One drawing serves phone, screen and paper.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date, timedelta

import numpy as np

from seasonplan.dates import MONTH_NAMES

TOP = 100.0
"""Height of a field in its own units."""


@dataclass(frozen=True)
class Shape:
    """An SVG path; `look` is its class on the page."""

    path: str
    look: str


@dataclass(frozen=True)
class Label:
    """Words at a point, in percent of the picture's width and height. side: which way they run from it."""

    left: str
    top: str
    text: str
    look: str = ""
    side: str = "right"


@dataclass(frozen=True)
class Picture:
    """A drawing with its text alternative. days: width of its field; tall: height in lines of text; stays, months:
    days and name of each stay and month under it, without a name what lies between them."""

    days: int
    tall: float
    alternative: str
    shapes: tuple[Shape, ...]
    labels: tuple[Label, ...] = ()
    months: tuple[tuple[int, str], ...] = ()
    stays: tuple[tuple[int, str], ...] = ()


class Field:
    """Where days and values lie in a picture. first: the day at its left edge; low, high: values at bottom and top."""

    def __init__(self, first: date, days: int, low: float, high: float):
        self.first, self.days, self.low, self.high = first, days, low, high

    def x(self, day: date) -> float:
        return float(min(max((day - self.first).days, 0), self.days))

    def y(self, value: float) -> float:
        return round(TOP * (1 - (min(max(value, self.low), self.high) - self.low) / (self.high - self.low)), 1)

    def line(self, points: Iterable[tuple[float, float]]) -> str:
        """A path through (x, value) points."""
        return "M" + "L".join(f"{x:g} {self.y(value):g}" for x, value in points)

    def area(self, xs: Sequence[float], lower: Sequence[float], upper: Sequence[float]) -> str:
        """The band between two lines."""
        there = zip(xs, upper, strict=True)
        back = zip(reversed(xs), reversed(lower), strict=True)
        return self.line([*there, *back]) + "z"

    def box(self, start: float, end: float, bottom: float, top: float) -> str:
        """A rectangle between two xs and two values."""
        return f"M{start:g} {self.y(bottom):g}H{end:g}V{self.y(top):g}H{start:g}z"

    def label(self, x: float, value: float, text: str, look: str = "", side: str = "right") -> Label:
        return Label(f"{100 * x / self.days:.1f}", f"{self.y(value):.0f}", text, look, side)

    def months(self, every: int = 1) -> tuple[tuple[int, str], ...]:
        """(days until the next one or the end, name) of the months that begin in the field; first, without a name, what
        lies before them."""
        days = [self.first + timedelta(days=n) for n in range(self.days)]
        starts = [(n, MONTH_NAMES[day.month - 1][:3]) for n, day in enumerate(days)
                  if day.day == 1 and n < self.days - 8][::every]
        if not starts or starts[0][0]:
            starts.insert(0, (0, ""))
        ends = [*(n for n, _ in starts[1:]), self.days]
        return tuple((end - n, name) for (n, name), end in zip(starts, ends, strict=True))


def weekly(start: int, end: int, step: int = 7) -> list[int]:
    """Every so many days from start to end, the last day too."""
    return sorted({*range(start, end, step), end}) if end >= start else []


def blocks(values: Sequence[float]) -> list[tuple[int, int, float]]:
    """Runs of equal values: (first, one past the last, value)."""
    edges = [0, *(np.flatnonzero(np.diff(np.asarray(values))) + 1).tolist(), len(values)]
    return [(a, b, float(values[a])) for a, b in zip(edges, edges[1:], strict=False)]
