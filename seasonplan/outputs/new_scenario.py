"""The files of a new scenario folder, written from a person's answers: the same answers give the same bytes."""

from __future__ import annotations

import csv
import io
import json
from dataclasses import dataclass, field

MONTHS = ("January", "February", "March", "April", "May", "June", "July", "August", "September", "October",
          "November", "December")


@dataclass(frozen=True)
class NewPlace:
    """A place to write down: `keys` are those of [[place]] beyond name and kind, in the order to be written."""

    name: str
    kind: str
    keys: tuple[tuple[str, object], ...] = ()


@dataclass(frozen=True)
class NewPlant:
    """A row of plants.csv; pot in the person's unit (cm or inches), "" when not known."""

    name: str
    taxon: str
    count: int = 1
    pot: str = ""
    place: str = ""


@dataclass(frozen=True)
class Answers:
    """Everything `start` asks for. normals: 12 lows in the person's unit, or a URL, or the bytes of a given file."""

    name: str
    latitude: float
    longitude: float
    elevation_m: float
    timezone: str
    units: str
    policy: str
    move_days: tuple[str, ...]
    minutes_per_day: int
    children: bool
    pets: bool
    normals: tuple[float, ...] | str | bytes
    places: tuple[NewPlace, ...] = ()
    plants: tuple[NewPlant, ...] = field(default_factory=tuple)


def scenario_files(answers: Answers) -> dict[str, bytes]:
    """File name -> bytes of a new scenario folder."""
    files = {"scenario.toml": scenario_toml(answers).encode(), "plants.csv": plants_csv(answers).encode()}
    if isinstance(answers.normals, bytes):
        files["normals.csv"] = answers.normals
    elif not isinstance(answers.normals, str):
        files["normals.csv"] = normals_csv(answers.normals, answers.units).encode()
    return files


def scenario_toml(answers: Answers) -> str:
    """scenario.toml with a comment on each block."""
    normals = answers.normals if isinstance(answers.normals, str) else "normals.csv"
    lines = ["# Where it is. Degrees: north and east are positive.", "[site]",
             *_pairs(name=answers.name, latitude=answers.latitude, longitude=answers.longitude,
                     elevation_m=answers.elevation_m, timezone=answers.timezone, normals=normals),
             "", "# How it is decided, and the time you have on the days you move plants.", "[rules]",
             *_pairs(policy=answers.policy, move_days=list(answers.move_days), minutes_per_day=answers.minutes_per_day,
                     children=answers.children, pets=answers.pets, units=answers.units)]
    if answers.places:
        lines += ["", "# Every window and every spot outdoors where a plant can stand."]
    for place in answers.places:
        lines += ["", "[[place]]", *_pairs(name=place.name, kind=place.kind, **dict(place.keys))]
    return "\n".join(lines) + "\n"


def _pairs(**pairs: object) -> list[str]:
    return [f"{key} = {_toml(value)}" for key, value in pairs.items() if value is not None and value != ""]


def _toml(value: object) -> str:
    if isinstance(value, bool):
        return "true" if value else "false"
    if isinstance(value, list):
        return "[" + ", ".join(_toml(v) for v in value) + "]"
    if isinstance(value, str):
        return json.dumps(value, ensure_ascii=False)
    return f"{value:g}" if isinstance(value, float) and abs(value) < 1e-3 else str(value)


def plants_csv(answers: Answers) -> str:
    """plants.csv, pots in the person's unit."""
    text = io.StringIO()
    rows = csv.writer(text, lineterminator="\n")
    rows.writerow(["name", "taxon", "count", "pot_in" if answers.units == "imperial" else "pot_cm", "place"])
    for plant in answers.plants:
        rows.writerow([plant.name, plant.taxon, plant.count, plant.pot, plant.place])
    return text.getvalue()


def normals_csv(lows: tuple[float, ...], units: str) -> str:
    """normals.csv from twelve mean night lows."""
    column = "tmin_f" if units == "imperial" else "tmin_c"
    return f"month,{column}\n" + "".join(f"{n},{low:g}\n" for n, low in enumerate(lows, 1))
