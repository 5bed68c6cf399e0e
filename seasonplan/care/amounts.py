"""How much: what a pot holds, water to leach it, the next pot and the mix for it, wash water, and what it weighs wet.

Pot volumes are those of standard nursery pots (data/pots.csv), with the brim volume of a full-depth cone and of a
three-quarter ("azalea") pot as alternatives. Between the table's sizes they are interpolated in logarithms of diameter
and volume; beyond it they grow with the cube of the diameter as geometry does, joined to the table's last value.
No dose of a pesticide is computed anywhere: against pests only the product's label counts.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache
from math import pi
from typing import Literal

import numpy as np

from seasonplan.care.figures import figure, mentions, pot_figure
from seasonplan.data import table
from seasonplan.model import Plant
from seasonplan.units import CM_PER_INCH

Column = Literal["standard", "geometry", "azalea"]
NEARLY_CM = 0.5
"""A size this near to a limit counts as within it: nominal sizes are rounded. Our setting."""


@cache
def _pot_table(column: str) -> tuple[np.ndarray, np.ndarray]:
    """(diameters [cm], volumes [L]) of data/pots.csv as logarithms."""
    rows = table("pots")
    sizes = [float(row["nominal_in"]) * CM_PER_INCH for row in rows]
    return np.log(sizes), np.log([float(row[f"{column}_l"]) for row in rows])


@cache
def pot_volume_l(pot_cm: float, column: Column = "standard") -> float:
    """What a pot of this top diameter [cm] holds to the brim [L]."""
    if pot_cm <= 0:
        raise ValueError(f"a pot's diameter is above 0 cm, not {pot_cm}")
    sizes, volumes = _pot_table(column)
    size = np.log(pot_cm)
    inside = float(np.interp(size, sizes, volumes))
    beyond = 3.0 * (size - min(max(size, sizes[0]), sizes[-1]))
    return float(np.exp(inside + beyond))


def pot_cm_of(plant: Plant) -> float:
    """Top diameter of a plant's pot [cm]; data/pot_figures.csv's assumed size where the person gave none."""
    return plant.pot_cm if plant.pot_cm is not None else pot_figure("assumed_pot_cm")


def leach_l(pot_cm: float) -> float:
    """Water through one pot to leach it [L]: 2 x its volume (UNL-SALT)."""
    return figure("leach_pot_volumes") * pot_volume_l(pot_cm)


def head_space_cm(pot_cm: float) -> float:
    """Rim left free above the mix [cm]."""
    if pot_cm < pot_figure("head_small_below_cm"):
        return pot_figure("head_small_cm")
    return pot_figure("head_large_cm" if pot_cm >= pot_figure("head_large_from_cm") else "head_cm")


def filled_l(pot_cm: float) -> float:
    """Mix in a pot filled to its head space [L]: brim volume less a slice of the top."""
    slice_l = pi / 4 * pot_cm**2 * head_space_cm(pot_cm) / 1000
    return pot_volume_l(pot_cm) - slice_l


@cache
def next_pot_cm(pot_cm: float, units: str = "metric") -> float:
    """The next pot for a root-bound plant [cm]: of the sizes that shops sell the first that is 1 to 2 in wider, 2 to 3
    in from 10 in on; where none lies between, the first beyond, and past the largest pot 2 to 3 in more."""
    large = round(pot_cm / CM_PER_INCH) >= pot_figure("large_from_in")
    least = pot_cm + CM_PER_INCH * pot_figure("size_up_large_least_in" if large else "size_up_least_in")
    most = pot_cm + CM_PER_INCH * pot_figure("size_up_large_most_in" if large else "size_up_most_in")
    wide = [size for size in sold_pots_cm(units) if size >= least - NEARLY_CM]
    inside = [size for size in wide if size <= most + NEARLY_CM]
    return (inside or wide or [most])[0]


@cache
def sold_pots_cm(units: str) -> tuple[float, ...]:
    """Top diameters of pots as they are sold [cm], rising, see data/sold_pots.csv: by the inch where people measure
    so."""
    unit_cm = CM_PER_INCH if units == "imperial" else 1.0
    return tuple(float(row["size"]) * unit_cm for row in table("sold_pots") if row["units"] == units)


@cache
def mix_to_buy_l(pot_cm: float, units: str = "metric") -> float:
    """Fresh mix to move one plant into the next pot [L]: the next pot's filling less the root ball's."""
    return filled_l(next_pot_cm(pot_cm, units)) - filled_l(pot_cm)


@dataclass(frozen=True)
class Mix:
    """A kind of potting mix. key: stem of its amount key ("mix" -> "mix_l"); wet_kg_per_l: weight when watered."""

    key: str
    name: str
    wet_kg_per_l: float


@cache
def mix_for(group: str) -> Mix:
    """The mix for a group of the catalogue (orchid, succulent ...); the general one where none is named."""
    rows = table("mixes")
    row = next((r for r in rows if group in r["groups"].split()), rows[0])
    return Mix(row["mix"], row["name"], float(row["wet_kg_per_l"]))


def wash_water_l(pot_cm: float) -> float:
    """Water to wash the leaves of one plant [L], by the size of its pot."""
    return figure("wash_l_per_pot_cm") * pot_cm


def wash_soap_ml(water_l: float) -> float:
    """Soap in so much water for a cleaning wash [mL]: 0.5 %. Not a dose against pests."""
    return figure("wash_soap_ml_per_l") * water_l


def mix_weight_kg(pot_cm: float, wet_kg_per_l: float) -> float:
    """Weight of the wet mix alone in a pot full to the brim [kg]."""
    return wet_kg_per_l * pot_volume_l(pot_cm)


def empty_pot_kg(pot_cm: float, clay: bool) -> float:
    """Weight of the empty pot [kg]: plastic by its volume, clay by a power of its diameter through two points."""
    if not clay:
        return pot_figure("plastic_kg_per_l") * pot_volume_l(pot_cm)
    small, large = pot_figure("clay_kg_at_6_in"), pot_figure("clay_kg_at_12_in")
    return float(small * (pot_cm / (6 * CM_PER_INCH)) ** np.log2(large / small))


@cache
def wet_weight_kg(pot_cm: float, group: str = "foliage", clay: bool = False) -> float:
    """Weight of a watered pot with its plant [kg]: wet mix, pot and plant."""
    plant = pot_figure("plant_kg_per_l") * pot_volume_l(pot_cm)
    return mix_weight_kg(pot_cm, mix_for(group).wet_kg_per_l) + empty_pot_kg(pot_cm, clay) + plant


def plant_weight_kg(plant: Plant) -> float:
    """Weight of one watered pot of this plant [kg]; a pot is taken for clay where the plant's notes say so."""
    return wet_weight_kg(pot_cm_of(plant), plant.taxon.group, mentions(plant.notes, "clay"))
