"""Where the plants are: a town of the table, or latitude and longitude."""

from __future__ import annotations

import re

from seasonplan.inputs.gathering import Wrong, shown
from seasonplan.inputs.position import ZONE_REACH_KM
from seasonplan.inputs.said.words import Asks
from seasonplan.inputs.towns import find_towns, nearest_town, told_apart
from seasonplan.inputs.values import line_of_text, number
from seasonplan.model import Town
from seasonplan.model.begun import Whereabouts

DEGREES = r"([+-]?\d+(?:\.\d+)?)\s*°?\s*"
POSITION = re.compile(rf"{DEGREES}([NS]?)\s*[,;\s]\s*{DEGREES}([EW]?)", re.IGNORECASE)
LISTED = 9
ALLOWED = "a town of 15,000 people or more (the nearest will do), or latitude and longitude such as 51.5, -0.1"


def whereabouts(text: str) -> Whereabouts:
    """The one place that is meant."""
    text = line_of_text(text)
    if found := POSITION.fullmatch(text):
        return _of_degrees(*found.groups())
    if not any(letter.isalpha() for letter in text):
        raise Wrong(f'found "{shown(text)}"', ALLOWED)
    known = find_towns(text)
    if len(known.towns) == 1:
        return _of_town(known.towns[0], "" if known.how == "exact" else f'"{shown(text)}" is taken as ')
    if not known.towns:
        raise Asks(f'no town is called "{shown(text)}"', "Did you mean", [(name, name) for name in known.near], str,
                   allowed=ALLOWED) if known.near else Wrong(f'no town is called "{shown(text)}"', ALLOWED)
    some = known.towns[:LISTED]
    options = [(f"{name} ({town.people:,} people{'' if typed == name else f', at {typed}'})", typed)
               for town, name in zip(some, told_apart(some), strict=True) for typed in (_typed(town, name),)]
    raise Asks(f'{len(known.towns)} towns are called "{shown(text)}"', "Which one", options, str)


def _typed(town: Town, name: str) -> str:
    """What to type to mean a town: its name, or its position where no name tells it from another."""
    return name if find_towns(name).towns == (town,) else f"{town.latitude:g}, {town.longitude:g}"


def _of_town(town: Town, before: str) -> Whereabouts:
    [name] = told_apart((town,))
    told = f"{before}{name}, {town.elevation_m:.0f} m above the sea, {town.timezone}"
    if find_towns(name).towns != (town,):
        return Whereabouts("", town.name, town.latitude, town.longitude, town.imperial, told)
    return Whereabouts(name, town.name, town.latitude, town.longitude, town.imperial, told)


def _of_degrees(north: str, pole: str, east: str, side: str) -> Whereabouts:
    latitude, longitude = (-abs(float(value)) if letter.upper() in ("S", "W") and letter else float(value)
                           for value, letter in ((north, pole), (east, side)))
    number(latitude, -90, 90, "degrees of latitude", lambda found: "Latitude comes first.")
    number(longitude, -180, 180, "degrees of longitude")
    town, km = nearest_town(latitude, longitude)
    told = f"{abs(latitude):g}° {'south' if latitude < 0 else 'north'}, {abs(longitude):g}° " \
           f"{'west' if longitude < 0 else 'east'}, {km:.0f} km from {town.full_name}"
    return Whereabouts("", f"near {town.name}", latitude, longitude, town.imperial and km <= ZONE_REACH_KM, told)
