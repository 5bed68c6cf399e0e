"""Plans that were worked out once, for tests of what is done with a plan: not for those of the plan itself, nor for
those that plan twice to see whether the same comes out."""

from __future__ import annotations

import hashlib
import os
import pickle
from collections.abc import Callable
from dataclasses import replace
from datetime import date
from pathlib import Path

from seasonplan.model import Before, Scenario
from seasonplan.pipeline import Moved


class Remembered:
    """`pipeline.with_moves`, which asks the same only once: for a scenario with the same contents, the same day and the
    same plan before it and the same year. What it found is kept in a folder that all workers of one run of the suite
    share."""

    def __init__(self, with_moves: Callable[[Scenario, date, Before | None, int | None], Moved], folder: Path):
        self.with_moves, self.folder = with_moves, folder
        folder.mkdir(exist_ok=True)

    def __call__(self, scenario: Scenario, today: date, before: Before | None, year: int | None = None) -> Moved:
        key = hashlib.sha256(pickle.dumps((replace(scenario, folder=""), today, before, year))).hexdigest()
        kept = self.folder / key
        if not kept.exists():
            written = kept.with_suffix(f".{os.getpid()}-{id(scenario)}")
            written.write_bytes(pickle.dumps(self.with_moves(scenario, today, before, year)))
            written.replace(kept)
        found = pickle.loads(kept.read_bytes())
        return replace(found, scenario=replace(found.scenario, folder=scenario.folder), before=before)
