"""A shade cloth as a step: where a plant has too little light, and every brighter place is more than it is ready for.

Under the cloth it gets used to more; in a week or two it stands at the same place without it.
"""

from __future__ import annotations

import numpy as np

from seasonplan.decisions.acclimation import Spell, light_rule
from seasonplan.decisions.route_choice import Options, plants_of
from seasonplan.decisions.route_prospect import ready_from
from seasonplan.decisions.route_rows import Groups, Rows
from seasonplan.decisions.route_shade import CLOTHS_PERCENT, cloth_spells
from seasonplan.decisions.route_yard import Yard

Step = tuple[int, int, int, float]
"""Position in the options, row, place, and the share of light that the cloth keeps off."""


def wanting(choice: Options, rows: Rows, groups: Groups) -> np.ndarray:
    """Positions in `choice` of plants that stayed where they were, without a cloth, where neither the light nor what it
    leads to comes near what they need: not in their first patience_days outdoors, and long before they come in."""
    rule = light_rule()
    row, group = choice.rows, rows.group[choice.rows]
    stayed = choice.outdoors & (rows.place[row] == choice.here) & (rows.free_from[row] <= choice.day) \
        & (choice.day - rows.out[row] >= rule.patience_days)
    leads_to = choice.prospect[np.arange(len(row)), np.maximum(choice.here, 0)]
    useful_days = rows.end[row] - choice.day - groups.descent[group]
    return np.flatnonzero(stayed & (rows.shade[row] == 0) & (leads_to < rule.starved_share * groups.light_low[group])
                          & (useful_days >= rule.step_days + rule.worth_days))


def cloth_steps(choice: Options, picked: np.ndarray, room: np.ndarray, rows: Rows, groups: Groups,
                yard: Yard) -> list[Step]:
    """The cloth step of each picked position of `choice` that has one, the neediest first; rows are split where a place
    has room for a part of them. Takes from `room`, (places,) free pots.

    Among the places that the plant could stand at without a cloth once it is used to the light under it, the brightest;
    there the thinnest cloth that fits now and brings a real gain.
    """
    day, group = choice.day, rows.group[choice.rows[picked]]
    options = _fitting(choice, picked, rows, groups, yard)
    here = choice.light[picked, choice.here[picked]]
    steps = []
    for k in np.lexsort((rows.tie[choice.rows[picked]], here / groups.light_low[group])).tolist():
        n, row, pots = int(picked[k]), int(choice.rows[picked[k]]), int(groups.pots[group[k]])
        while row >= 0:
            reach = options[k].any(axis=0) & (room >= pots)
            if not reach.any():
                break
            place = int(np.argmax(np.where(reach, yard.mean_dli[:, day], -np.inf)))
            percent = CLOTHS_PERCENT[int(np.argmax(options[k][:, place]))]
            count = int(min(rows.size[row], room[place] // pots))
            rest = rows.split(row, count) if count < rows.size[row] else -1
            room[place] -= count * pots
            steps.append((n, row, place, percent / 100))
            row = rest
    return steps


def _fitting(choice: Options, picked: np.ndarray, rows: Rows, groups: Groups, yard: Yard) -> np.ndarray:
    """(picked, cloths, places) whether a plant may stand under a cloth until it can be moved again, gains by it, and is
    then ready for the place without it."""
    rule, day = light_rule(), choice.day
    row = choice.rows[picked]
    group, end = rows.group[row], rows.end[row]
    through = (1 - np.array(CLOTHS_PERCENT) / 100)[:, None]
    light = through * yard.mean_dli[:, day]
    here = choice.light[picked, choice.here[picked]][:, None, None]
    days = np.minimum(yard.next_free[day], end) - day
    opens, closes = groups.opens[group], groups.closes[group]
    lasting = (opens <= day) & (day + int(rule.step_days + rule.worth_days) <= closes)
    plants = plants_of(choice, picked, rows, groups)
    bearable = plants.bear(yard.worth_mean_dli[:, day], yard.worth_full_sun_h[:, day])
    fits = plants.fit(_flat(cloth_spells(day, yard)), days).reshape(len(picked), *light.shape)
    ready = ready_from(light, through * yard.full_sun_h[:, day], yard.clear_dli[:, day], yard.full_sun_h[:, day])
    return fits & ready & (light >= here * (1 + rule.little_gain_needy)) & (lasting & bearable)[:, None, :]


def _flat(spells: Spell) -> Spell:
    """Spells (cloths, places, ...) as one axis of places."""
    return Spell(*(values.reshape(-1, *values.shape[2:]) for values in (
        spells.least_dli, spells.least_sun_h, spells.gain_dli, spells.gain_sun_h, spells.top_mean_dli,
        spells.top_full_sun_h)))
