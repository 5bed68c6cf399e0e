"""What is asked of the route, and what it answers."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date

from seasonplan.model import LoggedStay, Plant, Stop


@dataclass(frozen=True)
class RouteRequest:
    """One plant that goes outdoors.

    spans: per outdoor place open to it, the first date there and the date by which it has left (exclusive).
    leave_on: the day it goes out. back_by: it is indoors from this day on (the day after the planning year: it stays
    out). stays: what really happened, in date order; an indoor place: it went in. free_from: the first day on which
    anything new may be dated, None for the plan on paper.
    """

    plant: Plant
    spans: Mapping[str, tuple[date, date]]
    leave_on: date
    back_by: date
    stays: tuple[LoggedStay, ...] = ()
    free_from: date | None = None


@dataclass(frozen=True)
class RouteResult:
    """stops cover the time outdoors without a gap. reason: what the dates and stops do not say themselves, may be
    empty. blocked: why no place can ever take it; then there are no stops."""

    stops: tuple[Stop, ...]
    reason: str = ""
    blocked: str = ""
