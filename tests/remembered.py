"""Plans that were worked out once, for tests of what is done with a plan: not for those of the plan itself, nor for
those that plan twice to see whether the same comes out."""

from __future__ import annotations

import pickle
from collections.abc import Callable
from dataclasses import replace
from datetime import date

from seasonplan.model import Before, Scenario
from seasonplan.pipeline import Moved

MOST = 60


class Remembered:
    """`pipeline.with_moves`, which asks the same only once: for a scenario with the same contents, the same day and the
    same plan before it."""

    def __init__(self, with_moves: Callable[[Scenario, date, Before | None], Moved]):
        self.with_moves = with_moves
        self.known: dict[bytes, Moved] = {}

    def __call__(self, scenario: Scenario, today: date, before: Before | None) -> Moved:
        key = pickle.dumps((replace(scenario, folder=""), today, before))
        if key not in self.known:
            if len(self.known) >= MOST:
                self.known.clear()
            self.known[key] = self.with_moves(scenario, today, before)
        found = self.known[key]
        return replace(found, scenario=replace(found.scenario, folder=scenario.folder), before=before)
