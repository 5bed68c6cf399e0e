"""Where plants may stand on a move day, and which of these places suits them best.

A place is an option when no day until the plant can next be moved breaks the light rule or the place's span. Among
the options the brightest is preferred, unless the gain is too small or would not last; in the descent before moving
in, the brightest within the level of that day.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from seasonplan.decisions.acclimation import SLACK, Spell, descent_share, light_rule, spell
from seasonplan.decisions.route_prospect import ladder, prospects
from seasonplan.decisions.route_rows import INDOORS, Groups, Rows
from seasonplan.decisions.route_sharing import Wishes
from seasonplan.decisions.route_yard import HORIZON_DAYS, Yard

TIER = 1000.0
"""Distance of preference classes in a score [mol]: far above any daily light."""

NOWHERE = -10.0
"""What a plant that is out already has when it gets no place: far below any use, so that nobody can claim more."""


@dataclass(frozen=True, eq=False)
class Options:
    """Rows that may move on a day. rows: row numbers; here: the place each stands at (INDOORS: none yet).

    dli, sun_h: (rows, STEPPINGS) their states. may_move: (rows, places) light, span and pot count allow it there until
    it can be moved again. may_wait: (rows,) a place would take it, if not now then once it opens within the time that
    plants wait indoors. may_stay: (rows,) the same as may_move for where it stands, as it stands. lasts: (rows, places)
    nothing foreseeable ends it before it is worth a move for more light alone. bare: (rows,) shaded plants that can do
    without the cloth. light: (rows, places) mean light there [mol]; prospect: the light it leads to (route_prospect).
    level: (rows,) share of open light the descent allows, never less than indoors; 1 before it.
    """

    day: int
    rows: np.ndarray
    here: np.ndarray
    dli: np.ndarray
    sun_h: np.ndarray
    may_move: np.ndarray
    may_wait: np.ndarray
    may_stay: np.ndarray
    lasts: np.ndarray
    bare: np.ndarray
    light: np.ndarray
    prospect: np.ndarray
    level: np.ndarray

    @property
    def outdoors(self) -> np.ndarray:
        """(rows,) whether they are out already."""
        return self.here != INDOORS


def options(day: int, picked: np.ndarray, rows: Rows, groups: Groups, yard: Yard) -> Options:
    """What each of the picked rows may do on a day."""
    rule = light_rule()
    group, here, shade = rows.group[picked], rows.place[picked], rows.shade[picked]
    outdoors = here != INDOORS
    indoor_dli = yard.light.mean_dli[groups.indoor[group], day]
    dli = np.where(outdoors[:, None], rows.dli[picked], indoor_dli[:, None])
    sun_h = np.where(outdoors[:, None], rows.sun_h[picked], 0.0)
    plants = _Plants(dli, sun_h, groups.light_high[group], groups.sun_cap[group],
                     np.where(outdoors, rows.out[picked], day) + int(rule.first_days) - day)
    left = rows.end[picked] - day
    until_free = np.minimum(np.minimum(yard.next_free[day] - day, HORIZON_DAYS), left)
    until_move = np.minimum(np.minimum(yard.next_move[day] - day, HORIZON_DAYS), left)
    worth = int(rule.worth_days)
    ahead = _from_day(yard.spells, day)
    opens, closes = groups.opens[group], groups.closes[group]
    fits = plants.fit(ahead, until_free) & (groups.pots[group][:, None] <= yard.room)
    may_move = fits & (opens <= day) & (day + until_free[:, None] <= closes)
    waits_until = np.minimum(groups.leave[group] + rule.patience_days, rows.end[picked] - rule.least_stay_days)
    may_wait = (fits & (opens <= waits_until[:, None]) & (day < closes)).any(axis=1)
    soon = comes_in_soon(day, picked, rows, groups)
    if soon.any():
        may_move[soon] &= ~_too_late(day, picked[soon], rows, yard)
    bearable = plants.bear(yard.worth_mean_dli[:, day], yard.worth_full_sun_h[:, day]) & (day + worth <= closes)
    useful_days = left - groups.descent[group]
    lasts = may_move & bearable & (useful_days >= worth)[:, None]
    at = np.arange(len(picked)), np.maximum(here, 0)
    stays = outdoors & (opens[at] <= day) & (day + until_move <= closes[at])
    may_stay = stays & plants.fit(ahead, until_move)[at]
    shaded = np.flatnonzero(shade > 0)
    bare = np.zeros(len(picked), dtype=bool)
    if shaded.size:
        may_stay[shaded] = stays[shaded] & _fit_under_cloth(plants, shaded, here, shade, until_move, day, yard)
        bare[shaded] = lasts[at][shaded]
    light = np.broadcast_to(yard.mean_dli[:, day], may_move.shape).copy()
    covered = outdoors & (shade > 0) & ~bare
    light[at] = np.where(covered, light[at] * (1 - shade), light[at])
    last_chance = left - (yard.next_free[day] - day) < rule.min_stop_days
    level = np.maximum(descent_share(left, groups.descent[group], last_chance),
                       indoor_dli / max(float(yard.light.open_mean_dli[day]), 1e-6))
    soon_open = opens <= day + rule.step_days
    prospect = prospects(light, ladder(day, yard), bearable & soon_open, useful_days)
    return Options(day, picked, here, dli, sun_h, may_move, may_wait, may_stay, lasts, bare, light, prospect, level)


def comes_in_soon(day: int, picked: np.ndarray, rows: Rows, groups: Groups) -> np.ndarray:
    """(rows,) whether plants outdoors are in their last days, when a move to more light is not worth it."""
    left = rows.end[picked] - day
    return (rows.place[picked] >= 0) & (groups.descent[rows.group[picked]] > 0) & (left < light_rule().last_days)


def _too_late(day: int, picked: np.ndarray, rows: Rows, yard: Yard) -> np.ndarray:
    """(rows, places) moves that the last days forbid: to more light than the plant has, or for too short a stay."""
    rule = light_rule()
    now = yard.mean_dli[rows.place[picked], day] * (1 - rows.shade[picked])
    short = rows.end[picked] - day < rule.min_stop_days
    return short[:, None] | (yard.mean_dli[:, day] > now[:, None] * (1 + rule.little_gain))


def holds(day: int, days: int, row: int, rows: Rows, groups: Groups, yard: Yard) -> bool:
    """Whether a row that stands at a place breaks no limit there for so many days (its span apart)."""
    group, place = rows.group[[row]], rows.place[row]
    plants = _Plants(rows.dli[[row]], rows.sun_h[[row]], groups.light_high[group], groups.sun_cap[group],
                     rows.out[[row]] + int(light_rule().first_days) - day)
    return bool(plants.fit(_from_day(yard.spells, day), np.array([min(days, HORIZON_DAYS)]))[0, place])


@dataclass(frozen=True, eq=False)
class _Plants:
    """States and ceilings of the rows at hand; gentle_days: how many more days the first-days limit holds."""

    dli: np.ndarray
    sun_h: np.ndarray
    light_high: np.ndarray
    sun_cap: np.ndarray
    gentle_days: np.ndarray

    def fit(self, ahead: Spell, days: np.ndarray) -> np.ndarray:
        """(rows, places) whether `days` (rows,) days at the places of a spell (places, days + 1 ...) break no limit."""
        gentle = np.clip(self.gentle_days, 0, days)
        ready = (self.dli >= ahead.least_dli[:, days]).all(-1) & (self.sun_h >= ahead.least_sun_h[:, days]).all(-1)
        return ready.T & self.bear(ahead.top_mean_dli.T[days], ahead.top_full_sun_h.T[days]) \
            & (ahead.top_full_sun_h.T[gentle] <= light_rule().first_sun_h + SLACK)

    def bear(self, mean_dli: np.ndarray, full_sun_h: np.ndarray) -> np.ndarray:
        """(rows, places) whether the plants' own ceilings allow so much; light is (rows, places) or (places,)."""
        return (mean_dli <= self.light_high[:, None] + SLACK) & (full_sun_h <= self.sun_cap[:, None] + SLACK)

    def only(self, picked: np.ndarray) -> _Plants:
        """The same for some of the rows."""
        return _Plants(self.dli[picked], self.sun_h[picked], self.light_high[picked], self.sun_cap[picked],
                       self.gentle_days[picked])


