"""The numbers of the night model that were fitted to records; where each comes from stands in data/night_model.csv."""

from __future__ import annotations

from functools import cache

from seasonplan.data import table


@cache
def fitted(name: str) -> float:
    """The value called `name` in data/night_model.csv; KeyError when there is none."""
    return {row["name"]: float(row["value"]) for row in table("night_model")}[name]
