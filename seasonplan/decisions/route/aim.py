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

from seasonplan.decisions.route.daily import LEAST_ROOM_DLI, Daily, has_room, make_daily
from seasonplan.decisions.route.garden import Garden
from seasonplan.decisions.route.groups import NEVER, Groups
from seasonplan.decisions.route.light_rule import SLACK, Intervals, light_rule

DAYS_BRIGHT = 7
"""In the shortest of seasons, so many days at least are to be bright after four weeks."""
DAY_OF_PROMISE = 6.0
"""The first of these days counts so many times: a plant that is a day late has not kept what was promised."""
SLOW_LOSS = 0.5
"""In the long descent of plants that drop their leaves, light they could have counts for this share. Our setting."""


@dataclass(frozen=True, eq=False)
class Aim:
    """Prices and limits of groups (G) at positions (K) through the intervals (I) of a list of days.

    allowed: (G, I, K) the plants' own ceilings, the place's span and room. gentle: (G, I, K) the first days' limits.
    light: (G, I, K) price of the light missing, and of the cloth. cut_short: (G,) of a bright day that it is not there
    for. room: (G, I + 1) mean light of the room on each day. slow: (G, I) in the long descent of plants that drop their
    leaves. daily: what single days are worth, row and column: (G,) and (K,) the numbers there of groups and positions.
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
    cut_short: np.ndarray
    room: np.ndarray
    slow: np.ndarray
    daily: Daily
    row: np.ndarray
    column: np.ndarray

    def take(self, rows: np.ndarray) -> Aim:
        """The aim of some of the groups, which may come more than once."""
        def of(values: np.ndarray) -> np.ndarray:
            return values[rows]

        return replace(self, groups=self.groups.take(rows), allowed=of(self.allowed), gentle=of(self.gentle),
                       light=of(self.light), cut_short=of(self.cut_short), room=of(self.room), slow=of(self.slow),
                       row=of(self.row))

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
        late = rule.price_late * (self.daily.waiting[self.row, None] - rule.price_waiting)
        return self.daily.waiting[self.row, None] * days + late * np.maximum(days - rule.waiting_days, 0)

    def dark(self, step: int, out: np.ndarray) -> np.ndarray:
        """(G, ..., K) price of an interval's days on which plants that went out on a day (G, ...) are to stand bright,
        and do not: from bright_within_days on, or ready_days after their brightest place has opened to them where that
        is later, until their descent."""
        begin, end = self.spans.days[step:step + 2]
        first, last = self._bright_span(out)
        since, until = np.clip(first, begin, end), np.clip(last, begin, end)
        if not (until > since).any():
            return np.zeros((*out.shape, len(self.place)))
        row = self.row.reshape(-1, *(1,) * out.ndim)
        before, once, after = (self.daily.dark[row, day[..., None], self.column] for day in (
            since, np.clip(first + 1, since, end), np.maximum(until, since)))
        late = (first >= begin)[..., None] * (once - before)
        return after - before + (DAY_OF_PROMISE - 1) * late

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
        opens, descent = (self.daily.opens[self.row], self.descent) if out.ndim == 1 else (
            self.daily.opens[self.row][:, None], self.descent[:, None])
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
        rule, before = light_rule(), max(int(self.spans.days[day]) - 1, 0)
        room = np.maximum(self.garden.light.mean_dli[self.groups.indoor, before, None], LEAST_ROOM_DLI)
        last = self.spans.last_dli[max(day - 1, 0)][position] / room
        below = np.where(down, 1 / np.maximum(np.minimum(last, arrived_ratio), 1e-9), 0.0)
        off = np.maximum(last / rule.room_ratio, below)
        price = beyond(off, rule.price_broken) + beyond(used_dli / room / rule.jump_ratio, rule.price_hasty)
        return np.where(self.groups.ends[:, None], price, 0.0)


def beyond(ratio: np.ndarray, price: float) -> np.ndarray:
    """What it costs to be so many times a limit."""
    return np.where(ratio > 1 + SLACK, price * (1 + np.log(np.maximum(ratio, 1.0))), 0.0)


def make_aim(garden: Garden, groups: Groups, days: np.ndarray, positions: np.ndarray, in_shade: bool,
             room_left: np.ndarray | None = None, daily: Daily | None = None, row: np.ndarray | None = None) -> Aim:
    """The aim between rising day numbers (the last may be the day after the year). room_left: (intervals, places).
    daily: at these positions and more, where that is known; row: (G,) the numbers of the groups there, 0, 1, ... if not
    told."""
    rule = light_rule()
    place, percent = garden.place[positions], garden.percent[positions]
    spans = garden.intervals(days, positions)
    bears = (spans.top_dli <= groups.light_high[:, None, None] + SLACK) \
        & (spans.top_sun_h <= groups.sun_cap[:, None, None] + SLACK)
    room = garden.room if room_left is None else room_left
    open_to = (groups.opens[:, None, :] <= days[:-1, None]) & (days[1:, None] <= groups.closes[:, None, :]) \
        & has_room(np.broadcast_to(room, (len(days) - 1, len(garden.names))), groups)
    gentle = (spans.early_sun_h <= rule.first_sun_h + SLACK) \
        & ((spans.early_ppfd <= rule.first_peak_ppfd) | ~groups.shade[:, None, None])
    shady_end, allowed = _slow(garden, groups, spans, bears & open_to[..., place])
    at = np.minimum(days, len(garden.dates) - 1)
    indoors = np.maximum(garden.light.mean_dli[groups.indoor][:, at], LEAST_ROOM_DLI)
    if daily is None:
        daily = make_daily(garden, groups, positions, in_shade)
    column = np.searchsorted(daily.positions, positions)
    row = np.arange(len(groups)) if row is None else row
    missing = np.diff(daily.missing[row[:, None, None], days[:, None], column], axis=1)
    cloth = np.where(groups.shade | in_shade, rule.price_cloth_shade, rule.price_cloth)[:, None, None] * (percent > 0)
    cut_short = np.where(~(groups.shade | in_shade) & groups.ends, rule.price_cut_short, 0.0)
    light = np.where(shady_end, SLOW_LOSS, 1.0)[..., None] * missing + spans.lengths[:, None] * cloth
    return Aim(garden, groups, spans, positions, place, percent, allowed, gentle, light, cut_short, indoors, shady_end,
               daily, row, column)


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

