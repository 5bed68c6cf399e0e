"""What the outside checker reads: a scenario's own files, plan.json, `light --json`, `catalogue --json`, calendar.ics.

Nothing in this folder's checking modules imports the program: what it promises is worked out again, from the agreement.
"""

from __future__ import annotations

import csv
import json
import tomllib
from collections.abc import Iterator
from dataclasses import dataclass, field
from datetime import date, timedelta
from pathlib import Path
from typing import Any

DAY = timedelta(days=1)
UNKNOWN = {"sun": "shade", "light_high_mol": 8.0}
"""What a taxon that the catalogue does not know is treated as (careful)."""


@dataclass(frozen=True)
class Broken:
    """A promise that is not kept: which one, and where."""

    promise: str
    what: str

    def __str__(self) -> str:
        return f"{self.promise}: {self.what}"


@dataclass(frozen=True)
class Garden:
    """Everything about one planned garden. today: only what is dated from it on is held against the plan; None: all.

    light: place -> day -> {"clear_dli", "mean_dli", "direct_sun_h", "full_sun_h", "peak_ppfd"}.
    """

    toml: dict[str, Any]
    rows: dict[str, dict[str, str]]
    plan: dict[str, Any]
    light: dict[str, dict[date, dict[str, float]]]
    taxa: dict[str, dict[str, Any]]
    highs_c: list[float] | None
    log: list[dict[str, str]] = field(default_factory=list)
    ics: bytes | None = None
    today: date | None = None

    @property
    def site(self) -> dict[str, Any]:
        return self.toml["site"]

    @property
    def rules(self) -> dict[str, Any]:
        return self.toml.get("rules", {})

    @property
    def places(self) -> dict[str, dict[str, Any]]:
        return {place["name"].strip(): place for place in self.toml.get("place", [])}

    def taxon(self, plant: dict[str, Any]) -> dict[str, Any]:
        return self.taxa.get(plant["taxon"], UNKNOWN)

    def light_high(self, plant: dict[str, Any]) -> float:
        own = self.row(plant).get("light_high_mol", "")
        return float(own) if own else float(self.taxon(plant)["light_high_mol"])

    def row(self, plant: dict[str, Any]) -> dict[str, str]:
        """Its row of plants.csv; of a part of a row, that of the whole."""
        return self.rows.get(plant["name"]) or self.rows.get(plant.get("part_of") or "") or {}

    def leaves(self, plant: dict[str, Any], day: str) -> bool:
        """Whether it leaves for good on a day, and so never comes in."""
        return self.row(plant).get("left") == day

    def counts(self, day: date) -> bool:
        """Whether the plan answers for a day: what is past was the person's doing."""
        return self.today is None or day >= self.today


def read(folder: Path, light: dict[str, Any], catalogue: dict[str, Any], out: Path | None = None,
         today: date | None = None) -> Garden:
    """A planned garden. light, catalogue: what the commands print with --json."""
    out = out or folder / "out"
    toml = tomllib.loads((folder / "scenario.toml").read_text(encoding="utf-8"))
    normals = folder / toml["site"].get("normals", "normals.csv")
    calendar = out / "calendar.ics"
    return Garden(toml, {row["name"]: row for row in _rows(folder / "plants.csv")},
                  json.loads((out / "plan.json").read_text(encoding="utf-8")),
                  {place["name"]: {date.fromisoformat(day["date"]): day for day in place["days"]}
                   for place in light["places"]},
                  {taxon["key"]: taxon for taxon in catalogue["taxa"]}, _highs_c(normals),
                  _rows(folder / "log.csv"), calendar.read_bytes() if calendar.exists() else None, today)


def _rows(path: Path) -> list[dict[str, str]]:
    if not path.exists():
        return []
    with path.open(encoding="utf-8-sig", newline="") as file:
        return [{key.strip().casefold(): (cell or "").strip() for key, cell in row.items() if key}
                for row in csv.DictReader(file)]


def _highs_c(path: Path) -> list[float] | None:
    """Twelve normal highs of a table by month in °C; None where it has none, or is of another kind."""
    rows = _rows(path)
    if len(rows) != 12 or not rows[0].get("tmax_c"):
        return None
    return [float(row["tmax_c"]) for row in sorted(rows, key=lambda row: float(row["month"]))]


def days(first: str | date, until: str | date) -> Iterator[date]:
    """Every day from the first to the one before `until`."""
    day = date.fromisoformat(first) if isinstance(first, str) else first
    end = date.fromisoformat(until) if isinstance(until, str) else until
    while day < end:
        yield day
        day += DAY


def is_logged(stop: dict[str, Any]) -> bool:
    """Whether a stay is what the person did, not what the plan asks for."""
    return bool(stop.get("logged")) or "log" in (stop.get("why") or "")
