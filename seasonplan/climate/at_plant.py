"""The one low: what the plants at a place feel of a night, for windows, watch, page and text alike.

A forecast, the normals and the record speak of a screen at head height. On a clear calm night open ground loses more
than the screen; a roof or a crown keeps that. `night_lift_c` of a place is measured against open ground of the same
night, which is the screen's on an ordinary one: a warm wall adds it to every night. A place colder than open ground (a
hollow, a terrace under the sky) is cold by the same loss, so on a clear calm night the larger of the two counts and not
their sum. Where nobody tells the sky, a night is clear and calm with the usual share.
"""

from __future__ import annotations

from dataclasses import dataclass
from statistics import NormalDist
from typing import NamedTuple

from seasonplan.climate.fitted import fitted
from seasonplan.model import NightClimate, Place

DENSE_LEAVES = 0.5
"""A crown or cloth that lets through less light than this holds the warmth in as well. Our setting."""
TAIL_Z = 1.5
"""Harmful nights lie about this many standard deviations below the mean where windows open and close. Our setting."""


@dataclass(frozen=True)
class PlantShift:
    """What to add to the site's low to get the plants' [°C]: ordinary_c on most nights, clear_c on clear calm ones."""

    ordinary_c: float
    clear_c: float

    def on(self, calm_clear: bool | None) -> float:
        """The shift of a night; where the sky is not told, the mean over its usual share [°C]."""
        share = clear_share(calm_clear)
        return (1 - share) * self.ordinary_c + share * self.clear_c


def loses_to_sky(place: Place) -> bool:
    """Whether a place loses its warmth to a clear sky: outdoors, no roof, no dense crown or cloth above."""
    leafy = place.leaf_shade is not None and place.leaf_shade < DENSE_LEAVES
    roofed = place.roof_deg is not None and place.roof_deg < 90
    return place.outdoors and not roofed and not leafy


def plant_shift(place: Place) -> PlantShift:
    """The shift of the lows at a place against the site's."""
    lift = place.night_lift_c
    if not loses_to_sky(place):
        return PlantShift(lift, lift)
    return PlantShift(lift, max(lift, 0.0) + min(lift, -fitted("open_ground_loss")))


def clear_share(calm_clear: bool | None) -> float:
    """Chance that a night is clear and calm: certain where it is told, else the usual share."""
    return fitted("clear_calm_share") if calm_clear is None else float(calm_clear)


class SeasonLift(NamedTuple):
    """What a place adds to the nights of a whole season [°C]: harm_c to those that harm, the usual share of clear calm
    ones among them; normal_c to the normal ones that comfort is held against, since trade advice about nights means the
    station's."""

    harm_c: float
    normal_c: float


def season_lift(place: Place, climate: NightClimate) -> SeasonLift:
    """The lift of a place in the windows of a plan."""
    return SeasonLift(usual_lift_c(place, float(climate.sd_c.mean())), place.night_lift_c)


def usual_lift_c(place: Place, sd_c: float) -> float:
    """The one lift that stands for all nights of a season when no sky is told [°C].

    sd_c: spread of the site's lows from night to night [°C]. With this lift and that spread, nights are as often at or
    below a level TAIL_Z under the mean as those of the mixture of ordinary and clear calm ones.
    """
    shift, share, normal = plant_shift(place), clear_share(None), NormalDist(0.0, sd_c)
    if shift.ordinary_c == shift.clear_c:
        return shift.ordinary_c
    level_c = shift.on(None) - TAIL_Z * sd_c
    chance = (1 - share) * normal.cdf(level_c - shift.ordinary_c) + share * normal.cdf(level_c - shift.clear_c)
    return level_c - normal.inv_cdf(chance)