def plants_of(choice: Options, picked: np.ndarray, rows: Rows, groups: Groups) -> _Plants:
    """The plants at some positions of `choice`, as they were on its day."""
    row = choice.rows[picked]
    group, out = rows.group[row], np.where(choice.outdoors[picked], rows.out[row], choice.day)
    return _Plants(choice.dli[picked], choice.sun_h[picked], groups.light_high[group], groups.sun_cap[group],
                   out + int(light_rule().first_days) - choice.day)


def _from_day(spells: Spell, day: int) -> Spell:
    """(places, days + 1) the spells that begin on one day."""
    return Spell(spells.least_dli[:, day], spells.least_sun_h[:, day], spells.gain_dli[:, day],
                 spells.gain_sun_h[:, day], spells.top_mean_dli[:, day], spells.top_full_sun_h[:, day])


def _fit_under_cloth(plants: _Plants, shaded: np.ndarray, here: np.ndarray, shade: np.ndarray, days: np.ndarray,
                     day: int, yard: Yard) -> np.ndarray:
    """(shaded rows,) whether each may stay where it stands under the cloth it has."""
    spots, own = np.unique(np.stack([here[shaded], shade[shaded]]), axis=1, return_inverse=True)
    through, place, most = (1 - spots[1])[:, None], spots[0].astype(int), int(days[shaded].max())
    ahead = spell(*(through * yard.days_ahead(day, values)[place, :most]
                    for values in (yard.clear_dli, yard.mean_dli, yard.full_sun_h)))
    return plants.only(shaded).fit(ahead, days[shaded])[np.arange(len(shaded)), own.ravel()]


