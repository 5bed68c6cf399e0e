"""A shade cloth as a step: where a plant has too little light, and every brighter place is more than it is ready for.

Under the cloth it gets used to more; in a week or two it stands at the same place without it. A plant that stands under
a thick cloth gets a thinner one, until it needs none.
"""

from __future__ import annotations

import numpy as np

from seasonplan.decisions.acclimation import Spell, light_rule
from seasonplan.decisions.route_choice import Options, plants_of
from seasonplan.decisions.route_prospect import ready_from
from seasonplan.decisions.route_rows import Groups, Rows
from seasonplan.decisions.route_shade import CLOTHS_PERCENT, cloth_spells
from seasonplan.decisions.route_yard import HORIZON_DAYS, Yard

Step = tuple[int, int, int, float]
"""Position in the options, row, place, and the share of light that the cloth keeps off."""


def wanting(choice: Options, rows: Rows, groups: Groups) -> np.ndarray:
    """Positions in `choice` of plants that stayed as they were, under a cloth in less light than they need, or where
    neither the light nor what it leads to comes near that: not in their first patience_days outdoors, and long before
    they come in."""
    rule = light_rule()
    row, group = choice.rows, rows.group[choice.rows]
    stayed = choice.outdoors & (rows.place[row] == choice.here) & (rows.free_from[row] <= choice.day) \
        & (choice.day - rows.out[row] >= rule.patience_days)
    at = np.arange(len(row)), np.maximum(choice.here, 0)
    covered = rows.shade[row] > 0
    leads_to = np.where(covered, choice.light[at], choice.prospect[at])
    needed = np.where(covered, 1.0, rule.starved_share) * groups.light_low[group]
    useful_days = rows.end[row] - choice.day - groups.descent[group]
    return np.flatnonzero(stayed & (leads_to < needed) & (useful_days >= rule.step_days + rule.worth_days))


def cloth_steps(choice: Options, picked: np.ndarray, room: np.ndarray, rows: Rows, groups: Groups,
                yard: Yard) -> list[Step]:
    """The cloth step of each picked position of `choice` that has one, the neediest first; rows are split where a place
    has room for a part of them. Takes from `room`, (places,) free pots.

    Among the places that the plant could stand at without a cloth once it is used to the light under it, and its own
    place if it has a cloth there, the brightest; there the thinnest cloth that fits now and brings a real gain.
    """
    day, group = choice.day, rows.group[choice.rows[picked]]
    options = _fitting(choice, picked, rows, groups, yard)
    here = choice.light[picked, choice.here[picked]]
    steps = []
    for k in np.lexsort((rows.tie[choice.rows[picked]], here / groups.light_low[group])).tolist():
        n, row, pots = int(picked[k]), int(choice.rows[picked[k]]), int(groups.pots[group[k]])
        while row >= 0:
            own = np.arange(len(room)) == choice.here[n]
            reach = options[k].any(axis=0) & ((room >= pots) | own)
            if not reach.any():
                break
            place = int(np.argmax(np.where(reach, yard.mean_dli[:, day], -np.inf)))
            percent = CLOTHS_PERCENT[int(np.argmax(options[k][:, place]))]
            count = int(rows.size[row] if own[place] else min(rows.size[row], room[place] // pots))
            rest = rows.split(row, count) if count < rows.size[row] else -1
            room[place] -= 0 if own[place] else count * pots
            steps.append((n, row, place, percent / 100))
            row = rest
    return steps


def _fitting(choice: Options, picked: np.ndarray, rows: Rows, groups: Groups, yard: Yard) -> np.ndarray:
    """(picked, cloths, places) whether a plant may stand under a cloth until it can be moved again, gains by it, and is
    then ready for the place without it, or has but a thinner cloth than now."""
    rule, day = light_rule(), choice.day
    row = choice.rows[picked]
    group, end = rows.group[row], rows.end[row]
    through = (1 - np.array(CLOTHS_PERCENT) / 100)[:, None]
    light = through * yard.mean_dli[:, day]
    here = choice.light[picked, choice.here[picked]][:, None, None]
    days = np.minimum(np.minimum(yard.next_free[day], day + HORIZON_DAYS), end) - day
    opens, closes = groups.opens[group], groups.closes[group]
    lasting = (opens <= day) & (day + int(rule.step_days + rule.worth_days) <= closes)
    plants = plants_of(choice, picked, rows, groups)
    fits = plants.fit(_flat(cloth_spells(day, yard)), days).reshape(len(picked), *light.shape)
    gains = light >= here * (1 + rule.little_gain_needy)
    top_mean, top_sun = yard.worth_mean_dli[:, day], yard.worth_full_sun_h[:, day]
    leads_on = ready_from(light, through * yard.full_sun_h[:, day], yard.clear_dli[:, day], yard.full_sun_h[:, day]) \
        & plants.bear(top_mean, top_sun)[:, None, :]
    thinner = plants.bear((through * top_mean).ravel(), (through * top_sun).ravel()).reshape(fits.shape) \
        & ((np.arange(len(top_mean)) == choice.here[picked][:, None]) & (rows.shade[row] > 0)[:, None])[:, None, :]
    return fits & gains & (leads_on | thinner) & lasting[:, None, :]


def _flat(spells: Spell) -> Spell:
    """Spells (cloths, places, ...) as one axis of places."""
    return Spell(*(values.reshape(-1, *values.shape[2:]) for values in (
        spells.least_dli, spells.least_sun_h, spells.gain_dli, spells.gain_sun_h, spells.top_mean_dli,
        spells.top_full_sun_h)))
