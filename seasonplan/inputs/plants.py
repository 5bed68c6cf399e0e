"""plants.csv: one row per plant, or per group of like pots that always move together."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from functools import partial
from typing import NamedTuple

from seasonplan.data import table
from seasonplan.inputs import catalogue
from seasonplan.inputs.gathering import Faults, did_you_mean, one_of, same_name, shown
from seasonplan.inputs.pests import text_pest
from seasonplan.inputs.tables import Row, Table, read_table
from seasonplan.inputs.values import (
    celsius_in,
    line_of_text,
    notes_text,
    text_day,
    text_number,
    text_whole,
    text_yes_no,
)
from seasonplan.model import Place, Plant, Taxon
from seasonplan.units import BELIEVABLE, CM_PER_INCH, inches_to_cm

COLUMNS = ("name", "taxon", "count", "pot_cm", "pot_in", "place", "last_repotted", "last_leached", "root_bound",
           "pests", "harm_c", "harm_f", "harm_hardened_c", "harm_hardened_f", "comfort_c", "comfort_f",
           "light_high_mol", "arrived", "left", "tall_cm", "tall_in", "notes")
NUMERIC = ("count", "pot_cm", "pot_in", "tall_cm", "tall_in", "harm_c", "harm_f", "harm_hardened_c",
           "harm_hardened_f", "comfort_c", "comfort_f", "light_high_mol")
HARM_C = (-20.0, 25.0)
COMFORT_C = (-15.0, 30.0)
LIGHT_MOL = (0.5, 70.0)
TALL_CM = (2.0, 1500.0)
MOST_POTS = 100_000
LIGHT_OF_SUN = {"shade": 8.0, "part-sun": 25.0, "sun": 40.0}
"""Usual upper end of the light that plants of a sun class grow in, in the catalogue [mol a day]: what `light_high_mol`
of a plant that is not in it says of its class."""
EARLIEST, LATEST = date(1950, 1, 1), date(2199, 12, 31)


class Surroundings(NamedTuple):
    """What a row is checked against. places: by same_name, None when they could not be read; place_optional: the one
    assumed room stands in for an empty cell; until: the planning year's end, None when the year is not given."""

    places: dict[str, Place] | None
    place_optional: bool
    until: date | None


def read_plants(file: str, data: bytes, around: Surroundings, faults: Faults) -> tuple[tuple[Plant, ...], list[str]]:
    """(plants in file order, assumptions). Rows with faults are left out; their faults stand."""
    required = ("name", "taxon", "count") if around.place_optional else ("name", "taxon", "count", "place")
    rows = read_table(file, data, COLUMNS, required, faults, NUMERIC)
    if rows is None:
        return (), []
    _check_columns(rows)
    by_row = [(row, plant) for row in rows.rows if (plant := _plant(row, around))]
    plants = [plant for _, plant in by_row]
    _check_names(rows)
    _check_room(plants, around, rows)
    taken = [f"{plant.name}: {understood.note}." for row, plant in by_row
             if len((understood := catalogue.understand(row.text("taxon"))).choices) > 1 and understood.taxon]
    return tuple(plants), [*taken, *_assumptions(plants)]


def _check_columns(rows: Table) -> None:
    rows.either("pot_cm", "pot_in", "the pot size is", "Amounts and weights follow from it; cells may stay empty.")
    rows.either("harm_c", "harm_f")
    rows.either("harm_hardened_c", "harm_hardened_f")
    rows.either("comfort_c", "comfort_f")
    rows.either("tall_cm", "tall_in")
    if not rows.rows:
        rows.faults.add(rows.file, rows.header_line, "", "there is no plant in it", "at least one row below the header")


def _check_names(rows: Table) -> None:
    seen: dict[str, int] = {}
    for row in rows.rows:
        name = same_name(row.text("name"))
        if name in seen:
            row.fault("name", f'"{shown(row.text("name"))}" is the name of the plant on line {seen[name]} too',
                      "names that differ in more than case",
                      "Like pots that move together are one row with their count.")
        elif name:
            seen[name] = row.line


def _check_room(plants: list[Plant], around: Surroundings, rows: Table) -> None:
    for place in (around.places or {}).values():
        there = [plant for plant in plants if plant.place == place.name]
        pots = sum(plant.count for plant in there)
        if place.room_for is not None and pots > place.room_for:
            rows.faults.add(rows.file, there[-1].line, "place", f"{pots} pots stand in {shown(place.name)}",
                            f"{place.room_for}, its room_for", "Raise room_for, or move some pots elsewhere.")


