"""Lifting a pot: the revised NIOSH lifting equation, and what it says about one person, two people or a dolly.

Source of every number here that is not called our setting: NIOSH, Applications Manual for the Revised NIOSH Lifting
Equation, DHHS (NIOSH) Publication No. 94-110. The equation holds for healthy adults, two hands, a load that does not
sway; it knows no lift by two people. The guideline defers to anyone's own doctor and to local rules at work.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache
from typing import Literal

from seasonplan import wording as w
from seasonplan.care.amounts import plant_weight_kg, pot_cm_of
from seasonplan.care.figures import pot_figure
from seasonplan.model import Plant

LOAD_CONSTANT_KG = 23.0
"""The most under the best conditions."""
H_LEAST_CM, H_MOST_CM = 25.0, 63.0
V_BEST_CM, V_MOST_CM = 75.0, 175.0
D_LEAST_CM, D_MOST_CM = 25.0, 175.0
A_MOST_DEG = 135.0
LOW_GRIP_CM = 25.0
"""Hands below this height reach around the load: H = 25 + W / 2, else 20 + W / 2, with W its width [cm]."""

GRIP_CM = 20.0
"""Height of the hands on a pot that stands on the ground, arms round it. Our setting."""
TRAVEL_CM = 60.0
"""From the ground to a table. Our setting."""
TWO_PEOPLE_INDEX = 2.0
"""Up to this lifting index two people share it, each with half the load; above it a dolly. Our setting: the equation
itself covers one person only."""

Grip = Literal["good", "fair", "poor"]


def horizontal_multiplier(h_cm: float) -> float:
    """HM = 25 / H, 1 up to 25 cm, 0 beyond 63 cm. H: hands in front of the ankles [cm]."""
    return 0.0 if h_cm > H_MOST_CM else H_LEAST_CM / max(h_cm, H_LEAST_CM)


def vertical_multiplier(v_cm: float) -> float:
    """VM = 1 - 0.003 |V - 75|, 0 above 175 cm. V: height of the hands at the start [cm]."""
    return 0.0 if v_cm > V_MOST_CM else 1 - 0.003 * abs(v_cm - V_BEST_CM)


def distance_multiplier(d_cm: float) -> float:
    """DM = 0.82 + 4.5 / D, 1 up to 25 cm, 0 beyond 175 cm. D: travel of the hands up or down [cm]."""
    return 0.0 if d_cm > D_MOST_CM else 0.82 + 4.5 / max(d_cm, D_LEAST_CM)


def asymmetry_multiplier(a_deg: float) -> float:
    """AM = 1 - 0.0032 A, 0 beyond 135 degrees. A: twist of the body [degrees]."""
    return 0.0 if a_deg > A_MOST_DEG else 1 - 0.0032 * a_deg


def coupling_multiplier(grip: Grip, v_cm: float) -> float:
    """CM: good 1.00; fair 0.95, 1.00 with the hands at 75 cm or higher; poor 0.90."""
    if grip == "fair":
        return 1.0 if v_cm >= V_BEST_CM else 0.95
    return {"good": 1.0, "poor": 0.90}[grip]


def weight_limit_kg(h_cm: float, v_cm: float, d_cm: float, grip: Grip, a_deg: float = 0.0,
                    frequency_multiplier: float = 1.0) -> float:
    """Recommended weight limit [kg] = 23 HM VM DM AM FM CM. FM is 1 for a lift every five minutes or fewer, up to an
    hour."""
    return (LOAD_CONSTANT_KG * horizontal_multiplier(h_cm) * vertical_multiplier(v_cm) * distance_multiplier(d_cm)
            * asymmetry_multiplier(a_deg) * frequency_multiplier * coupling_multiplier(grip, v_cm))


@dataclass(frozen=True)
class Lift:
    """How to lift one pot. how: "alone" | "two people" | "dolly"; index: weight / limit."""

    how: Literal["alone", "two people", "dolly"]
    weight_kg: float
    limit_kg: float

    @property
    def index(self) -> float:
        return self.weight_kg / self.limit_kg if self.limit_kg else float("inf")


@cache
def pot_lift(pot_cm: float, weight_kg: float) -> Lift:
    """A pot of this diameter and weight, lifted from the ground to a table with the arms round it."""
    reach = pot_cm / 2 + (25.0 if GRIP_CM < LOW_GRIP_CM else 20.0)
    limit = weight_limit_kg(reach, GRIP_CM, TRAVEL_CM, "poor")
    if weight_kg <= limit:
        return Lift("alone", weight_kg, limit)
    shared = weight_kg <= TWO_PEOPLE_INDEX * limit and pot_cm < pot_figure("tall_from_cm")
    return Lift("two people" if shared else "dolly", weight_kg, limit)


def lift_note(plant: Plant, units: str) -> str:
    """"about 30 kg wet, one person's limit from the ground 9 kg: a dolly"."""
    lift = lift_of(plant)
    who = {"alone": "one person", "two people": "two people or a dolly", "dolly": "a dolly"}[lift.how]
    return (f"about {w.weight(lift.weight_kg, units)} wet, one person's limit from the ground "
            f"{w.weight(lift.limit_kg, units)}: {who}")


def lift_of(plant: Plant) -> Lift:
    """How to lift one watered pot of this plant."""
    return pot_lift(pot_cm_of(plant), plant_weight_kg(plant))
