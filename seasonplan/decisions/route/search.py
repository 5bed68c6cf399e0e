"""The best routes of all groups at once: a search forward over the days of moving that keeps the most promising ways.

A way is where a plant stands, what light it is used to and what it has cost so far. On every day of the list each way
may stay, go to any position that its plant is ready for, or come in; of the ways that end at one position
three are kept: that which costs least with what is still to come (`ahead`), the cheapest so far, and that which is used
to most light, since it may go on to where the others may not; and of all these the `WIDTH` that promise most.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from seasonplan.decisions.route.aim import Aim, beyond
from seasonplan.decisions.route.light_rule import SLACK, light_rule
from seasonplan.decisions.route.past import INDOORS

WIDTH = 16
LAYERS = 4
"""What is still to come is told for 0, 1, 2, and any number of further stops."""
END_DAYS = 60
"""A way that comes in more than so many days early is not looked for ahead."""
DOWN_MARGIN = 1.05
"""What a plant is used to is known from below (see light_rule.STEPPINGS); its true value is at most this much
higher."""
AT, STOPS, CAME, OUT, CLOTH = range(5)
"""Whole numbers of a way: its position (one past the last: indoors), stays so far, day it came there, day it went out,
and its history of cloths."""
COST, DLI, SUN, RATIO, DOWN = range(5)
"""Other numbers of a way: cost, what it is used to, light over the room's on arrival, and whether it came from more."""
BARE, COVERED, UNCOVERED = range(3)
"""Histories of cloths: none yet, under one, without one again."""


@dataclass(frozen=True, eq=False)
class Routes:
    """stands: (G, I) position of each group in each interval, INDOORS before and after. cost: (G,) infinity where no
    route exists. until: (G,) index of the day on which it comes in. ahead: (LAYERS, G, I + 1, K) what was thought to
    come."""

    stands: np.ndarray
    cost: np.ndarray
    until: np.ndarray
    ahead: np.ndarray


@dataclass(eq=False)
class Ways:
    """whole: (5, G, B) and real: (5, G, B) numbers of each group's ways, the last of which waits indoors; its cost is
    infinity where there is none."""

    whole: np.ndarray
    real: np.ndarray


def search(aim: Aim, day_price: np.ndarray | None = None, ahead: np.ndarray | None = None) -> Routes:
    """The best route of every group. day_price: (G or 1, I + 1) of moving on each day of the list, none when it is not
    given; ahead: as Routes tell it of a search that was much like this."""
    price = np.zeros((1, len(aim.spans.days))) if day_price is None else day_price
    found = many(aim, price, np.zeros((1, len(aim.place))), 1, ahead)
    return Routes(found.stands[:, 0], found.cost[:, 0], found.until[:, 0], found.ahead)


def many(aim: Aim, day_price: np.ndarray, entry_price: np.ndarray, most: int, ahead: np.ndarray | None = None,
         width: int = WIDTH) -> Routes:
    """The `most` best routes of every group, each a row more of Routes' arrays: (G, M, I), (G, M), (G, M). day_price:
    (G or 1, I + 1) of moving on each day of the list; entry_price: (G or 1, K) of going to each position, beside the
    others; width: ways kept."""
    found = _Search(aim, np.broadcast_to(day_price, (len(aim.groups), len(aim.spans.days))), width)
    found.move += entry_price[:, None, :]
    return found.run(found.ahead() if ahead is None else ahead, most)