def _plant(row: Row, around: Surroundings) -> Plant | None:
    before = len(row.table.faults.found)
    name = row.need("name", line_of_text, "a name for the plant")
    count = row.need("count", partial(text_whole, low=1, high=MOST_POTS, unit="pots"), "the number of pots, 1 or more")
    place = _place(row, around)
    harm_c, comfort_c = _threshold(row, "harm", HARM_C), _threshold(row, "comfort", COMFORT_C)
    hardened_c = _threshold(row, "harm_hardened", HARM_C)
    light_high = row.get("light_high_mol", partial(text_number, low=LIGHT_MOL[0], high=LIGHT_MOL[1], unit="mol a day"))
    taxon = _taxon(row, harm_c, comfort_c, light_high)
    pot_cm = _pot(row)
    repotted, leached = _past_day(row, "last_repotted", around), _past_day(row, "last_leached", around)
    root_bound = row.get("root_bound", text_yes_no)
    pests = row.get("pests", text_pest) or "none"
    arrived, left, tall_cm = _day_near(row, "arrived", around), _day_near(row, "left", around), _tall(row)
    if arrived is not None and left is not None and left < arrived:
        row.fault("left", f"it left on {left}", f"a day not before it arrived ({arrived})", "Are the two the wrong way "
                  "round?")
    notes = row.get("notes", notes_text) or ""
    if len(row.table.faults.found) > before or not (name and count and taxon and place is not None):
        return None
    fresh_c = taxon.harm_c if harm_c is None else harm_c
    plant = Plant(name, taxon, count, pot_cm, place, fresh_c,
                  hardened_from(taxon, fresh_c) if hardened_c is None else hardened_c,
                  taxon.comfort_c if comfort_c is None else comfort_c, light_high or taxon.light_high_mol, repotted,
                  leached, root_bound, pests, notes, row.line, arrived, left, tall_cm)
    return plant if _thresholds_agree(row, plant) else None


def hardened_from(taxon: Taxon, harm_c: float) -> float:
    """The hardened threshold of a plant whose row gives only a fresh one [°C]: as far below it as the catalogue's lies
    below the catalogue's, but no colder than that unless the given one is."""
    step_c = taxon.harm_c - taxon.harm_hardened_c
    return max(harm_c - step_c, min(harm_c, taxon.harm_hardened_c))


def _thresholds_agree(row: Row, plant: Plant) -> bool:
    own = [name for name in row.table.columns if name.startswith(("harm", "comfort")) and row.text(name)]
    if plant.harm_hardened_c > plant.harm_c:
        row.fault(next(name for name in own if name.startswith("harm_hardened")),
                  f"hardened it is harmed at {plant.harm_hardened_c:.3g} °C, fresh from indoors at "
                  f"{plant.harm_c:.3g} °C",
                  "a hardened harm that is not above harm", "A plant used to outdoors bears colder nights, not warmer.")
        return False
    if plant.comfort_c >= plant.harm_c:
        return True
    row.fault(own[0] if own else "harm_c", f"comfort {plant.comfort_c:.3g} °C is below harm {plant.harm_c:.3g} °C",
              "a comfort that is not below harm", "Give both, or check which is which." if len(own) < 2 else
              "Are the two the wrong way round?")
    return False


def _threshold(row: Row, which: str, span_c: tuple[float, float]) -> float | None:
    column = f"{which}_f" if f"{which}_f" in row.table.columns else f"{which}_c"
    return row.get(column, celsius_in(column, *span_c))


def _pot(row: Row) -> float | None:
    low, high = BELIEVABLE["pot_cm"]
    if "pot_in" in row.table.columns:
        inches = row.get("pot_in", partial(text_number, low=low / CM_PER_INCH, high=high / CM_PER_INCH, unit="in"))
        return None if inches is None else inches_to_cm(inches)
    return row.get("pot_cm", partial(text_number, low=low, high=high, unit="cm", hint=lambda value: (
        "Is the column in millimetres?" if value > high else "Is the column in inches?")))


def _tall(row: Row) -> float | None:
    low, high = TALL_CM
    if "tall_in" in row.table.columns:
        inches = row.get("tall_in", partial(text_number, low=low / CM_PER_INCH, high=high / CM_PER_INCH, unit="in"))
        return None if inches is None else inches_to_cm(inches)
    return row.get("tall_cm", partial(text_number, low=low, high=high, unit="cm", hint=lambda value: (
        "Is the column in metres?" if value < low else "Is the column in millimetres?")))


