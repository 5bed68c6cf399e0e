"""What a garden shares: the days of moving, and the cloths that the person buys.

Searches bring ways for the garden's plants into a pool (choice.Known): through every day that could matter, through
the days of a choice, without each day and each cloth that a plant's way uses, and with others at a price. A choice
begins with the days of three waves out and in, shrinks to as many days as are allowed, and is offered others. Then the
plants that lose most with it are given what they lack, in turn, and others are given up for that, if all do better.
"""

from __future__ import annotations

from collections.abc import Collection, Iterable
from dataclasses import dataclass

import numpy as np

from seasonplan.decisions.route import waves
from seasonplan.decisions.route.aim import make_aim
from seasonplan.decisions.route.choice import GAIN, STRANDED, Known
from seasonplan.decisions.route.daily import LEAST_ROOM_DLI, make_daily
from seasonplan.decisions.route.garden import Garden
from seasonplan.decisions.route.groups import Groups
from seasonplan.decisions.route.light_rule import light_rule
from seasonplan.decisions.route.past import INDOORS, Past
from seasonplan.decisions.route.search import Routes, many

SAMPLE = 24
"""Days of moving and cloths are chosen for at most so many groups, the largest of each kind, which stand for all."""
MOST_POTS = 60
COVERED_PLACES = 6
"""Cloths are looked at over so many places, the brightest."""
NEXT_CLOTH = 0.5
"""A cloth lets through at least so much of what the next lighter one does."""
SHARERS = 4.0
"""To begin with, a day of moving is taken to be shared by one part in so many of all pots."""
WIDTH, WAYS = 16, 40
"""Ways that a search keeps, and brings for each group."""
NARROW, FEW = 8, 10
"""The same for ways without one day or cloth."""
SHRINK = 0.9
"""Of the days of a choice so many are left after a round, until there are no more than allowed."""
WORST_OFF = 4
"""So many groups, those that lose most with a choice, are given all that their best way asks for, in turn."""
REGRET = 30.0
"""... where that is more than so many days. Our setting, as all of these."""


@dataclass(frozen=True, eq=False)
class Shared:
    """days: (I + 1,) day numbers on which plants may move; positions: the places and cloths in use."""

    days: np.ndarray
    positions: np.ndarray


def share(garden: Garden, groups: Groups, in_shade: bool, roughly: bool = False, moved: Collection[int] = (),
          cloths: Iterable[tuple[int, int]] = ()) -> Shared:
    """The days of moving and the cloths of a garden.

    moved: days on which plants that are planned already move, or moved: they cost nothing more and count among the
    most allowed. cloths: (place, percent) that hang for such plants. roughly: as the first rounds find them.
    """
    sample, weight = _sample(groups)
    held = np.array(sorted({*_held(garden, groups), *(garden.position(*cloth) for cloth in cloths)}), dtype=int)
    outs, ins = waves.outs(sample, weight), waves.ins(sample, weight)
    begin = waves.with_steps(garden, sample, outs[-1] if outs else [], ins[-1] if ins else [])
    year, last = len(garden.dates), int(groups.back.max(initial=0))
    free = [day for day in sorted(moved) if 0 <= day <= min(last, year - 1)] + [year] * (not groups.ends.all())
    days = np.unique(np.concatenate([waves.candidates(garden, groups), begin, np.array(free, dtype=int)]))
    positions = np.union1d(_useful(garden, groups), held)
    pool = Pool(garden, sample, weight, in_shade, days, np.isin(days, free), positions, held)
    past = {stay.day for one in groups.past if one is not None for stay in one.stays}
    choice = pool.chosen(np.isin(days, begin), len({*moved, *past} - {year}), roughly)
    on = choice[:len(days)] | pool.free
    on[[0, -1]] |= np.count_nonzero(on) < 2
    return Shared(days[on], pool.positions[pool.usable(choice)])