class _Search:
    """The tables that every step uses, and the steps."""

    def __init__(self, aim: Aim, day_price: np.ndarray, width: int = WIDTH):
        self.width = width
        rule, groups, spans = light_rule(), aim.groups, aim.spans
        self.aim, self.days = aim, spans.days
        self.price = np.where(self.may_move(), day_price, np.inf)
        self.count, self.steps, self.places = aim.light.shape
        self.rows = np.arange(self.count)[:, None]
        self.need = np.where(aim.allowed, spans.need_dli, np.inf)
        self.need_first = np.where(aim.gentle, self.need, np.inf)
        self.least, self.most = spans.first_dli / rule.jump_ratio, spans.first_dli * rule.jump_ratio / DOWN_MARGIN
        self.move = aim.move_prices()
        self.begin = np.searchsorted(spans.days[:-1], [
            int(leave) if past is None or past.ended else past.free for leave, past in
            zip(groups.leave.tolist(), groups.past, strict=True)])
        self.let_stay()
        self.may_end = (spans.days <= groups.back[:, None]) & (groups.ends[:, None] | (
            spans.days >= len(aim.garden.dates))) & (spans.days >= np.minimum(groups.not_before, groups.back)[:, None])
        self.end_price = np.where(groups.ends[:, None], self.price + aim.lost(groups.back[:, None] - self.days), 0.0)
        self.indoor = self.indoor_states()
        lost = aim.lost(np.minimum(self.days, groups.back[:, None]) - groups.leave[:, None])
        self.indoor_price = np.diff(lost, axis=1)
        self.entry_price = lost[self.rows[:, 0], np.minimum(self.begin, self.steps)]
        self.least_season = np.minimum(rule.least_season_days, groups.back - groups.leave)

    def run(self, ahead: np.ndarray, most: int = 1) -> Routes:
        """Forward over the days, then back along the best ways."""
        ways, width = self.none(), self.width + 1
        before, at, finished = [], [], []
        for step in range(self.steps + 1):
            finished.append(self.finished(ways, step))
            if step < self.steps:
                self.enter(ways, step)
                ways, source = self.step(ways, step, ahead[:, :, step + 1])
                before.append(source)
                at.append(ways.whole[AT])
        costs = np.concatenate(finished, axis=1)
        ended = np.argsort(costs, axis=1, kind="stable")[:, :most]
        until, way = np.divmod(ended, width)
        return Routes(self.trace(before, at, until, way), np.take_along_axis(costs, ended, axis=1), until, ahead)

    def indoor_states(self) -> np.ndarray:
        """(2, G, I + 1) what plants indoors are used to: on paper the light of their room, else what the log brought
        about."""
        states = np.stack([self.aim.room, np.zeros(self.aim.room.shape)])
        for group, past in enumerate(self.aim.groups.past):
            if past is not None and past.here.place == INDOORS:
                days = np.minimum(self.days, len(past.dli) - 1)
                states[:, group] = past.dli[days].min(axis=1), past.sun_h[days].min(axis=1)
        return states

    def may_move(self) -> np.ndarray:
        """(G, I + 1) whether each day is one on which the person moves pots, or one on which the plant has to move."""
        usual = np.append(self.aim.garden.move_day, True)[np.minimum(self.days, len(self.aim.garden.dates))]
        urgent = [past.free if past is not None and past.urgent else -1 for past in self.aim.groups.past]
        return usual | (self.days == np.array(urgent, dtype=int)[:, None])

    def let_stay(self) -> None:
        """Let plants that are outdoors, and are free to move only after all days of moving but the last, stand where
        they are through the interval before it, so that they can come in then."""
        for group in np.flatnonzero(self.begin == self.steps).tolist():
            past = self.aim.groups.past[group]
            if past is not None and not past.ended and past.here.place != INDOORS and self.days[-1] > past.free:
                self.begin[group] = self.steps - 1
                self.price[group, self.steps - 1] = np.inf

    def none(self) -> Ways:
        """No ways at all."""
        ways = Ways(np.zeros((5, self.count, self.width + 1), dtype=int), np.zeros((5, self.count, self.width + 1)))
        ways.real[COST], ways.whole[AT], ways.whole[OUT] = np.inf, self.places, -1
        return ways

    def trace(self, before: list[np.ndarray], at: list[np.ndarray], until: np.ndarray, way: np.ndarray) -> np.ndarray:
        """(G, M, I) positions along the best ways, followed from their ends."""
        stands = np.full((*way.shape, self.steps), INDOORS)
        for step in range(self.steps - 1, -1, -1):
            on = (step < until) & (step >= self.begin[:, None])
            place = at[step][self.rows, way]
            stands[:, :, step] = np.where(on & (place < self.places), place, INDOORS)
            way = np.where(on, before[step][self.rows, way], way)
        return stands

    def enter(self, ways: Ways, step: int) -> None:
        """Let the groups begin that decide for the first time on this day."""
        for group in np.flatnonzero(self.begin == step).tolist():
            past, slot, whole, real = self.aim.groups.past[group], self.width, ways.whole[:, group], ways.real[:, group]
            if past is None:
                real[COST, slot], real[DLI, slot] = self.entry_price[group], self.indoor[0, group, step]
                continue
            here, day = past.here, min(int(self.days[step]), len(past.dli) - 1)
            if here.place != INDOORS:
                slot = 0
                whole[AT, slot] = self.aim.position(here.place, here.percent)
                whole[CLOTH, slot] = COVERED if here.percent else \
                    UNCOVERED if any(stay.percent for stay in past.stays) else BARE
            whole[STOPS, slot] = min(len(past.outdoors), int(light_rule().most_stops) - 2)
            whole[CAME, slot] = here.day - (int(light_rule().least_stay_days) if past.urgent else 0)
            whole[OUT, slot] = past.out
            real[COST, slot], real[DLI, slot], real[SUN, slot] = 0.0, past.dli[day].min(), past.sun_h[day].min()

    def finished(self, ways: Ways, step: int) -> np.ndarray:
        """(G, B) what each way has cost in all if it comes in on this day of the list; infinity where it may not."""
        may = self.may_end[:, step, None] & (ways.whole[AT] < self.places)
        if not (may & np.isfinite(ways.real[COST])).any():
            return np.full(may.shape, np.inf)
        may &= self.long_enough(ways, step)
        price = self.aim.ending(step, np.minimum(ways.whole[AT], self.places - 1), ways.real[DLI], ways.real[RATIO],
                                ways.real[DOWN] > 0)
        price += self.aim.leaving(int(self.days[step]), ways.whole[OUT])
        return np.where(may, ways.real[COST] + price + self.end_price[:, step, None], np.inf)

    def long_enough(self, ways: Ways, step: int) -> np.ndarray:
        """(G, B) whether each way may leave its place on a day: the shortest stay is over."""
        rule, day = light_rule(), int(self.days[step])
        stayed = day - ways.whole[CAME]
        return (stayed >= rule.least_stay_days) | \
            (stayed >= rule.least_first_stay_days) & (day - ways.whole[OUT] <= rule.first_weeks_days)

    def step(self, ways: Ways, step: int, ahead: np.ndarray) -> tuple[Ways, np.ndarray]:
        """The ways through the next interval, the best WIDTH and the one that waits, and which way each came from."""
        price, out = self.options(ways, step)
        each = np.arange(self.places)
        left = int(light_rule().most_stops) - ways.whole[STOPS]
        layer = np.clip(left[..., None] - (ways.whole[AT][..., None] != each), 0, LAYERS - 1)
        promise = price + ahead[layer, self.rows[..., None], each]
        used = np.where(np.isfinite(promise), -ways.real[DLI][..., None], np.inf)
        sources = promise.argmin(axis=1), price.argmin(axis=1), used.argmin(axis=1)
        costs = [price[self.rows, source, each] for source in sources]
        promises = [promise[self.rows, source, each] for source in sources]
        promises[1] = np.where(sources[0] == sources[1], np.inf, promises[1])
        promises[2] = np.where((sources[0] == sources[2]) | (sources[1] == sources[2]), np.inf, promises[2])
        cost, source = np.concatenate(costs, axis=1), np.concatenate(sources, axis=1)
        order = np.argsort(np.concatenate(promises, axis=1), axis=1, kind="stable")[:, :self.width]
        if order.shape[1] < self.width:
            order = order[:, np.minimum(np.arange(self.width), order.shape[1] - 1)]
        came_from = source[self.rows, order]
        found = self.none()
        whole, real = found.whole[:, :, :-1], found.real[:, :, :-1]
        whole[:], real[:] = ways.whole[:, self.rows, came_from], ways.real[:, self.rows, came_from]
        whole[OUT], real[COST] = out[self.rows, came_from], cost[self.rows, order]
        self.arrive(whole, real, step, order % self.places)
        self.wait(ways, found, step)
        return found, np.concatenate([came_from, np.full((self.count, 1), self.width)], axis=1)

    def options(self, ways: Ways, step: int) -> tuple[np.ndarray, np.ndarray]:
        """(G, B, K) cost of each way once it has stood at each position through the interval, infinity where it may
        not; and (G, B) the day on which each went out."""
        rule, aim, groups, day = light_rule(), self.aim, self.aim.groups, int(self.days[step])
        at, cost = ways.whole[AT], ways.real[COST]
        inside = at == self.places
        fresh = inside & ((ways.whole[OUT] < 0) | (day - ways.whole[CAME] > rule.hardened_days))
        out = np.where(fresh, day, ways.whole[OUT])
        used, sun = ways.real[DLI][..., None], ways.real[SUN][..., None]
        need = np.where((day - out < rule.first_days)[..., None], self.need_first[:, step, None],
                        self.need[:, step, None])
        ready = (used >= need) & (sun >= aim.spans.need_sun_h[step])
        in_time = (day >= groups.leave) & (groups.back - day >= self.least_season)
        free = np.where(inside, in_time[:, None], self.long_enough(ways, step)) & (ways.whole[STOPS] < rule.most_stops)
        free &= (groups.back - day >= rule.least_stay_days)[:, None]
        may = ready & free[..., None] & (used >= self.least[step]) & (used <= self.most[step])
        move = self.move[self.rows, at] + (cost + self.price[:, step, None])[..., None]
        down = groups.ends & (groups.back - day <= rule.cover_again_days)
        may &= ~(((ways.whole[CLOTH] == UNCOVERED) & ~down[:, None])[..., None] & (aim.percent > 0))
        if aim.slow[:, step].any():     # the descent never goes up again, though a low sun may reach into its room
            first = np.append(aim.spans.first_dli[step], np.inf)
            up = aim.slow[:, step, None, None] & (first[:-1] > first[at][..., None] + SLACK)
            move = move + rule.price_broken * up
        price = np.where(may, move, np.inf)
        here = np.minimum(at, self.places - 1)
        ways_at = np.arange(at.shape[1])
        stay = np.where(~inside & ready[self.rows, ways_at, here], cost, np.inf)
        price[self.rows, ways_at, here] = np.where(inside, price[self.rows, ways_at, here], stay)
        price += aim.light[:, step, None]
        return price + aim.dark(step, out), out

    def arrive(self, whole: np.ndarray, real: np.ndarray, step: int, position: np.ndarray) -> None:
        """Let ways (G, B) stand at positions through an interval, in place."""
        spans, old = self.aim.spans, whole[AT]
        moved = old != position
        first = spans.first_dli[step]
        down = (old < self.places) & (first[position] < first[np.minimum(old, self.places - 1)])
        real[RATIO] = np.where(moved, first[position] / self.aim.room[:, step, None], real[RATIO])
        real[DOWN] = np.where(moved, down, real[DOWN])
        real[DLI], real[SUN] = spans.after(step, position, real[DLI], real[SUN])
        bare = np.where(whole[CLOTH] == BARE, BARE, UNCOVERED)
        whole[CLOTH] = np.where(self.aim.percent[position] > 0, COVERED, bare)
        whole[CAME] = np.where(moved, int(self.days[step]), whole[CAME])
        whole[STOPS] += moved
        whole[AT] = position

    def wait(self, ways: Ways, nxt: Ways, step: int) -> None:
        """Let the last way wait indoors."""
        nxt.whole[:, :, -1], nxt.real[:, :, -1] = ways.whole[:, :, -1], ways.real[:, :, -1]
        nxt.real[COST, :, -1] += self.indoor_price[:, step]
        nxt.real[[DLI, SUN], :, -1] = self.indoor[:, :, step + 1]

    def ahead(self) -> np.ndarray:
        """(LAYERS, G, I + 1, K) about the least that is still to come for a plant that stands at a position before
        each day of the list and has so many stops left, if it is settled there whenever it goes on."""
        rule, aim, groups, spans = light_rule(), self.aim, self.aim.groups, self.aim.spans
        dark = np.stack([aim.dark(step, groups.leave) for step in range(self.steps)], axis=1)
        onward = np.where(aim.allowed, aim.light + dark, np.inf)
        cheapest = np.minimum(groups.price_move, rule.price_cloth_change)[:, None] + self.price
        first = spans.first_dli
        leads = (first[:, :, None] >= spans.need_dli[:, None]) & (spans.first_sun_h[:, :, None] >= spans.need_sun_h[
            :, None]) & (first[:, None] <= rule.jump_ratio * first[:, :, None] + SLACK) & (
            first[:, :, None] <= rule.jump_ratio * first[:, None] + SLACK)
        blocked = np.where(leads, np.float32(0.0), np.float32(np.inf))
        ahead = np.full((LAYERS, self.count, self.steps + 1, self.places), np.inf)
        end, onwards = ahead[0, :, 0].copy(), ahead[:, :, 0].copy()
        here = np.broadcast_to(np.arange(self.places), (self.count, self.places))
        nothing = np.zeros(here.shape, dtype=bool)
        pairs = np.empty((LAYERS - 1, self.count, self.places, self.places), dtype=np.float32)
        for step in range(self.steps, -1, -1):
            if step < self.steps:
                go = onward[:, step] + onwards
                there = np.add(go[[0, 1, LAYERS - 1], :, None, :], blocked[step], out=pairs, casting="same_kind").min(
                    axis=3)
                onwards = np.minimum(go, onward[:, step] + end)
                soon = np.flatnonzero(np.isfinite(end).any(axis=1) & (groups.back - self.days[step] < END_DAYS))
                if soon.size:
                    last = (onward[soon, step] + end[soon])[:, None, :] + self.hasty(step, soon) + blocked[step]
                    there[:, soon] = np.minimum(there[:, soon], last.min(axis=2))
                onwards[1:] = np.minimum(onwards[1:], there + cheapest[:, step, None])
            end = np.full(here.shape, np.inf)
            if self.may_end[:, step].any():
                settled = np.broadcast_to(spans.last_dli[max(step - 1, 0)], here.shape)
                end = aim.ending(step, here, settled, settled / aim.room[:, step, None], nothing)
                end += aim.leaving(int(self.days[step]), groups.leave)[:, None]
                end = np.where(self.may_end[:, step, None], end + self.end_price[:, step, None], np.inf)
            ahead[:, :, step] = np.minimum(end, onwards)
        return ahead

    def hasty(self, step: int, groups: np.ndarray) -> np.ndarray:
        """(n, K, K) price of coming in after one interval at the second position, from the first: still used to too
        much. groups: (n,) whose it is."""
        rule, spans = light_rule(), self.aim.spans
        used = spans.kept_dli[0, step] * spans.first_dli[step][:, None] + spans.gain_dli[0, step]
        rooms, which = np.unique(self.aim.room[groups, step + 1], return_inverse=True)
        return beyond(used / (rule.jump_ratio * rooms[:, None, None]), rule.price_hasty)[which]
