"""[[place]] of scenario.toml: anywhere a plant can stand, and what it sees of the sky.

faces: the direction the place or its window looks to, as degrees from north over east (0 to 360) or a compass point (n,
nne, ne ... or words such as "south-east"). horizon_deg: light from below this height above the horizon is blocked
(fence, trees, the house across the street). Outdoors, wall_behind = true: a house wall at its back takes the half of
the sky away from which it faces; roof_deg: height of the edge of a roof, seen straight out; leaf_shade: the share of
light that a tree crown or cloth lets through, so 0.3 is deep dappled shade and 1 is none. Indoors, window_width_m and
window_height_m; sill_m: height of the window's lower edge above the pot, negative when it is lower; distance_m: from
the glass; glazing (data/glazing.csv); curtain (data/curtains.csv); or a measurement instead of all these: measured_lux
(bright midday) or measured_dli (mol per day). Keys that are not given stay None; what stands in for them is decided,
and told, where light is computed.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from functools import partial
from typing import Any

from seasonplan.data import table
from seasonplan.dates import is_south
from seasonplan.inputs.gathering import Wrong, did_you_mean, same_name, shown
from seasonplan.inputs.toml_lines import Section
from seasonplan.inputs.values import choice, described, flag, line_of_text, number, whole
from seasonplan.model import Place

POINTS = ("n", "nne", "ne", "ene", "e", "ese", "se", "sse", "s", "ssw", "sw", "wsw", "w", "wnw", "nw", "nnw")
WORDS = {"north": "n", "east": "e", "south": "s", "west": "w"}
KINDS = ("indoor", "outdoor")
COMMON_KEYS = ("name", "kind", "night_lift_c", "room_for", "faces", "horizon_deg")
OUTDOOR_KEYS = ("wall_behind", "roof_deg", "leaf_shade")
INDOOR_KEYS = ("window_width_m", "window_height_m", "sill_m", "distance_m", "glazing", "curtain", "measured_lux",
               "measured_dli")
WINDOW_KEYS = ("faces", "window_width_m", "window_height_m", "sill_m", "distance_m")
SHADE_HORIZON_DEG, SHADE_EAVES_DEG, SHADE_LEAVES = 20.0, 60.0, 0.55
"""What the assumed shady side of a house sees of the sky: a strip between a fence and the eaves. Our setting."""
ASSUMED_ROOM, ASSUMED_SHADE, ASSUMED_GROUND = "room", "open shade by the house", "open ground"


def _maybe_percent(value: float) -> str:
    return "Is it in percent? It is the share that passes, so 30 % is 0.3." if 1 < value <= 100 else ""


def _maybe_cm(value: float) -> str:
    return "Is it in centimetres?" if value >= 20 else ""


CHECKS: dict[str, Callable[[Any], Any]] = {
    "night_lift_c": partial(number, low=-15, high=15, unit="°C"),
    "room_for": partial(whole, low=1, high=100_000, unit="pots"),
    "wall_behind": flag,
    "horizon_deg": partial(number, low=0, high=90, unit="degrees"),
    "roof_deg": partial(number, low=0, high=90, unit="degrees"),
    "leaf_shade": partial(number, low=0, high=1, hint=_maybe_percent),
    "window_width_m": partial(number, low=0.1, high=20, unit="m", hint=_maybe_cm),
    "window_height_m": partial(number, low=0.1, high=10, unit="m", hint=_maybe_cm),
    "sill_m": partial(number, low=-5, high=5, unit="m", hint=_maybe_cm),
    "distance_m": partial(number, low=0, high=15, unit="m", hint=_maybe_cm),
    "glazing": lambda value: choice(value, [row["key"] for row in table("glazing")]),
    "curtain": lambda value: choice(value, [row["key"] for row in table("curtains")]),
    "measured_lux": partial(number, low=1, high=120_000, unit="lux"),
    "measured_dli": partial(number, low=0.01, high=70, unit="mol per day"),
}


def bearing(value: Any) -> float:
    """Degrees from north over east, [0, 360), from a compass point or a number."""
    allowed = 'a compass point such as "se" or "south-east", or degrees from 0 to 360'
    if isinstance(value, str):
        word = "".join(WORDS.get(part, part) for part in _split_words(value))
        if word not in POINTS:
            raise Wrong(f'found "{shown(value)}"', allowed, did_you_mean(value, (*POINTS, *WORDS)))
        return POINTS.index(word) * 22.5
    if isinstance(value, (int, float)) and not isinstance(value, bool) and 0 <= value <= 360:
        return float(value) % 360
    raise Wrong(f"found {described(value)}", allowed)


def _split_words(value: str) -> list[str]:
    """"South-East" and "southeast" to ["south", "east"]; "NNE" stays whole."""
    word = value.strip().casefold()
    for name in WORDS:
        word = word.replace(name, f" {name} ")
    return word.replace("-", " ").replace("_", " ").split()


def read_place(section: Section) -> Place | None:
    """One [[place]]; None, its faults noted, when it has no name or kind."""
    name = section.need("name", line_of_text, "a name, in quotes")
    kind = section.need("kind", partial(choice, allowed=KINDS), '"indoor" or "outdoor"')
    _check_keys(section, kind)
    known = {key: section.get(key, check) for key, check in CHECKS.items()}
    faces = section.get("faces", bearing)
    _check_together(section, known)
    if not name or not kind:
        return None
    given = {key: value for key, value in known.items() if value is not None}
    return Place(name, "outdoor" if kind == "outdoor" else "indoor", faces_deg=faces,
                 assumed=_assumed_light(name, kind, section.values), **given)


def _check_keys(section: Section, kind: str | None) -> None:
    own, other = (OUTDOOR_KEYS, INDOOR_KEYS) if kind == "outdoor" else (INDOOR_KEYS, OUTDOOR_KEYS)
    misplaced = [key for key in section.values if kind and key in other]
    for key in misplaced:
        section.fault(key, f"a key of {'indoor' if kind == 'outdoor' else 'outdoor'} places",
                      f"for kind = \"{kind}\": {', '.join(COMMON_KEYS + own)}")
    section.only(COMMON_KEYS + own + tuple(misplaced) + (() if kind else other))


def _check_together(section: Section, known: dict[str, Any]) -> None:
    roof, horizon = known["roof_deg"], known["horizon_deg"] or 0
    if roof is not None and roof <= horizon:
        section.fault("roof_deg", f"the roof starts at {roof:g}°, the horizon ends at {horizon:g}°",
                      "roof_deg above horizon_deg", "No light would be left.")
    if "measured_lux" in section.values and "measured_dli" in section.values:
        section.fault("measured_dli", "given together with measured_lux", "one of the two")


def _assumed_light(name: str, kind: str, given: dict[str, Any]) -> tuple[str, ...]:
    """Said of places of which nothing is known; what is filled in for single keys is told by what fills it in."""
    keys = (*OUTDOOR_KEYS, "faces", "horizon_deg") if kind == "outdoor" else (
        *WINDOW_KEYS, "measured_lux", "measured_dli")
    if any(key in given for key in keys):
        return ()
    if kind == "outdoor":
        return (f"{name}: no light was given, so it is taken as open ground.",)
    return (f"{name}: no light was given, so a typical room's is taken (assumed); a light meter's reading at bright "
            "midday as measured_lux would settle it.",)


def read_places(sections: list[Section], latitude_deg: float) -> tuple[tuple[Place, ...], bool]:
    """(places, whether plants may leave their place out).

    Where no indoor place is given, one room is assumed; where no outdoor place is given, open shade by the house and
    open ground are. Each assumed place says so in `assumed`.
    """
    seen: dict[str, int] = {}
    places = []
    for section in sections:
        place = read_place(section)
        if place is None:
            continue
        earlier = seen.setdefault(same_name(place.name), section.line("name"))
        if earlier != section.line("name"):
            section.fault("name", f'"{shown(place.name)}" is the name of the place on line {earlier} too',
                          "names that differ in more than case")
        places.append(place)
    kinds = {section.values.get("kind") for section in sections}
    rooms = [] if "indoor" in kinds else [assumed_room()]
    outside = [] if "outdoor" in kinds else assumed_outside(latitude_deg)
    assumed = [replace(place, name=f"{place.name} (assumed)") if same_name(place.name) in seen else place
               for place in (*rooms, *outside)]
    return (*assumed[:len(rooms)], *places, *assumed[len(rooms):]), bool(rooms)


def assumed_room() -> Place:
    """Where plants stand when no indoor place is described."""
    return Place(ASSUMED_ROOM, "indoor", assumed=(
        f"No indoor place was given, so every plant is taken to stand in a {ASSUMED_ROOM} with a typical room's light "
        "(assumed).",))


def assumed_outside(latitude_deg: float) -> list[Place]:
    """What a house has to offer when no outdoor place is described: the side away from the sun with a shrub
    in front, and open ground."""
    pole, side = (180.0, "south") if is_south(latitude_deg) else (0.0, "north")
    shade = Place(ASSUMED_SHADE, "outdoor", faces_deg=pole, wall_behind=True, horizon_deg=SHADE_HORIZON_DEG,
                  roof_deg=SHADE_EAVES_DEG, leaf_shade=SHADE_LEAVES, assumed=(
        f"No outdoor place was given, so {ASSUMED_SHADE} is taken (assumed): its {side} side, a wall behind, eaves "
        f"from {SHADE_EAVES_DEG:g}° up, the view blocked below {SHADE_HORIZON_DEG:g}°, and a shrub or tree in front "
        f"that lets {SHADE_LEAVES:.0%} of the light through, so that shade plants find shade at any latitude.",))
    ground = Place(ASSUMED_GROUND, "outdoor", assumed=(
        f"No outdoor place was given, so {ASSUMED_GROUND} without any shade is taken (assumed).",))
    return [shade, ground]
