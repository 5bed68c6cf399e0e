"""What to do for plants in danger on a night: carry in, move to a warmer place, or cover."""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date

import numpy as np

from seasonplan.model import Place, Plant
from seasonplan.weather.danger import Danger
from seasonplan.weather.skill import cover_credit_c
from seasonplan.wording import counted, day, listed, temperature_span

HEAVY_POT_CM = 30.0
"""A wet pot of this width (about 11 kg of mix alone) is beyond one person's lift from the ground by the revised NIOSH
lifting equation (DHHS (NIOSH) 94-110)."""


@dataclass(frozen=True)
class Rescue:
    """kind: "in" | "move" | "cover" | "wait" (it was to go out this very day: it stays where it is) | "stay" (it was
    taken in on an earlier night); here: where it stands by the plan; to: the place to carry to, "" when none; cover_c:
    what the cover must be worth [°C]; full: the place named has no room by the person's own count; out_again: when it
    may go back, None when that is out of sight or its season is over; over: the planned end of its season, so near that
    it may stay in."""

    plant: Plant
    kind: str
    here: str
    to: str = ""
    cover_c: float = 0.0
    full: bool = False
    out_again: date | None = None
    over: date | None = None


def rescues(danger: Danger, n: int, plants: Sequence[int], pots: Counter[str],
            inside: Mapping[str, str] | None = None) -> list[Rescue]:
    """What to do for each plant on night n, the most tender first to find room; in the order of plants.csv. `pots` is
    brought up to date with every move. inside: by plant the place where it was taken on an earlier night."""
    found, inside = {}, inside or {}
    for k in sorted(plants, key=lambda k: (danger.plants[k].name not in inside, -danger.harm_c[k, n])):
        there = inside.get(danger.plants[k].name)
        rescue = _rescue(danger, n, k, pots) if there is None else _stay(danger, n, k, there)
        if rescue.kind in ("in", "stay"):
            rescue = replace(rescue, over=danger.over(k, n))
        found[k] = rescue
        if rescue.to:                                 # one that waits is counted as out already
            pots[rescue.here] -= rescue.plant.count
            pots[rescue.to] += rescue.plant.count
    return [found[k] for k in sorted(found)]


def _stay(danger: Danger, n: int, k: int, there: str) -> Rescue:
    return Rescue(danger.plants[k], "stay", danger.coming.places[danger.rows[k, n]].name, there,
                  out_again=danger.out_again(k, n))


def _rescue(danger: Danger, n: int, k: int, pots: Counter[str]) -> Rescue:
    plant, places = danger.plants[k], danger.coming.places
    if n == 0 and danger.standing.where.leaves_on(plant, danger.coming.nights[0]):
        return Rescue(plant, "wait", places[danger.rows[k, 0]].name, plant.place, out_again=danger.out_again(k, n))
    here, out_again = places[danger.rows[k, n]], danger.out_again(k, n)
    roomy = [p for p in places if p.name != here.name and has_room(p, plant, pots)]
    safe = [p for p in roomy if p.outdoors and danger.safe_until(k, p, n)]
    if safe:
        return Rescue(plant, "move", here.name, max(safe, key=lambda p: danger.coming.low_c(p)[n]).name,
                      out_again=out_again)
    indoors = sorted((p for p in roomy if not p.outdoors), key=lambda p: p.name != plant.place)
    if indoors:
        return Rescue(plant, "in", here.name, indoors[0].name, out_again=out_again)
    cover_c = cover_needed_c(danger, n, k, here)
    if cover_c is not None:
        return Rescue(plant, "cover", here.name, cover_c=cover_c)
    return Rescue(plant, "in", here.name, plant.place, full=True, out_again=out_again)


def has_room(place: Place, plant: Plant, pots: Mapping[str, int]) -> bool:
    """Whether a plant's pots still fit a place."""
    return place.room_for is None or pots[place.name] + plant.count <= place.room_for


def cover_needed_c(danger: Danger, n: int, k: int, here: Place) -> float | None:
    """What a cover must be worth to see a plant through the night where it stands [°C]; None when no cover will do."""
    told, harm_c = danger.coming.told[n], danger.harm_c[k, n]
    rows = np.array([[danger.coming.rows[here.name]]])
    for credit in cover_credit_c(harm_c, told.wind_m_s if told else None, here):
        if credit and danger.coming.chance(rows, harm_c - credit)[0, n] < danger.least:
            return credit
    return None


Group = tuple[str, str, str, float, bool, "date | None", "date | None"]
"""kind, here, to, cover_c, full, out_again, over of a Rescue."""


def rescue_text(found: Sequence[Rescue], units: str) -> str:
    """The rescues as one text."""
    return " ".join(rescue_lines(found, units))


def rescue_lines(found: Sequence[Rescue], units: str) -> list[str]:
    """The rescues as sentences, grouped by what to do, from where and where to; a caution where heavy pots must be
    carried."""
    groups: dict[Group, list[Plant]] = {}
    for rescue in found:
        here = "" if rescue.kind in ("stay", "wait") else rescue.here
        key = (rescue.kind, here, rescue.to, rescue.cover_c, rescue.full, rescue.out_again, rescue.over)
        groups.setdefault(key, []).append(rescue.plant)
    heavy = [rescue.plant for rescue in found if rescue.kind in ("in", "move")
             and (rescue.plant.pot_cm or 0.0) >= HEAVY_POT_CM]
    caution = [f"Two people or a dolly for {listed([p.name for p in heavy], most=3)}: heavy when wet."] if heavy else []
    backs = {key[5] for key in groups if key[0] in ("in", "move")}
    back = next(iter(backs)) if len(groups) > len(backs) == 1 else None
    if back is not None and not any(key[0] == "stay" for key in groups):
        groups = {(*key[:5], None, key[6]): plants for key, plants in groups.items()}
        caution.append(f"All out again on {day(back)}, as it looks now.")
    return [*(_sentence(key, plants, units) for key, plants in groups.items()), *caution]


def _sentence(key: Group, plants: Sequence[Plant], units: str) -> str:
    kind, here, to, cover_c, full, out_again, over = key
    names = named(plants)
    until = f" until {day(out_again)}, as it looks now" if out_again else ""
    back = f" Out again on {day(out_again)}, as it looks now." if out_again else \
        f" There it may stay, apart from the others until its pest check: the move in is planned for {day(over)}." \
        if over else ""
    if kind == "wait":
        return f"Leave {names} at {to}: the move out planned for today waits{until}."
    if kind == "stay":
        return f"Leave {names} at {to}{until}.{back if over else ''}"
    if kind == "move":
        return f"Move {names} from {here} to {to}: it is warm enough there.{back}"
    if kind == "cover":
        weight = "a light cover" if cover_c <= 1.0 else "a heavy cover"
        return (f"No room is left elsewhere: put {weight} over {names} ({here}), down to the ground, off again in the "
                f"morning. It is worth about {temperature_span(cover_c, units)} on a still night and nothing in wind.")
    squeeze = f" There is no room left by your own count (room_for); one night in {to} is still better." if full else ""
    return f"Carry {names} from {here} in to {to}.{squeeze}{back}"


def named(plants: Sequence[Plant]) -> str:
    """"Fern and Jade (5 pots)"."""
    pots = sum(plant.count for plant in plants)
    many = f" ({counted(pots, 'pot')})" if pots != len(plants) else ""
    return listed([plant.name for plant in plants]) + many
