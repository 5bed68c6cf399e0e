"""readings.csv: the lows of the person's own minimum thermometers, `date,place,tmin_c`.

date: the morning on which the thermometer was read; the night is the one before. place: an outdoor place of the
scenario.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from datetime import date

from seasonplan.inputs.decoding import header_of, read_text, separator_of
from seasonplan.inputs.gathering import Faults, Wrong, did_you_mean, same_name, shown
from seasonplan.inputs.log import append_row, without_entries
from seasonplan.inputs.tables import Row, read_table
from seasonplan.inputs.values import celsius_in, line_of_text, text_day
from seasonplan.model import Place, Reading
from seasonplan.units import BELIEVABLE, c_to_fahrenheit

READINGS_HEADER = "date,place,tmin_c"
COLUMNS = ("date", "place", "tmin_c", "tmin_f")


def read_readings(file: str, data: bytes, places: Sequence[Place] | None, faults: Faults) -> tuple[Reading, ...]:
    """All readings by date and place. An empty file holds none. places None: they could not be read, and names are not
    checked."""
    text = read_text(file, data, Faults())
    if text is not None and not text.strip():
        return ()
    table = read_table(file, data, COLUMNS, ("date", "place"), faults, numeric=COLUMNS[2:])
    if table is None:
        return ()
    column = table.either("tmin_c", "tmin_f", missing="the readings are")
    found: dict[tuple[date, str], Reading] = {}
    for row in table.rows if column else ():
        reading = _reading(row, column or "", places)
        if reading is None:
            continue
        earlier = found.setdefault((reading.date, reading.place), reading)
        if earlier is not reading:
            row.fault("date", f"{reading.date} at {shown(reading.place)} stands on line {earlier.line} too",
                      "one reading for a place and a morning")
    return tuple(sorted(found.values(), key=lambda one: (one.date, one.place)))


def _reading(row: Row, column: str, places: Sequence[Place] | None) -> Reading | None:
    day = row.need("date", text_day, "the morning of reading, as YYYY-MM-DD")
    name = row.need("place", lambda text: outdoor_name(line_of_text(text), places), "an outdoor place of scenario.toml")
    low = row.need(column, celsius_in(column, *BELIEVABLE["tmin_c"]), "a temperature")
    return None if day is None or name is None or low is None else Reading(day, name, low, row.line)


def outdoor_name(name: str, places: Sequence[Place] | None) -> str:
    """The name of an outdoor place as scenario.toml writes it. Raises Wrong."""
    if places is None:
        return name
    known = {same_name(place.name): place for place in places}
    place = known.get(same_name(name))
    outdoors = [each.name for each in places if each.outdoors]
    if place is not None and place.outdoors:
        return place.name
    what = f"{shown(name)} is an indoor place" if place is not None else f'no place is called "{shown(name)}"'
    raise Wrong(what, f"an outdoor place of scenario.toml: {', '.join(map(shown, outdoors)) or 'there is none'}",
                did_you_mean(name, outdoors))


def with_reading(text: str, known: Sequence[Reading], reading: Reading) -> str:
    """The file's text with one more reading, in its own unit and with its own decimal sign. known: those that stand in
    it; one of the same morning and place gives way."""
    text = without_entries(text, same_reading(known, reading.date, reading.place))
    fahrenheit = "tmin_f" in [name.casefold() for name in header_of(text.encode())]
    low = f"{c_to_fahrenheit(reading.tmin_c):.1f}" if fahrenheit else f"{round(reading.tmin_c, 2):g}"
    if separator_of(text)[0] == ";" and re.search(r"\d,\d", text):
        low = low.replace(".", ",")
    return append_row(text, READINGS_HEADER, {"date": reading.date.isoformat(), "place": reading.place,
                                              "tmin_f" if fahrenheit else "tmin_c": low})


def same_reading(known: Sequence[Reading], day: date | None, place: str) -> list[Reading]:
    """The reading of a morning (None: of the last one) at a place; several where no place is named."""
    those = [one for one in known if not place or same_name(one.place) == same_name(place)]
    last = max((one.date for one in those), default=None) if day is None else day
    return [one for one in those if one.date == last]
