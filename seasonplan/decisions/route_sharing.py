"""Who gets which place when there is not room for all: everybody asks for its first choice, every place keeps those
who would lose most without it, and the others ask for their next choice, until nobody asks any more."""

from __future__ import annotations

from dataclasses import dataclass
from heapq import heappop, heappush
from typing import NamedTuple

import numpy as np


@dataclass(frozen=True, eq=False)
class Wishes:
    """What rows of like plants want. score: (rows, places) order of preference, -inf where a place is no option.
    use: (rows, places) what the plant has of a place; without: (rows,) what it has when it gets none. claim: (rows,)
    and bonus: (rows, places) added to its claim. size, pots: (rows,) plants in the row, pots of each. tie: (rows,)
    settles equal claims, lowest first."""

    score: np.ndarray
    use: np.ndarray
    without: np.ndarray
    claim: np.ndarray
    bonus: np.ndarray
    size: np.ndarray
    pots: np.ndarray
    tie: np.ndarray


@dataclass(frozen=True, eq=False)
class Shares:
    """order: (rows, places) places by preference; given: (rows, places) plants of each row that got each place; left:
    (rows,) plants that got none."""

    order: np.ndarray
    given: np.ndarray
    left: np.ndarray


def share_out(wishes: Wishes, room: np.ndarray) -> Shares:
    """Deferred acceptance over rows of plants. room: (places,) free pots.

    A plant's claim on a place is what it would lose by its next choice instead. No place gets more pots than its room;
    a plant's pots stay together. Plants of one pot each never miss a place that holds one with a weaker claim.
    """
    count = len(room)
    score = np.where(wishes.pots[:, None] <= room, wishes.score, -np.inf)
    order = np.argsort(-score, axis=1, kind="stable")
    option = np.take_along_axis(score > -np.inf, order, axis=1)
    choices = np.column_stack([np.where(option, order, count), np.full(len(order), count)])
    given = np.zeros((len(order), count + 1), dtype=int)
    given[np.arange(len(order)), choices[:, 0]] = wishes.size
    if (wishes.pots @ given[:, :count] > room).any():
        given = _settled(given, choices, _claims(wishes, order, option), wishes, room)
    return Shares(order, given[:, :count], given[:, count])


def _claims(wishes: Wishes, order: np.ndarray, option: np.ndarray) -> np.ndarray:
    """(rows, places) how much each place matters: its use over the next choice's, rounded so that equals are equal."""
    use = np.where(option, np.take_along_axis(wishes.use, order, axis=1), wishes.without[:, None])
    lost = np.column_stack([use[:, 1:], wishes.without])
    claim = np.empty_like(use)
    np.put_along_axis(claim, order, use - lost, axis=1)
    return np.round(claim + wishes.bonus + wishes.claim[:, None], 9)


def _settled(given: np.ndarray, choices: np.ndarray, claim: np.ndarray, wishes: Wishes, room: np.ndarray) -> np.ndarray:
    """(rows, places + none) plants per place once every overfull place has sent away its weakest claims.

    given: first choices. choices: (rows, choices + 1) places by preference, the number of places for "none".
    """
    nowhere = len(room)
    after = np.full(given.shape, nowhere)
    np.put_along_axis(after, choices[:, :-1], choices[:, 1:], axis=1)
    held, following, pots = given.T.tolist(), after.T.tolist(), wishes.pots.tolist()
    free = (room - wishes.pots @ given[:, :nowhere]).tolist()
    queues: dict[int, _Queue] = {}
    over = [place for place in range(nowhere) if free[place] < 0]
    while over:
        place = over.pop()
        here, onward, short = held[place], following[place], -free[place]
        if place not in queues:
            queues[place] = _queue(claim[:, place], wishes.tie, here)
        row_of, _, weakest = queues[place]
        while short > 0:
            row = row_of[weakest[0]]
            away = min(here[row], -(-short // pots[row]))
            here[row] -= away
            short -= away * pots[row]
            if not here[row]:
                heappop(weakest)
            target = onward[row]
            if target in queues and not held[target][row]:
                heappush(queues[target].weakest, queues[target].rank[row])
            held[target][row] += away
            if target != nowhere:
                free[target] -= away * pots[row]
                if free[target] < 0:
                    over.append(target)
        free[place] = -short
    return np.array(held).T


class _Queue(NamedTuple):
    """The rows of a place, weakest claim first and of equal claims the last in name: row by rank, rank by row, and a
    heap of the ranks that it holds."""

    row_of: list[int]
    rank: list[int]
    weakest: list[int]


def _queue(claim: np.ndarray, tie: np.ndarray, held: list[int]) -> _Queue:
    order = np.lexsort((-tie, claim))
    rank = np.empty(len(order), dtype=int)
    rank[order] = np.arange(len(order))
    return _Queue(order.tolist(), rank.tolist(), np.flatnonzero(np.array(held)[order]).tolist())