def wishes(choice: Options, rows: Rows, groups: Groups, yard: Yard) -> Wishes:
    """What the rows want, for sharing out the room."""
    rule = light_rule()
    group = rows.group[choice.rows]
    at = np.arange(len(choice.rows)), np.maximum(choice.here, 0)
    stay = np.zeros(choice.may_move.shape, dtype=bool)
    stay[at] = choice.outdoors & (choice.may_stay | choice.bare)
    option = choice.may_move.copy()
    option[at] = np.where(choice.outdoors, stay[at], option[at])
    share = yard.share[:, choice.day] * choice.light / np.maximum(yard.mean_dli[:, choice.day], 1e-9)
    falling = choice.level < 1
    score = np.where(falling[:, None], _falling_score(choice, share, stay), _rising_score(choice, stay, groups, group,
                                                                                         rows.shade[choice.rows]))
    use = np.where(falling[:, None], np.minimum(choice.level[:, None] / np.maximum(share, 1e-9), 1.0),
                   _use(choice.prospect, groups.light_low[group], groups.light_high[group]))
    waited = np.where(choice.outdoors, 0, choice.day - groups.leave[group])
    indoors = np.minimum(choice.dli[:, 0] / np.maximum(groups.light_low[group], 1e-9), 1.0)
    without = np.where(choice.outdoors, NOWHERE, indoors)
    return Wishes(np.where(option, score, -np.inf), use, without, rule.patience_gain * waited, rule.keep_bonus * stay,
                  rows.size[choice.rows], groups.pots[group], rows.tie[choice.rows])


def _use(light: np.ndarray, low: np.ndarray, high: np.ndarray) -> np.ndarray:
    """(rows, places) what light is worth to a plant: the share of its need that is met, and a little for more."""
    met = np.minimum(light / np.maximum(low, 1e-9)[:, None], 1.0)
    return met + 0.1 * np.minimum(light / np.maximum(high, 1e-9)[:, None], 1.0)


def _rising_score(choice: Options, stay: np.ndarray, groups: Groups, group: np.ndarray,
                  shade: np.ndarray) -> np.ndarray:
    """The brightest prospect first, the brightest light of equals, but a place that promises hardly more, or not for
    long, comes behind staying. A plant under a cloth prefers any place that lasts without one, unless it would get
    clearly less light there than under the cloth, and less than it needs."""
    rule = light_rule()
    at = np.arange(len(choice.rows)), np.maximum(choice.here, 0)
    needy = choice.light[at] < groups.light_low[group]
    wanted = choice.prospect[at] * (1 + np.where(needy, rule.little_gain_needy, rule.little_gain))
    covered = (shade > 0) & ~choice.bare
    enough = np.minimum(groups.light_low[group], (1 - rule.little_gain) * choice.light[at])
    uncovered = covered[:, None] & (choice.light >= enough[:, None])
    better = choice.lasts & ((choice.prospect >= wanted[:, None]) | uncovered) & choice.outdoors[:, None]
    return choice.prospect + 0.001 * choice.light + TIER * np.where(stay, 1, np.where(better, 2, 0))


def _falling_score(choice: Options, share: np.ndarray, stay: np.ndarray) -> np.ndarray:
    """In the descent: within the day's level the place it has, else the brightest; beyond it the darkest. Either way
    only a real step down is worth a move."""
    kept = 1 - light_rule().little_gain
    now = choice.light[np.arange(len(choice.rows)), np.maximum(choice.here, 0)]
    real_step = (choice.light <= kept * now[:, None]) | ~choice.may_stay[:, None]
    within = (share <= choice.level[:, None] + SLACK) & (stay | real_step)
    beyond = -choice.light * np.where(stay, kept, 1)
    return np.where(within, choice.light + TIER * np.where(stay, 3, 2), beyond)
