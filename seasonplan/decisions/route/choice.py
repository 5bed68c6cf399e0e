"""Which days of moving and which cloths a garden has: those with which the ways that are known for its plants do best.

A way asks for days and cloths and costs its plants something; a choice costs the person its days and cloths, and every
plant goes the best way for which it has all. From a choice on, days and cloths are given up, taken, or exchanged one
for another while that pays; where none of that does, all that one good way lacks is taken at once, and others are
given up for it.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property

import numpy as np

STRANDED = 5000.0
"""What it counts when a plant finds no way at all, in days."""
OVER_DAY, OVER_CLOTH = 1000.0, 60.0
"""A day of moving, and a cloth, more than the most allowed count as so many days besides: only a plant that finds no
way without has the one, and a sun plant that would stand in the dark the other."""
WHOLE_WAYS = 6
"""So many ways are tried with all that they lack."""
GAIN = 1e-6


@dataclass(frozen=True, eq=False)
class Known:
    """Ways (N) of groups (G), by what they ask for (R): days of moving first, then cloths.

    group: (N,), in rising order. cost: (N,) of all the group's plants. asks: (N, R). price: (R,) of each to the person.
    stranded: (G,) what it counts when a group has no way. days: how many of R are days. most: of days and of cloths.
    """

    group: np.ndarray
    cost: np.ndarray
    asks: np.ndarray
    price: np.ndarray
    stranded: np.ndarray
    days: int
    most: tuple[int, int]

    @cached_property
    def asked(self) -> np.ndarray:
        """What ways ask for, as numbers to add up."""
        return self.asks.astype(np.float32)

    def with_ways(self, group: np.ndarray, cost: np.ndarray, asks: np.ndarray) -> Known:
        """With more ways; of a group's ways that ask for the same only the cheapest stays."""
        group, cost, asks = (np.concatenate(pair) for pair in (
            (self.group, group), (self.cost, cost), (self.asks, asks)))
        order = np.lexsort((cost, group))
        numbers = group[order, None].astype(">u4").view(np.uint8)
        names = np.concatenate([numbers, np.packbits(asks[order], axis=1)], axis=1)
        _, first = np.unique(np.ascontiguousarray(names).view(f"V{names.shape[1]}").ravel(), return_index=True)
        kept = order[np.sort(first)]
        return Known(group[kept], cost[kept], asks[kept], self.price, self.stranded, self.days, self.most)

    def allowing(self, days: int) -> Known:
        """The same with another number of days at most."""
        return Known(self.group, self.cost, self.asks, self.price, self.stranded, self.days, (days, self.most[1]))

    def lacking(self, on: np.ndarray) -> np.ndarray:
        """(N,) how much of what it asks for each way lacks in a choice (R,)."""
        return self.asked @ (~on).astype(np.float32)

    def total(self, on: np.ndarray) -> float:
        """What a choice costs in all."""
        return float(self.least(on).sum() + on @ self.price + self._over(*self._counts(on)))

    def least(self, on: np.ndarray) -> np.ndarray:
        """(G,) what each group's plants cost with a choice."""
        least = self.stranded.copy()
        inside = self.lacking(on) == 0
        np.minimum.at(least, self.group[inside], self.cost[inside])
        return least

    def chosen(self, on: np.ndarray) -> np.ndarray:
        """(n,) the best ways of the groups that have one with a choice."""
        inside = np.flatnonzero(self.lacking(on) == 0)
        order = inside[np.lexsort((self.cost[inside], self.group[inside]))]
        return order[np.flatnonzero(np.diff(self.group[order], prepend=-1))]

    def choose(self, on: np.ndarray) -> np.ndarray:
        """The best choice that is found from another."""
        on, total = self.settled(on), np.inf
        while (now := self.total(on)) < total - GAIN:
            total = now
            on = min((on, *map(self.settled, self._with_whole_ways(on))), key=self.total)
        return on

    def _with_whole_ways(self, on: np.ndarray) -> list[np.ndarray]:
        """A choice with all that one way lacks, the most promising ways first."""
        gain = self.least(on)[self.group] - self.cost - self.asks @ (~on * self.price)
        order = np.argsort(-gain, kind="stable")[:WHOLE_WAYS]
        return [on | self.asks[n] for n in order.tolist() if gain[n] > 0]

    def settled(self, on: np.ndarray) -> np.ndarray:
        """A choice after one day or cloth was given up, taken or exchanged again and again, while that pays."""
        on, total = on.copy(), self.total(on)
        while True:
            value, out, into = self._exchanges(on)
            row, column = np.unravel_index(int(value.argmin()), value.shape)
            if value[row, column] >= total - GAIN:
                return on
            total = float(value[row, column])
            for number, now in ((out[column], False), (into[row], True)):
                if number >= 0:
                    on[number] = now

    def _exchanges(self, on: np.ndarray) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
        """(taken, given up) what each exchange would cost in all, and what is given up and taken, -1 for nothing."""
        out, count = np.append(np.flatnonzero(on), -1), self.lacking(on)
        inside, one = np.flatnonzero(count == 0), np.flatnonzero(count == 1)
        kept = np.repeat(self.stranded[:, None], len(out), axis=1)
        if inside.size:
            first = np.flatnonzero(np.diff(self.group[inside], prepend=-1))
            rows = self.group[inside[first]]
            kept[rows] = np.minimum(kept[rows], np.minimum.reduceat(self._without(inside, out), first, axis=0))
        into = np.array([-1])
        value = (kept.sum(axis=0) + on @ self.price - np.append(self.price[out[:-1]], 0.0))[None]
        if one.size:
            needs = (self.asks[one] & ~on).argmax(axis=1)
            one, needs = one[order := np.argsort(needs, kind="stable")], needs[order]
            first = np.flatnonzero((np.diff(self.group[one], prepend=-1) != 0) | (np.diff(needs, prepend=-1) != 0))
            better = np.minimum.reduceat(self._without(one, out), first, axis=0)
            gain = np.maximum(kept[self.group[one[first]]] - better, 0.0)
            begin = np.flatnonzero(np.diff(needs[first], prepend=-1))
            into = np.append(into, needs[first][begin])
            value = np.concatenate([value, value - np.add.reduceat(gain, begin, axis=0) + self.price[into[1:], None]])
        counts = [count + taken[:, None] - 1 * given for count, taken, given in zip(self._counts(on), (
            (into >= 0) & (into < self.days), into >= self.days), ((out >= 0) & (out < self.days), out >= self.days),
            strict=True)]
        return value + self._over(*counts), out, into

    def _without(self, ways: np.ndarray, out: np.ndarray) -> np.ndarray:
        """(n, R') what ways cost without each of some things, the last one nothing; infinity where they ask for it."""
        cost = np.repeat(self.cost[ways, None], len(out), axis=1)
        cost[:, :-1][self.asks[ways][:, out[:-1]]] = np.inf
        return cost

    def _counts(self, on: np.ndarray) -> tuple[int, int]:
        return int(on[:self.days].sum()), int(on[self.days:].sum())

    def _over(self, days: np.ndarray | int, cloths: np.ndarray | int) -> np.ndarray:
        """What so many days and cloths count beside their prices."""
        return OVER_DAY * np.maximum(days - self.most[0], 0) + OVER_CLOTH * np.maximum(cloths - self.most[1], 0)
