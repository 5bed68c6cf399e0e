"""normals.csv: 12 monthly rows or 365 / 366 daily ones, in °C or °F, or the national by-station table as it comes."""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping
from functools import partial

import numpy as np

from seasonplan.dates import DAYS, MONTH_LENGTHS, MONTH_NAMES, MONTH_STARTS, month_means
from seasonplan.inputs import national
from seasonplan.inputs.decoding import header_of
from seasonplan.inputs.gathering import Faults, Wrong, shown
from seasonplan.inputs.tables import Row, Table, read_table
from seasonplan.inputs.values import celsius_in, text_number, text_whole
from seasonplan.model import Normals
from seasonplan.units import BELIEVABLE, span_f_to_c

COLUMNS = ("month", "day", "tmin_c", "tmin_f", "tmin_sd_c", "tmin_sd_f", "tmin_lowest_c", "tmin_lowest_f", "tmax_c",
           "tmax_f", "sunshine_h", "ghi_mj")
QUANTITIES = {"tmin_c": "tmin_f", "tmin_sd_c": "tmin_sd_f", "tmin_lowest_c": "tmin_lowest_f", "tmax_c": "tmax_f",
              "sunshine_h": "", "ghi_mj": ""}
"""Quantity, and the name of its column when that is in °F."""
MOST_MONTHLY_ROWS = 24
"""Rows without a day above which the day is what is missing, not a month what is double."""
ROWS = "12 rows, one a month, or with a column day 365 or 366 rows, one a day"
Values = dict[str, np.ndarray]


def read_normals(file: str, data: bytes, faults: Faults) -> Normals | None:
    """The normals in `data`; None, its faults noted, when anything in it is wrong."""
    before = len(faults.found)
    values: Values | None
    if national.is_national(header_of(data)):
        values, source = national.read_national(file, data, faults) or (None, file)
    else:
        values, source = _plain(file, data, faults), file
    if values is None or len(faults.found) > before:
        return None
    tmax_c, sunshine_h, ghi_mj, lowest_c = (month_means(values[name]) if name in values else None
                                            for name in ("tmax_c", "sunshine_h", "ghi_mj", "tmin_lowest_c"))
    return Normals(values["tmin_c"], values.get("tmin_sd_c"), tmax_c, sunshine_h, ghi_mj, source,
                   tmin_lowest_c=lowest_c)


def _plain(file: str, data: bytes, faults: Faults) -> Values | None:
    table = read_table(file, data, COLUMNS, ("month",), faults, numeric=COLUMNS)
    if table is None:
        return None
    rows = _by_index(table)
    values: Values = {}
    for name, in_f in QUANTITIES.items():
        missing = "the night lows (mean daily minimum of each month) are" if name == "tmin_c" else ""
        column = table.either(name, in_f, missing) if in_f else (name if name in table.columns else None)
        if column and (name == "tmin_c" or any(row.text(column) for row in rows.values())):
            read = [row.need(column, _check(name, column), "a number") for _, row in sorted(rows.items())]
            values[name] = np.array([np.nan if value is None else value for value in read], dtype=float)
    _check_order(table, rows, values)
    return values


def _check(name: str, column: str) -> Callable[[str], float]:
    """Reads a cell of the quantity `name`, in °C where it is a temperature."""
    low, high = BELIEVABLE[name]
    if name == "tmin_sd_c":
        hint = lambda value: "It is how far nights stray from the mean from one day to the next."  # noqa: E731
        if column.endswith("_f"):
            return lambda text: span_f_to_c(text_number(text, low * 9 / 5, high * 9 / 5, "°F", hint))
        return partial(text_number, low=low, high=high, unit="°C", hint=hint)
    if name in ("sunshine_h", "ghi_mj"):
        unit = "hours a day" if name == "sunshine_h" else "MJ per m² and day"
        return partial(text_number, low=low, high=high, unit=unit, hint=lambda value: (
            "Is it the month's total? The mean per day is needed." if value > high else ""))
    return celsius_in(column, low, high)


def _month(text: str) -> int:
    """1 to 12, or an English month's name or its first three letters."""
    word = text.casefold()
    for number, name in enumerate(MONTH_NAMES, start=1):
        if word in (name.casefold(), name[:3].casefold()):
            return number
    if re.fullmatch(r"[^\W\d]+", word):
        raise Wrong(f"found {shown(text)}", "1 to 12")
    return text_whole(text, 1, 12)


def _by_index(table: Table) -> Mapping[int, Row]:
    """Rows by month 0..11 or by day 0..364 (29 February is checked, then left out)."""
    daily = "day" in table.columns
    if not daily and len(table.rows) > MOST_MONTHLY_ROWS:
        table.fault(f"{len(table.rows)} rows without a column day", ROWS)
        return {}
    found: dict[tuple[int, int], Row] = {}
    for row in table.rows:
        key = _month_and_day(row, daily)
        if key is None:
            continue
        if key in found:
            row.fault("", f"{_named(key, daily)} stands on line {found[key].line} already",
                      f"each {'day' if daily else 'month'} once")
        found.setdefault(key, row)
    _check_all_there(table, found, daily)
    if daily:
        return {MONTH_STARTS[m - 1] + d - 1: row for (m, d), row in found.items() if (m, d) != (2, 29)}
    return {month - 1: row for (month, _), row in found.items()}


def _month_and_day(row: Row, daily: bool) -> tuple[int, int] | None:
    """The day is 1 in a monthly table."""
    month = row.need("month", _month, "1 to 12")
    if month is None:
        return None
    row.label = MONTH_NAMES[month - 1]
    longest = 29 if month == 2 else MONTH_LENGTHS[month - 1]
    day = row.need("day", partial(text_whole, low=1, high=longest), f"1 to {longest}") if daily else 1
    return None if day is None else (month, day)


def _named(key: tuple[int, int], daily: bool) -> str:
    return f"{key[1]} {MONTH_NAMES[key[0] - 1]}" if daily else MONTH_NAMES[key[0] - 1]


def _check_all_there(table: Table, found: Mapping[tuple[int, int], Row], daily: bool) -> None:
    wanted = [(m + 1, d + 1) for m in range(12) for d in range(MONTH_LENGTHS[m] if daily else 1)]
    missing = [_named(key, daily) for key in wanted if key not in found]
    if missing:
        named = ", ".join(missing[:3]) + (f" and {len(missing) - 3} more" if len(missing) > 3 else "")
        table.faults.add(table.file, 0, "", f"{named} {'is' if len(missing) == 1 else 'are'} missing",
                         f"{DAYS} rows, one a day (29 February may be left out)" if daily else ROWS)


def _check_order(table: Table, rows: Mapping[int, Row], values: Values) -> None:
    """The highest is above the lows' mean, and that above the mean of the lowest."""
    for name, above, allowed in (("tmax_c", True, "a maximum above the minimum"),
                                 ("tmin_lowest_c", False, "the month's lowest night below its mean night low")):
        if name not in values or "tmin_c" not in values:
            continue
        lows_c = values["tmin_c"]
        if name == "tmin_lowest_c" and len(lows_c) == DAYS:
            lows_c = np.repeat(month_means(lows_c), MONTH_LENGTHS)
        for position, index in enumerate(sorted(rows)):
            low, other = lows_c[position], values[name][position]
            if (other < low) if above else (other >= low):
                rows[index].fault(name if name in table.columns else QUANTITIES[name],
                                  f"{other:.4g} °C is {'below' if above else 'not below'} tmin, {low:.4g} °C", allowed,
                                  "Are the columns the wrong way round?")
