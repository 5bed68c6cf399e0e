"""Whether a planned move still looks right, now that the next nights are better known.

It asks the same question as the alerts, whether a night will be acted on, and so never contradicts them.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, timedelta

import numpy as np

from seasonplan.dates import next_move_day
from seasonplan.model import PlantPlan
from seasonplan.weather.danger import STAY_CHANCE, Danger
from seasonplan.weather.rescue import named
from seasonplan.wording import counted, day, percent, temperature

LOOK_AHEAD_DAYS = 14
"""Planned moves up to this far ahead are looked at; farther on the outlook is the plan's own climate. Our setting."""
FIRST_NIGHTS = 7
"""The nights after a move-out that are judged. Our setting."""


@dataclass(frozen=True)
class Prospect:
    """What a plant has to expect over some nights. cold: how many will probably be acted on; soon: whether one of the
    first two is; worst, worst_night: the highest chance of harm and when; harm_c: the low that marks it then."""

    plant: str
    cold: int
    soon: bool
    worst: float
    worst_night: date
    first_cold: date | None
    harm_c: float

    def fits(self, nights: float) -> bool:
        """Whether that is no more than the carries the person is willing to make."""
        return self.cold <= nights and not self.soon

    def numbers(self, units: str) -> str:
        """The numbers behind it, as a clause."""
        level = f"{temperature(self.harm_c, units)} or colder for {self.plant}"
        worst = f"the highest chance of {level} is {percent(self.worst)}, on {day(self.worst_night)}"
        return f"{counted(self.cold, 'night')} will probably ask for carrying; {worst}" if self.cold else worst


def prospect(found: Danger, plant: int, place: str | None, nights: range) -> Prospect:
    """The prospect of a plant over positions of nights: at a place, fresh from indoors; None: where it stands then."""
    if place is None:
        harm, chance, acting = (table[plant] for table in (found.harm_c, found.chance, found.acting))
    else:
        row = np.array([[found.coming.rows[place]]])
        harm = np.full(len(found.coming.nights), found.plants[plant].harm_c)
        chance = found.coming.chance(row, harm[None])[0]
        acting = found.coming.acting(row, harm[None], found.least)[0]
    stretch = slice(nights.start, nights.stop)
    cold = (acting[stretch] >= STAY_CHANCE).tolist()
    worst = nights.start + int(np.argmax(chance[stretch]))
    first = found.coming.nights[nights.start + cold.index(True)] if True in cold else None
    return Prospect(found.plants[plant].name, sum(cold), any(cold[:2]), float(chance[worst]),
                    found.coming.nights[worst], first, float(harm[worst]))


def move_advice(found: Danger) -> tuple[str, ...]:
    """Sentences about the moves out and in that are planned for the next LOOK_AHEAD_DAYS."""
    numbered = [(k, plan) for k, plan in enumerate(found.plan.plants) if plan.status == "moves" and plan.route]
    sentences = []
    for move_day in (found.coming.nights[0] + timedelta(days=n) for n in range(1, LOOK_AHEAD_DAYS + 1)):
        leaving = [(k, f) for k, f in numbered if f.route[0].date == move_day and not found.outdoors[k, 0]]
        returning = [(k, f) for k, f in numbered if f.route[-1].until == move_day and found.outdoors[k, 0]]
        sentences += [_out_advice(found, leaving, move_day)] if leaving else []
        sentences += [_in_advice(found, returning, move_day)] if returning else []
    return tuple(sentences)


def _out_advice(found: Danger, leaving: Sequence[tuple[int, PlantPlan]], move_day: date) -> str:
    first, rules, count = found.coming.nights[0], found.plan.rules, len(found.coming.nights)

    def prospects(start: date) -> list[Prospect]:
        nights = range((start - first).days, min((start - first).days + FIRST_NIGHTS, count))
        return [prospect(found, k, plan.route[0].place, nights) for k, plan in leaving]

    now = prospects(move_day)
    what = f"The move-out of {named([f.plant for _, f in leaving])} planned for {day(move_day)}"
    if all(p.fits(rules.carry_in_nights) for p in now):
        return f"{what} still looks right: {_most_in_danger(now).numbers(rules.units)}."
    later, last = next_move_day(move_day + timedelta(days=1), rules.move_days,
                                rules.shut), found.coming.nights[-FIRST_NIGHTS]
    while later <= last and not all(p.fits(rules.carry_in_nights) for p in prospects(later)):
        later = next_move_day(later + timedelta(days=1), rules.move_days, rules.shut)
    better = f"{day(later)} looks better" if later <= last else f"no day up to {day(last)} looks better yet"
    return f"{what} looks too early: {_most_in_danger(now).numbers(rules.units)}; {better}."


def _in_advice(found: Danger, returning: Sequence[tuple[int, PlantPlan]], move_day: date) -> str:
    nights, rules = range((move_day - found.coming.nights[0]).days), found.plan.rules
    prospects = [prospect(found, k, None, nights) for k, _ in returning]
    worst = _most_in_danger(prospects)
    what = f"The move-in of {named([f.plant for _, f in returning])} planned for {day(move_day)}"
    if worst.cold <= rules.carry_in_nights or worst.first_cold is None:
        return f"{what} still looks right: {worst.numbers(rules.units)}."
    return (f"{what} looks too late: {worst.numbers(rules.units)}. Better go in on {day(worst.first_cold)}, after the "
            "pest check, or keep them apart from the others until it is done.")


def _most_in_danger(prospects: Sequence[Prospect]) -> Prospect:
    return max(prospects, key=lambda p: (p.cold, p.worst))
