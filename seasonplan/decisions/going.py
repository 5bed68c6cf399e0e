"""A season on its way: from which day each plant may be moved, given the day it is, what the log tells, and who is new.

On paper everything is done as planned, and nothing here says otherwise. In a season that is kept (model.is_kept) what
the log does not tell has not been done: it is dated from today on. A plant that joined stands apart first; one that was
carried in before the turn was rescued and goes out again as soon as such nights are as rare as usual.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import date, timedelta
from functools import cached_property
from math import erf, sqrt

from seasonplan import wording as w
from seasonplan.climate.ahead import nights_ahead
from seasonplan.climate.at_plant import plant_shift
from seasonplan.dates import day_index
from seasonplan.decisions.log_state import logged_stays, standing
from seasonplan.model import Alert, Before, LoggedStay, NightClimate, Plant, PlantPlan, Scenario, is_kept
from seasonplan.model.life import BEGIN, RESCUE

APART_DAYS = 14
"""A plant that joined stands apart for so long before it goes out: 1 to 2 weeks (MSU-ISO)."""
RESCUE_NIGHTS = 14
"""So many nights after a rescue are looked at; then the season's usual chances hold again. Our setting."""
LEFT_OUT = 0
"""The occurrence of a move indoors that was due in the year before; this year's count from 1."""
SAFE_NIGHTS = 2
"""A rescued plant goes out again when this and the next so many nights are safe. Our setting."""


@dataclass(frozen=True, eq=False)
class Going:
    """today: the day on which a season that is kept goes on; None on paper. begun: the day its log begins, where the
    log says so. dates: the planning year. turn: the day on which spring ends and autumn begins. gone: plants that were
    there when the season began and are not any more. alerts: of the last `watch`, which say when what was carried in
    may go out again. kept: whether the season goes by its log. told: only so many of the moves of each plant that the
    log tells are looked at; None: all."""

    scenario: Scenario
    climate: NightClimate
    dates: Sequence[date]
    today: date | None = None
    begun: date | None = None
    gone: tuple[Plant, ...] = ()
    alerts: tuple[Alert, ...] = ()
    kept: bool = False
    told: int | None = None

    @property
    def turn(self) -> date:
        return next(day for day in self.dates if day_index(day) == self.climate.turn_index)

    @cached_property
    def _known(self) -> dict[tuple[str, str], tuple[tuple[LoggedStay, ...], bool]]:
        """What the log tells of each plant, by its name and indoor place, once it was asked for (logs grow long), and
        whether that is only where the year before left it."""
        return {}

    def _told(self, plant: Plant) -> tuple[tuple[LoggedStay, ...], bool]:
        key = plant.name, plant.place
        if key not in self._known:
            stays = logged_stays(self.scenario, plant, self.dates)
            before = standing(self.scenario, plant, self.dates[0]) if self.kept and not stays else None
            self._known[key] = (stays, False) if before is None else ((before,), True)
        return self._known[key]

    def stays(self, plant: Plant) -> tuple[LoggedStay, ...]:
        return self._told(plant)[0][:self.told]

    def carried(self, plant: Plant) -> LoggedStay | None:
        """Where a plant stands outdoors as the planning year begins, by the log of a season that is kept; None where it
        does not, or has moved since."""
        stays, is_before = self._told(plant)
        return stays[0] if is_before else None

    def free_from(self, plant: Plant) -> date | None:
        """The first day on which anything new may be dated for a plant; None: on paper."""
        stays = self.stays(plant)
        days = [day for day in (self.today, self.begun, self.apart_until(plant), self.out_again(plant, stays)) if day]
        if stays and days:
            days.append(stays[-1].date + timedelta(days=1))
        return max(days, default=None)

    def apart_until(self, plant: Plant) -> date | None:
        """The day until which one that joined this season stands apart."""
        joined = plant.arrived
        return joined + timedelta(days=APART_DAYS) if joined is not None and joined > self.dates[0] else None

    def in_for_good(self, plant: Plant) -> date | None:
        """The day on which it came in for the winter, by the log."""
        last = self._last_move(plant)
        return None if last is None or self._is_outdoors(last.place) or self._is_rescue(plant, last.date) else last.date

    def out_again(self, plant: Plant, stays: Sequence[LoggedStay]) -> date | None:
        """The day on which a plant that was rescued goes out again: as `watch` said that evening or later, else by what
        is usual; None for one that stands outdoors or never did."""
        if not stays or self._is_outdoors(stays[-1].place) or not self._is_rescue(plant, stays[-1].date):
            return None
        outside = [stay for stay in stays if self._is_outdoors(stay.place)]
        if not outside:
            return None
        if told := [alert.out_again for alert in self.alerts if plant.name in alert.plants
                    and alert.night >= stays[-1].date and alert.out_again is not None]:
            return max(told)
        lift_c = next(plant_shift(p).on(None) for p in self.scenario.places if p.name == outside[-1].place)
        chance = 1 / (1 + self.scenario.rules.carries_per_harm)
        return out_again(self.climate, plant, lift_c, stays[-1].date, (stays[-1].date - outside[0].date).days, chance)

    def stands_outdoors(self, stays: Sequence[LoggedStay]) -> bool:
        """Whether it stands outdoors after these."""
        return bool(stays) and self._is_outdoors(stays[-1].place)

    def is_done(self, plan: PlantPlan, day: date) -> bool:
        """Whether a move of a plant is behind it: the log tells it."""
        return self.today is not None and (day < self.today or any(s.date == day for s in self.stays(plan.plant)))

    def _last_move(self, plant: Plant) -> LoggedStay | None:
        return next(reversed(self.stays(plant)), None)

    def _is_outdoors(self, name: str) -> bool:
        return any(place.outdoors for place in self.scenario.places if place.name == name)

    def _is_rescue(self, plant: Plant, day: date) -> bool:
        """Whether a move indoors on a day was for cold nights only: before the turn, or because the log says so."""
        return day < self.turn or any(entry.step == RESCUE and entry.date == day and entry.plant in ("", plant.name)
                                      for entry in self.scenario.log)


