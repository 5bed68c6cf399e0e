"""What a good summer is: every plant in the light it wants, with few moves, few days of moving, little cloth, and a
gentle way in and down.

Everything is counted in days: a day without any light of what a plant could have costs 1, and the prices of moves,
cloths and days of moving (data/light_rule.csv) say how many such days they are worth. Limits are kept apart: the light
rule, the sun class, light_high, windows, room, the number and length of stays and the size of a step are never traded.
Two limits can be out of reach in a garden, and are priced far above all else instead: a sun plant's light after four
weeks (`dark`) and the light it comes in from (`Aim.ending`).
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from functools import cached_property

import numpy as np

from seasonplan.decisions.route.garden import Garden
from seasonplan.decisions.route.groups import NEVER, Groups
from seasonplan.decisions.route.light_rule import SLACK, Intervals, light_rule

LEAST_ROOM_DLI = 0.05
"""A room is taken to have at least this light [mol]."""
DAYS_BRIGHT = 7
"""In the shortest of seasons, so many days at least are to be bright after four weeks."""
NEARLY_BEST = 0.8
"""A plant's brightest place counts as open when a place with this part of its light is open."""
SPARE = 1.01
"""What a plan keeps above the share of light asked for, since light falls from day to day."""
SLOW_LOSS = 0.5
"""In the long descent of plants that drop their leaves, light they could have counts for this share. Our setting."""


