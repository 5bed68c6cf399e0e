"""Who gets which place when there is not room for all: everybody asks for its first choice, every place keeps those
who would lose most without it, and the others ask for their next choice, until nobody asks any more."""

from __future__ import annotations

from dataclasses import dataclass
from heapq import heapify, heappop, heappush

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
    held, claims, next_choices = given.tolist(), claim.tolist(), choices.tolist()
    pots, tie = wishes.pots.tolist(), wishes.tie.tolist()
    free = [*(room - wishes.pots @ given[:, :nowhere]).tolist(), 0]
    weakest: dict[int, list[tuple[float, int, int]]] = {}
    over = [place for place in range(nowhere) if free[place] < 0]
    while over:
        place = over.pop()
        if place not in weakest:
            weakest[place] = [(claims[row][place], -tie[row], row) for row, mine in enumerate(held) if mine[place]]
            heapify(weakest[place])
        queue = weakest[place]
        while free[place] < 0:
            row = queue[0][2]
            mine = held[row]
            away = min(mine[place], -(free[place] // pots[row]))
            mine[place] -= away
            free[place] += away * pots[row]
            if not mine[place]:
                heappop(queue)
            choice = next_choices[row]
            target = choice[choice.index(place) + 1]
            if target in weakest and not mine[target]:
                heappush(weakest[target], (claims[row][target], -tie[row], row))
            mine[target] += away
            if target != nowhere:
                free[target] -= away * pots[row]
                if free[target] < 0:
                    over.append(target)
    return np.array(held)
