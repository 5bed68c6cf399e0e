"""A panel: one plain rectangle of a chart with its own linear scales, drawn by a handful of marks.

Ready-made axes spend most of their time on ticks; a panel draws its own few rules and labels straight on the figure.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date

import numpy as np
from matplotlib.artist import Artist
from matplotlib.collections import LineCollection
from matplotlib.lines import Line2D
from matplotlib.patches import PathPatch
from matplotlib.path import Path
from matplotlib.text import Text
from matplotlib.transforms import Affine2D, Bbox

from seasonplan.dates import MONTH_NAMES
from seasonplan.outputs.charts import STAND_INS, Dashes, Sheet

Span = tuple[float, float]


@dataclass(frozen=True)
class Box:
    """Edges in units from the left and the top of the sheet."""

    left: float
    top: float
    right: float
    bottom: float


class Panel:
    """Marks at data positions in a box of the sheet; x runs over `x_span`, y from the bottom up over `y_span`."""

    def __init__(self, sheet: Sheet, box: Box, x_span: Span, y_span: Span):
        width, height = box.right - box.left, box.bottom - box.top
        self.x_span, self.y_span = x_span, y_span
        self.x_unit, self.y_unit = (x_span[1] - x_span[0]) / width, (y_span[1] - y_span[0]) / height
        self.figure = sheet.figure
        bottom = sheet.height - box.bottom
        self.to_sheet = Affine2D().translate(-x_span[0], -y_span[0]).scale(1 / self.x_unit, 1 / self.y_unit)
        self.to_sheet.translate(box.left, bottom)
        self.clip = Bbox.from_bounds(box.left, bottom, width, height)

    def line(self, x, y, role: str, width: float = 1.6, dashes: Dashes = ()) -> None:
        """A line through points."""
        self._add(Line2D(x, y, color=STAND_INS[role], linewidth=width, linestyle=(0, dashes) if dashes else "-"))

    def area(self, x: np.ndarray, low, high: np.ndarray, role: str) -> None:
        """A filled band between low and high."""
        edge = np.column_stack([np.concatenate([x, x[::-1]]), np.concatenate([high, (low + 0 * high)[::-1]])])
        self._add(PathPatch(Path(edge), facecolor=STAND_INS[role], edgecolor="none"))

    def boxes(self, boxes: Iterable[tuple[float, float, float, float]], role: str, edge: str = "") -> None:
        """Filled rectangles (left, bottom, right, top) as one shape."""
        paths = [Path([(a, b), (c, b), (c, d), (a, d), (a, b)], closed=True) for a, b, c, d in boxes]
        if paths:
            self._add(PathPatch(Path.make_compound_path(*paths), facecolor=STAND_INS[role], linewidth=0.9,
                                edgecolor=STAND_INS[edge] if edge else "none"))

    def mark(self, x: float, y: float, marker: str, role: str) -> None:
        """A symbol with a thin rim, whole even on the edge of the panel."""
        symbol = Line2D([x], [y], marker=marker, color=STAND_INS[role], markeredgecolor=STAND_INS["paper"],
                        markersize=8.5, markeredgewidth=1.0, zorder=5)
        self._add(symbol, clipped=False)

    def text(self, x: float, y: float, words: str, dx: float = 0.0, dy: float = 0.0, ha: str = "center",
             va: str = "center", size: float = 11.0, role: str = "ink", bold: bool = False) -> None:
        """Words at a point, moved by (dx right, dy up) units."""
        label = Text(x + dx * self.x_unit, y + dy * self.y_unit, words, color=STAND_INS[role], fontsize=size,
                     fontweight="bold" if bold else "normal", ha=ha, va=va, zorder=6)
        self._add(label, clipped=False)

    def rules(self, heights: Sequence[float], labels: Sequence[str] = (), size: float = 11.0) -> None:
        """Hairlines across, with labels to their left."""
        left, right = self.x_span
        self._segments([[(left, y), (right, y)] for y in heights], "line")
        for y, label in zip(heights, labels, strict=False):
            self.text(left, y, label, dx=-6, ha="right", size=size, role="soft")

    def drops(self, positions: Sequence[float], low: float, high: float) -> None:
        """Dotted uprights."""
        self._segments([[(x, low), (x, high)] for x in positions], "soft", (1.0, 2.0))

    def ticks(self, positions: Sequence[float], labels: Sequence[str], label_positions: Sequence[float] = (),
              size: float = 11.0) -> None:
        """The line at the bottom with short ticks, and labels below it (at the ticks unless told otherwise)."""
        bottom = self.y_span[0]
        self._add(Line2D(self.x_span, (bottom, bottom), color=STAND_INS["soft"], linewidth=0.8), clipped=False)
        self._segments([[(x, bottom), (x, bottom - 4 * self.y_unit)] for x in positions], "soft")
        for x, label in zip(label_positions or positions, labels, strict=True):
            self.text(x, bottom, label, dy=-6, va="top", size=size, role="soft")

    def months(self, dates: Sequence[date], letters: int) -> None:
        """Ticks and names of months under an x axis that counts days of the planning year from 0."""
        starts = [n for n, day in enumerate(dates) if day.day == 1]
        names = [MONTH_NAMES[dates[n].month - 1][:letters] for n in starts]
        self.ticks(starts, names, [n + 15 for n in starts])

    def _segments(self, segments: list, role: str, dashes: Dashes = ()) -> None:
        style = (0, dashes) if dashes else "solid"
        self._add(LineCollection(segments, colors=STAND_INS[role], linewidths=0.7, linestyles=[style], zorder=1),
                  clipped=False)

    def _add(self, artist: Artist, clipped: bool = True) -> None:
        artist.set_transform(self.to_sheet)
        self.figure.add_artist(artist)
        if clipped:
            artist.set_clip_box(self.clip)
        else:
            artist.set_clip_on(False)