def going_of(scenario: Scenario, climate: NightClimate, dates: Sequence[date], today: date) -> Going:
    """How far a season is. The log's first `begin` in the planning year until today is the day it begins."""
    kept = is_kept(scenario.log, dates[0], dates[-1], today)
    begun = min((e.date for e in scenario.log if e.step == BEGIN and dates[0] <= e.date <= today), default=None)
    return Going(scenario, climate, dates, today if kept else None, begun if kept else None, kept=kept)


def out_again(climate: NightClimate, plant: Plant, lift_c: float, went_in: date, days_out: int,
              safe_chance: float) -> date:
    """The first day after a rescue from which the chance of a harmful night is within safe_chance for this and the next
    SAFE_NIGHTS nights, or no higher than usual: the night of the rescue is taken to be as cold as the plant bears,
    and the nights after it as the night model has them (climate.ahead)."""
    harm_c = plant.harm_after_c(days_out) - lift_c
    night = went_in + timedelta(days=1)               # a night's low stands under the morning after it
    mean_c, sd_c = nights_ahead(climate, night, harm_c, 0.0, RESCUE_NIGHTS + SAFE_NIGHTS)
    days = [day_index(night + timedelta(days=n + 1)) for n in range(len(mean_c))]
    usual = [_chance(harm_c, float(climate.mean_c[d]), float(climate.sd_c[d])) for d in days]
    safe = [_chance(harm_c, float(m), float(s)) <= max(safe_chance, often) for m, s, often in
            zip(mean_c, sd_c, usual, strict=True)]
    waits = next((n for n in range(RESCUE_NIGHTS) if all(safe[n:n + SAFE_NIGHTS + 1])), RESCUE_NIGHTS)
    return night + timedelta(days=waits)


def _chance(level_c: float, mean_c: float, sd_c: float) -> float:
    return 0.5 * (1 + erf((level_c - mean_c) / (sd_c * sqrt(2))))


def joined(scenario: Scenario, known: dict[str, date | None], dates: Sequence[date], opens: date) -> Scenario:
    """The scenario with the day on which each plant that is news joined. known, opens: see decisions.arrivals."""
    def since(plant: Plant) -> Plant:
        day = known.get(plant.row or plant.name)
        new = plant.arrived is None and day is not None and opens <= day <= dates[-1]
        return replace(plant, arrived=day) if new else plant
    return replace(scenario, plants=tuple(map(since, scenario.plants)))


def still_there(scenario: Scenario, dates: Sequence[date], today: date | None) -> Scenario:
    """The scenario without the plants that left before the planning year or, in a season that is kept, by today; those
    that are gone are said."""
    until = dates[0] if today is None else max(dates[0], today)
    gone = [plant for plant in scenario.plants if plant.left is not None and plant.left <= until]
    notes = [f"{plant.name} left on {w.day(plant.left)}: nothing is planned for it." for plant in gone if plant.left]
    return replace(scenario, plants=tuple(p for p in scenario.plants if p not in gone),
                   assumptions=(*scenario.assumptions, *notes))


def overdue(going: Going, before: Before | None) -> dict[str, tuple[str, int, date]]:
    """The moves that the plan before this one told for a day that is past, by plant; those before the log begins count
    as done. Empty on paper."""
    if going.today is None or before is None:
        return {}
    first = max(going.dates[0], going.begun or going.dates[0])
    out = {plant.name for plant in going.scenario.plants if going.carried(plant) is not None}
    return {name: ("move-in", LEFT_OUT, told[2]) if name in out and told[0] == "move-in" else told
            for name, told in before.moves.items() if (name in out or first <= told[2]) and told[2] < going.today}


__all__ = ["Going", "going_of", "joined", "out_again", "overdue", "still_there"]
