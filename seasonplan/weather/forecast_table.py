"""A forecast as a small table: `date,tmin_c` or `date,tmin_f`, one row per night.

date (or `night`): the evening on which the night begins (the low itself usually comes the morning after). Optional
columns: the low's 10th and 90th percentile (`tmin_p10_c`, `tmin_p90_c`), `calm_clear` (yes/no: the night is calm and
clear), `wind_m_s`; of the 24 hours from that morning on `tmax_c` or `tmax_f`, `gust_m_s`, `rain_mm` and `hail` (yes or
no). The lows are those of the station behind the normals.
"""

from __future__ import annotations

from functools import partial
from typing import Any

from seasonplan.inputs.gathering import Faults
from seasonplan.inputs.tables import Row, read_table
from seasonplan.inputs.values import celsius_in, text_day, text_number, text_yes_no
from seasonplan.model import Forecast, Site
from seasonplan.units import BELIEVABLE
from seasonplan.weather.night_hours import Gathered, assemble

STRONGEST_WIND_M_S, MOST_RAIN_MM = 110.0, 1000.0
NUMBERS = {"wind_m_s": ("wind_m_s", STRONGEST_WIND_M_S, "m/s"), "gust_m_s": ("gust_m_s", STRONGEST_WIND_M_S, "m/s"),
           "rain_mm": ("rain_mm", MOST_RAIN_MM, "mm")}
"""Column -> (field of ForecastNight, highest, unit)."""
TEMPERATURES = {"tmin_p10_c": "p10_c", "tmin_p90_c": "p90_c", "tmax_c": "high_c", "tmax_f": "high_c"}
ANSWERS = {"calm_clear": "calm_clear", "hail": "hail"}
COLUMNS = ("date", "night", "tmin_c", "tmin_f", *TEMPERATURES, *NUMBERS, *ANSWERS)


def read_table_forecast(content: bytes, site: Site, name: str) -> Forecast:
    """The forecast in a table. Raises InputFaults with every fault of it."""
    faults, found = Faults(), Gathered()
    numeric = tuple(column for column in COLUMNS[2:] if column not in ANSWERS)
    table = read_table(name, content, COLUMNS, (), faults, numeric)
    if table is not None:
        day = table.either("date", "night", missing="the nights are")
        low = table.either("tmin_c", "tmin_f", missing="the lows are")
        table.either("tmax_c", "tmax_f")
        for row in table.rows if day and low else ():
            _take_row(row, day or "", low or "", found)
        if not table.rows:
            faults.add(name, 0, "", "there is no night in it", "at least one row")
    faults.raise_if_any()
    return assemble(name, None, site, found, None)


def _take_row(row: Row, day: str, low_column: str, found: Gathered) -> None:
    evening = row.need(day, text_day, "a date as YYYY-MM-DD")
    low = row.need(low_column, celsius_in(low_column, *BELIEVABLE["tmin_c"]), "a temperature")
    rest = _rest(row)
    if evening in found.lows_c:
        row.fault(day, f"{evening} stands there twice", "each night once")
    if evening is not None and low is not None:
        found.lows_c[evening] = low
        found.add(evening, **rest)


def _rest(row: Row) -> dict[str, Any]:
    found: dict[str, Any] = {}
    for column, field in TEMPERATURES.items():
        kind = "tmax_c" if field == "high_c" else "tmin_c"
        found[field] = row.get(column, celsius_in(column, *BELIEVABLE[kind])) if column in row.table.columns \
            else found.get(field)
    for column, (field, highest, unit) in NUMBERS.items():
        found[field] = row.get(column, partial(text_number, low=0.0, high=highest, unit=unit))
    for column, field in ANSWERS.items():
        found[field] = row.get(column, text_yes_no)
    return found
