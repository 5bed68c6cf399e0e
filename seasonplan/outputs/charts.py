"""Matplotlib behind one door: a painter fills a figure, out comes inline SVG that follows the page's colours and fonts.

Colours are drawn as stand-ins and leave as CSS variables, so that one chart serves light, dark and print. Words that a
person wrote are drawn as short tokens and put in, escaped, at the end: no name can reach mathtext, a missing glyph or
the markup. Nothing depends on the user's matplotlib settings, the clock or the fonts of the machine.
"""

from __future__ import annotations

import io
import re
from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager
from dataclasses import dataclass, field
from html import escape

import matplotlib
from matplotlib.backends.backend_svg import FigureCanvasSVG
from matplotlib.figure import Figure

from seasonplan import wording as w

POINTS_PER_INCH = 72
"""matplotlib's SVG counts in points: a figure of 8 inches is 576 units of the viewBox wide."""
LONGEST_WORD = 44
"""Characters of a person's own words that a chart shows; the tables show all."""

STAND_INS = {
    "ink": "#010203", "soft": "#020304", "line": "#030405", "panel": "#040506", "paper": "#050607",
    "night": "#060708", "night-pale": "#070809", "sun": "#08090a", "sun-pale": "#090a0b", "leaf": "#0a0b0c",
    "leaf-pale": "#0b0c0d", "alarm": "#0c0d0e",
}
"""Role of a colour on the page -> the colour it is drawn with."""
Dashes = tuple[float, ...]
DASHES: tuple[Dashes, ...] = ((), (6, 2), (2, 2), (7, 2, 1.5, 2), (9, 3, 2, 2, 2, 2), (1, 1.5), (4, 4))
"""Line styles in the order of the groups, so that no line is known by its colour alone."""

STILL_DASHES: Dashes = (1, 3)
"""Line style of groups that do not move."""

_OURS = {
    "svg.fonttype": "none", "svg.hashsalt": "seasonplan", "font.family": ["sans-serif"],
    "font.size": 12.0, "text.color": STAND_INS["ink"], "path.simplify": True, "path.simplify_threshold": 0.3,
}
_NOT_STYLE = ("backend", "backend_fallback", "interactive", "toolbar", "timezone", "webagg", "keymap", "docstring")


@dataclass
class Sheet:
    """A figure being painted. width, height in viewBox units; narrow: drawn for a phone."""

    figure: Figure
    width: float
    height: float
    narrow: bool
    words: list[str] = field(default_factory=list)

    def word(self, text: str, longest: int = LONGEST_WORD) -> str:
        """A token to draw in place of words that a person wrote; long ones end in an ellipsis."""
        self.words.append(w.one_line(text, longest))
        return f"@{len(self.words) - 1}@"


@contextmanager
def our_style() -> Iterator[None]:
    """matplotlib as it ships plus our settings, whatever the user's own settings say."""
    shipped: dict = {key: value for key, value in matplotlib.rcParamsDefault.items() if not key.startswith(_NOT_STYLE)}
    with matplotlib.rc_context(shipped | _OURS):
        yield


def draw(name: str, size: tuple[float, float], paint: Callable[[Sheet], None], title: str, desc: str,
         narrow: bool = False) -> str:
    """One chart as inline SVG with `title` and `desc`. name: unique on the page. size: (width, height) in units.

    To be called inside `our_style`.
    """
    figure = Figure((size[0] / POINTS_PER_INCH, size[1] / POINTS_PER_INCH), dpi=POINTS_PER_INCH)
    FigureCanvasSVG(figure)
    figure.patch.set_visible(False)
    sheet = Sheet(figure, *size, narrow)
    paint(sheet)
    raw = io.StringIO()
    figure.savefig(raw, format="svg", metadata={"Date": None, "Creator": None})
    label = f"{name}-narrow" if narrow else name
    head = (f'<svg class="chart {"narrow" if narrow else "wide"}" viewBox="0 0 {size[0]:g} {size[1]:g}" role="img" '
            f'aria-labelledby="{label}-title {label}-desc"><title id="{label}-title">{escape(title)}</title>'
            f'<desc id="{label}-desc">{escape(desc)}</desc>')
    return head + _inner(raw.getvalue(), label, sheet.words) + "</svg>"


def _inner(svg: str, label: str, words: Sequence[str]) -> str:
    """The drawing without its frame: no fixed fonts, colours or loose ids; tokens replaced by escaped words."""
    svg = svg[svg.index(">", svg.index("<svg")) + 1: svg.rindex("</svg>")]
    svg = re.sub(r"<metadata>.*?</metadata>|<style.*?</style>|<!--.*?-->", "", svg, flags=re.DOTALL)
    svg = re.sub(r"<defs>\s*</defs>", "", svg)
    used = set(re.findall(r'(?:href="#|url\(#)([^")]+)', svg))
    svg = re.sub(r' id="([^"]+)"', lambda m: f' id="{label}-{m[1]}"' if m[1] in used else "", svg)
    svg = re.sub(r'(?:xlink:)?href="#', f'href="#{label}-', svg)
    svg = re.sub(r"url\(#", f"url(#{label}-", svg)
    svg = re.sub(r"(style=\"[^\"]*?) ?font-family: [^;\"]*;?", r"\1", svg)
    svg = re.sub(r' transform="rotate\(-?0 [^)]*\)"', "", svg)
    svg = re.sub(r"(?<=\d\.\d)\d+", "", svg)
    for wordy, brief in ((" \n", "\n"), ("\nL ", "L"), ("\nM ", "M"), ("\nz", "z"), ('d="M ', 'd="M'), ('\n" ', '" ')):
        svg = svg.replace(wordy, brief)
    svg = re.sub(r"\n\s*", "\n", svg)
    for role, stand_in in STAND_INS.items():
        svg = svg.replace(stand_in, f"var(--{role})")
    return re.sub(r"@(\d+)@", lambda m: escape(words[int(m[1])]), svg)