@dataclass(frozen=True, eq=False)
class Aim:
    """Prices and limits of groups (G) at positions (K) through the intervals (I) of a list of days.

    allowed: (G, I, K) the plants' own ceilings, the place's span and room. gentle: (G, I, K) the first days' limits.
    light: (G, I, K) price of the light had, and of the cloth. dark: (G, I, K) of a day too dark for a sun plant.
    cut_short: (G,) of a bright day that it is not there for. waiting: (G,) price of a day of the window indoors. room:
    (G, I + 1) mean light of the room on each day. wanted: (G, I) the light that counts as all of it [mol]. slow: (G, I)
    in the long descent of plants that drop their leaves. best_opens: (G,) day on which its brightest place opens to it.
    """

    garden: Garden
    groups: Groups
    spans: Intervals
    positions: np.ndarray
    place: np.ndarray
    percent: np.ndarray
    allowed: np.ndarray
    gentle: np.ndarray
    light: np.ndarray
    dark: np.ndarray
    cut_short: np.ndarray
    waiting: np.ndarray
    room: np.ndarray
    wanted: np.ndarray
    slow: np.ndarray
    best_opens: np.ndarray

    def take(self, rows: np.ndarray) -> Aim:
        """The aim of some of the groups, which may come more than once."""
        def of(values: np.ndarray) -> np.ndarray:
            return values[rows]

        return replace(self, groups=self.groups.take(rows), allowed=of(self.allowed), gentle=of(self.gentle),
                       light=of(self.light), dark=of(self.dark), cut_short=of(self.cut_short), waiting=of(self.waiting),
                       room=of(self.room), wanted=of(self.wanted), slow=of(self.slow),
                       best_opens=of(self.best_opens))

    def position(self, place: int, percent: int) -> int:
        """A place under a cloth that is in use, 0 for none."""
        return int(np.flatnonzero((self.place == place) & (self.percent == percent))[0])

    def move_prices(self) -> np.ndarray:
        """(G, K + 1, K) price of going from each position, the last one indoors, to each: less where only the cloth
        over it changes, nothing out of the house but what a cloth there costs."""
        count = len(self.place)
        prices = np.zeros((len(self.groups), count + 1, count))
        same = self.place[:, None] == self.place
        prices[:, :-1] = np.where(same, light_rule().price_cloth_change, self.groups.price_move[:, None, None])
        hung = light_rule().price_hang * (self.percent > 0)
        prices[:, :-1] += np.where(same, 0.0, hung)
        prices[:, -1] = hung
        return prices

    def lost(self, days: np.ndarray) -> np.ndarray:
        """(G, n) price of so many days of the window indoors, at its beginning or at its end: little while a plant
        waits for company, much beyond that in a dark room."""
        rule, days = light_rule(), np.maximum(days, 0)
        late = rule.price_late * (self.waiting - rule.price_waiting)[:, None]
        return self.waiting[:, None] * days + late * np.maximum(days - rule.waiting_days, 0)

    def late_days(self, step: int, out: np.ndarray) -> np.ndarray:
        """(G, ...) days of an interval on which plants that went out on a day are to stand bright: from
        bright_within_days on, or ready_days after their brightest place has opened to them where that is later, until
        their descent."""
        day, until = self.spans.days[step:step + 2]
        since, last = self._bright_span(out)
        return np.maximum(np.minimum(until, last) - np.maximum(day, since), 0)

    def leaving(self, day: int, out: np.ndarray) -> np.ndarray:
        """(G, ...) price of coming in on a day before the bright days of plants that went out on another: more
        than in the dark, or leaving would be a way round. A window too short for any costs nothing."""
        owed, had = (np.maximum(np.minimum(until, last) - since, 0) for until, (since, last) in (
            (self.groups.back, self._bright_span(self.groups.leave)),
            (day, self._bright_span(out))))
        if out.ndim == 1:
            return self.cut_short * np.maximum(owed - had, 0)
        return self.cut_short[:, None] * np.maximum(owed[:, None] - had, 0)

    def _bright_span(self, out: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
        """(since, until), each (G, ...), the days on which plants that went out on a day are to stand bright."""
        rule = light_rule()
        opens, descent = (self.best_opens, self.descent) if out.ndim == 1 else (
            self.best_opens[:, None], self.descent[:, None])
        since = np.maximum(out + int(rule.bright_within_days), opens + int(rule.ready_days))
        return since, np.minimum(since + int(rule.bright_days), np.maximum(descent, since + DAYS_BRIGHT))

    @cached_property
    def descent(self) -> np.ndarray:
        """(G,) the day on which less light begins to be no loss."""
        groups, rule = self.groups, light_rule()
        return np.where(groups.ends, groups.back - np.maximum(rule.descent_days, _slow_days(groups)).astype(int), NEVER)

    def ending(self, day: int, position: np.ndarray, used_dli: np.ndarray, arrived_ratio: np.ndarray,
               down: np.ndarray) -> np.ndarray:
        """(G, B) price of coming in on a day of the list from positions, used to so much light.

        down: it came to its place from more light, of which arrived_ratio tells how much of the room's it then had: it
        is to go no deeper than that, on that day or the last.
        """
        rule, room = light_rule(), self.room[:, day, None]
        last = self.spans.last_dli[max(day - 1, 0)][position] / room
        below = np.where(down, 1 / np.maximum(np.minimum(last, arrived_ratio), 1e-9), 0.0)
        off = np.maximum(last / rule.room_ratio, below)
        price = beyond(off, rule.price_broken) + beyond(used_dli / room / rule.jump_ratio, rule.price_hasty)
        return np.where(self.groups.ends[:, None], price, 0.0)


def beyond(ratio: np.ndarray, price: float) -> np.ndarray:
    """What it costs to be so many times a limit."""
    return np.where(ratio > 1 + SLACK, price * (1 + np.log(np.maximum(ratio, 1.0))), 0.0)


def make_aim(garden: Garden, groups: Groups, days: np.ndarray, positions: np.ndarray, in_shade: bool,
             room_left: np.ndarray | None = None) -> Aim:
    """The aim between rising day numbers (the last may be the day after the year). room_left: (intervals, places)."""
    rule = light_rule()
    place, percent = garden.place[positions], garden.percent[positions]
    spans = garden.intervals(days, positions)
    bears = (spans.top_dli <= groups.light_high[:, None, None] + SLACK) \
        & (spans.top_sun_h <= groups.sun_cap[:, None, None] + SLACK)
    room = garden.room if room_left is None else room_left
    open_to = (groups.opens[:, None, :] <= days[:-1, None]) & (days[1:, None] <= groups.closes[:, None, :]) \
        & ((groups.pots[:, None, None] <= np.broadcast_to(room, (len(days) - 1, len(garden.names))))
           | (groups.here[:, None, None] == np.arange(len(garden.names))))
    allowed = bears & open_to[..., place]
    gentle = (spans.top_sun_h <= rule.first_sun_h + SLACK) \
        & ((spans.top_ppfd <= rule.first_peak_ppfd) | ~groups.shade[:, None, None])
    wanted = _wanted(groups, spans, percent == 0, open_to[..., place[percent == 0]], in_shade)
    shady_end, allowed = _slow(garden, groups, spans, allowed)
    lengths, lag = spans.lengths, np.maximum(wanted, LEAST_ROOM_DLI)
    at = np.minimum(days, len(garden.dates) - 1)
    indoors = np.maximum(garden.light.mean_dli[groups.indoor][:, at], LEAST_ROOM_DLI)
    had = np.minimum(spans.mean_dli / lag[..., None], 1.0)
    weight = np.where(shady_end, SLOW_LOSS, 1.0) * lengths
    cloth = np.where(groups.shade | in_shade, rule.price_cloth_shade, rule.price_cloth)[:, None, None] * (percent > 0)
    light = weight[..., None] * (1 - had) ** 2 + lengths[:, None] * cloth
    sunny = ~(groups.shade | in_shade)
    dark, cut_short = _dark(had) * sunny[:, None, None], np.where(
        sunny & groups.ends, rule.price_cut_short, 0.0)
    opens, waiting = _best_places(garden, groups, in_shade)
    return Aim(garden, groups, spans, positions, place, percent, allowed, gentle, light, dark, cut_short, waiting,
               indoors, wanted, shady_end, opens)


def _best_places(garden: Garden, groups: Groups, in_shade: bool) -> tuple[np.ndarray, np.ndarray]:
    """(G,) the day on which the place opens that is about the brightest a plant can bear, and the price of a day of its
    window that it spends indoors, both by the light four weeks after it could go out."""
    rule = light_rule()
    day = np.minimum(groups.leave + int(rule.bright_within_days), len(garden.dates) - 1)
    light, sun_h = (values[garden.rows][:, day].T for values in (garden.light.mean_dli, garden.light.full_sun_h))
    had = light * _through(groups.light_high[:, None], groups.sun_cap[:, None], light, sun_h)
    had = np.where((groups.closes > groups.opens) & (groups.pots[:, None] <= garden.room), had, 0.0)
    most = had.max(axis=1, initial=0.0)
    opens = np.where(had >= NEARLY_BEST * most[:, None], groups.opens, NEVER).min(axis=1, initial=NEVER)
    content = np.where(groups.shade & ~np.array(in_shade), (groups.light_low + groups.light_high) / 2, np.inf)
    indoors = garden.light.mean_dli[groups.indoor, day] / np.maximum(np.minimum(most, content), LEAST_ROOM_DLI)
    return opens, rule.price_waiting + (1 - np.minimum(indoors, 1.0)) ** 2


def _through(light_high: np.ndarray, sun_cap: np.ndarray, light: np.ndarray, sun_h: np.ndarray) -> np.ndarray:
    """Share of a place's light that plants can bear under no more cloth than they need."""
    return np.minimum(1.0, np.minimum(light_high / np.maximum(light, 1e-9), sun_cap / np.maximum(sun_h, 1e-9)))


def _dark(share: np.ndarray) -> np.ndarray:
    """Price of a day after four weeks by the share of its light that a sun plant has."""
    rule = light_rule()
    short = np.maximum(1 - share / (rule.bright_share * SPARE), 0.0)
    return np.where(short > 0, rule.price_too_dark * (0.5 + short), 0.0)


def _slow_days(groups: Groups) -> np.ndarray:
    """(G,) days of the long descent: at most a third of the stay."""
    return np.minimum(groups.slow_days, (groups.back - groups.leave) // 3)


def _slow(garden: Garden, groups: Groups, spans: Intervals, allowed: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
    """(G, I) whether more than a third of an interval is long descent of a plant that drops its leaves, and `allowed`
    with only the shade of it, where there is any."""
    rule, days = light_rule(), spans.days
    slow = _slow_days(groups)
    descending = (groups.ends & (slow > 0))[:, None] & (
        3 * (days[1:] - (groups.back - slow)[:, None]) > np.diff(days))
    if not descending.any():
        return descending, allowed
    at = np.minimum(days[:-1], len(garden.dates) - 1)
    most = np.maximum(rule.slow_share * garden.light.open_mean_dli[at],
                      rule.room_ratio * garden.light.mean_dli[groups.indoor][:, at])
    shady = allowed & (spans.first_dli <= most[..., None])
    return descending, np.where((descending & shady.any(axis=2))[..., None], shady, allowed)


def _wanted(groups: Groups, spans: Intervals, bare: np.ndarray, open_to: np.ndarray, in_shade: bool) -> np.ndarray:
    """(G, I) light that counts as all a plant could have: that of the brightest place it can bear, under no more cloth
    than it needs; a shade plant is content in the middle of its range, and with the brightest place that needs no
    cloth.

    open_to: (G, I, P) places that are open to it and have room.
    """
    through = _through(groups.light_high[:, None, None], groups.sun_cap[:, None, None], spans.top_dli[:, bare],
                       spans.top_sun_h[:, bare])
    light = np.where(open_to, spans.mean_dli[:, bare], 0.0)
    best = (light * through).max(axis=2, initial=0.0)
    without = np.where(through > 1 - SLACK, light, 0.0).max(axis=2, initial=0.0)
    shaded = np.where(without > 0, without, best)
    if in_shade:
        return shaded
    content = ((groups.light_low + groups.light_high) / 2)[:, None]
    return np.where(groups.shade[:, None], np.minimum(shaded, content), best)
