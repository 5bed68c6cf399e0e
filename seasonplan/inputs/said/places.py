"""Windows and places outdoors, a line each: "south: jade, lemon; east: the rest"; "balcony south, under a birch, lawn".

A direction is a compass point or degrees. Windows keep their plants behind a colon; where no plant is named, those that
want the most sun are taken to stand at the sunniest.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import replace
from functools import cache, partial

from seasonplan.data import table
from seasonplan.dates import is_south
from seasonplan.inputs.catalogue import plain
from seasonplan.inputs.gathering import Wrong, did_you_mean, same_name, shown, slips
from seasonplan.inputs.places import POINTS, WORDS, bearing
from seasonplan.inputs.said.standing import Seen, named_at, spread
from seasonplan.inputs.said.words import Asks, listed, meanings, one_part, phrase_in, says, with_item
from seasonplan.inputs.values import line_of_text, whole
from seasonplan.model.begun import NewPlace, NewPlant

DIRECTIONS = 'a compass point such as south or north-east, or degrees from north over east, 0 to 360, such as 200'
PERCENT = re.compile(r"(\d+)\s*%?\s*(?=(?:shade\s*)?(?:cloth|net))|(?<=cloth)\s+(\d+)\s*%?|(?<=net)\s+(\d+)\s*%?",
                     re.IGNORECASE)
CLOTH = frozenset({"cloth", "shade cloth", "net", "shade net"})
CLOTH_PERCENT = (10, 95)
POTS = re.compile(r"\s*\(?(?:room )?(?:for )?(\d+) pots?\)?", re.IGNORECASE)
UNSURE = "?"
LINE = re.compile("[,;:]")
"""Whoever answers the question where one thing faces with a list gives the whole answer anew."""
SPOTS = ("lawn or open ground; balcony, porch, terrace, steps or house wall, each with where it faces; under a tree "
         "(birch, maple, lime ...), a shrub or a pergola; under cloth 50 %")


def windows_said(text: str, plants: Sequence[NewPlant], latitude_deg: float,
                 ) -> tuple[tuple[NewPlace, ...], tuple[NewPlant, ...], str]:
    """(windows, plants with their place, what was assumed); without a window the plants keep none."""
    text = line_of_text(text) if text.strip() else ""
    if not text or says("none", text) or says("unsure", text):
        return (), tuple(replace(plant, place="") for plant in plants), "a room with a typical room's light is assumed"
    named = ":" in text
    parts = [each.strip() for each in re.split(r"[;\n]", text) if each.strip()] if named else listed(text)
    if not parts:
        raise Wrong(f'"{shown(text)}" names no window',
                    'windows by the way they face: "south", or "south: jade; east: the rest"; or none')
    windows: list[NewPlace] = []
    seen: list[Seen] = []
    for at, part in enumerate(parts):
        what, _, who = part.partition(":")
        anew = with_item(parts, at, "; " if named else ", ")
        name, faces = one_part(partial(_window, what, partial(_with_plants, anew, who if named else None)), part, anew,
                               len(parts) == 1)
        window = NewPlace(_free(name, windows), "indoor", (("faces", faces),))
        windows.append(window)
        seen += named_at(window.name, who, plants, seen, partial(_with_window, anew, what))
    if named:
        return tuple(windows), *spread(plants, seen, windows[0].name)
    standing, told = _by_sun(windows, plants, latitude_deg)
    return tuple(windows), tuple(replace(plant, place=standing[plant.name]) for plant in plants), told


def outdoors_said(text: str, windows: Sequence[NewPlace] = ()) -> tuple[NewPlace, ...]:
    """The places outdoors; none where the usual ones are to be assumed."""
    if not text.strip() or says("none", text) or says("unsure", text):
        return ()
    parts, found = listed(re.sub(rf"[,;](?={POTS.pattern})", "", line_of_text(text))), list[NewPlace]()
    if not parts:
        raise Wrong(f'"{shown(text)}" names no place', 'places outdoors: "balcony south, under a birch, lawn"; or none')
    for at, part in enumerate(parts):
        anew = with_item(parts, at)
        found.append(one_part(partial(_spot, part, anew, [*windows, *found]), part, anew, len(parts) == 1))
    return tuple(found)


def _with_plants(anew, who: str | None, what: str) -> str:
    return anew(what if who is None else f"{what}:{who}")


def _with_window(anew, what: str, who: str) -> str:
    return anew(f"{what}: {who}")


def _free(name: str, taken: Sequence[NewPlace]) -> str:
    names, free, n = {same_name(place.name) for place in taken}, name, 2
    while same_name(free) in names:
        free, n = f"{name} {n}", n + 1
    return free


def _direction(text: str) -> tuple[str | float | None, list[str]]:
    """(compass point in words, or degrees; the other words). Raises `Wrong` for degrees that are none."""
    words = text.replace("°", " ").replace(",", " ").split()
    for length in (3, 2, 1):
        for start in range(len(words) - length + 1):
            joined = "-".join(words[start:start + length]).casefold().strip(".()").removesuffix("-facing")
            joined = joined.replace("northern", "north").replace("southern", "south").replace(
                "eastern", "east").replace("western", "west")
            rest = [*words[:start], *words[start + length:]]
            if re.fullmatch(r"[+-]?\d+(\.\d+)?", joined):
                if len(joined) == 1 and "°" not in text:
                    raise Wrong(f'found "{joined}"', DIRECTIONS, f"Write {joined}° where degrees are meant.")
                return bearing(float(joined)), rest
            try:
                return _in_words(bearing(joined)), rest
            except Wrong:
                continue
    for word in words:
        near = [each for each in WORDS if slips(word.casefold(), each, most=1) is not None]
        if near:
            raise Wrong(f'found "{shown(word)}"', DIRECTIONS, f"Did you mean {near[0]}?")
    return None, words


def _in_words(degrees: float) -> str:
    """"south", "north-east", "south-south-west"."""
    names = {letter: word for word, letter in WORDS.items()}
    return "-".join(names[letter] for letter in POINTS[int(degrees / 22.5)])


def _named(text: str) -> str:
    """A typed place as its name: without the small words at its head."""
    words = text.strip(" .()").split()
    while len(words) > 1 and words[0].casefold() in ("a", "an", "the", "my", "our", "in", "on", "at"):
        words = words[1:]
    return " ".join(words)


def _window(text: str, anew) -> tuple[str, str | float]:
    """(its name, where it faces)."""
    faces, rest = _direction(text)
    left = [word for word in rest if plain(word) not in {*meanings("filler"), "window", "windows", "sill", ""}]
    if faces is None:
        if not left or says("unsure", text):
            raise Wrong(f'"{shown(text)}" says no direction', DIRECTIONS, "Enter alone: a typical room is assumed.")
        raise Asks(f'"{shown(text)}" says no direction', f"Where does the window {shown(_named(text))} face", (),
                   lambda word: word if LINE.search(word) else anew(f"{text} {word}"), allowed=DIRECTIONS)
    if isinstance(faces, float) and not left:
        return f"window at {faces:g}°", faces
    name = _named(text)
    return name if "window" in name.casefold() else f"{name} window", faces


def _by_sun(windows: Sequence[NewPlace], plants: Sequence[NewPlant], latitude_deg: float) -> tuple[dict[str, str], str]:
    """Plants that want the most sun at the window that gets the most, and so on down."""
    noon_deg = 0.0 if is_south(latitude_deg) else 180.0
    by_sun = sorted(windows, key=lambda window: abs((bearing(dict(window.keys)["faces"]) - noon_deg + 180) % 360 - 180))
    last = len(by_sun) - 1
    step = {"sun": 0, "part-sun": 1 if last > 1 else 0, "shade": last, "deep-shade": last}
    standing = {plant.name: by_sun[step[plant.sun]].name for plant in plants}
    if last < 1:
        return standing, ""
    at = [f"{', '.join(names)} at the {window.name}" for window in by_sun
          if (names := [name for name, place in standing.items() if place == window.name])]
    return standing, f"assumed by the light they like: {'; '.join(at)}"


def _spot(text: str, anew, taken: Sequence[NewPlace]) -> NewPlace:
    typed, room = text, None
    if found := POTS.search(text):
        room, text = whole(int(found[1]), 1, 100_000, "pots"), (text[:found.start()] + text[found.end():]).strip()
    text, leaf, about = _cloth(text, typed)
    faces, rest = _direction(text)
    words = [word for each in rest for word in plain(each).split()]
    base, words = phrase_in(words, tuple(_spots()))
    crown, words = phrase_in(words, tuple(_leaves()))
    if crown:
        leaf, about = float(_leaves()[crown]["share"]), f"{crown}: the share of light that comes through"
    spot = _spots()[base or "open ground"]
    if not base and leaf is None:
        raise Wrong(f'"{shown(typed)}" is no place that is known', SPOTS, did_you_mean(
            " ".join(words) or typed, [*_spots(), *_leaves()]))
    unsure = UNSURE in text
    if spot["faced"] == "yes" and faces is None and not unsure:
        raise Asks(f'"{shown(typed)}" does not say where it faces',
                   f"Where does the {shown(_named(typed))} face ({UNSURE} where you do not know)", (),
                   lambda word: word if LINE.search(word) else anew(f"{typed} {word or UNSURE}"),
                   allowed=f"{DIRECTIONS}, behind its name")
    keys: list[tuple[str, object]] = []
    if spot["faced"] == "yes" and faces is not None:
        keys += [("faces", faces), ("wall_behind", True)]
        keys += [("roof_deg", float(spot["roof_deg"]))] if spot["roof_deg"] else []
    keys.append(("horizon_deg", float(spot["horizon_deg"])))
    keys += [("leaf_shade", leaf)] if leaf is not None else []
    keys += [("room_for", room)] if room else []
    name = _named(POTS.sub("", typed).replace("?", ""))
    return NewPlace(_free(name, taken), "outdoor", tuple(keys), about)


def _cloth(text: str, typed: str) -> tuple[str, float | None, str]:
    """(text without the percentage, share of light let through, what it is): a cloth's percentage is the shade it
    gives."""
    found = PERCENT.search(text)
    if not found:
        if plain(text) in CLOTH:
            raise Wrong(f'"{shown(typed)}" does not say how dense', "the percentage printed on it, such as cloth 50 %")
        return text, None, ""
    percent = whole(int(next(group for group in found.groups() if group)), *CLOTH_PERCENT, "% of shade")
    rest = re.sub(r"\b(shade\s*)?(cloth|net)\b", " ", text[:found.start()] + text[found.end():], flags=re.IGNORECASE)
    return rest, round(1 - percent / 100, 2), f"a cloth of {percent} % lets the rest through"


@cache
def _spots() -> dict[str, dict[str, str]]:
    return {plain(word): row for row in table("spots") for word in row["words"].split("|")}


@cache
def _leaves() -> dict[str, dict[str, str]]:
    return {plain(word): row for row in table("leaf_shades") for word in row["words"].split("|")}
