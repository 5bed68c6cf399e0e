"""What a garden shares: the days of moving, and the cloths that the person buys."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace

import numpy as np

from seasonplan.decisions.route import waves
from seasonplan.decisions.route.aim import Aim, make_aim
from seasonplan.decisions.route.garden import Garden
from seasonplan.decisions.route.groups import Groups
from seasonplan.decisions.route.light_rule import light_rule
from seasonplan.decisions.route.past import INDOORS
from seasonplan.decisions.route.search import Routes, search

SAMPLE = 24
"""Days of moving and cloths are chosen for at most so many groups, the largest of each kind, which stand for all."""
MOST_POTS = 60
NARROW = 8
"""Ways that a search keeps while days and cloths are chosen."""
ROUNDS = 12
FEWEST = 3
"""So many cloths, the least used ones, are put to the test in a round; so many days may always be given up."""
COVERED_PLACES = 6
"""Cloths are looked at over so many places, the brightest."""
NEXT_CLOTH = 0.5
"""A cloth lets through at least so much of what the next lighter one does."""
STRANDED = 5000.0
"""What it counts when a plant finds no route at all, in days."""
SHARERS = 4.0
"""To begin with, a day of moving is taken to be shared by one part in so many of all pots."""
TRIAL_CLOTHS = (0, 20, 50, 80, 90)
"""Cloths that are looked at while the waves are chosen."""
TRIAL_PRICE = 15.0
"""Of a day of moving while the waves are chosen."""
OVER = 50.0
"""A day more than the most allowed counts as so many."""
SWAPS = 2
TRIED = 7
"""One day is exchanged for another at most so often, and so many others are tried each time."""
MOST_LOST = 2
"""Cloths that are given up in a round."""
TOO_MANY = 3.0
"""So much more a cloth costs while there are more than most_cloths."""


@dataclass(frozen=True, eq=False)
class Shared:
    """days: (I + 1,) day numbers on which plants may move; positions: the places and cloths in use; price: (I + 1,) of
    a day of moving to a pot that moves on it."""

    days: np.ndarray
    positions: np.ndarray
    price: np.ndarray


def share(garden: Garden, groups: Groups, in_shade: bool, roughly: bool = False) -> Shared:
    """The days of moving and the cloths of a garden.

    Begins with the waves that do best and gives up, round by round, the days and the cloths whose loss costs their
    plants less than they cost the person; of more than the most allowed, also those that cost their plants least. Then
    other days, and other cloths, are offered once more, and where the most days are used up, one for another. A plant
    that would find no way without a day keeps it. roughly: without others.
    """
    sample, weight = _sample(groups)
    held = _held(garden, groups)
    case = _Case(garden, sample, weight, in_shade, held)
    positions = np.union1d(_useful(garden, groups), held)
    shared, total = case.thinned(case.begun(positions))
    if roughly:
        return shared
    for more in (waves.candidates(garden, groups), np.zeros(0, dtype=int)):
        tempted = case.tempted(shared, more, positions)
        if len(tempted.days) <= len(shared.days) and len(tempted.positions) <= len(shared.positions):
            continue
        second, other = case.thinned(tempted)
        if other < total:
            shared, total = second, other
    return case.swapped(shared, waves.candidates(garden, groups))


def share_beside(garden: Garden, groups: Groups, in_shade: bool, uses: Mapping[int, int],
                 cloths: Iterable[tuple[int, int]]) -> Shared:
    """The days and cloths of plants that are planned beside others, whose plan stays as it is: the others' days of
    moving and cloths, and of further ones those for which some plant would pay the whole price alone; where that makes
    more days than the most allowed, only the first on which each is free to move, and what is dearer than all else.

    uses: how many pots of the others move on each day. cloths: (place, percent) that hang for them.
    """
    sample, weight = _sample(groups)
    held = _held(garden, groups)
    case = _Case(garden, sample, weight, in_shade, held)
    days = waves.listed(garden, groups, sorted(day for day in uses if 0 <= day < len(garden.dates)))
    price = np.array([case.price_day / (uses.get(day, 0) + 1.0) for day in days.tolist()])
    positions = np.union1d(_useful(garden, groups), held)
    hung = [garden.position(place, percent) for place, percent in cloths]
    known = np.union1d(np.union1d(np.flatnonzero(garden.percent == 0), held), np.array(hung, dtype=int))
    shared, every = Shared(days, known, price), np.union1d(positions, known)
    found = case.tempted(shared, waves.candidates(garden, groups), every)
    if len(np.setdiff1d(found.days, [*uses, len(garden.dates)])) <= light_rule().most_moving_days - len(uses):
        return found
    first = np.array(sorted({garden.move_after(max(past.free, 0)) for past in sample.past if past is not None}), int)
    new = np.setdiff1d(first[first < days[-1]], days)
    with_first = np.argsort(np.concatenate([days, new]), kind="stable")
    shared = Shared(np.concatenate([days, new])[with_first],
                    known, np.concatenate([price, np.full(len(new), case.price_day)])[with_first])
    return case.tempted(shared, waves.candidates(garden, groups), every, OVER)


@dataclass(frozen=True, eq=False)
class _Case:
    """A garden with a sample of its groups, and how many pots each stands for."""

    garden: Garden
    sample: Groups
    weight: np.ndarray
    in_shade: bool
    held: np.ndarray

    @property
    def price_day(self) -> float:
        """Of a day of moving for the person."""
        rule = light_rule()
        return rule.price_day_in_shade if self.in_shade else rule.price_day

    def begun(self, positions: np.ndarray) -> Shared:
        """With the steps of one wave out and in, or two or three, whatever does best."""
        outs, ins = waves.outs(self.sample, self.weight), waves.ins(self.sample, self.weight)
        few = positions[np.isin(self.garden.percent[positions], TRIAL_CLOTHS) | np.isin(positions, self.held)]
        trials = [self._trial(out, ins[0], few) for out in outs]
        out = outs[int(np.argmin([cost for _, cost in trials]))]
        trials += [self._trial(out, back, few) for back in ins[1:]]
        return replace(min(trials, key=lambda trial: trial[1])[0], positions=positions)

    def _trial(self, out: list[int], back: list[int], positions: np.ndarray) -> tuple[Shared, float]:
        """The days of some waves, and what these cost in all."""
        days = waves.with_steps(self.garden, self.sample, out, back)
        price = SHARERS * self.price_day / max(float(self.weight.sum()), SHARERS)
        shared = Shared(days, positions, np.full(len(days), price))
        routes = search(self._aim(shared), shared.price, width=NARROW)
        used = np.count_nonzero(self.weight @ moving(routes, self.sample.ends))
        return shared, float(self.weight @ np.minimum(routes.cost, STRANDED)) + TRIAL_PRICE * used

    def _aim(self, shared: Shared) -> Aim:
        return make_aim(self.garden, self.sample, shared.days, shared.positions, self.in_shade)

    def thinned(self, shared: Shared) -> tuple[Shared, float]:
        """With as few days and cloths as are worth it; and what that costs in all. Where a plant finds no way any more,
        as several were given up together, they come back, and go one by one."""
        rule, before, most, reached = light_rule(), shared, MOST_LOST, np.zeros(len(self.sample), dtype=bool)
        for number in range(ROUNDS):
            aim = self._aim(shared)
            routes = search(aim, shared.price, width=NARROW)
            if (reached & ~np.isfinite(routes.cost)).any():
                shared, most = before, most - 1
                aim = self._aim(shared)
                routes = search(aim, shared.price, width=NARROW)
            reached |= np.isfinite(routes.cost)
            moves = moving(routes, self.sample.ends)
            use, kinds = self.weight @ moves, _kinds(aim, routes)
            day_regret, kind_regret = self._regrets(aim, shared.price, routes, moves, kinds)
            over = int(np.count_nonzero(use) - rule.most_moving_days)
            drop = _days_to_drop(day_regret - self.price_day, use > 0, over) if most == MOST_LOST else []
            price = rule.price_cloth_kind * (TOO_MANY if len(kinds) > rule.most_cloths else 1.0)
            lost = kinds[[n for n in np.argsort(kind_regret, kind="stable")[:most].tolist() if kind_regret[n] < price]]
            if number and not drop and not len(lost):
                break
            on, use = _keep((use > 0) | (shared.days >= len(self.garden.dates)), use, drop)
            on[[0, -1]] |= np.count_nonzero(on) < 2
            keep = np.isin(aim.percent, [0, *np.setdiff1d(kinds, lost)]) | np.isin(shared.positions, self.held)
            before, shared = shared, Shared(shared.days[on], shared.positions[keep],
                                            self.price_day / np.maximum(use[on], 1.0))
        cost = float(self.weight @ (np.minimum(routes.cost, STRANDED) - moves @ shared.price))
        return shared, cost + self.price_day * (np.count_nonzero(use) + OVER * max(over, 0)) \
            + rule.price_cloth_kind * len(kinds)

    def tempted(self, shared: Shared, more: np.ndarray, positions: np.ndarray, dear: float = 1.0) -> Shared:
        """With those other days and cloths, too, for which some plant would pay the whole price alone, so many times
        over."""
        rule = light_rule()
        every = Shared(np.union1d(more, shared.days), positions, np.zeros(0))
        prices = np.tile(dear * self.price_day / self.weight[:, None], (1, len(every.days)))
        prices[:, np.searchsorted(every.days, shared.days)] = shared.price
        aim, known = self._aim(every), np.unique(self.garden.percent[shared.positions])
        entry = np.where(np.isin(aim.percent, known), 0.0, rule.price_cloth_kind) / self.weight[:, None]
        routes = search(aim, prices, width=NARROW, entry_price=entry)
        use = self.weight @ moving(routes, self.sample.ends)
        on = (use > 0) | (every.days >= len(self.garden.dates))
        on[[0, -1]] |= np.count_nonzero(on) < 2
        kinds = np.union1d(known, _kinds(aim, routes))
        keep = np.isin(aim.percent, kinds) | np.isin(positions, self.held)
        return Shared(every.days[on], positions[keep], self.price_day / np.maximum(use[on], 1.0))

    def swapped(self, shared: Shared, more: np.ndarray) -> Shared:
        """With one day given up for another, again and again, while that pays and the most days allowed are used up."""
        cost, use = self._worth(shared.days, shared)
        for _ in range(SWAPS):
            if np.count_nonzero(use) < light_rule().most_moving_days:
                break
            others = np.setdiff1d(more, shared.days)
            others = others[::len(others) // TRIED + 1]
            gain = [self._worth(np.union1d(shared.days, day), shared)[0] for day in others.tolist()]
            best = np.union1d(shared.days, others[int(np.argmin(gain))] if gain else [])
            trials = [(*self._worth(days, shared), days)
                      for days in (np.setdiff1d(best, day) for day in shared.days[use > 0].tolist())]
            trials = [trial for trial in trials if np.count_nonzero(trial[1]) <= light_rule().most_moving_days]
            least = min(trials, key=lambda trial: trial[0], default=None)
            if least is None or least[0] >= cost - self.price_day:
                break
            cost, use, days = least
            shared = Shared(days, shared.positions, self.price_day / np.maximum(use, 1.0))
        return shared

    def _worth(self, days: np.ndarray, shared: Shared) -> tuple[float, np.ndarray]:
        """What the summer costs with other days, those of moving included; and how many pots move on each."""
        price = np.full(len(days), self.price_day / SHARERS)
        known = np.isin(days, shared.days)
        price[known] = shared.price[np.isin(shared.days, days)]
        routes = search(self._aim(Shared(days, shared.positions, price)), price, width=NARROW)
        moves = moving(routes, self.sample.ends)
        use = self.weight @ moves
        return float(self.weight @ (np.minimum(routes.cost, STRANDED) - moves @ price)) \
            + self.price_day * float(np.count_nonzero(use)), use

    def _regrets(self, aim: Aim, price: np.ndarray, routes: Routes, moves: np.ndarray,
                 kinds: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
        """(I + 1,) and (kinds,) what the loss of each day and of each cloth would cost its plants; infinity where that
        was not asked: of the days that many use, and of the cloths that hang most."""
        use = self.weight @ moves
        asked = (use > 0) & (use <= np.median(use[use > 0]) if (use > 0).any() else False)
        group, day = np.nonzero(moves & asked)
        under = (aim.percent[routes.stands] == kinds[:, None, None]) & (routes.stands != INDOORS)
        hung = np.einsum("kgi,g,i->k", under, self.weight, aim.spans.lengths.astype(float))
        few = np.isin(np.arange(len(kinds)), np.argsort(hung, kind="stable")[:FEWEST])
        kind, user = np.nonzero(under.any(axis=2) & few[:, None])
        rows = np.concatenate([group, user])
        without, prices = aim.take(rows), np.tile(price, (len(rows), 1))
        prices[np.arange(len(day)), day] = np.inf
        without.allowed[len(day):] &= aim.percent != kinds[kind, None, None]
        other = search(without, prices, routes.ahead[:, rows], NARROW).cost
        loss = self.weight[rows] * (np.minimum(other, STRANDED) - np.minimum(routes.cost[rows], STRANDED))
        days, cloths = np.bincount(day, loss[:len(day)], len(use)), np.bincount(kind, loss[len(day):], len(kinds))
        return np.where(asked, days, np.inf), np.where(few, cloths, np.inf)


def moving(routes: Routes, ends: np.ndarray) -> np.ndarray:
    """(G, I + 1) whether a group moves on each day of the list."""
    none = np.full((len(ends), 1), INDOORS)
    before, after = np.concatenate([none, routes.stands], axis=1), np.concatenate([routes.stands, none], axis=1)
    moves = (before != after) & np.isfinite(routes.cost)[:, None]
    moves[:, -1] &= ends
    return moves


def _kinds(aim: Aim, routes: Routes) -> np.ndarray:
    """Percentages of the cloths that plants stand under."""
    kinds = np.unique(aim.percent[routes.stands[routes.stands != INDOORS]])
    return kinds[kinds > 0]


def _held(garden: Garden, groups: Groups) -> np.ndarray:
    """Positions at which plants stand by the log."""
    return np.array(sorted({garden.position(past.here.place, past.here.percent) for past in groups.past
                            if past is not None and past.here.place != INDOORS}), dtype=int)


def _useful(garden: Garden, groups: Groups) -> np.ndarray:
    """Positions that some plant could want: cloths over the brightest places only, and none that is darker all year
    both than the darkest room and than a shade plant's first days ask for."""
    light = garden.light.mean_dli
    dimmest = light[np.unique(groups.indoor)].max(axis=1).min(initial=np.inf)
    brightest = light[garden.rows].max(axis=1)
    through = 1 - garden.percent / 100
    useful = (through * brightest[garden.place] >= dimmest) | (
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


def _days_to_drop(gain: np.ndarray, used: np.ndarray, over: int) -> list[int]:
    """Days to give up: those that are worth less than they cost, and some more while there are too many; no two that
    follow each other, since the plants of one go to its neighbour."""
    kept = np.flatnonzero(used)
    rank = {day: n for n, day in enumerate(kept.tolist())}
    most = min((over + 1) // 2, 2)
    chosen: list[int] = []
    for day in kept[np.argsort(gain[kept], kind="stable")].tolist():
        wanted = gain[day] < 0 or len(chosen) < most
        if wanted and gain[day] < STRANDED / 2 and len(chosen) < max(FEWEST, len(kept) // 4) and not any(
                abs(rank[day] - rank[other]) <= 1 for other in chosen):
            chosen.append(day)
    return chosen


def _keep(on: np.ndarray, use: np.ndarray, drop: list[int]) -> tuple[np.ndarray, np.ndarray]:
    """(I + 1,) which days to look at further, and by how many each is used: those in use but for the dropped ones, and
    beside these the ones that nobody used so far."""
    on, use = on.copy(), use.copy()
    for day in drop:
        on[day] = False
        for beside in (day - 1, day + 1):
            if 0 <= beside < len(on) and not on[beside] and beside not in drop:
                on[beside], use[beside] = True, max(use[beside], use[day])
    return on, use
