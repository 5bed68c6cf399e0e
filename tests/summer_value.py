"""What the aim says that given routes cost, whoever found them: the same prices as the search's, added up along a way.

Limits that the search never trades (the light rule, windows, room) are not looked at here, so that routes of any origin
have a value; `tests/plain_route.py` is for those.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from datetime import date
from typing import NamedTuple

import numpy as np

from seasonplan.decisions.route.aim import Aim
from seasonplan.decisions.route.garden import Garden
from seasonplan.decisions.route.light_rule import SLACK, light_rule
from seasonplan.decisions.route.past import INDOORS


class Value(NamedTuple):
    """In days without light. light: that is missing, and the cloths over it; moves: and changes of cloth; waiting: days
    of the window indoors; broken: a sun plant in the dark after four weeks, and a rough last day."""

    light: float
    moves: float
    waiting: float
    broken: float

    @property
    def total(self) -> float:
        return sum(self)

    def plus(self, other: Value, pots: float = 1.0) -> Value:
        return Value(*(a + pots * b for a, b in zip(self, other, strict=True)))


NOTHING = Value(0.0, 0.0, 0.0, 0.0)


class Stay(NamedTuple):
    """Days at a place under a cloth (percent, 0 for none)."""

    since: date
    until: date
    place: str
    percent: int


def stands_of(stays: Sequence[Stay], garden: Garden, days: np.ndarray) -> np.ndarray:
    """(I,) the garden's positions of a route through the intervals of a list that holds all its days."""
    stands = np.full(len(days) - 1, INDOORS)
    for stay in stays:
        since, until = garden.day(stay.since), garden.day(stay.until)
        stands[(days[:-1] >= since) & (days[:-1] < until)] = garden.position(garden.names.index(stay.place),
                                                                             stay.percent)
    return stands


def value_of(aim: Aim, group: int, stands: np.ndarray) -> Value:
    """What one plant's way costs, without days of moving and kinds of cloth. stands: (I,) positions of the aim."""
    groups, days, spans = aim.groups, aim.spans.days, aim.spans
    leave, back = int(groups.leave[group]), int(groups.back[group])

    def lost(count: int) -> float:
        return float(aim.lost(np.array([[count]]))[group, 0])

    outdoors = np.flatnonzero(stands != INDOORS)
    if not outdoors.size:
        return Value(0.0, 0.0, lost(back - leave), 0.0)
    first, end = int(outdoors[0]), int(outdoors[-1]) + 1
    prices = aim.move_prices()[group]
    out = np.full(len(groups), days[first])
    light = moves = broken = 0.0
    used, ratio, down, before, had, off = aim.room[:, first], 0.0, False, -1, False, False
    for step in range(first, end):
        at = int(stands[step])
        if at == INDOORS:
            continue
        covered = aim.percent[at] > 0
        if at != before:
            moves += float(prices[before, at])
            up = before >= 0 and spans.first_dli[step, at] > spans.first_dli[step, before] + SLACK
            moves += light_rule().price_broken if up and aim.slow[group, step] else 0.0
            down = before >= 0 and spans.first_dli[step, at] < spans.first_dli[step, before]
            ratio = float(spans.first_dli[step, at] / aim.room[group, step])
        had, off = had or bool(covered), (had or off) and not covered
        light += float(aim.light[group, step, at])
        broken += float(aim.dark(step, out)[group, at])
        used, _ = spans.after(step, np.full(len(groups), at), used, np.zeros(len(groups)))
        before = at
    here = np.full((len(groups), 1), before)
    ending = aim.ending(end, here, used[:, None], np.full(here.shape, ratio), np.full(here.shape, down))
    indoors = lost(min(int(days[first]), back) - leave)
    if groups.ends[group]:
        broken += float(ending[group, 0]) + float(aim.leaving(int(days[end]), out)[group])
        indoors += lost(back - int(days[end]))
    return Value(light, moves, indoors, broken)


class Summer(NamedTuple):
    """A garden's value: that of its plants, each counted with its pots, days of moving and kinds of cloth."""

    plants: Value
    days: int
    kinds: int

    @property
    def total(self) -> float:
        rule = light_rule()
        return self.plants.total + rule.price_day * self.days + rule.price_cloth_kind * self.kinds


def summer(aim: Aim, routes: Mapping[int, Sequence[tuple[Sequence[Stay], float]]]) -> Summer:
    """Of a garden. routes: of each group, the stays of its plants and the pots of each; the aim's positions are all of
    the garden's."""
    value, days, kinds = NOTHING, set[date](), set[int]()
    for group, ways in routes.items():
        for stays, pots in ways:
            value = value.plus(value_of(aim, group, stands_of(stays, aim.garden, aim.spans.days)), pots)
            days |= {stay.since for stay in stays}
            days |= {stays[-1].until} if stays and aim.groups.ends[group] else set()
            kinds |= {stay.percent for stay in stays if stay.percent}
    return Summer(value, len(days), len(kinds))
