"""What is asked of the route, and what it answers."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date

from seasonplan.model import LoggedStay, Plant, Stop

Spans = dict[str, tuple[date, date]]
"""Per outdoor place the first date there and the date by which a plant has left it (exclusive)."""


@dataclass(frozen=True)
class RouteRequest:
    """One plant that goes outdoors.

    spans: per outdoor place open to it, the first date there and the date by which it has left (exclusive).
    leave_on: the first day it may go out. back_by: it is indoors from this day on (the day after the planning year: it
    stays out). not_before: it may not come in before this day. stays: what really happened, in date order; an indoor
    place: it went in. free_from: the first day on which anything new may be dated, None for the plan on paper.
    weight_kg: of one wet pot. cool_nights: it goes out for cool nights, too, however dark it stands.
    """

    plant: Plant
    spans: Mapping[str, tuple[date, date]]
    leave_on: date
    back_by: date
    stays: tuple[LoggedStay, ...] = ()
    free_from: date | None = None
    not_before: date | None = None
    weight_kg: float = 0.0
    cool_nights: bool = False


@dataclass(frozen=True)
class RouteResult:
    """stops cover the time outdoors; between two of them the plant may have been indoors for some days, by the log.
    reason: what the dates and stops do not say themselves, may be empty. blocked: why it never goes out; then
    there are no stops. lacks: of these, what shade would change that."""

    stops: tuple[Stop, ...]
    reason: str = ""
    blocked: str = ""
    lacks: str = ""
