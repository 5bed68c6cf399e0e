"""From what a person types to a town of the package's table: "Leeds", "leeds uk", "Portland, Oregon", "Munich".

A name counts in this order: as it stands (case, accents and hyphens aside), under one of its names in other languages,
as a part of a longer name, with one slip of the pen. What follows a comma, or stands at the end, may name the country
or the state: each way is tried with and without that before the next. Of towns with one name none is guessed: the list
goes back, in order of people.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache

import numpy as np

from seasonplan.atlas.nearby import distances_km
from seasonplan.atlas.tables import folded, towns
from seasonplan.data import table
from seasonplan.inputs.gathering import nearest
from seasonplan.model import Town

FEWEST_LETTERS = 5
"""Names shorter than this are not looked for with a slip of the pen."""
MOST_WORDS_OF_A_STATE = 4
@dataclass(frozen=True)
class FoundTowns:
    """Towns that a text can mean, the most people first, and how it was understood: "exact" | "part" (of a longer name)
    | "slip" (of the pen); "none" with names like it in `near`."""

    towns: tuple[Town, ...]
    how: str
    near: tuple[str, ...] = ()


def told_apart(some: tuple[Town, ...]) -> tuple[str, ...]:
    """For each town what to type to mean it and none of the others, as far as names can."""
    full = [town.full_name for town in some]
    return tuple(name if full.count(name) == 1 else ", ".join([town.name, town.state or town.region, town.country])
                 for town, name in zip(some, full, strict=True))


def find_towns(text: str) -> FoundTowns:
    """What a typed name can mean."""
    for how, look in (("exact", _named), ("part", _containing), ("slip", _misspelt)):
        for name, narrowed in _readings(text):
            rows = [row for row in look(name) if _fits(row, narrowed)]
            if rows:
                return FoundTowns(tuple(map(town_at, sorted(rows, key=lambda row: (-towns().people[row], row)))), how)
    name = folded(text.split(",")[0])
    near = nearest(name, dict.fromkeys(_folded_names()), most=3, at_least=0.5) if name else []
    return FoundTowns((), "none", tuple(town_at(_named(each)[0]).full_name for each in near))


def nearest_town(latitude: float, longitude: float) -> tuple[Town, float]:
    """The nearest town of the table, and how far it is [km]."""
    km = distances_km(latitude, longitude, towns().latitude, towns().longitude)
    row = int(np.argmin(km))
    return town_at(row), float(km[row])


def town_at(row: int) -> Town:
    known = towns()
    country, region = known.countries[row], known.regions[row]
    return Town(known.names[row], country, _countries().get(country, country), region,
                _regions().get((country, region), ""), float(known.latitude[row]), float(known.longitude[row]),
                float(known.elevation_m[row]), known.zones[int(known.zone_row[row])], int(known.people[row]))


def _readings(text: str) -> list[tuple[str, list[str]]]:
    """(folded name, folded countries and states it must lie in), the plainest reading first."""
    parts = [folded(part) for part in text.split(",")]
    found: list[tuple[str, list[str]]] = [(folded(text), [])]
    if len(parts) > 1:
        found.append((parts[0], [part for part in parts[1:] if part]))
    words = folded(text).split()
    for kept in range(len(words) - 1, max(0, len(words) - 1 - MOST_WORDS_OF_A_STATE), -1):
        rest = " ".join(words[kept:])
        if rest in _all_areas() and "," not in text:
            found.append((" ".join(words[:kept]), [rest]))
    return [(name, narrowed) for name, narrowed in found if name]


@cache
def _folded_names() -> list[str]:
    return folded("\n".join(towns().names)).split("\n")


@cache
def _beginning(letter: str) -> dict[int, str]:
    """Rows whose folded name can begin with a letter, and that name: to fold them takes less time than to fold all."""
    names = towns().names
    first = {each: folded(each) for each in {name[:1] for name in names}}
    rows = [row for row, name in enumerate(names) if first[name[:1]][:1] in ("", letter)]
    return dict(zip(rows, folded("\n".join(names[row] for row in rows)).split("\n"), strict=True))


def _named(name: str) -> list[int]:
    """Rows of this name, or under it in another language where that is the larger town."""
    spellings, likely = {name, name.replace("ae", "a").replace("oe", "o").replace("ue", "u")}, _beginning(name[:1])
    own = [row for row, each in likely.items() if each == name] or \
        [row for row, each in likely.items() if each in spellings]
    largest = max((towns().people[row] for row in own), default=0)
    other = [row for row, each in enumerate(towns().also)
             if name in each and name in each.split("|") and towns().people[row] > largest]
    return list(dict.fromkeys([*own, *other]))


def _containing(name: str) -> list[int]:
    return [row for row, each in enumerate(_folded_names()) if name in each and f" {name} " in f" {each} "]


def _misspelt(name: str) -> list[int]:
    if len(name) < FEWEST_LETTERS:
        return []
    return [row for row, each in enumerate(_folded_names()) if abs(len(each) - len(name)) <= 1 and one_slip(name, each)]


def one_slip(one: str, other: str) -> bool:
    """Whether one letter more, less, other, or two neighbours swapped, makes one word the other."""
    shorter, longer = sorted((one, other), key=len)
    same = next((n for n, letter in enumerate(shorter) if letter != longer[n]), len(shorter))
    if len(longer) > len(shorter):
        return shorter[same:] == longer[same + 1:]
    swapped = shorter[same + 1:same + 2] + shorter[same:same + 1]
    return shorter[same + 1:] == longer[same + 1:] or swapped + shorter[same + 2:] == longer[same:]


def _fits(row: int, narrowed: list[str]) -> bool:
    country, region = towns().countries[row], towns().regions[row]
    areas = _areas_of_country(country) | _areas_of_region(country, region)
    return all(each in areas for each in narrowed)


@cache
def _countries() -> dict[str, str]:
    return {row["code"]: row["name"] for row in table("countries")}


@cache
def _regions() -> dict[tuple[str, str], str]:
    return {(row["country"], row["code"]): row["name"] for row in table("regions")}


@cache
def _areas_of_country(code: str) -> frozenset[str]:
    """Folded code and names of a country."""
    return frozenset(folded(name) for row in table("countries") if row["code"] == code
                     for name in (code, row["name"], *row["also"].split("|"))) - {""}


@cache
def _areas_of_region(country: str, code: str) -> frozenset[str]:
    """Folded code and names of a state."""
    return frozenset(folded(name) for row in table("regions") if (row["country"], row["code"]) == (country, code)
                     for name in (row["name"], *row["also"].split("|"))) - {""} | {folded(code)}


@cache
def _all_areas() -> frozenset[str]:
    return frozenset().union(*(_areas_of_country(row["code"]) for row in table("countries")),
                             *(_areas_of_region(row["country"], row["code"]) for row in table("regions")))
