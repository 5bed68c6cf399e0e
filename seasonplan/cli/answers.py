"""The questions of `start`, each explained in a sentence, and the same answers read from options."""

from __future__ import annotations

import re
from pathlib import Path

import click

from seasonplan.cli import common
from seasonplan.outputs.new_scenario import MONTHS, Answers, NewPlace, NewPlant
from seasonplan.units import METRES_PER_FOOT

YES = {"yes": True, "true": True, "no": False, "false": False}
NUMBER_OF_MATCHES = 8
FACES_QUESTION = "  It looks to (north, south-east ...)"


def gather(given: dict, talk: bool) -> Answers:
    """All answers: options first, questions for what is missing when `talk`, defaults otherwise."""
    units = _one(given["units"], talk, "Units: metric (cm, °C) or imperial (inches, °F)", "metric",
                 click.Choice(["metric", "imperial"]))
    imperial = units == "imperial"
    name = _one(given["name"], talk, "What do you call the place? It names the calendar", "My plants", str)
    latitude = _one(given["latitude"], talk, "Latitude in degrees, south negative: sets the sun and the seasons", None,
                    click.FloatRange(-90, 90), "--latitude")
    longitude = _one(given["longitude"], talk, "Longitude in degrees, west negative: sets sunrise on your clock", None,
                     click.FloatRange(-180, 180), "--longitude")
    height = _one(given["elevation"], talk, f"Height above sea level in {'feet' if imperial else 'metres'}", 0.0, float)
    timezone = _one(given["timezone"], talk, "Time zone such as Europe/Oslo (Enter: from the longitude)", "", str)
    normals = read_normals(_one(given["normals"], talk, _normals_question(imperial), None, str, "--normals"))
    policy = _one(given["policy"], talk, "Out late and safe (careful), or early, carrying in on the odd cold night "
                  "(carry-in)", "carry-in", click.Choice(["careful", "carry-in"]))
    days = _one(given["move_days"], talk, "Days you have for moving and jobs (any: every day)", "sat,sun", str)
    minutes = _one(given["minutes"], talk, "Minutes you have on such a day", 180, click.IntRange(10, 1440))
    children = _yes(given["children"], talk, "Do children live with the plants? Cautions get stronger")
    pets = _yes(given["pets"], talk, "Do pets live with the plants? Chewable toxic plants are named")
    places = tuple(place_from_text(text) for text in given["places"]) or (_ask_places(imperial) if talk else ())
    rooms = [p.name for p in places if p.kind == "indoor"]
    plants = tuple(plant_from_text(text) for text in given["plants"]) or (_ask_plants(imperial, rooms) if talk else ())
    return Answers(name, latitude, longitude, round(height * METRES_PER_FOOT, 1) if imperial else height, timezone,
                   units, policy, () if days == "any" else tuple(d.strip() for d in days.split(",")), minutes, children,
                   pets, normals, places, plants)


def _one(value, talk: bool, question: str, default, kind, option: str = ""):
    """An option's value, or the answer to a question, or the default; a missing one without a default is an error."""
    if value is not None:
        return value
    if talk:
        return click.prompt(question, default=default, type=kind, show_default=default != "")
    if default is None:
        raise click.UsageError(f"{option} is needed with --no-ask")
    return default


def _yes(value: bool | None, talk: bool, question: str) -> bool:
    if value is not None:
        return value
    return click.confirm(question, default=False) if talk else False


def _normals_question(imperial: bool) -> str:
    return ("Mean night low of each month, January first: twelve numbers in "
            f"{'°F' if imperial else '°C'} separated by commas, or a file, or a URL")


def read_normals(text: str) -> tuple[float, ...] | str | bytes:
    """Twelve numbers, a URL (kept as it is), or a file (its bytes)."""
    if text.startswith(("http://", "https://")):
        return text
    parts = [p for p in text.replace(";", ",").replace("\t", ",").split(",") if p.strip()]
    if len(parts) == 1 and len(text.split()) == 12:
        parts = text.split()
    try:
        numbers = tuple(float(p) for p in parts)
    except ValueError:
        from seasonplan.files import read_input

        return read_input(Path(text))
    if len(numbers) != 12:
        raise click.UsageError(f"normals: {len(numbers)} numbers, allowed: twelve, one for each month ({MONTHS[0]} "
                               f"to {MONTHS[-1]}), or a file, or a URL")
    return numbers


def place_from_text(text: str) -> NewPlace:
    """A place from "name: kind, key=value, ..."."""
    name, kind, keys = _named(text, "place", "porch: outdoor, faces=east")
    return NewPlace(name, kind, tuple((k, YES.get(v.lower(), _number(v))) for k, v in keys))


def plant_from_text(text: str) -> NewPlant:
    """A plant from "name: taxon, count=2, pot=25, place=..."."""
    name, taxon, keys = _named(text, "plant", "Big fig: Ficus elastica, count=2, pot=25")
    known = dict(keys)
    strange = sorted(set(known) - {"count", "pot", "place"})
    if strange:
        raise click.UsageError(f"--plant {text!r}: {', '.join(strange)} is not known; allowed: count, pot, place")
    count = known.get("count", "1")
    if not (count.isascii() and count.isdigit()):
        raise click.UsageError(f"--plant {text!r}: count is {count!r}, allowed: a whole number of pots")
    return NewPlant(name, taxon, int(count), known.get("pot", ""), known.get("place", ""))


