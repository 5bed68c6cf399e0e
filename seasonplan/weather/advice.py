"""Whether a planned move still looks right, now that the next nights are better known."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date, timedelta

import numpy as np

from seasonplan.dates import next_move_day, previous_move_day
from seasonplan.model import Place, Plan, PlantPlan, Rules
from seasonplan.weather.outlook import FREEZE_C, ComingNights
from seasonplan.weather.rescue import ACT_CHANCE, named
from seasonplan.weather.standing import Whereabouts
from seasonplan.wording import counted, day, percent, temperature

LOOK_AHEAD_DAYS = 14
"""Planned moves up to this far ahead are looked at; farther on the outlook is the plan's own climate. Our setting."""
FIRST_NIGHTS = 7
"""The nights after a move-out that are judged. Our setting."""


@dataclass(frozen=True)
class Prospect:
    """What a plant has to expect over some nights. expected: number of harmful nights by their chances; said: how many
    the forecast itself puts at or below the limit; worst, worst_night: the highest chance of one and when; freeze: the
    highest chance of a freeze that it must not meet."""

    expected: float
    said: int
    worst_night: date
    worst: float
    freeze: float

    def fits(self, rules: Rules) -> bool:
        """Whether the person's own policy would accept these nights, by their chances and by the forecast's word."""
        if rules.policy == "careful":
            return self.worst <= rules.harm_risk and self.said == 0
        return max(self.expected, self.said) <= rules.carry_in_nights and self.freeze <= rules.freeze_risk


def prospect(coming: ComingNights, found: PlantPlan, stays: Sequence[tuple[int, Place]]) -> Prospect:
    """The prospect of a plant over (position of the night, place) pairs, at least one."""
    levels_c = np.array([found.plant.harm_c, min(FREEZE_C, found.plant.harm_c)])
    curves = {place: (*coming.chance(place, levels_c), coming.said_at_c(place)) for place in {p for _, p in stays}}
    harm, freeze, said_c = np.array([[row[n] for row in curves[place]] for n, place in stays]).T
    worst = int(np.argmax(harm))
    return Prospect(float(harm.sum()), _said_cold(coming, stays, said_c, found.plant.harm_c),
                    coming.nights[stays[worst][0]], float(harm[worst]), float(freeze.max()))


def _said_cold(coming: ComingNights, stays: Sequence[tuple[int, Place]], said_c: np.ndarray, harm_c: float) -> int:
    return sum(coming.told[n] is not None and low <= harm_c for (n, _), low in zip(stays, said_c, strict=True))


def move_advice(plan: Plan, coming: ComingNights, where: Whereabouts, places: Mapping[str, Place],
                today: date) -> tuple[str, ...]:
    """Sentences about the moves out and in that are planned for the next LOOK_AHEAD_DAYS."""
    moving = [found for found in plan.plants if found.status == "moves" and found.route]
    ahead = range(1, LOOK_AHEAD_DAYS + 1)
    sentences = []
    for move_day in (today + timedelta(days=n) for n in ahead):
        leaving = [f for f in moving if f.route[0].date == move_day
                   and not places[where.place_of(f.plant, today)].outdoors]
        returning = [f for f in moving if f.route[-1].until == move_day
                     and places[where.place_of(f.plant, today)].outdoors]
        sentences += [_out_advice(plan, coming, leaving, places, move_day)] if leaving else []
        sentences += [_in_advice(plan, coming, returning, where, places, move_day)] if returning else []
    return tuple(sentences)


def _out_advice(plan: Plan, coming: ComingNights, leaving: Sequence[PlantPlan], places: Mapping[str, Place],
                move_day: date) -> str:
    first = coming.nights[0]

    def prospects(start: date) -> list[Prospect]:
        positions = range((start - first).days, min((start - first).days + FIRST_NIGHTS, len(coming.nights)))
        return [prospect(coming, found, [(n, places[found.route[0].place]) for n in positions]) for found in leaving]

    now = prospects(move_day)
    tender, worst = _most_in_danger(leaving, now)
    what = f"The move-out of {named([f.plant for f in leaving])} planned for {day(move_day)}"
    if all(p.fits(plan.rules) for p in now):
        return f"{what} still looks right: {_numbers(tender, worst, plan.rules.units)}."
    later, last = next_move_day(move_day + timedelta(days=1), plan.rules.move_days), coming.nights[-FIRST_NIGHTS]
    while later <= last and not all(p.fits(plan.rules) for p in prospects(later)):
        later = next_move_day(later + timedelta(days=1), plan.rules.move_days)
    better = f"{day(later)} looks better" if later <= last else f"no day up to {day(last)} looks better yet"
    return f"{what} looks too early: {_numbers(tender, worst, plan.rules.units)}; {better}."


def _in_advice(plan: Plan, coming: ComingNights, returning: Sequence[PlantPlan], where: Whereabouts,
               places: Mapping[str, Place], move_day: date) -> str:
    nights = range((move_day - coming.nights[0]).days)
    found = []
    for plant in returning:
        stays = [(n, place) for n in nights
                 if (place := places[where.place_of(plant.plant, coming.nights[n])]).outdoors]
        found.append(prospect(coming, plant, stays))
    tender, worst = _most_in_danger(returning, found)
    what = f"The move-in of {named([f.plant for f in returning])} planned for {day(move_day)}"
    if all(p.fits(plan.rules) for p in found):
        return f"{what} still looks right: {_numbers(tender, worst, plan.rules.units)}."
    early = max(previous_move_day(_first_bad_night(coming, tender, worst, places, where), plan.rules.move_days),
                coming.nights[0])
    return (f"{what} looks too late: {_numbers(tender, worst, plan.rules.units)}. Better go in on {day(early)}, after "
            f"the pest check, or keep them apart from the others until it is done.")


def _most_in_danger(plans: Sequence[PlantPlan], prospects: Sequence[Prospect]) -> tuple[PlantPlan, Prospect]:
    return max(zip(plans, prospects, strict=True), key=lambda pair: (pair[1].said, pair[1].expected, pair[1].worst))


def _first_bad_night(coming: ComingNights, found: PlantPlan, worst: Prospect, places: Mapping[str, Place],
                     where: Whereabouts) -> date:
    """The first night that calls for action, by its chance or the forecast's word; the worst one when none does."""
    harm_c = found.plant.harm_c
    for n, night in enumerate(coming.nights):
        place = places[where.place_of(found.plant, night)]
        if night >= worst.worst_night:
            break
        said = coming.told[n] is not None and coming.said_at_c(place)[n] <= harm_c
        if place.outdoors and (said or coming.chance(place, harm_c)[n] >= ACT_CHANCE):
            return night
    return worst.worst_night


def _numbers(found: PlantPlan, it: Prospect, units: str) -> str:
    what = f"of {temperature(found.plant.harm_c, units)} or colder"
    cold = f"the forecast has {counted(it.said, 'night')} {what} for {found.plant.name}" if it.said else \
        f"{counted(round(it.expected, 1), 'night')} {what} to expect for {found.plant.name}"
    return f"{cold}, at worst a chance of {percent(it.worst)} on {day(it.worst_night)}"
