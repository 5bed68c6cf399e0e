"""What a guess costs: between which dates a move lies when the figure that decided it is a guess of the catalogue."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from typing import NamedTuple

from seasonplan.climate.at_plant import SeasonLift
from seasonplan.decisions.windows import WindowFinder
from seasonplan.model import Bearing, Figure, MoveDate, PlaceWindow, Plant


class Doubts(NamedTuple):
    """The thresholds of a plant that rest on a guess; None where its row gave them, or they are better known."""

    harm: Figure | None
    hardened: Figure | None
    comfort: Figure | None


def doubts_of(plant: Plant) -> Doubts:
    taxon = plant.taxon
    pairs = ((taxon.harm, plant.harm_c), (taxon.harm_hardened, plant.harm_hardened_c), (taxon.comfort, plant.comfort_c))
    return Doubts(*(figure if figure.guessed and figure.value == own else None for figure, own in pairs))


def with_span(finder: WindowFinder, bearing: Bearing, doubts: Doubts, window: PlaceWindow, lift: SeasonLift,
              side: int) -> MoveDate:
    """An end of a window (0 out, 1 back) with the dates between which it lies if the guess that decided it is off."""
    move = (window.out, window.back)[side]
    figure = {"comfort": doubts.comfort, "harm": doubts[side]}.get(move.decided_by)
    if figure is None:
        return move
    ends = []
    for value in (figure.low, figure.high):
        other = finder.window(_with(bearing, move.decided_by, value, side), lift, window.place)
        ends.append((other.out, other.back)[side].date)
    dates = sorted(day for day in (*ends, move.date) if day is not None)
    return replace(move, guess=figure.grade, earliest=dates[0], latest=dates[-1], guess_may_forbid=None in ends)


def _with(bearing: Bearing, decided_by: str, value_c: float, side: int) -> Bearing:
    """The bearing with one threshold moved, the others kept in their order."""
    if decided_by == "comfort":
        return bearing._replace(comfort_c=value_c)
    if side == 0:
        return bearing._replace(harm_c=value_c, hardened_c=min(bearing.hardened_c, value_c),
                                comfort_c=max(bearing.comfort_c, value_c))
    return bearing._replace(hardened_c=value_c, harm_c=max(bearing.harm_c, value_c),
                            comfort_c=max(bearing.comfort_c, value_c))


def around(move: MoveDate, day: date) -> MoveDate:
    """The move on the day it really is, its span wide enough to hold that day."""
    if move.earliest is None or move.latest is None:
        return replace(move, date=day)
    return replace(move, date=day, earliest=min(move.earliest, day), latest=max(move.latest, day))
