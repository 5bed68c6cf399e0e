"""Which plants are in danger on which night, and whether it pays to act: a decision by cost.

A needless carry costs one, a harmed plant `carries_per_harm`: tonight is acted on when
chance x carries_per_harm >= 1 - chance. For a later night there is time, and the forecast of its own evening will know
more: it is announced when it will probably be acted on then (READY_CHANCE), so that few announcements are taken back.
"""

from __future__ import annotations

from collections.abc import Container
from dataclasses import dataclass
from datetime import date
from functools import cached_property

import numpy as np

from seasonplan.model import Place, Plan, Plant
from seasonplan.weather.outlook import ComingNights
from seasonplan.weather.standing import Standing

READY_CHANCE = 0.87
"""A later night is announced when the chance that it will be acted on is this high. Chosen on half of the stations of
tests/truth/watch_seasons.py, so that no station takes back more than a quarter of its announcements, even where
forecasts are drawn anew every day."""
BLIND_CHANCE = 0.5
"""Where no forecast speaks of tonight it is acted on only from here on: a plan's windows count on a few harmful nights
that a forecast will tell, and carrying in on every evening of those weeks would be the wrong answer to not having
looked. Our setting."""
STAY_CHANCE = 0.5
"""A plant carried in stays in over every night that will rather be acted on than not. Our setting."""

NOT_WORTH_IT = 3
"""For so few nights nobody carries a plant out again before its season ends. Our setting."""


def least_chance(carries_per_harm: float) -> float:
    """The chance of harm from which acting costs less than waiting."""
    return 1 / (1 + carries_per_harm)


@dataclass(frozen=True, eq=False)
class Danger:
    """Chances over the coming nights for every plant where it stands; arrays (plants, nights).

    rows: row of the place; harm_c: the low that marks it that night.
    """

    plan: Plan
    coming: ComingNights
    standing: Standing
    rows: np.ndarray
    harm_c: np.ndarray

    @cached_property
    def least(self) -> float:
        """The chance from which a night is acted on."""
        return least_chance(self.plan.rules.carries_per_harm)

    @property
    def least_tonight(self) -> float:
        """The same for tonight, of which the forecast may not speak."""
        return self.least if self.coming.told[0] is not None else max(self.least, BLIND_CHANCE)

    @cached_property
    def chance(self) -> np.ndarray:
        """Chance of harm."""
        return self.coming.chance(self.rows, self.harm_c)

    @cached_property
    def acting(self) -> np.ndarray:
        """Chance that the night will be acted on when its evening has come; the first night's is known."""
        found = self.coming.acting(self.rows, self.harm_c, self.least)
        found[:, 0] = self.chance[:, 0] >= self.least_tonight
        return found

    @cached_property
    def outdoors(self) -> np.ndarray:
        """Whether it stands outdoors."""
        return np.array([place.outdoors for place in self.coming.places])[self.rows]

    @property
    def plants(self) -> tuple[Plant, ...]:
        return self.standing.where.plants

    def act(self, inside: Container[str] = ()) -> list[int]:
        """The plants to act for tonight. inside: the names of those taken in on an earlier night: they stay in over a
        mild night too where the next will probably be acted on."""
        over = [plant.name in inside and not self.goes_in(k, 0) and self._back(k, -1) != 0
                for k, plant in enumerate(self.plants)]
        return np.flatnonzero(self.acting[:, 0].astype(bool) | np.array(over, dtype=bool)).tolist()

    def ready(self, n: int) -> list[int]:
        """The plants for which night n is announced. Those that are to go out only until then are no alert's matter:
        the advice on planned moves speaks of them."""
        return np.flatnonzero((self.acting[:, n] >= READY_CHANCE) & self.outdoors[:, :n].all(axis=1)).tolist()

    def out_again(self, plant: int, n: int) -> date | None:
        """The day on which a plant taken in for night n may go back to where it stands by the plan: before the first
        later night that, with the one after it, will probably not be acted on. None where that is out of sight, or
        where the plan has it indoors by then or soon after."""
        back = self._back(plant, n)
        return None if back is None or self.goes_in(plant, back) else self.coming.nights[back]

    def over(self, plant: int, n: int) -> date | None:
        """The planned move in of a plant taken in for night n, where it need not go out again before it."""
        back = self._back(plant, n)
        return None if back is None else self.goes_in(plant, back)

    def _back(self, plant: int, n: int) -> int | None:
        stay = (self.acting[plant, n + 1:] >= STAY_CHANCE).tolist()
        return next((n + 1 + k for k in range(len(stay) - 1) if not stay[k] and not stay[k + 1]), None)

    def goes_in(self, plant: int, n: int) -> date | None:
        """The day on which the plan has a plant indoors from night n on, or within NOT_WORTH_IT nights of it."""
        inside = np.flatnonzero(~self.outdoors[plant, n:n + NOT_WORTH_IT + 1])
        return self.coming.nights[n + int(inside[0])] if len(inside) else None

    def safe_until(self, plant: int, place: Place, n: int) -> bool:
        """Whether a plant could stand at another place on night n and on those for which it must leave its own."""
        chance, acting = self._elsewhere
        row, away = self.coming.rows[place.name], self._nights_away(plant, n)
        return bool(chance[plant, row, n] < self.least and (acting[plant, row, n + 1:n + 1 + away] < STAY_CHANCE).all())

    @cached_property
    def _elsewhere(self) -> tuple[np.ndarray, np.ndarray]:
        """Chance of harm, and chance of acting, for every plant at every place: (plants, places, nights)."""
        rows, harm = np.arange(len(self.coming.places))[None, :, None], self.harm_c[:, None, :]
        return self.coming.chance(rows, harm), self.coming.acting(rows, harm, self.least)

    def _nights_away(self, plant: int, n: int) -> int:
        back = self.out_again(plant, n)
        return len(self.coming.nights) if back is None else (back - self.coming.nights[n]).days - 1


def danger(plan: Plan, coming: ComingNights, standing: Standing) -> Danger:
    """The danger of the coming nights to the plants of a plan."""
    return Danger(plan, coming, standing, *standing.on(coming.nights))
