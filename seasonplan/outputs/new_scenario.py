"""The files of a new scenario folder, written from a person's answers: the same answers give the same bytes.

While questions are open, scenario.toml ends with the answers as they were typed, as comments; `kept_answers` reads them
back, so that a folder that was left half done is gone on with.
"""

from __future__ import annotations

import csv
import io
import json
import re
from collections.abc import Mapping, Sequence
from hashlib import blake2b

from seasonplan.model.begun import Answers, NewPlace
from seasonplan.units import CM_PER_INCH

COLUMNS = ("name", "taxon", "count", "pot_cm", "place", "last_repotted", "root_bound", "pests", "arrived", "notes")
OWN = ("harm_c", "comfort_c", "light_high_mol")
KEPT, MARK = "#? ", "mark"
"""Begins a comment that keeps an answer; names the last of them, by which a change made by hand is noticed."""
PLANTS_ABOUT = """\
# The plants stand in plants.csv, one row each (like pots that move together are one row with their count). Cells may
# stay empty; filled in they make jobs and amounts exact: pot_cm (or pot_in), place (the window), last_repotted and
# last_leached (dates), root_bound (yes, no), pests (none, scale, mealybug, spider-mite, aphid, whitefly, unknown),
# arrived, left (dates), notes. harm_c, comfort_c and light_high_mol replace the catalogue's figures.
"""
SITE_MORE = """\
# name = "Anna's garden"       # where you plan several gardens of one town together
# elevation_m = 120            # your garden's height, where the town's is not it: nights fall by 5 °C per km
# night_offset_c = -1.0        # your garden's nights against the town's
# A file normals.csv in this folder (month,tmin_c: twelve mean night lows) replaces the estimated nights.
"""
RULES_MORE = """\
# policy = "careful"           # "carry-in" (usual): out earlier, and in again for a cold night or two; "careful": later
# carry_in_nights = 2          # so many at each end of the season
# summer = "in-shade"          # "toward-sun" (usual): plants that like sun get it, step by step
# calendar = "by-step"         # "by-day" (usual): the jobs of a day are one event
"""
UNITS = '# units = "{other}"\n'
PLACE_MORE = """\
# Every window and every spot outdoors where a plant can stand is a [[place]]; this much can be said of each:
#
# [[place]]
# name = "kitchen window"
# kind = "indoor"
# faces = "east"               # a compass point, or degrees from north over east
# window_width_m = 1.4         # the glass
# window_height_m = 1.3
# distance_m = 0.5             # of the pots from the glass
# curtain = "none"             # none, sheer, blind
# measured_lux = 2000          # a light meter's reading at a bright midday replaces all of these
#
# [[place]]
# name = "under the balcony"
# kind = "outdoor"
# faces = "south"
# wall_behind = true           # a house wall behind it
# roof_deg = 55                # how high above the horizon a roof's edge stands, seen straight out
# horizon_deg = 12             # fence, house, trees: no light comes from lower down
# leaf_shade = 0.3             # the share of light that a tree or cloth lets through
# night_lift_c = 1.0           # nights are so much warmer than on open ground
# room_for = 12                # pots
"""
AWAY_MORE = """\
# Days without you:
#
# [[away]]
# from = {year}-07-10
# until = {year}-07-24           # the day you are back
# helper = true                # somebody looks in who can water and carry
"""


def scenario_files(answers: Answers, kept: Mapping[str, str], year: int) -> dict[str, bytes]:
    """File name -> bytes. kept: the typed answers, while questions are open. year: of the example of days away."""
    text = scenario_toml(answers, year)
    files = {"plants.csv": plants_csv(answers).encode()} if answers.plants else {}
    if kept:
        text += "\n# Not all was answered yet: `seasonplan start` with this folder goes on from here.\n" + "".join(
            f"{KEPT}{key}: {value}\n" for key, value in kept.items())
        text += f"{KEPT}{MARK}: {_mark(text, files.get('plants.csv'))}\n"
    return {"scenario.toml": text.encode(), **files}


def _mark(text: str, plants: bytes | None) -> str:
    return blake2b(text.encode() + b"\0" + (plants or b""), digest_size=6).hexdigest()


def kept_answers(scenario: bytes, plants: bytes | None) -> tuple[dict[str, str], bool]:
    """(the typed answers that an unfinished scenario.toml keeps, none in a finished one; whether both files are as they
    were written)."""
    text = scenario.decode(errors="replace")
    kept = dict(re.findall(rf"^{re.escape(KEPT)}(\w+): (.*)$", text, re.MULTILINE))
    mark = kept.pop(MARK, "")
    return kept, mark == _mark(text.removesuffix(f"{KEPT}{MARK}: {mark}\n"), plants)


def scenario_toml(answers: Answers, year: int) -> str:
    """scenario.toml with what was answered, and as comments what else there is."""
    where = answers.where
    named = {"town": where.town} if where.town else {
        "name": where.name, "latitude": where.latitude, "longitude": where.longitude}
    blocks = ["# Where it is: height, time zone and night temperatures follow from it.\n[site]\n" + _keys(named)
              + SITE_MORE, "[rules]\n" + _rules(answers) + RULES_MORE
              + UNITS.format(other="metric" if where.imperial else "imperial"), PLANTS_ABOUT]
    blocks += [_place(place) for place in (*answers.windows, *answers.outdoors)]
    blocks += [PLACE_MORE, AWAY_MORE.format(year=year)]
    return "\n".join(blocks)


def _rules(answers: Answers) -> str:
    keys: dict[str, object] = {}
    if answers.time is not None:
        days, minutes = answers.time
        keys |= {"move_days": list(days), "minutes_per_day": minutes}
    if answers.household is not None:
        children, pets = answers.household
        keys |= {"children": children, "pets": pets}
    return _keys(keys)


def _place(place: NewPlace) -> str:
    text = "[[place]]\n" + _keys({"name": place.name, "kind": place.kind, **dict(place.keys)})
    return re.sub(r"(?m)^(leaf_shade = .*)$", rf"\1   # {place.about}", text) if place.about else text


def _keys(pairs: Mapping[str, object]) -> str:
    return "".join(f"{key} = {_toml(value)}\n" for key, value in pairs.items())


def _toml(value: object) -> str:
    if isinstance(value, bool):
        return "true" if value else "false"
    if isinstance(value, (list, tuple)):
        return "[" + ", ".join(_toml(each) for each in value) + "]"
    return json.dumps(value, ensure_ascii=False) if isinstance(value, str) else f"{value:g}"


def plants_csv(answers: Answers) -> str:
    """plants.csv, pots in the unit of the country; columns that may be filled in stand there empty."""
    plants = answers.plants or ()
    own = OWN if any(plant.own for plant in plants) else ()
    columns = [*COLUMNS[:-1], *own, COLUMNS[-1]]
    inches = answers.where.imperial
    text = io.StringIO()
    rows = csv.writer(text, lineterminator="\n")
    rows.writerow(["pot_in" if inches and column == "pot_cm" else column for column in columns])
    for plant in plants:
        cells: dict[str, Sequence[str] | str | int] = {"name": plant.name, "taxon": plant.taxon, "count": plant.count,
                                                       "place": plant.place}
        if plant.pot_cm is not None:
            cells["pot_cm"] = f"{plant.pot_cm / CM_PER_INCH if inches else plant.pot_cm:.3g}"
        if plant.own:
            cells |= {name: f"{value:.3g}" for name, value in zip(OWN, plant.own, strict=True)}
        rows.writerow([cells.get(column, "") for column in columns])
    return text.getvalue()
