"""The US national by-station climate normals, monthly or daily, as downloaded.

Read: MLY-TMIN-NORMAL and MLY-TMAX-NORMAL, or DLY-TMIN-NORMAL, DLY-TMAX-NORMAL and DLY-TMIN-STDDEV. MLY-TMIN-STDDEV is
left alone: it is the spread of monthly means from year to year, not of nights. The 1991-2020 files are in °F with one
decimal, the 1981-2010 ones in tenths of °F without; a file without a single decimal point is therefore in tenths.
Special values are whole numbers: -9999 missing, -8888 no such date, -7777 rounds to zero (only in quantities that zero
bounds), -6666 undefined, -5555 inconsistent with another value. Source: NOAA NCEI, readme.txt of the 1981-2010 normals,
sections IV and V; that the 1991-2020 files have one decimal, and -4444, from memory.
"""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from functools import partial

import numpy as np

from seasonplan.dates import MONTH_LENGTHS, MONTH_NAMES
from seasonplan.inputs.gathering import Faults, Wrong, shown
from seasonplan.inputs.tables import Loose, read_loose
from seasonplan.inputs.values import NUMBER, number
from seasonplan.units import BELIEVABLE, c_to_fahrenheit, fahrenheit_to_c, span_f_to_c

LOWS = ("MLY-TMIN-NORMAL", "DLY-TMIN-NORMAL")
SPECIAL = {"-9999": "missing", "-8888": "no such date", "-7777": "rounds to zero", "-6666": "undefined",
           "-5555": "inconsistent", "-4444": "all year"}
DATE = re.compile(r"(?:\d{4})?-?(\d{2})(?:-?(\d{2}))?(?:T.*)?", re.ASCII)
TENTHS = 10.0
Day = tuple[int, int]
"""Month and day, both counted from 1; a month stands as its first day."""


def is_national(header: Sequence[str]) -> bool:
    """Whether a table's header is that of the national normals."""
    return any(name.upper() in LOWS for name in header)


def read_national(file: str, data: bytes, faults: Faults) -> tuple[dict[str, np.ndarray], str] | None:
    """(tmin_c and, where the station has them, tmax_c and tmin_sd_c: (12,) or (365,); what the file is, for the
    reader); None, its faults noted, when the night lows are not all there."""
    table = read_loose(file, data, faults)
    if table is None:
        return None
    daily = "DLY-TMIN-NORMAL" in table.columns
    prefix = "DLY" if daily else "MLY"
    before = len(faults.found)
    rows = _rows(table, daily, faults)
    if len(faults.found) > before:
        return None
    divisor = TENTHS if in_tenths(table, prefix) else 1.0
    values = {"tmin_c": _column(table, rows, f"{prefix}-TMIN-NORMAL", divisor, faults)}
    for name, column in (("tmax_c", f"{prefix}-TMAX-NORMAL"), ("tmin_sd_c", "DLY-TMIN-STDDEV" if daily else "")):
        if column in table.columns and not any(
                _whole_if_special(table.cell(row, column)) in ("", *SPECIAL) for row in rows.values()):
            values[name] = _column(table, rows, column, divisor, faults)
    if len(faults.found) > before:
        return None
    return values, f"{file} (US national normals in {'tenths of ' if divisor == TENTHS else ''}°F)"


def in_tenths(table: Loose, prefix: str) -> bool:
    """Whether the temperatures are in tenths of °F: none is written with a decimal point."""
    columns = [f"{prefix}-TMIN-NORMAL", f"{prefix}-TMAX-NORMAL", f"{prefix}-TMIN-STDDEV"]
    return not any("." in _whole_if_special(table.cell(row, column)) for row in table.rows for column in columns
                   if column in table.columns)


def _whole_if_special(cell: str) -> str:
    """-9999.0 as -9999, so that it is known as special and does not count as a value with decimals."""
    return cell.removesuffix(".0") if cell.removesuffix(".0") in SPECIAL else cell


def _rows(table: Loose, daily: bool, faults: Faults) -> dict[Day, int]:
    """Row by month and day, in order, every month or day there (29 February is left out)."""
    stations = {table.cell(row, "STATION") for row in table.rows}
    if len(stations) > 1:
        faults.add(table.file, 0, "STATION", f"{len(stations)} stations are in the file", "one station",
                   "Keep the rows of the nearest.")
        return {}
    found: dict[Day, int] = {}
    for row in table.rows:
        day = faults.take(table.file, table.line(row), "DATE", partial(_day, table, row, daily))
        if day in found:
            faults.add(table.file, table.line(row), "DATE", f"{shown(table.cell(row, 'DATE'))} stands there twice",
                       "each date once")
        elif day is not None:
            found[day] = row
    wanted = [(m + 1, d + 1) for m in range(12) for d in range(MONTH_LENGTHS[m] if daily else 1)]
    missing = [f"{d} {MONTH_NAMES[m - 1]}" if daily else MONTH_NAMES[m - 1] for m, d in wanted if (m, d) not in found]
    if missing:
        faults.add(table.file, 0, "", f"{missing[0]} is missing" + (f", {len(missing)} in all" if missing[1:] else ""),
                   "a row for every day" if daily else "12 rows, one a month")
        return {}
    return {day: found[day] for day in wanted}


def _day(table: Loose, row: int, daily: bool) -> Day:
    """From the columns month and day where there are any, else from DATE: 01, 01-01, 201001, 20100101, 2010-01-01."""
    month, day = table.cell(row, "MONTH"), table.cell(row, "DAY")
    text = f"{month.zfill(2)}-{day.zfill(2)}" if month and (day or not daily) else table.cell(row, "DATE")
    match = DATE.fullmatch(text if daily or not month else month.zfill(2))
    found = (int(match[1]), int(match[2] or 1) if daily else 1) if match else (0, 0)
    if not 1 <= found[0] <= 12 or not 1 <= found[1] <= 31 or (daily and match and not match[2]):
        raise Wrong(f"found {shown(text)}", "a month and day" if daily else "a month")
    return found


def _column(table: Loose, rows: Mapping[Day, int], column: str, divisor: float, faults: Faults) -> np.ndarray:
    """Values in °C, (12,) or (365,)."""
    spread = column.endswith("STDDEV")
    quantity = "tmin_sd_c" if spread else "tmax_c" if "TMAX" in column else "tmin_c"
    low, high = BELIEVABLE[quantity]
    low_f, high_f = (low * 9 / 5, high * 9 / 5) if spread else (c_to_fahrenheit(low), c_to_fahrenheit(high))

    def read(cell: str) -> float:
        cell = _whole_if_special(cell)
        if cell in SPECIAL or not cell:
            raise Wrong(f"found {cell or 'nothing'} ({SPECIAL.get(cell, 'missing')})", "a value for every row",
                        "Does the station measure temperature? Try the next one.")
        if not NUMBER.fullmatch(cell):
            raise Wrong(f"found {shown(cell)}", "a number")
        value_f = number(float(cell) / divisor, low_f, high_f, "°F")
        return span_f_to_c(value_f) if spread else fahrenheit_to_c(value_f)

    values = [faults.take(table.file, table.line(row), column, partial(read, table.cell(row, column)))
              for row in rows.values()]
    return np.array([np.nan if value is None else value for value in values], dtype=float)
