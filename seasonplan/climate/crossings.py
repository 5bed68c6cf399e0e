"""When a curve crosses a level: a search over days, knowing nothing of nights or plants, and the dates from tables."""

from __future__ import annotations

import numpy as np

from seasonplan.dates import DAYS
from seasonplan.model import Edge, NightTables


def first_at_or_below(curve: np.ndarray, limit: float, start: int, length: int) -> int | Edge:
    """First of `length` days from index `start` (cyclic) from which on the curve stays <= limit to the span's end.

    curve: (365,). Edge.NEVER when the span's last day is above the limit, Edge.ALL_YEAR when no day of it is.
    """
    above = np.flatnonzero(np.asarray(curve)[(start + np.arange(length)) % DAYS] > limit)
    if len(above) == 0:
        return Edge.ALL_YEAR
    return Edge.NEVER if above[-1] == length - 1 else int((start + above[-1] + 1) % DAYS)


def first_at_or_above(curve: np.ndarray, limit: float, start: int, length: int) -> int | Edge:
    """First of `length` days from index `start` (cyclic) on which the curve is >= limit.

    Edge.ALL_YEAR when the first day is already there, Edge.NEVER when no day is.
    """
    reached = np.flatnonzero(np.asarray(curve)[(start + np.arange(length)) % DAYS] >= limit)
    if len(reached) == 0:
        return Edge.NEVER
    return Edge.ALL_YEAR if reached[0] == 0 else int((start + reached[0]) % DAYS)


def spring_index(tables: NightTables, k: int, percent: float) -> int | None:
    """The day after which `percent` of years still have a night <= threshold k before the turn; None = no such day.

    None where fewer years have one in the whole spring half, or more have one even on its last day.
    """
    length = (tables.turn_index - tables.cold_index) % DAYS
    found = first_at_or_below(tables.chance_after[k], percent / 100, tables.cold_index, length)
    return None if isinstance(found, Edge) else (found - 1) % DAYS


def autumn_index(tables: NightTables, k: int, percent: float) -> int | None:
    """The day by which `percent` of years have had a night <= threshold k since the turn; None = no such day."""
    length = (tables.cold_index - tables.turn_index) % DAYS
    found = first_at_or_above(tables.chance_before[k], percent / 100, tables.turn_index, length)
    return None if isinstance(found, Edge) else found
