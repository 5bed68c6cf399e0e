"""What to do for plants in danger at one place on one night: carry in, move to a warmer place, or cover."""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Protocol

from seasonplan.model import Place, Plant
from seasonplan.weather.skill import cover_credit_c
from seasonplan.wording import counted, listed, temperature_span

ACT_CHANCE = 0.20
"""Chance of a harmful night from which to act: carrying a pot in costs a few minutes, a marked plant a season, so one
needless rescue in five or fewer is cheap. Our setting."""
WATCH_CHANCE = 0.10
"""Chance from which a night is worth another look the day after. Our setting."""

HEAVY_POT_CM = 30.0
"""A wet pot of this width (about 11 kg of mix alone) is beyond one person's lift from the ground by the revised NIOSH
lifting equation (DHHS (NIOSH) 94-110)."""


class Nightly(Protocol):
    """The lows of one night, as seen at the plants."""

    @property
    def wind_m_s(self) -> float | None:
        """Mean wind, None where it is not told."""

    def low_c(self, place: Place) -> float:
        """The low to be expected at a place [°C]."""

    def chance(self, place: Place, threshold_c: float) -> float:
        """Chance of a low at or below a threshold at a place."""


@dataclass(frozen=True)
class Rescue:
    """kind: "in" | "move" | "cover" | "none"; to: the place to carry to, "" when none; cover_c: what the cover must be
    worth [°C]; full: the place named has no room by the person's own count."""

    plant: Plant
    kind: str
    to: str = ""
    cover_c: float = 0.0
    full: bool = False


def in_danger(night: Nightly, place: Place, plant: Plant) -> str:
    """"act", "keep-watch" or "" for a plant at a place: by the low to be expected and by its chance."""
    chance = night.chance(place, plant.harm_c)
    if night.low_c(place) <= plant.harm_c or chance >= ACT_CHANCE:
        return "act"
    return "keep-watch" if chance >= WATCH_CHANCE else ""


def rescues(night: Nightly, here: Place, plants: Sequence[Plant], places: Sequence[Place],
            pots: Counter[str]) -> list[Rescue]:
    """What to do for each plant, the most tender first to find room. `pots` is brought up to date with every move."""
    found = {}
    for plant in sorted(plants, key=lambda plant: -plant.harm_c):
        found[plant.name] = rescue = _rescue(night, here, plant, places, pots)
        if rescue.to:
            pots[here.name] -= plant.count
            pots[rescue.to] += plant.count
    return [found[plant.name] for plant in plants]


def _rescue(night: Nightly, here: Place, plant: Plant, places: Sequence[Place], pots: Counter[str]) -> Rescue:
    roomy = [p for p in places if p.name != here.name and has_room(p, plant, pots)]
    safe = [p for p in roomy if p.outdoors and not in_danger(night, p, plant)]
    if safe:
        return Rescue(plant, "move", min(safe, key=lambda p: night.chance(p, plant.harm_c)).name)
    indoors = sorted((p for p in roomy if not p.outdoors), key=lambda p: p.name != plant.place)
    if indoors:
        return Rescue(plant, "in", indoors[0].name)
    cover_c = cover_needed_c(night, here, plant)
    if cover_c is not None:
        return Rescue(plant, "cover", cover_c=cover_c)
    return Rescue(plant, "in", plant.place, full=True)


def has_room(place: Place, plant: Plant, pots: Mapping[str, int]) -> bool:
    """Whether a plant's pots still fit a place."""
    return place.room_for is None or pots[place.name] + plant.count <= place.room_for


def cover_needed_c(night: Nightly, here: Place, plant: Plant) -> float | None:
    """What a cover must be worth to see a plant through the night where it stands [°C]; None when no cover will do."""
    for credit in cover_credit_c(plant.harm_c, night.wind_m_s, here):
        if credit and night.low_c(here) + credit > plant.harm_c and \
                night.chance(here, plant.harm_c - credit) < ACT_CHANCE:
            return credit
    return None


def rescue_text(found: Sequence[Rescue], units: str) -> str:
    """The rescues as sentences, grouped by what to do and where to; a caution where heavy pots must be carried."""
    groups: dict[tuple[str, str, float, bool], list[Plant]] = {}
    for rescue in found:
        groups.setdefault((rescue.kind, rescue.to, rescue.cover_c, rescue.full), []).append(rescue.plant)
    heavy = [rescue.plant for rescue in found if rescue.to and (rescue.plant.pot_cm or 0.0) >= HEAVY_POT_CM]
    caution = [f"Two people or a dolly for {listed([p.name for p in heavy], most=3)}: heavy when wet."] if heavy else []
    return " ".join([*(_sentence(key, plants, units) for key, plants in groups.items()), *caution])


def _sentence(key: tuple[str, str, float, bool], plants: Sequence[Plant], units: str) -> str:
    kind, to, cover_c, full = key
    names = named(plants)
    if kind == "move":
        return f"Move {names} to {to} for the night: it is warm enough there."
    if kind == "cover":
        weight = "a light cover" if cover_c <= 1.0 else "a heavy cover"
        return (f"No room is left elsewhere: put {weight} over {names}, down to the ground, off again in the morning. "
                f"It is worth about {temperature_span(cover_c, units)} on a still night and nothing in wind.")
    squeeze = f" There is no room left by your own count (room_for); one night in {to} is still better." if full else ""
    return f"Carry {names} in to {to}.{squeeze}"


def named(plants: Sequence[Plant]) -> str:
    """"Fern and Jade (5 pots)"."""
    pots = sum(plant.count for plant in plants)
    many = f" ({counted(pots, 'pot')})" if pots != len(plants) else ""
    return listed([plant.name for plant in plants]) + many