class Pool:
    """The ways that are known for a garden's plants, and the searches that bring more.

    A choice (R,) tells which days and which cloths (`percents`) the person has beside the free ones: `free` (I,) days
    on which others move anyway, and the end of the year; the percentages of `held` positions.
    """

    def __init__(self, garden: Garden, groups: Groups, weight: np.ndarray, in_shade: bool, days: np.ndarray,
                 free: np.ndarray, positions: np.ndarray, held: np.ndarray):
        rule = light_rule()
        self.garden, self.groups, self.weight, self.in_shade = garden, groups, weight, in_shade
        self.days, self.free, self.positions = days, free, positions
        self.here = np.array([_standing(garden, past) for past in groups.past], dtype=int)
        self.daily = make_daily(garden, groups, positions, in_shade)
        percent = garden.percent[positions]
        self.percents = np.setdiff1d(percent, [0, *garden.percent[held]])
        self.cloth = np.where(np.isin(percent, self.percents), len(days) + np.searchsorted(self.percents, percent), -1)
        self.price_day = rule.price_day_in_shade if in_shade else rule.price_day
        price = np.append(np.where(free, 0.0, self.price_day), np.full(len(self.percents), rule.price_cloth_kind))
        self.known = Known(np.zeros(0, int), np.zeros(0), np.zeros((0, len(price)), bool), price, STRANDED * weight,
                           len(days), (int(rule.most_moving_days), int(rule.most_cloths)))

    def chosen(self, begin: np.ndarray, moved: int, roughly: bool) -> np.ndarray:
        """The choice that is found from some days (I,). moved: days on which the person moved pots, or will."""
        most = max(self.known.most[0] - moved, 0)
        start = SHARERS * self.price_day / max(float(self.weight.sum()), SHARERS)
        self.bring(np.where(np.arange(len(self.known.price)) < len(self.days), start, 0.0)[None])
        on = self.shrunk(np.concatenate([begin & ~self.free, np.ones(len(self.percents), dtype=bool)]), most, start)
        if roughly:
            return on
        self.bring(self.prices(on))
        self.bring(self.prices(on, tempting=True))
        on = self.known.choose(on)
        self.bring_without(on, self.bring(self.prices(on)))
        on = self.known.choose(on)
        for number in range(WORST_OFF):
            other = self.helped(on, number, most)
            if self.known.total(other) < self.known.total(on) - GAIN:
                on = other
        return on

    def helped(self, on: np.ndarray, number: int, most: int) -> np.ndarray:
        """Another choice, found from one with all that the way asks for which does best for the group that loses most
        with it, or second most, or so on."""
        best = self.known.least(np.ones(len(on), dtype=bool))
        regret = self.known.least(on) - best
        group = np.argsort(-regret, kind="stable")[min(number, len(regret) - 1)]
        if regret[group] < REGRET:
            return on
        ways = np.flatnonzero(self.known.group == group)
        lacks = self.known.asks[ways] & ~on
        way = ways[np.argmin(self.known.cost[ways] + lacks @ self.known.price)]
        return self.known.choose(self.shrunk(on | self.known.asks[way], most, 0.0))

    def shrunk(self, on: np.ndarray, most: int, paid: float) -> np.ndarray:
        """A choice with fewer and fewer days, until there are no more than the most. paid: for a day, meanwhile."""
        left = int(on[:len(self.days)].sum())
        while left > most:
            self.bring_without(on, self.bring(self.prices(on, paid=paid)), half=True)
            left = max(most, min(int(SHRINK * left), left - 1))
            on = self.known.allowing(left).settled(on)
        self.known = self.known.allowing(most)
        return on

    def prices(self, on: np.ndarray, paid: float = 0.0, tempting: bool = False) -> np.ndarray:
        """(1 or G, R) prices of a choice's days, and of all others: such that one plant would pay all, or none."""
        others = self.known.price / self.weight[:, None] if tempting else np.full((1, len(on)), np.inf)
        days = np.arange(len(on)) < len(self.days)
        return np.where(on | np.append(self.free, np.zeros(len(self.percents), dtype=bool)), paid * days, others)

    def usable(self, on: np.ndarray) -> np.ndarray:
        """(K,) which positions a choice opens."""
        return (self.cloth < 0) | on[self.cloth]

    def bring(self, prices: np.ndarray, rows: np.ndarray | None = None, like: Routes | None = None) -> Routes:
        """Search for ways of some groups, all when none are named, at prices (1 or n, R), and keep what is found. like:
        a search of all groups through the same days and cloths."""
        on = np.isfinite(prices).any(axis=0)
        at, which = np.flatnonzero(on[:len(self.days)]), self.usable(on)
        at = at if len(at) > 1 else np.array([0, len(self.days) - 1])
        aim = make_aim(self.garden, self.groups, self.days[at], self.positions[which], self.in_shade, daily=self.daily)
        entry = np.where(self.cloth[which] < 0, 0.0, prices[:, self.cloth[which]])
        width, ways = (WIDTH, WAYS) if rows is None else (NARROW, FEW)
        rows = np.arange(len(self.groups)) if rows is None else rows
        found = many(aim.take(rows), prices[:, at], entry, ways, None if like is None else like.ahead[:, rows], width)
        good = np.isfinite(found.cost)
        here = np.where(self.here < 0, INDOORS, self.positions[which].searchsorted(self.here))
        moves = moving(found.stands, self.groups.ends[rows], here[rows])[good]
        under = np.where(found.stands == INDOORS, -1, self.cloth[which][found.stands])[good]
        asks = np.zeros((len(moves), len(on)), dtype=bool)
        asks[:, at] = moves & ~self.free[at]
        asks[:, len(self.days):] = (under[..., None] == np.arange(len(self.days), len(on))).any(axis=1)
        row = np.broadcast_to(np.arange(len(rows))[:, None], good.shape)[good]
        asked = np.broadcast_to(prices, (len(rows), len(on)))[row]
        paid = np.where(moves, asked[:, at], 0.0).sum(axis=1)
        arrives = moves[:, :-1] & (under >= 0)
        paid += np.where(arrives, np.take_along_axis(asked, np.maximum(under, 0), axis=1), 0.0).sum(axis=1)
        group = rows[row]
        self.known = self.known.with_ways(group, self.weight[group] * (found.cost[good] - paid), asks)
        return found

    def bring_without(self, on: np.ndarray, found: Routes, half: bool = False) -> None:
        """Ways of each group without each day and each cloth that its best way of a choice uses; half: of the days only
        those that fewer pots use. found: a search through that choice."""
        ways = self.known.chosen(on)
        asks = self.known.asks[ways]
        use = self.weight[self.known.group[ways]] @ asks
        days = use[:len(self.days)]
        if half and (days > 0).any():
            asks = asks & np.append(days <= np.median(days[days > 0]), np.ones(len(self.percents), dtype=bool))
        way, thing = np.nonzero(asks)
        if not len(way):
            return
        rows = np.append(self.known.group[ways[way]], 0)     # the last with everything: all days are looked at
        prices = np.repeat(self.prices(on), len(rows), axis=0)
        prices[np.arange(len(way)), thing] = np.inf
        self.bring(prices, rows, found)


