"""A station's file of the global daily archive (GHCN-Daily), wide or long, as downloaded.

Wide: one row a day with the columns STATION, DATE, TMIN, TMAX and, mostly, TMIN_ATTRIBUTES ("M,Q,S": measurement,
quality and source flag). Long: one row an element and day, ID, YYYYMMDD, ELEMENT, VALUE, M, Q, S flag, time, with or
without a header. Temperatures are whole tenths of °C, -9999 is missing, and a value with any quality flag failed a
check and is dropped. Source: NOAA NCEI, readme-by_station.txt and readme.txt of GHCN-Daily (section III).
"""

from __future__ import annotations

import math
import re
from collections.abc import Sequence
from datetime import date

from seasonplan.inputs.gathering import Faults, Wrong, shown
from seasonplan.inputs.tables import Loose, read_loose
from seasonplan.units import BELIEVABLE

WIDE, LONG, BARE = "wide", "long", "long without a header"
LONG_NAMES = ("ID", "DATE", "ELEMENT", "DATA_VALUE", "M_FLAG", "Q_FLAG", "S_FLAG", "OBS_TIME")
STATION = re.compile(r"[A-Z]{2}[A-Z0-9_-]{9}", re.IGNORECASE)
MISSING = "-9999"
QUANTITY = {"TMIN": "tmin_c", "TMAX": "tmax_c"}
Night = tuple[float, float]


def kind_of(header: Sequence[str]) -> str:
    """WIDE, LONG or BARE for a first line of the archive; "" for any other."""
    names = [name.upper() for name in header]
    if "STATION" in names and "DATE" in names and ("TMIN" in names or "TMAX" in names):
        return WIDE
    if "ID" in names and "ELEMENT" in names:
        return LONG
    bare = (len(names) >= 4 and STATION.fullmatch(names[0]) and re.fullmatch(r"[0-9]{8}", names[1])
            and len(names[2]) == 4)
    return BARE if bare else ""


def read_archive(file: str, data: bytes, kind: str, faults: Faults) -> dict[date, Night]:
    """(low, high) [°C, NaN where missing or flagged] by date."""
    table = read_loose(file, data, faults, LONG_NAMES if kind == BARE else None)
    if table is None:
        return {}
    _check_one_station(table, "STATION" if kind == WIDE else "ID", faults)
    readings: dict[str, dict[date, float]] = {"TMIN": {}, "TMAX": {}}
    for row in table.rows:
        for element in _elements(table, row, kind):
            _take(table, row, kind, element, readings[element], faults)
    if not readings["TMIN"]:
        faults.add(file, 0, "TMIN", "there is no night low in it", "a station that measures TMIN")
    return {day: (low, readings["TMAX"].get(day, math.nan)) for day, low in readings["TMIN"].items()}


def _elements(table: Loose, row: int, kind: str) -> list[str]:
    if kind == WIDE:
        return [name for name in QUANTITY if table.cell(row, name)]
    element = table.cell(row, "ELEMENT").upper()
    return [element] if element in QUANTITY else []


def _check_one_station(table: Loose, column: str, faults: Faults) -> None:
    stations = {table.cell(row, column) for row in table.rows}
    if len(stations) > 1:
        faults.add(table.file, 0, column, f"{len(stations)} stations are in the file", "one station",
                   "Keep the rows of the nearest.")


def _take(table: Loose, row: int, kind: str, element: str, into: dict[date, float], faults: Faults) -> None:
    """Adds one reading, unless its quality flag is set or a fault is found."""
    text = table.cell(row, element) if kind == WIDE else _first(table, row, ("DATA_VALUE", "VALUE"))
    day = faults.take(table.file, table.line(row), "DATE", lambda: _day(table.cell(row, "DATE")))
    if day is None:
        return
    if day in into:
        faults.add(table.file, table.line(row), "DATE", f"{day} stands there twice for {element}", "each date once")
    if text == MISSING or _quality_flag(table, row, kind, element):
        into.setdefault(day, math.nan)
        return
    value = faults.take(table.file, table.line(row), element, lambda: _tenths(text, QUANTITY[element]))
    into[day] = math.nan if value is None else value


def _first(table: Loose, row: int, names: Sequence[str]) -> str:
    return next((table.cell(row, name) for name in names if name in table.columns), "")


def _quality_flag(table: Loose, row: int, kind: str, element: str) -> str:
    if kind != WIDE:
        return _first(table, row, ("Q_FLAG", "QFLAG"))
    flags = table.cell(row, f"{element}_ATTRIBUTES").split(",")
    return flags[1].strip() if len(flags) > 1 else ""


def _day(text: str) -> date:
    digits = text.replace("-", "")
    try:
        if not re.fullmatch(r"[0-9]{4}-[0-9]{2}-[0-9]{2}|[0-9]{8}", text):
            raise ValueError
        return date(int(digits[:4]), int(digits[4:6]), int(digits[6:]))
    except ValueError:
        raise Wrong(f"found {shown(text)}", "a date that exists, as YYYY-MM-DD or YYYYMMDD") from None


def _tenths(text: str, quantity: str) -> float:
    low, high = BELIEVABLE[quantity]
    if not re.fullmatch(r"[+-]?[0-9]+", text):
        cause = "Decimals mean another unit; download it without a choice of units." if "." in text else ""
        raise Wrong(f"found {shown(text)}", "whole tenths of °C, as the archive has them", cause)
    value = int(text) / 10
    if not low <= value <= high:
        raise Wrong(f"found {shown(text)} ({value:g} °C)", f"{low * 10:g} to {high * 10:g}, tenths of °C")
    return value
