"""Every way that plants could go through a small garden, found without a search that leaves any out.

A way is enumerated step by step with what the package itself says that standing somewhere asks and costs (aim,
light_rule and the search's table of steps); nothing is merged, since a plant's way so far decides what it is ready for.
A way is given up only where its cost so far and the least that can still come (`least_to_come`: the same costs for a
plant that is ready for anything and has any number of stops left) pass a cost that is known to be reached.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from seasonplan.decisions.route.aim import Aim
from seasonplan.decisions.route.light_rule import light_rule
from seasonplan.decisions.route.past import INDOORS
from seasonplan.decisions.route.search import AT, COST, OUT, Ways, _Search

BLOCK = 20_000
"""So many ways go on together."""
NONE = 1e9


@dataclass(frozen=True, eq=False)
class Found:
    """Ways of one plant that came to an end. cost: (n,) without days of moving and kinds of cloth; days, kinds: (n,)
    bits of the days on which it moves and of the kinds of cloth; stands: (n, I) positions, INDOORS before and after."""

    cost: np.ndarray
    days: np.ndarray
    kinds: np.ndarray
    stands: np.ndarray


def every_way(aim: Aim, group: int, most: float, price_day: float, price_kind: float) -> Found:
    """Every way of a plant on paper whose cost with its own days of moving and kinds of cloth is at most `most`."""
    aim = aim.take(np.array([group]))
    steps = _Search(aim, np.zeros((1, len(aim.spans.days))))
    kinds = np.unique(aim.percent[aim.percent > 0])
    bit = np.where(aim.percent > 0, 1 << np.searchsorted(kinds, aim.percent), 0)
    ahead = {out: least_to_come(steps, out, price_day) for out in range(steps.steps)}
    start = steps.none()
    start = Ways(start.whole[:, :, -1:], start.real[:, :, -1:])
    stack = [(0, start, np.zeros(1, int), np.zeros(1, int), np.full((1, steps.steps), INDOORS))]
    found: list[tuple[np.ndarray, ...]] = []
    while stack:
        step, ways, days, used, stands = stack.pop()
        own = price_day * bits(days) + price_kind * bits(used)
        cost = steps.finished(ways, step)[0]
        done = cost + own + price_day <= most
        if done.any():
            found.append((cost[done], days[done] | 1 << step, used[done], stands[done]))
        if step == steps.steps:
            continue
        _enter(steps, ways, step)
        price, out = steps.options(ways, step)
        at = ways.whole[AT, 0]
        moves = at[:, None] != np.arange(steps.places)
        since = np.searchsorted(steps.days, out[0])
        to_come = np.stack([ahead[s][step + 1] for s in since.tolist()])
        new_used = used[:, None] | bit
        total = price[0] + price_day * (bits(days)[:, None] + moves) + price_kind * bits(new_used) + to_come
        way, to = np.nonzero(total <= most)
        stack += _blocks(steps, ways, step, price[0][way, to], out[0][way], way, to, (
            np.where(moves[way, to], days[way] | 1 << step, days[way]), new_used[way, to], stands[way]))
        waits = np.flatnonzero(at == steps.places)
        if waits.size and step + 1 < steps.steps:
            waiting = Ways(ways.whole[:, :, waits].copy(), ways.real[:, :, waits].copy())
            waiting.real[COST] += steps.indoor_price[:, step, None] * np.isfinite(waiting.real[COST])
            waiting.real[1:3] = steps.indoor[:, :, step + 1, None]
            stack.append((step + 1, waiting, days[waits], used[waits], stands[waits]))
    if not found:
        return Found(np.zeros(0), np.zeros(0, int), np.zeros(0, int), np.zeros((0, steps.steps), int))
    return Found(*(np.concatenate(parts) for parts in zip(*found, strict=True)))


def _enter(steps: _Search, ways: Ways, step: int) -> None:
    """Let the plant begin to decide on the first day of the list on which it may."""
    if steps.begin[0] == step:
        ways.real[COST, 0, -1], ways.real[1, 0, -1] = steps.entry_price[0], steps.indoor[0, 0, step]


def _blocks(steps: _Search, ways: Ways, step: int, cost: np.ndarray, out: np.ndarray, way: np.ndarray, to: np.ndarray,
            told: tuple[np.ndarray, ...]) -> list[tuple]:
    """The ways that go on through an interval, in blocks that fit into memory."""
    blocks = []
    for since in range(0, len(way), BLOCK):
        part = slice(since, since + BLOCK)
        whole, real = ways.whole[:, :, way[part]].copy(), ways.real[:, :, way[part]].copy()
        whole[OUT, 0], real[COST, 0] = out[part], cost[part]
        steps.arrive(whole, real, step, to[part][None])
        days, used, stands = (values[part].copy() for values in told)
        stands[:, step] = to[part]
        blocks.append((step + 1, Ways(whole, real), days, used, stands))
    return blocks


def least_to_come(steps: _Search, out: int, price_day: float) -> np.ndarray:
    """(I + 1, K) the least that can still come for a plant that went out on a day of the list and stands at a position,
    its own days of moving included: light it is not ready for and any number of stops are let pass."""
    aim = steps.aim
    onward = np.where(aim.allowed[0], aim.light[0], NONE)
    move = aim.move_prices()[0, :-1] + price_day * (aim.place[:, None] * 1000 + aim.percent[:, None]
                                                    != aim.place * 1000 + aim.percent)
    move[np.arange(steps.places), np.arange(steps.places)] = 0.0
    least = np.full((steps.steps + 1, steps.places), NONE)
    for step in range(steps.steps, -1, -1):
        if steps.may_end[0, step]:
            least[step] = _least_end(steps, step) + price_day + float(aim.leaving(
                int(steps.days[step]), steps.days[[out]])[0])
        if step < steps.steps:
            go_on = onward[step] + aim.dark(step, aim.spans.days[[out]])[0] + least[step + 1]
            least[step] = np.minimum(least[step], (move + go_on).min(axis=1))
    return least


def _least_end(steps: _Search, step: int) -> np.ndarray:
    """(K,) the least that coming in from each position can cost: used to nothing, and not come down from above."""
    here, nothing = np.arange(steps.places)[None], np.zeros((1, steps.places))
    return steps.aim.ending(step, here, nothing, nothing, nothing > 0)[0] + steps.end_price[0, step]


def bits(values: np.ndarray) -> np.ndarray:
    """How many bits of each whole number are set."""
    return np.array([int(value).bit_count() for value in values.ravel()]).reshape(values.shape)


def best_garden(ways: list[Found], weight: list[float], price_day: float, most_kinds: int,
                price_kind: float) -> float:
    """The least that a garden can cost: every plant goes one of its ways, each day on which anybody moves and each kind
    of cloth counts once."""
    known: dict[tuple[int, int], float] = {(0, 0): 0.0}
    for found, pots in zip(ways, weight, strict=True):
        own: dict[tuple[int, int], float] = {}
        for cost, days, kinds in zip(found.cost.tolist(), found.days.tolist(), found.kinds.tolist(), strict=True):
            own[days, kinds] = min(own.get((days, kinds), NONE), pots * cost)
        joint: dict[tuple[int, int], float] = {}
        for (days, kinds), cost in known.items():
            for (more, other), extra in own.items():
                both = days | more, kinds | other
                joint[both] = min(joint.get(both, NONE), cost + extra)
        known = joint
    return min((cost + price_day * days.bit_count() + price_kind * kinds.bit_count()
                for (days, kinds), cost in known.items() if kinds.bit_count() <= most_kinds), default=NONE)


def prices() -> tuple[float, float, int]:
    """Of a day of moving and of a kind of cloth, and how many kinds there may be."""
    rule = light_rule()
    return rule.price_day, rule.price_cloth_kind, int(rule.most_cloths)