def _named(text: str, what: str, example: str) -> tuple[str, str, list[tuple[str, str]]]:
    name, colon, rest = text.partition(":")
    first, *pairs = [part.strip() for part in rest.split(",")]
    if not colon or not name.strip() or not first or any("=" not in p for p in pairs):
        raise click.UsageError(f"--{what} {text!r} cannot be read; write it as \"{example}\"")
    return name.strip(), first, [(k.strip(), v.strip()) for k, v in (p.split("=", 1) for p in pairs)]


def _number(text: str) -> object:
    try:
        return int(text) if re.fullmatch("-?[0-9]+", text) else float(text)
    except ValueError:
        return text


def _ask_places(imperial: bool) -> tuple[NewPlace, ...]:
    common.say("\nWindows, then places outdoors. Enter without a name when done; with none at all, a\n"
               "typical room, open shade and open ground are assumed.")
    return _places("Window", "indoor", imperial) + _places("Place outdoors", "outdoor", imperial)


def _places(what: str, kind: str, imperial: bool) -> tuple[NewPlace, ...]:
    found: list[NewPlace] = []
    while name := click.prompt(f"{what} {len(found) + 1}, its name", default="", show_default=False).strip():
        asked = _window_keys(imperial) if kind == "indoor" else _outdoor_keys()
        found.append(NewPlace(name, kind, tuple((k, v) for k, v in asked if v not in ("", None))))
    return tuple(found)


def _window_keys(imperial: bool) -> list[tuple[str, object]]:
    unit, scale = ("ft", METRES_PER_FOOT) if imperial else ("m", 1.0)
    keys: list[tuple[str, object]] = [("faces", click.prompt(FACES_QUESTION, default="south"))]
    for key, words, default in (("window_width_m", "Width of the glass", 1.2),
                                ("window_height_m", "Height of the glass", 1.2),
                                ("distance_m", "Distance of the pots from the glass", 0.5)):
        value = click.prompt(f"  {words} [{unit}]", default=round(default / scale, 1), type=float)
        keys.append((key, round(value * scale, 2)))
    curtain = click.prompt("  Curtain", default="none", type=click.Choice(["none", "sheer", "blind"]))
    return [*keys, ("curtain", curtain)]


def _outdoor_keys() -> list[tuple[str, object]]:
    keys: list[tuple[str, object]] = []
    if click.confirm("  Is there a house wall behind it?", default=False):
        keys += [("faces", click.prompt(FACES_QUESTION, default="east")), ("wall_behind", True)]
    if click.confirm("  Does a roof keep off the high sun?", default=False):
        height = click.prompt("  From which height above the horizon, in degrees", default=55.0, type=float)
        keys.append(("roof_deg", height))
    if click.confirm("  Is it under a tree or shade cloth?", default=False):
        share = click.prompt("  Share of light that comes through, 0 to 1", default=0.3, type=float)
        keys.append(("leaf_shade", share))
    room = click.prompt("  Room for how many pots (Enter: no limit)", default="", show_default=False)
    return [*keys, ("room_for", _number(room) if room else None)]


def _ask_plants(imperial: bool, rooms: list[str]) -> tuple[NewPlant, ...]:
    common.say("\nPlants: type a name as you know it and pick from the matches. Enter without a name when done.")
    found: list[NewPlant] = []
    while words := click.prompt(f"Plant {len(found) + 1}", default="", show_default=False).strip():
        taxon = _pick(words)
        if taxon is None:
            continue
        name = click.prompt("  What you call it", default=_free(words, found))
        count = click.prompt("  How many pots", default=1, type=click.IntRange(min=1))
        pot = click.prompt(f"  Pot diameter in {'inches' if imperial else 'cm'} (Enter: not known)", default="",
                           show_default=False)
        place = ""
        if len(rooms) > 1:
            place = click.prompt("  Where it stands indoors", type=click.Choice(rooms), default=rooms[0])
        elif rooms:
            place = rooms[0]
        found.append(NewPlant(name, taxon, count, pot, place))
    return tuple(found)


def _free(words: str, found: list[NewPlant]) -> str:
    taken = {p.name for p in found}
    name, n = words, 2
    while name in taken:
        name, n = f"{words} {n}", n + 1
    return name


def _pick(words: str) -> str | None:
    """The catalogue key a person means; None when nothing fits."""
    from seasonplan.inputs import catalogue

    exact = catalogue.match(words)
    matches = ([exact] if exact else catalogue.find(words))[:NUMBER_OF_MATCHES]
    if not matches:
        near = catalogue.nearest(words)
        common.say(f"  Not in the catalogue.{' Did you mean ' + ', '.join(near) + '?' if near else ''}")
        return None
    for n, taxon in enumerate(matches, 1):
        common.say(f"  {n}. {taxon.common} ({taxon.botanical})")
    choice = 1 if len(matches) == 1 else click.prompt("  Which one (0: none)", default=1,
                                                      type=click.IntRange(0, len(matches)))
    return matches[choice - 1].key if choice else None