def moving(stands: np.ndarray, ends: np.ndarray, here: np.ndarray | None = None) -> np.ndarray:
    """(G, ..., I + 1) whether a group that stands so, (G, ..., I), moves on each day of the list. here: (G,) positions
    at which groups stand before, INDOORS for none."""
    none, each = np.full((*stands.shape[:-1], 1), INDOORS), (-1, *(1,) * (stands.ndim - 1))
    before, after = np.concatenate([none, stands], axis=-1), np.concatenate([stands, none], axis=-1)
    moves = before != after
    moves[..., -1:] &= ends.reshape(each)
    return moves if here is None else moves & ((before != INDOORS) | (after != here.reshape(each)))


def _held(garden: Garden, groups: Groups) -> np.ndarray:
    """Positions at which plants stand by the log."""
    return np.setdiff1d([_standing(garden, past) for past in groups.past], INDOORS).astype(int)


def _standing(garden: Garden, past: Past | None) -> int:
    """The position at which a plant stands by the log, INDOORS for none."""
    if past is None or past.ended or past.here.place == INDOORS:
        return INDOORS
    return garden.position(past.here.place, past.here.percent)


def _useful(garden: Garden, groups: Groups) -> np.ndarray:
    """Positions that some plant could want: cloths over the brightest places only, and none that is darker on every day
    both than the darkest room and than a shade plant's first days ask for."""
    light = garden.light.mean_dli
    dimmest = np.maximum(light[np.unique(groups.indoor)].min(axis=0), LEAST_ROOM_DLI)
    brightest = light[garden.rows].max(axis=1)
    through = 1 - garden.percent / 100
    useful = (through * (light[garden.rows] / dimmest).max(axis=1)[garden.place] >= 1) | (
        through * garden.light.peak_ppfd[garden.rows].max(axis=1)[garden.place]
        >= NEXT_CLOTH * light_rule().first_peak_ppfd)
    rank = np.argsort(np.argsort(-brightest, kind="stable"), kind="stable")[garden.place]
    return np.flatnonzero((garden.percent == 0) | useful & (rank < COVERED_PLACES))


def _sample(groups: Groups) -> tuple[Groups, np.ndarray]:
    """At most SAMPLE groups, and how many pots each stands for: MOST_POTS in all count, however many there are, so that
    a large collection is not moved on more days."""
    pots = groups.pots * groups.plants
    few = min(1.0, MOST_POTS / max(int(pots.sum()), 1))
    if len(groups) <= SAMPLE:
        return groups, few * pots
    kinds: dict[tuple, list[int]] = {}
    for n in range(len(groups)):
        kinds.setdefault((float(groups.sun_cap[n]), int(groups.indoor[n]), int(groups.leave[n]) // 7,
                          int(groups.back[n]) // 7, groups.past[n] is None), []).append(n)
    ranked = sorted(kinds.values(), key=lambda alike: (-int(pots[alike].sum()), alike[0]))[:SAMPLE]
    chosen = [max(alike, key=lambda n: (int(pots[n]), -n)) for alike in ranked]
    return groups.take(chosen), few * np.array([float(pots[alike].sum()) for alike in ranked])


