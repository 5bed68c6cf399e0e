"""The shopping list: what the steps use, added up, by the day it is first needed."""

from __future__ import annotations

import re
from collections.abc import Iterable

from seasonplan import wording as w
from seasonplan.data import table
from seasonplan.model import ShoppingItem, Step

UNITS = {"l": "L", "ml": "mL", "pots": "pots", "pair": "pair", "bottle": "bottle"}
NAMES = {"water": "water for leaching and washing", "wash_soap": "plain liquid soap for washing leaves",
         "gloves": "gloves", "labelled_soap": "insecticidal soap, labelled for house plants",
         "rubbing_alcohol": "rubbing alcohol and swabs", "plant_food": "liquid plant food"}
NOTES = {"water": "From the tap; not to buy. Rain water where tap water is hard.",
         "labelled_soap": "As much as its label asks for; no dose is worked out here.",
         "plant_food": "Half the label's rate."}


def shopping_list(steps: Iterable[Step], units: str) -> tuple[ShoppingItem, ...]:
    """One item per amount key of the steps, in order of need. Amounts are metric; pot sizes are named in `units`."""
    totals: dict[str, list[Step]] = {}
    amounts: dict[str, float] = {}
    for step in sorted(steps, key=lambda s: (s.date, s.uid)):
        for key, amount in step.amounts:
            totals.setdefault(key, []).append(step)
            amounts[key] = amounts.get(key, 0.0) + amount
    items = [_item(key, amounts[key], using, units) for key, using in totals.items()]
    return tuple(sorted(items, key=lambda item: (item.needed_by, item.item)))


def _item(key: str, amount: float, using: list[Step], units: str) -> ShoppingItem:
    name, unit, note = named(key, units)
    return ShoppingItem(name, amount, unit, using[0].date, tuple(step.uid for step in using), note)


def named(key: str, units: str) -> tuple[str, str, str]:
    """(item, unit, note) of an amount key: "mix_l" is potting mix in L, "pot_33_cm" a pot of that size."""
    pot = re.fullmatch(r"pot_(\d+)_cm", key)
    if pot:
        return f"pot of {w.length(float(pot[1]), units)}, with drain holes", "pots", ""
    cloth = re.fullmatch(r"cloth_(\d+)_m2", key)
    if cloth:
        return f"shade cloth that keeps off {cloth[1]} % of the light", "m²", ""
    stem, _, unit = key.rpartition("_")
    mixes = {row["mix"]: row["name"] for row in table("mixes")}
    return mixes.get(stem) or NAMES[stem], UNITS[unit], NOTES.get(stem, "")
