"""A forecast as a small table: `date,tmin_c` or `date,tmin_f`, one row per night.

date: the evening on which the night begins (the low itself usually comes the morning after). Optional columns:
`calm_clear` (yes/no: the night is calm and clear) and `wind_m_s`. The lows are those of the station behind the normals.
"""

from __future__ import annotations

from seasonplan.inputs.gathering import Faults
from seasonplan.inputs.tables import Row, Table, read_table
from seasonplan.inputs.values import looks_like_fahrenheit, text_day, text_number, text_yes_no
from seasonplan.model import Forecast, Site
from seasonplan.units import BELIEVABLE, c_to_fahrenheit, fahrenheit_to_c
from seasonplan.weather.night_hours import Gathered, assemble

COLUMNS = ("date", "tmin_c", "tmin_f", "calm_clear", "wind_m_s")
STRONGEST_WIND_M_S = 75.0


def read_table_forecast(content: bytes, site: Site, name: str) -> Forecast:
    """The forecast in a table. Raises InputFaults with every fault of it."""
    faults, found = Faults(), Gathered()
    table = read_table(name, content, COLUMNS, ("date",), faults, ("tmin_c", "tmin_f", "wind_m_s"))
    column = _low_column(table, faults) if table is not None else ""
    if table is not None and column:
        for row in table.rows:
            _take_row(row, column, found)
        if not table.rows:
            faults.add(name, 0, "", "there is no night in it", "at least one row")
    faults.raise_if_any()
    return assemble(name, None, site, found, None)


def _low_column(table: Table, faults: Faults) -> str:
    """The one column that holds the lows; "" with a fault noted when there is none, or two."""
    there = [name for name in ("tmin_c", "tmin_f") if name in table.columns]
    if len(there) != 1:
        what = "the lows are missing" if not there else "both tmin_c and tmin_f are there"
        faults.add(table.file, table.header_line, "header", what, "one of the columns tmin_c, tmin_f")
        return ""
    return there[0]


def _celsius(text: str) -> float:
    lowest, highest = BELIEVABLE["tmin_c"]
    return text_number(text, lowest, highest, "°C", looks_like_fahrenheit(lowest, highest))


def _fahrenheit(text: str) -> float:
    lowest, highest = map(c_to_fahrenheit, BELIEVABLE["tmin_c"])
    return fahrenheit_to_c(text_number(text, lowest, highest, "°F"))


def _take_row(row: Row, column: str, found: Gathered) -> None:
    evening = row.need("date", text_day, "a date as YYYY-MM-DD")
    low = row.need(column, _celsius if column == "tmin_c" else _fahrenheit, "a temperature")
    calm_clear = row.get("calm_clear", text_yes_no)
    wind_m_s = row.get("wind_m_s", lambda text: text_number(text, 0.0, STRONGEST_WIND_M_S, "m/s"))
    if evening in found.lows_c:
        row.fault("date", f"{evening} stands there twice", "each night once")
    if evening is not None and low is not None:
        found.lows_c[evening] = low
        found.sky[evening] = (calm_clear, wind_m_s)