def _day_near(row: Row, column: str, around: Surroundings) -> date | None:
    """The day a plant came or went: it may lie ahead, where that is known."""
    day = row.get(column, text_day)
    if day is not None and not EARLIEST <= day <= LATEST:
        row.fault(column, f"found {day}", f"a date from {EARLIEST} to {LATEST}")
    return day


def _past_day(row: Row, column: str, around: Surroundings) -> date | None:
    day = row.get(column, text_day)
    if day is not None and (day < EARLIEST or (around.until is not None and day > around.until)):
        row.fault(column, f"found {day}", f"a date from {EARLIEST} to {around.until or 'today'}",
                  "It is what was done last, not what is planned.")
    return day


def _place(row: Row, around: Surroundings) -> str | None:
    """The name of the indoor place; "" when places could not be read."""
    name = row.text("place")
    if around.places is None:
        return ""
    place = around.places.get(same_name(name)) if name else None
    if place is not None and not place.outdoors:
        return place.name
    rooms = [place.name for place in around.places.values() if not place.outdoors]
    if not name:
        if around.place_optional:
            return rooms[0]
        row.need("place", line_of_text, describe(rooms))
    elif place is None:
        row.fault("place", f'no place is called "{shown(name)}"', describe(rooms),
                  did_you_mean(name, rooms) or "Add it to scenario.toml as a [[place]]?")
    else:
        row.fault("place", f'"{shown(place.name)}" is outdoors', describe(rooms),
                  "It is where the plant stands in winter; the plan finds its places outdoors.")
    return None


def describe(names: list[str]) -> str:
    """Indoor places for "allowed"."""
    return one_of([f'"{shown(name)}"' for name in names]) if names else "the name of an indoor place"


def _taxon(row: Row, harm_c: float | None, comfort_c: float | None, light_high: float | None) -> Taxon | None:
    name = row.need("taxon", line_of_text, "a botanical or common name")
    if name is None:
        return None
    understood = catalogue.understand(name)
    if understood.taxon is not None:
        return understood.taxon
    if harm_c is not None and comfort_c is not None:
        return unknown_taxon(name, harm_c, comfort_c, light_high)
    if any(row.text(column) and value is None for column, value in
           (("harm_c", harm_c), ("harm_f", harm_c), ("comfort_c", comfort_c), ("comfort_f", comfort_c))):
        return None
    near = catalogue.nearest(name) if understood.near else \
        [f"{taxon.common} ({taxon.botanical.split(' (')[0]})" for taxon in understood.choices]
    row.fault("taxon", understood.note, "a name from `seasonplan catalogue`, or both harm_c and comfort_c of your own",
              f"Did you mean {one_of(near)}?" if near else "")
    return None


def unknown_taxon(name: str, harm_c: float, comfort_c: float, light_high: float | None) -> Taxon:
    """A plant that is not in the catalogue, with the row's own thresholds and careful defaults for the rest."""
    careful = dict(table("unknown_taxon")[0])
    key = "-".join(catalogue.plain(name).split()) or "unknown"
    taxon = catalogue.as_taxon({**careful, "key": key, "botanical": name, "common": name, "harm_c": str(harm_c),
                                "harm_hardened_c": str(harm_c), "comfort_c": str(comfort_c)})
    if light_high is None:
        return taxon
    sun = next(sun for sun, usual in reversed(LIGHT_OF_SUN.items()) if light_high >= usual or sun == "shade")
    return replace(taxon, light_high_mol=light_high, light_low_mol=min(taxon.light_low_mol, light_high), sun=sun)


def _assumptions(plants: list[Plant]) -> list[str]:
    known = {taxon.key for taxon in catalogue.catalogue()}
    notes = [f"{plant.name}: {shown(plant.taxon.botanical)} is not in the catalogue; beyond its own thresholds it is "
             f"taken (assumed) as a {plant.taxon.sun} plant, for up to {plant.light_high_mol:g} mol of light a day and "
             "sheltered places, and as toxic." for plant in plants if plant.taxon.key not in known]
    without = [plant.name for plant in plants if plant.pot_cm is None]
    if without:
        notes.append(f"Pot size not given for {len(without)} of {len(plants)} plants; amounts for them are estimates.")
    return notes
