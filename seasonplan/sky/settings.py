"""The numbers of the light model, from data/light_settings.csv (each with its meaning and source), by name."""

from __future__ import annotations

from functools import cache
from types import SimpleNamespace

from seasonplan.data import table


@cache
def settings() -> SimpleNamespace:
    """Every row of the table as an attribute, a float."""
    return SimpleNamespace(**{row["key"]: float(row["value"]) for row in table("light_settings")})
