"""nights.csv: a daily record, plain or as the global daily archive (GHCN-Daily) gives it."""

from __future__ import annotations

import math
import re
from collections.abc import Callable
from datetime import date

import numpy as np

from seasonplan.inputs import archive
from seasonplan.inputs.decoding import header_of
from seasonplan.inputs.gathering import Faults
from seasonplan.inputs.tables import Row, read_table
from seasonplan.inputs.values import celsius_in, text_day
from seasonplan.model import Record
from seasonplan.units import BELIEVABLE

COLUMNS = ("date", "tmin_c", "tmin_f", "tmax_c", "tmax_f")
ORDINARY = re.compile(
    rb"date,tmin_c(?:\r?\n(?:[12]\d{3}-\d\d-\d\d,(?:-?\d{1,3}(?:\.\d{1,15})?)?\r?\n)+"
    rb"|(?P<high>,tmax_c)\r?\n(?:[12]\d{3}-\d\d-\d\d(?:,(?:-?\d{1,3}(?:\.\d{1,15})?)?){2}\r?\n)+)")
Night = tuple[float, float]
"""Low and high [°C], NaN where missing."""


def read_record(file: str, data: bytes, faults: Faults) -> Record | None:
    """The record, its dates rising; None, its faults noted, when anything in it is wrong. Empty cells are missing
    nights (NaN); days without a row are simply not there."""
    ready = at_once(data)
    if ready is not None:
        return ready
    before = len(faults.found)
    kind = archive.kind_of(header_of(data))
    nights = archive.read_archive(file, data, kind, faults) if kind else _plain(file, data, faults)
    if len(faults.found) > before:
        return None
    if not nights:
        faults.add(file, 0, "", "there is no night in it", "at least one row with a date and a low")
        return None
    days = sorted(nights)
    lows, highs = np.array([nights[day] for day in days], dtype=float).T
    return Record(np.array(days, dtype="datetime64[D]"), lows, highs)


def at_once(data: bytes) -> Record | None:
    """A plain record in °C without fault or peculiarity, read by whole columns, several times faster than by rows; None
    when it must be read row by row, be it to tell what is wrong with it."""
    match = ORDINARY.fullmatch(data if data.endswith(b"\n") else data + b"\n")
    if match is None:
        return None
    cells = np.array([line.split(",") for line in data.decode("ascii").split()[1:]])
    numbers = np.where(cells[:, 1:] == "", "nan", cells[:, 1:]).astype(float).T
    try:
        dates = cells[:, 0].astype("datetime64[D]")
    except ValueError:
        return None
    lows, highs = numbers if match["high"] else (numbers[0], np.full(len(dates), np.nan))
    if len(np.unique(dates)) < len(dates) or np.any(highs < lows) or not all(
            np.all(np.isnan(values) | (values >= low) & (values <= high))
            for values, (low, high) in ((lows, BELIEVABLE["tmin_c"]), (highs, BELIEVABLE["tmax_c"]))):
        return None
    order = np.argsort(dates)
    return Record(dates[order], lows[order], highs[order])


def _plain(file: str, data: bytes, faults: Faults) -> dict[date, Night]:
    table = read_table(file, data, COLUMNS, ("date",), faults, numeric=COLUMNS[1:])
    if table is None:
        return {}
    low_column = table.either("tmin_c", "tmin_f", missing="the night lows are")
    high_column = table.either("tmax_c", "tmax_f")
    nights: dict[date, Night] = {}
    lines: dict[date, int] = {}
    read_low, read_high = _reader(low_column), _reader(high_column)
    for row in table.rows:
        day = row.need("date", text_day, "a date as YYYY-MM-DD")
        low, high = read_low(row), read_high(row)
        if day is None:
            continue
        if day in lines:
            row.fault("date", f"{day} stands on line {lines[day]} already", "each date once")
        if high < low:
            row.fault(high_column or "", f"{high:.4g} °C is below tmin, {low:.4g} °C", "a maximum above the minimum")
        nights[day], lines[day] = (low, high), row.line
    return nights


def _reader(column: str | None) -> Callable[[Row], float]:
    """Reads a row's temperature [°C]; NaN when the cell is empty, or wrong, its fault noted."""
    if column is None:
        return lambda row: math.nan
    check = celsius_in(column, *BELIEVABLE[column[:-2] + "_c"])

    def read(row: Row) -> float:
        value = row.get(column, check)
        return math.nan if value is None else value
    return read
